package intake

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// FormSteps is the first column, from 0, in which a form may keep the steps of its live column: nobody typed them.
const FormSteps = 23

// FormStepColumns is how many such columns there are.
const FormStepColumns = 17

// forSteps reports a column in which a form may keep such a step: they begin two columns behind the last heading where that is further to the right.
func (s *Sheet) forSteps(col int) bool {
	return col >= FormSteps && s.column(asFits) != nil && col < max(FormSteps, s.last()+2)+FormStepColumns
}

// Step reports a cell of a row that a form keeps a step of its live column in: a number, an error, or what it copies from a cell of the table. Words there are
// somebody's.
func (s *Sheet) Step(r *table.Row, c *table.Cell) bool {
	if !s.forSteps(c.Col) {
		return false
	}
	text := strings.TrimSpace(c.Text)
	return !words(c) || slices.ContainsFunc(r.Cells, func(of table.Cell) bool { return of.Col < FormSteps && strings.TrimSpace(of.Text) == text })
}

// words reports a cell with words: no number, and no error of a formula.
func words(c *table.Cell) bool {
	text := strings.TrimSpace(c.Text)
	_, err := strconv.ParseFloat(text, 64)
	return err != nil && c.Kind == table.Text && strings.ContainsFunc(text, unicode.IsLetter) && !strings.HasPrefix(text, "#") && !strings.HasPrefix(text, "Err:")
}

// Column is a column of a sheet and what it was taken for.
type Column struct {
	File, Sheet string
	Index       int    // from 0
	Heading     string // as typed
	As          string // the form's heading for what it was taken for; "" where it is not read
	Unit        string // "in", "mm", ... where the heading names one
	Guess       string // how it was recognised where it was not plain: "near", "contains", or "holds", by its cells
	Double      bool   // another column was already taken for the same field; this one is not read
	as          meaning
	unit        measure.Unit
	heightFirst bool   // its heading names the height before the width
	lengthFirst bool   // and calls it the length
	unitOpen    string // why it cannot be told in what a bare number is; "": it can
	told        bool   // the settings say what it is
	ignored     bool   // the settings say that it is not to be read
	apart       bool   // it is of a block whose other columns are not read; Double as well
	set         int    // which block of the row it belongs to, from 1; 0: to all, or to some
	ofEmpty     ofEmpty
	some        []int // the blocks that it belongs to, where these are several and not all
	sought      bool  // somebody asked already whether it holds measures
	measures    bool  // and it does
}

// Blocks are the blocks of a row that the column is read for, from 1, where a row holds several and it is not for all of them.
func (c Column) Blocks() []int {
	if c.set > 0 {
		return []int{c.set}
	}
	return c.some
}

// setUnit takes the unit that a heading names, "" for none.
func (c *Column) setUnit(unit string) {
	c.Unit = unit
	c.unit, _ = measure.ParseUnit(unit)
}

// openUnit takes whether the heading leaves open in what a bare number is.
func (c *Column) openUnit(doubtful bool) {
	if doubtful {
		c.unitOpen = fmt.Sprintf("the heading %s leaves it open", measure.Quote(c.Heading))
	}
}

// Letter is the column's name in a spreadsheet: A, B, ... AA.
func (c Column) Letter() string { return table.Letters(c.Index) }

// notRead reports a column that no block reads, whatever stands in it.
func (c *Column) notRead() bool {
	switch c.as {
	case asUnknown, asCount, asPrice, asLeftover:
		return true
	}
	return c.Double
}

// Meaning is the form's heading for what the column's own heading says, also where another column is read for that; "" where
// no rule knows it.
func (c Column) Meaning() string { return c.as.String() }

// Sheet is a table and what its headings make of it.
type Sheet struct {
	*table.Sheet
	Head    int // index in Rows of the row of headings; -1 where there is none
	Columns []Column

	wide     int             // how many cells a line of a text file has; 0: not reckoned yet
	told     told            // what the settings say of headings
	read     map[field]int   // index in Columns of what is read for each field; kept by findRead
	first    map[meaning]int // likewise of the first block that has it
	headed   map[string]int  // likewise of the first column that has a heading, whatever it is read for
	sets     []int           // numbers of the blocks of a row, where a row holds several
	unit     measure.Unit    // of a bare number where the column's heading names none
	stated   *table.Cell     // the line above the headings that says so
	statedIn int             // the row that it stands in, as the spreadsheet counts

	besideUnit *Column // a desk's column Unit, which is read for what somebody types there
	use        use     // what is read of it
	problems   problem.List

	unitsIn   int          // the row of which unitsOf are
	unitsOf   []unitOfSet  // what the blocks of a row say
	otherSets []table.Spot // measures that say none beside another block's that do
	otherUnit string       // which that is

	mixed       bool                       // two tables beside each other would be read as one, and the rows are of other people
	countedBy   byte                       // what counts the texts of a row: letters (A), words (w), else figures
	namesApart  bool                       // the names in a row stand each with its text
	sizeIsSpace bool                       // a plain Size is the space
	stockTold   bool                       // what its name, or the file's, says of its stock
	emptiesSaid bool                       // a heading says what an empty cell means
	overBlocks  []table.Spot               // cells that are merged over columns of several blocks
	insteadIn   *table.Row                 // the row of which instead is
	instead     map[int]instead            // by column: what its empty cell means
	cellsAbove  map[table.Spot]*table.Cell // what stands above empty cells
	misheaded   bool                       // it is journaling, and not read since its headings are at fault
}

// AsJournaling is a table as one of journaling, or nil where its headings say that it is none.
func AsJournaling(t *table.Sheet) *Sheet {
	if s := newSheet(t, nil); s.classify() == journaling {
		return s
	}
	return nil
}

func newSheet(t *table.Sheet, said told) *Sheet {
	return &Sheet{Sheet: t, Head: -1, problems: t.Problems, told: said}
}

// place is a row's place; column may be nil.
func (s *Sheet) place(r *table.Row, column *Column) problem.Place {
	p := problem.Place{File: s.File, Sheet: s.Name, Row: r.N}
	if column != nil {
		p.Column, p.Cell = column.Heading, table.Address(column.Index, r.N)
	}
	return p
}

// heads finds the row of headings and what its columns mean; known is how plainly.
func (s *Sheet) heads() (known int) {
	for i := range s.Rows[:min(len(s.Rows), 40)] {
		r := &s.Rows[i]
		score, seen := 0, map[meaning]bool{}
		for j := range r.Cells {
			c := &r.Cells[j]
			if c.Kind != table.Text || c.Covered && !s.fromAbove(i, c) || j > 200 {
				continue
			}
			f, _, guess := recognise(c.Text)
			if w, ok := s.told.of(c.Text); ok {
				f, guess = w.as, ""
			}
			if f == asUnknown {
				if base := withoutNumber(c.Text); base != c.Text { // Text 1
					if f, _, guess = recognise(base); guess != "" {
						f = asUnknown
					}
					guess = "number"
				}
			}
			if f == asUnknown || seen[f] {
				continue
			}
			seen[f] = true
			score += 3
			if guess != "" {
				score--
				if guess == "contains" {
					score--
				}
			}
		}
		if score > known && (len(seen) > 1) {
			known, s.Head = score, i
		}
	}
	if s.Head >= 0 {
		s.takeColumns()
	}
	return known
}

// takeColumns tells what the columns under the row of headings are.
func (s *Sheet) takeColumns() {
	s.Columns = nil
	taken := map[field]bool{}
	for j := range s.Rows[s.Head].Cells {
		c := &s.Rows[s.Head].Cells[j]
		if blank(c) || c.Kind == table.Uncomputed { // no heading; what stands below is told
			continue
		}
		f, unit, guess := recognise(c.Text)
		if c.Kind != table.Text {
			f, unit, guess = asUnknown, "", ""
		}
		col := Column{File: s.File, Sheet: s.Name, Index: c.Col, Heading: line(c.Text), as: f, Guess: guess}
		col.setUnit(unit)
		ours := asUnknown // what a desk's own column is
		if s.Desk {
			ours = deskHeading(c.Text)
		}
		if w, ok := s.told.of(c.Text); ok {
			col.as, col.Guess, col.told, col.ignored = w.as, "", true, w.as == asUnknown
			if ours == asUnknown {
				col.setUnit(unitSaid(c.Text).unit)
			}
		}
		if col.as.measured() && (!s.Desk || col.told && ours == asUnknown) {
			col.heightFirst, col.lengthFirst = heightFirst(col.Heading)
			col.openUnit(unitSaid(c.Text).doubtful)
		}
		if ours != asUnknown {
			col.as, col.Guess = ours, ""
			col.setUnit("")
		}
		s.Columns = append(s.Columns, col)
	}
	s.nameless()
	s.unitOrNot()
	s.sizeOrSpace()
	spare := s.findSets()
	s.unitsOfSets()
	// Plain headings are taken first, so that a near miss does not take a field away from one that says it; and what may be the measure of a photo comes last.
	for tier := range 3 {
		for j := range s.Columns {
			if c := &s.Columns[j]; c.as != asUnknown && c.tier() == tier {
				c.Double = taken[field{c.as, c.set}] && c.some == nil || spare[j]
				taken[field{c.as, c.set}] = taken[field{c.as, c.set}] || c.some == nil
			}
		}
	}
	s.partOthers()
	s.ofEmpties()
	s.spreadAcross()
	s.findRead()
	for j := range s.Columns {
		if c := &s.Columns[j]; !c.Double {
			c.As = c.as.String()
		}
	}
}

// tier is how plainly a heading says what it means: 0 plainly, 1 by a guess, 2 by one that may be of something else.
func (c *Column) tier() int {
	switch {
	case c.Guess == "":
		return 0
	case c.Guess == "contains" && c.ofSpace() && c.as.ofSomethingElse(c.Heading):
		return 2
	}
	return 1
}

// nameless takes a column Name for none where it says nobody's, as web forms write it, and another column asks for the name.
func (s *Sheet) nameless() {
	var names []*Column
	for j := range s.Columns {
		if c := &s.Columns[j]; c.as == asName && !c.told {
			names = append(names, c)
		}
	}
	if len(names) != 2 || names[0].Guess != "" || strings.EqualFold(names[0].Heading, names[1].Heading) { // of a table beside
		return
	}
	if _, n := numbered(names[0].Heading); n > 0 { // a block's
		return
	}
	says := false
	for _, cell := range s.below(names[0]) {
		if !blank(cell) {
			if plainLetters(cell.Text) != "anonymous" {
				return
			}
			says = true
		}
	}
	base, _ := numbered(names[1].Heading)
	if _, _, guess := recognise(base); !says && guess == "contains" { // which may be somebody else's
		return
	}
	for _, cell := range s.below(names[1]) {
		if !blank(cell) {
			names[0].as = asUnknown
			return
		}
	}
}

// sizeOrSpace tells what columns headed "Size" mean: the type size, or, where nothing else gives the space, the
// space.
func (s *Sheet) sizeOrSpace() {
	is := map[meaning]bool{}
	for j := range s.Columns {
		c := &s.Columns[j]
		is[c.as] = true
		if base := withoutNumber(c.Heading); !c.told && base != c.Heading {
			as, _, _ := recognise(base)
			is[as] = true
		}
	}
	ofPaper := is[asStock] && (is[asCount] || !is[asName] && (is[asPrice] || is[asCopies])) && !is[asJournaling]
	if is[asSpace] || is[asWidth] || is[asHeight] || !is[asJournaling] && !ofPaper { // a list of something else
		return
	}
	s.sizeIsSpace = true
	for j := range s.Columns {
		c := &s.Columns[j]
		if as, unit, _ := s.recognise(withoutNumber(c.Heading)); as == asSpace && !c.told {
			s.mean(c, asSpace, unit)
		}
	}
}

// recognise is what a heading of the sheet means.
func (s *Sheet) recognise(heading string) (as meaning, unit, guess string) {
	as, unit, guess = recognise(heading)
	if s.sizeIsSpace && as == asSize {
		if said := unitSaid(heading); said.unit != measure.Pt.String() && plainSize(said.rest) {
			return asSpace, said.unit, ""
		}
	}
	return as, unit, guess
}

// plainSize reports a heading that says "size" and at most which side comes first.
func plainSize(heading string) bool {
	words := strings.Fields(plainLetters(heading))
	return len(words) > 0 && words[0] == "size" && !slices.ContainsFunc(words[1:], func(w string) bool {
		return sideNamed[w] == 0 && !slices.Contains([]string{"x", "by", "and", "wxh", "hxw", "size", "in", "optional", "required", "needed", "if", "any"}, w)
	})
}

// column is the column that is read for a field, or nil; of several sets that of the first.
func (s *Sheet) column(f meaning) *Column {
	if i, ok := s.first[f]; ok {
		return &s.Columns[i]
	}
	return nil
}

// findRead finds the columns that are read, once for all rows: a table may have 16,000 columns and 50,000 rows.
func (s *Sheet) findRead() {
	s.read, s.first, s.headed = map[field]int{}, map[meaning]int{}, map[string]int{}
	for i := range s.Columns {
		c := &s.Columns[i]
		if _, has := s.headed[c.Heading]; !has && c.Heading != "" {
			s.headed[c.Heading] = i
		}
		if c.Double {
			continue
		}
		if _, has := s.first[c.as]; !has {
			s.first[c.as] = i
		}
		of := c.some
		if len(of) == 0 {
			of = []int{c.set}
		}
		for _, set := range of {
			if _, has := s.read[field{c.as, set}]; !has {
				s.read[field{c.as, set}] = i
			}
		}
	}
}

// field is what a column is read for, of one block of a row.
type field struct {
	as  meaning
	set int
}

// columnOf is the column that is read for a field of one block of a row, or nil. Set is 0 where a row is one block.
func (s *Sheet) columnOf(f meaning, set int) *Column {
	for _, n := range []int{set, 0} {
		if i, ok := s.read[field{f, n}]; ok {
			return &s.Columns[i]
		}
	}
	return nil
}

// use is what a sheet holds.
type use uint8

const (
	nothing use = iota
	journaling
	paper
)

// classify finds the headings and decides by them what the sheet is.
func (s *Sheet) classify() use {
	known := 0
	if len(s.Rows) > 0 {
		known = s.heads()
	}
	has := func(f meaning) bool { return s.column(f) != nil }
	spaced := has(asSpace) || has(asWidth) || has(asHeight)
	title := plainLetters(s.Name)
	switch {
	case known == 0:
		return nothing
	case has(asJournaling) && (has(asName) || spaced):
		return journaling
	case !has(asJournaling) && !has(asName) && spaced && (title == "paper" || strings.Contains(title,
		"leftover") || has(asStock) && (has(asCount) || has(asPrice) || s.quantity())):
		return paper
	case !has(asJournaling) && spaced && has(asStock) && (title == "paper" || strings.Contains(title, "leftover") || has(asCount)): // whose the paper is
		return paper
	case has(asName) && spaced && known >= 9 && !has(asCount):
		return journaling // its text column is missing: an error, not a sheet of something else
	}
	return nothing
}

// quantity reports a column that says how many there are, of whatever, on a sheet, or in a file of one, whose name says that it lists paper on hand.
func (s *Sheet) quantity() bool {
	c := s.column(asCopies)
	if c == nil || c.Guess != "" || strings.Contains(plainLetters(c.Heading), "cop") {
		return false
	}
	if s.use == paper { // somebody says that it is
		return true
	}
	_, stem := s.fileName()
	words := strings.Fields(plainLetters(s.Name + " " + stem))
	return slices.ContainsFunc(words, func(w string) bool { return onHand[w] }) && !slices.ContainsFunc(words, func(w string) bool { return notOnHand[w] })
}

// onHand are words that name what is there, and notOnHand such that name what is not, or no longer.
var (
	onHand    = wordsOf("stock stocks paper papers sheets supplies material materials inventory papier vorrat")
	notOnHand = wordsOf("buy order ordered orders need needed needs wish wishes shopping used use cut cuts mats missing to sold")
)

// missing are the columns that a block cannot do without.
func (s *Sheet) missing() []string {
	var missing []string
	if s.column(asName) == nil && s.column(asSurname) == nil {
		missing = append(missing, "Name")
	}
	if s.column(asJournaling) == nil {
		missing = append(missing, "Journaling")
	}
	if s.column(asSpace) == nil {
		switch w, h := s.column(asWidth) != nil, s.column(asHeight) != nil; {
		case !w && !h:
			missing = append(missing, "Width and Height (or Space)")
		case !w:
			missing = append(missing, "Width")
		case !h && !s.pairs():
			missing = append(missing, "Height")
		}
	}
	return missing
}

// noteStray tells of cells that no heading stands above.
func (s *Sheet) noteStray() {
	var found []table.Spot
	below := map[int]bool{} // by column whose heading has no result: something stands below
	for _, c := range s.Rows[s.Head].Cells {
		if c.Kind == table.Uncomputed {
			below[c.Col] = false
		}
	}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		for _, c := range s.own(&s.Rows[i]) {
			if _, asked := below[c.Col]; asked {
				below[c.Col] = true
			}
			if s.stray(c) && c.Kind == table.Text && long(c.Text) {
				p := s.place(&s.Rows[i], nil)
				p.Cell = table.Address(c.Col, s.Rows[i].N)
				s.problems.Add(p, "a text stands where there is no heading: "+measure.Quote(line(c.Text)), "it would be lost",
					"give its column a heading, put it into the right column, or delete it")
				continue
			}
			if s.stray(c) {
				found = append(found, table.Spot{Col: c.Col, Row: s.Rows[i].N})
			}
		}
	}
	for _, c := range s.Rows[s.Head].Cells {
		if below[c.Col] {
			p := s.place(&s.Rows[s.Head], nil)
			p.Cell = table.Address(c.Col, p.Row)
			s.problems.Add(p, fmt.Sprintf("the heading in %s is a formula without a result", p.Cell), "the program that wrote the file did not work it out", "open the file in your spreadsheet program and save it again, or type the heading itself")
		}
	}
	s.unread("cells without a heading", found, "what they mean is not known", "give their column a heading if it matters for the print")
	s.noteFits()
}

// fitsSays are the answers of a form's live column (intake/form/live.go).
var fitsSays = regexp.MustCompile(`^(check width and height|about \d+ words fit at [\d.,]+ pt|fits: \d+ of about \d+ words|smaller type: about \d+ words fit at [\d.,]+ pt|too long by about \d+ words)$`)

// noteFits tells of what somebody typed in the live column over what the form says there.
func (s *Sheet) noteFits() {
	live := s.column(asFits)
	if live == nil {
		return
	}
	var typed []table.Spot
	for i := s.Head + 1; i < len(s.Rows); i++ {
		c := s.Rows[i].At(live.Index)
		if c == nil || c.Covered || c.Kind == table.Fault || c.Live() {
			continue
		}
		if text := strings.TrimSpace(c.Text); (text != "" || c.Kind != table.Text) && !faults[text] && !fitsSays.MatchString(text) {
			typed = append(typed, table.Spot{Col: c.Col, Row: s.Rows[i].N})
		}
	}
	s.unread(fmt.Sprintf("cells in column %s, %s,", live.Letter(), measure.Quote(live.Heading)), typed, "the form fills that column in by itself", "move what matters for the print under another heading, as Note")
}

// stray reports a cell without a heading. In a CSV file, a cell beyond the last one is none: its row is held, since a comma may
// have parted a text.
func (s *Sheet) stray(c *table.Cell) bool {
	if s.CSV && c.Col > s.last() {
		return false
	}
	_, headed := s.HeadingAt(c.Col)
	return !headed
}

// HeadingAt is the index in Columns of a column's heading, where it has one.
func (s *Sheet) HeadingAt(col int) (int, bool) {
	if len(s.Columns) > 0 { // mostly they stand beside each other, and each cell of a table is asked for
		if k := col - s.Columns[0].Index; k >= 0 && k < len(s.Columns) && s.Columns[k].Index == col {
			return k, true
		}
	}
	return slices.BinarySearchFunc(s.Columns, col, func(h Column, col int) int { return h.Index - col })
}

// last is the last column with a heading.
func (s *Sheet) last() int { return s.Columns[len(s.Columns)-1].Index }

// pairs reports a Width column that holds whole sizes, as 4 x 2.
func (s *Sheet) pairs() bool {
	c := s.column(asWidth)
	for _, cell := range s.below(c) {
		_, err := measure.ParseSize(cell.Text, measure.In)
		return err == nil
	}
	return false
}

// unknownMeasures are the columns whose headings no rule knows, above what may be measures.
func (s *Sheet) unknownMeasures() (found []*Column) {
	for i := range s.Columns {
		if c := &s.Columns[i]; c.as == asUnknown && c.Heading != "" && s.holdsMeasures(c) {
			found = append(found, c)
		}
	}
	return found
}

// holdsMeasures reports a column with a measure or a size in it, in whichever row: what stands above that may be "ask Sue" or "?".
func (s *Sheet) holdsMeasures(c *Column) bool {
	if !c.sought { // thousands of rows may ask
		c.sought, c.measures = true, s.seekMeasures(c)
	}
	return c.measures
}

// seekMeasures looks through the rows for holdsMeasures.
func (s *Sheet) seekMeasures(c *Column) bool {
	for _, cell := range s.below(c) {
		if len(cell.Text) > mostMeasure || !strings.ContainsFunc(cell.Text, unicode.IsNumber) {
			continue
		}
		text := strings.TrimRight(cell.Text, " ?")
		_, one := measure.Parse(text, s.unit)
		_, both := measure.ParseSize(text, s.unit)
		_, sides := parseTuck(text, s.unit, measure.Sides{})
		if one == nil || both == nil || sides == nil || sides == errSomeUnits {
			return true
		}
	}
	return false
}
