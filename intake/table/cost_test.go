package table

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

const (
	relationKind = "http://schemas.openxmlformats.org/officeDocument/2006/relationships/"
	mainSpace    = `xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"`
)

// related is a relationships part with those relations, each a kind and a target.
func related(list ...[2]string) string {
	var b strings.Builder
	b.WriteString(`<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">`)
	for i, r := range list {
		fmt.Fprintf(&b, `<Relationship Id="rId%d" Type="%s%s" Target="%s"/>`, i+1, relationKind, r[0], r[1])
	}
	return b.String() + "</Relationships>"
}

// sheetOf is a worksheet with those rows.
func sheetOf(rows string) string {
	return "<worksheet " + mainSpace + "><sheetData>" + rows + "</sheetData></worksheet>"
}

// plainBook is a small workbook of one sheet.
func plainBook(t testing.TB) string {
	return intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
	})
}

// bookOf are the parts of a workbook with n sheets, the first of which are in their order at the targets given; more are the relations that it has besides.
func bookOf(n int, targets []string, more ...[2]string) map[string]string {
	var tabs strings.Builder
	var list [][2]string
	for i := range n {
		fmt.Fprintf(&tabs, `<sheet name="S%d" sheetId="%d" r:id="rId%d"/>`, i+1, i+1, i+1)
		list = append(list, [2]string{"worksheet", targets[i]})
	}
	return map[string]string{
		"xl/workbook.xml":            `<workbook ` + mainSpace + ` xmlns:r="http://schemas.openxmlformats.org/officeDocument/2006/relationships"><sheets>` + tabs.String() + `</sheets></workbook>`,
		"xl/_rels/workbook.xml.rels": related(append(list, more...)...),
	}
}

// A workbook of a few thousand bytes is read or refused in moderate time and memory, whatever its parts unpack to and however often one is named. Each of these,
// a few times as large, took many seconds, or hundreds of MB.
func TestSmallWorkbooksCostLittle(t *testing.T) {
	good := plainBook(t)
	const cells = `<row r="1"><c r="A1" t="inlineStr"><is><t>Name</t></is></c></row>`
	drawing := `<xdr:wsDr xmlns:xdr="http://schemas.openxmlformats.org/drawingml/2006/spreadsheetDrawing">` + strings.Repeat("<a/>", 40_000) + `</xdr:wsDr>`
	note := `<comment ref="A1"><text><t>a</t></text></comment>`
	times := func(n int, r [2]string) (out [][2]string) {
		for range n {
			out = append(out, r)
		}
		return out
	}
	many := func(n int) (out []string) {
		for i := range n {
			out = append(out, fmt.Sprintf("worksheets/sheet%d.xml", i+1))
		}
		return out
	}
	shared := func(items string) map[string]string {
		p := bookOf(1, many(1), [2]string{"sharedStrings", "sharedStrings.xml"})
		p["xl/sharedStrings.xml"], p["xl/worksheets/sheet1.xml"] = "<sst "+mainSpace+">"+items+"</sst>", sheetOf(cells)
		return p
	}
	ofSheet := func(relations [][2]string, part, text string) map[string]string {
		return map[string]string{"xl/worksheets/sheet1.xml": sheetOf(cells), "xl/worksheets/_rels/sheet1.xml.rels": related(relations...), part: text}
	}
	styled := func(formats, rows string) map[string]string {
		p := bookOf(1, many(1), [2]string{"styles", "styles.xml"})
		p["xl/styles.xml"] = "<styleSheet " + mainSpace + "><numFmts>" + formats + `</numFmts><fonts><font/></fonts><cellXfs><xf numFmtId="200" fontId="0"/></cellXfs></styleSheet>`
		p["xl/worksheets/sheet1.xml"] = sheetOf(rows)
		return p
	}
	format := func(code string) string { return `<numFmt numFmtId="200" formatCode="` + code + `"/>` }
	extremes := `<row><c s="0"><v>1e300</v></c><c s="0"><v>1e-300</v></c></row>`
	onMany := func(n int) map[string]string {
		p := bookOf(n, many(n))
		for i := range n {
			p[fmt.Sprintf("xl/worksheets/sheet%d.xml", i+1)] = sheetOf("")
			p[fmt.Sprintf("xl/worksheets/_rels/sheet%d.xml.rels", i+1)] = related([2]string{"drawing", "../drawings/drawing1.xml"})
		}
		p["xl/drawings/drawing1.xml"] = drawing
		return p
	}
	formula := `<row r="1"><c r="A1"><f>UPPER("rome")</f></c></row>`
	var filling strings.Builder // a row of formulas that each fill a cell in 24 rows
	for col := range lastColumn / 2 {
		fmt.Fprintf(&filling, `<c r="%s1"><f t="array" ref="%[1]s1:%[1]s24">1</f></c>`, Letters(col))
	}
	empty := "<row>" + strings.Repeat("<c/>", lastColumn) + "</row>"
	full := "<row>" + strings.Repeat("<c><v>1</v></c>", lastColumn) + "</row>"
	mergedIn := func(rows, refs string) map[string]string {
		return map[string]string{"xl/worksheets/sheet1.xml": strings.Replace(sheetOf(rows), "</worksheet>", "<mergeCells>"+refs+"</mergeCells></worksheet>", 1)}
	}
	var ofEach strings.Builder // column, from the last to the second, merged over four rows
	for col := lastColumn - 1; col > 0; col-- {
		fmt.Fprintf(&ofEach, `<mergeCell ref="%s1:%[1]s4"/>`, Letters(col))
	}
	for name, c := range map[string]struct {
		parts map[string]string
		want  string // in the refusal; "": none
	}{
		"merged cells over each other":  {mergedIn(column(6_000), strings.Repeat(`<mergeCell ref="A1:A6000"/>`, 20_000)), "damaged"},
		"merged cells far to the right": {mergedIn(strings.Repeat(full, 5), strings.Repeat(`<mergeCell ref="XFD1:XFD5"/>`, 30_000)), ""},
		"each cell of a row merged":     {mergedIn(full+column(3), ofEach.String()), ""},
		"a run in pieces":               {shared("<si><r><t>" + strings.Repeat("a<!---->", 60_000) + "</t></r></si>"), ""},
		"one drawing many times":        {ofSheet(times(60, [2]string{"drawing", "../drawings/drawing1.xml"}), "xl/drawings/drawing1.xml", drawing), ""},
		"notes many times":              {ofSheet(times(60, [2]string{"comments", "../comments1.xml"}), "xl/comments1.xml", "<comments "+mainSpace+"><commentList>"+strings.Repeat(note, 2_000)+"</commentList></comments>"), ""},
		"one drawing of many sheets":    {onMany(60), ""},
		"one sheet of many tabs":        {bookOf(60, timesOf(60, "worksheets/sheet1.xml")), "damaged"},
		"styles many times":             {bookOf(1, many(1), times(60, [2]string{"styles", "styles.xml"})...), "damaged"},
		"strings many times":            {bookOf(1, many(1), times(60, [2]string{"sharedStrings", "sharedStrings.xml"})...), "damaged"},
		"runs that no cell shows":       {shared("<si>" + strings.Repeat("<r><t>a</t></r>", 215_000) + "</si>"), "MB of text"},
		"texts that no cell shows":      {shared(strings.Repeat("<si><t>"+strings.Repeat("a", 76)+"</t></si>", 110_000)), "MB of text"},
		"a formula and rows of cells":   {map[string]string{"xl/worksheets/sheet1.xml": sheetOf(formula + strings.Repeat(empty, 17))}, ""},
		"a formula and far cells":       {map[string]string{"xl/worksheets/sheet1.xml": sheetOf(formula + far(60))}, ""},
		"formulas that fill many rows":  {map[string]string{"xl/worksheets/sheet1.xml": sheetOf("<row>" + filling.String() + "</row>" + strings.Repeat("<row><c><v>1</v></c></row>", 23))}, "formulas fill more than"},
		"a formula that fills all":      {map[string]string{"xl/worksheets/sheet1.xml": sheetOf(`<row r="1"><c r="A1"><f t="array" ref="A1:XFD1048576">1</f></c></row>` + column(2_000))}, "formulas fill more than"},
		"a format of per cent signs":    {styled(format("0"+strings.Repeat("%", 20_000)), extremes), ""},
		"a format of commas":            {styled(format("0"+strings.Repeat(",", 20_000)), extremes), ""},
		"a format of noughts":           {styled(format("0."+strings.Repeat("0", 10_000)), "<row>"+strings.Repeat(`<c s="0"><v>1</v></c>`, 5_000)+"</row>"), ""},
		"a format as long as may be":    {styled(format("0."+strings.Repeat("#", 253)), "<row>"+strings.Repeat(`<c s="0"><v>1</v></c>`, 10_000)+"</row>"), ""},
	} {
		data := []byte(intaketest.Repack(t, good, c.parts))
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		began := intaketest.Processor()
		_, _, why := readWorkbook("a.xlsx", data, new(int))
		took := intaketest.Processor() - began
		runtime.ReadMemStats(&after)
		got := int(after.TotalAlloc-before.TotalAlloc) >> 20
		t.Logf("%-28s %6d bytes %6.2f s %4d MB", name, len(data), took.Seconds(), got)
		if len(data) > 100_000 || took > intaketest.Raced*time.Second || got > 170 {
			t.Errorf("%s: %d bytes took %v and %d MB", name, len(data), took, got)
		}
		if (why == nil) != (c.want == "") || why != nil && !strings.Contains(why.What, c.want) {
			t.Errorf("%s: %+v", name, why)
		}
	}
}

// Many workbooks that are small together are read, or refused, as one is: what they unpack to counts together, also that of refused ones, and so do their cells.
func TestWorkbooksTogetherCostLittle(t *testing.T) {
	good := plainBook(t)
	full := "<row>" + strings.Repeat("<c><v>1</v></c>", 90) + "</row>"
	shared := bookOf(1, []string{"worksheets/sheet1.xml"}, [2]string{"sharedStrings", "sharedStrings.xml"})
	shared["xl/sharedStrings.xml"], shared["xl/worksheets/sheet1.xml"] = "<sst "+mainSpace+"><si>"+strings.Repeat("<r><t>a</t></r>", 215_000)+"</si></sst>", sheetOf(full)
	for name, c := range map[string]struct {
		parts map[string]string
		want  string
		read  int // files, at most
	}{
		"cells":       {map[string]string{"xl/worksheets/sheet1.xml": sheetOf(strings.Repeat(full, 1_500))}, "more than 400000 cells", 3},
		"empty cells": {map[string]string{"xl/worksheets/sheet1.xml": sheetOf(strings.Repeat("<row>"+strings.Repeat("<c/>", 90)+"</row>", 4_000))}, "unpack to far more", 12},
		"no cells":    {map[string]string{"xl/worksheets/sheet1.xml": sheetOf("<!--" + strings.Repeat(" ", 16<<20) + "-->")}, "unpack to far more", 5},
		"refused":     {shared, "unpack to far more", 12},
	} {
		dir := t.TempDir()
		data := []byte(intaketest.Repack(t, good, c.parts))
		files := min(60, (smallFile-1)/len(data))
		for i := range files {
			if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("f%02d.xlsx", i)), data, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		began := intaketest.Processor()
		read := Read([]string{dir}, func(string) bool { return false })
		took := intaketest.Processor() - began
		t.Logf("%-12s %d files of %d bytes: %.2f s, %d read", name, files, len(data), took.Seconds(), len(read))
		last := read[len(read)-1].Problems
		if len(read) > c.read || len(read) < 2 || len(last) == 0 || !strings.Contains(last[len(last)-1].What, c.want) || took > 6*intaketest.Raced*time.Second {
			t.Errorf("%s: %d of %d files were read in %v: %v", name, len(read), files, took, last)
		}
	}
}

// What fills as many cells over several files as one may have is read, and forms that twelve times twelve people send are.
func TestWorkbooksTogetherAreRead(t *testing.T) {
	dir := t.TempDir()
	rows := map[string]string{"xl/worksheets/sheet1.xml": sheetOf(strings.Repeat("<row>"+strings.Repeat("<c><v>1</v></c>", 8)+"</row>", 340))}
	data := []byte(intaketest.Repack(t, plainBook(t), rows))
	for i := range 144 {
		if err := os.WriteFile(filepath.Join(dir, fmt.Sprintf("f%03d.xlsx", i)), data, 0o600); err != nil {
			t.Fatal(err)
		}
	}
	read := Read([]string{dir}, func(string) bool { return false })
	if len(read) != 144 || len(read[143].Problems) > 0 || len(read[143].Sheets) != 1 {
		t.Errorf("%d files were read, of the last: %v", len(read), read[len(read)-1].Problems)
	}
}

// column is a column of numbers.
func column(n int) string { return strings.Repeat(`<row><c><v>1</v></c></row>`, n) }

// timesOf is a text so many times.
func timesOf(n int, s string) (out []string) {
	for range n {
		out = append(out, s)
	}
	return out
}

// far are rows with a cell in the last column.
func far(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, `<row r="%d"><c r="XFD%d"/></row>`, i+2, i+2)
	}
	return b.String()
}

// A workbook has no more elements than its size allows, in all its sheets and shared strings together, whether something stands in them or not.
func TestElementsAreCounted(t *testing.T) {
	b := &book{mostText: smallText, mostCells: mostCells, elements: 1000}
	read := func(cells int) bool {
		return (&sheetReader{book: b, sheet: &Sheet{}}).read(strings.NewReader(sheetOf("<row>"+strings.Repeat("<c/>", cells)+"</row>"))) == nil
	}
	if first, second := read(400), read(400); !first || !second {
		t.Error("what fits is refused")
	}
	if why := b.readStrings([]byte("<sst " + mainSpace + "><si><t>a</t>" + strings.Repeat("<rPh><t>a</t></rPh>", 200) + "</si></sst>")); why == nil || why.What != huge().What {
		t.Errorf("strings: %v", why)
	}
	if read(1) {
		t.Error("one more was read")
	}
	b.elements = 10
	if !(func() bool {
		x := sheetReader{book: b, sheet: &Sheet{}, each: func(Row) bool { return true }}
		return x.read(strings.NewReader(sheetOf("<row>"+strings.Repeat("<c/>", 400)+"</row>"))) == nil
	})() {
		t.Error("rows that are handed on are not counted")
	}
}
