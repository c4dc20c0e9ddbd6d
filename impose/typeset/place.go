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
			y += body.lead(i, size)
		}
		s := body.size(p.role, size)
		from := 0
		for j, at := range lines[i] {
			if j > 0 {
				y += body.pitch(i, size)
			}
			to := &p.breaks[at]
			line := t.make(p.paragraph, from, to.end, to.soft)
			last := j == len(lines[i])-1
			spans, excess := t.stand(p.paragraph, &line, inside, y, s, body.align, b.Type.Ink, last, &out.Ink)
			if excess > 0 {
				return out, &tooWide{to, excess*em/int64(s) + 1}
			}
			out.Lines = append(out.Lines, Line{Baseline: y, Spans: spans})
			from = to.next
		}
	}
	return out, nil
}

// widestSpace is how much a space may grow to fill a justified line, in hundredths of the type size; a line that would need more
// is left short (common practice).
const widestSpace = 100

// stand places one line between the sides of the ink box, or says by how much it is too wide.
func (t *textSetter) stand(p *paragraph, l *setLine, inside measure.Rect, y, size measure.Length, align config.Align, colour config.Colour, last bool, ink *measure.Rect) ([]Span, int64) {
	left, right := above(l.left, size), above(l.right, size)
	free := inside.W - above(l.width, size) - left - right // beside the line and the ink that hangs over
	var extra measure.Length
	if align == config.Justified {
		var n, width int64
		for i := range l.pieces {
			k, w := spaces(p, &l.pieces[i])
			n, width = n+k, width+w
		}
		if n > 0 && (free < 0 || !last && free <= size*measure.Length(n)*widestSpace/100) {
			extra = max(free, -at(width/3, size)-1)
			free -= extra
		}
		align = config.Left
	}
	if free < 0 {
		return nil, int64(-free)
	}
	if align == config.Left && p.base == 1 { // where lines begin
		align = config.Right
	}
	x := left
	switch align {
	case config.Centre: // by the letters' widths, as far as the ink allows
		x = min(max((inside.W-above(l.width, size))/2, left), left+free)
	case config.Right:
		x = left + free
	}
	return t.place(p, l, inside.X+x, y, size, extra, colour, ink), 0
}

// place turns a line into spans with its width starting at left, its spaces widened to take up extra. It adds the line's ink
// and advances to box.
func (t *textSetter) place(p *paragraph, l *setLine, left, baseline, size, extra measure.Length, ink config.Colour, box *measure.Rect) []Span {
	total := 0
	for i := range l.pieces {
		total += len(l.pieces[i].glyphs)
		n, _ := spaces(p, &l.pieces[i])
		l.spaces += n
	}
	glyphs := make([]Glyph, 0, total)
	out := make([]Span, 0, len(l.pieces))
	// Where each piece starts, from left to right, and how many spaces stand before it.
	var x, passed int64
	starts := make([][2]int64, len(l.pieces))
	for _, i := range l.order {
		starts[i] = [2]int64{x, passed}
		for j := range l.pieces[i].glyphs {
			x += int64(l.pieces[i].glyphs[j].advance)
		}
		n, _ := spaces(p, &l.pieces[i])
		passed += n
	}
	shift := func(passed int64) measure.Length {
		if extra == 0 || l.spaces == 0 {
			return 0
		}
		return measure.Length(int64(extra) * passed / l.spaces)
	}
	grow := func(x0, y0, x1, y1 measure.Length) {
		if box.Empty() {
			*box = measure.Rect{X: x0, Y: y0, W: x1 - x0, H: y1 - y0}
			return
		}
		r, b := max(box.Right(), x1), max(box.Bottom(), y1)
		box.X, box.Y = min(box.X, x0), min(box.Y, y0)
		box.W, box.H = r-box.X, b-box.Y
	}
	for i := range l.pieces {
		pc := &l.pieces[i]
		f := pc.run.face
		s := t.shaper(f)
		start := len(glyphs)
		x, passed := starts[i][0], starts[i][1]
		if pc.run.props.right { // the first glyph of the text stands at the right
			for j := range pc.glyphs {
				x += int64(pc.glyphs[j].advance)
			}
			n, _ := spaces(p, pc)
			passed += n
		}
		for j := range pc.glyphs {
			g := &pc.glyphs[j]
			text := ""
			space := false
			hidden := false
			if g.to > g.from {
				switch {
				case pc.hyphen && j == len(pc.glyphs)-1:
					text = "\u00ad"
				default:
					text = p.source[p.byteAt[g.from]:p.byteAt[g.to]]
					space = text == " "
					hidden = allIgnorable(p.text[g.from:g.to])
				}
			}
			if pc.run.props.right {
				x -= int64(g.advance)
				if space {
					passed--
				}
			}
			gx := left + at(x+int64(g.shiftX), size) + shift(passed)
			gy := baseline - at(int64(g.rise), size)
			if !hidden {
				glyphs = append(glyphs, Glyph{ID: g.gid, X: gx, Y: gy, Text: text})
				if o := s.overhang(g.gid); o.left != o.right {
					grow(gx+at(o.left, size), gy-above(o.top, size), gx+above(o.right, size), gy-at(o.bottom, size))
				}
			}
			if !pc.run.props.right {
				x += int64(g.advance)
				if space {
					passed++
				}
			}
		}
		if len(glyphs) == start {
			continue
		}
		if n := len(out) - 1; n >= 0 && out[n].Face == f {
			out[n].Glyphs = out[n].Glyphs[:len(out[n].Glyphs)+len(glyphs)-start]
		} else {
			out = append(out, Span{Face: f, Size: size, Colour: ink, Glyphs: glyphs[start:len(glyphs):cap(glyphs)]})
		}
		grow(left, baseline-f.Ascent(size), left+above(l.width, size)+extra, baseline+f.Descent(size))
	}
	return out
}

// spaces counts the spaces that justifying may widen, and their width.
func spaces(p *paragraph, pc *piece) (n, width int64) {
	for i := range pc.glyphs {
		if g := &pc.glyphs[i]; g.to == g.from+1 && int(g.from) < len(p.text) && p.text[g.from] == ' ' {
			n, width = n+1, width+int64(g.advance)
		}
	}
	return n, width
}
