package form

import (
	"bytes"
	"fmt"
	"io"
	"runtime"
	"testing"

	"tuckmark/intake"
	"tuckmark/intake/intaketest"
	"tuckmark/intake/table"
)

// wideDesk is a desk's workbook with so many columns of its own and rows, of which the first has something in each column and the others in the last.
func wideDesk(columns, rows int) *Desk {
	d := &Desk{State: []string{"aaaaaaaaaa", "1", "in"}, Unit: intaketest.Home().Unit}
	for i := range columns {
		d.Journaling.Columns = append(d.Journaling.Columns, fmt.Sprint("c", i))
	}
	for i := range rows {
		r := DeskRow{ID: fmt.Sprintf("id%d", i), Code: fmt.Sprint("PK-", i), Cells: map[string]string{"Name": "Ann Lo", "Journaling": "some *bold* words & more", "Kept": "k", fmt.Sprint("c", columns-1): "last"}}
		for k := range columns {
			if i == 0 {
				r.Cells[fmt.Sprint("c", k)] = fmt.Sprint("=", k)
			}
		}
		d.Journaling.Rows = append(d.Journaling.Rows, r)
	}
	return d
}

// A workbook with many columns beside those of the form is read as one with few, and is made in room that grows with what is filled.
func TestManyOwnColumns(t *testing.T) {
	for _, columns := range []int{fewOwn, fewOwn + 1, 400} {
		d := wideDesk(columns, 3)
		var out bytes.Buffer
		if err := WriteDesk(&out, d, intaketest.Home()); err != nil {
			t.Fatal(err)
		}
		read, made := table.Parse("a-desk.xlsx", out.Bytes(), intake.KnownHeading), d.Tables("a-desk.xlsx")
		if len(read.Problems) > 0 || !read.Desk {
			t.Fatal(columns, read.Problems)
		}
		for i, s := range made.Sheets {
			got := read.Sheets[i]
			if got.Name != s.Name || len(got.Rows) != len(s.Rows) {
				t.Fatalf("%d columns: the sheet %s has %d rows, not %d", columns, got.Name, len(got.Rows), len(s.Rows))
			}
			for k := range s.Rows {
				texts := func(r *table.Row) (out []string) {
					for c := range r.Cells {
						text := r.Cells[c].Text
						if k > 0 { // headings are bold
							text = intake.Markup(&r.Cells[c])
						}
						out = append(out, fmt.Sprint(r.Cells[c].Col, " ", text))
					}
					return out
				}
				if want, is := texts(&s.Rows[k]), texts(&got.Rows[k]); got.Rows[k].N != s.Rows[k].N || fmt.Sprint(want) != fmt.Sprint(is) {
					t.Errorf("%d columns, row %d: %.300q, not %.300q", columns, k+1, is, want)
				}
			}
		}
	}
	d := wideDesk(1000, 2000)
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	if err := WriteDesk(io.Discard, d, intaketest.Home()); err != nil {
		t.Fatal(err)
	}
	runtime.ReadMemStats(&after)
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 150 {
		t.Errorf("2,000 rows with 1,000 columns, nearly all empty, take %d MB", mb)
	}
}
