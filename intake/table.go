package intake

import (
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// sheet is one table of cells as it was found: a worksheet, or a whole CSV file. Only cells with something in them are
// kept, so that a stray cell in the last row costs what one cell costs.
type sheet struct {
	file     string // as it is shown
	name     string // of the worksheet; "" for CSV
	csv      bool   // its texts may carry *bold* and _italic_
	unseen   bool   // a hidden worksheet
	rows     []row
	problems problem.List

	head    int // index of the heading row in rows; -1 where there is none
	columns []Column
	unit    measure.Unit // of a bare number where the column's heading names none
}

// row is one row of a sheet. n counts from 1, as the spreadsheet shows it.
type row struct {
	n      int
	hidden bool
	cells  []cell // by rising column
}

// kind is what a cell holds.
type kind uint8

const (
	words      kind = iota
	number          // text is the number as it is shown, more.value as it is
	date            // text is the date written out
	fault           // text is the error as the spreadsheet shows it: #REF!
	uncomputed      // a formula whose result was not saved
)

// cell is a cell with something in it.
type cell struct {
	col          int // from 0
	kind         kind
	bold, italic bool   // the whole cell
	covered      bool   // shows the value of the merged cell that it is a part of
	text         string // as a person sees it, cleaned
	more         *more
}

// more is what few cells have.
type more struct {
	runs    []Run   // rich text; its runs may hold line breaks
	value   string  // a number as a measure: exact decimals and the unit that its format shows
	moment  *moment // of a date
	formula string
	style   int
	cleaned string // what was taken out of the text, for the note
	lost    bool   // holds U+FFFD: a letter was lost before it came here
}

// at is the cell in a column, or nil.
func (r *row) at(col int) *cell {
	for i := range r.cells {
		if r.cells[i].col == col {
			return &r.cells[i]
		}
	}
	return nil
}

// own reports whether the row has anything that is not shown through from a merged cell.
func (r *row) own() bool {
	for i := range r.cells {
		if c := &r.cells[i]; !c.covered && (c.kind != words || strings.TrimSpace(c.text) != "") {
			return true
		}
	}
	return false
}

// place is a row's place; column may be nil.
func (s *sheet) place(r *row, column *Column) problem.Place {
	p := problem.Place{File: s.file, Sheet: s.name, Row: r.n}
	if column != nil {
		p.Column, p.Cell = column.Heading, address(column.Index, r.n)
	}
	return p
}

// address is a cell's name: column 0 and row 7 are A7.
func address(col, row int) string { return letters(col) + strconv.Itoa(row) }

// letters is a column's name: 0 is A, 26 is AA.
func letters(col int) string {
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
