package report

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config"
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

// numbered is one of the sheets that a redo adds to: the first has the number 1.
type numbered struct {
	*table.Sheet
	n int
}

// readOwed adds up what everyone owes by the accounts of a report. What cannot be read, or does not add up, is a note: people write there who has
// paid, and what counts is what stands there. Runs are the numbers of those that are known by their sheets of blocks.
func (e *Earlier) readOwed(sheets []*table.Sheet, runs map[int]bool) (list problem.List) {
	var accounts []numbered // in the order that they were added in: a number may be missing, where a sheet of that name was somebody's own
	printed := 0            // the number of the last run by its sheet of blocks
	owners := map[string]bool{}
	for i, name := e.texts.Head+1, e.column("Name"); i < len(e.texts.Rows); i++ {
		owners[textAt(&e.texts.Rows[i], name)] = true
	}
	for _, s := range sheets {
		if n := sheetNumber(s.Name, accountSheet); n > 0 && len(s.Rows) > 0 {
			accounts = append(accounts, numbered{s, n})
		}
		if n := sheetNumber(s.Name, blocksSheet); runs[n] {
			printed = max(printed, n)
		}
	}
	slices.SortFunc(accounts, func(a, b numbered) int { return cmp.Compare(a.n, b.n) })
	last := 0 // the number of the last account that was read
	for _, s := range accounts {
		h := headOf(s.Sheet)
		if h.row < 0 {
			continue
		}
		if len(runs) > 0 && !runs[s.n] {
			list.Note(problem.Place{File: e.Name(), Sheet: s.Name}, "the sheet is no account of a run", fmt.Sprintf("there is no sheet %s of that number", blocksSheet), "what it says is not added; it may stay")
			continue
		}
		// Each account but the first is of all before it as well: a column may be renamed or taken out, and nobody's debt is doubled.
		if whole := s.n > 1 && runs[s.n]; h.before || whole {
			if !h.before && slices.ContainsFunc(e.owed, func(o account.Owed) bool { return o.Cents != 0 }) {
				list.Note(problem.Place{File: e.Name(), Sheet: s.Name}, "the account is taken for one of the whole job", fmt.Sprintf("it has no column %s any more", owedBefore),
					"look whether its last column is all that everyone owes, what was owed before among it")
			}
			e.owed = nil
		}
		last = s.n
		list = append(list, e.addOwed(s.Sheet, h, owners)...)
	}
	if last < max(printed, 1) {
		name := accountSheet
		if printed > 1 {
			name = fmt.Sprintf("%s %d", accountSheet, printed)
		}
		what := "the last account is not in the report"
		if last == 0 {
			what = "no account is in the report"
		}
		hint := "what everyone owed by it is not in the new account; give the sheet its name and headings back to have it added"
		if last > 0 && !slices.ContainsFunc(sheets, func(s *table.Sheet) bool { return sheetNumber(s.Name, cutsSheet) == printed }) { // a redo adds one
			laid := fmt.Sprintf("%s %d", blocksSheet, printed)
			what, hint = "no account goes with the sheet "+laid, "if "+laid+" is a copy that somebody made, nothing is missing; else "+hint
		}
		list.Note(problem.Place{File: e.Name()}, what, fmt.Sprintf("no sheet %s has the headings %s and %s", name, headOwner, headPay), hint)
	}
	return list
}

// accountHead is where an account has what is read: the place of its headings among the rows, -1 where it has none, and the columns under them.
type accountHead struct {
	row, owner, pay int
	before          bool // it has what was owed before in it
}

// headOf finds the headings of an account, below whatever somebody wrote above them.
func headOf(s *table.Sheet) accountHead {
	for i := range s.Rows {
		h := accountHead{row: i, owner: -1, pay: -1}
		for _, c := range s.Rows[i].Cells {
			switch {
			// A second one is somebody's own.
			case isOwnerHead(c.Text):
				if h.owner < 0 {
					h.owner = c.Col
				}
			case isPayHead(c.Text):
				if h.pay < 0 {
					h.pay = c.Col
				}
			case plainHead(c.Text) == owedBefore:
				h.before = true
			}
		}
		if h.owner >= 0 && h.pay >= 0 {
			return h
		}
	}
	return accountHead{row: -1}
}

func plainHead(text string) string { return strings.ToLower(strings.Join(strings.Fields(text), " ")) }

func isOwnerHead(text string) bool { return plainHead(text) == strings.ToLower(headOwner) }

// isPayHead reports the heading of the sums, with or without a currency behind it.
func isPayHead(text string) bool {
	pay := strings.ToLower(headPay)
	return plainHead(text) == pay || strings.HasPrefix(plainHead(text), pay+" (")
}

// sheetNumber is which of a report's sheets of a kind one is by its name, from 1; 0: none.
func sheetNumber(name, kind string) int {
	rest, ok := strings.CutPrefix(strings.ToLower(name), strings.ToLower(kind))
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

// debt is a row of an account.
type debt struct {
	row   *table.Row
	owner string
	cents int64
}

// addOwed adds the column of an account that says what to pay. People sort its rows, empty those of who has paid, and write beside and below them:
// a row counts that has an amount, down to the table of what was used, but for the total. Owners are those of the blocks that were printed.
func (e *Earlier) addOwed(s *table.Sheet, h accountHead, owners map[string]bool) (list problem.List) {
	var debts []debt
	for i := h.row + 1; i < len(s.Rows); i++ {
		r := &s.Rows[i]
		if has := func(head string) bool {
			return slices.ContainsFunc(r.Cells, func(c table.Cell) bool { return c.Text == head })
		}; has(headStock) && has(headUsed) {
			break
		}
		c := r.At(h.pay)
		if c == nil || c.Covered || c.Kind == table.Text && strings.TrimSpace(c.Text) == "" {
			continue
		}
		owner := textAt(r, h.owner)
		cents, ok := intake.Amount(c)
		if !ok {
			list.Note(problem.Place{File: e.Name(), Sheet: s.Name, Row: r.N}, fmt.Sprintf("what %s owes cannot be read", cmp.Or(owner, "somebody")),
				fmt.Sprintf("“%s” is no amount", problem.Line(c.Text)), "the account is without it; enter an amount like 3.50 there to have it added")
			continue
		}
		debts = append(debts, debt{r, owner, cents})
	}
	sum := int64(0)
	for _, d := range debts {
		sum += d.cents
	}
	// The row of the total: where somebody is called so too, the one that is the sum of all others, else the last. One that was given another name is
	// known by its sum, since no block is of an owner of that name.
	total, named := -1, false
	for i, d := range debts {
		is, sums := isTotal(d.owner), d.cents == sum-d.cents
		switch {
		case is && (!named || sums || debts[total].cents != sum-debts[total].cents):
			total, named = i, true
		case !is && !named && sums && len(debts) > 1 && d.cents != 0 && !owners[d.owner]:
			total = i
		}
	}
	if total >= 0 {
		t := debts[total]
		at := problem.Place{File: e.Name(), Sheet: s.Name, Row: t.row.N}
		switch sum -= t.cents; {
		case !named:
			list.Note(at, "the row is taken for the total", "it is the sum of all others, and no block is of such an owner", "")
		case sum != t.cents && len(list) == 0:
			list.Note(at, "the account does not add up", fmt.Sprintf("its rows come to %s, and its total is %s", plainAmount(sum), plainAmount(t.cents)),
				"the rows count; nothing is to be done where one was changed because somebody has paid")
		}
		debts = slices.Delete(debts, total, total+1)
	}
	place := map[string]int{}
	for i, o := range e.owed {
		place[o.Owner] = i
	}
	for _, d := range debts {
		at, known := place[d.owner]
		if !known {
			at = len(e.owed)
			place[d.owner] = at
			e.owed = append(e.owed, account.Owed{Owner: d.owner})
		}
		e.owed[at].Cents += d.cents
	}
	return list
}

// isTotal reports the name of the row of the total, as people write it.
func isTotal(owner string) bool {
	return strings.EqualFold(strings.TrimSuffix(strings.TrimSpace(owner), ":"), totalRow)
}

// plainAmount are hundredths as an account's cells show them.
func plainAmount(cents int64) string { return (&config.Settings{}).Amount(cents) }
