package layout

import (
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// A mark shows where a cut goes without putting ink on a block: a hairline whose edge lies on the line of the cut and
// whose ink lies wholly on a side where, at that place, is scrap: neither a block nor a leftover that is kept, for the next
// job prints there. So for each end of a cut the stretches of its two sides are found that are scrap and can be printed, and the
// mark goes to the one nearest that end.

// marker finds the marks of one piece.
type marker struct {
	look      config.Mark
	printable measure.Rect
	clear     []measure.Rect // stay without ink: blocks, and leftovers that are kept
}

// stretch is a free length beside a cut, along which it runs; side is -1 for the near side.
type stretch struct {
	measure.Stretch
	side int
}

// of returns the marks of the cut through a part: one at each end where that can be, or one, or none.
func (m *marker) of(part *plan.Part) []plan.Mark {
	r, axis, at := part.Rect, part.Cut.Axis, part.Cut.At
	from, to := r.Y, r.Bottom()
	if axis == plan.Across {
		from, to = r.X, r.Right()
	}
	var free []stretch
	for _, side := range []int{1, -1} {
		for _, s := range m.free(r, axis, at, from, to, side) {
			free = append(free, stretch{s, side})
		}
	}
	if len(free) == 0 {
		return nil
	}
	first, last := free[0], free[0]
	for _, s := range free[1:] {
		if s.From < first.From || s.From == first.From && longer(s, first) {
			first = s
		}
		if s.To > last.To || s.To == last.To && longer(s, last) {
			last = s
		}
	}
	length := m.look.Length
	head := m.markAt(axis, at, first.side, first.From, min(first.From+length, first.To))
	tail := m.markAt(axis, at, last.side, max(last.To-length, last.From), last.To)
	if first == last && last.Length() < 2*length+length/2 { // two would run into one
		return []plan.Mark{m.markAt(axis, at, first.side, first.From, min(first.From+length, first.To))}
	}
	return []plan.Mark{head, tail}
}

func longer(a, b stretch) bool { return a.Length() > b.Length() }

// free finds the stretches of one side of a cut where a hairline lies on scrap, inside what is cut and what
// can be printed.
func (m *marker) free(r measure.Rect, axis plan.Axis, at, from, to measure.Length, side int) []measure.Stretch {
	band := m.band(axis, at, side, from, to)
	if !r.Contains(band) || !crosswise(m.printable, band, axis) {
		return nil
	}
	lo, hi := m.printable.Y, m.printable.Bottom()
	if axis == plan.Across {
		lo, hi = m.printable.X, m.printable.Right()
	}
	open := []measure.Stretch{{From: max(from, lo), To: min(to, hi)}}
	for _, b := range m.clear {
		if !b.Overlaps(band) {
			continue
		}
		b0, b1 := b.Y, b.Bottom()
		if axis == plan.Across {
			b0, b1 = b.X, b.Right()
		}
		open = measure.Without(open, measure.Stretch{From: b0, To: b1})
	}
	return slices.DeleteFunc(open, func(s measure.Stretch) bool { return s.Length() < m.look.Length/4 })
}

// band is the ink of a mark on one side of a line.
func (m *marker) band(axis plan.Axis, at measure.Length, side int, from, to measure.Length) measure.Rect {
	edge := at
	if side < 0 {
		edge -= m.look.Weight
	}
	if axis == plan.Down {
		return measure.Rect{X: edge, Y: from, W: m.look.Weight, H: to - from}
	}
	return measure.Rect{X: from, Y: edge, W: to - from, H: m.look.Weight}
}

// crosswise reports whether the thickness of a band can be printed.
func crosswise(printable, band measure.Rect, axis plan.Axis) bool {
	if axis == plan.Down {
		return band.X >= printable.X && band.Right() <= printable.Right()
	}
	return band.Y >= printable.Y && band.Bottom() <= printable.Bottom()
}

func (m *marker) markAt(axis plan.Axis, at measure.Length, side int, from, to measure.Length) plan.Mark {
	c := at + measure.Length(side)*m.look.Weight/2
	if axis == plan.Down {
		return plan.Mark{X1: c, Y1: from, X2: c, Y2: to, Weight: m.look.Weight}
	}
	return plan.Mark{X1: from, Y1: c, X2: to, Y2: c, Weight: m.look.Weight}
}
