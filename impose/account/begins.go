package account

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/intake"
)

// Begins is the beginning of what a block says, for a person to recognise it by.
func Begins(b *intake.Block) string {
	const enough = 80
	var out []string
	n := 0
	add := func(text string) {
		for _, w := range strings.Fields(text) {
			if n < enough {
				out = append(out, w)
				n += utf8.RuneCountInString(w) + 1
			}
		}
	}
	if title := strings.TrimSpace(b.Title); title != "" {
		if r, _ := utf8.DecodeLastRuneInString(title); unicode.IsLetter(r) || unicode.IsDigit(r) {
			title += ":"
		}
		add(title)
	}
	for _, p := range b.Text {
		var line strings.Builder // a word may be parted by runs
		for _, r := range p {
			line.WriteString(r.Text)
		}
		add(line.String())
	}
	return strings.Join(out, " ")
}
