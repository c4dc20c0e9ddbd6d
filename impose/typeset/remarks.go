package typeset

import (
	"fmt"

	"tuckmark/config"
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

// remarks are notes about a setting that is done.
func (b *body) remarks() (list problem.List) {
	if b.align != config.Justified {
		return nil
	}
	switch n := b.letters(); {
	case n < fewestLetters:
		list.Note(in("Align"), fmt.Sprintf("justified lines of about %d letters get uneven spaces", n), "lines set to both edges look even from 40 letters on",
			"align the block left, or choose a narrower font")
	case n > mostLetters:
		list.Note(in("Align"), fmt.Sprintf("lines of about %d letters are hard to follow", n), "lines read well up to 75 letters",
			"make the space narrower, or ask for a larger size")
	}
	return list
}

// notJustified is the note about a block that was aligned left instead.
func (b *body) notJustified() (list problem.List) {
	list.Note(in("Align"), "the block is aligned left, not justified", fmt.Sprintf("its lines hold about %d letters, and lines set to both edges look even from 40 on", b.letters()),
		"to have it justified all the same, ask for it in its row and not for the whole job")
	return list
}
