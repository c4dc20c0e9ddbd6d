package form

import (
	"bytes"
	"fmt"
	"io"
	"maps"
	"reflect"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// rows is how many blocks one form has room for.
const rows = 200

// columns are the columns of the form in their order: those that everybody fills in, then the others.
var columns = func() (out []intake.Heading) {
	for _, short := range []bool{true, false} {
		for _, h := range intake.Headings() {
			if h.Form != nil && h.Form.Short == short {
				out = append(out, h)
			}
		}
	}
	return out
}()

// Options say what a form has beside what everybody needs.
type Options struct {
	Full  bool // all columns are shown, where else those that few need are folded away
	Paper bool // a sheet for what lies in the folder: it is the organiser's
}

// Write writes the workbook that is handed round: a sheet that explains, in front, and one for the journaling with drop-downs and a live
// count of the words that fit.
func Write(w io.Writer, s *config.Settings, o Options) error {
	f := &writer{file: excelize.NewFile(), settings: s, styles: map[string]int{}}
	defer f.file.Close()
	f.do(f.file.SetSheetName("Sheet1", helpSheet))
	sheets := []string{journalingSheet, paperSheet, "Lists"}
	if !o.Paper {
		sheets = []string{journalingSheet, "Lists"}
	}
	for _, name := range sheets {
		_, err := f.file.NewSheet(name)
		f.do(err)
	}
	f.lists()
	f.journaling(o)
	if o.Paper {
		f.paperSheet()
	}
	f.help(o)
	f.do(f.file.SetSheetVisible("Lists", false))
	f.properties("Journaling to print", "")
	now := true
	f.do(f.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &now}))
	f.file.SetActiveSheet(0)
	if f.err != nil {
		return f.err
	}
	return f.file.Write(w)
}

// writer keeps the first error, which can only be a mistake of this program.
type writer struct {
	file     *excelize.File
	settings *config.Settings
	styles   map[string]int
	scrap    *excelize.File // for one rich text at a time
	err      error
}

func (f *writer) do(err error) {
	if f.err == nil && err != nil {
		f.err = fmt.Errorf("the form could not be made: %w", err)
	}
}

// properties are what the workbook says of itself. The element for who wrote it last is left out where it is empty: the library does not
// give it the usual prefix, and programs that go by prefixes would not open the workbook.
func (f *writer) properties(title, description string) {
	f.do(f.file.SetDocProps(&excelize.DocProperties{Title: title, Creator: table.Ours, Description: description,
		Created: "2000-01-01T00:00:00Z", Modified: "2000-01-01T00:00:00Z"}))
	const part = "docProps/core.xml"
	if raw, ok := f.file.Pkg.Load(part); ok {
		f.file.Pkg.Store(part, bytes.Replace(raw.([]byte), []byte("<lastModifiedBy></lastModifiedBy>"), nil, 1))
	}
}

// text writes a text that stays a text, whatever it looks like.
func (f *writer) text(sheet, cell, s string) { f.do(f.file.SetCellStr(sheet, cell, table.Escape(s))) }

// rich writes rich text. The library compares each with all others, which for a thousand takes most of a minute; so it is written to a
// workbook of its own, and from there takes the place of a text that no cell can have.
func (f *writer) rich(sheet, at string, runs []table.Run) {
	if f.scrap == nil {
		f.scrap = excelize.NewFile()
	} else {
		f.scrap.SharedStrings.SI = f.scrap.SharedStrings.SI[:0]
	}
	rich := make([]excelize.RichTextRun, len(runs))
	for i, r := range runs {
		rich[i] = excelize.RichTextRun{Text: r.Text, Font: &excelize.Font{Family: "Calibri", Size: 11, Bold: r.Bold, Italic: r.Italic}}
	}
	f.do(f.scrap.SetCellRichText("Sheet1", "A1", rich))
	f.do(f.file.SetCellStr(sheet, at, "\x00"+sheet+at))
	if f.err == nil {
		all, made := f.file.SharedStrings.SI, f.scrap.SharedStrings.SI[0]
		first := map[[2]bool]int{} // of each look, by bold and italic; the others share what the library makes of it
		for i, r := range runs {
			look := [2]bool{r.Bold, r.Italic}
			if at, known := first[look]; known {
				made.R[i].RPr = made.R[at].RPr
			} else {
				first[look] = i
			}
		}
		all[len(all)-1] = made
	}
}

// style is the number of a style by its name; it is made once, since every cell asks for one.
func (f *writer) style(name string, made func() *excelize.Style) int {
	if id, ok := f.styles[name]; ok {
		return id
	}
	id, err := f.file.NewStyle(made())
	f.do(err)
	f.styles[name] = id
	return id
}

// headingIn is a column's name, with the unit of its numbers: so they mean the same whoever reads the form.
func headingIn(u measure.Unit, name string) string {
	if name == "Width" || name == "Height" {
		return name + " (" + u.String() + ")"
	}
	return name
}

// explain attaches to a heading what its column takes.
func (f *writer) explain(sheet, cell string, h intake.Heading) {
	note := table.Signed(h.Form.Note(f.settings))
	f.do(f.file.AddComment(sheet, excelize.Comment{Cell: cell, Author: table.Ours, Text: note, Width: 260, Height: uint(40 + 22*(len(note)/36))}))
}

// freeze keeps the first rows in sight, so many of them.
func (f *writer) freeze(sheet string, rows int) {
	f.do(f.file.SetPanes(sheet, &excelize.Panes{Freeze: true, YSplit: rows, TopLeftCell: table.Address(0, rows+1), ActivePane: "bottomLeft"}))
}

const textFormat = 49 // @: what is typed stays as typed

// open is a cell that can be typed into on a protected sheet.
var open = &excelize.Protection{Locked: false}

var thin = []excelize.Border{{Type: "left", Style: 1, Color: "BFBFBF"}, {Type: "right", Style: 1, Color: "BFBFBF"}, {Type: "top",
	Style: 1, Color: "BFBFBF"}, {Type: "bottom", Style: 1, Color: "BFBFBF"}}

func (f *writer) headingStyle() int {
	return f.style("heading", func() *excelize.Style {
		return &excelize.Style{Font: &excelize.Font{Family: "Calibri", Size: 11, Bold: true},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"DCE6F1"}}, Border: thin,
			Alignment: &excelize.Alignment{Vertical: "center", WrapText: true}}
	})
}

func (f *writer) typed() int {
	return f.style("typed", func() *excelize.Style {
		return &excelize.Style{NumFmt: textFormat, Border: thin, Alignment: &excelize.Alignment{Vertical: "top",
			WrapText: true}, Protection: open}
	})
}

// liveStyle is that of what fills itself in.
func (f *writer) liveStyle() int {
	return f.style("live", func() *excelize.Style {
		return &excelize.Style{Border: thin, Protection: open, Font: &excelize.Font{Family: "Calibri", Size: 11, Color: "595959"},
			Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}}
	})
}

// lists fills the hidden sheet of the drop-downs: stocks with what their inset takes of width and height in inches,
// fonts with the width of their letters, alignments, yes and no.
func (f *writer) lists() {
	row := func(col string, i int) string { return fmt.Sprintf("%s%d", col, i+2) }
	for i, s := range f.settings.Stocks {
		f.text("Lists", row("A", i), s.Name)
		f.do(f.file.SetCellFloat("Lists", row("B", i), inches(s.Inset.Left+s.Inset.Right), 4, 64))
		f.do(f.file.SetCellFloat("Lists", row("C", i), inches(s.Inset.Top+s.Inset.Bottom), 4, 64))
	}
	for i, t := range fonts {
		f.text("Lists", row("D", i), t.name)
		f.do(f.file.SetCellFloat("Lists", row("E", i), t.width, 3, 64))
	}
	col := firstList
	for _, c := range columns {
		if len(c.Form.Choices) == 0 {
			continue
		}
		f.text("Lists", table.Address(col, 1), c.Name)
		for i, choice := range c.Form.Choices {
			f.text("Lists", table.Address(col, i+2), choice)
		}
		col++
	}
	for i, h := range []string{"Stocks", "less width", "less height", "Fonts", "letter width"} {
		f.text("Lists", table.Address(i, 1), h)
	}
}

// mostWidths is how many runs of columns of one width a sheet has, of those that somebody may have made by the thousand; further columns are as wide as they come.
const mostWidths = 200

// widen gives the columns of a sheet, by their numbers from 0, their widths. Those side by side that are alike are widened together: the library goes
// through all columns that have a width at each call.
func (f *writer) widen(sheet string, widths map[int]float64) {
	runs := 0
	for cols := slices.Sorted(maps.Keys(widths)); len(cols) > 0 && runs < mostWidths; runs++ {
		n := 1
		for n < len(cols) && cols[n] == cols[0]+n && widths[cols[n]] == widths[cols[0]] {
			n++
		}
		f.do(f.file.SetColWidth(sheet, table.Letters(cols[0]), table.Letters(cols[n-1]), widths[cols[0]]))
		cols = cols[n:]
	}
}

// firstList is the first column, from 0, of the drop-downs that need nothing but their choices.
const firstList = 5

// helpList is the column of the lines of the sheet of help, which is behind those of the drop-downs.
var helpList = func() int {
	col := firstList
	for _, c := range columns {
		if len(c.Form.Choices) > 0 {
			col++
		}
	}
	return col
}()

// inches is for the spreadsheet alone: no geometry is made of it.
func inches(l measure.Length) float64 { return float64(l) / float64(measure.Inch) }

// journaling makes the sheet that is filled in.
func (f *writer) journaling(o Options) {
	const sheet = journalingSheet
	s := f.settings
	last := table.Letters(len(columns) - 1)
	for i, c := range columns {
		cell := table.Address(i, 1)
		f.text(sheet, cell, headingIn(s.Unit, c.Name))
		f.explain(sheet, cell, c)
		f.do(f.file.SetColWidth(sheet, table.Letters(i), table.Letters(i), c.Form.Width))
	}
	f.do(f.file.SetCellStyle(sheet, "A1", last+"1", f.headingStyle()))
	f.do(f.file.SetCellStyle(sheet, "A2", fmt.Sprintf("%s%d", last, rows+1), f.typed()))
	fits := table.Letters(f.index("Fits"))
	f.do(f.file.SetCellStyle(sheet, fits+"2", fmt.Sprintf("%s%d", fits, rows+1), f.liveStyle()))
	f.counter().rows(sheet, 2, rows+1)
	for i, c := range columns {
		if list, n := f.listOf(c.Name); n > 0 {
			f.choose(sheet, i, 2, rows+1, c, list, n)
		}
	}
	f.do(f.file.AutoFilter(sheet, "A1:"+last+"1", nil))
	f.freeze(sheet, 1)
	f.do(f.file.SetRowHeight(sheet, 1, 24))
	for r := 2; r < rows+2; r++ {
		f.do(f.file.SetRowHeight(sheet, r, 46)) // three lines, and room for a pen
	}
	f.guard(sheet, "A1:"+last+"1", "A heading", "The columns are known by their headings. Leave them as they are.")
	f.guard(sheet, fmt.Sprintf("%s2:%s%d", fits, fits, rows+1), "Fits", "This column fills itself in. Leave it as it is.")
	if o.Full {
		f.print(sheet, last, 2)
		f.protect(sheet)
		return
	}
	var few []int // need these
	for i, c := range columns {
		if !c.Form.Short {
			few = append(few, i)
		}
	}
	f.fold(sheet, few)
	f.print(sheet, last, 1)
}

// fold folds columns away, counted from 0: a press on the sign above the headings opens them.
func (f *writer) fold(sheet string, cols []int) {
	for _, i := range cols {
		f.do(f.file.SetColOutlineLevel(sheet, table.Letters(i), 1))
		f.do(f.file.SetColVisible(sheet, table.Letters(i), false))
	}
	left := false // the sign stands above the last column that is shown, not beyond those that are hidden
	f.do(f.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{OutlineSummaryRight: &left}))
	// Some programs show the sign only where the sheet says how deep its outline is (ECMA-376 part 1, 18.3.1.81), for which the library has no
	// call of its own.
	if part, ok := f.file.Sheet.Load(f.part(sheet)); ok && len(cols) > 0 {
		reflect.ValueOf(part).Elem().FieldByName("SheetFormatPr").Elem().FieldByName("OutlineLevelCol").SetUint(1)
	}
}

// part is the path of a sheet's part in the workbook, none of whose sheets was moved or deleted.
func (f *writer) part(sheet string) string {
	at, err := f.file.GetSheetIndex(sheet)
	f.do(err)
	return fmt.Sprintf("xl/worksheets/sheet%d.xml", at+1)
}

// guard refuses what is typed over cells that are to stay as they are.
func (f *writer) guard(sheet, cells, title, what string) {
	v := excelize.NewDataValidation(true)
	v.SetSqref(cells)
	f.do(v.SetRange("FALSE", "", excelize.DataValidationTypeCustom, excelize.DataValidationOperatorEqual))
	v.Operator = ""
	v.SetError(excelize.DataValidationErrorStyleStop, title, what)
	f.do(f.file.AddDataValidation(sheet, v))
}

// protect locks the headings and nothing else, without a password; all cells below are open, so that rows can be sorted. A sheet whose
// columns are folded has the guard alone: in the commonest spreadsheet program nothing can be unfolded on a protected sheet.
func (f *writer) protect(sheet string) {
	f.do(f.file.ProtectSheet(sheet, &excelize.SheetProtectionOptions{AutoFilter: true, DeleteRows: true, EditObjects: true, EditScenarios: true, FormatCells: true,
		FormatColumns: true, FormatRows: true, InsertHyperlinks: true, InsertRows: true, SelectLockedCells: true, SelectUnlockedCells: true, Sort: true}))
}

// paperSize is the number of the paper that sheets are printed on (ECMA-376 part 1, 18.3.1.63).
func (f *writer) paperSize() *int {
	paper := 1 // letter
	if f.settings.Guide.H > 290*measure.Millimetre {
		paper = 9 // A4
	}
	return &paper
}

// print makes a sheet print across, its columns on so many pages; a form's on its paper, with the headings and the
// first column on each page.
func (f *writer) print(sheet, last string, wide int) {
	landscape, high, on := "landscape", 0, true
	f.do(f.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: f.paperSize(), Orientation: &landscape, FitToWidth: &wide, FitToHeight: &high}))
	f.do(f.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &on}))
	if last != "" {
		f.do(f.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: fmt.Sprintf("%s!$A:$A,%s!$1:$1",
			sheet, sheet), Scope: sheet}))
		f.do(f.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: fmt.Sprintf("%s!$A$1:$%s$%d", sheet,
			last, 26), Scope: sheet}))
	}
	f.do(f.file.SetHeaderFooter(sheet, &excelize.HeaderFooterOptions{OddFooter: "&L&A&RPage &P of &N"}))
}

// colours turns the live column to a warning.
func (f *writer) colours(sheet, cells string) {
	warn := func(name, fill, ink string) *int {
		id, err := f.file.NewConditionalStyle(&excelize.Style{Fill: excelize.Fill{Type: "pattern", Color: []string{fill},
			Pattern: 1}, Font: &excelize.Font{Color: ink, Bold: name == "red"}})
		f.do(err)
		return &id
	}
	red, amber := warn("red", "F8CBAD", "9C0006"), warn("amber", "FFEB9C", "7F6000")
	first, _, _ := strings.Cut(cells, ":")
	var rules []excelize.ConditionalFormatOptions
	for _, r := range []struct {
		start string
		style *int
	}{{"too long", red}, {"check", red}, {"smaller", amber}} {
		rules = append(rules, excelize.ConditionalFormatOptions{Type: "formula", Criteria: fmt.Sprintf(`LEFT(%s,%d)="%s"`, first,
			len(r.start), r.start), Format: r.style})
	}
	f.do(f.file.SetConditionalFormat(sheet, cells, rules))
}

// choose gives a column a drop-down of a range (a list typed into a cell may hold 255 characters only). Other answers
// are asked about, not refused: the list cannot know all that is understood.
func (f *writer) choose(sheet string, col, from, to int, h intake.Heading, list string, n int) {
	v := excelize.NewDataValidation(true)
	v.SetSqref(table.Address(col, from) + ":" + table.Address(col, to))
	v.SetSqrefDropList(fmt.Sprintf("Lists!$%s$2:$%s$%d", list, list, n+1))
	v.SetError(excelize.DataValidationErrorStyleWarning, h.Name, h.Form.Ask)
	f.do(f.file.AddDataValidation(sheet, v))
}

// listOf is the column of the sheet Lists that holds what may be chosen under a heading, and how much that is; 0: nothing.
func (f *writer) listOf(heading string) (list string, n int) {
	switch heading {
	case "Stock":
		return "A", len(f.settings.Stocks)
	case "Font":
		return "D", len(fonts)
	}
	col := firstList
	for _, c := range columns {
		if k := len(c.Form.Choices); k > 0 {
			if c.Name == heading {
				return table.Letters(col), k
			}
			col++
		}
	}
	return "", 0
}

func (f *writer) index(heading string) int {
	for i, c := range columns {
		if c.Name == heading {
			return i
		}
	}
	return -1
}

// paperSheet makes the sheet for what lies in the folder: a row for each sheet that is bought, and room for leftovers.
func (f *writer) paperSheet() {
	const sheet = paperSheet
	order := []string{"Stock", "Width", "Height", "Count", "Price"}
	for i, m := range order {
		f.text(sheet, table.Address(i, 1), headingIn(f.settings.Unit, m))
		f.do(f.file.AddComment(sheet, excelize.Comment{Cell: table.Address(i, 1), Author: table.Ours, Text: table.Signed(intake.PaperTakes[m]), Width: 240, Height: 90}))
	}
	f.do(f.file.SetCellStyle(sheet, "A1", "E1", f.headingStyle()))
	f.do(f.file.SetCellStyle(sheet, "A2", "C61", f.typed()))
	f.do(f.file.SetCellStyle(sheet, "D2", "E61", f.style("number", func() *excelize.Style {
		return &excelize.Style{Border: thin, Alignment: &excelize.Alignment{Vertical: "top"}}
	})))
	r := 2
	for _, s := range f.settings.Stocks {
		for _, sh := range s.Sheets {
			if sh.Leftover || r > 61 {
				continue
			}
			f.text(sheet, table.Address(0, r), s.Name)
			f.text(sheet, table.Address(1, r), sh.Size.W.Format(f.settings.Unit))
			f.text(sheet, table.Address(2, r), sh.Size.H.Format(f.settings.Unit))
			r++
		}
	}
	v := excelize.NewDataValidation(true)
	v.SetSqref("A2:A61")
	v.SetSqrefDropList(fmt.Sprintf("Lists!$A$2:$A$%d", len(f.settings.Stocks)+1))
	v.SetError(excelize.DataValidationErrorStyleWarning, "Stock", "That is no stock of this job. Keep it all the same?")
	f.do(f.file.AddDataValidation(sheet, v))
	f.do(f.file.SetColWidth(sheet, "A", "A", 20))
	f.do(f.file.SetColWidth(sheet, "B", "E", 12))
	f.freeze(sheet, 1)
	f.print(sheet, "E", 1)
}

// help makes the sheet that explains.
func (f *writer) help(o Options) {
	const sheet = helpSheet
	unit := f.settings.Unit.Name()
	lines := []string{
		"How to fill in this form",
		"1. Press the tab “Journaling” below.",
		"2. Fill in one row for each block of text: your name, the page, the text, and the width and height of its space.",
		"3. Save the file under your own name, and send it back.",
		"",
		"Measuring",
		"Measure the space that the finished block shows in, on your page, edge to edge: first across, then down.",
		"Write it as you say it: 4, 4 1/2, 4.5, 4½ in, 114 mm, 11.4 cm. A number alone is in " + unit + ".",
		"Do not add paper for the adhesive: that is the tuck, and it is added by itself.",
		"",
		"The text",
		"Type it into one cell. Alt+Enter (Option+Return on a Mac) begins a new line.",
		"Bold and italic are kept. What you leave open, like ?? or [date], keeps the block from being printed until it is filled in.",
		"The column “Fits” says roughly how many words have room at a size that is pleasant to read. It turns red where the text is too long: take some words away, or make the space larger.",
	}
	if !o.Full {
		lines = append(lines, "",
			"More columns",
			"A title, who, where and when, the type, the ink, copies and others are folded away: press the small + above the headings.")
	}
	if o.Paper {
		lines = append(lines, "",
			"Paper",
			"The sheet “Paper” is for the one who prints: what lies in the folder, whole sheets and leftovers, and how many of each.")
	}
	lines = append(lines, "",
		"An example",
		"Name: Odile Hart · Page: Harbour · Journaling: We rowed out before breakfast and came home with eleven mackerel. · Width: "+f.example(4*measure.Inch)+" · Height: "+
			f.example(5*measure.Inch/2)+" · Stock: "+f.settings.Default)
	title := f.style("title", func() *excelize.Style {
		return &excelize.Style{Font: &excelize.Font{Family: "Calibri", Bold: true, Size: 13}}
	})
	body := f.style("body", func() *excelize.Style {
		return &excelize.Style{Alignment: &excelize.Alignment{Vertical: "top", WrapText: true}}
	})
	f.text("Lists", table.Address(helpList, 1), table.HelpLines) // so that what people type there is told from it
	for i, l := range lines {
		cell := table.Address(0, i+1)
		f.text(sheet, cell, l)
		f.text("Lists", table.Address(helpList, i+2), l)
		if i == 0 || lines[i-1] == "" {
			f.do(f.file.SetCellStyle(sheet, cell, cell, title))
		} else {
			f.do(f.file.SetCellStyle(sheet, cell, cell, body))
			f.do(f.file.SetRowHeight(sheet, i+1, float64(16*max(1, wrapped(l, 78)))))
		}
	}
	f.do(f.file.SetColWidth(sheet, "A", "A", 72))
	f.do(f.file.SetCellHyperLink(sheet, "A2", journalingSheet+"!A2", "Location"))
	wide, high, on := 1, 0, true
	f.do(f.file.SetPageLayout(sheet, &excelize.PageLayoutOptions{Size: f.paperSize(), FitToWidth: &wide, FitToHeight: &high}))
	f.do(f.file.SetSheetProps(sheet, &excelize.SheetPropsOptions{FitToPage: &on}))
}

// example is a measure as somebody may type it, in the form's unit.
func (f *writer) example(l measure.Length) string {
	if u := f.settings.Unit; u != measure.In {
		l = l / measure.Millimetre * measure.Millimetre
	}
	said, _, _ := strings.Cut(l.Format(f.settings.Unit), " "+f.settings.Unit.String())
	return said
}
