package report

import (
	"os"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/impose/account"
	"tuckmark/intake"
)

// A report whose sheets somebody renamed, in a way that meets the names that a redo gives, is redone twice: each time what comes out is read
// again, with all that was owed, the paper that is there once, and the sheets that were there.
func TestRedoOfRenamedSheets(t *testing.T) {
	longtests.Only(t)
	s := builtInSettings(t)
	for i := range s.Stocks {
		s.Stocks[i].Sheets = []config.Sheet{{Size: s.Guide, Count: 9, Price: 60}}
	}
	first := reportFile(t, lay(t, odd(s), nil, s))
	raw, err := os.ReadFile(first)
	if err != nil {
		t.Fatal(err)
	}
	count := func(t *testing.T, path string) (n int) {
		paper, problems := intake.ReadPaper(path, s)
		if problems.Errors() > 0 {
			t.Error(problems)
		}
		for _, p := range paper {
			n += p.Count
		}
		return n
	}
	sum := func(owed []account.Owed) (cents int64) {
		for _, o := range owed {
			cents += o.Cents
		}
		return cents
	}
	redo := func(t *testing.T, path string) (next string, added int64, sheets int) {
		e, problems := Open(path)
		if e == nil || problems.Errors() > 0 {
			t.Fatal(problems)
		}
		blocks, problems := e.Blocks([]string{"OH-1"}, s)
		paper, _ := e.Paper(s)
		if problems.Errors() > 0 {
			t.Fatal(problems)
		}
		in := lay(t, blocks, paper, s)
		in.Account.Other = e.Run()
		f, err := os.Create(filepath.Join(t.TempDir(), "redo.xlsx"))
		if err != nil {
			t.Fatal(err)
		}
		defer f.Close()
		if err := e.Redo(f, in); err != nil {
			t.Fatal(err)
		}
		book, err := excelize.OpenFile(f.Name())
		if err != nil {
			t.Fatal(err)
		}
		defer book.Close()
		again, problems := Open(f.Name())
		if again == nil || problems.Errors() > 0 {
			t.Fatal(problems)
		}
		return f.Name(), sum(again.owed) - sum(e.owed), len(book.GetSheetList())
	}
	plain, adds, sheets := redo(t, first)
	_, then, _ := redo(t, plain)
	papers := count(t, plain)
	for _, c := range []struct{ from, to string }{
		{"Account", "Account 2"}, {"Account", "ACCOUNT"}, {"Cuts", "cuts 2"}, {"Notes", "account 2"}, {"Leftovers", "leftovers"}, {"Leftovers", "Leftover"},
		{"Leftovers", "Blocks 2"}, {"Held back", "Cuts 3"},
	} {
		t.Run(c.from+" as "+c.to, func(t *testing.T) {
			path := filepath.Join(t.TempDir(), "renamed.xlsx")
			if err := os.WriteFile(path, raw, 0o600); err != nil {
				t.Fatal(err)
			}
			f, err := excelize.OpenFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if err := f.SetSheetName(c.from, c.to); err != nil {
				t.Fatal(err)
			}
			if err := f.Save(); err != nil {
				t.Fatal(err)
			}
			f.Close()
			next, added, n := redo(t, path)
			if got := count(t, next); got != papers || added != adds || n != sheets {
				t.Errorf("%d sheets of paper are listed, want %d; %d is owed more, want %d; %d sheets, want %d", got, papers, added, adds, n, sheets)
			}
			if _, added, n = redo(t, next); added != then || n != sheets+3 {
				t.Errorf("the second time: %d is owed more, want %d; %d sheets, want %d", added, then, n, sheets+3)
			}
		})
	}
}
