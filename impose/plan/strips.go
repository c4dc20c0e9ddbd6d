package plan

import (
	"slices"

	"tuckmark/config/measure"
)

// What the checker looks for in strips of scrap: those that one cut would take off instead of two, those that are too thin to be cut, and blocks
// with too narrow ones between them.

// strip is how wide the scrap is that a part has all along its far edge, or its near one, for cuts of an axis; 0: there is none.
func (c *checker) strip(p *Part, axis Axis, far bool) measure.Length {
	for p.Cut != nil && p.Cut.Axis == axis {
		if far {
			p = p.Cut.Far
		} else {
			p = p.Cut.Near
		}
	}
	if p.Cut != nil || !p.Rest() || p.Keep {
		return 0
	}
	if axis == Down {
		return p.Rect.W
	}
	return p.Rect.H
}

// holdsWithout reports whether the trimmer could hold what is cut of a part if such a strip were not there.
func (c *checker) holdsWithout(p *Part, axis Axis, far bool, strip measure.Length) bool {
	for p.Cut != nil && p.Cut.Axis == axis {
		next := p.Cut.Near
		if far {
			next = p.Cut.Far
		}
		left := p.Rect.H - strip
		if axis == Down {
			left = p.Rect.W - strip
		}
		if next.Cut != nil && left < c.settings.Trimmer.Holds {
			return false
		}
		p = next
	}
	return true
}

// slivers looks for strips of scrap that are too thin to be cut off and need not be: another strip in the same row has enough to spare, what
// lies between them is not kept where it lies and its ink can be printed a little further, and the trimmer can still hold what has become narrower.
// A gap by hand is as wide as it is asked for, and blocks do not come closer than that.
func (c *checker) slivers(p *Piece, printable measure.Rect) {
	eachRow(p.Whole, func(head *Part, row []*Part) {
		axis := head.Cut.Axis
		for i, strip := range row {
			wide := lengthOf(strip, axis)
			by := measure.ThinnestStrip - wide
			if !strip.Rest() || strip.Keep || by <= 0 || !c.settings.Gap.Auto && wide == c.settings.Gap.Width {
				continue
			}
			for k, giver := range row {
				if k != i && giver.Rest() && !giver.Keep && lengthOf(giver, axis)-by >= measure.ThinnestStrip && c.gives(head, row, i, k, by, printable) {
					c.report(tooThinToCut, "the strip at %v is thinner than the trimmer takes off, and the scrap at %v could spare it some", strip.Rect, giver.Rect)
					break
				}
			}
		}
	})
}

// eachRow visits every part that is cut, with what all cuts of the first one's axis make of it.
func eachRow(p *Part, visit func(head *Part, row []*Part)) {
	if p.Cut == nil {
		return
	}
	row := rowOf(p, p.Cut.Axis)
	visit(p, row)
	for _, part := range row {
		eachRow(part, visit)
	}
}

// rowOf are the parts that cuts of one axis make of a part.
func rowOf(p *Part, axis Axis) []*Part {
	if p.Cut == nil || p.Cut.Axis != axis {
		return []*Part{p}
	}
	return append(rowOf(p.Cut.Near, axis), rowOf(p.Cut.Far, axis)...)
}

// lengthOf is how long a part is in the direction in which cuts of an axis follow one another.
func lengthOf(p *Part, axis Axis) measure.Length {
	if axis == Down {
		return p.Rect.W
	}
	return p.Rect.H
}

// gives reports whether the kth part of a row can be narrower for the ith.
func (c *checker) gives(head *Part, row []*Part, i, k int, by measure.Length, printable measure.Rect) bool {
	axis := head.Cut.Axis
	if k < i { // what lies between comes nearer to the row's beginning
		by = -by
	}
	var shifted, others []*Part
	for n, part := range row {
		for leaf := range part.Leaves {
			if leaf.Block == nil {
				continue
			}
			if n <= min(i, k) || n >= max(i, k) {
				others = append(others, leaf)
				continue
			}
			if leaf.Block.Kept > 0 { // it stays where it lies
				return false
			}
			dx, dy := by, measure.Length(0)
			if axis == Across {
				dx, dy = dy, dx
			}
			if !printable.Contains(leaf.Block.InkBox.Move(dx, dy)) {
				return false
			}
			there := *leaf
			there.Rect = leaf.Rect.Move(dx, dy)
			shifted = append(shifted, &there)
		}
	}
	if a, _ := c.tooNear(shifted, others); a != nil {
		return false
	}
	held := true
	head.each(func(q *Part) bool {
		if q.Cut != nil && q.Cut.Axis == axis {
			if parts := rowOf(q, axis); slices.Contains(parts, row[k]) && !slices.Contains(parts, row[i]) {
				held = held && lengthOf(q, axis)-max(by, -by) >= c.settings.Trimmer.Holds
			}
		}
		return held
	})
	return held
}

// tooNear is a pair of blocks, one of each list, that lie closer to each other than the gap by hand; nil: there is none. Two that are kept stay
// where they are.
func (c *checker) tooNear(some, others []*Part) (a, b *Part) {
	gap := c.settings.Gap.Width
	if c.settings.Gap.Auto || gap == 0 {
		return nil, nil
	}
	for _, a := range some {
		around := measure.Rect{X: a.Rect.X - gap, Y: a.Rect.Y - gap, W: a.Rect.W + 2*gap, H: a.Rect.H + 2*gap}
		for _, b := range others {
			if a != b && around.Overlaps(b.Rect) && (a.Block.Kept == 0 || b.Block.Kept == 0) {
				return a, b
			}
		}
	}
	return nil, nil
}
