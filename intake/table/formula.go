package table

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

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
	formulaCell  = regexp.MustCompile(`^\$?([A-Z]{1,3})\$?([0-9]{1,7})$`)
	sums         = []string{"MAX", "MIN", "ROUND", "SUM"}
	joinedNumber = regexp.MustCompile(`^-?[0-9]{1,6}(\.[0-9]{1,4})?$`) // what each program puts into a text as it stands
)

// computable reports whether a formula is one on whose result the library and the programs that people use agree, and whether that is a text: arithmetic of
// numbers, or texts and plain numbers put together, from single cells of its own sheet. at is what stands in a cell that it may read; nil where that is nothing.
// What compares is not one (the library takes an empty cell for something else than ""), nor is arithmetic within a text (0.1+0.2), nor what cuts, counts or
// writes out.
func computable(formula string, at func(cell string) (c *Cell, ok bool)) (text, safe bool) {
	defer func() {
		if recover() != nil { // the library met a formula that is none
			safe = false
		}
	}()
	if formula == "" || len(formula) > longestFormula {
		return false, false
	}
	var joins, empties, computes, odd bool
	parser := efp.ExcelParser()
	tokens := parser.Parse(formula)
	for i, t := range tokens {
		switch is := t.TType + t.TSubType; {
		case t.TSubType == efp.TokenSubTypeStop, t.TType == efp.TokenTypeSubexpression, t.TType == efp.TokenTypeArgument:
		case is == efp.TokenTypeOperand+efp.TokenSubTypeNumber:
			odd = odd || !joinedNumber.MatchString(t.TValue)
		case is == efp.TokenTypeOperand+efp.TokenSubTypeText:
			text = true
			odd = odd || mayBeNoText(t.TValue)
		case is == efp.TokenTypeOperand+efp.TokenSubTypeRange: // or a name, or the cell of another sheet
			m := formulaCell.FindStringSubmatch(t.TValue)
			if m == nil {
				return false, false
			}
			c, ok := at(m[1] + m[2])
			switch {
			case !ok:
				return false, false
			case c == nil:
				empties = true
			case c.Kind == Number:
				odd = odd || !joinedNumber.MatchString(c.ExactText()) || c.Text != c.ExactText()
			case c.Kind == Text:
				text = true
				unseen, _ := c.Unseen()
				odd = odd || unseen || mayBeNoText(c.Text)
			default:
				return false, false
			}
		case t.TSubType == efp.TokenSubTypeConcatenation, is == efp.TokenTypeFunction+efp.TokenSubTypeStart && t.TValue == "CONCATENATE":
			text, joins = true, true
		case is == efp.TokenTypeFunction+efp.TokenSubTypeStart && t.TValue == "CHAR": // of a new line alone
			if text = true; i+2 >= len(tokens) || tokens[i+1].TValue != "10" || tokens[i+2].TSubType != efp.TokenSubTypeStop {
				return false, false
			}
		case is == efp.TokenTypeFunction+efp.TokenSubTypeStart && slices.Contains(sums, t.TValue),
			t.TSubType == efp.TokenSubTypeMath && t.TValue != "^", t.TType == efp.TokenTypeOperatorPrefix:
			computes = true
		default:
			return false, false
		}
	}
	if text {
		return true, !computes && !odd && (joins || !empties)
	}
	return false, !empties
}

// mayBeNoText reports a text that the library may take for a number, or for yes or no.
func mayBeNoText(s string) bool {
	_, err := strconv.ParseFloat(strings.TrimSpace(s), 64)
	_, not := strconv.ParseBool(strings.TrimSpace(s))
	return err == nil || not == nil
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
	so, done := &x.book.spent, 0
	for _, p := range x.pending {
		r := &x.sheet.Rows[p.row]
		c := r.At(p.col)
		if c.Kind != Uncomputed || done == mostFormulas || so.computed == mostComputed || so.parsed > mostParsed {
			continue
		}
		so.parsed += len(c.more.formula)
		read := 0
		text, safe := computable(c.more.formula, func(cell string) (*Cell, bool) {
			col, row, _ := parseAddress(cell)
			var from *Cell
			if i, ok := x.sheet.rowAt(row); ok {
				if from = x.sheet.Rows[i].At(col); from != nil {
					read += len(from.Text)
				}
			}
			return from, !waiting[cell] && !x.isBeneath(col, row) && read <= mostRead && so.looks <= mostLooks
		})
		if !safe {
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
		value, ok := x.calculate(Address(c.Col, r.N))
		if _, err := strconv.ParseFloat(value, 64); !ok || !text && err != nil {
			continue
		}
		look := x.book.formatOf(c.more.style)
		if c.Kind, c.more = Text, nil; text {
			c.clean(value)
		} else {
			x.setNumber(c, false, value, look)
		}
	}
}

// isBeneath reports a cell that a merged one lies over: the library reads that in its place, others what is beneath.
func (x *sheetReader) isBeneath(col, row int) bool {
	x.book.spent.looks += len(x.merged) + len(x.sheet.Across)
	return slices.ContainsFunc(x.merged, func(m mergedCell) bool {
		return m.col <= col && col <= m.lastCol && m.row <= row && row <= m.lastRow && (m.col != col || m.row != row)
	}) || slices.ContainsFunc(x.sheet.Across, func(a Across) bool { return a.Row == row && a.Col < col && col <= a.Last })
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
