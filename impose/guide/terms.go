package guide

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// term is a word that a page is read by, and what it means.
type term struct{ word, means string }

// terms are the words of the cutting guide, explained once: those that it uses.
func (j *job) terms() []term {
	if j.Scissors {
		return j.scissorTerms()
	}
	used := func(is func(*account.Line) bool) bool {
		return slices.ContainsFunc(j.Groups, func(g account.Group) bool {
			lines := g.Pieces[0].Lines
			return slices.ContainsFunc(lines, func(l account.Line) bool { return is(&l) })
		})
	}
	take := "the part with these places on it."
	if used(func(l *account.Line) bool { return len(l.Parts) == 2 }) {
		take = "the part with these places on it; of two, each."
	}
	all := []term{
		{"Picture", "to scale, printed side up, the edge that entered the printer first on top. White numbers on black are cuts, in their order; letters are places of blocks. Grey is scrap."},
		{"Take", take},
		{"Fence", "lay this edge of the part against the fence."},
		{"Set to", "how far the blade is from the fence."},
	}
	if used(func(l *account.Line) bool { return l.Step.FoundBy() == "mark" }) {
		all = append(all, term{"Mark", "cut along the printed mark so that it stays on the waste; the setting is a check."})
	}
	if used(func(l *account.Line) bool { return l.Step.FoundBy() == "measure" }) {
		all = append(all, term{"Measure", "no mark is there (a dashed line in the picture): go by the setting."})
	}
	if used(func(l *account.Line) bool { return l.Step.Skip }) {
		all = append(all, term{"Skip", "no cut: the part is to size but for a hair."})
	}
	if used(func(l *account.Line) bool { return l.Times > 1 }) {
		all = append(all, term{"3 times", "so many cuts with one setting, each time with what is left pushed up to the fence."})
	}
	if used(func(l *account.Line) bool { return len(l.Parts) > 2 }) {
		all = append(all, term{"4 alike", "this part and those of its size: cut each so."})
	}
	all = append(all, term{"Gives", "what you then have, from the left or top: A is done, part A has waste on it, keep is a leftover."})
	if j.several() {
		means := "those under one picture are cut alike: stack them if your trimmer allows, marks exactly over each other."
		if n := j.Settings.Trimmer.Stack; n > 1 {
			means = fmt.Sprintf("those under one picture are cut alike, up to %d in a stack, marks exactly over each other; then parts that are alike in stacks as well.", n)
		}
		all = append(all, term{"Pages", means})
	}
	return all
}

// several reports whether a picture is of several pieces.
func (j *job) several() bool {
	return slices.ContainsFunc(j.Groups, func(g account.Group) bool { return len(g.Pieces) > 1 })
}

// explain writes terms on a tint, in two columns.
func (p *pageWriter) explain(terms []term, s style) {
	b := s
	b.bold = true
	const pad, apart = measure.Inch / 12, measure.Inch / 5
	half := (p.width() - 2*pad - apart) / 2
	var texts [][]string
	total := 0
	for _, t := range terms {
		wider := p.advance(b, t.word) - p.advance(s, t.word)
		texts = append(texts, p.breakLines(s, t.word+" "+t.means, half-wider))
		total += len(texts[len(texts)-1])
	}
	split, lines := 0, 0 // the first column takes no less than the second
	for split < len(texts) && 2*lines < total {
		lines += len(texts[split])
		split++
	}
	h := measure.Length(max(lines, total-lines))*s.line() + 2*pad
	p.need(h)
	p.fill(measure.Rect{X: p.left(), Y: p.y, W: p.width(), H: h}, tint)
	x, y := p.left()+pad, p.y+pad
	for i, t := range terms {
		if i == split {
			x, y = x+half+apart, p.y+pad
		}
		for k, l := range texts[i] {
			at := x
			if k == 0 {
				at += p.text(x, y+s.size, b, t.word) + p.blank(s)
				l = strings.TrimPrefix(l, t.word+" ")
			}
			p.text(at, y+s.size, s, l)
			y += s.line()
		}
	}
	p.y += h
}
