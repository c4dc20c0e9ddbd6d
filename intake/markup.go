package intake

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// parseMarkup reads the markup of a line: *bold*, _italic_, both ways round and nested. A sign is markup only where it looks
// like it: the first one follows no letter or digit and stands before the words, the second follows the words and
// stands before no letter or digit; so 2*3, snake_case, "5* hotel" and a lone * stay as typed. A backslash before the
// sign keeps it, too.
func parseMarkup(s string) Paragraph {
	if !strings.ContainsAny(s, "*_") {
		return Paragraph{{Text: s}}
	}
	var m markupReader
	m.scan(s, false, false)
	m.flush()
	if m.out == nil {
		return Paragraph{{}}
	}
	return m.out
}

type markupReader struct {
	out    Paragraph
	run    Run // so far
	text   strings.Builder
	single [128]bool // signs that have no partner in what remains, so that none is looked for again
}

// scan adds the runs of s.
func (m *markupReader) scan(s string, bold, italic bool) {
	before := ' '
	from := 0
	for i := 0; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		if r == '\\' && i+1 < len(s) && (s[i+1] == '*' || s[i+1] == '_') {
			m.add(s[from:i], bold, italic)
			from, before = i+1, '*'
			i += 2
			continue
		}
		if (r == '*' && !bold || r == '_' && !italic) && !isWordRune(before) && !m.single[r] {
			if n, end := closing(s[i:], byte(r)); end > 0 {
				m.add(s[from:i], bold, italic)
				m.scan(s[i+n:i+end], bold || r == '*', italic || r == '_')
				i += end + n
				from, before = i, ' '
				continue
			}
			// No partner, and so none for a later sign of the line. A run of the same sign stays as it is.
			m.single[r] = len(s) > 1000
			for i+1 < len(s) && s[i+1] == s[i] {
				i++
			}
		}
		before = r
		i += size
	}
	m.add(s[min(from, len(s)):], bold, italic)
}

// closing finds the partner of the sign that s begins with. n is how many signs make it (** is bold, too), end where
// the partner stands; end is 0 where there is none.
func closing(s string, sign byte) (n, end int) {
	n = 1
	if sign == '*' && len(s) > 1 && s[1] == sign {
		n = 2
	}
	first, _ := utf8.DecodeRuneInString(s[n:])
	if len(s) == n || unicode.IsSpace(first) || s[n] == sign {
		return n, 0
	}
	wordySeen := false
	before := rune(sign)
	for i := n; i < len(s); {
		r, size := utf8.DecodeRuneInString(s[i:])
		if r == rune(sign) {
			run := 1
			for i+run < len(s) && s[i+run] == sign {
				run++
			}
			after, _ := utf8.DecodeRuneInString(s[i+run:])
			if run == n && wordySeen && !unicode.IsSpace(before) && before != '\\' && (i+run == len(s) || !isWordRune(after)) {
				return n, i
			}
			before = r
			i += run
			continue
		}
		wordySeen = wordySeen || isWordRune(r)
		before = r
		i += size
	}
	return n, 0
}

func isWordRune(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }

// add adds to the run, or begins another where the style changes.
func (m *markupReader) add(text string, bold, italic bool) {
	if text == "" {
		return
	}
	if m.run.Bold != bold || m.run.Italic != italic {
		m.flush()
		m.run.Bold, m.run.Italic = bold, italic
	}
	m.text.WriteString(text)
}

func (m *markupReader) flush() {
	if m.text.Len() > 0 {
		m.run.Text = m.text.String()
		m.out = append(m.out, m.run)
		m.text.Reset()
	}
}
