package table

import (
	"strings"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/encoding/charmap"
)

// clean sets a cell's text: its line breaks become \n, and what can be neither seen nor printed is taken out.
func (c *Cell) clean(s string) {
	var taken string
	var lost bool
	c.Text, taken, lost = cleaned(s)
	if taken != "" || lost {
		if c.more == nil {
			c.more = &more{}
		}
		c.more.mended, c.more.lost = taken, lost
	}
}

// cleaned is a text as it can be set. taken tells what was taken out or mended, in words; lost, that a letter was lost
// on the way here.
func cleaned(s string) (out, taken string, lost bool) {
	if plainText(s) {
		return s, "", false
	}
	var b strings.Builder
	removed, mended := false, false
	indenting := false // nothing but spaces has come in this line, which is not the first
	for i, r := range s {
		indenting = (indenting || i > 0 && (s[i-1] == '\n' || s[i-1] == '\r')) && (r == ' ' || r == '\t')
		switch {
		case r == '\r':
			if !strings.HasPrefix(s[i+1:], "\n") {
				b.WriteByte('\n')
			}
		case r == '\n', r == '\v', r == '\f', r == '\u0085', r == '\u2028', r == '\u2029': // all of them break lines (UAX #14, class BK)
			b.WriteByte('\n')
		case r == '\t' && indenting:
			b.WriteString("    ")
		case r == '\t':
			b.WriteByte(' ')
		case r == utf8.RuneError:
			lost = true
			b.WriteRune(r)
		case r == '\ufeff', r == '\u2060', r >= '\ufff9' && r <= '\ufffb':
			// a mark of byte order or of editing: nothing to see
		case r >= 0x80 && r < 0xa0:
			// Windows-1252 that was taken for Latin-1 on its way: the letter is known.
			if c := charmap.Windows1252.DecodeByte(byte(r)); c != utf8.RuneError && !unicode.IsControl(c) {
				mended = true
				b.WriteRune(c)
			} else {
				removed = true
			}
		case unicode.IsControl(r), r >= 0xfdd0 && r <= 0xfdef, r&0xfffe == 0xfffe:
			removed = true
		default:
			b.WriteRune(r)
		}
	}
	switch {
	case removed:
		taken = "a control character was taken out of the text"
	case mended:
		taken = "quotes and dashes that another program had spoilt were put right"
	}
	return b.String(), taken, lost
}

// plainText reports a text that needs no cleaning: the common case, without a copy.
func plainText(s string) bool {
	for i := 0; i < len(s); i++ {
		if b := s[i]; b < ' ' && b != '\n' || b == 0x7f || b == 0xc2 || b == 0xe2 || b >= 0xef {
			return false
		}
	}
	return utf8.ValidString(s)
}
