package guide

import (
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
)

// exact prints a size as it was asked for: of sheets, which are what it says on the pack.
func exact(s measure.Size, u measure.Unit) string { return s.About(u.Ruler()) }

// widest is a text with every page number as wide as it can get: every number from the first word page on, or all where it has
// no such word. Space is reserved for it and not for the text, so that the guides have as many pages before the pieces
// are numbered as after.
func widest(text string) string {
	from := max(0, strings.Index(text, " page"))
	if strings.HasPrefix(text, "page") {
		from = 0
	}
	return text[:from] + wide(text[from:])
}

func wide(text string) string {
	var b strings.Builder
	for i := 0; i < len(text); i++ {
		if c := text[i]; c < '0' || c > '9' {
			b.WriteByte(c)
		} else if i == 0 || text[i-1] < '0' || text[i-1] > '9' {
			b.WriteString("0000")
		}
	}
	return b.String()
}

// pages is "page 4" or "pages 4-7".
func pages(numbers []int) string {
	return problem.Noun(len(numbers), "page") + " " + account.Ranges(numbers)
}
