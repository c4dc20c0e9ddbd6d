package intake

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// Every cell that holds something is read, held or named: it becomes a part of a block or of paper, or stands in a row that is held,
// or a message names it. Here are the cells that no column is read for: above the headings, below other headings, beside the
// table, in rows that ask for nothing.

// area is cells from a corner to a corner.
type area struct{ first, last table.Spot }

func (a area) String() string {
	if a.first == a.last {
		return table.Address(a.first.Col, a.first.Row)
	}
	return table.Address(a.first.Col, a.first.Row) + ":" + table.Address(a.last.Col, a.last.Row)
}

// mostAreas is how many areas a message names one by one.
const mostAreas = 5

// areas names cells, which stand in the order of their rows and columns, as a spreadsheet does: A3, C2:D9. What is beyond a
// handful is named by the one area around it.
func areas(cells []table.Spot) string {
	var runs []area
	for i, c := range cells {
		if n := len(runs) - 1; i > 0 && runs[n].last == (table.Spot{Col: c.Col - 1, Row: c.Row}) {
			runs[n].last = c
		} else {
			runs = append(runs, area{c, c})
		}
	}
	var out []area
	ends := map[[2]int]int{} // the area whose last row has that run, by the columns of the run
	for _, r := range runs {
		columns := [2]int{r.first.Col, r.last.Col}
		if i, ok := ends[columns]; ok && out[i].last.Row == r.first.Row-1 {
			out[i].last = r.last
			continue
		}
		ends[columns] = len(out)
		out = append(out, r)
	}
	var names []string
	for _, a := range out[:min(len(out), mostAreas)] {
		names = append(names, a.String())
	}
	if rest := out[len(names):]; len(rest) > 0 {
		all := rest[0]
		for _, a := range rest {
			all.first = table.Spot{Col: min(all.first.Col, a.first.Col), Row: min(all.first.Row, a.first.Row)}
			all.last = table.Spot{Col: max(all.last.Col, a.last.Col), Row: max(all.last.Row, a.last.Row)}
		}
		names = append(names, "others within "+all.String())
	}
	return problem.And(names)
}

// own are the cells of a row in which somebody typed something; not those of the form's live column and its steps, nor those that a
// desk keeps for itself.
func (s *Sheet) own(r *table.Row) []*table.Cell {
	live := s.column(asFits)
	var desk []int                       // their columns
	if r.N <= s.Rows[max(s.Head, 0)].N { // above the headings all is somebody's
		live = nil
	}
	for _, m := range []meaning{asHold, asKept, asID, asCode} {
		if c := s.column(m); c != nil {
			desk = append(desk, c.Index)
		}
	}
	var out []*table.Cell
	for i := range r.Cells {
		c := &r.Cells[i]
		if c.Covered || c.Kind == table.Text && strings.TrimSpace(c.Text) == "" || live != nil && (c.Col == live.Index || s.Step(r, c)) ||
			slices.Contains(desk, c.Col) {
			continue
		}
		out = append(out, c)
	}
	return out
}

// spots are where the cells of a row stand.
func spots(r *table.Row, cells []*table.Cell) []table.Spot {
	var out []table.Spot
	for _, c := range cells {
		out = append(out, table.Spot{Col: c.Col, Row: r.N})
	}
	return out
}

// unread tells of cells of a sheet that are not read.
func (s *Sheet) unread(what string, cells []table.Spot, cause, hint string) {
	if len(cells) > 0 {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("%s were not read: %s", what, areas(cells)), cause, hint)
	}
}

// aboveHeadings tells what stands above the headings. A row that looks like journaling is held, and so is each below other headings,
// as where the table that says the most is the second one.
func (b *builder) aboveHeadings(s *Sheet) {
	var found []table.Spot
	others := 0 // the row of the last other headings
	for i := range s.Rows[:s.Head] {
		r := &s.Rows[i]
		e := &entry{builder: b, sheet: s, row: r}
		if again := s.headsAgain(r); again == otherHeadings || again == sameHeadings && i+1 < s.Head {
			others = r.N
			what := fmt.Sprintf("other headings stand here, and nothing between them and row %d is printed", s.Rows[s.Head].N)
			if beside := slices.DeleteFunc(s.own(r), s.aboveRead); len(beside) > 0 {
				what = fmt.Sprintf("other headings stand here, and nothing below them in columns %s to %s is printed", table.Letters(beside[0].Col), table.Letters(beside[len(beside)-1].Col))
			}
			s.problems.Add(s.place(r, nil), what,
				fmt.Sprintf("a table has one row of headings, and those in row %d say more", s.Rows[s.Head].N),
				"put it on a sheet of its own, or its columns in the order of the others; if nothing belongs to these headings, delete them")
			continue
		}
		if others > 0 && len(s.own(r)) > 0 {
			b.belowOther(s, r, others)
			continue
		}
		if e.journals() {
			e.fail(nil, "the row stands above the headings and looks like journaling", "only what stands below the headings is read",
				"move the row below the headings, or delete it")
			e.hold(&Block{Place: e.place(nil)})
			continue
		}
		for _, c := range s.own(r) {
			if c != s.stated && !s.headedFrom(c) {
				found = append(found, table.Spot{Col: c.Col, Row: r.N})
			}
		}
	}
	s.unread("cells above the headings", found, "a table begins with its headings", "move what is to be printed below the headings")
}

// aboveRead reports a cell in a column that is read.
func (s *Sheet) aboveRead(c *table.Cell) bool {
	k, headed := s.HeadingAt(c.Col)
	return headed && s.Columns[k].reads()
}

// journals reports a row that has a text and a measure where the table has them.
func (e *entry) journals() bool {
	text, _ := e.cell(asJournaling)
	if text == nil {
		return false
	}
	for _, m := range []meaning{asWidth, asHeight, asSpace} {
		if c, col := e.cell(m); c != nil {
			_, one := measure.Parse(c.Text, e.unit(col))
			_, both := measure.ParseSize(c.Text, e.unit(col))
			if one == nil || both == nil {
				return true
			}
		}
	}
	return false
}

// hold holds the row for what was found wrong with it first.
func (e *entry) hold(b *Block) {
	h := Held{Place: b.Place, Why: e.wrong[0], Read: b}
	if c, _ := e.cell(asName); c != nil && line(c.Text) != "" {
		w, _, _ := e.owners.find(line(c.Text))
		h.Owner, h.Code = w.name, e.code(w)
	}
	e.job.Held = append(e.job.Held, h)
}

// again is what a row below the headings is to them.
type again uint8

const (
	noHeadings    again = iota
	sameHeadings        // repeated, as where tables are pasted below each other
	otherHeadings       // those of a table with other columns
)

// headingsFound counts the headings among some cells, each meaning once.
type headingsFound struct {
	seen        [meanings]bool
	plain, core int
}

// add counts one; false, where it is none, or was there before.
func (f *headingsFound) add(m meaning) bool {
	if m == asUnknown || f.seen[m] {
		return false
	}
	f.seen[m] = true
	f.plain++
	if m == asName || m == asJournaling || m == asWidth || m == asHeight || m == asSpace {
		f.core++
	}
	return true
}

// enough reports as many as a table has.
func (f *headingsFound) enough() bool { return f.plain >= 3 && f.core >= 2 }

// beyondForm are the cells of a row but for those that a form fills in: its live column and the steps of that.
func (s *Sheet) beyondForm(r *table.Row) []table.Cell {
	live := s.column(asFits)
	if live == nil {
		return r.Cells
	}
	return slices.DeleteFunc(slices.Clone(r.Cells), func(c table.Cell) bool { return c.Kind != table.Text && c.Col == live.Index || s.Step(r, &c) })
}

// headsAgain judges whether a row has headings once more: most of its cells plainly are, or they are asked for as a form asks.
func (s *Sheet) headsAgain(r *table.Row) again {
	var found headingsFound
	other, strange := false, false // strange: a word that is no heading stands over a column that is read
	same := 0                      // columns that are known and have the same heading again
	var unknown []int              // cells below headings that no rule knows: what those of every row of a wide table say would take seconds to see
	cells := s.beyondForm(r)
	saysOtherwise := func(i int) bool {
		k, _ := s.HeadingAt(cells[i].Col)
		return measuresOtherwise(cells[i].Text, s.Columns[k].Heading) && s.holdsMeasures(&s.Columns[k])
	}
	if r.N < s.Rows[s.Head].N {
		cells = slices.DeleteFunc(slices.Clone(cells), func(c table.Cell) bool { return s.headedFrom(&c) })
	}
	asked := asks(cells)
	for i := range cells {
		c := &cells[i]
		if c.Kind != table.Text || c.Covered || len(c.Text) > longestHeading {
			continue
		}
		k, headed := s.HeadingAt(c.Col)
		again := headed && line(c.Text) == s.Columns[k].Heading
		if again && s.Columns[k].as != asUnknown {
			same++
		}
		var m meaning
		var unit string
		switch {
		case again: // however it is spelled
			m, unit = s.Columns[k].as, s.Columns[k].Unit
		case asked:
			base, n := numbered(c.Text)
			m, unit, _ = recognise(base)
			other = other || n > 0 // a block of several in a row
		default:
			m, unit = plainHeading(c.Text)
		}
		if m == asUnknown {
			strange = strange || headed && s.Columns[k].reads() && line(c.Text) != ""
			if headed && s.Columns[k].as == asUnknown {
				unknown = append(unknown, i)
			}
			continue
		}
		other = other || !headed || s.Columns[k].as != m || unit != s.Columns[k].Unit || m.measured() && measuresOtherwise(c.Text, s.Columns[k].Heading)
		found.add(m)
	}
	switch {
	case !asked && (!found.enough() || 2*found.plain <= len(cells)) && (same < 2 || slices.ContainsFunc(cells, holdsMeasure)):
		return noHeadings
	case other, strange, slices.ContainsFunc(unknown, saysOtherwise), s.unheadedBelow(r), s.inOtherOrder(r):
		return otherHeadings
	}
	return sameHeadings
}

// holdsMeasure reports a cell that is no text, or one that is a measure or a size.
func holdsMeasure(c table.Cell) bool {
	if c.Kind != table.Text || len(c.Text) > mostMeasure {
		return c.Kind != table.Text
	}
	_, one := measure.Parse(c.Text, measure.In)
	_, both := measure.ParseSize(c.Text, measure.In)
	return one == nil || both == nil
}

// measuresOtherwise reports two headings of measures of which one has the height first, leaves the unit open or names it, and the other does not.
func measuresOtherwise(a, b string) bool {
	high, _ := heightFirst(a)
	first, _ := heightFirst(b)
	one, two := unitSaid(a), unitSaid(b)
	return high != first || one.doubtful != two.doubtful || one.unit != two.unit
}

// inOtherOrder reports a row of headings with that of another column over one that no rule knows.
func (s *Sheet) inOtherOrder(r *table.Row) bool {
	for i := range r.Cells {
		c := &r.Cells[i]
		if k, headed := s.HeadingAt(c.Col); headed && s.Columns[k].as == asUnknown {
			text := line(c.Text)
			if _, another := s.headed[text]; another && text != s.Columns[k].Heading {
				return true
			}
		}
	}
	return false
}

// unheadedBelow reports a row of headings with none over a column that is read and has something in the row below it.
func (s *Sheet) unheadedBelow(r *table.Row) bool {
	i, found := slices.BinarySearchFunc(s.Rows, r.N, func(row table.Row, n int) int { return row.N - n })
	for i++; found && i < len(s.Rows) && !s.Rows[i].HasOwnCells(); i++ {
	}
	if !found || i >= len(s.Rows) {
		return false
	}
	return slices.ContainsFunc(s.Rows[i].Cells, func(below table.Cell) bool {
		k, headed := s.HeadingAt(below.Col)
		if !headed || !s.Columns[k].reads() || below.Covered || blank(&below) {
			return false
		}
		over := r.At(below.Col)
		return over == nil || !over.Covered && blank(over)
	})
}

// longestHeading is how long the text of a cell may be that is taken for a heading among rows, in bytes.
const longestHeading = 60

// asks reports the cells of a row of words alone, without the measures of a row of journaling, that asks for three of the name, the text and the measures, however that is
// put. Every row is looked at so, and therefore no misspelled word is looked for.
func asks(cells []table.Cell) bool {
	if len(cells) < 3 {
		return false
	}
	for i := range cells {
		c := &cells[i]
		if c.Covered {
			continue
		}
		if text := strings.TrimSpace(c.Text); c.Kind != table.Text || len(text) > 2*longestHeading || text != "" && text[0] >= '0' && text[0] <= '9' && withoutNumber(text) == text {
			return false
		}
	}
	var found headingsFound
	for i := range cells {
		if c := &cells[i]; !c.Covered && len(c.Text) <= longestHeading {
			base := withoutNumber(strings.TrimSpace(c.Text))
			m, _ := plainHeading(base)
			if m == asUnknown {
				m = keyword(plainLetters(base))
			}
			if m == asSize && plainSize(unitSaid(base).rest) {
				m = asSpace
			}
			found.add(m)
		}
	}
	return found.core >= 3
}

// unlike are the cells of a row of repeated headings that are none.
func (s *Sheet) unlike(r *table.Row) []*table.Cell {
	return slices.DeleteFunc(s.own(r), func(c *table.Cell) bool {
		k, headed := s.HeadingAt(c.Col)
		return headed && s.Columns[k].as != asUnknown && line(c.Text) == s.Columns[k].Heading
	})
}

// lastBelowOthers is the last row below other headings at index i: the next has those of the table again.
func (s *Sheet) lastBelowOthers(i int) int {
	for i+1 < len(s.Rows) && s.headsAgain(&s.Rows[i+1]) != sameHeadings {
		i++
	}
	return i
}

// belowOthers holds the rows below other headings, from index i on, up to where those of the table stand again. It returns the last.
func (b *builder) belowOthers(s *Sheet, i int) int {
	head := s.Rows[i].N
	s.problems.Add(s.place(&s.Rows[i], nil), "other headings stand here, and nothing below them is printed", "a table has one row of headings; here begins another, with other columns",
		"put it on a sheet of its own, or its columns in the order of those above")
	for last := s.lastBelowOthers(i); i < last; {
		i++
		if r := &s.Rows[i]; len(s.own(r)) > 0 {
			b.belowOther(s, r, head)
		}
	}
	return i
}

// belowOther holds a row below the headings of another table, in row head.
func (b *builder) belowOther(s *Sheet, r *table.Row, head int) {
	b.job.Held = append(b.job.Held, Held{Place: s.place(r, nil), Why: fmt.Sprintf("the row stands below other headings, in row %d", head)})
}

// beside tells of a table beside the one that is read, or of a second column of texts: a text would be lost.
func (s *Sheet) beside() {
	texts, words := map[int]int{}, map[int]bool{} // of second columns of texts, by their place
	second := func(k int) bool { return s.Columns[k].Double && s.Columns[k].as == asJournaling }
	for i := s.Head + 1; i < len(s.Rows); i++ {
		for j := range s.Rows[i].Cells {
			c := &s.Rows[i].Cells[j]
			if k, headed := s.HeadingAt(c.Col); headed && second(k) && !c.Covered && strings.TrimSpace(c.Text) != "" {
				texts[k]++
				_, err := strconv.Atoi(strings.TrimSpace(c.Text)) // how many words a text has
				words[k] = words[k] || err != nil
			}
		}
	}
	for k := range s.Columns {
		if col := &s.Columns[k]; words[k] {
			s.problems.Add(s.place(&s.Rows[s.Head], col), fmt.Sprintf("%s in column %s would be lost", problem.Count(texts[k], "text"), col.Letter()),
				"the table has a column for the journaling already, and this is a second one, as where two tables stand beside each other",
				"move these texts below the others, or the table to a sheet of its own")
		}
	}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		r := &s.Rows[i]
		var found headingsFound
		var cells []table.Spot
		for _, c := range s.own(r) {
			if !s.stray(c) || c.Kind != table.Text {
				continue
			}
			if m, _ := plainHeading(c.Text); found.add(m) {
				cells = append(cells, table.Spot{Col: c.Col, Row: r.N})
			}
		}
		if found.enough() && s.headsAgain(r) == noHeadings {
			s.problems.Add(problem.Place{File: s.File, Sheet: s.Name}, "a table beside the one that is read would be lost; its headings are "+areas(cells),
				"a sheet has one table, and the rows below these headings belong to both", "move it below the other, its columns in the same order, or to a sheet of its own")
		}
	}
}

// bought reports a row of paper as the form has it beforehand: a stock by its name alone, a sheet that it is bought in, and no count.
func (e *entry) bought() bool {
	if len(e.sheet.own(e.row)) > 3 {
		return false
	}
	c, _ := e.cell(asStock)
	wide, wcol := e.cell(asWidth)
	high, hcol := e.cell(asHeight)
	if c == nil || wide == nil || high == nil {
		return false
	}
	stock := e.findStock(line(c.Text))
	w, errW := measure.Parse(wide.ExactText(), e.unit(wcol))
	h, errH := measure.Parse(high.ExactText(), e.unit(hcol))
	return stock.ok && stock.sure && errW == nil && errH == nil && slices.ContainsFunc(e.stockSizes[stock.stock.Name], func(s measure.Size) bool { return s == measure.Size{W: w, H: h} })
}
