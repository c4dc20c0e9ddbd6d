package intake

import (
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// The longest text of a cell that is set: a letter sheet of 6 pt type holds about 12,000 characters (common practice).
const (
	mostText  = 20_000
	mostUnits = 32_000 // of UTF-16: what the report's cells hold
	mostLine  = 300    // characters, of every other cell
	mostName  = 80

	longestLine = 32 * mostLine // bytes: what is longer is too long whatever spaces are in it
)

// builder makes blocks of rows.
type builder struct {
	job           *Job
	settings      *config.Settings
	owners        *owners
	seen          map[string]met    // texts, by owner and page
	alike         map[[2]string]int // rows of a file that an earlier one has as well
	twins         []twin
	rows          map[string]int  // rows with a block, by file; where columns will be asked for, those with a text
	told          map[string]bool // notes that are said once a file
	failed        int             // errors of rows so far
	severalToRow  int             // blocks of rows that have several, so far
	taken         int             // bytes that rows take from above so far
	copied        int             // blocks so far, each as often as it is asked for
	stockSizes    map[string][]measure.Size
	across        across                 // what the tables say of their units
	again         bool                   // the rows are of blocks that were printed once: what is alike in them was told then
	above         map[*Sheet]*above      // what stands above the row that is read
	inks          map[string]foundColour // colours looked up
	unknownInks   int                    // of these, for which a near name was looked for
	asides        int                    // remarks and doubts so far
	unknownStocks int                    // likewise
	stocks        map[string]foundStock  // stocks looked up
	stockNames    []stockName            // all there are
	open          bool                   // what stands under headings that are not known will be asked for
	stop          func() bool            // what is read is no longer wanted; may be nil
	tick          func()                 // a row is done; may be nil
}

// mostErrors is how many errors the rows of a job are told: each is a few words with a place, and where there are more nobody reads them one by one. Then the
// table is not read any further, which is an error without a row.
const mostErrors = 100_000

// mostSeveral is how many blocks of a job may stand several to a row: what repeats in each row is little in a workbook, and a file of less than a megabyte would be as many as a
// run makes, in far more memory than one block to a row takes.
const mostSeveral = 40_000

// mostSought is for how many words that are no colour, or no stock, a near name is looked for: who has more of them means something else with the column.
const mostSought = 300

type foundColour struct {
	colour config.Colour
	near   string
	ok     bool
}

type foundStock struct {
	stock    config.Stock
	sure, ok bool
	near     string
}

func newBuilder(s *config.Settings) *builder {
	b := (&builder{settings: s, stockSizes: map[string][]measure.Size{}, inks: map[string]foundColour{}, stocks: map[string]foundStock{}}).fresh()
	for _, t := range s.Stocks {
		for _, sh := range t.Sheets {
			b.stockSizes[t.Name] = append(b.stockSizes[t.Name], sh.Size)
		}
	}
	return b
}

// fresh is a builder that knows of no row yet, and of what names of stocks and colours mean all that this one knows.
func (b *builder) fresh() *builder {
	return &builder{job: &Job{above: map[problem.Place]*above{}}, settings: b.settings, owners: newOwners(), seen: map[string]met{}, told: map[string]bool{},
		alike: map[[2]string]int{}, rows: map[string]int{}, above: map[*Sheet]*above{},
		stockSizes: b.stockSizes, inks: b.inks, unknownInks: b.unknownInks, stocks: b.stocks, unknownStocks: b.unknownStocks, stockNames: b.stockNames}
}

// sheet makes blocks of all rows below the headings.
func (b *builder) sheet(s *Sheet) {
	b.aboveHeadings(s)
	s.beside()
	var hidden []string
	var idle []table.Spot
	var unused unused
	var empties empties
	first := len(b.job.Blocks)
	for i := s.Head + 1; i < len(s.Rows); i++ {
		if b.stop != nil && b.stop() {
			return
		}
		if b.tick != nil {
			b.tick()
		}
		r := &s.Rows[i]
		if b.failed > mostErrors {
			s.problems.Add(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("more than 100,000 things are wrong, and the rows from %d on were not looked at", r.N),
				"where so much is wrong, columns are likely to hold something else than their headings say", "look at the headings and at the first rows, mend these and check again")
			break
		}
		if b.severalToRow > mostSeveral && len(s.sets) > 1 {
			s.problems.Add(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("more than 40,000 blocks stand several to a row, and the rows from %d on were not looked at", r.N), "that is more than a job can be",
				"part the table over several files and print them one by one, or write a row for each block")
			break
		}
		switch s.headsAgain(r) {
		case sameHeadings:
			idle = append(idle, spots(r, s.unlike(r))...)
			continue
		case otherHeadings:
			i = b.belowOthers(s, i)
			continue
		}
		e := &entry{builder: b, sheet: s, row: r}
		if len(s.sets) > 0 {
			e.set = s.sets[0]
		}
		e.unitsAbove()
		if e.blank() {
			if cells := e.passed(); len(cells) > 0 || len(s.sets) == 0 {
				idle = append(idle, cells...)
			} else {
				unused.add(s, r, s.sets[:1]) // what was told is of the first
			}
			continue
		}
		if b.open {
			for k := range r.Cells {
				c := &r.Cells[k]
				if h, headed := s.HeadingAt(c.Col); headed && s.Columns[h].as == asUnknown && !s.Columns[h].ignored {
					e.oddly(c, &s.Columns[h])
				}
			}
		}
		if r.Hidden {
			hidden = append(hidden, fmt.Sprint(r.N))
		}
		if len(s.sets) == 0 || e.overflows() {
			e.build()
			empties.add(e)
			continue
		}
		var built []int
		for _, set := range s.sets {
			if e := (&entry{builder: b, sheet: s, row: r, set: set}); e.filled() {
				e.build()
				empties.add(e)
				built = append(built, set)
			}
		}
		if len(built) == 0 {
			e.build() // a name, and no block: that is said, of the first
			built = s.sets[:1]
		}
		unused.add(s, r, built)
		if len(s.sets) > 1 {
			b.severalToRow += len(built)
		}
	}
	s.unread("cells of rows that ask for nothing", idle, "the rows have no name, no text and no space", "fill them in if blocks are meant")
	unused.tell(s)
	empties.tell(s)
	if !b.again {
		s.muchShorter(b.job.Blocks[first:])
	}
	s.tellOtherSets()
	s.noteStray()
	s.attached()
	s.noteHidden(hidden)
	s.hiddenColumns()
	s.noteBeneath()
}

// noteHidden tells of rows that nobody sees and that were read all the same.
func (s *Sheet) noteHidden(rows []string) {
	if len(rows) >= 10 {
		rows = append(rows[:10], "and others")
	}
	if len(rows) > 0 {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, "hidden rows were read: "+strings.Join(rows, ", "),
			"a filter or a person hides them", "delete the rows that shall not count")
	}
}

// hiddenColumns tells of columns that nobody sees and that say something all the same.
func (s *Sheet) hiddenColumns() {
	var names []string
	for k := range s.Columns {
		c := &s.Columns[k]
		read := !c.Double && !c.ignored && c.as != asUnknown && c.as != asFits && deskHeading(c.Heading) == asUnknown
		if read && s.ColumnHidden(c.Index) && slices.ContainsFunc(s.Rows[s.Head+1:], func(r table.Row) bool {
			cell := r.At(c.Index)
			return cell != nil && !cell.Covered && strings.TrimSpace(cell.Text) != ""
		}) {
			names = append(names, fmt.Sprintf("%s in column %s", measure.Quote(c.Heading), c.Letter()))
		}
	}
	if len(names) > 0 {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, "hidden columns were read: "+problem.And(names),
			"somebody hides them", "empty the cells that shall not count, or delete the column")
	}
}

// noteBeneath tells of headings and cells below them that nobody sees, for a merged one lies over them, and that were read all the same.
func (s *Sheet) noteBeneath() {
	var cells []table.Spot
	for _, at := range s.Beneath {
		if _, headed := s.HeadingAt(at.Col); headed && at.Row >= s.Rows[s.Head].N {
			cells = append(cells, at)
		}
	}
	slices.SortFunc(cells, func(a, b table.Spot) int { return cmp.Or(a.Row-b.Row, a.Col-b.Col) })
	if cells = slices.Compact(cells); len(cells) > 0 {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, "cells were read over which a merged one lies: "+areas(cells),
			"a spreadsheet keeps what was in them, and shows the merged cell alone", "split the merged cell, and delete what shall not count")
	}
}

// Blocks makes blocks of some of the table's rows, in that order, however large they are: whether a sheet in hand holds
// them is left to the layout. A bare number is in the unit that all the others have beside them, else in the configured one.
func (s *Sheet) Blocks(rows []*table.Row, settings *config.Settings) ([]Block, problem.List) {
	picked, pick := *s.Sheet, *s
	picked.Rows = []table.Row{s.Rows[s.Head]}
	for _, r := range rows {
		picked.Rows = append(picked.Rows, *r)
	}
	pick.Sheet, pick.problems, pick.Head, pick.unit = &picked, nil, 0, s.unitBesideAll(settings.Unit)
	b := newBuilder(settings)
	clear(b.stockSizes)
	b.again = true
	b.sheet(&pick)
	return b.job.Blocks, pick.problems
}

// TextOf is what a row has in the column of the journaling, as it was typed, on one line.
func (s *Sheet) TextOf(r *table.Row) string {
	if c := s.cellOf(asJournaling, r); c != nil {
		return line(c.Text)
	}
	return ""
}

// entry is a row on its way to a block.
type entry struct {
	*builder
	sheet *Sheet
	row   *table.Row
	set   int      // which block of the row, from 1; 0 where a row is one
	wrong []string // what is wrong, a sentence each

	spaced, stocked bool // its space and its stock were read
	takes           bool // it takes a line from above
	onStock         config.Stock
}

// cell is what the row has for a field, or nil where that is nothing, and the field's column, which may be nil.
func (e *entry) cell(m meaning) (*table.Cell, *Column) {
	col := e.sheet.columnOf(m, e.set)
	if col == nil {
		return nil, nil
	}
	if c := e.stands(col); c != nil {
		return c, col
	}
	if of, from := e.insteadOfEmpty(col); of != nil {
		return of, from
	}
	return nil, col
}

// blank reports a cell in which nothing can be seen.
func blank(c *table.Cell) bool {
	return c.Kind == table.Text && strings.TrimSpace(strings.Trim(c.Text, "\u200b\u200c\u200d\u2060")) == ""
}

// fromAbove reports a cell of the row Rows[i] that shows what is merged down from the row above.
func (s *Sheet) fromAbove(i int, c *table.Cell) bool {
	if !c.Covered || i < 1 {
		return false
	}
	above := s.Rows[i-1].At(c.Col)
	return above != nil && above.Text == c.Text
}

// headedFrom reports a cell above the headings that is one of them, merged down.
func (s *Sheet) headedFrom(c *table.Cell) bool {
	heading := s.Rows[s.Head].At(c.Col)
	return heading != nil && s.fromAbove(s.Head, heading)
}

// passed are the cells of a row that is passed over, for a message about all such rows; none where the row has one of its own,
// since it has something that somebody typed for a block.
func (e *entry) passed() []table.Spot {
	for _, m := range []meaning{asPage, asWho, asWhere, asWhen, asNote} {
		col := e.sheet.columnOf(m, e.set)
		if c := e.stands(col); c != nil && !c.Covered {
			e.note(nil, "the row was passed over", fmt.Sprintf("it has something in the column %s, but no name, no text and no space", measure.Quote(col.Heading)),
				"fill them in if a block is meant")
			return nil
		}
	}
	return spots(e.row, slices.DeleteFunc(e.sheet.own(e.row), func(c *table.Cell) bool { return e.sheet.stray(c) })) // which are told as such
}

// overflows reports a row of a CSV file that has more cells than the table has headings: a comma within a text has
// parted it, and what stands to the right of it is in the wrong column.
func (e *entry) overflows() bool {
	n, last := len(e.row.Cells), e.sheet.last()
	if !e.tooLong() {
		return false
	}
	e.fail(nil, fmt.Sprintf("the row has %d cells, and there are %d headings", max(e.row.Cells[n-1].Col+1, e.row.Written), last+1),
		"a text with a comma or the like in it, which is not in quotation marks, counts as two cells",
		"put the text in quotation marks, or save the table as a workbook (.xlsx)")
	return true
}

// cutShort tells of a row of a CSV file whose last cells were left out, where a comma within the text may have parted it: what stands to the right goes
// on in the middle of a sentence, or is the only cell of the row that begins with the space behind a comma.
func (e *entry) cutShort() {
	c, _ := e.cell(asJournaling)
	if !e.sheet.CSV || c == nil || c.Kind != table.Text {
		return
	}
	for _, right := range []*table.Cell{e.row.At(c.Col + 1), c} {
		if right == nil {
			continue
		}
		left, head := e.row.At(right.Col-1), e.sheet.Rows[e.sheet.Head].At(right.Col)
		if left == nil || head != nil && strings.HasPrefix(head.Text, " ") || strings.ContainsAny(lastLetter(left.Text), ".!?…:") || !e.aLine(left, c) {
			continue
		}
		rest, spaced := strings.CutPrefix(right.Text, " ")
		first, _ := utf8.DecodeRuneInString(rest)
		alone := !slices.ContainsFunc(e.row.Cells, func(o table.Cell) bool { return o.Col != right.Col && strings.HasPrefix(o.Text, " ") })
		if !spaced || !unicode.IsLower(first) && !alone {
			continue
		}
		other := right
		if right == c {
			other = left
		}
		col := &Column{Index: other.Col}
		if k, ok := e.sheet.HeadingAt(other.Col); ok {
			col = &e.sheet.Columns[k]
		}
		e.note(col, fmt.Sprintf("%s may belong to the journaling beside it", measure.Quote(line(other.Text))), "what stands to the right begins with a space, and a text with a comma in it, which is not in quotation marks, counts as two cells",
			"put the text in quotation marks, or save the table as a workbook (.xlsx)")
		return
	}
}

// aLine reports a cell of the journaling, or of a line that is printed with it.
func (e *entry) aLine(c, journaling *table.Cell) bool {
	if c == journaling {
		return true
	}
	k, ok := e.sheet.HeadingAt(c.Col)
	return ok && slices.Contains([]meaning{asTitle, asWho, asWhere, asWhen, asNote}, e.sheet.Columns[k].as)
}

// lastLetter is the last letter or sign of a text, or "".
func lastLetter(text string) string {
	text = strings.TrimSpace(text)
	_, size := utf8.DecodeLastRuneInString(text)
	return text[len(text)-size:]
}

// tooLong is overflows, without a word. A form that was saved as text has the steps of its live column there: its line of headings is as long then.
func (e *entry) tooLong() bool {
	n, last := len(e.row.Cells), e.sheet.last()
	if !e.sheet.CSV || n == 0 {
		return false
	}
	if e.row.Cells[n-1].Col <= last {
		return e.row.Written > e.sheet.width()
	}
	head := e.sheet.Rows[e.sheet.Head].Written
	steps := head > FormSteps && e.row.Written == head
	return !steps || slices.ContainsFunc(e.row.Cells, func(c table.Cell) bool { return c.Col > last && !e.sheet.Step(e.row, &c) })
}

// width is how many cells a line of a text file has: as many as the line of headings, or as most lines below it, where people end each with a comma.
func (s *Sheet) width() int {
	if s.wide > 0 {
		return s.wide
	}
	s.wide = s.Rows[s.Head].Written
	lines, of := s.Rows[s.Head+1:], map[int]int{}
	for i := range lines {
		n := lines[i].Written
		if of[n]++; n > s.wide && 2*of[n] > len(lines) && len(lines) > 2 {
			s.wide = n // no other can have more than half
		}
	}
	return s.wide
}

// Overflows reports such a row below the headings by its index, where it is one of journaling that something is asked for in.
func (s *Sheet) Overflows(i int) bool {
	e := entry{sheet: s, row: &s.Rows[i]}
	return s.CSV && s.use == journaling && i > s.Head && e.tooLong() && !e.blank()
}

// place is the block's place; col may be nil.
func (e *entry) place(col *Column) problem.Place {
	p := e.sheet.place(e.row, col)
	p.Block = e.set
	return p
}

func (e *entry) fail(col *Column, what, cause, hint string) {
	e.wrong = append(e.wrong, what)
	e.sheet.problems.Add(e.place(col), what, cause, hint)
}

func (e *entry) note(col *Column, what, cause, hint string) {
	e.sheet.problems.Note(e.place(col), what, cause, hint)
}

// once says a note that is about a word, not about its row, once a file.
func (e *entry) once(col *Column, what, cause, hint string) {
	if k := e.sheet.File + "\x00" + what; !e.told[k] {
		e.told[k] = true
		e.note(col, what, cause, hint)
	}
}

// faults are what spreadsheets show where a formula does not work out (ECMA-376 part 1, 18.17.3, and what newer programs add);
// as a text they are what is left of such a cell in a copy.
var faults = map[string]bool{"#REF!": true, "#VALUE!": true, "#NAME?": true, "#DIV/0!": true, "#N/A": true, "#NUM!": true, "#NULL!": true,
	"#SPILL!": true, "#CALC!": true, "#FIELD!": true, "#BLOCKED!": true, "#GETTING_DATA": true, "Err:502": true, "Err:504": true, "Err:508": true}

// readable reports on cells whose content did not come through; false means that there is nothing to read.
func (e *entry) readable(c *table.Cell, col *Column) bool {
	switch {
	case c.Kind == table.Fault && e.pictured(col):
		e.fail(col, "there is a picture in the cell, or something else that is no text", "only what is typed in the cell can be printed", "type the text or the measure itself")
		return false
	case c.Kind == table.Fault, c.Kind == table.Text && faults[strings.TrimSpace(c.Text)]:
		e.fail(col, fmt.Sprintf("the cell shows the error %s", c.Text), "its formula does not work out",
			"type the text or the measure itself")
		return false
	case c.Kind == table.Uncomputed:
		cause := "the program that wrote the file did not work it out"
		if filled := c.Fills(); filled != "" {
			cause += "; it fills " + filled
		}
		e.fail(col, "the cell holds a formula without a result", cause,
			"open the file in your spreadsheet program and save it again, or type the value itself")
		return false
	case e.unseen(c, col):
		e.fail(col, "it cannot be told what the cell shows", fmt.Sprintf("it holds %s, in a form that programs show each in its own way, or not at all", measure.Quote(c.Text)),
			"format the cell as text and type what is to be printed")
		return false
	case len(c.Text) > longestLine && col.as != asJournaling:
		e.fail(col, fmt.Sprintf("the cell is %d characters long", utf8.RuneCountInString(c.Text)), fmt.Sprintf("a cell of %s may have %d", col.as, mostLine), "shorten it")
		return false
	case c.LostLetter():
		e.fail(col, "a letter of the text was lost and shows as �", "the file was saved in an encoding that does not have it",
			"type the letter again, or ask for the file as a workbook (.xlsx)")
		return false
	}
	e.oddly(c, col)
	return true
}

// oddly tells what of a cell is not printed as it shows there.
func (e *entry) oddly(c *table.Cell, col *Column) {
	if c.Mended() != "" {
		e.note(col, c.Mended(), "it came from another program and cannot be printed", "check how the text reads")
	}
	if struck := c.Struck(); struck != "" {
		e.note(col, measure.Quote(struck)+" is struck through in the cell", "it is read like the rest, and printed without the stroke", "delete it if it is not to be printed")
	}
	if moved := c.Moved(); moved != "" {
		e.note(col, measure.Quote(moved)+" is raised or lowered in the cell", "it is printed on the line, like the rest", "type a sign for it, like ² or ₂, if that changes what it says")
	}
	if signs := c.Signs(); signs != "" {
		e.note(col, measure.Quote(signs)+" is in a font whose letters show as signs", "the block's own font prints them as letters", "type the sign itself, like ☺ or ✓, or delete it")
	}
	if code := webCode.FindString(c.Text); code != "" {
		e.note(col, measure.Quote(line(code))+" is a code of web pages or mail", "it is printed as it stands here", "type what it stands for, if it is not to be printed so")
	}
}

// webCode is what becomes visible of a web page's text (HTML: character references and tags) or of mail (RFC 2045, section 6.7) where a program copied it raw.
var webCode = regexp.MustCompile(`&(?:amp|lt|gt|quot|apos|nbsp|[lr][sd]quo|[mn]dash|hellip|[a-z]+(?:acute|grave|circ|uml|cedil|tilde|ring|slash|lig)|#[0-9]{2,6}|#[xX][0-9a-fA-F]{2,5});` +
	`|</?(?i:br|p|b|i|u|em|strong|div|span|font)(?:\s[^<>]*)?/?>|(?:=[0-9A-F]{2}){2,}|=20(?:\n|$)`)

// unseen reports a cell whose text is not what a person sees in it, in a column that is printed, and one whose number means nothing without.
func (e *entry) unseen(c *table.Cell, col *Column) bool {
	unseen, unsaid := c.Unseen()
	switch col.as {
	case asName, asSurname, asPage, asTitle, asJournaling, asWho, asWhere, asWhen:
		return unseen
	}
	return unsaid
}

// oneLine is the text of a field on one line, or "".
func (e *entry) oneLine(m meaning, most int) string {
	c, col := e.cell(m)
	if c == nil {
		return ""
	}
	if !e.readable(c, col) {
		e.unread(col)
		return ""
	}
	text := c.Text
	if len(text) <= longestLine {
		text = line(text)
	}
	if n := utf8.RuneCountInString(text); n > most {
		e.fail(col, fmt.Sprintf("the cell is %d characters long", n), fmt.Sprintf("a cell of %s may have %d", m, most), "shorten it")
		e.unread(col)
		return ""
	}
	if likeAbove(m) {
		return e.fromAbove(col, text)
	}
	return text
}

// unit is what a bare number means in a column.
func (e *entry) unit(col *Column) measure.Unit {
	if c, _ := e.cell(asUnit); c != nil && col != nil && col.as.measured() {
		if u, ok := aUnit(c.Text); ok {
			return u
		}
	}
	if col != nil && col.Unit != "" {
		return col.unit
	}
	return e.sheet.unit
}
