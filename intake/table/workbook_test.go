package table

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// Where a library panics on what is in a workbook, the workbook is refused, and of a desk's workbook it is not sure that it is one. No file is known that makes one
// do so: a way to pack a part that panics stands for it.
func TestLibraryPanics(t *testing.T) {
	const method = 0xfe17
	zip.RegisterDecompressor(method, func(io.Reader) io.ReadCloser { panic("index out of range") })
	good := intaketest.Saved(t, func(f *excelize.File) { intaketest.Put(t, f, "Sheet1", intaketest.Head) })
	from, err := zip.NewReader(strings.NewReader(good), int64(len(good)))
	if err != nil {
		t.Fatal(err)
	}
	for part, sure := range map[string]bool{"xl/workbook.xml": false, "xl/worksheets/sheet1.xml": true, "none": true} { // a sheet that is not Lists is not looked at for that
		var out bytes.Buffer
		w := zip.NewWriter(&out)
		for _, f := range from.File {
			h := f.FileHeader
			if h.Name == part {
				h.Method = method
			}
			to, err := w.CreateRaw(&h)
			if err != nil {
				t.Fatal(err)
			}
			raw, err := f.OpenRaw()
			if err != nil {
				t.Fatal(err)
			}
			if _, err := io.Copy(to, raw); err != nil {
				t.Fatal(err)
			}
		}
		if err := w.Close(); err != nil {
			t.Fatal(err)
		}
		_, _, why := readWorkbook("a.xlsx", out.Bytes(), new(int))
		if damage := damaged(); part == "none" && why != nil || part != "none" && (why == nil || why.What != damage.What) {
			t.Errorf("%s: %+v", part, why)
		}
		if _, is := DeskWrote(out.Bytes()); is != sure {
			t.Errorf("%s: whether the desk wrote it is sure: %v", part, is)
		}
	}
}

// The files that other programs wrote, where they lie beside the project. Each gives its cells or a plain refusal.
func TestOddFiles(t *testing.T) {
	const dir = "../../../shared/intake"
	if _, err := os.Stat(dir); err != nil {
		t.Skip("the odd files are not here")
	}
	for file, want := range map[string][]string{
		"bomb_sheet_300MB.xlsx":    {"refused: the workbook unpacks to far more than a table of journaling needs"},
		"enc_populate.xlsx":        {"refused: the workbook is protected by a password"},
		"old.xls":                  {"refused: the workbook is in the old Excel format (.xls)"},
		"sheet_truncated_xml.xlsx": {"refused: the workbook is damaged"},
		"unclosed_quote.csv":       {"refused: a quotation mark in row 2 is opened and never closed"},
		"hugerow.xlsx":             {"B1 Our first day at school!", "XFD1048576 1"},
		"date1904.xlsx":            {"A1 2 April 2026"},
		"cp1252.csv":               {"A2 Zoë", "C2 “Grandma’s” 50th – naïve…", "D2 4½” × 2", `C3 3-1/8" wide`, `D3 4 1/2" x 2"`},
		"utf16le_bom.csv":          {"A2 Zoë", "C2 “Grandma’s” 50th – naïve…", "D2 4½” × 2″", `D3 4 1/2" x 2"`},
		"utf8_bom.csv":             {"A1 owner", "A2 Zoë", "D2 4½” × 2″"},
		"semicolon.csv":            {"A2 Zoë", "C2 a;b", "D2 9,5 cm"},
		"sep_line.csv":             {"A1 owner", "A2 A", "B2 1"},
		"cr_only.csv":              {"B1 page", "A2 A", "B3 2"},
		"inline_exceljs.xlsx":      {"C2 plain bold", "D2 4.5"},
		"odd_exceljs.xlsx":         {"B3 4 1/2", "B5 2 April", "B8 ab", "B10 #DIV/0!", "B12 yes", "B15 a\nb"},
		"odd_openpyxl.xlsx": {"B1 4 1/2", "B6 2 1/16", "B13 -2 1/2", "B14 3/4", "B15 2 April", "B20 2 April 2026 13:30", "B21 03:30",
			"B25 4.5″", "B26 90 mm", "B27 9.5 cm", "B29 25%", "B46 ", "B47 ", // formulas without results
			"B54 OwnerA", "B57 secret"},
		"typed_by_hand.xlsx": {"B2 4 1/2", "B3 3-1/8", "B4 2 April 2026", "B5 2 January 2026", "B15 3/4", "B16 16 January 2026",
			"B19 2 3/8", "B25 2"},
		"typed_by_hand.csv": {"B2 4 1/2", "B13 4½", "B25 =1+1"},
	} {
		f := Read([]string{filepath.Join(dir, file)}, known)[0]
		cells := map[string]bool{}
		for _, s := range f.Sheets {
			for _, r := range s.Rows {
				for _, c := range r.Cells {
					cells[Address(c.Col, r.N)+" "+c.Text] = true
				}
			}
		}
		for _, p := range f.Problems {
			cells["refused: "+p.What] = true
		}
		for _, w := range want {
			if !cells[w] {
				t.Errorf("%s: no %q", file, w)
			}
		}
	}
}

// Whatever a worksheet's XML is, reading it ends in rows or a refusal.
func FuzzSheetXML(f *testing.F) {
	good := intaketest.Saved(f, func(file *excelize.File) {
		intaketest.Put(f, file, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
	})
	f.Add([]byte(`<worksheet><sheetData><row r="1"><c r="A1" t="inlineStr"><is><r><rPr><b/></rPr><t>Name</t></r></is></c></row></sheetData><mergeCells><mergeCell ref="A1:A9"/></mergeCells></worksheet>`))
	f.Add([]byte(`<worksheet><sheetData><row r="2" hidden="1"><c t="s"><v>0</v></c><c s="1"><f>A1+1</f></c><c t="d"><v>2026-04-02</v></c><c t="e"><v>#N/A</v></c></row></sheetData></worksheet>`))
	f.Fuzz(func(t *testing.T, xml []byte) {
		sheets, _, why := readWorkbook("a.xlsx", []byte(intaketest.Repack(t, good, map[string]string{"xl/worksheets/sheet1.xml": string(xml)})), new(int))
		if why != nil {
			return
		}
		inOrder(t, sheets)
	})
}

// inOrder checks what every reader of sheets relies on.
func inOrder(t *testing.T, sheets []*Sheet) {
	t.Helper()
	for _, s := range sheets {
		for i, r := range s.Rows {
			if i > 0 && r.N <= s.Rows[i-1].N || len(r.Cells) == 0 {
				t.Fatalf("row %d: %+v", r.N, r)
			}
			for k := range r.Cells {
				c := &r.Cells[k]
				if k > 0 && c.Col <= r.Cells[k-1].Col || !utf8.ValidString(c.Text) {
					t.Fatalf("row %d: %+v", r.N, c)
				}
				if c.Kind == Date {
					c.Moment().Sizes()
				}
				if c.Kind != Uncomputed && c.Text != "" && c.ExactText() == "" {
					t.Fatalf("row %d: %+v is nothing exactly", r.N, c)
				}
			}
		}
	}
}

// The parts that give cells their meaning - shared strings, styles, the workbook and its relations - may be anything as well:
// reading ends in rows or a refusal.
func FuzzBookParts(f *testing.F) {
	good := intaketest.Saved(f, func(file *excelize.File) {
		intaketest.Put(f, file, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
		intaketest.Styled(f, file, "Sheet1", "C2", &excelize.Style{NumFmt: 12, Font: &excelize.Font{Bold: true}})
	})
	names := []string{"xl/sharedStrings.xml", "xl/styles.xml", "xl/workbook.xml", "xl/_rels/workbook.xml.rels", "[Content_Types].xml", "_rels/.rels"}
	for i, n := range names {
		f.Add(uint8(i), []byte(partOf(f, good, n)))
	}
	f.Add(uint8(0), []byte(`<sst><si><r><rPr><b val="0"/></rPr><t xml:space="preserve"> a</t></r><rPh><t>b</t></rPh></si><si><t>_x005F_x000D_</t></si><si/></sst>`))
	f.Add(uint8(1), []byte(`<styleSheet><numFmts><numFmt numFmtId="164" formatCode="# ?/?"/></numFmts><fonts><font><b/></font></fonts><cellXfs><xf numFmtId="164" fontId="9"/><xf/></cellXfs></styleSheet>`))
	f.Fuzz(func(t *testing.T, part uint8, raw []byte) {
		name := names[int(part)%len(names)]
		sheets, _, why := readWorkbook("a.xlsx", []byte(intaketest.Repack(t, good, map[string]string{name: string(raw)})), new(int))
		if why != nil {
			if why.What == "" || why.Hint == "" {
				t.Errorf("refused with %+v", *why)
			}
			return
		}
		inOrder(t, sheets)
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

// Where the part is damaged that says what lies on a sheet, that is told, since nobody knows what it was.
func TestDamagedRelationsAreTold(t *testing.T) {
	good := plainBook(t)
	whole := related([2]string{"hyperlink", "https://example.org/"})
	for text, want := range map[string]bool{"": false, whole: false, whole[:len(whole)-9]: true, strings.Replace(whole, "Id=", "Ib=", 1): true, strings.Replace(whole, "Target=", "Tarpet=", 1): true, "<": true} {
		data := good
		if text != "" {
			data = intaketest.Repack(t, good, map[string]string{"xl/worksheets/_rels/sheet1.xml.rels": text})
		}
		sheets, _, why := readWorkbook("a.xlsx", []byte(data), new(int))
		if why != nil || sheets[0].Unseen != want {
			t.Errorf("%s: %v", text, why)
		}
	}
}
