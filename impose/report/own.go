package report

import (
	"slices"
	"strings"

	"tuckmark/intake/table"
)

// A redo adds sheets, and somebody may have a sheet of their own that is called like one of those: what is a report's own is known by its headings as well. Of these some
// will do, since people rename a column or take one out, and the account of a run must not get lost by that.

// ownHeads are headings of the sheets that a redo adds, but for notes, by the names of those sheets, and how many of them in one row make a sheet one of ours. What the sheet of
// texts, or that of what was held back, has as well does not count: a copy of one of them is somebody's own.
var ownHeads = map[string]struct {
	all  map[string]bool // as withoutUnit has them
	some int
}{
	blocksSheet:  {headsOf(fields((&book{}).blockColumns())), 3},
	cutsSheet:    {headsOf(fields((&book{}).cutColumns())), 3},
	accountSheet: {map[string]bool{withoutUnit(headOwner): true, withoutUnit(headBlocks): true, withoutUnit(headArea): true, withoutUnit(headPay): true}, 2},
}

func headsOf(columns []field) map[string]bool {
	all := map[string]bool{}
	for _, f := range columns {
		all[withoutUnit(f.head)] = true
	}
	delete(all, withoutUnit(headOwner))
	for _, f := range fields((&book{}).textColumns()) {
		delete(all, withoutUnit(f.head))
	}
	return all
}

// withoutUnit is a heading in small letters, without the unit or the currency behind it.
func withoutUnit(head string) string {
	head, _, _ = strings.Cut(plainHead(head), " (")
	return head
}

// mostSought is in how many rows headings are sought, since somebody may have sorted them in among the others.
const mostSought = 20_000

// own is what tells the sheets of a workbook that are the report's own from those of somebody's own.
type own struct {
	parts *table.Parts // nil: they cannot be opened, and names alone count
	runs  map[int]bool // by their numbers: those that a sheet of blocks is there for
}

// ownOf looks at the sheets of a workbook.
func ownOf(sheets []*table.Sheet, parts *table.Parts) *own {
	o := &own{parts: parts, runs: map[int]bool{}}
	for _, t := range sheets {
		n := sheetNumber(t.Name, blocksSheet)
		cutsOf := func(t *table.Sheet) bool { return sheetNumber(t.Name, cutsSheet) == n && o.isHeaded(t, cutsSheet) } // by which it is known that lost its headings
		if n == 1 || n > 1 && (o.isHeaded(t, blocksSheet) || slices.ContainsFunc(sheets, cutsOf)) {
			o.runs[n] = true
		}
	}
	return o
}

// is reports a sheet that a report has, or a redo adds to it. The first run's sheets go by their names, which no other sheet can have; that of texts and lists of
// paper are known otherwise.
func (o *own) is(t *table.Sheet) bool {
	for _, name := range []string{blocksSheet, heldSheet, Notes, Texts, leftoversSheet} {
		if strings.EqualFold(name, t.Name) {
			return true
		}
	}
	switch {
	case sheetNumber(t.Name, blocksSheet) > 0:
		return o.isHeaded(t, blocksSheet)
	case sheetNumber(t.Name, cutsSheet) > 0:
		return o.isHeaded(t, cutsSheet)
	case sheetNumber(t.Name, accountSheet) > 0: // what can be read as one is added up, or told of where there was no such run
		return headOf(t).row >= 0 || o.runs[sheetNumber(t.Name, accountSheet)] && o.isHeaded(t, accountSheet)
	}
	return isRedoNotes(t)
}

// isHeaded reports a sheet with headings of a kind of ours in one of its rows.
func (o *own) isHeaded(t *table.Sheet, kind string) bool {
	heads := ownHeads[kind]
	headed := func(r *table.Row) bool {
		met := map[string]bool{}
		for i := range r.Cells {
			if head := withoutUnit(r.Cells[i].Text); heads.all[head] {
				met[head] = true
			}
		}
		return len(met) >= heads.some
	}
	if len(t.Rows) > 0 || o.parts == nil {
		return o.parts == nil || slices.ContainsFunc(t.Rows, func(r table.Row) bool { return headed(&r) })
	}
	found, sought := false, 0
	whole := o.parts.Rows(t.Name, func(r table.Row) (more bool) { // long sheets are not held
		found = headed(&r)
		sought++
		return !found && sought < mostSought
	})
	return found || !whole // what cannot be read is not said to be somebody's
}

// isEmpty reports a sheet without a cell.
func (o *own) isEmpty(t *table.Sheet) bool {
	if len(t.Rows) > 0 || o.parts == nil {
		return len(t.Rows) == 0
	}
	empty := true
	o.parts.Rows(t.Name, func(table.Row) (more bool) {
		empty = false
		return false
	})
	return empty
}
