package intake

import (
	"archive/zip"
	"io"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
)

// Whatever stands in a cell - text, a number in any format, a date, rich text - is read as it is, and as every reader of
// blocks takes it further. Excelize, which reads and writes in code of its own, is the other side.
func FuzzCells(f *testing.F) {
	f.Add(story, "plain ", "bold", "# ?/8", 2.375, 46114.5)
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
		put(t, book, "Sheet1", []any{"Name", "Journaling", "Width", "When", "Title"})
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
		sheets, why := readWorkbook("a.xlsx", buffer.Bytes())
		if why != nil {
			t.Fatalf("refused: %s", why.what)
		}
		if len(sheets) != 1 || len(sheets[0].rows) != 2 {
			t.Fatalf("%d sheets", len(sheets))
		}
		r := &sheets[0].rows[1]
		for col, want := range []string{text, plain + bold} {
			got, want := "", want
			if c := r.at(col); c != nil {
				got = c.text
			}
			if want, _, _ = cleaned(want); got != want {
				t.Errorf("column %s: %q, written was %q", letters(col), got, want)
			}
		}
		if c := r.at(1); c != nil && c.more != nil {
			var runs strings.Builder
			for _, run := range c.more.runs {
				runs.WriteString(run.Text)
			}
			if bold != "" && plain != "" && strings.TrimSpace(runs.String()) == "" && strings.TrimSpace(c.text) != "" {
				t.Errorf("the runs of %q are %q", c.text, runs.String())
			}
		}
		if c := r.at(2); c == nil || c.text == "" && strings.TrimSpace(format) != "" && n == 1 {
			t.Errorf("the number %v in the format %q is not there", n, format)
		}
		if c := r.at(3); c == nil || c.kind != number && c.kind != date {
			t.Errorf("the day %v is not there", day)
		}
		if c := r.at(4); c == nil || c.text != "end" {
			t.Errorf("the last cell is %+v", c)
		}
		s := sheets[0]
		if s.judge() == journaling && s.reportColumns(measure.In) {
			newBuilder(home()).sheet(s)
		}
	})
}

var overlapping = regexp.MustCompile(`_x[0-9A-Fa-f]{4}_x[0-9A-Fa-f]{4}_`)

// inXML reports whether a text can stand in XML 1.0 (section 2.2), which a worksheet is.
func inXML(s string) bool {
	return utf8.ValidString(s) && !strings.ContainsFunc(s, func(r rune) bool {
		return r < 0x20 && r != '\t' && r != '\n' && r != '\r' || r == 0xFFFE || r == 0xFFFF
	})
}

// The parts that give cells their meaning - shared strings, styles, the workbook and its relations - may be anything as well:
// reading ends in rows or a refusal.
func FuzzBookParts(f *testing.F) {
	good := saved(f, func(file *excelize.File) {
		put(f, file, "Sheet1", head, []any{"Pim", story, 4, 2})
		styled(f, file, "Sheet1", "C2", &excelize.Style{NumFmt: 12, Font: &excelize.Font{Bold: true}})
	})
	names := []string{"xl/sharedStrings.xml", "xl/styles.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "[Content_Types].xml", "_rels/.rels"}
	for i, n := range names {
		f.Add(uint8(i), []byte(partOf(f, good, n)))
	}
	f.Add(uint8(0), []byte(`<sst><si><r><rPr><b val="0"/></rPr><t xml:space="preserve"> a</t></r><rPh><t>b</t></rPh></si><si><t>_x005F_x000D_</t></si><si/></sst>`))
	f.Add(uint8(1), []byte(`<styleSheet><numFmts><numFmt numFmtId="164" formatCode="# ?/?"/></numFmts><fonts><font><b/></font></fonts><cellXfs><xf numFmtId="164" fontId="9"/><xf/></cellXfs></styleSheet>`))
	f.Fuzz(func(t *testing.T, part uint8, raw []byte) {
		name := names[int(part)%len(names)]
		sheets, why := readWorkbook("a.xlsx", []byte(repack(t, good, map[string]string{name: string(raw)})))
		if why != nil {
			if why.what == "" || why.hint == "" {
				t.Errorf("refused with %+v", *why)
			}
			return
		}
		for _, s := range sheets {
			if s.judge() == journaling && s.reportColumns(measure.In) {
				newBuilder(home()).sheet(s)
			}
		}
	})
}

// partOf is the text of one part of a workbook.
func partOf(t testing.TB, book, name string) string {
	t.Helper()
	z, err := zip.NewReader(strings.NewReader(book), int64(len(book)))
	if err != nil {
		t.Fatal(err)
	}
	r, err := z.Open(name)
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}
