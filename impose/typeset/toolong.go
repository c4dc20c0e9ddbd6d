package typeset

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// excess is by how much a text is too long for its space at its smallest size.
type excess struct {
	words int            // to drop, from the end; 0: dropping some does not help
	high  measure.Length // that the space would have to be; 0: no height helps
}

// tooLong says by how much a text is too long for its space at its smallest size, and the ways out: fewer words, a larger
// space, smaller type.
func (t *textSetter) tooLong(body *body, b *intake.Block, s *config.Settings, low measure.Length) (*problem.Problem, excess) {
	unit := b.Unit
	size := low.Format(measure.Pt)
	t.useBreaks(body, body.hyphenator(b, s), 0)
	if wide, word, column := t.widest(body, b, low); word != "" {
		f := &problem.Problem{What: fmt.Sprintf("%s is wider than the space, even at %s", measure.Quote(word), size), Place: in(column),
			Hint: "make the space at least " + t.wider(body, b, s, low, wide) + ", or choose a narrower font"}
		if smaller := t.smaller(body, b, s, low); smaller > 0 {
			f.Hint += fmt.Sprintf(", or allow type of %s", smaller.Format(measure.Pt))
		}
		return f, excess{}
	}
	needed := t.needed(body, b, s, low)
	high := roundUp(needed+b.Inset.Top+b.Inset.Bottom, unit)
	ways := []string{fmt.Sprintf("make the space at least %s high (it is %s)", high.Format(unit), b.Space.H.About(unit))}
	f := &problem.Problem{What: "the text is too long for its space, even at " + size}
	drop, about := 0, ""
	if t.roughly {
		drop, about = body.excessOf(needed, low), "about "
	} else {
		drop = t.excess(body, b, s, low)
	}
	if drop > 0 {
		f.What = fmt.Sprintf("the text is %s%s too long for its space, even at %s", about, problem.Count(drop, "word"), size)
		ways = slices.Insert(ways, 0, "drop "+about+problem.Count(drop, "word"))
	} else {
		f.What = fmt.Sprintf("the space is too low for a line of %s", size)
	}
	if !t.roughly {
		if smaller := t.smaller(body, b, s, low); smaller > 0 {
			ways = append(ways, fmt.Sprintf("allow type of %s", smaller.Format(measure.Pt)))
		}
	}
	f.Hint = strings.Join(ways[:len(ways)-1], ", ")
	if f.Hint != "" {
		f.Hint += ", or "
	}
	f.Hint += ways[len(ways)-1]
	return f, excess{drop, high}
}

// wider says how wide the space has to be whose longest word needs so wide a line, and how high where the text does not fit it then.
func (t *textSetter) wider(body *body, b *intake.Block, s *config.Settings, low, wide measure.Length) string {
	wider := *b
	for { // words that were broken in the narrow line may have to stand whole in the wider one
		wider.Space.W = roundUp(wide+b.Inset.Left+b.Inset.Right, b.Unit)
		body, _ = t.assemble(&wider, body.typed, body.faces)
		body.smallest = low
		if _, _, ok := t.fit(body, &wider, s, []measure.Length{low}); ok {
			return fmt.Sprintf("%s wide (it is %s)", wider.Space.W.Format(b.Unit), b.Space.W.About(b.Unit))
		}
		t.useBreaks(body, body.hyphenator(b, s), 0)
		more, word, _ := t.widest(body, &wider, low)
		if word == "" {
			break
		}
		wide = more
	}
	high := roundUp(t.needed(body, &wider, s, low)+b.Inset.Top+b.Inset.Bottom, b.Unit)
	return fmt.Sprintf("%s wide and %s high (it is %s)", wider.Space.W.Format(b.Unit), high.Format(b.Unit), b.Space.About(b.Unit))
}

// aboutUp prints a measure rounded up to what a ruler shows.
func aboutUp(l measure.Length, u measure.Unit) string { return roundUp(l, u).Format(u) }

// roundUp rounds a measure up to what a ruler shows.
func roundUp(l measure.Length, u measure.Unit) measure.Length {
	grain := u.Graduation()
	if u == measure.Pt {
		grain = measure.Point
	}
	return (l + grain - 1) / grain * grain
}

// widest is the widest thing that cannot be broken, where it is wider than the line, how wide the line would have to be, and the column it is typed in.
func (t *textSetter) widest(body *body, b *intake.Block, low measure.Length) (wide measure.Length, word, column string) {
	for i := range body.parts {
		p := &body.parts[i]
		size := body.size(p.role, low)
		for j := 1; j < len(p.breaks); j++ {
			from, to := &p.breaks[j-1], &p.breaks[j]
			need := atUp(to.width-from.width1+to.before+from.after, size) + slack
			if need > body.box.W && need > wide {
				wide, word, column = need, string(p.text[from.next:to.end]), columnOf(b, p, from.next)
			}
		}
	}
	return wide, word, column
}

// columnOf is the form's column that what begins at a character of a part is typed in; "" is the text's.
func columnOf(b *intake.Block, p *rolePart, at int) string {
	switch p.role {
	case heading:
		return "Title"
	case closing:
		if n := strings.Count(string(p.text[:at]), strings.TrimSpace(intake.EndSign)); n < len(b.EndIn) {
			return b.EndIn[n]
		}
		return "When"
	}
	return ""
}

// needed is the height at which the text fits at a size, lines as wide as they are.
func (t *textSetter) needed(body *body, b *intake.Block, s *config.Settings, size measure.Length) measure.Length {
	tall := *b
	body.align = b.Type.Align // justified lines may be tighter than ragged ones
	h := body.least(size)
	for range 100 {
		tall.Space.H = h + b.Inset.Top + b.Inset.Bottom
		higher := *body
		higher.box.H = h
		if _, _, ok := t.fit(&higher, &tall, s, []measure.Length{size}); ok {
			return h
		}
		h += measure.Length(int64(size) * body.leadingAt(size) / 1000)
	}
	return h
}

// smaller is the largest size below the smallest at which the text fits, or 0 where that would be too small to read at all.
func (t *textSetter) smaller(body *body, b *intake.Block, s *config.Settings, low measure.Length) measure.Length {
	const tiny = 4 * measure.Point
	tried := *body
	tried.smallest = tiny
	if set, _, ok := t.fit(&tried, b, s, steps(tiny, low-config.TypeStep)); ok {
		return set.Size
	}
	return 0
}

// A text of more words than veryLong is shortened by hundreds of words: then a few more than must go do, out of inParts of it, and the text is set half as often.
const (
	veryLong = 1000
	inParts  = 64
)

// excess is how many words, from the end, must go so that the rest of the text fits: with one word fewer gone it does not, but for a text that is very long.
// It is 0 where not even one word fits.
func (t *textSetter) excess(body *body, b *intake.Block, s *config.Settings, low measure.Length) int {
	total := body.tokens()
	holds := func(rest []typed) bool {
		cut, _ := t.assemble(b, rest, body.faces)
		cut.smallest = body.smallest
		_, _, ok := t.fit(cut, b, s, []measure.Length{low})
		return ok
	}
	fits := func(words int) bool { return holds(first(body.typed, words)) }
	yes, no := 0, 1
	for no < total && fits(no) { // doubling first: most of a very long text need not be shaped again
		yes, no = no, 2*no
	}
	no = min(no, total)
	exact := 1
	if total > veryLong {
		exact = total / inParts
	}
	for no-yes > exact {
		if m := (yes + no) / 2; fits(m) {
			yes = m
		} else {
			no = m
		}
	}
	if yes == 0 {
		return 0
	}
	// What is left may read like no language, so that its words are not broken: then more have to go.
	for n := yes; n > max(0, yes-dropMore); n-- {
		rest := first(body.typed, n)
		reads := t.reads(rest)
		for i := range rest {
			rest[i].lang = reads
		}
		if reads == body.lang && n == yes || holds(rest) {
			return total - n
		}
	}
	return total - yes
}

// tokens counts the words of the text.
func (b *body) tokens() (total int) {
	for _, p := range b.typed {
		if p.role == text {
			total += tokens(p.text)
		}
	}
	return total
}

// excessOf reckons excess by the height that the text needs, as if all lines had as many words.
func (b *body) excessOf(needed, low measure.Length) int {
	if b.box.H < b.ascent(low)+b.descent(low) {
		return 0
	}
	words, over := int64(b.tokens()), int64(needed-b.box.H)
	return int(min(words, max(1, (words*over+int64(needed)-1)/int64(needed))))
}

// dropMore is how many words more are tried to go because the rest reads otherwise: short texts only do.
const dropMore = 12

// tokens counts the words of a cleaned text.
func tokens(text []rune) int {
	if len(text) == 0 {
		return 0
	}
	n := 1
	for _, r := range text {
		if r == ' ' {
			n++
		}
	}
	return n
}

// first is the paragraphs with only so many words of text.
func first(all []typed, words int) []typed {
	var out []typed
	var end []typed
	for _, p := range all {
		switch {
		case p.role == closing:
			end = append(end, p)
			continue
		case p.role == text && words == 0:
			continue
		case p.role == text && tokens(p.text) > words:
			i := 0
			for n := 0; n < words; i++ {
				if p.text[i] == ' ' {
					n++
				}
			}
			p.text, p.styles = p.text[:i-1], p.styles[:i-1]
			if p.at != nil {
				p.at = p.at[:i]
			}
			words = 0
		case p.role == text:
			words -= tokens(p.text)
		}
		out = append(out, p)
	}
	for len(out) > 1 && len(out[len(out)-1].text) == 0 {
		out = out[:len(out)-1]
	}
	return append(out, end...)
}
