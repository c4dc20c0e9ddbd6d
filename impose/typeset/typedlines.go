package typeset

import (
	"slices"
	"unicode"

	"tuckmark/config"
)

// A person's own lines, of verse, lists and addresses, are kept as they were typed where that can be done; where one must turn
// over, the rest of it hangs, so that it does not read as a new line.

// longestLine is how many letters a line may have that stands in verse or in an address; longer ones are paragraphs. (By trial;
// the lines of English verse have 60 and fewer.)
const longestLine = 60

// A space at the start of a line sets it in by a quarter of the em, up to mostIndent; a line of verse hangs by an em.
const (
	indentSpace = em / 4
	mostIndent  = 4 * em
	hangVerse   = em
)

// typedLines marks the parts that are a person's own lines and finds by how much they are set in and hang: lines that begin
// with a bullet or a number, and stanzas: neighbours of which none is long.
func (b *body) typedLines() {
	set := b.align != config.Centre && b.align != config.Right // elsewhere nothing hangs
	for from := 0; from < len(b.parts); {
		to := from
		for to < len(b.parts) && b.parts[to].role == text && len(b.parts[to].text) > 0 {
			to++
		}
		if to == from {
			from++
			continue
		}
		widest := int64(0) // of the numbers
		stanza := to-from > 1
		for i := from; i < to; i++ {
			n, number := marker(b.parts[i].text)
			if n == 0 {
				stanza = stanza && len(b.parts[i].text) <= longestLine
			} else if number {
				widest = max(widest, b.parts[i].widthOfFirst(n))
			}
		}
		for i := from; i < to; i++ {
			p := &b.parts[i]
			n, number := marker(p.text)
			p.line = n > 0 || stanza
			if !set {
				continue
			}
			indent := min(int64(b.typed[i].indent)*indentSpace, mostIndent)
			p.indent = indent
			switch {
			case n > 0 && number: // 9. stands below the 0 of 10.
				p.indent, p.hang = indent+widest-p.widthOfFirst(n), indent+widest
			case n > 0:
				p.hang = indent + p.widthOfFirst(n)
			case stanza:
				p.hang = indent + hangVerse
			}
		}
		from = to
	}
}

// marker is how many characters of a line are its bullet or number with the space after it, and whether it is a number.
func marker(text []rune) (n int, number bool) {
	switch {
	case len(text) < 3:
		return 0, false
	case slices.Contains([]rune("-–—•·*▪◦‣○●■□☐✓"), text[0]):
		n = 1
	default:
		for n < len(text) && n < 3 && unicode.IsDigit(text[n]) {
			n++
		}
		if number = n > 0; !number && unicode.IsLower(text[0]) && text[1] == ')' {
			n, number = 1, true
		}
		if n == 0 || n == len(text) || text[n] != '.' && text[n] != ')' {
			return 0, false
		}
		n++
	}
	if n >= len(text)-1 || text[n] != ' ' {
		return 0, false
	}
	return n + 1, number
}

// widthOfFirst is the width of the first n characters, in parts of the em; of text from right to left that of an em.
func (p *paragraph) widthOfFirst(n int) (width int64) {
	if p.base == 1 {
		return em
	}
	for i := range p.glyphs {
		if int(p.glyphs[i].from) < n && p.glyphs[i].to > p.glyphs[i].from {
			width += int64(p.glyphs[i].advance)
		}
	}
	return width
}
