package pack

import (
	"cmp"
	"slices"

	"tuckmark/config/measure"
)

// Items of one size and blank may change places without a cut changing. That is enough to bring most of a group
// together, and costs nothing that stands above it.

// seat is a leaf that holds an item; piece numbers the pieces of the whole plan.
type seat struct {
	leaf  *Node
	piece int
}

// gatherGroups swaps like items between pieces so that groups come to lie on fewer pieces.
func (p *packer) gatherGroups(q *plan) {
	if p.Rough { // who lies where does not matter
		return
	}
	type class struct {
		size  measure.Size
		blank measure.Sides
		turn  bool
	}
	type groupOnPiece struct{ group, piece int }
	seats := map[class][]seat{}
	var classes []class
	on := map[groupOnPiece]int{} // items of the group on the piece
	piece := 0
	for _, l := range q.sheets {
		for _, t := range l.Trees {
			piece++
			eachItem(t, func(n *Node) {
				it := p.Items[n.Item]
				c := class{it.Size, it.Blank, it.Turn}
				if seats[c] == nil {
					classes = append(classes, c)
				}
				seats[c] = append(seats[c], seat{n, piece})
				on[groupOnPiece{it.Group, piece}]++
			})
		}
	}
	group := func(s seat) int { return p.Items[s.leaf.Item].Group }
	// gain is by how many pairs of group and piece the plan shrinks when two seats change items.
	gain := func(a, b seat) int {
		ga, gb := group(a), group(b)
		if ga == gb || a.piece == b.piece {
			return 0
		}
		g := 0
		for _, m := range [2][3]int{{ga, a.piece, b.piece}, {gb, b.piece, a.piece}} {
			if on[groupOnPiece{m[0], m[1]}] == 1 {
				g++
			}
			if on[groupOnPiece{m[0], m[2]}] == 0 {
				g--
			}
		}
		return g
	}
	swap := func(a, b seat) {
		ga, gb := group(a), group(b)
		on[groupOnPiece{ga, a.piece}]--
		on[groupOnPiece{ga, b.piece}]++
		on[groupOnPiece{gb, b.piece}]--
		on[groupOnPiece{gb, a.piece}]++
		a.leaf.Item, b.leaf.Item = b.leaf.Item, a.leaf.Item
	}
	for _, c := range classes {
		s := seats[c]
		ids := make([]int, len(s))
		for i := range s {
			ids[i] = s[i].leaf.Item
		}
		slices.SortFunc(ids, func(a, b int) int {
			return cmp.Or(cmp.Compare(p.Items[a].Group, p.Items[b].Group), cmp.Compare(a, b))
		})
		for i := range s {
			on[groupOnPiece{group(s[i]), s[i].piece}]--
			s[i].leaf.Item = ids[i]
		}
		for i := range s {
			on[groupOnPiece{group(s[i]), s[i].piece}]++
		}
	}
	for round, better := 0, true; better && round < 4; round++ {
		better = false
		for _, c := range classes {
			s := seats[c]
			for i := range s {
				if i&255 == 0 && p.stopped() {
					return
				}
				for k := i + 1; k < len(s) && k < i+500; k++ {
					if gain(s[i], s[k]) > 0 {
						swap(s[i], s[k])
						better = true
					}
				}
			}
		}
	}
}

// eachItem calls f for the leaves of n that hold items.
func eachItem(n *Node, f func(*Node)) {
	switch {
	case n == nil:
	case n.Near != nil:
		eachItem(n.Near, f)
		eachItem(n.Far, f)
	case n.Item >= 0:
		f(n)
	}
}
