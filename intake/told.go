package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// told is what the settings say of headings that no rule knows, by the heading's plain letters.
type told map[string]toldColumn

type toldColumn struct {
	as      meaning // asUnknown: not to be read
	heading string
	met     bool // in a table
}

func (t told) of(heading string) (toldColumn, bool) {
	if len(t) == 0 {
		return toldColumn{}, false
	}
	key := plainLetters(heading)
	w, ok := t[key]
	if ok && !w.met {
		w.met = true
		t[key] = w
	}
	return w, ok
}

// readTold takes what the settings say of headings. Of two sayings about one heading the first counts, which is that of this run.
func readTold(s *config.Settings) (t told, problems problem.List) {
	if len(s.Columns) == 0 {
		return nil, nil
	}
	t = told{}
	at := problem.Place{File: s.File}
	for _, c := range s.Columns {
		key := plainLetters(c.Heading)
		w := toldColumn{heading: c.Heading}
		switch known, ok := synonyms[plainLetters(c.As)]; {
		case ok:
			w.as = known
		case slices.Contains([]string{"", "nothing", "none", "ignore", "not read"}, plainLetters(c.As)):
		default:
			hint := "the columns are " + strings.Join(columnNames(), ", ") + "; or nothing, where it is not to be read"
			if near := config.Near(c.As, columnNames()); near != "" {
				hint = fmt.Sprintf("did you mean %s? ", near) + hint
			}
			problems.Add(at, fmt.Sprintf("the column %s is told to be %s, which is no column", measure.Quote(c.Heading), measure.Quote(c.As)), "", hint)
			continue
		}
		if _, ok := t[key]; !ok {
			t[key] = w
		}
	}
	return t, problems
}

// notMet notes what was said of headings that no table has.
func (t told) notMet(s *config.Settings, list *problem.List) {
	for _, c := range s.Columns {
		if w, ok := t[plainLetters(c.Heading)]; ok && !w.met && w.heading == c.Heading && !Made(c.Heading) { // which is of one file
			list.Note(problem.Place{File: s.File}, fmt.Sprintf("no table has the column %s", measure.Quote(c.Heading)), "the settings say what it means", "check how it is spelled")
		}
	}
}

func columnNames() (names []string) {
	for _, h := range headings {
		if !h.paper && !h.desk && h.as != asFits {
			names = append(names, h.Name)
		}
	}
	return names
}

// taken says of each heading what it was taken for.
func (s *Sheet) taken() string {
	var out []string
	for i := range s.Columns {
		c := &s.Columns[i]
		if c.Heading == "" {
			continue
		}
		if len(out) == 20 {
			out = append(out, "and so on")
			break
		}
		what := " is not known"
		switch {
		case c.ignored:
			what = " is not to be read"
		case c.Double:
			what = " is a second " + c.as.String()
		case c.as != asUnknown:
			what = " is " + c.as.String()
		}
		if c.set > 0 {
			what += fmt.Sprintf(" of block %d", c.set)
		}
		out = append(out, measure.Quote(c.Heading)+what)
	}
	return strings.Join(out, ", ")
}

const addIt = "add the column, or name it as the form does"

// howToTell is the line that settles which columns are the missing ones, as far as their cells tell.
func (s *Sheet) howToTell(missing []string) string {
	if s.headIsRow() {
		return "type a row of headings above it, as the form has them: Name, Journaling, Width, Height"
	}
	used := map[int]bool{}
	var lines []string
	for _, m := range missing {
		names := []string{m}
		if strings.HasPrefix(m, "Width and") {
			names = []string{"Width", "Height"}
		}
		if len(names) == 2 {
			lines = append(lines, s.sidesToTell(used)...)
			continue
		}
		for _, name := range names {
			if c := s.likely(name, used); c != nil {
				for _, c := range s.alikeBut(c) {
					used[c.Index] = true
					lines = append(lines, fmt.Sprintf("--column \"%s=%s\"", c.Heading, name))
				}
			}
		}
	}
	if len(lines) == 0 {
		return addIt
	}
	return "if it is there under another heading, say so: " + strings.Join(lines, " ")
}

// alikeBut are the columns that no rule knows and whose headings are alike but for their figures, with the one itself: #1 Story, #2 Story.
func (s *Sheet) alikeBut(c *Column) (out []*Column) {
	without := func(heading string) string {
		return plainLetters(strings.Map(func(r rune) rune {
			if unicode.IsDigit(r) {
				return ' '
			}
			return r
		}, heading))
	}
	for i := range s.Columns {
		if o := &s.Columns[i]; o == c || o.as == asUnknown && !o.ignored && o.Heading != "" && without(o.Heading) == without(c.Heading) {
			out = append(out, o)
		}
	}
	return out
}

// sidesToTell are the lines that settle which columns are the width and the height: those whose headings speak of a side, else those that hold measures, as they stand.
func (s *Sheet) sidesToTell(used map[int]bool) (lines []string) {
	var found []*Column
	for i := range s.Columns {
		if c := &s.Columns[i]; s.looksLike(c, "Width", used) > 0 {
			used[c.Index] = true
			found = append(found, c)
		}
	}
	said := map[string]*Column{}
	for _, c := range found {
		if side := speaksOfSide(c.Heading); side != "" && said[side] == nil {
			said[side] = c
		}
	}
	for _, side := range []string{"Width", "Height"} {
		for _, c := range found {
			if said[side] == nil && speaksOfSide(c.Heading) == "" && c != said["Width"] {
				said[side] = c
			}
		}
		if c := said[side]; c != nil {
			lines = append(lines, fmt.Sprintf("--column \"%s=%s\"", c.Heading, side))
		}
	}
	return lines
}

// speaksOfSide is the side that a heading speaks of that no rule knows: Left to right, Top to bottom; "": neither.
func speaksOfSide(heading string) string {
	for _, w := range strings.Fields(sidesSaid.Replace(plainLetters(heading))) {
		switch cmp.Or(sideNamed[w], sidesInPairs[w]) {
		case 'w':
			return "Width"
		case 'h', 'l':
			return "Height"
		}
	}
	return ""
}

// headIsRow reports that what stands where the headings should be is a row of journaling: a measure or a size is among them.
func (s *Sheet) headIsRow() bool {
	return slices.ContainsFunc(s.Rows[s.Head].Cells, func(c table.Cell) bool { return !blank(&c) && !c.Covered && holdsMeasure(c) })
}

// likely is the unknown column whose cells look most like what is missing, or nil.
func (s *Sheet) likely(missing string, used map[int]bool) (best *Column) {
	most := 0
	for i := range s.Columns {
		if fit := s.looksLike(&s.Columns[i], missing, used); fit > most {
			best, most = &s.Columns[i], fit
		}
	}
	return best
}

// looksLike is how much the first cells of a column look like what is missing; 0: not at all, or the column is known, used already or without a heading.
func (s *Sheet) looksLike(c *Column, missing string, used map[int]bool) (fit int) {
	if c.as != asUnknown || c.ignored || used[c.Index] || c.Heading == "" {
		return 0
	}
	for r := s.Head + 1; r < min(len(s.Rows), s.Head+40); r++ {
		cell := s.Rows[r].At(c.Index)
		if cell == nil {
			continue
		}
		_, no := measure.Parse(cell.ExactText(), measure.In)
		measured := no == nil && cell.Kind != table.Date
		words := len(strings.Fields(cell.Text))
		switch missing {
		case "Journaling":
			if !measured && cell.Kind == table.Text && words > 1 {
				fit += words
			}
		case "Name":
			if !measured && cell.Kind == table.Text && words > 0 && words < 4 && !strings.ContainsAny(cell.Text, "0123456789@") {
				fit++
			}
		default:
			if measured {
				fit++
			}
		}
	}
	return fit
}

// A text of so many words is not typed by the way: it is somebody's journaling.
const manyWords = 8

func long(text string) bool {
	n, signs := 0, 0
	for range strings.FieldsSeq(text) {
		if n++; n == manyWords {
			return true
		}
	}
	for _, r := range text { // a word of a script without spaces is about two letters
		if unicode.In(r, unicode.Han, unicode.Hiragana, unicode.Katakana, unicode.Thai, unicode.Lao, unicode.Khmer, unicode.Myanmar) {
			if signs++; signs == 2*manyWords {
				return true
			}
		}
	}
	return false
}

// anotherText reports a heading that nobody knows and that names a text among other words: in a table of several blocks to a row, or of several spaces, its column is
// the text of one more (Last text, Width bis), however short.
func anotherText(heading string) bool {
	return slices.ContainsFunc(strings.Fields(plainLetters(heading)), func(w string) bool { return synonyms[w] == asJournaling })
}

// textCounted reports a heading that is that of a text but for a number, wherever that begins: Text 0, Text.1.
func textCounted(heading string) bool {
	base, n := numbered(strings.Replace(heading, " 0", " 1", 1))
	as, _, guess := recognise(base)
	return n > 0 && as == asJournaling && guess == ""
}

// headedBefore is the heading that a column had in the file that a desk took it from, where it could not keep that.
func headedBefore(heading string) string {
	if !Made(heading) {
		return ""
	}
	_, of, _ := strings.Cut(heading, "“")
	of, _, _ = strings.Cut(of, "”")
	return of
}

// corrects reports a heading that nobody knows and that says that texts are to be printed instead of others: New text, Corrections.
func corrects(heading string) bool {
	words := strings.Fields(plainLetters(heading))
	instead := func(w string) bool { return insteadWords[w] }
	beyond := func(w string) bool {
		return !instead(w) && synonyms[w] != asJournaling && !fillers[w] && w != "version"
	} // Text corrected by
	return len(words) == 1 && strings.HasPrefix(words[0], "correction") || anotherText(heading) && slices.ContainsFunc(words, instead) && !slices.ContainsFunc(words, beyond)
}

// pageOrText reports a column that is taken for the page by a word in its heading, which names a text as well: Text for page 2.
func pageOrText(c *Column) bool {
	return c.as == asPage && c.Guess == "contains" && !c.told && anotherText(c.Heading)
}

// saysWords reports a text that has a word, and does not only say whether there is one, or how many.
func saysWords(text string) bool {
	letters := 0
	for _, r := range text {
		if unicode.IsLetter(r) {
			letters++
		}
	}
	return letters > 2 && !answers[plainLetters(text)]
}

// asksWhether reports a heading that asks whether there is a text, or how many there are.
func asksWhether(heading string) bool {
	words := strings.Fields(plainLetters(heading))
	return len(words) > 1 && slices.Contains([]string{"how", "do", "does", "did", "is", "are", "have", "has", "any", "number", "count", "want"}, words[0])
}

// answered reports a cell that only says whether there is something, or how much: yes; 2.
func answered(text string) bool {
	if len(text) > mostMeasure {
		return false
	}
	_, yes := parseYes(text)
	_, count := parseCount(text)
	return yes || count || answers[plainLetters(text)]
}

var answers = map[string]bool{"yes": true, "done": true, "none": true, "true": true, "false": true, "n a": true}

var insteadWords = map[string]bool{"new": true, "final": true, "corrected": true, "correction": true, "corrections": true, "revised": true, "revision": true, "revisions": true, "updated": true, "changed": true}

// twice reports a field that another column was already taken for.
func (s *Sheet) twice(m meaning) bool {
	return slices.ContainsFunc(s.Columns, func(c Column) bool { return c.as == m && c.Double })
}

// content is what the cells below a heading have among them.
type content uint8

const (
	hasAny   content = 1 << iota
	hasText          // more than a number, or whether there is one
	hasWords         // words that are no answer
	hasLong          // more than a few of them
)

// contents are those of the columns, from 0.
func (s *Sheet) contents() map[int]content {
	found := map[int]content{}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		for j := range s.Rows[i].Cells {
			c := &s.Rows[i].Cells[j]
			has := found[c.Col]
			if has == hasAny|hasText|hasWords|hasLong || blank(c) {
				continue
			}
			if has |= hasAny; c.Kind == table.Text && !c.Covered {
				if has&hasText == 0 && !answered(c.Text) {
					has |= hasText
				}
				if has&hasWords == 0 && saysWords(c.Text) {
					has |= hasWords
				}
				if long(c.Text) {
					has |= hasLong
				}
			}
			found[c.Col] = has
		}
	}
	return found
}

// firstCells quotes the first cells of a column.
func (s *Sheet) firstCells(c *Column) string {
	var cells []string
	for row, cell := range s.below(c) {
		if text := line(shows(cell)); text != "" {
			if cells = append(cells, table.Address(c.Index, row)+" "+measure.Quote(text)); len(cells) == 3 {
				break
			}
		}
	}
	return strings.Join(cells, ", ")
}

// lost is the error of a column whose texts would be lost, with its first cells.
func (s *Sheet) lost(c *Column) {
	why := "no heading of the form means that"
	if c.Double {
		why = "another column is " + c.as.String() + " already"
	}
	p := s.place(&s.Rows[s.Head], c)
	p.Row = 0
	s.problems.Add(p, fmt.Sprintf("the column %s holds texts and would not be printed: %s", measure.Quote(c.Heading), s.firstCells(c)), why,
		fmt.Sprintf("say what it is: --column \"%s=Journaling\", or another column of the form; or that it is not for the print: --column \"%s=nothing\"", c.Heading, c.Heading))
	s.problems.OnPage("say what it is where the page Journaling asks what is in the column; or give it a heading of the form in the file, and take the file in again")
	s.problems[len(s.problems)-1].Open = &problem.Open{Asks: []string{c.Heading}}
}
