package typeset

import (
	"fmt"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Bringhurst's bounds for the letters of a justified line ("The Elements of Typographic Style", 2.1.2: forty at the least; 45 to 75
// serve well).
const (
	fewestLetters = 40
	mostLetters   = 75
)

// letters is how many letters, spaces among them, the lines of the text that is set last hold on average. Where every paragraph
// has one line, or a script without spaces, there is nothing to justify, and it is fewestLetters.
func (b *body) letters() int {
	letters, lines := 0, 0
	for i := range b.parts {
		p := &b.parts[i]
		if spaces := int(p.plain[len(p.plain)-1].spaces); p.role == text && p.lines > 1 && spaces >= p.lines {
			letters, lines = letters+len(p.text), lines+p.lines
		}
	}
	if lines == 0 {
		return fewestLetters
	}
	return letters / lines
}

// smallLong is a size in which a long text can be read, but is not read gladly.
const smallLong = 8 * measure.Point

// remarks are notes about a setting that is done.
func (b *body) remarks(set *Setting) (list problem.List) {
	n, size := b.letters(), set.Size
	if set.broken != "" {
		space, inset := set.Block.Space, set.Block.Inset
		list.Note(in(set.brokenIn), fmt.Sprintf("%s is wider than the space, and is broken", measure.Quote(set.broken)), "",
			fmt.Sprintf("make the space at least %s wide (it is %s), or type a hyphen where it may be broken", aboutUp(set.unbroken+inset.Left+inset.Right, set.Block.Unit), space.W.About(set.Block.Unit)))
	}
	if b.align == config.Justified && n < fewestLetters {
		list.Note(in("Align"), fmt.Sprintf("justified lines of about %d letters get uneven spaces", n), "lines set to both edges look even from 40 letters on",
			"align the block left, or choose a narrower font")
	}
	if n > mostLetters {
		list.Note(in(""), fmt.Sprintf("lines of about %d letters are hard to follow", n), "lines read well up to 75 letters",
			"make the space narrower and higher, or shorten the text")
	}
	if size > 0 && size <= smallLong && size < b.most && b.words > config.LongText {
		list.Note(in(""), fmt.Sprintf("%s is all that fits: small for a text of %s", size.Format(measure.Pt), problem.Count(b.words, "word")), "", "shorten the text, or make the space larger")
	}
	return list
}

// linesHold says how many letters the lines of a block that is not justified would have.
func linesHold(letters int) string {
	return fmt.Sprintf("its lines hold about %d letters, and lines set to both edges look even from 40 on", letters)
}

// notJustified is the note about a block that was aligned left instead.
func notJustified(cause, hint string) (list problem.List) {
	list.Note(in("Align"), "the block is aligned left, not justified", cause, hint)
	return list
}
