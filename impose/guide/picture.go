package guide

import (
	"slices"
	"strconv"

	"tuckmark/config/measure"
)

// picture is a piece drawn to scale, with the numbers of its cuts around it.
type picture struct {
	job    *job
	group  *group
	num    int64 // the scale is num/den
	den    int64
	w      measure.Length // of the box
	rim    measure.Length // for numbers, on all four sides
	height measure.Length // with the rim
	badges []badge
	x, y   measure.Length // of the piece's corner on the page

	complete bool // every block carries its code and owner
}

// badge is the number of a cut.
type badge struct {
	text string
	rect measure.Rect
}

var badgeStyle = smallB

// newPicture fits the picture of a group's pieces into a box, in no more than true size.
func newPicture(j *job, hand *hand, g *group, w, h measure.Length) *picture {
	s := g.pieces[0].Size()
	widest := hand.advance(badgeStyle, strconv.Itoa(len(g.pieces[0].Cuts)))
	pic := &picture{job: j, group: g, w: w, rim: measure.Inch*14/100 + max(widest, measure.Inch*8/100), num: 1, den: 1}
	w, h = w-2*pic.rim, h-2*pic.rim
	if s.W > w || s.H > h { // the smaller of w/s.W and h/s.H
		pic.num, pic.den = int64(w), int64(s.W)
		if int64(h)*int64(s.W) < int64(w)*int64(s.H) {
			pic.num, pic.den = int64(h), int64(s.H)
		}
	}
	pic.height = pic.scale(s.H) + 2*pic.rim
	return pic
}

// scale is a length of the piece in the picture. Neither factor is more than a sheet, so the product stays an int64.
func (pic *picture) scale(l measure.Length) measure.Length {
	return measure.Length(int64(l) * pic.num / pic.den)
}

// smallest is the smallest side of a block in the picture.
func (pic *picture) smallest() measure.Length {
	least := pic.w
	for _, b := range pic.group.pieces[0].Blocks {
		least = min(least, pic.scale(min(b.Width, b.Height)))
	}
	return least
}

// rect is a rectangle of the piece on the page.
func (pic *picture) rect(r measure.Rect) measure.Rect {
	x, y := pic.scale(r.X), pic.scale(r.Y)
	return measure.Rect{X: pic.x + x, Y: pic.y + y, W: pic.scale(r.Right()) - x, H: pic.scale(r.Bottom()) - y}
}

// draw draws the picture with its rim's corner at left, top.
func (pic *picture) draw(p *paper, left, top measure.Length) {
	first := pic.group.pieces[0]
	w := first.way
	whole := pic.scale(first.Width)
	pic.x, pic.y = left+(pic.w-whole)/2, top+pic.rim
	outline := pic.rect(w.root.rect)

	var labels []label
	var leaves func(*part)
	leaves = func(q *part) {
		if q.near != nil {
			leaves(q.near)
			leaves(q.far)
			return
		}
		r := pic.rect(q.rect)
		switch {
		case q.block >= 0:
			labels = append(labels, pic.name(p, q, r))
		case q.keep:
			labels = append(labels, pic.fit(p, r, false, [][]string{{"leftover", size(q.rect.Size(), pic.job.unit)}, {size(q.rect.Size(), pic.job.unit)}, {"keep"}}, small))
		default:
			p.fill(r, pale)
		}
	}
	leaves(w.root)

	pic.number(p, w, outline, labels)
	pic.complete = len(pic.group.pieces) == 1
	for i, l := range labels {
		if l.block == nil {
			continue
		}
		if slices.ContainsFunc(pic.badges, func(b badge) bool { return b.rect.Overlaps(l.box) }) { // the letter will do
			r := pic.rect(l.block.rect)
			labels[i] = pic.fit(p, r, l.turned, [][]string{{letter(l.block.first)}}, smallB)
		}
		pic.complete = pic.complete && labels[i].full
	}
	lines := []cutLine{
		{outline.X, outline.Y, outline.Right(), outline.Y, false},
		{outline.X, outline.Bottom(), outline.Right(), outline.Bottom(), false},
		{outline.X, outline.Y, outline.X, outline.Bottom(), false},
		{outline.Right(), outline.Y, outline.Right(), outline.Bottom(), false},
	}
	for i := range w.steps {
		lines = append(lines, pic.line(&w.steps[i]))
	}
	for _, l := range lines {
		pic.stroke(p, l)
	}
	for _, b := range pic.badges {
		p.cell(b.rect.X, b.rect.Y+badgeStyle.size, b.rect.W, badgeStyle, b.text, toCentre)
	}
	for _, l := range labels {
		l.draw(p)
	}
}

// cutLine is the line of a cut on the page.
type cutLine struct {
	x1, y1, x2, y2 measure.Length
	dashed         bool
}

func (pic *picture) line(s *step) cutLine {
	r := pic.rect(s.of.rect)
	if s.of.down {
		x := pic.x + pic.scale(s.at())
		return cutLine{x, r.Y, x, r.Bottom(), s.measured}
	}
	y := pic.y + pic.scale(s.at())
	return cutLine{r.X, y, r.Right(), y, s.measured}
}

// stroke draws a line, open where a number stands on it.
func (pic *picture) stroke(p *paper, l cutLine) {
	type span struct{ from, to measure.Length }
	vertical := l.x1 == l.x2
	spans := []span{{l.x1, l.x2}}
	if vertical {
		spans = []span{{l.y1, l.y2}}
	}
	for _, b := range pic.badges {
		r := b.rect
		from, to := r.X, r.Right()
		if vertical {
			from, to = r.Y, r.Bottom()
			if l.x1 <= r.X || l.x1 >= r.Right() {
				continue
			}
		} else if l.y1 <= r.Y || l.y1 >= r.Bottom() {
			continue
		}
		var left []span
		for _, s := range spans {
			if to <= s.from || from >= s.to {
				left = append(left, s)
				continue
			}
			if from > s.from {
				left = append(left, span{s.from, from})
			}
			if to < s.to {
				left = append(left, span{to, s.to})
			}
		}
		spans = left
	}
	dash := measure.Length(0)
	if l.dashed {
		dash = 3 * measure.Point
	}
	for _, s := range spans {
		if vertical {
			p.stroke(l.x1, s.from, l.x1, s.to, 3*measure.Point/4, black, dash)
		} else {
			p.stroke(s.from, l.y1, s.to, l.y1, 3*measure.Point/4, black, dash)
		}
	}
}

// number places the numbers of the cuts: outside the piece where the cut reaches its edge, pushed apart where they would
// touch, with a thin line to their cut; else on the cut's line, clear of labels and of other numbers where it can be.
func (pic *picture) number(p *paper, w *way, outline measure.Rect, labels []label) {
	h := badgeStyle.line()
	type tag struct {
		text string
		at   measure.Length // of the cut, along the side
		w    measure.Length
	}
	var sides [4][]tag // top, bottom, left, right
	var inner []*step
	for i := range w.steps {
		s := &w.steps[i]
		text := strconv.Itoa(s.n)
		l := pic.line(s)
		t := tag{text, l.x1, p.advance(badgeStyle, text) + 2*measure.Point}
		if !s.of.down {
			t.at = l.y1
		}
		r, o := s.of.rect, w.root.rect
		switch {
		case s.of.down && r.Y == o.Y:
			sides[0] = append(sides[0], t)
		case s.of.down && r.Bottom() == o.Bottom():
			sides[1] = append(sides[1], t)
		case !s.of.down && r.X == o.X:
			sides[2] = append(sides[2], t)
		case !s.of.down && r.Right() == o.Right():
			sides[3] = append(sides[3], t)
		default:
			inner = append(inner, s)
		}
	}
	for side, tags := range sides {
		slices.SortStableFunc(tags, func(a, b tag) int { return int(a.at - b.at) })
		extent := func(t tag) measure.Length {
			if side < 2 {
				return t.w
			}
			return h - 3*measure.Point
		}
		at := make([]measure.Length, len(tags))
		for i, t := range tags {
			at[i] = t.at
		}
		spread(at, func(i int) measure.Length { return extent(tags[i]) })
		for i, t := range tags {
			var r measure.Rect
			switch side {
			case 0:
				r = measure.Rect{X: at[i] - t.w/2, Y: outline.Y - pic.rim, W: t.w, H: h}
				p.stroke(t.at, outline.Y, at[i], r.Bottom(), hairline, black, 0)
			case 1:
				r = measure.Rect{X: at[i] - t.w/2, Y: outline.Bottom() + pic.rim - h, W: t.w, H: h}
				p.stroke(t.at, outline.Bottom(), at[i], r.Y+measure.Point, hairline, black, 0)
			case 2:
				r = measure.Rect{X: outline.X - pic.rim/2 - t.w, Y: at[i] - h/2, W: t.w, H: h}
				p.stroke(outline.X, t.at, r.Right()+measure.Point, at[i], hairline, black, 0)
			case 3:
				r = measure.Rect{X: outline.Right() + pic.rim/2, Y: at[i] - h/2, W: t.w, H: h}
				p.stroke(outline.Right(), t.at, r.X-measure.Point, at[i], hairline, black, 0)
			}
			pic.badges = append(pic.badges, badge{t.text, r})
		}
	}
	for _, s := range inner {
		text := strconv.Itoa(s.n)
		pic.badges = append(pic.badges, badge{text, pic.spot(p, s, p.advance(badgeStyle, text)+3*measure.Point, outline, labels)})
	}
}

// spot finds the best place for the number of a cut inside the piece: on its line where that is free, else beside it with
// a thin line to it.
func (pic *picture) spot(p *paper, s *step, w measure.Length, outline measure.Rect, labels []label) measure.Rect {
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
			if s.of.down {
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

// spread moves sorted centres apart so that things of those extents do not touch, each group of neighbours staying around
// its own middle.
func spread(at []measure.Length, extent func(int) measure.Length) {
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
}

// label is the lines of text in the middle of a part, or running down it.
type label struct {
	lines  []string
	styles []style
	box    measure.Rect
	turned bool
	block  *part // that it is of, if any
	full   bool  // the whole of what it should say
}

// name is a block's label: its place, and code and owner where the picture is of one piece.
func (pic *picture) name(p *paper, q *part, r measure.Rect) label {
	place := letter(q.first)
	g := pic.group
	b := g.pieces[0].at(q.first)
	var tries [][]string
	if len(g.pieces) == 1 {
		tries = append(tries, []string{place + "  " + b.Code, b.Owner}, []string{place + "  " + b.Code})
	}
	tries = append(tries, []string{place})
	l := pic.fit(p, r, b.Turned, tries, smallB)
	l.block = q
	return l
}

// fit takes the first wording that fits the rectangle, along it or down it; the last one in any case.
func (pic *picture) fit(p *paper, r measure.Rect, turned bool, tries [][]string, first style) label {
	pad := 3 * measure.Point
	for i, lines := range tries {
		for _, t := range []bool{turned, !turned} {
			w, h := r.W-pad, r.H-measure.Point
			if t {
				w, h = r.H-pad, r.W-measure.Point
			}
			l := label{turned: t, lines: slices.Clone(lines)}
			room, widest := measure.Length(0), measure.Length(0)
			ok := true
			for k, text := range lines {
				s := small
				if k == 0 {
					s = first
				}
				if k > 0 && len(lines) > 1 && p.advance(s, text) > w { // an owner's name may be cut short, a code not
					l.lines[k] = p.short(s, text, w)
					ok = ok && len([]rune(l.lines[k])) > 4
				}
				n := p.advance(s, l.lines[k])
				ok = ok && n <= w
				widest = max(widest, n)
				room += s.line()
				l.styles = append(l.styles, s)
			}
			if ok && room <= h || i == len(tries)-1 && t == !turned {
				bw, bh := widest, room
				if t {
					bw, bh = bh, bw
				}
				if !(ok && room <= h) {
					l.turned = false
					bw, bh = widest, room
				}
				l.full = i == 0 && slices.Equal(l.lines, lines)
				l.box = measure.Rect{X: r.X + (r.W-bw)/2, Y: r.Y + (r.H-bh)/2, W: bw, H: bh}
				return l
			}
		}
	}
	return label{}
}

func (l label) draw(p *paper) {
	y := measure.Length(0)
	for i, text := range l.lines {
		s := l.styles[i]
		w := p.advance(s, text)
		if l.turned {
			p.put(l.box.Right()-y-s.size, l.box.Y+(l.box.H-w)/2, s, text, true)
		} else {
			p.put(l.box.X+(l.box.W-w)/2, l.box.Y+y+s.size, s, text, false)
		}
		y += s.line()
	}
}
