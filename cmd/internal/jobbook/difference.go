package jobbook

import (
	"maps"
	"slices"
)

// difference is the changes that lead from one state to another.
func difference(from, to *state) (changes []Change) {
	for s := range sheets {
		have := map[string]*Row{}
		for i := range from.Rows[s] {
			have[from.Rows[s][i].ID] = &from.Rows[s][i]
		}
		want := map[string]bool{}
		for i := range to.Rows[s] {
			want[to.Rows[s][i].ID] = true
		}
		var order []string // as it is while the changes are made
		for _, r := range from.Rows[s] {
			if want[r.ID] {
				order = append(order, r.ID)
				continue
			}
			changes = append(changes, Change{Kind: Remove, Sheet: s, ID: r.ID})
		}
		after := First
		for i := range to.Rows[s] {
			r := &to.Rows[s][i]
			was := have[r.ID]
			switch {
			case was == nil:
				changes = append(changes, Change{Kind: Insert, Sheet: s, ID: r.ID, After: after})
				order = slices.Insert(order, i, r.ID)
			case order[i] != r.ID:
				changes = append(changes, Change{Kind: Move, Sheet: s, ID: r.ID, After: after})
				k := slices.Index(order, r.ID)
				order = slices.Insert(slices.Delete(order, k, k+1), i, r.ID)
			}
			after = r.ID
			changes = append(changes, cells(s, r.ID, was, r)...)
		}
	}
	return changes
}

// cells are the changes to the cells of a row.
func cells(s Sheet, id string, from, to *Row) (changes []Change) {
	var was map[string]string
	if from != nil {
		was = from.Cells
	}
	columns := slices.Sorted(maps.Keys(to.Cells))
	for _, c := range slices.Sorted(maps.Keys(was)) {
		if to.Cells[c] == "" {
			columns = append(columns, c)
		}
	}
	for _, c := range columns {
		if was[c] != to.Cells[c] {
			changes = append(changes, Change{Kind: Set, Sheet: s, ID: id, Column: c, Text: to.Cells[c]})
		}
	}
	return changes
}
