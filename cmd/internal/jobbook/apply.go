package jobbook

import (
	"maps"
	"slices"

	"tuckmark/config/problem"
)

// apply is the state after some changes, and the changes that lead back. All are made or none. Rows that do not change are shared
// between the states.
func (s *state) apply(changes []Change) (after *state, back []Change, why *problem.Problem) {
	after, back, _, why = s.make(changes, false)
	if why != nil {
		return nil, nil, why
	}
	return after, back, nil
}

// possible are those of some changes that can be made, one after the other; the others are left out.
func (s *state) possible(changes []Change) []Change {
	_, _, some, _ := s.make(changes, true)
	return some
}

// make makes changes up to the first that cannot be made, or passes over those: then it returns those that were made, too.
func (s *state) make(changes []Change, passes bool) (after *state, back, made []Change, why *problem.Problem) {
	after = &state{Rows: s.Rows, Columns: s.Columns, size: s.size}
	var own [sheets]bool       // whose slices are this state's own
	fresh := map[string]bool{} // rows whose cells are this state's own
	back = make([]Change, 0, len(changes))
	for _, c := range changes {
		if why := after.check(&c); why != nil {
			if passes {
				continue
			}
			return nil, nil, nil, why
		}
		if !own[c.Sheet] {
			after.Rows[c.Sheet], own[c.Sheet] = slices.Clone(after.Rows[c.Sheet]), true
		}
		n := len(back)
		back = after.one(&c, fresh, back)
		slices.Reverse(back[n:])
		if passes {
			made = append(made, c)
		}
	}
	slices.Reverse(back)
	return after, back, made, nil
}

// one makes a checked change in place, and adds the changes that undo it, in their order, to others.
func (s *state) one(c *Change, fresh map[string]bool, back []Change) []Change {
	if c.Kind == head {
		s.head(c.Sheet, c.Column)
		return back
	}
	rows := s.Rows[c.Sheet]
	at := find(rows, c.ID)
	switch c.Kind {
	case Set:
		r := &rows[at]
		back = append(back, Change{Kind: Set, Sheet: c.Sheet, ID: c.ID, Column: c.Column, Text: r.Cells[c.Column]})
		s.size += len(c.Text) - len(r.Cells[c.Column])
		if !fresh[c.ID] {
			r.Cells, fresh[c.ID] = maps.Clone(r.Cells), true
		}
		if c.Text == "" {
			delete(r.Cells, c.Column)
			return back
		}
		if r.Cells == nil {
			r.Cells = map[string]string{}
		}
		r.Cells[c.Column] = c.Text
		s.head(c.Sheet, c.Column)
	case Insert:
		r := Row{ID: c.ID, Cells: map[string]string{}}
		s.size += r.size()
		s.Rows[c.Sheet] = slices.Insert(rows, behind(rows, c.After), r)
		fresh[c.ID] = true
		back = append(back, Change{Kind: Remove, Sheet: c.Sheet, ID: c.ID})
	case Remove:
		r := rows[at]
		s.size -= r.size()
		back = append(back, Change{Kind: Insert, Sheet: c.Sheet, ID: c.ID, After: before(rows, at)})
		for _, column := range slices.Sorted(maps.Keys(r.Cells)) {
			back = append(back, Change{Kind: Set, Sheet: c.Sheet, ID: c.ID, Column: column, Text: r.Cells[column]})
		}
		s.Rows[c.Sheet] = slices.Delete(rows, at, at+1)
	case Move:
		r := rows[at]
		back = append(back, Change{Kind: Move, Sheet: c.Sheet, ID: c.ID, After: before(rows, at)})
		rows = slices.Delete(rows, at, at+1)
		s.Rows[c.Sheet] = slices.Insert(rows, behind(rows, c.After), r)
	}
	return back
}

// head gives a sheet a column, if it has not got it.
func (s *state) head(sheet Sheet, column string) {
	if !slices.Contains(Columns(sheet), column) && !slices.Contains(s.Columns[sheet], column) {
		s.Columns[sheet] = append(slices.Clip(s.Columns[sheet]), column)
	}
}

// behind is the index that stands behind a row.
func behind(rows []Row, after string) int {
	switch after {
	case Last:
		return len(rows)
	case First:
		return 0
	}
	return find(rows, after) + 1
}

// before is the row before an index, as a place for After.
func before(rows []Row, at int) string {
	if at == 0 {
		return First
	}
	return rows[at-1].ID
}
