package typeset

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// draw places the lines in the block's ink box, or tells of one that is too wide.
func (t *textSetter) draw(body *body, b *intake.Block, size measure.Length, lines [][]int) (Setting, *tooWide) {
	inside := b.Ink()
	out := Setting{Block: b, Face: body.face, Size: size}
	n := 0
	for i := range lines {
		n += len(lines[i])
	}
	out.Lines = make([]Line, 0, n)
	used := body.height(size, func(i int) int { return len(lines[i]) })
	wide := body.measure(size) + slack
	margin := (inside.W - wide) / 2 // by which lines that read well are narrower than the box
	y := inside.Y + body.ascent(size)
	switch b.Type.Vertical {
	case config.Middle:
		y += (inside.H - used) / 2
	case config.Bottom:
		y += inside.H - used
	}
	for i := range body.parts {
		p := &body.parts[i]
		p.lines = len(lines[i])
		if i > 0 {
			y += body.leadingBefore(i, size)
		}
		s := body.size(p.role, size)
		from := 0
		for j, at := range lines[i] {
			if j > 0 {
				y += body.pitch(i, size)
			}
			to := &p.breaks[at]
			line := t.make(p.paragraph, from, to.end, to.soft)
			in := p.indent
			if j > 0 {
				in = p.hang
			}
			where := linePosition{left: inside.X + margin, baseline: y, size: s, colour: b.Type.Ink}
			if excess := where.alignWithin(p.paragraph, &line, wide, atUp(in, s), body.alignment(i), j == len(lines[i])-1); excess > 0 {
				return out, &tooWide{to, int64(excess)*em/int64(s) + 1}
			}
			spans := t.spansOf(p.paragraph, &line, where, &out.Ink)
			if t.bare {
				spans = nil
			}
			out.Lines = append(out.Lines, Line{Baseline: y, Spans: spans})
			if to.noted {
				if out.broken == "" {
					out.broken, out.brokenIn = wordAround(p.text, to.end), columnOf(b, p, to.end)
				}
				out.unbroken = max(out.unbroken, atUp(p.widest, body.size(p.role, body.low()))+slack)
			}
			from = to.next
		}
	}
	return out, nil
}

// alignment is where the lines of part i stand.
func (b *body) alignment(i int) config.Align {
	if b.align == config.Justified && !b.justified(i) {
		return config.Left
	}
	return b.align
}

// linePosition is where and how a line is placed: where its width starts, and by how much its spaces are widened in all.
type linePosition struct {
	left, baseline, size, extra measure.Length
	colour                      config.Colour
}

// alignWithin moves a line, which is at the left edge, to where it stands in the given room between the sides, set in at its
// beginning, or says by how much it is too wide. The last line of a justified paragraph is not stretched.
func (s *linePosition) alignWithin(p *paragraph, l *setLine, room, in measure.Length, align config.Align, last bool) (excess measure.Length) {
	room -= in
	if p.base == 0 {
		s.left += in
	}
	left, right, width := atUp(l.left, s.size), atUp(l.right, s.size), atUp(l.width, s.size)
	free := room - width - left - right // beside the line and the ink that hangs over
	if align == config.Justified {
		n, spaces := l.spaces(p)
		if n > 0 && (free < 0 || !last) {
			s.extra = max(free, -at(spaces/3, s.size)-1)
			free -= s.extra
		}
		align = config.Left
	}
	if free < 0 {
		return -free
	}
	if align == config.Left && p.base == 1 { // where lines begin
		align = config.Right
	}
	switch align {
	case config.Left:
		s.left += left
	case config.Centre: // by the letters' widths, as far as the ink allows
		s.left += min(max((room-width)/2, left), left+free)
	case config.Right:
		s.left += left + free
	}
	return 0
}

// stop is where a glyph stands in its line, and how many spaces stand to the left of it.
type stop struct{ x, spaces int64 }

// spansOf turns a line into spans in the order of the text. It adds the line's ink and advances to box, which may be nil.
func (t *textSetter) spansOf(p *paragraph, l *setLine, at linePosition, box *measure.Rect) []Span {
	stops, spaces := t.stops(p, l)
	glyphs := make([]Glyph, 0, len(stops))
	out := make([]Span, 0, len(l.pieces))
	for i := range l.pieces {
		pc := &l.pieces[i]
		face := pc.run.face
		start := len(glyphs)
		for j := range pc.glyphs {
			g := &pc.glyphs[j]
			text, hidden := p.says(pc, j)
			if !hidden {
				x := at.left + at.offsetAt(stops[j].x+int64(g.shiftX), stops[j].spaces, spaces)
				y := at.baseline - at.up(int64(g.rise))
				glyphs = append(glyphs, Glyph{ID: g.gid, X: x, Y: y, Text: text})
				s := t.shaper(face)
				o := s.overhang(g.gid)
				if s.bad[g.gid] {
					t.uncut = face
				}
				if box != nil && o.left != o.right {
					grow(box, x+at.up(o.left), y-atUp(o.top, at.size), x+atUp(o.right, at.size), y-at.up(o.bottom))
				}
			}
		}
		stops = stops[len(pc.glyphs):]
		if len(glyphs) == start {
			continue
		}
		if n := len(out) - 1; n >= 0 && out[n].Face == face {
			out[n].Glyphs = out[n].Glyphs[:len(out[n].Glyphs)+len(glyphs)-start]
		} else {
			out = append(out, Span{Face: face, Size: at.size, Colour: at.colour, Glyphs: glyphs[start:len(glyphs):cap(glyphs)]})
		}
		if box != nil {
			grow(box, at.left, at.baseline-face.Ascent(at.size), at.left+atUp(l.width, at.size)+at.extra, at.baseline+face.Descent(at.size))
		}
	}
	return out
}

// up is a length in parts of the em at the line's size.
func (s *linePosition) up(v int64) measure.Length { return at(v, s.size) }

// offsetAt is how far along the line something stands at x that has so many of all spaces to its left.
func (s *linePosition) offsetAt(x, before, all int64) measure.Length {
	d := at(x, s.size)
	if s.extra != 0 && all > 0 {
		d += measure.Length(int64(s.extra) * before / all)
	}
	return d
}

// stops is where the glyphs of a line stand, in the order of the text, and how many spaces there are.
func (t *textSetter) stops(p *paragraph, l *setLine) (out []stop, spaces int64) {
	m := &t.line
	m.stops, m.starts = m.stops[:0], m.starts[:0]
	for i := range l.pieces {
		m.starts = append(m.starts, len(m.stops))
		m.stops = append(m.stops, make([]stop, len(l.pieces[i].glyphs))...)
	}
	var x int64
	for _, i := range l.order {
		pc := &l.pieces[i]
		for j := range pc.glyphs {
			if pc.run.props.right { // the first glyph of the text stands at the right
				j = len(pc.glyphs) - 1 - j
			}
			m.stops[m.starts[i]+j] = stop{x, spaces}
			x += int64(pc.glyphs[j].advance)
			if p.isSpace(&pc.glyphs[j]) {
				spaces++
			}
		}
	}
	return m.stops, spaces
}

// says is the text that glyph j of a piece stands for, and whether it only guides the setting and is not drawn.
func (p *paragraph) says(pc *fragment, j int) (text string, hidden bool) {
	g := &pc.glyphs[j]
	switch {
	case g.to == g.from:
		return "", false
	case pc.hyphen && j == len(pc.glyphs)-1:
		return "\u00ad", false
	}
	return p.source[p.byteAt[g.from]:p.byteAt[g.to]], allIgnorable(p.text[g.from:g.to])
}

// isSpace reports whether a glyph is a space that justifying may widen.
func (p *paragraph) isSpace(g *glyph) bool {
	return g.to == g.from+1 && int(g.from) < len(p.text) && p.text[g.from] == ' '
}

// grow extends a rectangle to hold another, given by its corners.
func grow(box *measure.Rect, x0, y0, x1, y1 measure.Length) {
	if box.Empty() {
		*box = measure.Rect{X: x0, Y: y0, W: x1 - x0, H: y1 - y0}
		return
	}
	right, bottom := max(box.Right(), x1), max(box.Bottom(), y1)
	box.X, box.Y = min(box.X, x0), min(box.Y, y0)
	box.W, box.H = right-box.X, bottom-box.Y
}
