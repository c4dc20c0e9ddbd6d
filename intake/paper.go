package intake

import (
	"fmt"
	"slices"
	"strconv"
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
	s.findUnit(b.settings.Unit)
	b.aboveHeadings(s)
	// Cells of rows that are none of paper, and of columns that are not read.
	idle := s.notOfPaper(&s.Rows[s.Head])
	for i := s.Head + 1; i < len(s.Rows); i++ {
		e := &entry{builder: b, sheet: s, row: &s.Rows[i]}
		if len(b.job.Paper) == config.MostPaper && e.row.HasOwnCells() {
			s.problems.Add(problem.Place{File: s.File, Sheet: s.Name}, fmt.Sprintf("more than %d rows of paper are listed, and the rows from %d on were not looked at", config.MostPaper, e.row.N), "",
				"write pieces of one stock and one size once, with their count")
			break
		}
		p, ok := e.paperRow()
		if ok {
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
}

// notOfPaper are the cells of a row in columns that are not read.
func (s *Sheet) notOfPaper(r *table.Row) []table.Spot {
	return spots(r, slices.DeleteFunc(s.own(r), func(c *table.Cell) bool { return s.readsPaper(c.Col) }))
}

// readsPaper reports whether a column of a list of paper is read.
func (s *Sheet) readsPaper(col int) bool {
	for _, m := range []meaning{asStock, asWidth, asHeight, asSpace, asCount, asPrice, asLeftover, asTuck} {
		if c := s.column(m); c != nil && c.Index == col {
			return true
		}
	}
	c := s.column(asCopies)
	return c != nil && c.Index == col && s.column(asCount) == nil
}

func (e *entry) paperRow() (p Paper, ok bool) {
	p = Paper{Place: e.sheet.place(e.row, nil), Count: -1, Price: -1, Leftover: strings.Contains(plainLetters(e.sheet.Name), "leftover")}
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
	if !e.row.HasOwnCells() || count == nil && price == nil && !p.Leftover {
		return p, false
	}
	var b Block
	e.stock(&b)
	p.Stock = b.Stock
	sized := e.space(&b)
	p.Size = b.Space
	if count != nil && e.readable(count, countCol) {
		text := count.ExactText()
		n, known := parseCount(text)
		if p.Count = n; !known {
			e.fail(countCol, fmt.Sprintf("%s is no number of sheets", measure.Quote(count.Text)), "", "type how many there are, as a whole number")
		}
	} else if p.Leftover {
		p.Count = 1
	}
	if price != nil && e.readable(price, priceCol) {
		n, known := Amount(price)
		p.Sign = config.SignOf(price.Text)
		if p.Price = n; !known || config.InHundredths(price.Text) {
			e.fail(priceCol, fmt.Sprintf("%s is no price", measure.Quote(price.Text)), "", "type what one sheet costs, like 0.75")
		}
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

// Amount is the amount of money in a cell, in hundredths, whether it holds a number or a text such as "$3.50".
func Amount(c *table.Cell) (cents int64, ok bool) {
	text := c.Text
	if c.Kind == table.Number {
		text = plainPrice(c.ExactText())
	}
	return parseAmount(text)
}

// plainPrice is a number rounded to hundredths.
func plainPrice(value string) string {
	if v, err := strconv.ParseFloat(value, 64); err == nil {
		return strconv.FormatFloat(v, 'f', 2, 64)
	}
	return value
}
