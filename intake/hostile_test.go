package intake

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
)

// Hostile text is refused or read, quickly and in little memory.
func TestHostileCSV(t *testing.T) {
	const head = "Name,Journaling,Width,Height\n"
	part := intaketest.Raced // of 20 MB
	if !longtests.Asked() {
		part *= 4
	}
	for name, c := range map[string]struct{ data, want string }{
		"commas":          {head + strings.Repeat(",", 20<<20/part), ""},
		"cells":           {head + strings.Repeat("a,", 10<<20/part), "far too many cells"},
		"cells in rows":   {head + strings.Repeat(strings.Repeat("a,", 500)+"\n", 10<<10/part), "far too many cells"},
		"rows":            {head + strings.Repeat("a\n", 10<<20/part), "more than 50000 rows"},
		"line breaks":     {head + strings.Repeat("\n", 20<<20/part), ""},
		"quotes":          {head + strings.Repeat(`"`, 20<<20/part), "characters long"},
		"open quotes":     {head + strings.Repeat(`, "a`, 5<<20/part), "far too many cells"},
		"quotes and text": {head + strings.Repeat(`"a" b`, 4<<20/part), "is opened and never closed"},
		"one long cell":   {head + "Pim,\"" + strings.Repeat("words and ", 2<<20/part) + "\",4,2\n", "characters long"},
		"too large":       {head + strings.Repeat("x", 25<<20), "the table is larger than 24 MB"},
		"a long heading":  {strings.Repeat("Name ", 1<<20/part) + ",Journaling,Width,Height\nPim,x,4,2\n", "there is no column Name"},
		"markup":          {head + "Pim," + strings.Repeat("*a ", 6000) + " Larvik 1987,4,2\n", ""},
	} {
		var before, after runtime.MemStats
		runtime.GC()
		runtime.ReadMemStats(&before)
		began := intaketest.Processor()
		_, problems := read(t, "a.csv", c.data)
		took := intaketest.Processor() - began
		runtime.ReadMemStats(&after)
		if grown := int64(after.HeapSys-before.HeapSys) >> 20; took > intaketest.Raced*5*time.Second || grown > 250 {
			t.Errorf("%s: %v, %d MB more", name, took, grown)
		}
		if got := intaketest.Say(problems); c.want != "" && !strings.Contains(got, c.want) || c.want == "" && problems.Errors() > 0 {
			t.Errorf("%s: %.200s", name, got)
		}
	}
}

// One long string that many cells have costs about what one cell costs, or is refused; so do thousands of equal headings, and the limit for rows is
// that of the whole workbook.
func TestOneStringInManyCells(t *testing.T) {
	sheet := func(rows int) string {
		return strings.Repeat(`<row><c t="s"><v>0</v></c><c t="s"><v>0</v></c><c t="s"><v>0</v></c><c t="s"><v>0</v></c></row>`, rows)
	}
	data := intaketest.Saved(t, func(f *excelize.File) { intaketest.Put(t, f, "Sheet1", intaketest.Head) })
	const start, end = `<worksheet xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"><sheetData><row>`, `</sheetData></worksheet>`
	head := ""
	for _, h := range intaketest.Head {
		head += fmt.Sprintf(`<c t="inlineStr"><is><t>%s</t></is></c>`, h)
	}
	began := intaketest.Processor()
	with := func(text string, rows int) (*Job, problem.List) {
		texts := `<sst xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main" uniqueCount="1"><si><t>` + text + `</t></si></sst>`
		return read(t, "a.xlsx", intaketest.Repack(t, data, map[string]string{"xl/worksheets/sheet1.xml": start + head + `</row>` + sheet(rows) + end, "xl/sharedStrings.xml": texts}))
	}
	if job, _ := with(strings.Repeat("x\t", 25_000), 24); len(job.Held) != 24 {
		t.Errorf("%d held", len(job.Held))
	}
	if _, problems := with(strings.Repeat("x\t", 1<<19), 2000); problems.Errors() != 1 || !strings.Contains(problems[0].What, "MB of text") {
		t.Errorf("a megabyte: %s", intaketest.Say(problems))
	}
	many := start + strings.Repeat(`<c t="inlineStr"><is><t>Jornalling of the block</t></is></c>`, 9000) + `</row>` + end
	read(t, "a.xlsx", intaketest.Repack(t, data, map[string]string{"xl/worksheets/sheet1.xml": many}))
	if took := intaketest.Processor() - began; took > intaketest.Raced*30*time.Second {
		t.Errorf("it took %v", took)
	}
}

// A workbook that has another one before it or behind it is refused: one of them would be left unread.
func TestTwoWorkbooksInOne(t *testing.T) {
	made := func(name string) string {
		return intaketest.Saved(t, func(f *excelize.File) {
			intaketest.Put(t, f, "Sheet1", intaketest.Head, []any{name, "Plums in Larvik", 4, 2})
		})
	}
	one, other := made("Pim"), made("Ada")
	for name, data := range map[string]string{"two": one + other, "a word before": "x" + one, "the beginning of another behind": one + other[:len(other)/2]} {
		if job, problems := read(t, "a.xlsx", data); problems.Errors() != 1 || len(job.Blocks)+len(job.Held) > 0 {
			t.Errorf("%s: %d blocks, %s", name, len(job.Blocks), intaketest.Say(problems))
		}
	}
	if job, problems := read(t, "a.xlsx", one); problems.Errors() > 0 || len(job.Blocks) != 1 {
		t.Errorf("one: %d blocks, %s", len(job.Blocks), intaketest.Say(problems))
	}
}
