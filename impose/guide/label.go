package guide

import (
	"cmp"
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

// attempt is one way of wording a label: so many of its lines must be there, a last one beyond them is how the block begins.
type attempt struct {
	lines []string
	sure  int
	all   bool // the fullest of the wordings
}

func (w wording) attempts() []attempt {
	var out []attempt
	for i, lines := range w.tries {
		if w.begins != "" && i < len(w.tries)-1 {
			out = append(out, attempt{append(slices.Clone(lines), w.begins), len(lines), i == 0})
		}
		out = append(out, attempt{lines, len(lines), i == 0})
	}
	return out
}

// What is left of an owner's name and of a block's beginning is to be known again: so many characters.
const (
	leastOwner  = 5
	leastBegins = 9
)

// fit takes the first wording that fits the rectangle, along it or down it; the last one in any case.
func fit(p *pageWriter, of *account.Part, r measure.Rect, words wording) label {
	attempts, turned := words.attempts(), words.turned
	pad := 3 * measure.Point
	for i, try := range attempts {
		for _, t := range []bool{turned, !turned} {
			w, h := r.W-pad, r.H-measure.Point
			if t {
				w, h = r.H-pad, r.W-measure.Point
			}
			l := label{of: of, turned: t, lines: slices.Clone(try.lines)}
			room, widest := measure.Length(0), measure.Length(0)
			ok := true
			for k, text := range try.lines {
				s := small
				if k == 0 {
					s = words.style
				}
				if k > 0 { // a name and a beginning may be cut short, a code not
					l.lines[k] = p.short(s, text, w)
				}
				if l.lines[k] != text {
					least := cmp.Or(words.least, leastOwner)
					if k >= try.sure {
						least = leastBegins
					}
					ok = ok && len([]rune(l.lines[k])) >= least
				}
				n := p.advance(s, l.lines[k])
				ok = ok && n <= w
				widest = max(widest, n)
				room += s.line()
				l.styles = append(l.styles, s)
			}
			ok = ok && room <= h
			if ok || i == len(attempts)-1 && t == !turned {
				l.turned = t && ok
				bw, bh := widest, room
				if l.turned {
					bw, bh = bh, bw
				}
				l.full = words.full && try.all && slices.Equal(l.lines[:try.sure], try.lines[:try.sure])
				l.box = measure.Rect{X: r.X + (r.W-bw)/2, Y: r.Y + (r.H-bh)/2, W: bw, H: bh}
				return l
			}
		}
	}
	return label{of: of}
}

func (l label) drawOn(p *pageWriter) {
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
