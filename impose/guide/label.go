package guide

import (
	"strings"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// wording is what can be written on a part that is kept, from the fullest to the shortest; the first says all if full. Each is paragraphs,
// which are broken into lines and never cut short.
type wording struct {
	tries  [][]string
	begins string   // how the block's text begins, below any but the last where there is room; "" for what is no block
	each   []string // how the texts begin of the blocks that lie there on several pages, a line for each, below the first
	full   bool
	turned bool  // the label runs down, as its block does
	style  style // of the first paragraph
}

// label is the lines of text in the middle of a part, or running down it; none where not even the shortest fits.
type label struct {
	lines  []string
	styles []style
	box    measure.Rect
	turned bool
	of     *account.Part
	full   bool // it says all
}

// What is left of a block's beginning is to be known again: so many characters.
const leastBegins = 9

// mostBegins is how many lines of a label say how a block begins.
const mostBegins = 2

// fit takes the first wording that fits the rectangle.
func fit(p *pageWriter, of *account.Part, r measure.Rect, words wording) label {
	w, h := r.W-5*measure.Point, r.H-measure.Point
	if words.turned {
		w, h = r.H-5*measure.Point, r.W-measure.Point
	}
	most := 0 // lines: one may be a tight fit
	if h >= small.size {
		most = max(1, int((h-4*measure.Point-small.size)/small.line())+1)
	}
	for i, try := range words.tries {
		l := label{of: of, turned: words.turned}
		if !l.add(p, try, words.style, w) || len(l.lines) > most {
			continue
		}
		l.full = words.full && i == 0
		if i == 0 && len(words.each) > 0 {
			if !l.addEach(p, words.each, w) || len(l.lines) > most {
				continue
			}
		}
		if i < len(words.tries)-1 {
			l.addBegins(p, words.begins, w, most-len(l.lines))
		}
		var bw measure.Length
		for k, text := range l.lines {
			bw = max(bw, p.sum(l.styles[k], text))
		}
		bh := measure.Length(len(l.lines)-1)*small.line() + small.size
		if l.turned {
			bw, bh = bh, bw
		}
		l.box = measure.Rect{X: r.X + (r.W-bw)/2, Y: r.Y + (r.H-bh)/2, W: bw, H: bh}
		return l
	}
	return label{of: of}
}

// add adds paragraphs, the first in a style of its own. It reports false where a word of theirs is wider than w.
func (l *label) add(p *pageWriter, paragraphs []string, first style, w measure.Length) bool {
	for k, text := range paragraphs {
		s := small
		if k == 0 {
			s = first
		}
		for _, word := range unbroken(text) {
			if p.advance(s, word) > w {
				return false
			}
		}
		for _, line := range p.breakLines(s, text, w) {
			l.lines, l.styles = append(l.lines, line), append(l.styles, s)
		}
	}
	return true
}

// addEach adds a line for each beginning, as much as fits. It reports false where that is too little to know one again.
func (l *label) addEach(p *pageWriter, each []string, w measure.Length) bool {
	for _, text := range each {
		t := p.begun(small, text, w)
		if t != text && len([]rune(t)) < leastBegins { // its words are long
			if t = p.short(small, text, w); len([]rune(t)) < leastBegins {
				return false
			}
		}
		l.lines, l.styles = append(l.lines, t), append(l.styles, small)
	}
	return true
}

// addBegins adds how a block begins, on so many lines at most.
func (l *label) addBegins(p *pageWriter, begins string, w measure.Length, most int) {
	most = min(most, mostBegins)
	var lines []string
	for rest := begins; len(lines) < most; {
		line := p.begun(small, rest, w)
		word, _, _ := strings.Cut(rest, " ")
		if line != rest && len(lines) < most-1 && p.advance(small, word) <= w { // as many words as fit; the dots stand on the last line
			lines = append(lines, p.breakLines(small, rest, w)[0])
			rest = strings.TrimSpace(strings.TrimPrefix(rest, lines[len(lines)-1]))
			continue
		}
		if line != rest && len([]rune(line)) < leastBegins { // too little to be known by: the line before is the last
			if most--; most > 0 {
				l.addBegins(p, begins, w, most)
			}
			return
		}
		lines = append(lines, line)
		break
	}
	for _, line := range lines {
		l.lines, l.styles = append(l.lines, line), append(l.styles, small)
	}
}

func (l label) drawOn(p *pageWriter, left, top measure.Length) {
	box := l.box.Move(left, top)
	y := measure.Length(0)
	for i, text := range l.lines {
		s := l.styles[i]
		w := p.advance(s, text)
		base := y + s.size*85/100 // the box is as high as the letters
		if l.turned {
			p.put(box.Right()-base, box.Y+(box.H-w)/2, s, text, true)
		} else {
			p.put(box.X+(box.W-w)/2, box.Y+base, s, text, false)
		}
		y += small.line()
	}
}
