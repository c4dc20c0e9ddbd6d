package pack

import "tuckmark/config/measure"

// Where all that lies on a piece is alike it lies in rows and columns, if it all finds room so: a plain grid has two settings of the fence,
// one for the strips and one along them, and a strip is cut like the next.

// grids are the plain grids of what lies on the piece, with this gap between; none where it is not all alike, or finds no room so, or a
// leftover that is to stay does not.
func (p *packer) grids(r *recutPiece, c *leastCutter, gap measure.Size) (out []*Node) {
	for _, k := range r.kinds[:len(r.ids)] {
		if k != r.kinds[0] {
			return nil
		}
	}
	k := &c.kinds[r.kinds[0]]
	for _, turned := range [2]bool{false, true} {
		if turned && !k.turn {
			continue
		}
		for _, a := range [2]Axis{Down, Across} {
			g := grid{lim: p.Limits, axis: a, clear: k.clear[asIndex(turned)], gap: gap, ids: r.ids, turned: turned,
				cell: measure.Size{W: k.size.W, H: k.size.H}}
			if turned {
				g.cell = g.cell.Turn()
			}
			for n := range 4 {
				tree := g.tree(r.Rect.Size(), [2]Axis{a, 1 - a}[n%2], n > 1)
				if tree == nil {
					continue
				}
				if tree = joined(tree, p.Limits); p.Limits.allowAll(tree) && inkIsClear(p.Job, tree, r.Piece) && p.tally(tree).keep >= r.holds {
					out = append(out, tree)
				}
			}
		}
	}
	return out
}

// grid lays equal items in strips. Cuts of axis part the strips.
type grid struct {
	lim    Limits
	axis   Axis
	cell   measure.Size
	clear  measure.Sides
	gap    measure.Size
	ids    []int
	turned bool
}

// most is how many items lie side by side on a length.
func (g *grid) most(a Axis, length measure.Length) int {
	edges := ends(g.clear, a)
	gap := lengthAlong(g.gap.At(0, 0), a)
	return int((length - edges[0] - edges[1] + gap) / (lengthAlong(g.cell.At(0, 0), a) + gap))
}

// tree is the grid on a piece of that size, or nil. What lies around the grid comes off at once, what is in the direction of outer first.
// The strips hold as much as they can, or, even, all the same.
func (g *grid) tree(piece measure.Size, outer Axis, even bool) *Node {
	a, b := g.axis, 1-g.axis
	whole := piece.At(0, 0)
	each := g.most(b, lengthAlong(whole, b))
	if each <= 0 {
		return nil
	}
	strips := (len(g.ids) + each - 1) / each
	if strips > g.most(a, lengthAlong(whole, a)) {
		return nil
	}
	if even {
		if len(g.ids)%strips != 0 || len(g.ids)/strips == each {
			return nil
		}
		each = len(g.ids) / strips
	}
	along := min(each, len(g.ids))
	var parts []*Node
	for n := range strips {
		ids := g.ids[n*each : min((n+1)*each, len(g.ids))]
		var cells []*Node
		for _, id := range ids {
			cells = append(cells, &Node{Rect: g.cell.At(0, 0), Item: id, Turned: g.turned})
		}
		parts = append(parts, g.row(b, cells, g.length(b, along)))
	}
	m := g.row(a, parts, g.length(a, strips))
	for _, a := range [2]Axis{1 - outer, outer} {
		first := ends(g.clear, a)[0]
		m = g.wasteBeside(m, a, first, lengthAlong(whole, a)-first-lengthAlong(m.Rect, a))
	}
	return m
}

// length is how long so many items are with the gaps between them.
func (g *grid) length(a Axis, n int) measure.Length {
	gap := lengthAlong(g.gap.At(0, 0), a)
	return measure.Length(n)*(lengthAlong(g.cell.At(0, 0), a)+gap) - gap
}

// row is parts side by side on a length, cut off one after the other, each with its gap and then without.
func (g *grid) row(a Axis, parts []*Node, length measure.Length) *Node {
	last := len(parts) - 1
	m := g.wasteBeside(parts[last], a, 0, length-g.length(a, len(parts)))
	for i := last - 1; i >= 0; i-- {
		m = cutInto(a, g.wasteBeside(parts[i], a, 0, lengthAlong(g.gap.At(0, 0), a)), m)
	}
	return m
}

// wasteBeside is a part with so much waste before and behind it.
func (g *grid) wasteBeside(m *Node, a Axis, before, behind measure.Length) *Node {
	if before > 0 {
		m = cutInto(a, restSized(sizedAlong(m.Rect.Size(), a, before), g.lim), m)
	}
	if behind > 0 {
		m = cutInto(a, m, restSized(sizedAlong(m.Rect.Size(), a, behind), g.lim))
	}
	return m
}
