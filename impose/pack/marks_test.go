package pack

import (
	"testing"

	"tuckmark/config/measure"
)

// TestLoosenedIsHeld: of the ways with a gap between all blocks only those are tried that the trimmer can hold: a gap comes off before the last
// of two low blocks.
func TestLoosenedIsHeld(t *testing.T) {
	const low, hold = 485775, 860400
	size := measure.Size{W: 2314575, H: 12 * in}
	j := Job{Gap: in / 8, Auto: true, Limits: Limits{Hold: hold}, Unmarked: func(n *Node, on Piece) int { return unmarkedIn(n) }}
	for range 2 {
		j.Items = append(j.Items, Item{Size: measure.Size{W: size.W, H: low}})
	}
	rest := func(h measure.Length) *Node { return &Node{Rect: measure.Rect{W: size.W, H: h}, Item: -1} }
	block := func(i int) *Node { return &Node{Rect: measure.Rect{W: size.W, H: low}, Item: i} }
	on := Piece{Rect: size.At(0, 0), Margins: measure.Sides{Top: size.H - 2*low - in/2}}
	tree := cutInto(Across, rest(size.H-2*low-in/2), cutInto(Across, block(0), cutInto(Across, block(1), rest(in/2))))
	p := newPacker(&j)
	for _, loose := range p.loosened(&laidPiece{on, &tree}, 0, 10_000) {
		if !j.Limits.allowAll(loose) {
			t.Errorf("the trimmer cannot hold all of %s", patternOf(loose))
		}
	}
}
