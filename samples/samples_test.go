// Package samples holds a retreat to try the command on: nine invented people and what they typed. retreat.csv is the
// source; retreat.xlsx is the same job as a workbook and is written from it:
//
//	go test ./samples -update
package samples

import (
	"context"
	"encoding/csv"
	"flag"
	"os"
	"reflect"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

var update = flag.Bool("update", false, "write retreat.xlsx from retreat.csv")

const (
	table    = "retreat.csv"
	workbook = "retreat.xlsx"
	sheet    = "Journaling"
)

func rows(t *testing.T) [][]string {
	t.Helper()
	f, err := os.Open(table)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	all, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// column gives the index of a heading.
func column(t *testing.T, rows [][]string, heading string) int {
	t.Helper()
	i := slices.Index(rows[0], heading)
	if i < 0 {
		t.Fatalf("%s has no column %s", table, heading)
	}
	return i
}

var (
	markup  = regexp.MustCompile(`\*([^*\n]+)\*|_([^_\n]+)_`)
	decimal = regexp.MustCompile(`^[0-9]+\.[0-9]+$`)
)

// isNumber reports whether a cell is kept as a number.
func isNumber(heading, typed string) bool {
	return (heading == "Width" || heading == "Height") && decimal.MatchString(typed)
}

// runs are the parts of a text with their emphasis, or nil for a text without any.
func runs(text string) []excelize.RichTextRun {
	var out []excelize.RichTextRun
	from := 0
	for _, m := range markup.FindAllStringSubmatchIndex(text, -1) {
		if m[0] > from {
			out = append(out, excelize.RichTextRun{Text: text[from:m[0]]})
		}
		if m[2] >= 0 {
			out = append(out, excelize.RichTextRun{Text: text[m[2]:m[3]], Font: &excelize.Font{Bold: true}})
		} else {
			out = append(out, excelize.RichTextRun{Text: text[m[4]:m[5]], Font: &excelize.Font{Italic: true}})
		}
		from = m[1]
	}
	if out != nil && from < len(text) {
		out = append(out, excelize.RichTextRun{Text: text[from:]})
	}
	return out
}

// write makes the workbook: all cells text, but for measures typed as decimals, which are numbers shown as fractions, the
// way a spreadsheet program keeps 4 1/2.
func write(t *testing.T, rows [][]string) {
	t.Helper()
	f := excelize.NewFile()
	defer f.Close()
	must := func(err error) {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
	}
	must(f.SetSheetName("Sheet1", sheet))
	must(f.SetDocProps(&excelize.DocProperties{Title: "Three Alders retreat", Creator: "tuckmark", LastModifiedBy: "tuckmark",
		Created: "2025-10-20T00:00:00Z", Modified: "2025-10-20T00:00:00Z"}))
	top := &excelize.Alignment{Vertical: "top", WrapText: true}
	fraction := "# ?/?"
	heading, err := f.NewStyle(&excelize.Style{Font: &excelize.Font{Bold: true}, Alignment: top,
		Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{"E8E4DC"}}})
	must(err)
	text, err := f.NewStyle(&excelize.Style{NumFmt: 49, Alignment: top}) // 49 is text
	must(err)
	number, err := f.NewStyle(&excelize.Style{CustomNumFmt: &fraction, Alignment: &excelize.Alignment{Vertical: "top", Horizontal: "left"}})
	must(err)
	wide := map[string]float64{"Name": 20, "Page": 14, "Title": 24, "Journaling": 70, "Stock": 13, "Who": 20, "Where": 20, "When": 20, "Note": 30}
	for c, name := range rows[0] {
		letter, err := excelize.ColumnNumberToName(c + 1)
		must(err)
		width := wide[name]
		if width == 0 {
			width = 10
		}
		must(f.SetColWidth(sheet, letter, letter, width))
	}
	for r, row := range rows {
		for c, typed := range row {
			cell, err := excelize.CoordinatesToCellName(c+1, r+1)
			must(err)
			style := text
			switch name := rows[0][c]; {
			case r == 0:
				style = heading
				must(f.SetCellStr(sheet, cell, typed))
			case isNumber(name, typed):
				style = number
				n, err := strconv.ParseFloat(typed, 64)
				must(err)
				must(f.SetCellFloat(sheet, cell, n, -1, 64))
			case name == "Journaling" && runs(typed) != nil:
				must(f.SetCellRichText(sheet, cell, runs(typed)))
			case typed != "":
				must(f.SetCellStr(sheet, cell, typed))
			}
			must(f.SetCellStyle(sheet, cell, cell, style))
		}
	}
	must(f.SetPanes(sheet, &excelize.Panes{Freeze: true, YSplit: 1, TopLeftCell: "A2", ActivePane: "bottomLeft"}))
	must(f.SaveAs(workbook))
	must(os.Chmod(workbook, 0o644))
}

// TestWorkbook holds the two forms of the job together, cell by cell.
func TestWorkbook(t *testing.T) {
	all := rows(t)
	if *update {
		write(t, all)
	}
	f, err := excelize.OpenFile(workbook)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	got, err := f.GetRows(sheet, excelize.Options{RawCellValue: true})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != len(all) {
		t.Fatalf("%s has %d rows, %s %d; write it again with -update", workbook, len(got), table, len(all))
	}
	numbers, rich := 0, 0
	for r, row := range all {
		for c, want := range row {
			have := ""
			if c < len(got[r]) {
				have = got[r][c]
			}
			cell, err := excelize.CoordinatesToCellName(c+1, r+1)
			if err != nil {
				t.Fatal(err)
			}
			if parts := runs(want); all[0][c] == "Journaling" && parts != nil {
				rich++
				found, err := f.GetCellRichText(sheet, cell)
				if err != nil {
					t.Fatal(err)
				}
				if have, want := plain(found), plain(parts); have != want {
					t.Errorf("%s: %q, in the table %q", cell, have, want)
				}
				continue
			}
			if isNumber(all[0][c], want) {
				numbers++
				a, err1 := strconv.ParseFloat(have, 64)
				b, err2 := strconv.ParseFloat(want, 64)
				if err1 != nil || err2 != nil || a != b {
					t.Errorf("%s: %q, in the table %q", cell, have, want)
				}
				continue
			}
			if have != want {
				t.Errorf("%s: %q, in the table %q", cell, have, want)
			}
		}
	}
	if numbers < 5 || rich < 5 {
		t.Errorf("%d measures kept as numbers and %d texts with emphasis: too few to show anything", numbers, rich)
	}
}

// plain writes runs with their emphasis as in the table.
func plain(runs []excelize.RichTextRun) string {
	var b strings.Builder
	for _, r := range runs {
		switch {
		case r.Font != nil && r.Font.Bold:
			b.WriteString("*" + r.Text + "*")
		case r.Font != nil && r.Font.Italic:
			b.WriteString("_" + r.Text + "_")
		default:
			b.WriteString(r.Text)
		}
	}
	return b.String()
}

// TestRetreat keeps the job what its users were told it is.
func TestRetreat(t *testing.T) {
	all := rows(t)
	s, problems := config.Load(config.Source{Home: t.TempDir()})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	people, stocks := map[string]int{}, map[string]int{}
	short, long := 0, 0
	for r, row := range all[1:] {
		cell := func(name string) string { return row[column(t, all, name)] }
		people[cell("Name")]++
		stocks[cell("Stock")]++
		switch words := len(strings.Fields(cell("Journaling"))); {
		case words <= 10:
			short++
		case words >= 150:
			long++
		}
		var size measure.Size
		for name, to := range map[string]*measure.Length{"Width": &size.W, "Height": &size.H} {
			l, err := measure.Parse(cell(name), measure.In)
			if err != nil {
				t.Errorf("row %d: %s: %v", r+2, name, err)
			}
			*to = l
		}
		stock, ok := s.Stock(cell("Stock"))
		if !ok {
			t.Errorf("row %d: no stock %q", r+2, cell("Stock"))
			continue
		}
		size.H += stock.Tuck.Top
		paper := stock.Sheets[0].Size
		paper.H -= s.Printers[0].Margins.Bottom
		if !size.WithinEitherWay(paper) {
			t.Errorf("row %d: a block of %s does not go on %s", r+2, size.Format(measure.In), paper.Format(measure.In))
		}
	}
	if len(people) != 9 || len(all)-1 < 55 || len(all)-1 > 65 {
		t.Errorf("%d blocks by %d people", len(all)-1, len(people))
	}
	for _, name := range []string{"vellum", "clear sticker", "cardstock"} {
		if stocks[name] < 10 {
			t.Errorf("%d blocks on %s", stocks[name], name)
		}
	}
	if short < 10 || long < 2 {
		t.Errorf("%d short captions, %d long stories", short, long)
	}
}

// TestSameJob: table and workbook come to the same blocks, emphasis and measures included, and nothing is wrong with them.
func TestSameJob(t *testing.T) {
	s, _ := config.Load(config.Source{Home: t.TempDir()})
	var jobs [2][]intake.Block
	for i, file := range []string{table, workbook} {
		job, problems := intake.Read([]string{file}, s)
		if problems.Errors() > 0 || len(job.Held) > 0 {
			t.Errorf("%s: %v, held %v", file, problems, job.Held)
		}
		for _, b := range job.Blocks {
			b.Place = problem.Place{Row: b.Place.Row}
			jobs[i] = append(jobs[i], b)
		}
	}
	if len(jobs[0]) != len(jobs[1]) || len(jobs[0]) == 0 {
		t.Fatalf("%d blocks in the table, %d in the workbook", len(jobs[0]), len(jobs[1]))
	}
	for i := range jobs[0] {
		if !reflect.DeepEqual(jobs[0][i], jobs[1][i]) {
			t.Errorf("row %d: the table gives\n%+v\nthe workbook\n%+v", jobs[0][i].Place.Row, jobs[0][i], jobs[1][i])
		}
	}
}

// TestSizes: every space suits its text. 9 to 18 pt is what reads like journaling (common practice).
func TestSizes(t *testing.T) {
	s, _ := config.Load(config.Source{Home: t.TempDir()})
	job, _ := intake.Read([]string{workbook}, s)
	set, held, problems := typeset.Set(context.Background(), typeset.NewLibrary(nil), job.Blocks, s, func(int) {})
	if problems.Errors() > 0 || len(held) > 0 || len(set) != len(job.Blocks) {
		t.Errorf("%v, held %v, %d of %d blocks set", problems, held, len(set), len(job.Blocks))
	}
	for _, b := range set {
		if b.Size < 9*measure.Point || b.Size > max(18*measure.Point, b.Block.Type.Wished) {
			t.Errorf("%s: %v pt in %s", b.Block.Code, b.Size.Points(), b.Block.Space.Format(measure.In))
		}
	}
}

// broken are the rows of broken.csv that cannot be printed, and the column at fault. Row 14 has runes in it, which a font
// of the machine may have.
var broken = map[int]string{
	3: "Width", 4: "Width", 5: "Height", 6: "Name", 7: "Journaling", 8: "Journaling", 9: "Width", 10: "Stock", 11: "Journaling",
	12: "Font", 13: "Width", 15: "Ink", 16: "Align", 17: "Width",
}

// TestBroken: each spoilt row has its error, at the cell where the fault is, and the others have none.
func TestBroken(t *testing.T) {
	s, _ := config.Load(config.Source{Home: t.TempDir()})
	job, problems := intake.Read([]string{"broken.csv"}, s)
	_, _, more := typeset.Set(context.Background(), typeset.NewLibrary(nil), job.Blocks, s, func(int) {})
	found := map[int][]string{}
	for _, p := range append(problems, more...) {
		if p.Severity == problem.Error {
			found[p.Place.Row] = append(found[p.Place.Row], p.Place.Column)
		}
	}
	for row, column := range broken {
		if !slices.Contains(found[row], column) {
			t.Errorf("row %d: errors at %q, none at %s", row, found[row], column)
		}
	}
	for row := range found {
		if broken[row] == "" && row != 14 {
			t.Errorf("row %d: errors at %q in a sound row", row, found[row])
		}
	}
}

// TestTwoPrinters: the configuration loads, and no file here is taken for one that was not asked for.
func TestTwoPrinters(t *testing.T) {
	s, problems := config.Load(config.Source{File: "two-printers.yaml", Home: t.TempDir()})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	if len(s.Printers) != 2 || s.Printers[0].Widest != 4*measure.Inch {
		t.Errorf("printers %+v", s.Printers)
	}
	none, problems := config.Load(config.Source{Work: ".", Home: t.TempDir()})
	if len(problems) > 0 || none.File != "" {
		t.Errorf("without being asked, %q was read: %v", none.File, problems)
	}
}
