package intake

import (
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// Whatever stands in a cell - text, a number in any format, a date, rich text - is read as it is, and as every reader of
// blocks takes it further. Excelize, which reads and writes in code of its own, is the other side.
func FuzzCells(f *testing.F) {
	f.Add(intaketest.Story, "plain ", "bold", "# ?/8", 2.375, 46114.5)
	f.Add("=1+1", "_x000D_", "\r\n", `0" mm"`, 90.0, 1.0)
	f.Add(" two\n\nlines\t", "é", "e\u0301", "[h]:mm", -1e300, 60.0)
	f.Add("", "", "", `[$-409]d mmm yyyy;@`, 1e-300, 2958466.0)
	f.Fuzz(func(t *testing.T, text, plain, bold, format string, n, day float64) {
		for _, s := range []string{text, plain, bold} {
			if overlapping.MatchString(plain+bold) || overlapping.MatchString(s) {
				t.Skip("excelize does not escape the second of two escapes that share a low line")
			}
			if !inXML(s) || utf8.RuneCountInString(plain+bold)+utf8.RuneCountInString(s) > 30_000 {
				t.Skip("no workbook can hold it")
			}
		}
		ok := true
		must := func(err error) { ok = ok && err == nil }
		book := excelize.NewFile()
		defer book.Close()
		intaketest.Put(t, book, "Sheet1", []any{"Name", "Journaling", "Width", "When", "Title"})
		must(book.SetCellStr("Sheet1", "A2", text))
		must(book.SetCellRichText("Sheet1", "B2", []excelize.RichTextRun{{Text: plain}, {Text: bold, Font: &excelize.Font{Bold: true}}}))
		must(book.SetCellFloat("Sheet1", "C2", n, -1, 64))
		must(book.SetCellFloat("Sheet1", "D2", day, -1, 64))
		must(book.SetCellStr("Sheet1", "E2", "end"))
		custom, err := book.NewStyle(&excelize.Style{CustomNumFmt: &format})
		must(err)
		must(book.SetCellStyle("Sheet1", "C2", "C2", custom))
		dayStyle, err := book.NewStyle(&excelize.Style{NumFmt: 15})
		must(err)
		must(book.SetCellStyle("Sheet1", "D2", "D2", dayStyle))
		buffer, err := book.WriteToBuffer()
		if must(err); !ok {
			t.Skip("excelize does not write it")
		}
		paths := intaketest.Write(t, "a.xlsx", buffer.String())
		files := table.Read(paths, KnownHeading)
		if len(files) != 1 || len(files[0].Problems) > 0 {
			t.Fatalf("refused: %+v", files)
		}
		if len(files[0].Sheets) != 1 || len(files[0].Sheets[0].Rows) != 2 {
			t.Fatalf("%d sheets", len(files[0].Sheets))
		}
		r := &files[0].Sheets[0].Rows[1]
		for col, want := range []string{text, plain + bold} {
			got, want := "", want
			if c := r.At(col); c != nil {
				got = c.Text
			}
			if want != "" {
				want = table.New([][]string{{want}}).Rows[0].Cells[0].Text // as every text is cleaned
			}
			if got != want {
				t.Errorf("column %s: %q, written was %q", table.Letters(col), got, want)
			}
		}
		if c := r.At(1); c != nil && c.Runs() != nil {
			var runs strings.Builder
			for _, run := range c.Runs() {
				runs.WriteString(run.Text)
			}
			if bold != "" && plain != "" && strings.TrimSpace(runs.String()) == "" && strings.TrimSpace(c.Text) != "" {
				t.Errorf("the runs of %q are %q", c.Text, runs.String())
			}
		}
		if c := r.At(2); c == nil || c.Text == "" && strings.TrimSpace(format) != "" && n == 1 {
			t.Errorf("the number %v in the format %q is not there", n, format)
		}
		if c := r.At(3); c == nil || c.Kind != table.Number && c.Kind != table.Date {
			t.Errorf("the day %v is not there", day)
		}
		if c := r.At(4); c == nil || c.Text != "end" {
			t.Errorf("the last cell is %+v", c)
		}
		Read(paths, intaketest.Home())
	})
}

var overlapping = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_x[0-9A-Fa-f]{4}_`)

// inXML reports whether a text can stand in XML 1.0 (section 2.2), which a worksheet is.
func inXML(s string) bool {
	return utf8.ValidString(s) && !strings.ContainsFunc(s, func(r rune) bool {
		return r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF
	})
}
