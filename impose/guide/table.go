package guide

import "tuckmark/config/measure"

// column is one of a table's. Its texts are wrapped, or cut short where one says so; one that holds page numbers keeps
// room for longer ones.
type column struct {
	head    string
	w       measure.Length // nought: what the others leave
	style   style
	align   align
	one     bool
	whole   bool // its texts are broken last of all
	numbers bool
	tick    bool // a box, where the row's text is not empty
	badge   bool // the number of a cut
}

// table writes rows under their headings and goes on at the top of the next column or page when one is full.
type table struct {
	x, w    measure.Length // x is of the page's first column
	columns []column
	pad     measure.Length // above and below each row
	again   func()         // after a page break, before the headings; may be nil
	open    bool           // without lines
}

const gutter = measure.Inch / 10

func (t *table) resolve() {
	rest, open := t.w, 0
	for i, c := range t.columns {
		rest -= c.w
		if c.w == 0 {
			open++
		}
		if i > 0 {
			rest -= gutter
		}
	}
	for i := range t.columns {
		if t.columns[i].w == 0 {
			t.columns[i].w = rest / measure.Length(open)
		}
	}
}

// start begins the table where at least its headings and a few lines fit.
func (t *table) start(p *pageWriter) {
	t.resolve()
	p.need(faint.line() + 3*large.line())
	t.headings(p)
}

// fit makes each column as wide as its texts, and the table as wide as that comes to; where it would be wider than most, the widest texts are
// broken into lines: at their spaces, as long as a column has some width to spare so.
func (t *table) fit(p *pageWriter, rows [][]string, most measure.Length) {
	t.w = measure.Length(len(t.columns)-1) * gutter
	n := len(t.columns)
	kept, words := make([]measure.Length, n), make([]measure.Length, n)
	for i := range t.columns {
		c := &t.columns[i]
		c.w = p.advance(faint, c.head)
		words[i] = c.w
		for _, r := range rows {
			switch {
			case c.badge:
				c.w = max(c.w, badgeWidth(p, r[i]))
			case c.tick:
				c.w = max(c.w, c.style.size+2*measure.Point)
			default:
				text := r[i]
				if c.numbers {
					text = widest(text)
				}
				c.w = max(c.w, p.advance(c.style, text)+2*measure.Point) // more than the words and spaces that it may be broken at
				for _, word := range unbroken(text) {
					words[i] = max(words[i], p.advance(c.style, word))
				}
			}
		}
		if c.badge || c.tick {
			words[i] = c.w
		}
		if kept[i] = words[i]; c.whole {
			kept[i] = c.w
		}
		t.w += c.w
	}
	for _, least := range [][]measure.Length{kept, words, make([]measure.Length, n)} {
		t.narrow(most, least)
	}
}

// narrow takes width from the widest columns, from none more than what it needs at least, until the table is no wider than most.
func (t *table) narrow(most measure.Length, least []measure.Length) {
	for t.w > most {
		wide := -1
		for i, c := range t.columns {
			if c.w > least[i] && (wide < 0 || c.w > t.columns[wide].w) {
				wide = i
			}
		}
		if wide < 0 {
			return
		}
		c := &t.columns[wide]
		step := min(t.w-most, measure.Inch/20, c.w-least[wide])
		c.w, t.w = c.w-step, t.w-step
	}
}

// fill makes each column as wide as its texts, of which some rows may be in a wider style, and gives the rest of the page's width to the column of that number.
func (t *table) fill(p *pageWriter, rest int, wider style, rows [][]string) {
	styles := make([]style, len(t.columns))
	for i := range t.columns {
		styles[i], t.columns[i].style.bold = t.columns[i].style, t.columns[i].style.bold || wider.bold
	}
	t.fit(p, rows, p.width())
	t.columns[rest].w += p.width() - t.w
	t.w = p.width()
	for i := range t.columns {
		t.columns[i].style = styles[i]
	}
}

// write writes a whole table.
func (t *table) write(p *pageWriter, rows [][]string) {
	t.start(p)
	for _, r := range rows {
		t.row(p, r...)
	}
}

// headed is what the headings take.
func (t *table) headed() measure.Length {
	for _, c := range t.columns {
		if c.head != "" {
			return faint.line() + measure.Point
		}
	}
	return 0
}

func (t *table) headings(p *pageWriter) {
	x := t.x + p.across()
	for _, c := range t.columns {
		if c.head != "" {
			p.cell(x, p.y+faint.size, c.w, faint, c.head, c.align)
		}
		x += c.w + gutter
	}
	p.y += t.headed()
	t.rule(p)
}

func (t *table) rule(p *pageWriter) {
	if !t.open {
		p.rule(t.x+p.across(), t.x+p.across()+t.w, p.y, hairline)
	}
}

// height is what a row takes.
func (t *table) height(p *pageWriter, cells []string) measure.Length {
	h, base := measure.Length(0), t.base(cells)
	for i, c := range t.columns {
		if cells[i] == "" {
			continue
		}
		n := 1
		if !c.one && !c.tick {
			text := cells[i]
			n = len(p.breakLines(c.style, text, c.w))
			if c.numbers {
				n = max(n, len(p.breakLines(c.style, widest(text), c.w)))
			}
		}
		h = max(h, base-c.style.size+measure.Length(n)*c.style.line())
	}
	return h + 2*t.pad
}

// base is the baseline of a row's first line, one for all of its cells.
func (t *table) base(cells []string) (base measure.Length) {
	for i, c := range t.columns {
		if cells[i] != "" {
			base = max(base, c.style.size)
		}
	}
	return base
}

// row writes one row.
func (t *table) row(p *pageWriter, cells ...string) {
	if p.hand.stop != nil && p.hand.stop() {
		return
	}
	h := t.height(p, cells)
	room := p.size.H - 3*margin - measure.Inch // of a page below its headings
	if h <= room && p.need(h+hairline) {
		if t.again != nil {
			t.again()
		}
		t.headings(p)
	}
	if h > room { // taller than a page: never in one go
		t.tall(p, cells)
		return
	}
	base := t.base(cells)
	x := t.x + p.across()
	for i, c := range t.columns {
		y := p.y + t.pad + base
		switch {
		case cells[i] == "":
		case c.tick:
			p.tick(x, y-c.style.size, c.style)
		case c.badge:
			w := badgeWidth(p, cells[i])
			badge{cells[i], measure.Rect{X: x + (c.w-w)/2, Y: y - badgeH*83/100, W: w, H: badgeH}}.draw(p)
		case c.one:
			p.cell(x, y, c.w, c.style, cells[i], c.align)
		default:
			for _, l := range p.breakLines(c.style, cells[i], c.w) {
				p.cell(x, y, c.w+measure.Point, c.style, l, c.align)
				y += c.style.line()
			}
		}
		x += c.w + gutter
	}
	p.y += h
	t.rule(p)
}

// tall writes a row line by line, cell after cell.
func (t *table) tall(p *pageWriter, cells []string) {
	for i, c := range t.columns {
		if cells[i] != "" && !c.tick {
			p.para(t.x+p.across(), t.w, c.style, cells[i])
		}
	}
	t.rule(p)
}
