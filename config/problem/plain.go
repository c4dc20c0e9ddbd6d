package problem

import (
	"fmt"
	"io"
	"strings"
	"unicode/utf8"
)

// Plain is a text as it may be shown on a terminal or a page: without the characters that steer a terminal (C0 but for line breaks,
// C1, delete) and those that turn the order of letters round (Unicode's embeddings, overrides and isolates), each of which shows as
// U+FFFD. A byte that is no UTF-8, as in the name of a file from an old disk, shows as \xE9.
func Plain(s string) string {
	if !strings.ContainsFunc(s, steers) && utf8.ValidString(s) {
		return s
	}
	var b strings.Builder
	for i, r := range s {
		switch {
		case r == utf8.RuneError && !strings.HasPrefix(s[i:], "\uFFFD"):
			fmt.Fprintf(&b, `\x%02X`, s[i])
		case steers(r):
			b.WriteRune(utf8.RuneError)
		default:
			b.WriteRune(r)
		}
	}
	return b.String()
}

// Line is a text as it may be shown within a line.
func Line(s string) string { return strings.ReplaceAll(Plain(s), "\n", " ") }

func steers(r rune) bool {
	return r < ' ' && r != '\n' || r >= 0x7f && r < 0xa0 || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x2028 || r == 0x2029
}

// PlainWriter writes what it is given as plain text. Each call must give whole characters.
type PlainWriter struct{ To io.Writer }

func (w PlainWriter) Write(p []byte) (int, error) {
	if _, err := io.WriteString(w.To, Plain(string(p))); err != nil {
		return 0, err
	}
	return len(p), nil
}
