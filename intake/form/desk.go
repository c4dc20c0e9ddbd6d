package form

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"slices"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
	"tuckmark/intake/longsheet"
	"tuckmark/intake/table"
)

// Desk is what the workbook holds that a desk keeps a job in: the form's sheets for the journaling and the paper, with the rows as they
// were typed. Hidden columns hold where a block is kept, the id by which the desk knows a row again, and the code that it was given.
type Desk struct {
	State      []string     // that the workbook says it shows; see table.File
	Unit       measure.Unit // of measures without one
	Journaling DeskSheet
	Paper      DeskSheet
}

// DeskSheet is one of its sheets.
type DeskSheet struct {
	Columns []string // beside those of the form, by heading
	Rows    []DeskRow
}

// DeskRow is a row: its cells by heading, the journaling with its markup.
type DeskRow struct {
	ID, Code string
	Cells    map[string]string
}

// The desk's sheets, and how many empty rows are below those that are filled.
const (
	journalingSheet = "Journaling"
	paperSheet      = "Paper"
	helpSheet       = "Help"
	spare           = 50
)

// fewOwn is how many columns beside those of the form have a cell in each row, also an empty one. Where there are more, only what is filled is written, and the rows are made as the
// workbook is packed: the library would hold a cell for each column of each row.
const fewOwn = 20

// DeskColumns are the headings of a desk's workbook beside id and code, in their order: those of the journaling, which needs no count of words that fit but
// has what is held back and where blocks are kept, and those of the paper.
func DeskColumns() (journaling, paper []string) {
	for _, c := range columns {
		if c.Name != "Fits" {
			journaling = append(journaling, c.Name)
		}
	}
	return append(journaling, "Hold", "Kept"), []string{"Stock", "Width", "Height", "Count", "Price", "Leftover"}
}

// headings are all columns of a sheet in their order, the hidden ones last.
func (s DeskSheet) headings(form []string) []string {
	out, there := slices.Clone(form), map[string]bool{}
	for _, c := range form {
		there[c] = true
	}
	for _, c := range s.Columns {
		if !there[c] {
			out, there[c] = append(out, c), true
		}
	}
	out = slices.DeleteFunc(out, hidden)
	if slices.Contains(form, "Kept") {
		out = append(out, "Kept")
	}
	return append(out, "Id", "Code")
}

// hidden reports a column that says nothing to people: where a block is kept, and what the desk knows a row by. They come last.
func hidden(heading string) bool { return heading == "Kept" || heading == "Id" || heading == "Code" }

// filled are the columns, from 0, in which a row has something, by the numbers of the headings.
func (r *DeskRow) filled(number map[string]int) (cols []int) {
	for _, h := range append(slices.Sorted(maps.Keys(r.Cells)), "Id", "Code") {
		if col, there := number[h]; there && r.cell(h) != "" {
			cols = append(cols, col)
		}
	}
	slices.Sort(cols)
	return slices.Compact(cols)
}

// numbers are the places of headings, from 0.
func numbers(heads []string) map[string]int {
	number := make(map[string]int, len(heads))
	for i, h := range heads {
		number[h] = i
	}
	return number
}

// cell is what a row has in a column, without what is written beside it.
func (r *DeskRow) cell(heading string) string {
	switch heading {
	case "Id":
		return r.ID
	case "Code":
		return r.Code
	}
	return r.Cells[heading]
}

// Tables are the tables that reading the workbook gives, without a workbook between; file is what places call it.
func (d *Desk) Tables(file string) *table.File {
	f := &table.File{Path: file, Name: file, Desk: true, State: d.State}
	journaling, paper := DeskColumns()
	f.Sheets = []*table.Sheet{d.table(file, journalingSheet, d.Journaling, journaling), d.table(file, paperSheet, d.Paper, paper)}
	return f
}

func (d *Desk) table(file, name string, s DeskSheet, form []string) *table.Sheet {
	heads := s.headings(form)
	out := &table.Sheet{File: file, Name: name, Desk: true, Rows: make([]table.Row, 0, len(s.Rows)+1)}
	head := table.Row{N: 1}
	for i, h := range heads {
		head.Cells = append(head.Cells, table.Typed(i, headingIn(d.Unit, h), nil))
	}
	out.Rows = append(out.Rows, head)
	number := numbers(heads)
	for i := range s.Rows {
		r := table.Row{N: i + 2}
		for _, col := range s.Rows[i].filled(number) {
			plain, runs := deskCell(name, heads[col], s.Rows[i].cell(heads[col]))
			if plain != "" {
				r.Cells = append(r.Cells, table.Typed(col, plain, runs))
			}
		}
		if len(r.Cells) > 0 {
			out.Rows = append(out.Rows, r)
		}
	}
	return out
}

// deskCell is a text as it stands in a cell: the journaling without its markup, and in runs where it has several.
func deskCell(sheet, heading, text string) (plain string, rich []table.Run) {
	if sheet != journalingSheet || heading != "Journaling" {
		return text, nil
	}
	return intake.InCell(intake.Runs(text))
}

// WriteDesk writes the workbook that a desk keeps a job in.
func WriteDesk(w io.Writer, d *Desk, s *config.Settings) error {
	f := &deskWriter{writer: writer{file: excelize.NewFile(), settings: s, styles: map[string]int{}}, desk: d, later: longsheet.Rows{}}
	defer f.file.Close()
	f.do(f.file.SetSheetName("Sheet1", journalingSheet))
	for _, name := range []string{paperSheet, helpSheet, "Lists"} {
		_, err := f.file.NewSheet(name)
		f.do(err)
	}
	f.lists()
	f.mark()
	journaling, paper := DeskColumns()
	f.sheet(journalingSheet, d.Journaling, journaling, 2)
	f.sheet(paperSheet, d.Paper, paper, 1)
	f.help(Options{Full: true, Paper: true})
	f.do(f.file.SetSheetVisible("Lists", false))
	f.properties("Journaling to print", "")
	f.file.SetActiveSheet(0)
	if f.err != nil {
		return f.err
	}
	if len(f.later) > 0 {
		return f.later.Write(w, f.file)
	}
	return f.file.Write(w)
}

type deskWriter struct {
	writer
	desk  *Desk
	later longsheet.Rows // of sheets with many columns
}

// mark says on the sheet of lists that this is a desk's workbook, and which state it shows.
func (f *deskWriter) mark() {
	col := helpList + 1
	f.text("Lists", table.Address(col, 1), table.DeskMark)
	for i, s := range f.desk.State {
		f.text("Lists", table.Address(col, i+2), s)
	}
}

// sheet writes one of the sheets to be filled in, its columns on so many pages across.
func (f *deskWriter) sheet(name string, s DeskSheet, form []string, wide int) {
	heads := s.headings(form)
	from := slices.IndexFunc(heads, hidden)
	first, last := table.Letters(from), table.Letters(len(heads)-1)
	shown := table.Letters(from - 1)
	end := len(s.Rows) + 1 + spare
	widths := map[int]float64{}
	own := from - len(slices.DeleteFunc(slices.Clone(form), hidden)) // stand before the hidden ones
	late := own > fewOwn
	if late {
		f.do(f.file.SetColStyle(name, table.Letters(from-own)+":"+shown, f.typed()))
	} else {
		f.do(f.file.SetCellStyle(name, "A2", fmt.Sprintf("%s%d", last, end), f.typed()))
	}
	f.do(f.file.SetCellStyle(name, "A1", last+"1", f.headingStyle()))
	for i, h := range heads {
		cell := table.Address(i, 1)
		f.text(name, cell, headingIn(f.desk.Unit, h))
		widths[i] = 12
		at := f.index(h)
		if at >= 0 && name == journalingSheet {
			c := columns[at]
			widths[i] = c.Form.Width
			f.explain(name, cell, c)
		}
		if at >= 0 && (name == journalingSheet || h == "Stock") {
			if list, n := f.listOf(h); n > 0 {
				f.choose(name, i, 2, end, columns[at], list, n)
			}
		}
	}
	f.widen(name, widths)
	if late {
		f.later[f.part(name)] = func(w io.Writer) error { return f.late(w, name, s, heads, from-own, from, widths) }
	} else {
		f.rows(name, s, heads, widths)
	}
	f.do(f.file.SetColVisible(name, first+":"+last, false))
	f.do(f.file.AutoFilter(name, "A1:"+fmt.Sprint(last, end), nil))
	f.freeze(name, 1)
	f.print(name, shown, wide)
}

// rows writes the rows of a sheet.
func (f *deskWriter) rows(name string, s DeskSheet, heads []string, widths map[int]float64) {
	for i := range s.Rows {
		lines := 1
		for col, h := range heads {
			if text := s.Rows[i].cell(h); text != "" {
				f.cell(name, h, table.Address(col, i+2), text)
				lines = max(lines, wrapped(text, widths[col]))
			}
		}
		if name == journalingSheet {
			f.do(f.file.SetRowHeight(name, i+2, highOf(lines)))
		}
	}
}

// highOf is the height of a row with so many lines, in points.
func highOf(lines int) float64 { return float64(min(max(lines, 3)*15+1, 400)) }

// late writes the rows of a sheet as its part has them, the empty ones too: of the columns from one number to another only the cells that are filled.
func (f *deskWriter) late(w io.Writer, name string, s DeskSheet, heads []string, from, to int, widths map[int]float64) error {
	number, style := numbers(heads), f.typed()
	var always []int // the columns that have a cell in each row
	for col := range heads {
		if col < from || col >= to {
			always = append(always, col)
		}
	}
	var out bytes.Buffer
	for i := range len(s.Rows) + spare {
		cols, high, lines := always, 0.0, 1
		var r DeskRow
		if i < len(s.Rows) {
			r = s.Rows[i]
			cols = slices.Concat(always, r.filled(number))
			slices.Sort(cols)
			cols = slices.Compact(cols)
		}
		cells := make([]longsheet.Cell, len(cols))
		for k, col := range cols {
			cells[k] = longsheet.Cell{Col: col, Style: style}
			text := r.cell(heads[col])
			if text == "" {
				continue
			}
			lines = max(lines, wrapped(text, widths[col]))
			if plain, runs := deskCell(name, heads[col], text); runs != nil {
				cells[k].Value = runs
			} else {
				cells[k].Value = plain
			}
		}
		if name == journalingSheet && i < len(s.Rows) {
			high = highOf(lines)
		}
		out.Reset()
		longsheet.WriteRow(&out, i+2, high, cells)
		if _, err := w.Write(out.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// cell writes a text that stays a text, whatever it looks like.
func (f *deskWriter) cell(sheet, heading, at, text string) {
	plain, runs := deskCell(sheet, heading, text)
	if runs == nil {
		f.text(sheet, at, plain)
		return
	}
	f.rich(sheet, at, runs)
}

// DeskText is a text of the journaling's sheet as reading the workbook gives it back: markup in another writing, where there is a plainer one.
func DeskText(heading, text string) string {
	plain, runs := deskCell(journalingSheet, heading, text)
	if heading != "Journaling" {
		return plain
	}
	c := table.Typed(0, plain, runs)
	return intake.Markup(&c)
}
