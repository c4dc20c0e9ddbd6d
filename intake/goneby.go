package intake

import (
	"slices"
	"strings"

	"tuckmark/intake/table"
)

// What the rows of tables beside each other go by, and whether two columns of it are one in another order.

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
		case !home[part[k]]:
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
			j, ok := s.read[field{as, c.set}]
			if ok && home[part[j]] && (c.Guess == "" && s.Columns[j].Guess == "" || plainLetters(c.Heading) == plainLetters(s.Columns[j].Heading)) {
				headed++
				out = append(out, [2]int{j, k})
			}
		}
	}
	return out
}

// firstOfRuns are columns by which tables may go whatever is said above them, in pairs: in each run between empty columns those before the first that a block
// must have besides its name. Columns without a heading count as well.
func (s *Sheet) firstOfRuns() (out [][2]*Column) {
	var all []*Column
	for k := range s.Columns {
		all = append(all, &s.Columns[k])
	}
	for _, col := range s.unheaded() {
		all = append(all, &Column{File: s.File, Sheet: s.Name, Index: col})
	}
	slices.SortFunc(all, func(a, b *Column) int { return a.Index - b.Index })
	var runs [][]*Column // of what each may go by; only those with something else that a block must have
	for from := 0; from < len(all); {
		to := from + 1
		for to < len(all) && all[to].Index == all[to-1].Index+1 {
			to++
		}
		for k, c := range all[from:to] {
			if c.needed() && c.as != asName && c.as != asSurname {
				runs = append(runs, all[from:from+min(k, mostGoneBy)])
				break
			}
		}
		from = to
	}
	for i, run := range runs[:min(len(runs), mostGoneBy)] {
		for _, next := range runs[i+1 : min(len(runs), mostGoneBy)] {
			for _, one := range run {
				for _, other := range next {
					if one.goesBy() && other.goesBy() && len(out) < mostPairs {
						out = append(out, [2]*Column{one, other})
					}
				}
			}
		}
	}
	return out
}

// goesBy reports a column that the rows of a table may go by, and of which the settings do not say what it is.
func (c *Column) goesBy() bool {
	switch c.as {
	case asUnknown, asName, asSurname, asPage, asWho, asTitle:
		return !c.told && !c.ignored
	}
	return c.Double
}

// unheaded are the columns without a heading that have something in at least two rows.
func (s *Sheet) unheaded() (out []int) {
	filled := map[int]int{}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		for k := range s.Rows[i].Cells {
			c := &s.Rows[i].Cells[k]
			if _, headed := s.HeadingAt(c.Col); headed || c.Covered || blank(c) || s.forSteps(c.Col) {
				continue
			}
			if filled[c.Col]++; filled[c.Col] == 2 {
				out = append(out, c.Col)
			}
		}
	}
	return out
}

// wordy reports a column that mostly has words.
func (s *Sheet) wordy(c *Column) bool {
	filled, with := 0, 0
	for i := s.Head + 1; i < len(s.Rows); i++ {
		if cell := s.Rows[i].At(c.Index); cell != nil && !cell.Covered && !blank(cell) {
			filled++
			if words(cell) {
				with++
			}
		}
	}
	return 2*with > filled
}

// sameThing reports headings of which one says all that the other does, as "No." and "Photo no.".
func sameThing(a, b string) bool {
	all := func(of, in []string) bool {
		return len(of) > 0 && !slices.ContainsFunc(of, func(w string) bool { return !slices.Contains(in, w) })
	}
	one, other := strings.Fields(plainLetters(a)), strings.Fields(plainLetters(b))
	return all(one, other) || all(other, one)
}

// shuffled reports whether two columns have the same things in another order, or nearly, as the rows of two tables have. Of columns that are not read, or are
// headed otherwise, each row must have its own thing, or nearly: with "yes" and "no" many columns are full, and two people may have a hand in a block. The
// things of columns are kept, to be asked about again.
func (s *Sheet) shuffled(a, b *Column, things map[int]map[string]int) bool {
	for _, c := range []*Column{a, b} {
		if things[c.Index] != nil {
			continue
		}
		things[c.Index] = map[string]int{}
		for i := s.Head + 1; i < len(s.Rows); i++ {
			if cell := s.Rows[i].At(c.Index); cell != nil && !blank(cell) && !ditto(line(cell.Text)) {
				things[c.Index][key(line(cell.Text))]++
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
	one, other := things[a.Index], things[b.Index]
	both := 0
	for text := range one {
		if other[text] > 0 {
			both++
		}
	}
	if (a.as == asUnknown || plainLetters(a.Heading) != plainLetters(b.Heading)) && !(own(one) && own(other)) {
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
