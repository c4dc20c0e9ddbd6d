package form

import (
	"fmt"
	"io"
	"runtime"
	"strings"
	"testing"

	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// Rows that are made as the workbook is packed look like those that excelize holds: in a form that is marked, the first two thousand are held and
// those below them are not.
func TestLateRowsLookAlike(t *testing.T) {
	texts := []string{"In June", "*Rain* in Larvik 2026", `"  two spaces` + "\n" + `and ""quotes"" & <more>"`, "=1+1", "_x0041_ and _x00", "<b>", strings.Repeat("plums and bread ", 30), ""}
	widths := []string{"4", "0", "2-Apr", "4 1/2"}
	var csv strings.Builder
	csv.WriteString("Name,Journaling,Width,Height,Stock,Fits\n")
	const period = 40
	for i := range mostCounted + period {
		k := i % period
		fmt.Fprintf(&csv, "P%d,%s,%s,2,%s,\n", k%3, texts[k%len(texts)], widths[k/len(texts)%len(widths)], []string{"birch", "velum"}[k%2])
	}
	job, problems := read(t, "a.csv", csv.String())
	f, _ := markedBook(t, job, problems)
	wrong := map[string]int{} // by cell: some things are told of their first row alone
	for _, p := range problems {
		if p.Kind != problem.Advice {
			wrong[job.Locate(p.Place).Cell]++
		}
	}
	fits, styles := job.Sheets[0].Columns[len(job.Sheets[0].Columns)-1].Index, map[int]bool{}
	for k := range period {
		held, late := 2+k, 2+mostCounted+k
		for col := range fits {
			a, b := table.Address(col, held), table.Address(col, late)
			was, _ := f.GetCellValue("a", a)
			is, err := f.GetCellValue("a", b)
			if is != was || err != nil {
				t.Errorf("%s is %q, and %s %q: %v", a, was, b, is, err)
			}
			style, _ := f.GetCellStyle("a", a)
			if now, _ := f.GetCellStyle("a", b); now != style && was != "" && wrong[a] == wrong[b] {
				t.Errorf("%s has the style %d, and %s %d", a, style, b, now)
			} else {
				styles[now] = true
			}
		}
		was, _ := f.GetRowHeight("a", held)
		if is, _ := f.GetRowHeight("a", late); is != was {
			t.Errorf("row %d is %v high, and row %d %v", held, was, late, is)
		}
	}
	if formula, _ := f.GetCellFormula("a", table.Address(fits, 2+mostCounted)); formula != "" || len(styles) < 3 {
		t.Errorf("the test compares nothing: %q, %d styles", formula, len(styles))
	}
}

// Rows take little memory, however many are marked.
func TestManyMarkedRows(t *testing.T) {
	n := 8000
	var list [][]string
	for i := range n {
		list = append(list, []string{fmt.Sprintf("Name=P%d", i%7), fmt.Sprintf("Width=%d x", i)})
	}
	job, problems := read(t, "a.csv", intaketest.Rows(list...))
	if problems.Errors() < n {
		t.Fatalf("%d errors", problems.Errors())
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if err := WriteMarked(io.Discard, job, problems, intaketest.Home()); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if each := (after.TotalAlloc - before.TotalAlloc) / uint64(n); each > 9_000 {
		t.Errorf("%d bytes are allocated for a row with an error", each)
	}
}

// A text of very many styles is written down in room that grows with its length, not with its square.
func TestTextsOfManyStyles(t *testing.T) {
	text := strings.Repeat("*a* _b_ ", 2000)
	d := &Desk{Unit: intaketest.Home().Unit, Journaling: DeskSheet{Rows: []DeskRow{{ID: "1", Code: "PK-1", Cells: map[string]string{"Name": "Pim", "Journaling": text}}}}}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if err := WriteDesk(io.Discard, &Desk{Unit: d.Unit}, intaketest.Home()); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	empty := after.TotalAlloc - before.TotalAlloc
	if err := WriteDesk(io.Discard, d, intaketest.Home()); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&before)
	if more := (before.TotalAlloc - after.TotalAlloc) - empty; more > 30<<20 {
		t.Errorf("a text of 16 KB takes %d MB", more>>20)
	}
}

// What is wrong with a row and what is wrong with its first cell stand in one comment.
func TestRowAndFirstCell(t *testing.T) {
	job, problems := read(t, "a.csv", "Journaling,Name,Width,Height\nsnow,Bob,4,2\n")
	row := problem.Place{File: "a.csv", Sheet: job.Sheets[0].Name, Row: 2}
	cell := row
	cell.Cell = "A2"
	problems.Add(row, "the row is odd", "", "look at it")
	problems.Add(cell, "the cell is odd", "", "look at it")
	f, _ := markedBook(t, job, problems)
	said, err := f.GetComments("a")
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range said {
		if c.Cell == "A2" && strings.Contains(c.Text, "the row is odd") && strings.Contains(c.Text, "the cell is odd") {
			return
		}
	}
	t.Errorf("%d comments, none at A2 with both", len(said))
}
