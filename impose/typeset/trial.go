package typeset

import (
	"cmp"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Trial is a block set by itself, while its text is typed.
type Trial struct {
	Setting  *Setting       // nil: it cannot be set
	Problems problem.List   // with an error where it cannot be set; the places have columns only
	More     int            // about how many words more its space holds at the smallest size; 0 where it cannot be set
	Over     int            // words to drop so that it can be set; 0: none, or dropping some does not help
	High     measure.Length // that the space would have to have, to hold a text that is too long; 0: it holds it, or no height helps
}

// Try sets one block as Set does, but for what matches it to other blocks.
func Try(l *Library, b *intake.Block, s *config.Settings) Trial {
	t := newTextSetter(l, s.LanguageTag())
	defer t.close()
	r := t.block(b, s, 0)
	for i := range r.found {
		column := &r.found[i].Place.Column
		*column = cmp.Or(*column, "Journaling")
	}
	out := Trial{Problems: r.found, Over: r.over.words, High: r.over.high}
	if !r.held() {
		out.Setting, out.More = &r.setting, t.more(b, s)
	}
	return out
}

// mostMore is more words than anybody wants to hear of.
const mostMore = 400

// more is about how many words could be added to a block that can be set, so that it still can: words such as it has, one after the
// other. It is exact up to a tenth.
func (t *textSetter) more(b *intake.Block, s *config.Settings) (words int) {
	defer func() {
		if recover() != nil { // see block
			t.shapers, words = map[*Face]*shaper{}, 0
		}
	}()
	t.glyphs.reset()
	t.breaks.reset()
	body, found := t.prepare(b)
	if found.Errors() > 0 {
		return 0
	}
	if !slices.ContainsFunc(body.typed, func(p typed) bool { return p.role == text }) {
		return 0
	}
	low := body.sizes(b)[0]
	fits := func(words int) bool {
		longer, _ := t.assemble(b, longer(body.typed, words), body.faces)
		longer.smallest = body.smallest
		_, _, ok := t.fit(longer, b, s, []measure.Length{low})
		return ok
	}
	yes, no := 0, 2
	for no < mostMore && fits(no) {
		yes, no = no, 2*no
	}
	for no-yes > max(1, yes/10) {
		if m := (yes + no) / 2; fits(m) {
			yes = m
		} else {
			no = m
		}
	}
	return min(yes, mostMore)
}

// filler stands for what somebody may go on to write, where there are too few words to tell: of common length.
const filler = "and we went down to the water before anybody else was awake"

// longer is the paragraphs with so many words more at the end of the text.
func longer(all []typed, words int) []typed {
	out := slices.Clone(all)
	last := -1
	for i := range out {
		if out[i].role == text {
			last = i
		}
	}
	p := &out[last]
	like := strings.Fields(string(p.text))
	if len(like) < 10 {
		like = strings.Fields(filler)
	}
	p.text, p.styles = slices.Clone(p.text), slices.Clone(p.styles)
	p.source, p.at = nil, nil
	for i := range words {
		word := []rune(" " + like[i%len(like)])
		p.text, p.styles = append(p.text, word...), append(p.styles, make([]uint8, len(word))...)
	}
	return out
}
