package report

import (
	"errors"
	"fmt"
	"io"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/intake/longsheet"
	"tuckmark/intake/table"
)

// book is the workbook in the making; the first error stays.
type book struct {
	f *excelize.File
	*account.Account
	problems problem.List
	stop     func() bool
	tick     func(rows int)
	written  int // rows
	unit     measure.Unit
	err      error
	add      string // to the names of sheets: " 2" in what a redo adds
	head     [4]int // style of the heading of each kind of column
	kind     [4]int // of its cells
	sum      [4]int // of its cell in a row of totals

	later longsheet.Rows // that are made when the workbook is packed
}

// What a column holds.
type kind uint8

const (
	text kind = iota
	whole
	length
	amount
)

// field is a column of a sheet.
type field struct {
	head  string
	width float64 // in characters; or hidden
	kind  kind
}

// hidden is the width of a column that no person needs to see.
const hidden = 0

// column is a column of a sheet and what a row has in it.
type column[R any] struct {
	field
	of func(R) any
}

func fields[R any](columns []column[R]) []field {
	out := make([]field, len(columns))
	for i, c := range columns {
		out[i] = c.field
	}
	return out
}

func (b *book) do(err error) {
	if err != nil && b.err == nil {
		b.err = fmt.Errorf("report: writing the report: %w", err)
	}
}

func (b *book) styles() {
	style := func(s excelize.Style) int {
		id, err := b.f.NewStyle(&s)
		b.do(err)
		return id
	}
	strong := &excelize.Font{Bold: true, Family: "Calibri", Size: 11} // as the cells, which have the library's standard font
	line := func(side string) []excelize.Border { return []excelize.Border{{Type: side, Style: 1, Color: "808080"}} }
	formats := [...]string{"@", "0", "0.####", "0.00"}
	for k, f := range formats {
		// Texts are set in by a little, so that they do not touch a number to their left.
		across, in := "right", 0
		if kind(k) == text {
			across, in = "left", 1
		}
		b.head[k] = style(excelize.Style{Font: strong, Alignment: &excelize.Alignment{Horizontal: across, Indent: in, Vertical: "center", WrapText: true},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"F2F2F2"}}, Border: line("bottom")})
		cell := excelize.Style{CustomNumFmt: &f, Alignment: &excelize.Alignment{Horizontal: across, Indent: in, Vertical: "top", WrapText: kind(k) == text}}
		b.kind[k] = style(cell)
		cell.Font, cell.Border = strong, line("top")
		b.sum[k] = style(cell)
	}
}

// sheet adds a sheet. Texts are written as texts, so that none is taken for a formula.
func (b *book) sheet(name string, fields []field, rows [][]any, totals []any) {
	b.headed(name, fields, len(rows))
	name += b.add
	for i, r := range rows {
		if !b.next() {
			return
		}
		b.row(name, i+2, len(fields), func(k int) int { return b.kind[fields[k].kind] }, r)
		if high := heightOf(fields, r); high > 0 {
			b.do(b.f.SetRowHeight(name, i+2, high))
		}
	}
	if totals != nil {
		b.row(name, len(rows)+2, len(fields), func(k int) int { return b.sum[fields[k].kind] }, totals)
		b.reaches(name, len(fields), len(rows)+2)
	}
}

// reaches says how large a sheet is: a program that reads row by row may go by it.
func (b *book) reaches(sheet string, columns, rows int) {
	b.do(b.f.SetSheetDimension(sheet, "A1:"+table.Address(columns-1, rows)))
}

// next counts a row before it is written; it is false where the report is no longer wanted.
func (b *book) next() bool {
	if b.stop != nil && b.stop() {
		b.do(ErrStopped)
		return false
	}
	if b.written++; b.tick != nil {
		b.tick(b.written)
	}
	return true
}

// headed adds a sheet for so many rows under a frozen heading, filterable, and gives the path of its part.
func (b *book) headed(name string, fields []field, rows int) (path string) {
	name += b.add
	before := map[any]bool{}
	b.f.Sheet.Range(func(path, _ any) bool { before[path] = true; return true })
	_, err := b.f.NewSheet(name)
	b.do(err)
	b.f.Sheet.Range(func(p, _ any) bool { // one is new
		if !before[p] {
			path = p.(string)
		}
		return true
	})
	for i, f := range fields {
		col, err := excelize.ColumnNumberToName(i + 1)
		b.do(err)
		if f.width == hidden {
			b.do(b.f.SetColVisible(name, col, false))
			continue
		}
		b.do(b.f.SetColWidth(name, col, col, f.width))
	}
	b.row(name, 1, len(fields), func(k int) int { return b.head[fields[k].kind] }, heads(fields))
	b.do(b.f.SetRowHeight(name, 1, 2*rowHeight))
	last, err := excelize.CoordinatesToCellName(len(fields), max(rows+1, 2))
	b.do(err)
	b.do(b.f.AutoFilter(name, "A1:"+last, nil))
	b.reaches(name, len(fields), rows+1)
	b.do(b.f.SetPanes(name, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	landscape, fit, high := "landscape", 1, 0
	b.do(b.f.SetPageLayout(name, &excelize.PageLayoutOptions{Orientation: &landscape, FitToWidth: &fit, FitToHeight: &high}))
	fitted := true
	b.do(b.f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fitted}))
	return path
}

// rowHeight is the height of a line, in points.
const rowHeight = 15

func heads(fields []field) []any {
	out := make([]any, len(fields))
	for i, f := range fields {
		out[i] = f.head
	}
	return out
}

// row writes cells; an empty text leaves its cell empty.
func (b *book) row(sheet string, at, columns int, style func(int) int, cells []any) {
	if len(cells) != columns {
		panic(fmt.Sprintf("report: %d cells for the %d columns of %s", len(cells), columns, sheet))
	}
	for i, c := range cells {
		name, err := excelize.CoordinatesToCellName(i+1, at)
		b.do(err)
		switch v := c.(type) {
		case string:
			if v != "" {
				b.do(b.f.SetCellStr(sheet, name, table.Escape(v)))
			}
		case int:
			b.do(b.f.SetCellInt(sheet, name, int64(v)))
		case float64:
			b.do(b.f.SetCellFloat(sheet, name, v, -1, 64))
		case nil:
		default:
			panic(fmt.Sprintf("report: a cell of %T", c))
		}
		b.do(b.f.SetCellStyle(sheet, name, name, style(i)))
	}
}

// inUnit is a length as a number of the rule's unit, rounded down to a ten-thousandth.
func (b *book) inUnit(l measure.Length) float64 {
	one := b.unit.Ruler().Length()
	n := int64(l)/int64(one)*10000 + int64(l)%int64(one)*10000/int64(one)
	return float64(n) / 10000
}

// in is a heading with the rule's unit.
func (b *book) in(head string) string { return head + " (" + b.unit.Ruler().String() + ")" }

func cents(n int64) float64 { return float64(n) / 100 }

// write writes the workbook out.
func (b *book) write(w io.Writer) error {
	if b.err != nil {
		return b.err
	}
	err := b.later.Write(w, b.f)
	if errors.Is(err, longsheet.ErrGone) {
		return fmt.Errorf("%w: %w", ErrReport, err)
	}
	return err
}
