package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// What a redo calls what everyone owed before it: a column of its account, which tells an account of the whole job from one of a redo alone.
const owedBefore = "owed before"

// Run is the run that the report is of, with those that printed blocks again since, for the account of the next.
func (e *Earlier) Run() *account.Run {
	return &account.Run{Name: owedBefore, Owed: e.owed, Before: true}
}

// Since is what was printed again between an older report of the job and this one.
func (e *Earlier) Since(older *Earlier) *account.Run {
	run := &account.Run{Name: "printing again"}
	were := map[string]int64{}
	for _, o := range older.owed {
		were[o.Owner] = o.Cents
	}
	for _, o := range e.owed {
		if o.Cents -= were[o.Owner]; o.Cents != 0 {
			run.Owed = append(run.Owed, o)
		}
	}
	return run
}

// readOwed adds up what everyone owes by the accounts of a report. An amount that cannot be read is a note.
func (e *Earlier) readOwed(sheets []*table.Sheet) (list problem.List) {
	type numbered struct {
		*table.Sheet
		n int
	}
	var accounts []numbered // in the order that they were added in: a number may be missing, where a sheet of that name was somebody's own
	for _, s := range sheets {
		if n := accountNumber(s.Name); n > 0 && len(s.Rows) > 0 {
			accounts = append(accounts, numbered{s, n})
		}
	}
	slices.SortFunc(accounts, func(a, b numbered) int { return cmp.Compare(a.n, b.n) })
	for _, s := range accounts {
		pay := slices.IndexFunc(s.Rows[0].Cells, func(c table.Cell) bool { return c.Text == headPay || strings.HasPrefix(c.Text, headPay+" (") })
		if pay < 0 {
			continue
		}
		if slices.ContainsFunc(s.Rows[0].Cells, func(c table.Cell) bool { return c.Text == owedBefore }) {
			e.owed = nil
		}
		list = append(list, e.addOwed(s.Sheet, s.Rows[0].Cells[pay].Col)...)
	}
	return list
}

// accountNumber is which account of a report a sheet is by its name, from 1; 0: none.
func accountNumber(name string) int {
	rest, ok := strings.CutPrefix(strings.ToLower(name), strings.ToLower(accountSheet))
	switch n, err := strconv.Atoi(strings.TrimPrefix(rest, " ")); {
	case !ok:
		return 0
	case rest == "":
		return 1
	case err != nil || n < 2 || rest != fmt.Sprintf(" %d", n):
		return 0
	default:
		return n
	}
}

// addOwed adds the column of an account that says what to pay. Its rows end with the total, above an empty row.
func (e *Earlier) addOwed(s *table.Sheet, pay int) (list problem.List) {
	rows := s.Rows[1:]
	for i := range rows {
		if i > 0 && rows[i].N != rows[i-1].N+1 {
			rows = rows[:i]
			break
		}
	}
	if n := len(rows) - 1; n >= 0 && textAt(&rows[n], 0) == totalRow {
		rows = rows[:n]
	}
	place := map[string]int{}
	for i, o := range e.owed {
		place[o.Owner] = i
	}
	for i := range rows {
		c := rows[i].At(pay)
		if c == nil {
			continue
		}
		cents, ok := intake.Amount(c)
		owner := textAt(&rows[i], 0)
		if !ok {
			list.Note(problem.Place{File: e.Name(), Sheet: s.Name, Row: rows[i].N}, fmt.Sprintf("what %s owes cannot be read", owner),
				fmt.Sprintf("“%s” is no amount", problem.Line(c.Text)), "the account is without it; enter an amount like 3.50 there to have it added")
			continue
		}
		at, known := place[owner]
		if !known {
			at = len(e.owed)
			place[owner] = at
			e.owed = append(e.owed, account.Owed{Owner: owner})
		}
		e.owed[at].Cents += cents
	}
	return list
}
