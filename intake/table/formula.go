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

const mostFormulas = 200 // computed, of one sheet

var (
	formulaCell = regexp.MustCompile(`^\$?([A-Z]{1,3})\$?([0-9]{1,7})$`)
	formulaSafe = []string{"ABS", "AND", "CHAR", "CONCAT", "CONCATENATE", "IF", "INT", "LEFT", "LEN", "LOWER", "MAX", "MID",
		"MIN", "OR", "PROPER", "RIGHT", "ROUND",
		"SUM", "TEXT", "TRIM", "TRUE", "FALSE", "UPPER"}
)

// computable reports whether a formula uses nothing but arithmetic, texts, a few harmless functions and single cells of its own
// sheet that have a value.
func computable(formula string, waiting map[string]bool) (safe bool) {
	defer func() {
		if recover() != nil { // the library met a formula that is none
			safe = false
		}
	}()
	if formula == "" || len(formula) > 300 {
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
			if m == nil || waiting[m[1]+m[2]] {
				return false
			}
		}
	}
	return true
}

// compute fills in the results of formulas that were saved without, where that is safe; the others stay Uncomputed.
func (x *sheetReader) compute() {
	waiting := map[string]bool{}
	for _, p := range x.pending {
		r := &x.sheet.Rows[p.row]
		waiting[Address(r.Cells[p.cell].Col, r.N)] = true
	}
	done := 0
	for _, p := range x.pending {
		r := &x.sheet.Rows[p.row]
		c := x.sheet.Rows[p.row].At(x.sheet.Rows[p.row].Cells[p.cell].Col)
		if c.Kind != Uncomputed || done == mostFormulas || !computable(c.more.formula, waiting) {
			continue
		}
		done++
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
