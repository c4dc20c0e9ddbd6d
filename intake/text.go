package intake

import (
	"regexp"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/intake/table"
)

// seen reports whether a character is one that can be seen, by itself or with the one before it: no space, and nothing that
// only guides how a text is set (Unicode's format characters and variation selectors, and the grapheme joiner).
func seen(r rune) bool {
	return !unicode.IsSpace(r) && !unicode.In(r, unicode.Cf, unicode.Variation_Selector) && r != '\u034f'
}

// line is a text on one line, its spaces single.
func line(s string) string { return strings.Join(strings.Fields(s), " ") }

// Journaling is what a cell of the row Rows[i] says as journaling; nothing, where it is no text of a block.
func (s *Sheet) Journaling(i int, c *table.Cell) []Paragraph {
	k, headed := s.HeadingAt(c.Col)
	if !headed || s.Columns[k].as != asJournaling || s.Columns[k].Double || i <= s.Head || c.Kind == table.Uncomputed {
		return nil
	}
	if unseen, _ := c.Unseen(); unseen {
		return nil // its row is held
	}
	return paragraphs(c, s.CSV)
}

// paragraphs parts the text of a cell at its line breaks: rich text by its runs, text of a CSV file by its markup.
// Blank lines at both ends and spaces at the ends of lines are dropped; what a line is set in by more than others stays at its start.
func paragraphs(c *table.Cell, markup bool) []Paragraph {
	var out []Paragraph
	if runs := c.Runs(); len(runs) > 0 {
		out = split(runs)
	} else {
		for _, l := range strings.Split(c.Text, "\n") {
			if markup {
				out = append(out, parseMarkup(l))
			} else {
				out = append(out, Paragraph{{Text: l}})
			}
		}
		if c.Bold || c.Italic {
			for _, p := range out {
				for i := range p {
					p[i].Bold, p[i].Italic = c.Bold, c.Italic // of a workbook, so there is no markup
				}
			}
		}
	}
	indents := make([]string, len(out))
	for i := range out {
		indents[i], out[i] = indentOf(out[i]), trim(out[i])
	}
	first, end := 0, len(out)
	for first < end && len(out[first]) == 0 {
		first++
	}
	for end > first && len(out[end-1]) == 0 {
		end--
	}
	out, indents = out[first:end], indents[first:end]
	for i, more := range beyond(out, indents) {
		if more != "" {
			out[i][0].Text = more + out[i][0].Text
		}
	}
	return out
}

// indentOf is the spaces at the start of a line.
func indentOf(p Paragraph) string {
	if len(p) == 0 {
		return ""
	}
	return p[0].Text[:len(p[0].Text)-len(strings.TrimLeft(p[0].Text, " "))]
}

// beyond is what each line is set in by more than the one that is set in least. Who begins every line with a space, or the only one,
// means nothing by it, and neither does a lone space.
func beyond(lines []Paragraph, indents []string) []string {
	least := -1
	for i := range lines {
		if len(lines[i]) > 0 && (least < 0 || len(indents[i]) < least) {
			least = len(indents[i])
		}
	}
	out := make([]string, len(lines))
	for i := range lines {
		if len(lines[i]) > 0 && indents[i][least:] != " " {
			out[i] = indents[i][least:]
		}
	}
	return out
}

// split parts runs at line breaks and joins neighbours of one style.
func split(runs []table.Run) []Paragraph {
	out := []Paragraph{nil}
	for _, r := range runs {
		for i, l := range strings.Split(r.Text, "\n") {
			if i > 0 {
				out = append(out, nil)
			}
			p := &out[len(out)-1]
			if n := len(*p); n > 0 && (*p)[n-1].Bold == r.Bold && (*p)[n-1].Italic == r.Italic {
				(*p)[n-1].Text += l
			} else if l != "" {
				*p = append(*p, Run{l, r.Bold, r.Italic})
			}
		}
	}
	return out
}

// Join is a text with the line breaks of its paragraphs in it, in runs that differ from their neighbours: what split took apart.
func Join(paragraphs []Paragraph) []Run {
	var out []Run
	for i, p := range paragraphs {
		if i > 0 {
			if len(out) == 0 {
				out = append(out, Run{})
			}
			out[len(out)-1].Text += "\n"
		}
		for _, r := range p {
			if n := len(out); n > 0 && out[n-1].Bold == r.Bold && out[n-1].Italic == r.Italic {
				out[n-1].Text += r.Text
			} else {
				out = append(out, r)
			}
		}
	}
	return out
}

// trim drops the spaces at both ends of a paragraph and the runs that become empty.
func trim(p Paragraph) Paragraph {
	for len(p) > 0 {
		if p[0].Text = strings.TrimLeftFunc(p[0].Text, unicode.IsSpace); p[0].Text != "" {
			break
		}
		p = p[1:]
	}
	for len(p) > 0 {
		last := &p[len(p)-1]
		if last.Text = strings.TrimRightFunc(last.Text, unicode.IsSpace); last.Text != "" {
			break
		}
		p = p[:len(p)-1]
	}
	if len(p) == 0 {
		return nil
	}
	return p
}

// flat is the text of paragraphs, a line each.
func flat(ps []Paragraph) string {
	var b strings.Builder
	for i, p := range ps {
		if i > 0 {
			b.WriteByte('\n')
		}
		for _, r := range p {
			b.WriteString(r.Text)
		}
	}
	return b.String()
}

var (
	gap = regexp.MustCompile(`(?i)` +
		`(?:^|[\s(\["'“‘/.,:–—-])(\?\?+)` + // ?? on its own; Really?? is only surprise
		`|(?:^|[^\pL\pN])(tbd|tba|tbc|todo|to be (?:added|confirmed|decided|filled in)|lorem ipsum)(?:$|[^\pL\pN])` +
		`|([\[<{«]\s*(?:(?:the|your|our|add|insert|enter|fill in)\s+)?(?:dates?|names?|places?|locations?|who|where|when|what|ages?|years?|months?|days?|times?|titles?|texts?|journal(?:l)?ing|story|here|insert[^\]>}»]*|\?+|\.\.+|…|_+)?(?:\s+here)?\s*[\]>}»])` +
		`|(?:^|[^\pL\pN_])(_{3,})(?:$|[^\pL\pN_])`)
	crosses = regexp.MustCompile(`(?i)(?:^|[^\pL\pN])(xx|xxxx+)(?:$|[^\pL\pN])|(?:^|[^\pL\pN])(XXX)(?:$|[^\pL\pN])`)
)

// placeholder finds what somebody meant to fill in later, or "".
func placeholder(text string) string {
	if !hinted(text) {
		return ""
	}
	for _, re := range []*regexp.Regexp{gap, crosses} {
		if m := re.FindStringSubmatch(text); m != nil {
			for _, g := range m[1:] {
				if g != "" && !(re == crosses && g == "xxx") { // three small ones are kisses
					return g
				}
			}
		}
	}
	return ""
}

// hinted is a quick look for what every placeholder has, so that few texts are searched in full.
func hinted(text string) bool {
	if strings.ContainsAny(text, "[<{«") || strings.Contains(text, "??") || strings.Contains(text, "__") {
		return true
	}
	lower := strings.ToLower(text)
	for _, h := range []string{"xx", "tbd", "tba", "tbc", "todo", "to be ", "lorem"} {
		if strings.Contains(lower, h) {
			return true
		}
	}
	return false
}

// months are the names of months, and their usual short forms, in the languages of the keyboards we expect, without
// accents.
var months = map[string]bool{}

func init() {
	for _, m := range strings.Fields(`january february march april may june july august september october november december
		jan feb mar apr jun jul aug sep sept oct nov dec
		janvier fevrier mars avril mai juin juillet aout septembre octobre novembre decembre
		januar jaenner februar marz maerz juni juli oktober dezember
		enero febrero marzo abril mayo junio julio agosto septiembre octubre noviembre diciembre
		gennaio febbraio aprile maggio giugno luglio settembre ottobre dicembre
		januari februari maart mei augustus janeiro fevereiro marco maio junho julho setembro outubro novembro dezembro`) {
		months[m] = true
	}
}

var (
	figures = regexp.MustCompile(`(?:^|[^0-9])(?:1[6-9][0-9]{2}|20[0-9]{2})(?:$|[^0-9])|(?:^|[^0-9])[0-3]?[0-9][./-][0-3]?[0-9](?:[./-](?:[0-9]{2}){1,2})?(?:$|[^0-9])|['’][0-9]{2}(?:$|[^0-9])`)
	letterz = regexp.MustCompile(`\pL+`)
)

// dated reports whether a text says when: a year, a date in figures, the name of a month.
func dated(s string) bool {
	if figures.MatchString(s) {
		return true
	}
	for _, w := range letterz.FindAllString(s, -1) {
		// "may" and "mar" are words of their own; a month has a capital in the languages where they are.
		if key := plainLetters(w); months[key] && (len(key) > 3 && key != "mars" && key != "mayo" || unicode.IsUpper([]rune(w)[0])) {
			return true
		}
	}
	return false
}

// namesSomebody reports whether a text names somebody or some place: a word with a capital inside a sentence. In scripts without
// capitals nobody can tell by the letters, and it may.
func namesSomebody(s string) bool {
	if strings.ContainsFunc(s, func(r rune) bool { return unicode.Is(unicode.Lo, r) && r > 0xff }) {
		return true
	}
	inside := false
	for _, w := range strings.Fields(s) {
		core := strings.TrimFunc(w, func(r rune) bool { return !unicode.IsLetter(r) })
		first, _ := utf8.DecodeRuneInString(core)
		if inside && unicode.IsUpper(first) && utf8.RuneCountInString(core) > 1 && !strings.HasPrefix(core,
			"I'") && !strings.HasPrefix(core, "I’") && !months[plainLetters(core)] {
			return true
		}
		if core != "" {
			inside = !strings.ContainsAny(w[len(w)-1:], ".!?:") && !strings.HasSuffix(w, "…")
		}
	}
	return false
}
