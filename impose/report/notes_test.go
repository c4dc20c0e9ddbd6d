package report

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/problem"
	"tuckmark/intake"
)

// TestNotesOfARedo: each redo that noted something has a sheet with all of it, by the number of its other sheets, which is the one that it names; a later redo neither
// writes over it nor takes it for a sheet of somebody's own. One of somebody's own keeps its name and its rows, and is told of.
func TestNotesOfARedo(t *testing.T) {
	s := builtInSettings(t)
	path := reportFile(t, lay(t, odd(s), nil, s))
	noted := func(words ...string) (list problem.List) {
		for _, w := range words {
			list.Note(problem.Place{File: "job-report.xlsx", Sheet: Texts, Row: 2}, w, "", "")
		}
		list.Add(problem.Place{}, "an error is no note", "", "")
		return list
	}
	redo := func(what string, notes problem.List, add string, unread ...string) {
		t.Helper()
		e, problems := Open(path)
		if e == nil {
			t.Fatal(problems)
		}
		var said []string
		for _, p := range problems {
			said = append(said, p.Place.Sheet+": "+p.What)
		}
		if !slices.Equal(said, unread) {
			t.Errorf("%s: of the report it is said %q, want %q", what, said, unread)
		}
		if e.Added() != add {
			t.Errorf("%s: the sheets are called by %q, want %q", what, e.Added(), add)
		}
		blocks, _ := e.Blocks(e.Codes[:1], s)
		in := lay(t, blocks, nil, s)
		in.Problems = notes
		var out bytes.Buffer
		if err := e.Redo(&out, in); err != nil {
			t.Fatal(err)
		}
		path = filepath.Join(t.TempDir(), "job-report.xlsx")
		if err := os.WriteFile(path, out.Bytes(), 0o600); err != nil {
			t.Fatal(err)
		}
		f, err := excelize.OpenReader(&out)
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		sheets := f.GetSheetList()
		if !slices.Contains(sheets, "Blocks"+add) || slices.Contains(sheets, "Notes"+add) != (notes.Errors() < len(notes)) {
			t.Errorf("%s: sheets %q", what, sheets)
		}
		if !slices.Contains(sheets, "Notes"+add) {
			return
		}
		rows, err := f.GetRows("Notes" + add)
		first, err2 := f.GetRows(Notes)
		if err := errors.Join(err, err2); err != nil || !slices.Equal(rows[0], first[0]) {
			t.Errorf("%s: headings %q, want %q: %v", what, rows[0], first[0], err)
		}
		var all []string
		for _, r := range rows[1:] {
			all = append(all, r[0]+" "+strings.Join(r[3:], " "))
		}
		var want []string
		for _, p := range notes[:len(notes)-1] {
			want = append(want, p.What+" job-report.xlsx Texts 2")
		}
		if !slices.Equal(all, want) {
			t.Errorf("%s: the notes are %q, want %q", what, all, want)
		}
	}
	many := noted("one", "two", "three", "four", "five", "six", "seven", "eight")
	redo("of eight notes", many, " 2")
	redo("of none", noted(), " 3")
	redo("of one more", noted("nine"), " 4")
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	_, err = f.NewSheet("notes 5")
	_, err2 := f.NewSheet("Notes 7")
	if err := errors.Join(err, err2, f.SetCellStr("notes 5", "A1", "OH-1: pears"), f.SetCellStr("Notes 7", "A1", "OH-2: plums"), f.Save(), f.Close()); err != nil {
		t.Fatal(err)
	}
	redo("beside sheets of somebody's own", noted("ten"), " 6", "notes 5: the sheet is not read", "Notes 7: the sheet is not read")
	f, err = excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	if v, err := f.GetCellValue("notes 5", "A1"); v != "OH-1: pears" || err != nil {
		t.Errorf("what somebody wrote is %q: %v", v, err)
	}
	// As a list of paper the report is read without a word.
	if paper, problems := intake.ReadPaper(path, s); len(problems) > 0 || len(paper) == 0 {
		t.Errorf("%d rows of paper: %v", len(paper), problems)
	}
}
