package report

import (
	"errors"
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// saidOf is what is said of a workbook as a report, each with the place that it is said of, and the report.
func saidOf(t *testing.T, f *excelize.File) (*Earlier, []string) {
	t.Helper()
	path := filepath.Join(t.TempDir(), "report.xlsx")
	if err := f.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if e == nil {
		t.Fatal(problems)
	}
	var said []string
	for _, p := range problems {
		said = append(said, strings.TrimPrefix(strings.TrimPrefix(p.Place.String(), "report.xlsx"), ", ")+": "+p.What)
	}
	return e, said
}

// redoneOnce is a report with prices after a block of it was printed again, as a workbook to be edited.
func redoneOnce(t *testing.T, s *config.Settings) *excelize.File {
	t.Helper()
	for i := range s.Stocks {
		s.Stocks[i].Sheets = []config.Sheet{{Size: s.Guide, Count: -1, Price: 60}}
	}
	e, problems := Open(reportFile(t, lay(t, odd(s), nil, s)))
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	blocks, _ := e.Blocks(e.Codes[:1], s)
	in := lay(t, blocks, nil, s)
	in.Account.Other = e.Run()
	return redoneAs(t, e, in)
}

// TestOwnSheetWithAReportsName: a sheet of somebody's own that is called like those that a redo adds is told of as any other, and is taken for no run: nothing is said of an
// account that it lacks, and what there is to say of the sheet of texts is said. An empty one is nothing.
func TestOwnSheetWithAReportsName(t *testing.T) {
	s := builtInSettings(t)
	for _, name := range []string{"Blocks 2", "blocks 2", "Blocks 7", "Cuts 2", "cuts 3", "Account 2", "account 5", "Held back 2", "Notes 2"} {
		for _, empty := range []bool{false, true} {
			f, rows := textsOf(t, s)
			_, err := f.NewSheet(name)
			want := []string{"sheet " + name + ": the sheet is not read"}
			if empty {
				want = nil
			} else {
				err = errors.Join(err, f.SetCellStr(name, "B3", "OH-1 in blue, please"), f.SetCellStr(name, "A4", "Owner"), f.SetCellStr(name, "B4", "Stock"))
			}
			below := len(rows) + 1 // a row with an invented code
			if err := errors.Join(err, f.SetCellStr(Texts, fmt.Sprint("A", below), "OH-9"), f.SetCellStr(Texts, fmt.Sprint("E", below), "A banner")); err != nil {
				t.Fatal(name, err)
			}
			e, said := saidOf(t, f)
			if !slices.Equal(said, want) {
				t.Errorf("%s, empty: %v: it is said %q, want %q", name, empty, said, want)
			}
			if _, found := e.Blocks(e.Codes[:1], s); len(found) != 1 || !strings.HasPrefix(found[0].What, "the row has the code “OH-9”") {
				t.Errorf("%s, empty: %v: of the invented code it is said %v", name, empty, found)
			}
			f.Close()
		}
	}
}

// TestCopiesWithAReportsName: a copy of another sheet that somebody called like one which a redo adds is told of as any other sheet. One of the blocks is looked through as they are, and said to
// have no account, which is not missed as that of a run is. A long sheet of somebody's own is as a short one.
func TestCopiesWithAReportsName(t *testing.T) {
	s := builtInSettings(t)
	for _, c := range []struct{ from, name, want string }{
		{Texts, "Blocks 3", "sheet Blocks 3: the sheet is not read"},
		{heldSheet, "Blocks 2", "sheet Blocks 2: the sheet is not read"},
		{cutsSheet, "Blocks 2", "sheet Blocks 2: the sheet is not read"},
		{Notes, "Cuts 2", "sheet Cuts 2: the sheet is not read"},
		{blocksSheet, "Cuts 2", "sheet Cuts 2: the sheet is not read"},
		{blocksSheet, "Account 2", "sheet Account 2: the sheet is not read"},
		{blocksSheet, "Blocks 2", ": no account goes with the sheet Blocks 2"},
		{"", "Blocks 2", "sheet Blocks 2: the sheet is not read"},
	} {
		f, _ := textsOf(t, s)
		to, err := f.NewSheet(c.name)
		if from, err2 := f.GetSheetIndex(c.from); c.from != "" {
			err = errors.Join(err, err2, f.CopySheet(from, to))
		} else {
			w, err2 := f.NewStreamWriter(c.name)
			err = errors.Join(err, err2)
			for i := range mostSought + 2 {
				err = errors.Join(err, w.SetRow(fmt.Sprint("A", i+1), []any{"in blue"}))
			}
			err = errors.Join(err, w.Flush())
		}
		if err != nil {
			t.Fatal(c, err)
		}
		if _, said := saidOf(t, f); !slices.Equal(said, []string{c.want}) {
			t.Errorf("%s as %s: it is said %q, want %q", c.from, c.name, said, c.want)
		}
		f.Close()
	}
}

// TestEditedSheetsOfARedo: the sheets of a redo stay the report's own, and its account counts, though somebody has renamed or taken out one of their headings, or written above them.
func TestEditedSheetsOfARedo(t *testing.T) {
	s := builtInSettings(t)
	owed := func(e *Earlier) (cents int64) {
		for _, o := range e.owed {
			cents += o.Cents
		}
		return cents
	}
	e, said := saidOf(t, redoneOnce(t, s))
	want := owed(e)
	if len(said) > 0 || want == 0 {
		t.Fatalf("as it was written it is said %q, and %d is owed", said, want)
	}
	for _, sheet := range []string{"Blocks 2", "Cuts 2", "Account 2"} {
		f := redoneOnce(t, s)
		heads, err := f.GetRows(sheet)
		if err != nil {
			t.Fatal(err)
		}
		for i, head := range heads[0] {
			if head == headOwner && sheet == "Account 2" || strings.HasPrefix(head, headPay) || head == owedBefore { // by which an account is read
				continue
			}
			at, _ := excelize.CoordinatesToCellName(i+1, 1)
			if err := f.SetCellStr(sheet, at, "Ours"); err != nil {
				t.Fatal(err)
			}
			if e, said := saidOf(t, f); len(said) > 0 || owed(e) != want {
				t.Errorf("%s without %s: %d is owed, want %d: %q", sheet, head, owed(e), want, said)
			}
			if err := f.SetCellStr(sheet, at, head); err != nil {
				t.Fatal(err)
			}
		}
		if err := errors.Join(f.InsertRows(sheet, 1, 2), f.SetCellStr(sheet, "A1", "The second print")); err != nil {
			t.Fatal(err)
		}
		if e, said := saidOf(t, f); len(said) > 0 || owed(e) != want {
			t.Errorf("%s with a line above: %d is owed, want %d: %q", sheet, owed(e), want, said)
		}
	}
	// Of a sheet of blocks nothing is left by which it would be known: that of cuts says that there was a run.
	f := redoneOnce(t, s)
	if err := f.RemoveRow("Blocks 2", 1); err != nil {
		t.Fatal(err)
	}
	if e, said := saidOf(t, f); !slices.Equal(said, []string{"sheet Blocks 2: the sheet is not read"}) || owed(e) != want {
		t.Errorf("blocks without headings: %d is owed, want %d: %q", owed(e), want, said)
	}
	// An account that is not there is missed still.
	f = redoneOnce(t, s)
	if err := f.DeleteSheet("Account 2"); err != nil {
		t.Fatal(err)
	}
	if _, said := saidOf(t, f); !slices.Equal(said, []string{": the last account is not in the report"}) {
		t.Errorf("without an account: %q", said)
	}
}

// TestHeadingsOfOwnSheets: every heading that a report writes counts for the sheet that it is written in, in any unit and currency.
func TestHeadingsOfOwnSheets(t *testing.T) {
	for _, unit := range []measure.Unit{measure.In, measure.Cm} {
		s := builtInSettings(t)
		s.Currency = "EUR"
		s.Unit = unit
		in := lay(t, odd(s), nil, s)
		in.Account = account.Of(in.Account.Plan, s, nil)
		f, err := excelize.OpenFile(reportFile(t, in))
		if err != nil {
			t.Fatal(err)
		}
		for sheet, heads := range ownHeads {
			rows, err := f.GetRows(sheet)
			if err != nil {
				t.Fatal(err)
			}
			n := 0
			for _, head := range rows[0] {
				if heads.all[withoutUnit(head)] {
					n++
				}
			}
			if n != len(heads.all) {
				t.Errorf("%s in %s: %d headings of %d are known: %q", sheet, unit, n, len(heads.all), rows[0])
			}
		}
		f.Close()
	}
}
