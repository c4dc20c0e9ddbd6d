package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/measure"
)

// Tables beside each other on one sheet, under headings in one row, are read as one. Here it is found where they are not.

// runs tells which run of columns without an empty one between them each column is in, and which runs have something that a block must have.
func (s *Sheet) runs() (part []int, home map[int]bool) {
	part, home = make([]int, len(s.Columns)), map[int]bool{}
	for k := range s.Columns {
		if k > 0 {
			if part[k] = part[k-1]; s.Columns[k].Index > s.Columns[k-1].Index+1 {
				part[k]++
			}
		}
		home[part[k]] = home[part[k]] || s.Columns[k].needed()
	}
	return part, home
}

// reads reports a column that is known and stands there for the first time.
func (c *Column) reads() bool { return c.as != asUnknown && !c.Double }

// needed reports a column that is read and that a block cannot do without.
func (c *Column) needed() bool {
	switch c.as {
	case asName, asSurname, asJournaling, asWidth, asHeight, asSpace:
		return !c.Double
	}
	return false
}

// partLegend finds columns beyond an empty one that belong to another table, as a list of pages and their titles: one of the headings stands
// in both, and none of those columns is what a block must have. What is read there would be printed on other people's blocks.
func (s *Sheet) partLegend() {
	part, home := s.runs()
	reads := func(k int) bool { c := &s.Columns[k]; return c.reads() && !c.told }
	read := map[field]int{}
	for k := range s.Columns {
		if c := &s.Columns[k]; reads(k) {
			read[field{c.as, c.set}] = k
		}
	}
	both := map[int]string{} // a heading that stands in that run and in the table
	for k := range s.Columns {
		c := &s.Columns[k]
		j, ok := read[field{c.as, c.set}]
		switch {
		case !ok || !c.Double || c.Guess != "":
		case home[part[j]] && !home[part[k]]:
			both[part[k]] = c.Heading
		case home[part[k]] && !home[part[j]]:
			both[part[j]] = c.Heading
		}
	}
	for k := range s.Columns {
		if shared, ok := both[part[k]]; ok && reads(k) {
			c := &s.Columns[k]
			c.Double, c.As = true, ""
			s.problems.Add(s.place(&s.Rows[s.Head], c), fmt.Sprintf("%s in column %s seems to belong to a table beside this one, and is not read", measure.Quote(c.Heading), c.Letter()),
				fmt.Sprintf("an empty column parts them, and %s stands in both", measure.Quote(shared)),
				fmt.Sprintf("move that table to a sheet of its own; or fill the gap; or say that the column is not for the print: --column \"%s=nothing\"", c.Heading))
			s.problems.OnPage("move that table to a sheet of its own, or fill the gap, and take the file in again")
		}
	}
	s.findRead()
	s.tellBeyond(part, home)
}

// tellBeyond tells of columns that are read beyond an empty one, where none of them is what a block must have: they may be a list of their own, as of pages and
// their titles, that goes by other rows than the blocks beside it, and nothing in them shows it.
func (s *Sheet) tellBeyond(part []int, home map[int]bool) {
	if s.Desk {
		return
	}
	var beyond []string
	var first *Column
	for k := range s.Columns {
		if c := &s.Columns[k]; c.reads() && !c.told && !home[part[k]] {
			first = cmp.Or(first, c)
			beyond = append(beyond, fmt.Sprintf("%s in column %s", measure.Quote(c.Heading), c.Letter()))
		}
	}
	if first == nil {
		return
	}
	what := "is"
	if len(beyond) > 1 {
		what = "are"
	}
	s.problems.ToOrganiser(s.place(&s.Rows[s.Head], first), fmt.Sprintf("%s %s read with the block in the same row", strings.Join(beyond, " and "), what),
		"an empty column parts them from what a block must have", "if they are a list of their own, move it to a sheet of its own")
}

// partTables finds two tables beside each other that complement each other, as spaces on the left and texts on the right, with their people in another
// order: read as one, everybody's text would get into somebody else's space. They are told by a second column for the name, beyond an empty column for the
// page, or for whatever else they go by, as a number or an address, that says something else in the same row.
func (s *Sheet) partTables() {
	if s.Desk { // which has one
		return
	}
	part, home := s.runs()
	first, last := -1, -1 // of the columns that a block must have besides its name
	for k := range s.Columns {
		if c := &s.Columns[k]; c.needed() && c.as != asName && c.as != asSurname {
			if first < 0 {
				first = k
			}
			last = k
		}
	}
	things := map[int]map[string]int{}
	for _, pair := range s.goneBy(part, home) {
		one, other := &s.Columns[pair[0]], &s.Columns[pair[1]]
		apart, same := part[pair[0]] != part[pair[1]], plainLetters(one.Heading) == plainLetters(other.Heading)
		beyond := max(pair[0], pair[1]) > last
		switch {
		case one.as == asUnknown:
			if !apart && beyond || !s.shuffled(one, other, things) {
				continue
			}
		case other.as == asWho:
			if !apart || !s.shuffled(one, other, things) {
				continue
			}
		case apart:
		case other.as == asPage, !same && s.twoPeople(pair, first, last), (!same || beyond) && !s.shuffled(one, other, things):
			continue // one table, that says something twice, or has two people in a row
		}
		if s.toldMixed(one, other, fmt.Sprintf("delete column %s or give it another heading", other.Letter())) {
			return
		}
	}
	for _, pair := range s.firstOfRuns() {
		one, other := pair[0], pair[1]
		if (s.wordy(one) && s.wordy(other) || sameThing(one.Heading, other.Heading)) && s.shuffled(one, other, things) &&
			s.toldMixed(one, other, fmt.Sprintf("delete the empty column between columns %s and %s", one.Letter(), other.Letter())) {
			return
		}
	}
	if !s.tellOtherOrder(things) {
		s.tellParted(part)
	}
}

// tellOtherOrder tells of columns that are not read and have the names of the table in another order: whoever has put two tables beside each other sees that they
// are read as one, and for one table it says nothing wrong.
func (s *Sheet) tellOtherOrder(things map[int]map[string]int) (told bool) {
	j, ok := s.read[field{asName, 0}]
	if !ok {
		return false
	}
	name, looked := &s.Columns[j], 0
	for k := range s.Columns {
		c := &s.Columns[k]
		if !(c.as == asUnknown || c.Double) || c.told || c.ignored || looked == mostGoneBy {
			continue
		}
		looked++
		if !s.wordy(c) || !s.shuffled(name, c, things) {
			continue
		}
		if r := s.differ(name.Index, c.Index); r != nil {
			s.problems.ToOrganiser(s.place(&s.Rows[s.Head], c), fmt.Sprintf("%s in column %s has the names of column %s in another order; each row is read as one, for the name in column %s", measure.Quote(c.Heading), c.Letter(), name.Letter(), name.Letter()),
				fmt.Sprintf("row %d has %s there, and is for %s", r.N, measure.Quote(line(r.At(c.Index).Text)), measure.Quote(line(r.At(name.Index).Text))), "if they are two tables, bring their rows into the same order")
			return true
		}
	}
	return false
}

// tellParted tells of an empty column with something that a block must have on either side, where they may be two tables and nothing else shows it: on one side is
// a column that is not read, and on the other one as well, or the names or the pages that the rows go by.
func (s *Sheet) tellParted(part []int) {
	type side struct {
		needed       *Column // the first that a block must have
		goes, unread bool
		looked       int
	}
	sides := make([]side, len(part)) // as many as there may be
	parted := 0
	for k := range s.Columns {
		c, of := &s.Columns[k], &sides[part[k]]
		if c.needed() && of.needed == nil {
			of.needed = c
			parted++
		}
		of.goes = of.goes || c.reads() && (c.as == asName || c.as == asSurname || c.as == asPage)
	}
	if parted < 2 {
		return
	}
	for k := range s.Columns {
		c, of := &s.Columns[k], &sides[part[k]]
		if of.needed != nil && !of.unread && (c.as == asUnknown || c.Double) && !c.told && !c.ignored && of.looked < mostGoneBy {
			of.looked++
			of.unread = s.wordy(c)
		}
	}
	sides = slices.DeleteFunc(sides, func(of side) bool { return of.needed == nil || !of.unread && !of.goes })
	if len(sides) < 2 || !sides[0].unread && !sides[1].unread { // the first two count: of hundreds of tables beside each other, too
		return
	}
	one, other := sides[0].needed, sides[1].needed
	s.problems.ToOrganiser(s.place(&s.Rows[s.Head], other), fmt.Sprintf("%s in column %s and %s in column %s are read as one row, with an empty column between them", measure.Quote(one.Heading), one.Letter(), measure.Quote(other.Heading), other.Letter()),
		"with the columns that are not read they may be two tables", "if they are, move one to a sheet of its own; else delete the empty column")
}

// toldMixed tells of two tables, where the columns that they go by say different things in a row; wayOut is what to do if it is one table all the same.
func (s *Sheet) toldMixed(one, other *Column, wayOut string) bool {
	r := s.differ(one.Index, other.Index)
	if r == nil {
		return false
	}
	s.mixed = true
	p := s.place(&s.Rows[s.Head], other)
	p.Row = 0 // it concerns all rows
	s.problems.Add(p, fmt.Sprintf("two tables seem to stand side by side: row %d has %s in column %s and %s in column %s", r.N,
		measure.Quote(line(r.At(one.Index).Text)), one.Letter(), measure.Quote(line(r.At(other.Index).Text)), other.Letter()),
		"a row is read as one, and texts would get into other people's spaces, so that none of it is read",
		"bring the rows of both into the same order; or, if each row is about one person and page, "+wayOut)
	return true
}

// twoPeople reports whether two columns of names are where one table has two people in a row, such as who writes and whose page it is: before all that
// a block must have besides, from the first such column to the last, with nothing between them that is read, or behind it with nothing behind them. What else
// stands there may go by the one name or the other.
func (s *Sheet) twoPeople(pair [2]int, first, last int) bool {
	low, high := min(pair[0], pair[1]), max(pair[0], pair[1])
	read := func(columns []Column) bool {
		return slices.ContainsFunc(columns, func(c Column) bool { return c.reads() })
	}
	return high < first && !read(s.Columns[low+1:high]) || high > last && !read(s.Columns[high+1:])
}
