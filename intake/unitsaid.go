package intake

import (
	"fmt"
	"iter"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake/table"
)

// The unit that a heading says, wherever it stands in it: "Width (cm only)", "How many mm wide?", "Width (inches, not cm or mm)".

// measured reports a field of measures; the size of the type is not meant, which is in points.
func (m meaning) measured() bool {
	switch m {
	case asWidth, asHeight, asSpace, asTuck, asInset:
		return true
	}
	return false
}

// ofSpace reports a column of the measures of a space.
func (c *Column) ofSpace() bool { return c.as == asWidth || c.as == asHeight || c.as == asSpace }

// aUnit is the unit that a cell says and nothing else: "cm", "in inches", "Inches (in)".
func aUnit(text string) (u measure.Unit, ok bool) {
	if len(text) > mostMeasure || strings.Contains(text, "?") || ditto(text) { // which the sign for inches may be as well
		return 0, false
	}
	if u, ok = measure.ParseUnit(text); ok {
		return u, true
	}
	words := strings.Fields(plainLetters(asUnits(text)))
	if len(words) > 1 && words[0] == "in" && !strings.ContainsAny(text, "/,|") {
		words = words[1:]
	}
	for i, w := range words {
		other, is := unitNamed(w)
		if !is || i > 0 && other != u {
			return 0, false
		}
		u, ok = other, true
	}
	return u, ok
}

// unitOrNot tells which columns say in what the measures of each row are: those headed Unit with a unit anywhere below, where it is no number of pieces; those without
// a known heading that speak of units, with no more of all else below; and else the only one that has units and nothing else, whatever it is called.
func (s *Sheet) unitOrNot() {
	units, others := map[int]int{}, map[int]int{} // cells below a heading that may be such a column's
	speaks := map[int]bool{}
	for i := range s.Columns {
		if c := &s.Columns[i]; !c.told && (c.as == asUnit || c.as == asUnknown) {
			units[c.Index], speaks[c.Index] = 0, c.as == asUnit || speaksOfUnits(c.Heading)
		}
	}
	if len(units) == 0 {
		return
	}
	plain := map[int]bool{}   // those with one that can be nothing else
	none := map[string]bool{} // texts that say nothing, which many cells may have
	for i := s.Head + 1; i < len(s.Rows); i++ {
		for j := range s.Rows[i].Cells {
			c := &s.Rows[i].Cells[j]
			if _, may := units[c.Col]; !may || blank(c) || none[c.Text] {
				continue
			}
			if _, ok := aUnit(c.Text); ok {
				units[c.Col]++
				plain[c.Col] = plain[c.Col] || plainUnit(c.Text)
			} else if absent(c.Text) || ditto(c.Text) {
				none[c.Text] = true
			} else if others[c.Col]++; !speaks[c.Col] {
				delete(units, c.Col)
			}
		}
	}
	found := false
	for i := range s.Columns {
		c := &s.Columns[i]
		n, may := units[c.Index]
		if !may || !speaks[c.Index] {
			continue
		}
		switch {
		case s.Desk || n == 0: // a desk has the unit beside each measure
			c.as, c.Guess = asUnknown, ""
			if s.Desk && c.Heading == asUnit.String() {
				s.besideUnit = c
			}
		case c.as == asUnknown && others[c.Index] <= n: // one odd cell makes it no other column
			c.as, c.Guess = asUnit, "holds"
		}
		if c.as == asUnit {
			c.setUnit("")
			found = true
		}
	}
	var held []*Column
	for i := range s.Columns {
		if c := &s.Columns[i]; c.as == asUnknown && c.Heading != "" && units[c.Index] > 0 {
			held = append(held, c)
		}
	}
	if len(held) == 1 && plain[held[0].Index] && !found && !s.Desk { // of several, it cannot be told what each is of
		held[0].as, held[0].Guess = asUnit, "holds"
		held[0].setUnit("")
	}
}

// unitsOfSets leaves open of which block of a row each of several columns of units is that have no number: they are not read then.
func (s *Sheet) unitsOfSets() {
	var found []*Column
	for i := range s.Columns {
		if c := &s.Columns[i]; c.as == asUnit && c.set == 0 && !c.told {
			found = append(found, c)
		}
	}
	if len(s.sets) == 0 || len(found) < 2 {
		return
	}
	for _, c := range found {
		c.as, c.Guess = asUnknown, ""
	}
}

// speaksOfUnits reports a heading that names a unit, or asks for one.
func speaksOfUnits(heading string) bool {
	said := unitSaid(heading)
	return said.unit != "" || said.doubtful || slices.ContainsFunc(strings.Fields(plainLetters(heading)), func(w string) bool { return w == "unit" || w == "units" })
}

// unitCell is what the row says below Unit, and that column; at a desk what somebody said there, not the desk.
func (e *entry) unitCell() (*table.Cell, *Column) {
	of := e.sheet.besideUnit
	if of == nil {
		return e.cell(asUnit)
	}
	c := e.row.At(of.Index)
	if c == nil || blank(c) || strings.HasSuffix(c.Text, unitOfOthers) {
		return nil, of
	}
	return c, of
}

// unitStray is what is odd about what the row says below Unit: words that are no unit, or another unit than its measures have beside them; "": nothing.
func (e *entry) unitStray() string {
	c, of := e.unitCell()
	if c == nil || ditto(c.Text) || absent(c.Text) {
		return ""
	}
	said := fmt.Sprintf("the cell below %s says %s", measure.Quote(of.Heading), measure.Quote(line(c.Text)))
	u, ok := aUnit(c.Text)
	if !ok {
		return said + ", which is no unit that is known"
	}
	if named, col := e.sideNotIn(u); col != nil {
		return fmt.Sprintf("%s, and %s is in %s", said, measure.Quote(col.Heading), named)
	}
	return ""
}

// sides are the cells of the row's space that have something in them, with their columns.
func (e *entry) sides() iter.Seq2[*table.Cell, *Column] {
	return func(yield func(*table.Cell, *Column) bool) {
		for _, m := range []meaning{asWidth, asHeight, asSpace} {
			if side, col := e.cell(m); side != nil && !yield(side, col) {
				return
			}
		}
	}
}

// sideNotIn is the unit that a side of the row's space names, where that is another than u, and the side's column; nil: none does.
func (e *entry) sideNotIn(u measure.Unit) (named string, of *Column) {
	for side, col := range e.sides() {
		if named = namedUnit(side); named != "" && named != u.String() {
			return named, col
		}
	}
	return "", nil
}

// noteUnit tells of that where nothing else of the row does.
func (e *entry) noteUnit() {
	if odd := e.unitStray(); odd != "" && len(e.wrong) == 0 {
		_, of := e.unitCell()
		e.note(of, odd, "what stands beside a number counts", "correct the cell, or empty it; words to the organiser belong below Note")
	}
}

// unitsAbove notes the unit that the row says for those below it.
func (e *entry) unitsAbove() {
	if !e.row.HasOwnCells() || e.tooLong() {
		return
	}
	if c := e.loneCell(); c != nil && !e.sheet.Desk {
		if _, ok := e.sheet.namesUnit(c.Text); ok {
			e.aboveIt().stated, e.aboveIt().statedIn = c, e.row.N
		}
	}
	name, _ := e.cell(asName)
	nobodys := name == nil
	for _, set := range e.blocks() { // whichever are filled
		of := entry{builder: e.builder, sheet: e.sheet, row: e.row, set: set}
		text, _ := of.cell(asJournaling)
		nobodys = nobodys && text == nil
		if c, col := of.cell(asUnit); c != nil {
			if u, ok := aUnit(c.Text); ok {
				e.aboveIt().lines[col.Index] = u.String()
			}
		}
	}
	if (nobodys || e.unitsAlone()) && !e.sheet.Desk {
		e.rowOfUnits()
	}
}

// unitsAlone reports a row that has units where the measures of a block would be, and no number: words beside them say what belongs in the columns.
func (e *entry) unitsAlone() bool {
	units := 0
	for i := range e.row.Cells {
		c := &e.row.Cells[i]
		k, headed := e.sheet.HeadingAt(c.Col)
		if !headed || blank(c) {
			continue
		}
		if e.sheet.Columns[k].ofSpace() {
			if _, ok := alone(c.Text); !ok || c.Kind != table.Text {
				return false
			}
			units++
		}
	}
	return units > 0
}

// blocks are the numbers of the blocks of a row: 0 alone where it is one.
func (e *entry) blocks() []int {
	if len(e.sheet.sets) > 0 {
		return e.sheet.sets
	}
	return []int{e.set}
}

// rowOfUnits notes the units that stand by themselves in a row that is nobody's, below headings of measures.
func (e *entry) rowOfUnits() {
	for i := range e.row.Cells {
		c := &e.row.Cells[i]
		k, headed := e.sheet.HeadingAt(c.Col)
		if !headed || c.Kind != table.Text || len(c.Text) >= 20 {
			continue
		}
		col := &e.sheet.Columns[k]
		if u, ok := alone(c.Text); ok && (col.as.measured() || col.as == asUnknown && e.sheet.holdsMeasures(col)) {
			a := e.aboveIt()
			a.lines[c.Col], a.unitRow, a.unitRowIn = u.String(), u.String(), e.row.N
		}
	}
}

// loneCell is the only cell of the row in which somebody typed something; nil: there are more.
func (e *entry) loneCell() *table.Cell {
	filled := 0
	for i := range e.row.Cells {
		if c := &e.row.Cells[i]; blank(c) || e.sheet.forSteps(c.Col) {
			continue
		}
		if filled++; filled > 3 { // what a form has typed itself is among them
			return nil
		}
	}
	if own := e.sheet.own(e.row); len(own) == 1 {
		return own[0]
	}
	return nil
}

// unitAbove is that of the last row further up that says one; "": none does.
func (e *entry) unitAbove() string {
	if of := e.sheet.columnOf(asUnit, e.set); of != nil {
		return e.aboveIt().lines[of.Index]
	}
	return ""
}

// alone is the unit that a cell of a row of units says: "cm", "(in cm)", "cm only".
func alone(text string) (u measure.Unit, ok bool) {
	if strings.ContainsFunc(text, unicode.IsNumber) || ditto(text) {
		return 0, false
	}
	if u, ok = aUnit(strings.Trim(line(text), "()[] ")); ok {
		return u, true
	}
	return measure.ParseUnit(unitSaid("Width " + text).unit)
}

// unitWithin is the unit that a line or a row of units within the table says, above the row; "": none does.
func (e *entry) unitWithin() string {
	a := e.aboveIt()
	if a.stated != nil {
		u, _ := e.sheet.namesUnit(a.stated.Text)
		return u.String()
	}
	return a.unitRow
}

// bare reports a cell with a number and no unit of its own.
func bare(c *table.Cell) bool {
	return namedUnit(c) == "" && strings.ContainsFunc(c.ExactText(), unicode.IsNumber)
}

// below are the cells of a column below its heading, with their rows as the spreadsheet counts.
func (s *Sheet) below(c *Column) iter.Seq2[int, *table.Cell] {
	return func(yield func(int, *table.Cell) bool) {
		for i := s.Head + 1; i < len(s.Rows); i++ {
			if cell := s.Rows[i].At(c.Index); cell != nil && !yield(s.Rows[i].N, cell) {
				return
			}
		}
	}
}

// unitBesideAll is the unit that stands beside the spaces of a table, where it is one; else another that is given.
func (s *Sheet) unitBesideAll(other measure.Unit) measure.Unit {
	beside := ""
	for i := range s.Columns {
		c := &s.Columns[i]
		if !c.ofSpace() {
			continue
		}
		for _, cell := range s.below(c) {
			named := namedUnit(cell)
			if named == "" || named == beside {
				continue
			}
			if beside != "" {
				return other
			}
			beside = named
		}
	}
	if u, ok := measure.ParseUnit(beside); ok {
		return u
	}
	return other
}

// unitWord is a word of a heading, or a sign for inches, with what stands right before and behind it; 0 is the heading's own end.
type unitWord struct {
	text          string
	before, after rune
	start, end    int // in the heading, in bytes
}

func unitWords(heading string) (out []unitWord) {
	isSign := func(r rune) bool { return r == '"' || r == '″' }
	runes := []rune(heading)
	beside := func(i, step int) rune {
		for i += step; i >= 0 && i < len(runes); i += step {
			if !unicode.IsSpace(runes[i]) {
				return runes[i]
			}
		}
		return 0
	}
	at := 0
	for i := 0; i < len(runes); {
		k, start := i, at
		for k < len(runes) && (unicode.IsLetter(runes[k]) || unicode.IsMark(runes[k])) && (k == i || !unicode.IsUpper(runes[k]) || unicode.IsUpper(runes[k-1])) { // widthCm is two
			at += len(string(runes[k]))
			k++
		}
		if k == i {
			at += len(string(runes[i]))
			k++
			if !isSign(runes[i]) || i == 0 { // the first of quotation marks is no sign
				i = k
				continue
			}
		}
		out = append(out, unitWord{strings.ToLower(string(runes[i:k])), beside(i, -1), beside(k-1, 1), start, at})
		i = k
	}
	return out
}

// negates reports a word after which units are those that are not meant.
func negates(word string) bool {
	return slices.Contains([]string{"not", "no", "never", "nor", "without"}, word)
}

// otherUnits are those that people measure in and that are not known here.
var otherUnits = map[string]bool{"dm": true, "ft": true, "feet": true, "px": true, "pixel": true, "pixels": true, "pica": true, "picas": true, "squares": true, "eighths": true, "zoll": true, "metre": true, "metres": true, "meter": true, "meters": true, "metric": true, "thou": true, "mil": true, "mils": true,
	"ths": true, "tenths": true, "sixteenths": true, "quarters": true, "halves": true, "hundredths": true, "tum": true,
	"tommer": true, "pouce": true, "pouces": true, "pulgadas": true, "pollici": true}

// partOf are words before a unit that make it another one: quarter inches.
var partOf = map[string]bool{"half": true, "quarter": true, "eighth": true, "sixteenth": true, "tenth": true}

// longUnits are the units that a word of a heading may be misspelled from, or be in another language.
var longUnits = []string{"inches", "inch", "centimetre", "centimetres", "centimeter", "centimeters", "centimetern", "millimetre", "millimetres", "millimeter", "millimeters", "millimetern"}

// unitNamed is the unit that a word of a heading names, as people spell it, or mean to.
func unitNamed(word string) (u measure.Unit, ok bool) {
	if u, ok = measure.ParseUnit(word); ok {
		return u, !strings.HasPrefix(word, "point") // at its widest point
	}
	plain := plainLetters(word)
	if u, ok = measure.ParseUnit(plain); ok || len(plain) < 5 || len(plain) > 14 {
		return u, ok
	}
	most := 1
	if len(plain) >= 8 {
		most = 2
	}
	for _, l := range longUnits {
		if config.EditDistance(plain, l) <= most {
			u, _ = measure.ParseUnit(strings.TrimSuffix(l, "n"))
			return u, true
		}
	}
	for start, u := range map[string]measure.Unit{"centi": measure.Cm, "zenti": measure.Cm, "santi": measure.Cm, "sentim": measure.Cm, "milli": measure.Mm, "milim": measure.Mm} { // no two begin alike
		if strings.HasPrefix(plain, start) && (len(plain) == len(start) || plain[len(start)-1] == 'm' || plain[len(start)] == 'm') {
			return u, true
		}
	}
	return 0, false
}

func isUnit(word string) bool {
	_, ok := unitNamed(word)
	return ok
}

// asUnits writes units as they are known: c.m., and the letters of other scripts that stand for cm and mm.
func asUnits(heading string) string {
	return withStops.ReplaceAllString(otherScripts.Replace(heading), "${1}m")
}

var (
	withStops    = regexp.MustCompile(`(?i)\b([cm])\. ?m\b`)
	otherScripts = strings.NewReplacer("㎝", "cm", "㎜", "mm", "см", "cm", "мм", "mm", "ｃｍ", "cm", "ｍｍ", "mm")
)

// unitOf is what a heading says of the unit.
type unitOf struct {
	unit     string // "" where it says none
	doubtful bool   // it names two, or none but what it is not or what is not known
	rest     string // its other words
}

// unitSaid is what a heading says of the unit.
func unitSaid(heading string) unitOf {
	if len(heading) > longestSaying {
		return unitOf{rest: heading}
	}
	var said, nearest []measure.Unit // to the nearest mm: how exactly, and in what where nothing else is said
	not, other, parted := false, false, false
	perhaps := false // in may be the unit: (in rather than cm)
	heading = asUnits(heading)
	words := unitWords(heading)
	ofUnit := make([]bool, len(words)) // no other words
	denies := 0                        // the word that does
	for i, w := range words {
		if negates(w.text) {
			not, denies = w.after != '.' && !unicode.IsNumber(w.after), i // block no. 2
			continue
		}
		u, ok := unitNamed(w.text)
		other = other || otherUnits[w.text] || w.text == "in" && unicode.IsNumber(w.after) && !unicode.IsNumber(w.before) || w.text == "m" && w.before == '(' && w.after == ')' || w.text == "in" && i > 0 && partOf[words[i-1].text]
		if !ok || len(words) == 1 || w.text == "in" && !w.inches(heading, words[:i], words[i+1:]) {
			perhaps = perhaps || w.text == "in" && len(words) > 1 && strings.ContainsRune("([<:", w.before) && !(i+1 < len(words) && isUnit(words[i+1].text))
			not = not && slices.Contains([]string{"in", "or", "and"}, w.text) // not in mm or cm; but: without the border, in cm
			continue
		}
		ofUnit[i] = true
		if before := i - 1; before > 0 && slices.Contains([]string{"in", "as"}, words[before].text) {
			ofUnit[before] = true
		}
		if i > 0 && partOf[words[i-1].text] {
			parted = true
		}
		if not {
			other = true
			for k := denies; k < i; k++ {
				ofUnit[k] = true
			}
		} else if i > 0 && words[i-1].text == "nearest" {
			nearest = append(nearest, u)
		} else if !slices.Contains(said, u) {
			said = append(said, u)
		}
	}
	if len(said) == 0 {
		said = nearest
	}
	out := unitOf{doubtful: len(said) > 1 || len(said) == 0 && other || parted || perhaps && len(said) == 1 && said[0] != measure.In}
	if len(said) == 1 && !out.doubtful {
		out.unit = said[0].String()
	}
	at := 0
	for i, w := range words {
		if ofUnit[i] {
			out.rest += heading[at:w.start] + " "
			at = w.end
		}
	}
	out.rest += heading[at:]
	return out
}

// inches reports whether a word "in" of a heading is the unit: it ends the heading, or it stands by itself within brackets or strokes.
func (w *unitWord) inches(heading string, before, behind []unitWord) bool {
	ends := w.after == 0 || strings.ContainsRune(")]}>?!*:.", w.after)
	if strings.ContainsRune("([{</,;:|-–—_", w.before) && w.before != 0 {
		return ends || strings.ContainsRune("/,;|-–—_", w.after) || len(behind) > 0 && (behind[0].text == "or" || negates(behind[0].text) || behind[0].text == "only")
	}
	if last := len(before) - 1; last > 0 {
		switch before[last].text {
		case "or", "and", "than": // cm or in
			if isUnit(before[last-1].text) {
				return true
			}
		case "many": // how many in wide
			return true
		case "in": // width in in, please
			if ends || w.after == ',' {
				return true
			}
		}
	}
	if len(behind) > 1 && (behind[0].text == "or" || behind[0].text == "and") && behind[1].text != "in" && isUnit(behind[1].text) { // in or cm
		return true
	}
	if unicode.IsNumber(w.before) && !(len(behind) > 0 && isUnit(behind[0].text) && unicode.IsLetter(w.after)) || w.after == '/' && len(behind) > 0 && strings.Contains("cm mm", behind[0].text) { // to the nearest 1/8 in; Width in / cm
		return true
	}
	if !ends || len(before) == 0 {
		return false
	}
	texts := make([]string, len(before))
	for i := range before {
		texts[i] = before[i].text
	}
	return saysInches(heading[:w.end], texts)
}

var inAlone = regexp.MustCompile(`(?i)[(\[,:;/]\s*in\.?\s*[)\]]?\s*[?*:]*$`)

// saysInches reports whether "in" at the end of a heading is the unit: it stands by itself, or behind one of few words of which the last is measured; not as in
// "please fill in" or "space to write in".
func saysInches(heading string, before []string) bool {
	last := strings.ToLower(before[len(before)-1])
	return inAlone.MatchString(heading) || len(before) < 4 && (sideNamed[last] != 0 || measuredWords[last])
}

// measuredWords are words besides those for its sides that a unit may stand behind.
var measuredWords = map[string]bool{"space": true, "block": true, "box": true, "spot": true, "gap": true, "opening": true, "size": true, "sizes": true, "measure": true, "measures": true, "measurement": true, "measurements": true,
	"dimension": true, "dimensions": true, "unit": true, "units": true, "tuck": true, "inset": true, "border": true, "widths": true, "heights": true}
