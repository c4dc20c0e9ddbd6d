package report

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/intake"
)

// TestOfNoBlock: what somebody has written into a report and is of none of its blocks is told of with its place and its words, whichever blocks are printed again; what
// is of a block that is not printed again is not.
func TestOfNoBlock(t *testing.T) {
	s := builtInSettings(t)
	remark := func(f *excelize.File, sheet, cell string) error {
		return f.AddComment(sheet, excelize.Comment{Cell: cell, Author: "Ann", Text: "in blue, please"})
	}
	for _, c := range []struct {
		what   string
		change func(f *excelize.File, col func(sheet, heading string) string, below map[string]int) error
		want   []string // of the first block, and no word of OH-3
	}{
		{"as it was", func(*excelize.File, func(string, string) string, map[string]int) error { return nil }, nil},
		{"a line above the texts", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return errors.Join(f.InsertRows(Texts, 1, 2), f.SetCellStr(Texts, "A1", "OH-1 again in blue"), f.SetCellInt(Texts, "C2", 4))
		}, []string{"sheet Texts, row 1, cell A1: cell A1 stands above the headings and is not read: “OH-1 again in blue”", "sheet Texts, row 2, cell C2: cell C2 stands above the headings and is not read: “4”"}},
		{"a line above the blocks", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return errors.Join(f.InsertRows(blocksSheet, 1, 1), f.SetCellStr(blocksSheet, "B1", "OH-1 again in blue"))
		}, []string{"sheet Blocks, row 1, cell B1: cell B1 stands above the headings and is not read: “OH-1 again in blue”"}},
		{"a line above blocks of an older report", func(f *excelize.File, col func(string, string) string, _ map[string]int) error {
			return errors.Join(f.RemoveCol(blocksSheet, col(blocksSheet, headWritten)), f.InsertRows(blocksSheet, 1, 1), f.SetCellStr(blocksSheet, "B1", "in blue"))
		}, []string{"sheet Blocks, row 1, cell B1: cell B1 stands above the headings and is not read: “in blue”"}},
		{"a sentence below the names", func(f *excelize.File, col func(string, string) string, below map[string]int) error {
			return f.SetCellStr(Texts, col(Texts, "Name")+fmt.Sprint(below[Texts]+1), "OH-1 again in blue")
		}, []string{"sheet Texts, row 10: the row has no code, and is not printed again: “OH-1 again in blue”"}},
		{"a row without a text", func(f *excelize.File, col func(string, string) string, below map[string]int) error {
			row := fmt.Sprint(below[Texts])
			return errors.Join(f.SetCellStr(Texts, col(Texts, "Name")+row, "Anna"), f.SetCellStr(Texts, col(Texts, "Title")+row, "a banner"), f.SetCellStr(Texts, col(Texts, "Space")+row, "4 x 2 in"))
		}, []string{"sheet Texts, row 9: the row has no code, and is not printed again: “Anna”, “a banner”, “4 x 2 in”"}},
		{"a word below where the rows came from", func(f *excelize.File, col func(string, string) string, below map[string]int) error {
			return f.SetCellStr(Texts, col(Texts, headFile)+fmt.Sprint(below[Texts]), "in blue")
		}, []string{"sheet Texts, row 9: the row has no code, and is not printed again: “in blue”"}},
		{"a reason below what was held back", func(f *excelize.File, col func(string, string) string, below map[string]int) error {
			row := fmt.Sprint(below[Texts])
			return errors.Join(f.SetCellStr(Texts, col(Texts, "Name")+row, "Zoe"), f.SetCellStr(Texts, col(Texts, headHeld)+row, "print her boat"))
		}, []string{"sheet Texts, row 9: the row has no code, and is not printed again: “Zoe”, “print her boat”"}},
		{"a heading with a blank behind it", func(f *excelize.File, col func(string, string) string, _ map[string]int) error {
			return f.SetCellStr(Texts, col(Texts, headMirrored)+"1", headMirrored+" ")
		}, nil},
		{"remarks on headings", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return errors.Join(remark(f, Texts, "B1"), remark(f, blocksSheet, "B1"))
		}, []string{"sheet Texts, row 1, cell B1: a remark on the cell: “in blue, please”", "sheet Blocks, row 1, cell B1: a remark on the cell: “in blue, please”"}},
		{"a remark on a heading that names a unit", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return f.AddComment(Texts, excelize.Comment{Cell: "B1", Author: "Ann", Text: "all in cm"})
		}, []string{"sheet Texts, row 1, cell B1: a remark on the cell: “all in cm”"}},
		{"remarks below the blocks", func(f *excelize.File, _ func(string, string) string, below map[string]int) error {
			return errors.Join(remark(f, Texts, fmt.Sprint("B", below[Texts]+2)), remark(f, blocksSheet, fmt.Sprint("B", below[blocksSheet]+2)))
		}, []string{"sheet Blocks, row 13, cell B13: a remark on the cell: “in blue, please”", "sheet Texts, row 11, column Name (B11): a remark on the cell: “in blue, please”"}},
		{"remarks on the rows of another block", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return errors.Join(remark(f, Texts, "B4"), remark(f, blocksSheet, "B4"))
		}, nil},
		{"a row with a code of its own", func(f *excelize.File, col func(string, string) string, below map[string]int) error {
			row := fmt.Sprint(below[Texts])
			return errors.Join(f.SetCellStr(Texts, col(Texts, headCode)+row, "OH-9"), f.SetCellStr(Texts, col(Texts, "Name")+row, "Anna"), f.SetCellStr(Texts, col(Texts, "Journaling")+row, "A banner"), f.SetCellStr(Texts, col(Texts, "Space")+row, "4 x 2 in"))
		}, []string{"sheet Texts, row 9: the row has the code “OH-9”, and nothing of it was printed yet"}},
		{"rows of no block", func(f *excelize.File, _ func(string, string) string, below map[string]int) error {
			return errors.Join(f.SetCellStr(blocksSheet, fmt.Sprint("D", below[blocksSheet]+1), "and this"), f.SetCellStr(blocksSheet, fmt.Sprint("D", below[blocksSheet]+5), "and that"), f.SetCellStr(blocksSheet, fmt.Sprint("D", below[blocksSheet]+6), "and those"))
		}, []string{"sheet Blocks, row 12: 3 rows of no block of the report, not read: 12 and 16-17"}},
		{"sentences beside the headings", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return errors.Join(f.SetCellStr(Texts, "X1", "OH-1 again in blue"), f.SetCellStr(Texts, "Z1", "print the journaling larger, please"), f.SetCellInt(Texts, "AA1", 4),
				f.SetCellStr(blocksSheet, "X1", "OH-1 again in blue"), f.SetCellStr(blocksSheet, "Z1", "the stock of Ann"))
		}, []string{"sheet Texts, row 1, cell X1: cell X1 stands beside the headings and is not read: “OH-1 again in blue”", "sheet Texts, row 1, cell Z1: cell Z1 stands beside the headings and is not read: “print the journaling larger, please”",
			"sheet Texts, row 1, cell AA1: cell AA1 stands beside the headings and is not read: “4”",
			"sheet Blocks, row 1, cell X1: cell X1 stands beside the headings and is not read: “OH-1 again in blue”", "sheet Blocks, row 1, cell Z1: cell Z1 stands beside the headings and is not read: “the stock of Ann”"}},
		{"a sentence beside the headings of an older report", func(f *excelize.File, col func(string, string) string, _ map[string]int) error {
			return errors.Join(f.RemoveCol(blocksSheet, col(blocksSheet, headWritten)), f.SetCellStr(blocksSheet, "X1", "in blue"), f.SetCellStr(blocksSheet, "X2", "yes"))
		}, []string{"sheet Blocks, row 1, cell X1: cell X1 stands beside the headings and is not read: “in blue”"}},
		{"columns of one's own", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return errors.Join(f.SetCellStr(Texts, "X1", "Correction"), f.SetCellStr(Texts, "X2", "in blue"), f.SetCellStr(blocksSheet, "X1", "Correction"), f.SetCellStr(blocksSheet, "X2", "in blue"))
		}, []string{"sheet Texts: not read: “Correction”", "sheet Blocks, row 2: the row of OH-1 was changed here, where it is not read"}},
		{"columns of one's own for another block", func(f *excelize.File, _ func(string, string) string, _ map[string]int) error {
			return errors.Join(f.SetCellStr(Texts, "X1", "Correction"), f.SetCellStr(Texts, "X4", "in blue"), f.SetCellStr(blocksSheet, "X1", "Correction"), f.SetCellStr(blocksSheet, "X4", "in blue"))
		}, []string{"sheet Blocks, row 1, cell X1: cell X1 stands beside the headings and is not read: “Correction”"}},
		{"a column of one's own below the blocks", func(f *excelize.File, _ func(string, string) string, below map[string]int) error {
			return errors.Join(f.SetCellStr(blocksSheet, "X1", "Correction"), f.SetCellStr(blocksSheet, fmt.Sprint("X", below[blocksSheet]), "in blue"))
		}, []string{"sheet Blocks, row 11: 1 row of no block of the report, not read"}},
		{"a heading that was renamed, and one in other letters", func(f *excelize.File, col func(string, string) string, _ map[string]int) error {
			return errors.Join(f.SetCellStr(blocksSheet, col(blocksSheet, "Stock")+"1", "Paper"), f.SetCellStr(Texts, col(Texts, "Title")+"1", " title"))
		}, []string{"sheet Blocks, row 2: the row of OH-1 was changed here, where it is not read"}},
	} {
		f, rows := textsOf(t, s)
		col := func(sheet, heading string) string {
			all, err := f.GetRows(sheet)
			if err != nil {
				t.Fatal(err)
			}
			name, _ := excelize.ColumnNumberToName(slices.Index(all[0], heading) + 1)
			return name
		}
		laid, err := f.GetRows(blocksSheet)
		if err != nil {
			t.Fatal(err)
		}
		below := map[string]int{Texts: len(rows) + 1, blocksSheet: len(laid) + 1}
		path := filepath.Join(t.TempDir(), "report.xlsx")
		if err := errors.Join(c.change(f, col, below), f.SaveAs(path), f.Close()); err != nil {
			t.Fatal(c.what, err)
		}
		e, problems := Open(path)
		if e == nil {
			t.Fatal(c.what, problems)
		}
		_, found := e.Blocks([]string{"OH-1"}, s)
		var said []string
		for _, p := range append(problems, found...) {
			if p.Severity != problem.Note {
				t.Errorf("%s: %v", c.what, p)
			}
			said = append(said, strings.TrimPrefix(p.Place.String(), "report.xlsx, ")+": "+p.What)
		}
		if !slices.Equal(said, c.want) {
			t.Errorf("%s:\n got %q\nwant %q", c.what, said, c.want)
		}
	}
}

// A row that was held back and has no code, since nobody's name stands in it, is the report's own.
func TestHeldWithoutACode(t *testing.T) {
	s := builtInSettings(t)
	in := lay(t, odd(s)[:1], nil, s)
	plan := in.Account.Plan
	plan.Held = append(plan.Held, intake.Held{Place: problem.Place{File: "week.csv", Row: 40}, Why: "the name is missing"})
	in.Account = account.Of(plan, s, nil)
	e, problems := Open(reportFile(t, in))
	if e == nil || len(problems) > 0 {
		t.Fatal(problems)
	}
	if _, found := e.Blocks(e.Codes, s); len(found) > 0 {
		t.Errorf("of a report as it was written it is said: %v", found)
	}
}

// TestBesideThePaper: what somebody wrote above the headings of the list of paper, or where it is not read, is told with its words, since the list is written anew without them; the unit
// that is said there is read.
func TestBesideThePaper(t *testing.T) {
	s := builtInSettings(t)
	f, _ := textsOf(t, s)
	defer f.Close()
	if err := errors.Join(f.InsertRows(leftoversSheet, 1, 3), f.SetCellStr(leftoversSheet, "A1", "in the blue\nfolder"), f.SetCellStr(leftoversSheet, "B1", "at Ann's"), f.SetCellStr(leftoversSheet, "A2", "All measures in inches"),
		f.SetCellInt(leftoversSheet, "D3", 12), f.SetCellStr(leftoversSheet, "H4", "for the next retreat"), f.SetCellStr(leftoversSheet, "I4", "the rest is at Ben's"),
		f.SetCellStr(leftoversSheet, "J4", "1"), f.SetCellStr(leftoversSheet, "K4", "2"), f.SetCellStr(leftoversSheet, "L4", "3"), f.SetCellStr(leftoversSheet, "M4", "4"), f.SetCellStr(leftoversSheet, "N4", "5"), f.SetCellStr(leftoversSheet, "P5", "6")); err != nil {
		t.Fatal(err)
	}
	e, _ := saidOf(t, f)
	_, found := e.Paper(s)
	var said []string
	for _, p := range found {
		said = append(said, p.What)
	}
	want := []string{"cells above the headings were not read: A1:B1 and D3 (“in the blue folder”, “at Ann's”, “12”)",
		"cells of the list of paper were not read: H4:N4 and P5 (“for the next retreat”, “the rest is at Ben's”, “1”, “2”, “3”, 3 more)"}
	if !slices.Equal(said, want) {
		t.Errorf("it is said\n%q, want\n%q", said, want)
	}
}

// TestHeadingsInOtherLetters: a heading that is read is not told as one that is not, in whatever letters it is typed, and nor is one of the form's that somebody has added.
func TestHeadingsInOtherLetters(t *testing.T) {
	s := builtInSettings(t)
	raw, rows := textsOf(t, s)
	raw.Close()
	own := rows[0]
	for _, head := range append(slices.Clone(own), "Copies", "Turn", "Width (in)") {
		for _, as := range []string{strings.ToLower(head), " " + strings.ToUpper(head)} {
			f, _ := textsOf(t, s)
			col := len(own)
			if n := slices.Index(own, head); n >= 0 {
				col = n
			}
			at, _ := excelize.ColumnNumberToName(col + 1)
			if err := f.SetCellStr(Texts, at+"1", as); err != nil {
				t.Fatal(err)
			}
			e, said := saidOf(t, f)
			f.Close()
			_, found := e.Blocks([]string{"OH-1"}, s)
			for _, p := range found {
				said = append(said, p.What)
			}
			for _, what := range said {
				if strings.Contains(what, "not read") {
					t.Errorf("%q: %s", as, what)
				}
			}
		}
	}
	f, _ := textsOf(t, s) // what is none of them is still told
	defer f.Close()
	at, _ := excelize.ColumnNumberToName(len(own) + 1)
	if err := f.SetCellStr(Texts, at+"1", "in blue"); err != nil {
		t.Fatal(err)
	}
	if _, said := saidOf(t, f); len(said) != 1 || !strings.Contains(said[0], "is not read: “in blue”") {
		t.Error(said)
	}
}
