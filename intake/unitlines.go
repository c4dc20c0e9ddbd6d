package intake

import (
	"fmt"
	"path"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config/measure"
	"tuckmark/intake/table"
)

// The unit that a line says, above, within or below a table: "All measures in cm", "Sizes in cm, please", "Day 2 (cm)". One that says it of all measures, above the
// headings, holds for them; any other line that names a unit leaves open what a bare number is in.

// mostOfLine is how long a line may be, in bytes: longer ones are texts.
const mostOfLine = 100

// mannersBehind finds what may stand behind the unit of such a line.
var mannersBehind = regexp.MustCompile(`(?i)[\s,;:(–—-]+(please|thanks|thank you|only|(and )?not( in)? (in|inch|inches|cm|mm|centimet(re|er)s?|millimet(re|er)s?))[\s).!]*$`)

// unitElsewhere is a unit where people may look and no rule does, with what says it: the name of the sheet or the file, the heading of a column that is not read, or a line
// above the headings or below the table.
func (s *Sheet) unitElsewhere() (u measure.Unit, who string) {
	said := unitSaid(s.Name).unit
	if said == "" {
		said = strings.TrimSpace(s.Name) // Cm
	}
	if u, ok := measure.ParseUnit(said); ok {
		return u, "the sheet's name " + measure.Quote(line(s.Name))
	}
	if u, file, ok := s.unitOfFile(); ok && u != s.unit {
		return u, "the file's name " + measure.Quote(line(file))
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		u, ok := statesUnit(c.Heading) // an unknown one may have a measure of something else
		switch {
		case c.as == asTuck || c.as == asInset:
			u, ok = c.unit, c.Unit != ""
		case c.as == asSize || c.ofSpace():
			ok = false
		case c.as != asUnknown:
			u, ok = s.namesUnit(c.Heading)
		case !ok && onlyOfUnits(c.Heading):
			u, ok = s.namesUnit(c.Heading)
		}
		if ok && u != s.unit {
			return u, fmt.Sprintf("the heading %s in column %s", measure.Quote(c.Heading), c.Letter())
		}
	}
	cell := func(c *table.Cell, row int, ofThese bool) (measure.Unit, string) {
		u, ok := s.namesUnit(c.Text)
		if !ok && ofThese && likeUnit.MatchString(c.Text) {
			u, ok = namesUnit(c.Text, true)
		}
		if !ok || u == s.unit {
			return 0, ""
		}
		return u, "cell " + table.Address(c.Col, row) + " " + measure.Quote(line(c.Text))
	}
	for i := range s.Rows[:s.Head] {
		own := s.own(&s.Rows[i])
		for k, c := range own {
			next := 1 << 30
			if k+1 < len(own) {
				next = own[k+1].Col
			}
			if u, who = cell(c, s.Rows[i].N, s.overMeasures(c.Col, next)); who != "" { // Photo, cm above Width and Height
				return u, who
			}
		}
	}
	for i := len(s.Rows) - 1; i > s.Head; i-- { // below the table
		if own := s.own(&s.Rows[i]); len(own) == 1 {
			if u, who = cell(own[0], s.Rows[i].N, false); who != "" {
				return u, who
			}
		} else if len(own) > 1 {
			break
		}
	}
	return s.unitUnread()
}

// overMeasures reports a group of columns, up to the next one, that begins with a text or a measure and has a measure of the space in it.
func (s *Sheet) overMeasures(col, next int) bool {
	k, headed := s.HeadingAt(col)
	if !headed || s.Columns[k].as != asJournaling && !s.Columns[k].ofSpace() {
		return false
	}
	return slices.ContainsFunc(s.Columns[k:], func(c Column) bool { return c.Index < next && c.ofSpace() })
}

// fileUnit matches a file's name that ends like the name of a person or with a word: Joan CM, crop-in. Behind it may stand which of several of one name the file
// is, as programs write it that fetch files, and the desk.
var fileUnit = regexp.MustCompile(`(?:^|[^\pL])(?:CM|MM|IN|In|in)(?: ?\((?:file )?[0-9]+(?: of this name)?\))?$`)

// fileName is the name of the sheet's file without its folder, and the same without its ending.
func (s *Sheet) fileName() (file, stem string) {
	file = path.Base(strings.ReplaceAll(s.File, `\`, "/"))
	return file, strings.TrimSuffix(file, path.Ext(file))
}

// unitOfFile is the unit that the file's name says, and that name.
func (s *Sheet) unitOfFile() (u measure.Unit, file string, ok bool) {
	file, stem := s.fileName()
	if fileUnit.MatchString(stem) {
		return 0, file, false
	}
	u, ok = s.namesUnit(stem)
	return u, file, ok
}

// UnitOfFile is the unit that the name of the sheet's file says for its bare measures, or that of a list of paper; "": none.
func (s *Sheet) UnitOfFile() string {
	if u, _, ok := s.unitOfFile(); ok {
		return u.String()
	}
	if u, ok := s.namesUnit(s.Name); ok && s.use == paper {
		return u.String()
	}
	return ""
}

// UnitUnsaid reports a sheet with measures whose unit nothing in its file says, or leaves open: that of the settings is taken.
func (s *Sheet) UnitUnsaid() bool {
	open := func(c Column) bool { return c.unitOpen != "" }
	return s.stated == nil && s.UnitOfFile() == "" && !slices.ContainsFunc(s.Columns, open) &&
		slices.ContainsFunc(s.Columns, func(c Column) bool { return !c.Double && c.ofSpace() && c.Unit == "" })
}

// unitUnread is a unit that a cell says below no heading, or below one that no rule knows.
func (s *Sheet) unitUnread() (u measure.Unit, who string) {
	for i := s.Head + 1; i < len(s.Rows); i++ {
		for j := range s.Rows[i].Cells {
			c := &s.Rows[i].Cells[j]
			if c.Kind != table.Text || len(c.Text) > 4*mostOfLine || !looksLikeUnit(c.Text) {
				continue
			}
			k, headed := s.HeadingAt(c.Col)
			if headed && (s.Columns[k].as != asUnknown || s.Columns[k].told) || headed && !plainUnit(c.Text) {
				continue
			}
			u, ok := aUnit(c.Text)
			if !headed && !ok {
				u, ok = s.namesUnit(c.Text)
			}
			if ok && u != s.unit && u != measure.Pt {
				return u, "cell " + table.Address(c.Col, s.Rows[i].N) + ", in a column that is not read,"
			}
		}
	}
	return 0, ""
}

// unitOfMost is the other unit than that of a bare one that stands beside most widths and heights that have one, where some are bare, with the first cell that has
// it, and whether most of all have another.
func (s *Sheet) unitOfMost() (u measure.Unit, cell string, ofAll bool) {
	bareOnes, named, first := 0, map[string]int{}, map[string]string{}
	for i := range s.Columns {
		c := &s.Columns[i]
		if !c.ofSpace() || c.Unit != "" {
			continue
		}
		for row, of := range s.below(c) {
			if bare(of) {
				bareOnes++
			} else if name := namedUnit(of); name != "" {
				if named[name]++; named[name] == 1 {
					first[name] = table.Address(c.Index, row)
				}
			}
		}
	}
	others, most := 0, ""
	for _, name := range []string{measure.In.String(), measure.Mm.String(), measure.Cm.String()} {
		if name == s.unit.String() {
			continue
		}
		if others += named[name]; most == "" || named[name] > named[most] {
			most = name
		}
	}
	if u, ok := measure.ParseUnit(most); ok && bareOnes > 0 && others > 1 && 2*others >= bareOnes { // who says another unit once or twice does so beside many who say none
		return u, first[most], others > bareOnes+named[s.unit.String()]
	}
	return 0, "", false
}

// uncertain are words of lines that leave it open in what unit all is measured: they ask, wish, or tell of some measures only.
var uncertain = wordsOf("if did does do dont don was were his her has had last or either add write choose which")

// states reports a line that says in what unit all is measured; not one that gives a size, says what it is not in, is of photos, names two units, asks, tells of another time or of somebody, or ends with another "in", as "please fill it in".
func states(text string, tokens []string, u measure.Unit) bool {
	last := len(tokens) - 1
	if ofOthers(tokens) {
		return false
	}
	if unitSaid(text).doubtful || strings.Contains(text, "?") || slices.ContainsFunc(tokens, func(w string) bool { return uncertain[w] }) {
		return false
	}
	for _, w := range tokens[:last] {
		if other, ok := measure.ParseUnit(w); ok && w != "in" && other != u {
			return false
		}
	}
	if tokens[last] == "in" && !(last > 0 && saysInches(text, tokens[:last])) {
		return false
	}
	return !strings.ContainsAny(text, "0123456789")
}

// statesUnit is the unit that a line such as "All measures in cm" says that all is measured in.
func statesUnit(text string) (u measure.Unit, ok bool) {
	if len(text) > mostOfLine {
		return 0, false
	}
	text = withoutManners(text)
	tokens := strings.Fields(plainLetters(text))
	if !slices.ContainsFunc(tokens, func(w string) bool {
		return strings.HasPrefix(w, "measure") || strings.HasPrefix(w, "unit") || strings.HasPrefix(w, "dimension") || slices.Contains([]string{"sizes", "everything", "all"}, w)
	}) {
		return 0, false
	}
	u, ok = measure.ParseUnit(tokens[len(tokens)-1])
	return u, ok && states(text, tokens, u)
}

// statedUnit finds such a line above the headings.
func (s *Sheet) statedUnit() (u measure.Unit, ok bool) {
	for i := range s.Rows[:s.Head] {
		for j := range s.Rows[i].Cells {
			if u, ok = statesUnit(s.Rows[i].Cells[j].Text); ok && !inOtherUnit(&s.Rows[i], u) {
				s.stated, s.statedIn = &s.Rows[i].Cells[j], s.Rows[i].N
				return u, true
			}
		}
	}
	return 0, false
}

// inOtherUnit reports a row with another unit in a cell of its own: Measures in | cm.
func inOtherUnit(r *table.Row, u measure.Unit) bool {
	return slices.ContainsFunc(r.Cells, func(c table.Cell) bool {
		other, ok := aUnit(c.Text)
		return ok && other != u
	})
}

// namesUnit is the unit of a line that states it, or names one and no other where its words end: "Day 2 (cm)", "from here on in cm", "NB: cm, please"; not that of a number,
// nor of what is no block, but for paper in a list of paper. A text of several lines is that of its first such line.
func namesUnit(text string, ofPaper bool) (u measure.Unit, ok bool) {
	if one, others, several := strings.Cut(strings.TrimSpace(text), "\n"); several && len(text) <= 4*mostOfLine { // each of its lines
		if u, ok = namesUnit(one, ofPaper); ok {
			return u, true
		}
		return namesUnit(others, ofPaper)
	}
	if u, ok = statesUnit(text); ok || len(text) > mostOfLine {
		return u, ok
	}
	text = withoutManners(line(text))
	if words := strings.Fields(plainLetters(text)); !ofPaper && begunWithOthers(words) || forbids(words) {
		return 0, false
	}
	if u, ok = aUnit(strings.Trim(text, "()[] ")); ok {
		return u, true
	}
	said := unitSaid(text).unit
	if said == "" || said == measure.Pt.String() {
		return 0, false
	}
	words := unitWords(asUnits(text))
	for i, w := range words {
		named, is := unitNamed(w.text)
		if !is || named.String() != said || !unicode.IsLetter([]rune(w.text)[0]) || w.text == "in" && i+1 < len(words) && isUnit(words[i+1].text) {
			continue
		}
		if unicode.IsNumber(w.before) {
			return 0, false
		}
		if w.after == 0 || strings.ContainsRune(")](.,;:!?", w.after) {
			u, ok = named, true
		}
	}
	return u, ok
}

// plainUnit reports a text that can be nothing but a unit: not who is in, and not the initials of somebody or of a country, as CM and PT are.
func plainUnit(text string) bool {
	u, ok := aUnit(text)
	text = strings.Trim(text, "()[]. ")
	return ok && u != measure.Pt && !strings.EqualFold(text, "in") && !(len(text) == 2 && text == strings.ToUpper(text))
}

// eitherUnit is the other of two units that a line names, so that it says nothing of a bare number: Sizes: in or cm.
func eitherUnit(text string, than measure.Unit) (u measure.Unit, ok bool) {
	if len(text) > mostOfLine || !unitSaid(text).doubtful || strings.ContainsAny(text, "0123456789") {
		return 0, false
	}
	units, words := 0, unitWords(asUnits(text))
	for i, w := range words {
		if negates(w.text) {
			return 0, false
		}
		if w.text == "in" && i+1 < len(words) && isUnit(words[i+1].text) && w.after != ',' && w.after != '/' { // in cm
			continue
		}
		if named, is := unitNamed(w.text); is && named != measure.Pt && unicode.IsLetter([]rune(w.text)[0]) {
			if units++; named != than {
				u, ok = named, true
			}
		}
	}
	return u, ok && units > 1
}

// likeUnit matches what every unit has, also one that is misspelled: most texts are told from one by that alone.
var likeUnit = regexp.MustCompile(`(?i)cm|mm|[cm]\.|[czs]ent|sant|mil|nch|\bins?\b|["″]|[^\x00-\x7f]`)

// looksLikeUnit reports a text that it matches. Most cells of a wide table have not even a letter of those.
func looksLikeUnit(text string) bool {
	return strings.ContainsFunc(text, func(r rune) bool { return r > 0x7f || strings.ContainsRune(`mMnN."`, r) }) && likeUnit.MatchString(text)
}

// namesUnit is the unit that such a line of the sheet names, or another than its own where it names two.
func (s *Sheet) namesUnit(text string) (u measure.Unit, ok bool) {
	if len(text) > 4*mostOfLine || !likeUnit.MatchString(text) {
		return 0, false
	}
	if u, ok = namesUnit(text, s.use == paper); !ok {
		u, ok = eitherUnit(text, s.unit)
	}
	return u, ok
}

// besideUnits are words that say nothing but that a unit is meant.
var besideUnits = wordsOf("please pls use nb note in all are is the of for and by measured measure measures measurements size sizes dimensions everything thanks thank you only we i no not unit units numbers here below")

// onlyOfUnits reports a heading that says a unit, and not of what: NB: cm; in cm please.
func onlyOfUnits(heading string) bool {
	return !slices.ContainsFunc(strings.Fields(plainLetters(asUnits(heading))), func(w string) bool { return !besideUnits[w] && !isUnit(w) })
}

// begunWithOthers reports a line that begins with what is no block: Photo sizes in cm; not: the space on your page, in cm.
func begunWithOthers(words []string) bool {
	return slices.ContainsFunc(words[:min(len(words), 2)], func(w string) bool {
		return slices.Contains([]string{"photo", "picture", "paper", "album", "frame", "envelope"}, strings.TrimSuffix(w, "s"))
	})
}

// forbids reports a line that says no of something else than a unit: please do not give measures in cm.
func forbids(words []string) bool {
	for i, w := range words {
		if !negates(w) && w != "dont" {
			continue
		}
		next := i + 1
		if next < len(words) && words[next] == "in" && next+1 < len(words) {
			next++
		}
		if next == len(words) || !isUnit(words[next]) {
			return true
		}
	}
	return false
}

// ofOthers reports a line about what is no block, or about units that are not meant.
func ofOthers(words []string) bool {
	return slices.ContainsFunc(words, func(w string) bool {
		return negates(w) || slices.ContainsFunc([]string{"photo", "picture", "paper", "album", "page", "frame", "mat", "card", "envelope", "sheet"}, func(other string) bool { return w == other || w == other+"s" })
	})
}

// withoutManners is a line without what may stand behind its unit.
func withoutManners(text string) string {
	for {
		short := mannersBehind.ReplaceAllString(text, "")
		if short == text {
			return text
		}
		text = short
	}
}
