package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/intake/table"
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
			if !apart && beyond || !s.shuffled(pair, things) {
				continue
			}
		case other.as == asWho:
			if !apart || !s.shuffled(pair, things) {
				continue
			}
		case apart:
		case other.as == asPage, !same && s.twoPeople(pair, first, last), (!same || beyond) && !s.shuffled(pair, things):
			continue // one table, that says something twice, or has two people in a row
		}
		if r := s.differ(one.Index, other.Index); r != nil {
			s.mixed = true
			p := s.place(&s.Rows[s.Head], other)
			p.Row = 0 // it concerns all rows
			s.problems.Add(p, fmt.Sprintf("two tables seem to stand side by side: row %d has %s in column %s and %s in column %s", r.N,
				measure.Quote(line(r.At(one.Index).Text)), one.Letter(), measure.Quote(line(r.At(other.Index).Text)), other.Letter()),
				"a row is read as one, and texts would get into other people's spaces, so that none of it is read",
				fmt.Sprintf("bring the rows of both into the same order; or, if each row is about one person and page, delete column %s or give it another heading", other.Letter()))
			return
		}
	}
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

// mostGoneBy is how many columns are taken for what tables beside each other may go by, of those that are not read in each run, and of those headed as one that
// is; mostPairs is how many pairs there are of the former.
const mostGoneBy, mostPairs = 20, 400

// goneBy are the columns by which tables beside each other may go, in pairs: that which is read as the name or the page with another for it, and of those that
// are not read two under one heading.
func (s *Sheet) goneBy(part []int, home map[int]bool) (out [][2]int) {
	unread := map[string][]int{} // by their headings, which are looked up: there may be thousands
	inRun := map[int]int{}
	pairs, headed := 0, 0
	for k := range s.Columns {
		switch c := &s.Columns[k]; {
		case c.Guess != "" || !home[part[k]]:
		case c.as == asUnknown && !c.told && inRun[part[k]] < mostGoneBy:
			heading := plainLetters(c.Heading)
			for _, j := range unread[heading] {
				if pairs < mostPairs {
					pairs++
					out = append(out, [2]int{j, k})
				}
			}
			unread[heading] = append(unread[heading], k)
			inRun[part[k]]++
		case headed < mostGoneBy && (c.Double && (c.as == asName || c.as == asSurname || c.as == asPage) || c.as == asWho): // who: whom a list of texts is of
			as := c.as
			if as == asWho {
				as = asName
			}
			if j, ok := s.read[field{as, c.set}]; ok && s.Columns[j].Guess == "" && home[part[j]] {
				headed++
				out = append(out, [2]int{j, k})
			}
		}
	}
	return out
}

// shuffled reports whether two columns have the same things in another order, or nearly, as the rows of two tables have. Of columns that are not read, or are
// headed otherwise, each row must have its own thing, or nearly: with "yes" and "no" many columns are full, and two people may have a hand in a block. The
// things of columns are kept, to be asked about again.
func (s *Sheet) shuffled(pair [2]int, things map[int]map[string]int) bool {
	for _, k := range pair {
		if things[k] != nil {
			continue
		}
		things[k] = map[string]int{}
		for i := s.Head + 1; i < len(s.Rows); i++ {
			if cell := s.Rows[i].At(s.Columns[k].Index); cell != nil && !blank(cell) && !ditto(line(cell.Text)) {
				things[k][key(line(cell.Text))]++
			}
		}
	}
	own := func(things map[string]int) bool {
		filled := 0
		for _, n := range things {
			filled += n
		}
		return 5*len(things) >= 4*filled
	}
	one, other := things[pair[0]], things[pair[1]]
	both := 0
	for text := range one {
		if other[text] > 0 {
			both++
		}
	}
	if a, b := &s.Columns[pair[0]], &s.Columns[pair[1]]; (a.as == asUnknown || plainLetters(a.Heading) != plainLetters(b.Heading)) && !(own(one) && own(other)) {
		return false
	}
	return both > 1 && 2*both >= min(len(one), len(other))
}

// differ finds the first row in which two columns have something, and not the same.
func (s *Sheet) differ(one, other int) *table.Row {
	var above [2]string
	for i := s.Head + 1; i < len(s.Rows); i++ {
		r := &s.Rows[i]
		var texts [2]string
		for n, col := range []int{one, other} {
			if c := r.At(col); c != nil && !blank(c) {
				if texts[n] = key(line(c.Text)); ditto(line(c.Text)) {
					texts[n] = above[n]
				}
				above[n] = texts[n]
			}
		}
		if texts[0] != texts[1] && texts[0] != "" && texts[1] != "" {
			if s.headsAgain(r) == otherHeadings { // and what is below them is held
				return nil
			}
			return r
		}
	}
	return nil
}
