package report

import (
	"os"
	"path/filepath"
	"slices"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/impose/account"
)

// TestOwed: what everyone owes goes on from report to report: paper and other costs once, then the paper of each redo. Reports from before
// the column of what was owed are added up; what a person wrote there counts, and an amount that cannot be read is told.
func TestOwed(t *testing.T) {
	s := builtInSettings(t)
	for i := range s.Stocks {
		s.Stocks[i].Sheets = []config.Sheet{{Size: s.Guide, Count: -1, Price: 60}}
	}
	s.Costs = []config.Cost{{Name: "ink", Cents: 101, By: config.ByPerson}}
	all := odd(s)
	all[1].Owner, all[2].Owner = "Simeon Brandt", "Total" // which is not the row of the total
	path := reportFile(t, lay(t, all, nil, s))
	open := func() *Earlier {
		t.Helper()
		e, problems := Open(path)
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		return e
	}
	first := open()
	want := account.Of(lay(t, all, nil, s).Account.Plan, s, nil)
	bill := want.Bill()
	if pay := bill.Pay(); len(first.owed) != len(pay) {
		t.Errorf("owed %v, want %v", first.owed, pay)
	} else {
		for _, o := range first.owed {
			if pay[o.Owner] != o.Cents {
				t.Errorf("%s owes %d, want %d", o.Owner, o.Cents, pay[o.Owner])
			}
		}
	}
	total := bill.Total()
	for range 2 {
		e := open()
		blocks, _ := e.Blocks([]string{"OH-1", "OH-3"}, s)
		in := lay(t, blocks, nil, s)
		for _, u := range in.Account.Plan.Stocks {
			total += u.Cents
		}
		in.Account.Other = e.Run()
		f, err := os.Create(filepath.Join(t.TempDir(), "redo.xlsx"))
		if err != nil {
			t.Fatal(err)
		}
		if err := e.Redo(f, in); err != nil {
			t.Fatal(err)
		}
		f.Close()
		path = f.Name()
	}
	last := open()
	sum := func(owed []account.Owed) (cents int64) {
		for _, o := range owed {
			cents += o.Cents
		}
		return cents
	}
	if got := sum(last.owed); got != total {
		t.Errorf("after two redos %d is owed, want %d", got, total)
	}
	if since := last.Since(first); since.Before || sum(since.Owed) != total-bill.Total() || !slices.ContainsFunc(since.Owed, func(o account.Owed) bool { return o.Owner == "Odile Hart" }) {
		t.Errorf("printed again since: %+v, want %d", since, total-bill.Total())
	}
	book, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	if err := book.SetCellStr("Account 3", "A2", "Somebody"); err != nil {
		t.Fatal(err)
	}
	rows, _ := book.GetRows("Account 3")
	pay, _ := excelize.CoordinatesToCellName(len(rows[0]), 2)
	if err := book.SetCellStr("Account 3", pay, "lots"); err != nil {
		t.Fatal(err)
	}
	path = filepath.Join(t.TempDir(), "changed.xlsx")
	if err := book.SaveAs(path); err != nil {
		t.Fatal(err)
	}
	e, problems := Open(path)
	if e == nil || len(problems) != 1 || problems[0].What != "what Somebody owes cannot be read" || problems[0].Place.Sheet != "Account 3" {
		t.Errorf("%v", problems)
	}
}

// TestSaidAsTyped: how costs are shared stands below the account as it was typed, whatever a spreadsheet takes for an escape.
func TestSaidAsTyped(t *testing.T) {
	s := builtInSettings(t)
	s.Costs = []config.Cost{{Name: "ink _x0041_", Cents: 101, By: config.ByPerson}}
	in := lay(t, odd(s), nil, s)
	book, err := excelize.OpenFile(reportFile(t, in))
	if err != nil {
		t.Fatal(err)
	}
	defer book.Close()
	rows, err := book.GetRows(accountSheet)
	if said := in.Account.How(); err != nil || !slices.ContainsFunc(rows, func(r []string) bool { return slices.Contains(r, said) }) {
		t.Errorf("%q is not there: %v %q", said, err, rows)
	}
}
