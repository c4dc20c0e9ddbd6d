package intake

import (
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/intake/table"
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

// joiner is a sign that cannot be seen (U+2060, word joiner). It parts a letter from a sign of markup beside it, where a part of a
// word is bold; no text keeps it.
const joiner = "\u2060"

// Runs are a text with markup as the runs of a cell. Lines stay lines; what begins in a line ends in it.
func Runs(text string) []table.Run {
	var out []table.Run
	for i, l := range strings.Split(text, "\n") {
		if i > 0 {
			out = addRun(out, table.Run{Text: "\n"})
		}
		for _, r := range parseMarkup(l) {
			r.Text = strings.ReplaceAll(r.Text, joiner, "")
			out = addRun(out, table.Run(r))
		}
	}
	return out
}

// InCell is runs of a text as a workbook's cell holds them: as plain text, and in runs as well where there is bold or italic.
func InCell(runs []table.Run) (plain string, rich []table.Run) {
	var all strings.Builder
	for _, r := range runs {
		all.WriteString(r.Text)
	}
	plain = all.String()
	if len(runs) > 1 || len(runs) == 1 && (runs[0].Bold || runs[0].Italic) {
		rich = runs
	}
	return plain, rich
}

// addRun adds a run to those of a cell. A line break has no style of its own.
func addRun(runs []table.Run, r table.Run) []table.Run {
	n := len(runs)
	if n > 0 && (runs[n-1].Bold == r.Bold && runs[n-1].Italic == r.Italic || r.Text == "\n") {
		runs[n-1].Text += r.Text
		return runs
	}
	if r.Text == "" {
		return runs
	}
	return append(runs, r)
}

// Markup is the text of a workbook's cell with its bold and italic as *bold* and _italic_, so that Runs gives the same runs again. Signs
// that were typed keep a backslash where they would be taken for markup. A space has no style; and neither has a run in which there is
// no letter and no digit.
func Markup(c *table.Cell) string {
	runs := c.Runs()
	if len(runs) == 0 {
		runs = []table.Run{{Text: c.Text, Bold: c.Bold, Italic: c.Italic}}
	}
	var b strings.Builder
	for i, p := range split(runs) {
		if i > 0 {
			b.WriteByte('\n')
		}
		b.WriteString(markLine(p))
	}
	return b.String()
}

// Markup is the text of a block likewise.
func (b *Block) Markup() string {
	var lines []string
	for _, p := range b.Text {
		lines = append(lines, markLine(p))
	}
	return strings.Join(lines, "\n")
}

// markLine writes the markup of one line: as plainly as it can be read again.
func markLine(p Paragraph) string {
	var want Paragraph
	for _, r := range p {
		core := strings.TrimFunc(r.Text, unicode.IsSpace)
		if !strings.ContainsFunc(core, isWordRune) {
			want = addPart(want, Run{Text: r.Text})
			continue
		}
		before, after, _ := strings.Cut(r.Text, core)
		want = addPart(addPart(addPart(want, Run{Text: before}), Run{core, r.Bold, r.Italic}), Run{Text: after})
	}
	for _, write := range []func(Run) string{
		func(r Run) string { return marked(r, r.Text, "", "") },
		func(r Run) string { return marked(r, escapeSigns.Replace(r.Text), "", "") },
		func(r Run) string { return marked(r, escapeSigns.Replace(r.Text), "", joiner) },
		func(r Run) string { return marked(r, escapeSigns.Replace(r.Text), joiner, joiner) },
		func(r Run) string { return escapeSigns.Replace(r.Text) },
	} {
		var b strings.Builder
		for _, r := range want {
			b.WriteString(write(r))
		}
		var got Paragraph
		for _, r := range parseMarkup(b.String()) {
			got = addPart(got, Run{strings.ReplaceAll(r.Text, joiner, ""), r.Bold, r.Italic})
		}
		if slices.Equal(got, want) {
			return b.String()
		}
	}
	return flat([]Paragraph{want})
}

// addPart adds a run to those of a line.
func addPart(p Paragraph, r Run) Paragraph {
	switch n := len(p); {
	case r.Text == "":
	case n > 0 && p[n-1].Bold == r.Bold && p[n-1].Italic == r.Italic:
		p[n-1].Text += r.Text
	default:
		p = append(p, r)
	}
	return p
}

// marked is a run between the signs of its style, with something between them and the text, and around them.
func marked(r Run, text, within, around string) string {
	if r.Bold {
		text = "*" + within + text + within + "*"
	}
	if r.Italic {
		text = "_" + within + text + within + "_"
	}
	if !r.Bold && !r.Italic {
		return text
	}
	return around + text + around
}

var escapeSigns = strings.NewReplacer(`*`, `\*`, `_`, `\_`)
