package impose

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/problem"
	"tuckmark/impose/proof"
	"tuckmark/intake/form"
	"tuckmark/intake/intaketest"
)

// given is a job of a file with answers put into it.
func given(t *testing.T, name, data, answers string) *Job {
	t.Helper()
	j := sample(t)
	if err := j.Read(t.Context(), intaketest.Write(t, name, data), ""); err != nil {
		t.Fatal(err)
	}
	j.Answer("answers.txt", []byte(answers))
	j.fillIn()
	return j
}

// rowsOf are the rows of a job by where they stand: what each block is, without the file's name.
func rowsOf(j *Job) map[string]any {
	out := map[string]any{}
	for _, b := range j.Blocks {
		at := fmt.Sprint(b.Place.Row, "/", b.Place.Block)
		b.Place = problem.Place{}
		out[at] = b
	}
	for _, h := range j.Held {
		out[fmt.Sprint(h.Place.Row, "/", h.Place.Block)] = "held: " + h.Owner + ": " + h.Why
	}
	return out
}

// unlike are the rows that are not as wanted.
func unlike(got, want map[string]any) (out []string) {
	for at, w := range want {
		if !reflect.DeepEqual(got[at], w) {
			out = append(out, fmt.Sprintf("%s is %.500v\nwanted %.500v", at, got[at], w))
		}
	}
	slices.Sort(out)
	if len(got) != len(want) {
		out = append(out, fmt.Sprintf("%d rows, wanted %d", len(got), len(want)))
	}
	return out
}

// copyOf is a job's marked copy; "": it is refused.
func copyOf(t *testing.T, j *Job) (data, why string) {
	t.Helper()
	var b bytes.Buffer
	var refused *problem.Problem
	if err := form.WriteMarked(&b, j.Input, j.Problems, j.Settings); errors.As(err, &refused) {
		return "", refused.Cause
	} else if err != nil {
		t.Fatal(err)
	}
	return b.String(), ""
}

// drawnTable is a table with several blocks to a row, of which some share a width, a height or both, names and lines that take from above, and merged cells.
func drawnTable(t *testing.T, r *rand.Rand) string {
	sets, unit := 1+r.IntN(3), []string{"", " (cm)"}[r.IntN(2)]
	heads, kinds := []any{"Name", "Page"}, []string{"name", "page"}
	if r.IntN(3) == 0 {
		heads, kinds = []any{"First name", "Last name", "Page"}, []string{"first", "last", "page"}
	}
	add := func(head, kind string) { heads, kinds = append(heads, head), append(kinds, kind) }
	width, height, space := r.IntN(2) == 0, r.IntN(3) == 0, r.IntN(4) == 0 // one for all
	switch {
	case space && width:
		add("Space"+unit, "space")
	case !space && width:
		add("Width"+unit, "side")
	}
	if !space && height {
		add("Height"+unit, "side")
	}
	for n := 1; n <= sets; n++ {
		of := ""
		if sets > 1 {
			of = fmt.Sprint(" ", n)
		}
		add("Journaling"+of, "text")
		switch {
		case space && !width:
			add("Space"+of+unit, "space")
		case !space && !width:
			add("Width"+of+unit, "side")
		}
		if !space && !height {
			add("Height"+of+unit, "side")
		}
	}
	rows, n := [][]any{heads}, 0
	for i := range 2 + r.IntN(4) {
		row := make([]any, len(kinds))
		for k, kind := range kinds {
			n++
			pick := func(of ...any) { row[k] = of[r.IntN(len(of))] }
			switch ditto := i > 0 && r.IntN(3) == 0; {
			case ditto && (kind == "name" || kind == "first" || kind == "last" || kind == "page"):
				row[k] = "do."
			case kind == "name":
				pick("Anna Marsh", "Beth North")
			case kind == "first":
				pick("Anna", "Beth")
			case kind == "last":
				pick("Marsh", "North")
			case kind == "page":
				pick("Lakes", "Hills")
			case kind == "text" && r.IntN(4) > 0:
				row[k] = fmt.Sprintf("We found plum number %d.", n)
			case kind == "side":
				pick(4, 3, 3, 2, nil)
			case kind == "space":
				pick("4 x 2", "3 x 2", "5 x 3", nil)
			}
		}
		rows = append(rows, row)
	}
	return intaketest.Saved(t, func(f *excelize.File) {
		intaketest.Put(t, f, "Sheet1", rows...)
		for range r.IntN(3) {
			col, from := 1+r.IntN(len(heads)), 2+r.IntN(3)
			a, _ := excelize.CoordinatesToCellName(col, from)
			b, _ := excelize.CoordinatesToCellName(min(len(heads), col+3*r.IntN(2)), from+r.IntN(2))
			if err := f.MergeCell("Sheet1", a, b); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// TestAnsweredRowsKeepTheirOthers: what an answer gives is of its block alone, whatever cells the blocks of a row share and whatever takes from above: in the job; in its marked copy, which is
// read as the job is or refused; and where the answers are given to a marked copy that was made without them.
func TestAnsweredRowsKeepTheirOthers(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 69))
	made, refused := 0, 0
	for n := range 40 {
		data := drawnTable(t, r)
		plain := given(t, "a.xlsx", data, "")
		type row struct{ at, code string }
		var rows []row
		for i := range plain.Blocks {
			b := &plain.Blocks[i]
			rows = append(rows, row{fmt.Sprint(b.Place.Row, "/", b.Place.Block), b.Code + " " + proof.Fingerprint(b, plain.Settings)})
		}
		for _, h := range plain.Held {
			if h.Code != "" {
				rows = append(rows, row{fmt.Sprint(h.Place.Row, "/", h.Place.Block), h.Code + " " + proof.Fingerprint(h.Read, plain.Settings)})
			}
		}
		if len(rows) == 0 {
			continue
		}
		all, own := "", map[string]string{} // answers, and those of each row
		for k := range 1 + r.IntN(4) {
			of := rows[r.IntN(len(rows))]
			line := fmt.Sprintf("%s space: %s\n", of.code, []string{"3 x 2", "4 x 2", "5 x 3"}[r.IntN(3)])
			if r.IntN(3) == 0 {
				line = fmt.Sprintf("%s text: By the sea %d. ¶¶\n", of.code, k)
			}
			all, own[of.at] = all+line, own[of.at]+line
		}
		want := rowsOf(plain)
		for at, lines := range own {
			want[at] = rowsOf(given(t, "a.xlsx", data, lines))[at]
		}
		job := given(t, "a.xlsx", data, all)
		if wrong := unlike(rowsOf(job), want); wrong != nil {
			t.Fatalf("job %d, %s:\n%s", n, all, strings.Join(wrong, "\n"))
		}
		unmarked, why := copyOf(t, plain)
		if why != "" {
			t.Fatalf("job %d: %s", n, why)
		}
		if wrong := unlike(rowsOf(given(t, "m.xlsx", unmarked, all)), want); wrong != nil {
			t.Errorf("job %d, answers to a copy, %s:\n%s", n, all, strings.Join(wrong, "\n"))
		}
		copied, why := copyOf(t, job)
		if why != "" {
			if refused++; !strings.Contains(why, "one cell has it for several blocks of the row") {
				t.Errorf("job %d: %s", n, why)
			}
			continue
		}
		made++
		if wrong := unlike(rowsOf(given(t, "m.xlsx", copied, "")), want); wrong != nil {
			t.Errorf("job %d, the copy with %s:\n%s", n, all, strings.Join(wrong, "\n"))
		}
	}
	if made < 15 || refused < 3 {
		t.Errorf("%d copies and %d refused say little", made, refused)
	}
}

// TestManyShareACell: that no copy can say what is given is found in a time that grows as the row does.
func TestManyShareACell(t *testing.T) {
	head, row, answers := "Name,Page,Height", "Anna Marsh,P1,3", ""
	for i := range 99 {
		head += fmt.Sprintf(",Journaling %d,Width %[1]d", i+1)
		row += ",Xplum" + fmt.Sprint(i) + strings.Repeat(" **a** *b*", 60) + ",4"
	}
	plain := given(t, "a.csv", head+"\n"+row+"\n", "")
	for i := range plain.Blocks {
		b := &plain.Blocks[i]
		answers += fmt.Sprintf("%s %s space: 4 x %d\n", b.Code, proof.Fingerprint(b, plain.Settings), 2-i/98)
	}
	job := given(t, "a.csv", head+"\n"+row+"\n", answers)
	began := intaketest.Processor()
	_, why := copyOf(t, job)
	if took := intaketest.Processor() - began; took > intaketest.Raced*time.Second || why == "" {
		t.Errorf("%v: %q", took, why)
	}
}

// TestOneWidthForTheRow: a copy is made where all blocks of a row that share a cell are given the same for it, and only then.
func TestOneWidthForTheRow(t *testing.T) {
	data := "Name,Page,Width,Journaling 1,Height 1,Journaling 2,Height 2\nAnna Marsh,P1,4,Xalpha one,2,Xbeta two,2\n"
	plain := given(t, "a.csv", data, "")
	line := func(i int, space string) string {
		b := &plain.Blocks[i]
		return fmt.Sprintf("%s %s space: %s\n", b.Code, proof.Fingerprint(b, plain.Settings), space)
	}
	for answers, whole := range map[string]bool{
		line(0, "3 x 2"):                    false,
		line(0, "4 x 3"):                    true,
		line(0, "3 x 2") + line(1, "3 x 2"): true,
		line(0, "3 x 2") + line(1, "3 x 1"): true,
		line(0, "3 x 2") + line(1, "5 x 2"): false,
		line(0, "3 x 2") + line(0, "4 x 2"): true,
	} {
		job := given(t, "a.csv", data, answers)
		copied, why := copyOf(t, job)
		if (why == "") != whole {
			t.Errorf("%s: %q", answers, why)
		} else if whole && !reflect.DeepEqual(rowsOf(given(t, "m.xlsx", copied, "")), rowsOf(job)) {
			t.Errorf("%s: another job", answers)
		}
	}
}
