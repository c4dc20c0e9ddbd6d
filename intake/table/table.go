package table

import (
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/problem"
)

// Sheet is one table of cells as it was found: a worksheet, or a whole CSV file. Only cells with something in them are
// kept, so that a stray cell in the last row costs what one cell costs.
type Sheet struct {
	File     string // as it is shown
	Name     string // of the worksheet; "" for CSV
	CSV      bool   // its texts may carry *bold* and _italic_
	Copied   bool   // in a spreadsheet, and pasted: nobody can tell from where
	Hidden   bool   // a hidden worksheet
	Desk     bool   // of the workbook that a desk keeps a job in
	Rows     []Row
	Problems problem.List // of the table as such; what its rows mean is judged elsewhere

	Across       []Across // cells merged over several columns of one row, in the order of the rows
	Beneath      []Spot   // cells that hold something, and over which a merged one lies that says something else
	Pictures     []Spot   // that lie on cells; charts and diagrams, too
	Remarks      []Remark // that somebody attached to cells
	Boxes        []Remark // texts of shapes that lie on cells
	RunningHeads []string // what is printed above or below each of its pages, once
	Embedded     int      // documents of other programs that lie on it
	Unseen       bool     // what lies on the cells could not be read

	hidden [][2]int // columns, from the first to the last, counted from 0
}

// Across is a cell that is merged over several columns of its row: those from Col, which it is in, to Last, from 0.
type Across struct{ Row, Col, Last int }

// ColumnHidden reports whether a column, counted from 0, is hidden.
func (s *Sheet) ColumnHidden(col int) bool {
	return slices.ContainsFunc(s.hidden, func(c [2]int) bool { return c[0] <= col && col <= c[1] })
}

// HasAttached reports whether anything lies on the sheet beside its cells.
func (s *Sheet) HasAttached() bool {
	return len(s.Pictures)+len(s.Remarks)+len(s.Boxes)+len(s.RunningHeads)+s.Embedded > 0 || s.Unseen
}

// New makes a table of texts that came by another way than a file, as a CSV file of them would be: the first row is row 1.
func New(rows [][]string) *Sheet {
	s := &Sheet{CSV: true}
	for i, texts := range rows {
		r := Row{N: i + 1}
		for col, t := range texts {
			if t != "" {
				c := Cell{Col: col}
				c.clean(t)
				r.Cells = append(r.Cells, c)
			}
		}
		s.Rows = append(s.Rows, r)
	}
	return s
}

// Typed is a cell of a text that came by another way than a file, as a workbook would have it. Runs are the text once more, where
// it is rich.
func Typed(col int, text string, runs []Run) Cell {
	s := shared{text: text, runs: runs}
	c := *s.made()
	c.Col = col
	return c
}

// Clean is a text as it stands in a cell: its line breaks are \n, and what can be neither seen nor printed is taken out.
func Clean(text string) string {
	text, _, _ = cleaned(text)
	return text
}

// Row is one row of a sheet. N counts from 1, as the spreadsheet shows it.
type Row struct {
	N       int
	Hidden  bool
	Cells   []Cell // by rising column
	Written int    // of a text file: how many cells are written in it, with those that are empty
}

// Kind is what a cell holds.
type Kind uint8

// The kinds of cells.
const (
	Text       Kind = iota
	Number          // Text is the number as it is shown, Exact as it is
	Date            // Text is the date written out
	Fault           // Text is the error as the spreadsheet shows it: #REF!
	Uncomputed      // a formula whose result was not saved
)

// Cell is a cell with something in it.
type Cell struct {
	Col          int // from 0
	Kind         Kind
	Bold, Italic bool   // the whole cell
	struck       bool   // the whole cell is struck through
	signs        bool   // the whole cell is in a font of signs
	Covered      bool   // shows the value of the merged cell that it is a part of
	Text         string // as a person sees it, cleaned
	more         *more
}

// Run is a stretch of a cell's rich text in one style. It may hold line breaks.
type Run struct {
	Text         string
	Bold, Italic bool
}

// more is what few cells have.
type more struct {
	runs      []Run   // rich text
	drawn     *drawn  // of rich text
	exact     string  // a number as a measure: exact decimals and the unit that its format shows
	otherUnit string  // what its format shows after it and is no unit that is known
	currency  string  // that its format names apart
	unseen    bool    // what a person sees in the cell cannot be told
	unsaid    bool    // nor in which unit, or the cell shows nothing
	moment    *Moment // of a date
	fills     string  // the cells that a formula without a result fills, where it fills several
	live      bool    // a formula without a result may be a form's
	mended    string  // what was taken out of the text, for the note
	lost      bool    // holds U+FFFD: a letter was lost before it came here
}

// ExactText is the cell's text; for a number, the number as it is stored, with the unit that its format shows, and not what
// was rounded for the eye.
func (c *Cell) ExactText() string {
	if c.Kind == Number {
		return c.more.exact
	}
	return c.Text
}

// OtherUnit is what the format of a number shows after it, with a space before, where that may be a unit but is none that is known here; else "".
func (c *Cell) OtherUnit() string {
	if c.Kind != Number {
		return ""
	}
	return c.more.otherUnit
}

// Currency is what the format of a number names as its currency, apart from other text; "" where it names none so.
func (c *Cell) Currency() string {
	if c.Kind != Number {
		return ""
	}
	return c.more.currency
}

// Unseen reports that the cell holds a number, a date or yes or no, in a form in which it cannot be told what a person sees there: Text is what it holds. Unsaid
// reports that a number's unit cannot be told either, or that the cell shows nothing.
func (c *Cell) Unseen() (unseen, unsaid bool) {
	if c.more == nil {
		return false, false
	}
	return c.more.unseen, c.more.unsaid
}

// Moment is what a cell of the kind Date holds.
func (c *Cell) Moment() Moment { return *c.more.moment }

// Runs are the cell's text where it is rich text, else none.
func (c *Cell) Runs() []Run {
	if c.more == nil {
		return nil
	}
	return c.more.runs
}

// Struck is what is struck through of the cell's text, or begins to be.
func (c *Cell) Struck() string {
	switch {
	case c.more != nil && c.more.drawn != nil:
		return c.more.drawn.struck
	case c.struck:
		return c.Text
	}
	return ""
}

// Moved are the first digits of the cell's text that are raised above the line, or lowered.
func (c *Cell) Moved() string {
	if c.more == nil || c.more.drawn == nil {
		return ""
	}
	return c.more.drawn.moved
}

// Signs is what of the cell's text is in a font in which letters show as signs, or begins to be.
func (c *Cell) Signs() string {
	switch {
	case c.more != nil && c.more.drawn != nil && c.more.drawn.signs != "":
		return c.more.drawn.signs
	case c.signs && c.Kind == Text:
		return c.Text
	}
	return ""
}

// Fills are the cells that a formula without a result fills, where it fills several, as "B2:C7"; else "".
func (c *Cell) Fills() string {
	if c.more == nil {
		return ""
	}
	return c.more.fills
}

// Live reports that a formula without a result may be one of a form's live column.
func (c *Cell) Live() bool { return c.more != nil && c.more.live }

// LostLetter reports that a letter of the text was lost before it came here, and shows as U+FFFD.
func (c *Cell) LostLetter() bool { return c.more != nil && c.more.lost }

// Mended tells, in words, what was taken out of the text or put right; "" where it is as it came.
func (c *Cell) Mended() string {
	if c.more == nil {
		return ""
	}
	return c.more.mended
}

// At is the cell in a column, or nil.
func (r *Row) At(col int) *Cell {
	if i, ok := slices.BinarySearchFunc(r.Cells, col, func(c Cell, col int) int { return c.Col - col }); ok {
		return &r.Cells[i]
	}
	return nil
}

// HasOwnCells reports whether the row has anything that is not shown through from a merged cell.
func (r *Row) HasOwnCells() bool {
	for i := range r.Cells {
		if c := &r.Cells[i]; !c.Covered && (c.Kind != Text || strings.TrimSpace(c.Text) != "") {
			return true
		}
	}
	return false
}

// Address is a cell's name: column 0 and row 7 are A7.
func Address(col, row int) string { return Letters(col) + strconv.Itoa(row) }

// Letters is a column's name: 0 is A, 26 is AA.
func Letters(col int) string {
	name := ""
	for col++; col > 0; col = (col - 1) / 26 {
		name = string(rune('A'+(col-1)%26)) + name
	}
	return name
}

// parseAddress is the column, from 0, and the row, from 1, of a cell's name; ok is false where it is none that a
// spreadsheet has.
func parseAddress(ref string) (col, row int, ok bool) {
	i := 0
	for ; i < len(ref) && ref[i] >= 'A' && ref[i] <= 'Z'; i++ {
		if col = col*26 + int(ref[i]-'A') + 1; col > lastColumn {
			return 0, 0, false
		}
	}
	row, err := strconv.Atoi(ref[i:])
	if err != nil || i == 0 || row < 1 || row > lastRow {
		return 0, 0, false
	}
	return col - 1, row, true
}

// A worksheet's limits (ECMA-376 part 1, 18.3.1.4 c and its use in all office programs).
const (
	lastColumn = 16384
	lastRow    = 1 << 20
)
