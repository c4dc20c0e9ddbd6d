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

// placeNumbers places the numbers of the cuts: outside the piece where the cut reaches its edge, pushed apart where they would
// touch, with a thin line to their cut; else on the cut's line, clear of labels and of other numbers where it can be.
func (pic *picture) placeNumbers(p *pageWriter) {
	outline, box := pic.outline, pic.size.At(0, 0)
	widest := pic.widestNumber(p)
	type tag struct {
		text string
		at   measure.Length // of the cut, along the side
		w    measure.Length
	}
	var sides [4][]tag
	var inner []*account.Step
	for _, s := range pic.steps {
		text := strconv.Itoa(s.N)
		l := pic.line(s)
		t := tag{text, l.x1, badgeWidth(p, text)}
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
		at := make([]measure.Length, len(tags))
		for i, t := range tags {
			at[i] = t.at
		}
		from, to := box.X, box.Right()
		if side > below {
			from, to = box.Y, box.Bottom()
		}
		spread(at, func(i int) measure.Length {
			if side <= below {
				return tags[i].w + measure.Point
			}
			return badgeH + measure.Point
		}, from, to)
		for i, t := range tags {
			r := measure.Rect{X: at[i] - t.w/2, Y: at[i] - badgeH/2, W: t.w, H: badgeH}
			leader := cutLine{x1: t.at, y1: t.at, x2: at[i], y2: at[i]}
			switch side {
			case above:
				r.Y = 0
				leader.y1, leader.y2 = outline.Y, r.Bottom()
			case below:
				r.Y = box.Bottom() - badgeH
				leader.y1, leader.y2 = outline.Bottom(), r.Y
			case before:
				r.X = widest - t.w
				leader.x1, leader.x2 = outline.X, r.Right()
			case behind:
				r.X = box.Right() - widest
				leader.x1, leader.x2 = outline.Right(), r.X
			}
			pic.leaders = append(pic.leaders, leader)
			pic.badges = append(pic.badges, badge{t.text, r})
		}
	}
	for _, s := range inner {
		text := strconv.Itoa(s.N)
		pic.badges = append(pic.badges, badge{text, pic.placeInside(s, badgeWidth(p, text))})
	}
}

// onAnother is what it counts against a place for a number that another one is there; what counts less is said in placeInside.
const onAnother = 100

// placeInside finds the best place for the number of a cut inside the piece: on its line where that is free and long enough to go on on both
// sides, else beside it with a thin line to it.
func (pic *picture) placeInside(s *account.Step, w measure.Length) measure.Rect {
	near := measure.Inch / 50
	l := pic.line(s)
	down := s.Of.Cut.Axis == plan.Down
	long, extent := l.x2-l.x1, w
	if down {
		long, extent = l.y2-l.y1, badgeH
	}
	var best measure.Rect
	least, aside := -1, false
	var from measure.Rect
	for _, off := range []measure.Length{0, -1, 1, -2, 2, -3, 3, -4, 4, -6, 6, -8, 8} {
		if most := measure.Length(4); least >= 0 && least < onAnother && (off > most || off < -most) {
			break // only where all is full
		}
		for _, part := range []measure.Length{2, 18, 4, 16, 6, 14, 8, 12, 10, 1, 19, 3, 17, 5, 15, 7, 13, 9, 11} {
			cx, cy := l.x1+(l.x2-l.x1)*part/20, l.y1+(l.y2-l.y1)*part/20
			at := measure.Rect{X: cx, Y: cy}
			if down {
				cx += off * (w/2 + 5*measure.Point)
			} else {
				cy += off * (badgeH/2 + 3*measure.Point)
			}
			r := measure.Rect{X: cx - w/2, Y: cy - badgeH/2, W: w, H: badgeH}
			clash := int(off * off)
			if off == 0 && long < 2*extent {
				clash += 10 // it would hide the line
			}
			for _, b := range pic.badges {
				if r.Overlaps(b.rect) {
					clash += onAnother
				} else if r.Overlaps(b.rect.Inset(measure.Same(-near))) {
					clash += 20
				}
			}
			for _, o := range pic.labels {
				if r.Overlaps(o.box) {
					clash += 8
				}
			}
			if !pic.outline.Contains(r) {
				clash += 60
			}
			if !pic.size.At(0, 0).Contains(r) {
				clash += 200
			}
			if least < 0 || clash < least {
				least, best, aside, from = clash, r, off != 0, at
			}
			if least == 0 {
				return best
			}
		}
	}
	if aside {
		pic.leaders = append(pic.leaders, cutLine{x1: from.X, y1: from.Y, x2: min(max(from.X, best.X), best.Right()), y2: min(max(from.Y, best.Y), best.Bottom())})
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
