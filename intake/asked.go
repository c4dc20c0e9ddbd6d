package intake

import (
	"slices"

	"tuckmark/intake/table"
)

// What a row asks for: a block, one of several, or none of those that it may have; and which of its cells have a say in that.

// Counts reports whether a cell of the row Rows[i] has a say in that row. What it shows of a merged cell that reaches into it has one only where
// the row is asked for by what else it has, and the column is a field that is read for each row, or may yet be called one. In the row of headings it has where it
// begins above.
func (s *Sheet) Counts(i int, c *table.Cell) bool {
	if !c.Covered || i == s.Head && s.fromAbove(i, c) {
		return true
	}
	k, headed := s.HeadingAt(c.Col)
	if i <= s.Head || !headed || s.Columns[k].ignored || s.Columns[k].as == asNote {
		return false
	}
	e := entry{sheet: s, row: &s.Rows[i], set: s.Columns[k].set}
	switch {
	case s.use == paper:
		return e.row.HasOwnCells()
	case e.set != 0 && e.set == s.sets[0] && e.asksForNone(): // which is read as the first
		return true
	case e.set != 0: // of one of several blocks in a row
		return e.filled()
	}
	return !e.blank()
}

// blank reports a row in which nothing is asked for: an empty one, or one with only what is filled in beforehand.
func (e *entry) blank() bool {
	return !e.row.HasOwnCells() || !e.asksForAny() && !e.begun()
}

// asksForAny reports a row for one of whose several blocks filled holds: it is asked by its cells, which are few where it may have many.
func (e *entry) asksForAny() bool {
	s := e.sheet
	for i := range e.row.Cells {
		c := &e.row.Cells[i]
		if k, headed := s.HeadingAt(c.Col); headed && !c.Covered && slices.Contains(asking, s.Columns[k].as) && !blank(c) {
			col := &s.Columns[k]
			if at, is := s.read[field{col.as, col.set}]; is && at == k && slices.Contains(s.sets, col.set) {
				return true
			}
		}
	}
	return false
}

// begun reports whether something that a block has to have, or its title, stands in the row itself.
func (e *entry) begun() bool {
	for _, m := range []meaning{asName, asSurname, asJournaling, asWidth, asHeight, asSpace, asTitle} {
		if c := e.stands(e.sheet.columnOf(m, e.set)); c != nil && !c.Covered {
			return true
		}
	}
	return false
}

// asksForNone reports a row that is not blank and asks for none of the several blocks that it may have.
func (e *entry) asksForNone() bool { return e.row.HasOwnCells() && e.begun() && !e.asksForAny() }

// asking are the fields of one of several blocks in a row by which it is asked for.
var asking = []meaning{asJournaling, asWidth, asHeight, asSpace, asTitle}

// filled reports whether something is asked for in the set's own columns.
func (e *entry) filled() bool {
	for _, m := range asking {
		col := e.sheet.columnOf(m, e.set)
		if c := e.stands(col); c != nil && !c.Covered && col.set == e.set {
			return true
		}
	}
	return false
}
