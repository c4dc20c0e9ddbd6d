package intake

import (
	"fmt"
	"strconv"
	"strings"
)

// paper reads a Paper sheet: what lies in the folder. Rows that say neither how many nor for how much are the form's
// own and say nothing. A row is a leftover where it says so, stands on a sheet called Leftovers, or has a size that the
// stock is not bought in and no price.
func (b *builder) paper(s *sheet) {
	s.unit = b.settings.Unit
	for i := range s.columns {
		if c := &s.columns[i]; !c.Double && c.Unit != "" && (c.as == asWidth || c.as == asHeight || c.as == asSpace) {
			s.unit = c.unit
			break
		}
	}
	if u, ok := s.statedUnit(); ok {
		s.unit = u
	}
	for i := s.head + 1; i < len(s.rows); i++ {
		e := &entry{builder: b, sheet: s, row: &s.rows[i]}
		if p, ok := e.paperRow(); ok {
			b.job.Paper = append(b.job.Paper, p)
			b.sheets[p.Stock] = append(b.sheets[p.Stock], p.Size)
		}
	}
}

func (e *entry) paperRow() (p Paper, ok bool) {
	p = Paper{Place: e.sheet.place(e.row, nil), Count: -1, Price: -1, Leftover: strings.Contains(plainLetters(e.sheet.name), "leftover")}
	count, countCol := e.cell(asCount)
	if count == nil {
		count, countCol = e.cell(asCopies) // "Quantity" means the count on this sheet
	}
	price, priceCol := e.cell(asPrice)
	said := false
	if c, col := e.cell(asLeftover); c != nil {
		yes, known := parseYes(c.text)
		if strings.Contains(plainLetters(c.text), "leftover") {
			yes, known = true, true
		} else if strings.HasPrefix(plainLetters(c.text), "sheet") || plainLetters(c.text) == "new" {
			yes, known = false, true
		}
		if !known {
			e.fail(col, fmt.Sprintf("%s is neither yes nor no", quote(c.text)), "", "write yes for a leftover, else no")
		}
		p.Leftover, said = yes, true
	}
	if !e.row.own() || count == nil && price == nil && !p.Leftover {
		return p, false
	}
	var b Block
	stock, stocked := e.stock(&b)
	p.Stock = b.Stock
	sized := e.space(&b)
	p.Size = b.Space
	if count != nil && e.readable(count, countCol) {
		text := count.text
		if count.kind == number {
			text = count.more.value
		}
		n, known := parseCount(text)
		if p.Count = n; !known {
			e.fail(countCol, fmt.Sprintf("%s is no number of sheets", quote(count.text)), "", "type how many there are, as a whole number")
		}
	} else if p.Leftover {
		p.Count = 1
	}
	if price != nil && e.readable(price, priceCol) {
		text := price.text
		if price.kind == number {
			text = plainPrice(price.more.value)
		}
		n, known := parseAmount(text)
		if p.Price = n; !known {
			e.fail(priceCol, fmt.Sprintf("%s is no price", quote(price.text)), "", "type what one sheet costs, like 0.75")
		}
	}
	if stocked && sized && !said && !p.Leftover && price == nil {
		p.Leftover = true
		for _, sh := range stock.Sheets {
			if sh.Size == p.Size || sh.Size == p.Size.Turn() {
				p.Leftover = false
			}
		}
	}
	return p, len(e.wrong) == 0
}

// plainPrice is a number rounded to hundredths.
func plainPrice(value string) string {
	if v, err := strconv.ParseFloat(value, 64); err == nil {
		return strconv.FormatFloat(v, 'f', 2, 64)
	}
	return value
}
