package table

import (
	"regexp"
	"slices"
	"strconv"

	"github.com/xuri/efp"
	"github.com/xuri/excelize/v2"
)

// A program that writes a workbook without opening it leaves formulas without results. A person who opens the file sees
// them all the same, so the plain ones are computed here: those that look only at cells with values, so that no chain
// of formulas can grow without bound.

const (
	mostFormulas   = 200 // computed, of one sheet
	mostComputed   = 10 * mostFormulas
	longestFormula = 300
	mostParsed     = 2 << 20  // bytes of formulas that are looked at, of all sheets
	mostWorked     = 16 << 20 // of XML, of a sheet whose formulas are computed
	mostRead       = 1 << 15  // bytes that a formula may read from cells
	mostLooks      = 50 << 20 // cells that the library looks through to find those

	// What the library takes for the sheets that it opens: 2 for each cell, also where there is none before the last of a row, 1 for each other element, each row
	// down to the last, and each shared string. An empty cell is four letters in the file, and 500 bytes there.
	mostRoom = 500_000
)

// spent is what the formulas of a workbook have taken so far.
type spent struct{ computed, parsed, room, looks int }

var (
	formulaCell = regexp.MustCompile(`^\$?([A-Z]{1,3})\$?([0-9]{1,7})$`)
	formulaSafe = []string{"ABS", "AND", "CHAR", "CONCAT", "CONCATENATE", "IF", "INT", "LEFT", "LEN", "LOWER", "MAX", "MID",
		"MIN", "OR", "PROPER", "RIGHT", "ROUND",
		"SUM", "TEXT", "TRIM", "TRUE", "FALSE", "UPPER"}
)

// computable reports whether a formula uses nothing but arithmetic, texts, a few harmless functions and single cells of its own
// sheet that it may read.
func computable(formula string, reads func(cell string) bool) (safe bool) {
	defer func() {
		if recover() != nil { // the library met a formula that is none
			safe = false
		}
	}()
	if formula == "" || len(formula) > longestFormula {
		return false
	}
	parser := efp.ExcelParser()
	for _, t := range parser.Parse(formula) {
		switch {
		case t.TType == efp.TokenTypeUnknown, t.TSubType == efp.TokenSubTypeIntersection, t.TSubType == efp.TokenSubTypeUnion,
			t.TSubType == efp.TokenSubTypeError:
			return false
		case t.TType == efp.TokenTypeFunction && t.TSubType == efp.TokenSubTypeStart:
			if !slices.Contains(formulaSafe, t.TValue) {
				return false
			}
		case t.TSubType == efp.TokenSubTypeRange: // or a name, or the cell of another sheet
			m := formulaCell.FindStringSubmatch(t.TValue)
			if m == nil || !reads(m[1]+m[2]) {
				return false
			}
		}
	}
	return true
}

// compute fills in the results of formulas that were saved without, where that is safe; the others stay Uncomputed.
func (x *sheetReader) compute() {
	if len(x.pending) == 0 {
		return
	}
	waiting := map[string]bool{}
	for _, p := range x.pending {
		waiting[Address(p.col, x.sheet.Rows[p.row].N)] = true
	}
	sizes := x.sizes()
	so, done := &x.book.spent, 0
	for _, p := range x.pending {
		r := &x.sheet.Rows[p.row]
		c := r.At(p.col)
		if c.Kind != Uncomputed || done == mostFormulas || so.computed == mostComputed || so.parsed > mostParsed {
			continue
		}
		so.parsed += len(c.more.formula)
		read := 0
		if !computable(c.more.formula, func(cell string) bool {
			read += sizes[cell]
			return !waiting[cell] && read <= mostRead
		}) {
			continue
		}
		if done == 0 && !x.opens() {
			return
		}
		if so.looks += (1 + len(c.more.formula)/2) * (x.wide + len(x.merged)); so.looks > mostLooks { // a cell is two letters
			return
		}
		done++
		so.computed++
		if value, ok := x.calculate(Address(c.Col, r.N)); ok {
			look := x.book.formatOf(c.more.style)
			c.Kind, c.more = Text, nil
			if _, err := strconv.ParseFloat(value, 64); err == nil {
				x.setNumber(c, false, value, look)
			} else {
				c.clean(value)
			}
		}
	}
}

// opens reports whether the library may open the sheet, and counts what that takes.
func (x *sheetReader) opens() bool {
	room := x.book.spent.room + x.room
	if x.book.file == nil {
		room += x.book.pieces
	}
	if room > mostRoom {
		return false
	}
	x.book.spent.room = room
	return true
}

// sizes are those of the sheet's texts that are long, by cell.
func (x *sheetReader) sizes() map[string]int {
	long := map[string]int{}
	for i := range x.sheet.Rows {
		for j := range x.sheet.Rows[i].Cells {
			if c := &x.sheet.Rows[i].Cells[j]; len(c.Text) > mostRead/longestFormula {
				long[Address(c.Col, x.sheet.Rows[i].N)] = len(c.Text)
			}
		}
	}
	return long
}

func (x *sheetReader) calculate(cell string) (value string, ok bool) {
	defer func() {
		if recover() != nil {
			value, ok = "", false
		}
	}()
	book := x.book.calculator()
	if book == nil {
		return "", false
	}
	value, err := book.CalcCellValue(x.sheet.Name, cell, rawValues)
	return value, err == nil && len(value) < 1<<15
}

var rawValues = excelize.Options{RawCellValue: true}
