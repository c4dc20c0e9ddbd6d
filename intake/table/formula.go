package table

import (
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"
)

// A program that writes a workbook without opening it leaves formulas without results. A person who opens the file sees
// them all the same, so the plain ones are computed here: those that look only at cells with values, so that no chain
// of formulas can grow without bound.

const mostFormulas = 200 // computed, of one sheet

var (
	formulaString = regexp.MustCompile(`"(?:[^"]|"")*"`)
	formulaCell   = regexp.MustCompile(`\$?\b([A-Z]{1,3})\$?([0-9]{1,7})\b`)
	formulaName   = regexp.MustCompile(`[A-Z][A-Z.]*`)
	formulaSafe   = []string{"ABS", "AND", "CHAR", "CONCAT", "CONCATENATE", "IF", "INT", "LEFT", "LEN", "LOWER", "MAX", "MID",
		"MIN", "OR", "PROPER", "RIGHT", "ROUND",
		"SUM", "TEXT", "TRIM", "TRUE", "FALSE", "UPPER"}
)

// computable reports whether a formula uses nothing but arithmetic, texts, cells of its own sheet and a few harmless
// functions.
func (x *sheetReader) computable(formula string) bool {
	if formula == "" || len(formula) > 300 {
		return false
	}
	rest := formulaString.ReplaceAllString(formula, "")
	rest = formulaCell.ReplaceAllString(rest, "")
	for _, name := range formulaName.FindAllString(rest, -1) {
		if !slices.Contains(formulaSafe, name) {
			return false
		}
	}
	return !strings.ContainsAny(rest, "![]{}'#@")
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
		if c.Kind != Uncomputed || done == mostFormulas || !x.computable(c.more.formula) || leans(c.more.formula, waiting) {
			continue
		}
		done++
		if value, ok := x.calculate(Address(c.Col, r.N)); ok {
			look := x.book.look(c.more.style)
			c.Kind, c.more = Text, nil
			if _, err := strconv.ParseFloat(value, 64); err == nil {
				x.number(c, false, value, look)
			} else {
				c.clean(value)
			}
		}
	}
}

// leans reports whether a formula looks at a cell without a value, or at a range.
func leans(formula string, waiting map[string]bool) bool {
	rest := formulaString.ReplaceAllString(formula, "")
	for _, m := range formulaCell.FindAllStringSubmatch(rest, -1) {
		if waiting[m[1]+m[2]] {
			return true
		}
	}
	return strings.Contains(rest, ":")
}

func (x *sheetReader) calculate(cell string) (value string, ok bool) {
	defer func() {
		if recover() != nil {
			value, ok = "", false
		}
	}()
	value, err := x.book.file.CalcCellValue(x.sheet.Name, cell, rawValues)
	return value, err == nil && len(value) < 1<<15
}

var rawValues = excelize.Options{RawCellValue: true}
