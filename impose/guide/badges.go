package guide

import (
	"slices"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// The sides of a piece that a cut may reach, in the order of preference for its number.
const (
	above = iota
	below
	before
	behind
	inside // it reaches none
)

// side is where the number of a cut stands.
func (pic *picture) side(s *account.Step) int {
	r, o := s.Of.Rect, pic.way.Whole.Rect
	switch {
	case s.Of.Cut.Axis == plan.Down && r.Y == o.Y:
		return above
	case s.Of.Cut.Axis == plan.Down && r.Bottom() == o.Bottom():
		return below
	case s.Of.Cut.Axis != plan.Down && r.X == o.X:
		return before
	case s.Of.Cut.Axis != plan.Down && r.Right() == o.Right():
		return behind
	}
	return inside
}

// drawNumbers places the numbers of the cuts: outside the piece where the cut reaches its edge, pushed apart where they would
// touch, with a thin line to their cut; else on the cut's line, clear of labels and of other numbers where it can be.
func (pic *picture) drawNumbers(p *pageWriter, outline measure.Rect, labels []label) {
	h := badgeStyle.line()
	type tag struct {
		text string
		at   measure.Length // of the cut, along the side
		w    measure.Length
	}
	var sides [4][]tag
	var inner []*account.Step
	for i := range pic.way.Steps {
		s := &pic.way.Steps[i]
		if s.N == 0 { // of the line before
			continue
		}
		text := strconv.Itoa(s.N)
		l := pic.line(s)
		t := tag{text, l.x1, p.advance(badgeStyle, text) + 2*measure.Point}
		if s.Of.Cut.Axis != plan.Down {
			t.at = l.y1
		}
		if side := pic.side(s); side == inside {
			inner = append(inner, s)
		} else {
			sides[side] = append(sides[side], t)
		}
	}
	for side, tags := range sides {
		slices.SortStableFunc(tags, func(a, b tag) int { return int(a.at - b.at) })
		extent := func(t tag) measure.Length {
			if side <= below {
				return t.w
			}
			return h - 3*measure.Point
		}
		at := make([]measure.Length, len(tags))
		for i, t := range tags {
			at[i] = t.at
		}
		from, to := pic.box.X, pic.box.Right()
		if side > below {
			from, to = pic.box.Y, pic.box.Bottom()
		}
		spread(at, func(i int) measure.Length { return extent(tags[i]) }, from, to)
		for i, t := range tags {
			var r measure.Rect
			switch side {
			case above:
				r = measure.Rect{X: at[i] - t.w/2, Y: outline.Y - pic.rim, W: t.w, H: h}
				p.stroke(t.at, outline.Y, at[i], r.Bottom(), hairline, black, 0)
			case below:
				r = measure.Rect{X: at[i] - t.w/2, Y: outline.Bottom() + pic.rim - h, W: t.w, H: h}
				p.stroke(t.at, outline.Bottom(), at[i], r.Y+measure.Point, hairline, black, 0)
			case before:
				r = measure.Rect{X: outline.X - pic.rim/2 - t.w, Y: at[i] - h/2, W: t.w, H: h}
				p.stroke(outline.X, t.at, r.Right()+measure.Point, at[i], hairline, black, 0)
			case behind:
				r = measure.Rect{X: outline.Right() + pic.rim/2, Y: at[i] - h/2, W: t.w, H: h}
				p.stroke(outline.Right(), t.at, r.X-measure.Point, at[i], hairline, black, 0)
			}
			pic.badges = append(pic.badges, badge{t.text, r})
		}
	}
	for _, s := range inner {
		text := strconv.Itoa(s.N)
		pic.badges = append(pic.badges, badge{text, pic.placeInside(p, s, p.advance(badgeStyle, text)+3*measure.Point, outline, labels)})
	}
}

// placeInside finds the best place for the number of a cut inside the piece: on its line where that is free, else beside it with
// a thin line to it.
func (pic *picture) placeInside(p *pageWriter, s *account.Step, w measure.Length, outline measure.Rect, labels []label) measure.Rect {
	h := badgeStyle.line()
	near := measure.Inch / 50
	l := pic.line(s)
	var best measure.Rect
	least, aside := -1, false
	var from measure.Rect
	for _, off := range []measure.Length{0, -1, 1, -2, 2, -3, 3} {
		for _, part := range []measure.Length{2, 18, 4, 16, 6, 14, 8, 12, 10, 1, 19, 3, 17, 5, 15, 7, 13, 9, 11} {
			cx, cy := l.x1+(l.x2-l.x1)*part/20, l.y1+(l.y2-l.y1)*part/20
			at := measure.Rect{X: cx, Y: cy}
			if s.Of.Cut.Axis == plan.Down {
				cx += off * (w/2 + 5*measure.Point)
			} else {
				cy += off * (h/2 + 3*measure.Point)
			}
			r := measure.Rect{X: cx - w/2, Y: cy - h/2, W: w, H: h}
			clash := int(off * off)
			for _, b := range pic.badges {
				if r.Overlaps(measure.Rect{X: b.rect.X - near, Y: b.rect.Y, W: b.rect.W + 2*near, H: b.rect.H}) {
					clash += 20
				}
			}
			for _, o := range labels {
				if r.Overlaps(o.box) {
					clash += 4
				}
			}
			if !outline.Contains(r) {
				clash += 4
			}
			if least < 0 || clash < least {
				least, best, aside, from = clash, r, off != 0, at
			}
		}
	}
	if aside {
		p.stroke(from.X, from.Y, min(max(from.X, best.X), best.Right()), min(max(from.Y, best.Y), best.Bottom()), hairline, black, 0)
	}
	return best
}

// spread moves sorted centres apart so that things of those extents do not touch, each row of neighbours around its own
// middle, and all within from and to where they fit.
func spread(at []measure.Length, extent func(int) measure.Length, from, to measure.Length) {
	type cluster struct {
		first, last int
		mid, w      measure.Length
	}
	var all []cluster
	want := slices.Clone(at)
	for i := range at {
		c := cluster{i, i, want[i], extent(i)}
		for len(all) > 0 {
			b := all[len(all)-1]
			if b.mid+b.w/2 <= c.mid-c.w/2 {
				break
			}
			all = all[:len(all)-1]
			var sum measure.Length
			for k := b.first; k <= c.last; k++ {
				sum += want[k]
			}
			n := measure.Length(c.last - b.first + 1)
			c = cluster{b.first, c.last, sum / n, b.w + c.w}
		}
		all = append(all, c)
	}
	for _, c := range all {
		x := c.mid - c.w/2
		for k := c.first; k <= c.last; k++ {
			at[k] = x + extent(k)/2
			x += extent(k)
		}
	}
	for i := range at {
		at[i] = max(at[i], from+extent(i)/2)
		from = at[i] + extent(i)/2
	}
	for i := len(at) - 1; i >= 0; i-- {
		at[i] = min(at[i], to-extent(i)/2)
		to = at[i] - extent(i)/2
	}
}
