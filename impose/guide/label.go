package guide

import (
	"slices"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// label is the lines of text in the middle of a part, or running down it.
type label struct {
	lines  []string
	styles []style
	box    measure.Rect
	turned bool
	of     *account.Part
	full   bool // it says all
}

// fit takes the first wording that fits the rectangle, along it or down it; the last one in any case.
func fit(p *paper, of *account.Part, r measure.Rect, words wording) label {
	tries, turned := words.tries, words.turned
	pad := 3 * measure.Point
	for i, lines := range tries {
		for _, t := range []bool{turned, !turned} {
			w, h := r.W-pad, r.H-measure.Point
			if t {
				w, h = r.H-pad, r.W-measure.Point
			}
			l := label{of: of, turned: t, lines: slices.Clone(lines)}
			room, widest := measure.Length(0), measure.Length(0)
			ok := true
			for k, text := range lines {
				s := small
				if k == 0 {
					s = words.style
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
				l.full = words.full && i == 0 && slices.Equal(l.lines, lines)
				l.box = measure.Rect{X: r.X + (r.W-bw)/2, Y: r.Y + (r.H-bh)/2, W: bw, H: bh}
				return l
			}
		}
	}
	return label{of: of}
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
