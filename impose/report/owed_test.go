package report

import (
	"errors"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
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
	// What people do to the columns of a later account doubles nobody's debt.
	heads, err := book.GetRows("Account 3")
	before := slices.Index(heads[0], owedBefore) + 1
	if err != nil || before == 0 {
		t.Fatal(heads, err)
	}
	column, _ := excelize.ColumnNumberToName(before)
	for name, edit := range map[string]func(f *excelize.File) error{
		"renamed": func(f *excelize.File) error { return f.SetCellStr("Account 3", column+"1", "from the first print") },
		"emptied": func(f *excelize.File) error { return f.SetCellValue("Account 3", column+"1", nil) },
		"deleted": func(f *excelize.File) error {
			// Its formula refers to the column: what a spreadsheet keeps beside it counts.
			pay, _ := excelize.ColumnNumberToName(len(heads[0]))
			for i := 2; i <= len(heads); i++ {
				at := pay + strconv.Itoa(i)
				if v, err := f.GetCellValue("Account 3", at, excelize.Options{RawCellValue: true}); err == nil && v != "" {
					if n, err := strconv.ParseFloat(v, 64); err == nil {
						if err := errors.Join(f.SetCellFormula("Account 3", at, ""), f.SetCellFloat("Account 3", at, n, -1, 64)); err != nil {
							return err
						}
					}
				}
			}
			return f.RemoveCol("Account 3", column)
		},
	} {
		f, err := excelize.OpenFile(path)
		if err != nil {
			t.Fatal(err)
		}
		changed := filepath.Join(t.TempDir(), "report.xlsx")
		if err := errors.Join(edit(f), f.SaveAs(changed), f.Close()); err != nil {
			t.Fatal(name, err)
		}
		e, problems := Open(changed)
		if e == nil || sum(e.owed) != total || len(problems) != 1 || problems[0].What != "the account is taken for one of the whole job" {
			t.Errorf("%s: %d is owed, want %d: %v", name, sum(e.owed), total, problems)
		}
	}
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

// TestOwedEdited: what people do to the account of a report takes nobody's debt away and adds none, or a note says so.
func TestOwedEdited(t *testing.T) {
	s := builtInSettings(t)
	for i := range s.Stocks {
		s.Stocks[i].Sheets = []config.Sheet{{Size: s.Guide, Count: -1, Price: 60}}
	}
	s.Costs = []config.Cost{{Name: "ink", Cents: 101, By: config.ByPerson}}
	all := odd(s)
	for i, name := range []string{"Ann Lo", "Bo Ek", "Cy Vane"} {
		all[i].Owner = name
	}
	original := reportFile(t, lay(t, all, nil, s))
	e, problems := Open(original)
	if len(problems) > 0 || len(e.owed) < 4 {
		t.Fatal(problems, e.owed)
	}
	owed := map[string]int64{}
	for _, o := range e.owed {
		owed[o.Owner] = o.Cents
	}
	bo := owed["Bo Ek"]
	last := len(e.owed) + 2 // the row of the total
	a := func(row int) string { return "A" + strconv.Itoa(row) }
	for name, c := range map[string]struct {
		edit func(f *excelize.File, pay string) error
		less int64  // is owed, by Bo
		says string // a note
	}{
		"as it is":               {func(f *excelize.File, pay string) error { return nil }, 0, ""},
		"a line below the total": {func(f *excelize.File, pay string) error { return f.SetCellStr("Account", a(last+1), "Ann pays for Bo") }, 0, ""},
		"an amount in such a one": {func(f *excelize.File, pay string) error {
			return f.SetCellStr("Account", pay+strconv.Itoa(last+1), "not yet")
		}, 0, "cannot be read"},
		"a row emptied": {func(f *excelize.File, pay string) error {
			for _, col := range []string{"A", "B", "C", "D", "E", "F", "G", "H", pay} {
				if err := f.SetCellValue("Account", col+"3", nil); err != nil {
					return err
				}
			}
			return nil
		}, bo, "does not add up"},
		"a row deleted":     {func(f *excelize.File, pay string) error { return f.RemoveRow("Account", 3) }, bo, "does not add up"},
		"an empty row":      {func(f *excelize.File, pay string) error { return f.InsertRows("Account", 4, 1) }, 0, ""},
		"the total deleted": {func(f *excelize.File, pay string) error { return f.RemoveRow("Account", last) }, 0, ""},
		"the total above": {func(f *excelize.File, pay string) error {
			return errors.Join(f.DuplicateRowTo("Account", last, 2), f.RemoveRow("Account", last+1))
		}, 0, ""},
		"a title": {func(f *excelize.File, pay string) error {
			return errors.Join(f.InsertRows("Account", 1, 2), f.SetCellStr("Account", "A1", "Our retreat"))
		}, 0, ""},
		"a column before": {func(f *excelize.File, pay string) error {
			return errors.Join(f.InsertCols("Account", "A", 1), f.SetCellStr("Account", "A1", "Paid?"), f.SetCellStr("Account", "A2", "yes"))
		}, 0, ""},
		"a heading's letters":         {func(f *excelize.File, pay string) error { return f.SetCellStr("Account", pay+"1", "to  PAY ") }, 0, ""},
		"another heading":             {func(f *excelize.File, pay string) error { return f.SetCellStr("Account", "A1", "Who") }, -1, "no account is in the report"},
		"another name":                {func(f *excelize.File, pay string) error { return f.SetSheetName("Account", "Account, paid") }, -1, "no account is in the report"},
		"deleted":                     {func(f *excelize.File, pay string) error { return f.DeleteSheet("Account") }, -1, "no account is in the report"},
		"the total written otherwise": {func(f *excelize.File, pay string) error { return f.SetCellStr("Account", a(last), "total:") }, 0, ""},
		"the total's other name":      {func(f *excelize.File, pay string) error { return f.SetCellStr("Account", a(last), "Summe") }, 0, "taken for the total"},
		"the total without a name":    {func(f *excelize.File, pay string) error { return f.SetCellValue("Account", a(last), nil) }, 0, "taken for the total"},
		"a copy that somebody made": {func(f *excelize.File, pay string) error {
			n, err := f.NewSheet("Account 2")
			from, err2 := f.GetSheetIndex("Account")
			return errors.Join(err, err2, f.CopySheet(from, n))
		}, 0, "no account of a run"},
		"a second column to pay": {func(f *excelize.File, pay string) error {
			n, _ := excelize.ColumnNameToNumber(pay)
			next, _ := excelize.ColumnNumberToName(n + 1)
			return errors.Join(f.SetCellStr("Account", next+"1", "To pay (rest)"), f.SetCellInt("Account", next+"2", 1))
		}, 0, ""},
		"a table beside": {func(f *excelize.File, pay string) error {
			n, _ := excelize.ColumnNameToNumber(pay)
			who, _ := excelize.ColumnNumberToName(n + 2)
			much, _ := excelize.ColumnNumberToName(n + 3)
			return errors.Join(f.SetCellStr("Account", who+"1", "Owner"), f.SetCellStr("Account", much+"1", "To pay"), f.SetCellStr("Account", who+"2", "Zed"), f.SetCellInt("Account", much+"2", 1))
		}, 0, ""},
		"somebody called so": {func(f *excelize.File, pay string) error { return f.SetCellStr("Account", "A3", "Total") }, 0, ""},
	} {
		f, err := excelize.OpenFile(original)
		if err != nil {
			t.Fatal(err)
		}
		heads, err := f.GetRows("Account")
		if err != nil {
			t.Fatal(err)
		}
		pay, _ := excelize.ColumnNumberToName(len(heads[0]))
		path := filepath.Join(t.TempDir(), "report.xlsx")
		if err := errors.Join(c.edit(f, pay), f.SaveAs(path), f.Close()); err != nil {
			t.Fatal(name, err)
		}
		e, problems := Open(path)
		if e == nil {
			t.Fatal(name, problems)
		}
		said := ""
		for _, p := range problems {
			said += p.What + "\n"
		}
		if (c.says == "") != (said == "") || !strings.Contains(said, c.says) {
			t.Errorf("%s: it says %q", name, said)
		}
		var sum, want int64
		for _, o := range e.owed {
			sum += o.Cents
			if o.Owner == "Zed" {
				t.Errorf("%s: Zed owes", name)
			}
		}
		for _, cents := range owed {
			want += cents
		}
		if c.less < 0 {
			want = 0
		} else {
			want -= c.less
		}
		if sum != want {
			t.Errorf("%s: %d is owed, want %d: %v", name, sum, want, e.owed)
		}
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

// A cost may be called what it likes: its column is not taken for that of the owners or of the sums.
func TestCostNamedLikeAColumn(t *testing.T) {
	for _, name := range []string{"to pay (post)", "To pay", "owner", "Blocks"} {
		s := builtInSettings(t)
		s.Costs = []config.Cost{{Name: name, Cents: 101, By: config.ByPerson}, {Name: "ink", Cents: 77, By: config.ByArea}}
		in := lay(t, odd(s), nil, s)
		e, problems := Open(reportFile(t, in))
		if len(problems) > 0 {
			t.Fatal(name, problems)
		}
		bill := account.Of(in.Account.Plan, s, nil).Bill()
		pay := bill.Pay()
		if len(e.owed) != len(pay) {
			t.Errorf("%s: owed %v, want %v", name, e.owed, pay)
		}
		for _, o := range e.owed {
			if pay[o.Owner] != o.Cents {
				t.Errorf("%s: %s owes %d, want %d", name, o.Owner, o.Cents, pay[o.Owner])
			}
		}
	}
}
