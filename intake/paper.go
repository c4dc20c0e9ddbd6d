package intake

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// readPaper reads a Paper sheet: what lies in the folder. Rows that say neither how many nor for how much are the form's
// own and say nothing. A row is a leftover where it says so, stands on a sheet called Leftovers, or has a size that the
// stock is not bought in and no price.
func (b *builder) readPaper(s *Sheet) {
	s.use = paper // also of a list that is given by itself
	s.findUnit(b.settings.Unit)
	b.across.openPaper(s)
	bares := b.across.add(s)
	b.aboveHeadings(s)
	if c := s.column(asPrice); c != nil {
		s.noteHeading(c)
	}
	// Cells of rows that are none of paper, and of columns that are not read.
	idle := s.notOfPaper(&s.Rows[s.Head])
	var hidden []string
	for i := s.Head + 1; i < len(s.Rows); i++ {
		e := &entry{builder: b, sheet: s, row: &s.Rows[i]}
		if len(b.job.Paper) == config.MostPaper && e.row.HasOwnCells() {
			s.problems.Add(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("more than %d rows of paper are listed, and the rows from %d on were not looked at", config.MostPaper, e.row.N), "",
				"write pieces of one stock and one size once, with their count")
			break
		}
		if asks(e.row.Cells) && s.headsAgain(e.row) == otherHeadings {
			i = b.belowOthers(s, i)
			continue
		}
		p, ok := e.paperRow()
		if ok && e.row.Hidden {
			hidden = append(hidden, fmt.Sprint(e.row.N))
		}
		if ok {
			for side := range e.sides() {
				p.Unsaid = p.Unsaid || bares && unsaid(side)
			}
			b.job.Paper = append(b.job.Paper, p)
			b.stockSizes[p.Stock] = append(b.stockSizes[p.Stock], p.Size)
		}
		cells := s.own(e.row)
		switch {
		case ok || len(e.wrong) > 0:
			idle = append(idle, s.notOfPaper(e.row)...)
			continue
		case e.bought():
			continue
		case s.headsAgain(e.row) == sameHeadings:
			cells = s.unlike(e.row)
		}
		idle = append(idle, spots(e.row, cells)...)
	}
	s.unread("cells of the list of paper", idle, "a row of paper needs a count, or a price; other columns are not known", "fill in the count if the paper is there")
	s.attached()
	s.noteHidden(hidden)
	s.noteBeneath()
}

// notOfPaper are the cells of a row in columns that are not read.
func (s *Sheet) notOfPaper(r *table.Row) []table.Spot {
	return spots(r, slices.DeleteFunc(s.own(r), func(c *table.Cell) bool { return s.readsPaper(c.Col) }))
}

// readsPaper reports whether a column of a list of paper is read.
func (s *Sheet) readsPaper(col int) bool {
	for _, m := range []meaning{asStock, asWidth, asHeight, asSpace, asUnit, asCount, asPrice, asLeftover} {
		if c := s.column(m); c != nil && c.Index == col {
			return true
		}
	}
	c := s.column(asCopies)
	return c != nil && c.Index == col && s.column(asCount) == nil
}

// ofLeftovers reports a sheet of paper whose name says that all on it are leftovers.
func (s *Sheet) ofLeftovers() bool { return strings.Contains(plainLetters(s.Name), "leftover") }

func (e *entry) paperRow() (p Paper, ok bool) {
	p = Paper{Place: e.sheet.place(e.row, nil), Count: -1, Price: -1, Leftover: e.sheet.ofLeftovers()}
	count, countCol := e.cell(asCount)
	if count == nil {
		count, countCol = e.cell(asCopies) // "Quantity" means the count on this sheet
	}
	price, priceCol := e.cell(asPrice)
	said := false
	if c, col := e.cell(asLeftover); c != nil {
		yes, known := parseYes(c.Text)
		if strings.Contains(plainLetters(c.Text), "leftover") {
			yes, known = true, true
		} else if strings.HasPrefix(plainLetters(c.Text), "sheet") || plainLetters(c.Text) == "new" {
			yes, known = false, true
		}
		if !known {
			e.fail(col, fmt.Sprintf("%s is neither yes nor no", measure.Quote(c.Text)), "", "write yes for a leftover, else no")
		}
		p.Leftover, said = yes, true
	}
	e.unitsAbove()
	if !e.row.HasOwnCells() || count == nil && price == nil && !p.Leftover {
		return p, false
	}
	var b Block
	e.stock(&b)
	p.Stock = b.Stock
	switch c, col := e.cell(asStock); {
	case c != nil:
		e.aboveIt().stock = b.Stock
	case col != nil && col.ofEmpty.like != 0 && e.aboveIt().stock == "", col != nil && col.ofEmpty.like == '?':
		e.note(col, fmt.Sprintf("the row names no stock and is taken for %s", measure.Quote(b.Stock)), "not all that the heading says is understood", "type the stock in each row")
	case col != nil && e.aboveIt().stock != "" && e.aboveIt().stock != b.Stock:
		e.note(col, fmt.Sprintf("the row names no stock and is taken for %s", measure.Quote(b.Stock)), fmt.Sprintf("the last row above that names one has %s", measure.Quote(e.aboveIt().stock)), "type the stock in each row")
	}
	sized := e.space(&b)
	p.Size = b.Space
	if count != nil && e.readable(count, countCol) {
		n, known := countIn(count)
		if known && several.MatchString(countCol.Heading) {
			e.fail(countCol, fmt.Sprintf("%s is no number of sheets, as the heading %s says", measure.Quote(count.Text), measure.Quote(countCol.Heading)), "", "type how many sheets there are, in a column headed Count")
		}
		if p.Count = n; !known {
			e.fail(countCol, fmt.Sprintf("%s is no number of sheets", measure.Quote(count.Text)), "", "type how many there are, as a whole number")
		}
	} else if p.Leftover {
		p.Count = 1
	}
	if price != nil && e.readable(price, priceCol) {
		n, known := Amount(price)
		sign, otherwise := priceOf(priceCol.Heading)
		typed, strange := config.SignOf(price.Text, cmp.Or(price.Currency(), e.settings.Currency))
		p.Sign = cmp.Or(typed, price.Currency(), sign)
		if p.Price = n; !known || strange || config.InHundredths(price.Text) {
			e.fail(priceCol, fmt.Sprintf("%s is no price of one sheet", measure.Quote(price.Text)), "", "type what one sheet costs, like 0.75, and nothing beside it but the currency")
		} else if otherwise != "" {
			e.fail(priceCol, fmt.Sprintf("%s is %s, as the heading %s says", measure.Quote(price.Text), otherwise, measure.Quote(priceCol.Heading)), "a price is that of one sheet",
				"type what one sheet costs, like 0.75, in a column headed Price")
		}
	}
	if e.stocked && sized && !p.Leftover {
		p.Size = knownSize(p.Size, e.onStock.Sheets)
	}
	if e.stocked && sized && !said && !p.Leftover && price == nil {
		p.Leftover = true
		for _, sh := range e.onStock.Sheets {
			if sh.Size.SameEitherWay(p.Size) {
				p.Leftover = false
			}
		}
	}
	return p, len(e.wrong) == 0
}

// knownSize is the size of one of the sheets that a stock is bought in, where a size is that but for less than anybody measures, as 8.27 x 11.69 in for A4.
func knownSize(size measure.Size, sheets []config.Sheet) measure.Size {
	const off = measure.Millimetre / 2
	near := func(a, b measure.Length) bool { return max(a-b, b-a) < off }
	for _, sh := range sheets {
		for _, s := range []measure.Size{sh.Size, sh.Size.Turn()} {
			if !sh.Leftover && near(s.W, size.W) && near(s.H, size.H) {
				return s
			}
		}
	}
	return size
}

// WithList are the rows of paper of a job together with those of a list beside it. Where the list is the job's own, it counts once; where both have a kind of
// sheet, that is told: they may be the same ones; and so it is where the list says no unit, and the spaces are in another than the usual one.
func (j *Job) WithList(list []Paper, unit measure.Unit) ([]Paper, problem.List) {
	var told problem.List
	job := j.Paper
	others := 0
	for i := range j.Blocks {
		if j.Blocks[i].Unit != unit {
			others++
		}
	}
	if i := slices.IndexFunc(list, func(p Paper) bool { return p.Unsaid }); i >= 0 && 2*others > len(j.Blocks) {
		told.Note(list[i].Place, fmt.Sprintf("a number without a unit is read in %s here, though most of the spaces are in another unit", unit), "nothing here says in what it is measured", "name the unit in the headings of the list, like Width (cm)")
	}
	if len(list) > 0 && !slices.ContainsFunc(list, func(p Paper) bool { return !slices.Contains(job, p) }) {
		told.Note(problem.Place{File: list[0].Place.File}, "its list of paper is given twice, and counts once", "it is among the files of the job, and named as the list of what lies in the folder", "")
		return job, told
	}
	type kind struct {
		stock string
		size  measure.Size
	}
	kindOf := func(p Paper) kind {
		return kind{p.Stock, measure.Size{W: max(p.Size.W, p.Size.H), H: min(p.Size.W, p.Size.H)}}
	}
	first := map[kind]Paper{}
	for _, p := range job {
		if _, has := first[kindOf(p)]; !has && p.Count > 0 {
			first[kindOf(p)] = p
		}
	}
	var kinds []string
	var at problem.Place
	for _, p := range list {
		if q, twice := first[kindOf(p)]; twice && p.Count > 0 {
			if kinds = append(kinds, fmt.Sprintf("%s %s (row %d and row %d of %s)", p.Stock, q.Size.About(unit), q.Place.Row, p.Place.Row, p.Place.File)); len(kinds) == 1 {
				at = problem.Place{File: q.Place.File, Sheet: q.Place.Sheet}
			}
		}
	}
	if len(kinds) > 5 {
		kinds = append(kinds[:5], "others")
	}
	if len(kinds) > 0 {
		told.Note(at, "paper is listed in two files, and counted twice: "+problem.And(kinds), "the job's files list it, and so does the list of what lies in the folder", "if they are the same sheets, delete the rows in one of the files")
	}
	return append(slices.Clone(job), list...), told
}

// samePaper tells of lists of paper that are the same: one list, in a form that was handed round or on a sheet that was copied, is counted once for each.
func (b *builder) samePaper() (found problem.List) {
	var order []problem.Place
	lists := map[problem.Place]string{} // what a sheet lists
	for _, p := range b.job.Paper {
		at := problem.Place{File: p.Place.File, Sheet: p.Place.Sheet}
		if _, known := lists[at]; !known {
			order = append(order, at)
		}
		lists[at] += fmt.Sprintln(p.Stock, p.Size, p.Count, p.Price, p.Leftover)
	}
	first := map[string]problem.Place{} // of a list
	for _, at := range order {
		switch other, twice := first[lists[at]]; {
		case twice && other.File == at.File:
			found.Note(at, "the paper that it lists is the same as on the sheet "+measure.Quote(other.Sheet)+", and counted once more", "", "if the sheet is a copy, empty one of the two")
		case twice:
			found.Note(problem.Place{File: at.File}, "the paper that it lists is the same as in "+measure.Quote(other.File)+", and counted once more", "", "if it is one list that was handed round, empty it in all files but one")
		default:
			first[lists[at]] = at
		}
	}
	return found
}
