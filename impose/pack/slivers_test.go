package pack

import (
	"testing"

	"tuckmark/config/measure"
)

// TestSlivers: no strip is thinner than a trimmer cuts where there is waste beside it, in its row or beside what it is among; what there is no
// waste for stays, and so does what is kept.
func TestSlivers(t *testing.T) {
	const thin = in / 25
	w := func(l measure.Length) *Node { return &Node{Rect: measure.Rect{W: l, H: 4 * in}, Item: -1} }
	keep := func(l measure.Length) *Node { return &Node{Rect: measure.Rect{W: l, H: 4 * in}, Item: -1, Keep: true} }
	for _, test := range []struct {
		name  string
		whole func(block func(w, h measure.Length) *Node) *Node
		want  int // slivers that stay
	}{
		{"waste behind the next block", func(block func(w, h measure.Length) *Node) *Node {
			return cutInto(Down, block(2*in, 4*in), cutInto(Down, w(thin), cutInto(Down, block(3*in, 4*in), w(in))))
		}, 0},
		{"in a column, the waste beside the column", func(block func(w, h measure.Length) *Node) *Node {
			upper := cutInto(Down, block(3*in-thin, 2*in), &Node{Rect: measure.Rect{W: thin, H: 2 * in}, Item: -1})
			return cutInto(Down, cutInto(Across, upper, block(3*in, 2*in)), w(in))
		}, 0},
		{"a block as wide as the sheet but for a hair", func(block func(w, h measure.Length) *Node) *Node {
			return cutInto(Down, block(8*in-thin, 4*in), w(thin))
		}, 1},
		{"what is kept is kept", func(block func(w, h measure.Length) *Node) *Node {
			return cutInto(Down, block(2*in, 4*in), cutInto(Down, w(thin), keep(6*in)))
		}, 1},
	} {
		j := Job{Auto: true, Limits: Limits{Hold: in, Keep: func(s measure.Size) bool { return s.W == 6*in }}}
		tree := test.whole(func(w, h measure.Length) *Node {
			j.Items = append(j.Items, Item{Size: measure.Size{W: w, H: h}})
			return &Node{Rect: measure.Rect{W: w, H: h}, Item: len(j.Items) - 1}
		})
		p := newPacker(&j)
		if n := sliversIn(tree, 0); n != 1 {
			t.Fatalf("%s: %d slivers to begin with", test.name, n)
		}
		got := p.tidied(tree, Piece{Rect: tree.Rect}, 1, false)
		if n := sliversIn(got, 0); n != test.want {
			t.Errorf("%s: %d slivers are left, want %d", test.name, n, test.want)
		}
		j.Sheets = []Sheet{{Size: tree.Rect.Size(), Cost: 1, Count: 1, Divisions: whole(tree.Rect.W, tree.Rect.H, measure.Sides{})}}
		for _, fault := range Verify(j, Answer{Sheets: []LaidSheet{{Trees: []*Node{got}}}, Cost: 1}) {
			t.Errorf("%s: %s", test.name, fault)
		}
	}
	// A gap that is asked for is as wide as it is asked for.
	j := Job{Gap: thin, Items: []Item{{Size: measure.Size{W: 2 * in, H: 4 * in}}, {Size: measure.Size{W: 2 * in, H: 4 * in}}}}
	block := func(i int) *Node { return &Node{Rect: measure.Rect{W: 2 * in, H: 4 * in}, Item: i} }
	tree := cutInto(Down, block(0), cutInto(Down, w(thin), cutInto(Down, block(1), w(in))))
	if got := newPacker(&j).tidied(tree, Piece{Rect: tree.Rect}, 1, false); row(got, Down, nil)[1].Rect.W != thin {
		t.Errorf("the gap that was asked for is %v", row(got, Down, nil)[1].Rect.W)
	}
}
