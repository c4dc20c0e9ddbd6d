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
	numbers bool
	tick    bool // a box, where the row's text is not empty
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

func (t *table) headings(p *pageWriter) {
	any := false
	x := t.x + p.across()
	for _, c := range t.columns {
		if c.head != "" {
			any = true
			p.cell(x, p.y+faint.size, c.w, faint, c.head, c.align)
		}
		x += c.w + gutter
	}
	if any {
		p.y += faint.line() + measure.Point
	}
	t.rule(p)
}

func (t *table) rule(p *pageWriter) {
	if !t.open {
		p.rule(t.x+p.across(), t.x+p.across()+t.w, p.y, hairline)
	}
}

// height is what a row takes.
func (t *table) height(p *pageWriter, cells []string) measure.Length {
	h := measure.Length(0)
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
		h = max(h, measure.Length(n)*c.style.line())
	}
	return h + 2*t.pad
}

// row writes one row.
func (t *table) row(p *pageWriter, cells ...string) {
	if p.hand.stop != nil && p.hand.stop() {
		return
	}
	h := t.height(p, cells)
	room := p.bottom() - margin - measure.Inch
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
	base := measure.Length(0) // one baseline for the first line of all
	for i, c := range t.columns {
		if cells[i] != "" {
			base = max(base, c.style.size)
		}
	}
	x := t.x + p.across()
	for i, c := range t.columns {
		y := p.y + t.pad + base
		switch {
		case cells[i] == "":
		case c.tick:
			p.tick(x, y-c.style.size, c.style)
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
