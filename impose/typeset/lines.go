package typeset

import (
	"slices"
)

// lineMaker turns a stretch of a paragraph into a line.
type lineMaker struct {
	scratch scratch
	pieces  []fragment
	order   []int
	glyphs  []glyph // of pieces that had to be shaped again
	text    []rune
	stops   []stop
	starts  []int
}

// fragment is what a line takes from a run.
type fragment struct {
	run    *run
	glyphs []glyph
	hyphen bool // the last glyph is a hyphen that was put in
}

// setLine is a line before it is placed: its pieces in the order of the text and as they stand from left to right, and its
// width, all in parts of the em. Left and right are how far ink reaches beyond the width.
type setLine struct {
	pieces      []fragment
	order       []int
	width       int64
	left, right int64
}

// make cuts the line from..end out of the paragraph, with a hyphen after it where soft is set. Glyphs are taken over from
// the paragraph where HarfBuzz says that cutting does not change them, and shaped again elsewhere. What it returns is
// good until the next call.
func (t *textSetter) make(p *paragraph, from, end int, soft bool) setLine {
	m := &t.line
	m.pieces, m.order, m.glyphs = m.pieces[:0], m.order[:0], m.glyphs[:0]
	if soft && end > from && p.text[end-1] == softHyphen {
		end--
	}
	for i := range p.runs {
		r := &p.runs[i]
		a, b := max(from, r.from), min(end, r.to)
		if a >= b {
			continue
		}
		hyphen := soft && b == end
		first, last := r.first, r.last
		clean := !hyphen
		if a > r.from {
			first = p.glyphOf(r, a)
			clean = clean && int(p.glyphs[first].from) == a && !p.glyphs[first].unsafe
		}
		if b < r.to && clean {
			last = p.glyphOf(r, b)
			clean = int(p.glyphs[last].from) == b && !p.glyphs[last].unsafe
		}
		if clean {
			m.pieces = append(m.pieces, fragment{run: r, glyphs: p.glyphs[first:last]})
			continue
		}
		m.pieces = append(m.pieces, fragment{run: r, glyphs: t.reshape(p, r, from, a, b, end, hyphen), hyphen: hyphen})
	}
	return m.finish(t)
}

// reshape shapes text[a:b] of run r as a part of the line text[from:end].
func (t *textSetter) reshape(p *paragraph, r *run, from, a, b, end int, hyphen bool) []glyph {
	m := &t.line
	m.text = append(m.text[:0], p.text[from:end]...)
	to := b - from
	if hyphen {
		m.text = append(m.text[:to], '-')
		to++
	}
	s := t.shaper(r.face)
	s.shape(m.text, a-from, to, r.props)
	start := len(m.glyphs)
	m.glyphs = append(m.glyphs, s.glyphs...)
	out := m.glyphs[start:len(m.glyphs):len(m.glyphs)]
	for i := range out {
		out[i].from += int32(from)
		out[i].to += int32(from)
	}
	return out
}

// finish finds the visual order and measures the line.
func (m *lineMaker) finish(t *textSetter) setLine {
	l := setLine{pieces: m.pieces}
	high, low := uint8(0), uint8(255)
	for i := range m.pieces {
		m.order = append(m.order, i)
		level := m.pieces[i].run.level
		high = max(high, level)
		if level&1 == 1 {
			low = min(low, level)
		}
	}
	for level := high; level >= low && level > 0; level-- { // rule L2
		for i := 0; i < len(m.order); {
			j := i
			for j < len(m.order) && m.pieces[m.order[j]].run.level >= level {
				j++
			}
			slices.Reverse(m.order[i:j])
			i = max(j, i+1)
		}
	}
	l.order = m.order
	for i := range l.pieces {
		for j := range l.pieces[i].glyphs {
			l.width += int64(l.pieces[i].glyphs[j].advance)
		}
	}
	l.each(func(pc *fragment, g *glyph, x int64) {
		ink := t.shaper(pc.run.face).overhang(g.gid)
		if ink.left != ink.right {
			l.left = max(l.left, -(x + int64(g.shiftX) + ink.left))
			l.right = max(l.right, x+int64(g.shiftX)+ink.right-l.width)
		}
	})
	return l
}

// each calls do for the line's glyphs from left to right, with the place of the glyph's origin.
func (l *setLine) each(do func(pc *fragment, g *glyph, x int64)) {
	var x int64
	for _, i := range l.order {
		pc := &l.pieces[i]
		n := len(pc.glyphs)
		for j := range n {
			g := &pc.glyphs[j]
			if pc.run.props.right {
				g = &pc.glyphs[n-1-j]
			}
			do(pc, g, x)
			x += int64(g.advance)
		}
	}
}

// spaces is how many spaces of a line justifying may widen, and their width.
func (l *setLine) spaces(p *paragraph) (n, width int64) {
	for i := range l.pieces {
		for j := range l.pieces[i].glyphs {
			if g := &l.pieces[i].glyphs[j]; p.isSpace(g) {
				n, width = n+1, width+int64(g.advance)
			}
		}
	}
	return n, width
}
