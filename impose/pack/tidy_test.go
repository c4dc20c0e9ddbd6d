package pack

import (
	"testing"

	"tuckmark/config/measure"
)

// handled packs so many equal items on letter sheets, for a trimmer that holds an inch, and says what there is to handle on the first.
func handled(t *testing.T, n int, size measure.Size, byMeasure bool) (cuts int, h handling) {
	t.Helper()
	j := Job{Gap: in / 8, Auto: true, Measure: byMeasure, Effort: 2, Unmarked: func(n *Node, on Piece) int { return unmarkedIn(n) }}
	j.Limits.Hold = in
	j.Sheets = []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 1, Count: -1, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}
	for range n {
		j.Items = append(j.Items, Item{Size: size, Turn: true})
	}
	a := Pack(j)
	for _, fault := range Verify(j, a) {
		t.Error(fault)
	}
	if len(a.Sheets) != 1 {
		t.Fatalf("%d items lie on %d sheets", n, len(a.Sheets))
	}
	tree := a.Sheets[0].Trees[0]
	return cutsOf(tree), j.Limits.handlingOf(tree, 1)
}

// unmarkedIn counts the cuts with scrap on neither side of them at once.
func unmarkedIn(n *Node) int {
	if n.Near == nil {
		return 0
	}
	u := unmarkedIn(n.Near) + unmarkedIn(n.Far)
	if stripOf(n.Near, n.Axis, true) == 0 && stripOf(n.Far, n.Axis, false) == 0 {
		u++
	}
	return u
}

// TestFewSettings: equal blocks lie in a plain grid, which is cut with few settings of the fence, all from the near edge; blocks too narrow to
// be held come off two by two. The numbers are those of a grid that a person would draw: the strips, the blocks, and once the waste.
func TestFewSettings(t *testing.T) {
	for _, test := range []struct {
		name           string
		n              int
		size           measure.Size
		byMeasure      bool
		cuts, settings int
	}{
		{"24 tags", 24, measure.Size{W: 2 * in, H: 3 * in / 2}, true, 25, 3},
		{"24 tags, a gap beside every cut", 24, measure.Size{W: 2 * in, H: 3 * in / 2}, false, 48, 5},
		{"80 captions, half as high as what is held", 80, measure.Size{W: 2 * in, H: in / 2}, true, 81, 3},
	} {
		cuts, h := handled(t, test.n, test.size, test.byMeasure)
		if cuts > test.cuts || h.settings > test.settings || h.far > 0 {
			t.Errorf("%s: %d cuts, %d settings, %d from the far edge; want %d, %d and none", test.name, cuts, h.settings, h.far, test.cuts, test.settings)
		}
	}
}

// TestTidyRow: which order the parts of a row come off in, by the settings of the fence.
func TestTidyRow(t *testing.T) {
	leaf := func(w measure.Length, item int) *Node {
		return &Node{Rect: measure.Rect{W: w, H: 4 * in}, Item: item}
	}
	row := func(parts ...*Node) *Node {
		m := parts[len(parts)-1]
		for i := len(parts) - 2; i >= 0; i-- {
			m = cutInto(Down, parts[i], m)
		}
		return m
	}
	for _, test := range []struct {
		name   string
		widths []measure.Length // below nought: waste
		want   handling
	}{
		{"like lies with like", []measure.Length{2 * in, 3 * in, 2 * in, 3 * in, 2 * in, -in}, handling{strokes: 5, settings: 2, lines: 2}},
		{"one that is alone comes last", []measure.Length{4 * in, 2 * in, 2 * in}, handling{strokes: 2, settings: 1, lines: 1}},
		{"two by two", []measure.Length{in / 2, in / 2, in / 2, in / 2, in / 2, in / 2, -in}, handling{strokes: 6, settings: 2, lines: 2}},
		{"a gap with what lies before it", []measure.Length{2 * in, -in / 8, 2 * in, -in / 8, 2 * in, -in}, handling{strokes: 5, settings: 2, lines: 3}},
	} {
		j := Job{Limits: Limits{Hold: in}}
		var parts []*Node
		for _, w := range test.widths {
			if w < 0 {
				parts = append(parts, leaf(-w, -1))
				continue
			}
			parts = append(parts, leaf(w, len(j.Items)))
			j.Items = append(j.Items, Item{Size: measure.Size{W: w, H: 4 * in}})
		}
		tree := row(parts...)
		p := newPacker(&j)
		got := p.tidied(tree, Piece{Rect: tree.Rect}, 1, false)
		if h := j.Limits.handlingOf(got, 1); h != test.want {
			t.Errorf("%s: %+v, want %+v", test.name, h, test.want)
		}
		if cutsOf(got) != cutsOf(tree) || got.Rect != tree.Rect {
			t.Errorf("%s: %d cuts of %v, before %d of %v", test.name, cutsOf(got), got.Rect, cutsOf(tree), tree.Rect)
		}
	}
}

// TestLevelGaps: what a gap is wider than it need be goes to the strip at the end, which may be used again.
func TestLevelGaps(t *testing.T) {
	j := Job{Gap: in / 8, Limits: Limits{Hold: in}, Unmarked: func(n *Node, on Piece) int { return unmarkedIn(n) }}
	var parts []*Node
	for i, w := range []measure.Length{2 * in, in / 8, 2 * in, in / 4, 2 * in, 3 * in / 2} { // blocks and waste in turns
		n := &Node{Rect: measure.Rect{W: w, H: 4 * in}, Item: -1}
		if i%2 == 0 {
			n.Item = len(j.Items)
			j.Items = append(j.Items, Item{Size: n.Rect.Size()})
		}
		parts = append(parts, n)
	}
	m := parts[5]
	for i := 4; i >= 0; i-- {
		m = cutInto(Down, parts[i], m)
	}
	tree := newPacker(&j).tidied(m, Piece{Rect: m.Rect}, 1, true)
	for _, part := range row(tree, Down, nil) {
		if isScrap(part) && part.Rect.Right() < tree.Rect.W && part.Rect.W != in/8 {
			t.Errorf("a gap is %v wide", part.Rect.W.Format(measure.In))
		}
	}
	if unmarkedIn(tree) > unmarkedIn(m) {
		t.Error("a cut lost its mark")
	}
}

// Whatever order the rows come off in, blocks stay as far apart as the gap by hand asks for.
func TestTidyKeepsTheGap(t *testing.T) {
	for _, gap := range []measure.Length{measure.Inch / 8, measure.Inch / 2, 2 * measure.Inch} {
		j := wideApart(60)
		j.Gap, j.Effort = gap, 20
		packed(t, j)
	}
}
