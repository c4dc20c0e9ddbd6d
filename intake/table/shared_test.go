package table

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/intake/intaketest"
)

// A text that cells share counts for each of them, as it is set for each: by its length or by its runs, shared, in the cells themselves, merged over them or
// over several sheets. A workbook of 200 KB would else have more to set than any table of commas may hold.
func TestSharedTextsAreCounted(t *testing.T) {
	good := intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
		if _, err := f.NewSheet("Sheet2"); err != nil {
			t.Fatal(err)
		}
		intaketest.Put(t, f, "Sheet2", intaketest.Head, []any{"Pim", intaketest.Story, 4, 2})
	})
	long := strings.Repeat("plum and quay ", 1<<10)
	runs := strings.Repeat("<r><rPr><b/></rPr><t>a</t></r><r><t>b</t></r>", 1<<9)
	fits, more := smallText/len(long)*9/10, smallText/len(long)*11/10
	asRuns := smallText / (1 << 10 * (aRun + 1)) * 11 / 10
	sheet := func(rows int, text func(k int) string, after string) string {
		var b strings.Builder
		b.WriteString(`<worksheet><sheetData>`)
		for k := 1; k <= rows; k++ {
			fmt.Fprintf(&b, `<row r="%d">%s<c r="D%d"><v>4</v></c></row>`, k, text(k), k)
		}
		return b.String() + `</sheetData>` + after + `</worksheet>`
	}
	shared := func(k int) string { return fmt.Sprintf(`<c r="B%d" t="s"><v>0</v></c>`, k) }
	first := func(k int) string {
		if k > 1 {
			return ""
		}
		return shared(k)
	}
	for name, c := range map[string]struct {
		item, one, two string
		refused        bool
	}{
		"as much as may be": {"<t>" + long + "</t>", sheet(fits, shared, ""), "", false},
		"longer":            {"<t>" + long + "</t>", sheet(more, shared, ""), "", true},
		"over two sheets":   {"<t>" + long + "</t>", sheet(more/2+1, shared, ""), sheet(more/2+1, shared, ""), true},
		"runs":              {runs, sheet(asRuns, shared, ""), "", true},
		"fewer runs":        {runs, sheet(asRuns/2, shared, ""), "", false},
		"merged":            {"<t>" + long + "</t>", sheet(more, first, fmt.Sprintf(`<mergeCells><mergeCell ref="B1:B%d"/></mergeCells>`, more)), "", true},
	} {
		parts := map[string]string{"xl/sharedStrings.xml": "<sst><si>" + c.item + "</si></sst>", "xl/worksheets/sheet1.xml": c.one}
		if c.two != "" {
			parts["xl/worksheets/sheet2.xml"] = c.two
		} else {
			parts["xl/worksheets/sheet2.xml"] = sheet(1, func(int) string { return "" }, "")
		}
		_, _, why := readWorkbook("a.xlsx", []byte(intaketest.Repack(t, good, parts)), new(int))
		switch {
		case why != nil != c.refused:
			t.Errorf("%s: %+v", name, why)
		case why != nil && !strings.Contains(why.What, "MB of text"):
			t.Errorf("%s: %s", name, why.What)
		}
	}
	// A workbook of a megabyte has room for what that may hold.
	noise := make([]byte, smallFile)
	for i, r := 0, rand.New(rand.NewPCG(1, 1)); i < len(noise); i++ {
		noise[i] = byte(r.Uint32())
	}
	for rows, refused := range map[int]bool{2 * more: false, mostText / len(long) * 11 / 10: true} {
		parts := map[string]string{"xl/sharedStrings.xml": "<sst><si><t>" + long + "</t></si></sst>", "xl/worksheets/sheet1.xml": sheet(rows, shared, ""),
			"docProps/app.xml": string(noise)}
		if _, _, why := readWorkbook("a.xlsx", []byte(intaketest.Repack(t, good, parts)), new(int)); why != nil != refused {
			t.Errorf("a large workbook with %d rows: %+v", rows, why)
		}
	}
	one := intaketest.Repack(t, good, map[string]string{"xl/sharedStrings.xml": "<sst><si><t>" + long + "</t></si></sst>",
		"xl/worksheets/sheet1.xml": sheet(more/2+1, shared, ""), "xl/worksheets/sheet2.xml": sheet(1, func(int) string { return "" }, "")})
	files := Read(intaketest.Write(t, "a.xlsx", one, "b.xlsx", one), known)
	if len(files) != 2 || len(files[0].Problems) > 0 || len(files[1].Problems) != 1 || !strings.Contains(files[1].Problems[0].What, "MB of text") {
		t.Errorf("two files: %+v", files[len(files)-1].Problems)
	}
}
