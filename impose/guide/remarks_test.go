package guide

import (
	"fmt"
	"strings"
	"testing"

	"tuckmark/config/problem"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

// told is what the run sheet of a small job has below "Worth knowing".
func told(t *testing.T, added string, notes problem.List) string {
	t.Helper()
	d := made.One(made.Settings())
	in := input(d)
	in.Problems, in.Added = notes, added
	d.Plan.Number(1)
	run := strings.Join(sectionsOf(Pages(in))["Run sheet"], " ")
	_, said, _ := strings.Cut(run, "Worth knowing ")
	said, _, _ = strings.Cut(said, " Cutting guide")
	return said
}

// TestNotesNamePlaces: what is noted of sheets or files names each of them, however often it is the same; of rows it says how many they are.
func TestNotesNamePlaces(t *testing.T) {
	sheet := func(name string) problem.Place { return problem.Place{File: "r.xlsx", Sheet: name} }
	row := func(n int) problem.Place { return problem.Place{File: "r.xlsx", Sheet: "Texts", Row: n} }
	var crowd []problem.Place
	for n := range 12 {
		crowd = append(crowd, sheet(fmt.Sprint("S", n)))
	}
	for _, c := range []struct {
		of   []problem.Place
		want string
	}{
		{[]problem.Place{{}}, "not read."},
		{[]problem.Place{{}, {}}, "not read."},
		{[]problem.Place{row(7)}, "r.xlsx, Texts, row 7: not read."},
		{[]problem.Place{row(7), row(8)}, "2 rows: not read."},
		{[]problem.Place{sheet("Anna")}, "r.xlsx, Anna: not read."},
		{[]problem.Place{sheet("Anna"), sheet("Ben")}, "r.xlsx, Anna; r.xlsx, Ben: not read."},
		{[]problem.Place{sheet("Anna"), row(7), sheet("Anna"), row(8), {File: "b.csv"}}, "2 rows; r.xlsx, Anna; b.csv: not read."},
		{[]problem.Place{row(7), sheet("Anna")}, "r.xlsx, Texts, row 7; r.xlsx, Anna: not read."},
		{crowd, "r.xlsx, S0; r.xlsx, S1; r.xlsx, S2; r.xlsx, S3; r.xlsx, S4; r.xlsx, S5; r.xlsx, S6; 5 more: not read. The report's sheet Notes 2 names each."},
	} {
		var notes problem.List
		for _, at := range c.of {
			notes.Note(at, "not read", "", "")
		}
		if got := told(t, " 2", notes); !strings.HasPrefix(got, c.want) || strings.Contains(got, "names each") != strings.Contains(c.want, "names each") {
			t.Errorf("%v:\n got %s\nwant %s", c.of, got, c.want)
		}
	}
}

// TestSheetsOfARedo: what the run sheet has no room for stands on the report's sheet of this run, and that is the one that it names.
func TestSheetsOfARedo(t *testing.T) {
	var notes problem.List
	for n := range 9 {
		notes.Note(problem.Place{}, fmt.Sprint("note ", n), "", "")
	}
	for added, want := range map[string]string{"": "And 3 more: the report's sheet Notes has them all.", " 2": "And 3 more: the report's sheet Notes 2 has them all."} {
		if got := told(t, added, notes); !strings.Contains(got, want) {
			t.Errorf("%q is not in %s", want, got)
		}
		d := made.One(made.Settings())
		for i := range mostHeld + 1 {
			d.Plan.Held = append(d.Plan.Held, intake.Held{Code: fmt.Sprint("HB-", i), Why: "too long"})
		}
		in := input(d)
		in.Added = added
		d.Plan.Number(1)
		held := "the report's sheet Held back has them all."
		if added != "" {
			held = "the report's sheet Blocks 2 has them all."
		}
		if run := strings.Join(sectionsOf(Pages(in))["Run sheet"], " "); !strings.Contains(run, "And 1 more: "+held) {
			t.Errorf("%q: the run sheet does not name the sheet of what was held back", added)
		}
	}
}
