package guide

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"tuckmark/config/measure"
)

// remainder is a part that is no block, and where it is.
type remainder struct {
	stock string
	page  int // 0: of a sheet that was cut before printing
	name  string
	rect  measure.Rect
	keep  bool
}

// remainders are the leftovers and the scrap of the plan in its order.
func (j *job) remainders() []remainder {
	var out []remainder
	for _, s := range j.Plan.Spares {
		out = append(out, remainder{s.Stock, 0, s.Name, s.Rect, s.Keep})
	}
	for i := range j.pieces {
		p := &j.pieces[i]
		for _, r := range p.Leftovers {
			out = append(out, remainder{p.Stock, p.Page, r.Name, r.Rect, r.Keep})
		}
	}
	return out
}

// bill is what everyone owes: for each owner with blocks the area trimmed out and the cents, by stock.
type bill struct {
	owners []string
	stocks []string
	cents  [][]int64 // by owner and stock
	areas  [][]int64
	blocks []int
}

// bill splits the cost of each stock's new sheets between those whose blocks are on it, by trimmed area.
func (j *job) bill() bill {
	var b bill
	for _, u := range j.Plan.Stocks {
		b.stocks = append(b.stocks, u.Stock)
	}
	for _, o := range j.owners {
		if len(o.blocks) == 0 {
			continue
		}
		areas := make([]int64, len(b.stocks))
		for _, s := range o.blocks {
			if i := slices.Index(b.stocks, s.piece.Stock); i >= 0 {
				areas[i] += s.Rect().Size().Area()
			}
		}
		b.owners = append(b.owners, o.name)
		b.areas = append(b.areas, areas)
		b.cents = append(b.cents, make([]int64, len(b.stocks)))
		b.blocks = append(b.blocks, len(o.blocks))
	}
	for k, u := range j.Plan.Stocks {
		weights := make([]int64, len(b.owners))
		for i := range b.owners {
			weights[i] = b.areas[i][k]
		}
		for i, c := range split(u.Cents, weights) {
			b.cents[i][k] = c
		}
	}
	return b
}

func sum(n []int64) (total int64) {
	for _, x := range n {
		total += x
	}
	return total
}

// area prints an area in square inches or square centimetres, to one place.
func (j *job) area(emu2 int64) string {
	unit, name := int64(measure.Inch)*int64(measure.Inch), "sq in"
	if metric(j.unit) {
		unit, name = int64(measure.Centimetre)*int64(measure.Centimetre), "sq cm"
	}
	tenths := (emu2/10 + unit/200) / (unit / 100)
	return fmt.Sprintf("%d.%d %s", tenths/10, tenths%10, name)
}

// account says what was used, what is left and who owes what.
func (j *job) account(p *paper) {
	title := func(text string) {
		p.need(heading.line() + faint.line() + 4*body.line())
		p.text(p.left(), p.y+heading.size, heading, text)
		p.y += heading.line() + measure.Inch/24
	}
	pad := 2 * measure.Point
	title("Paper used")
	t := &table{x: p.left(), w: p.width(), pad: pad, columns: []column{
		{head: "Stock", style: bold},
		{head: "New sheets", w: measure.Inch, style: body, align: toRight},
		{head: "Leftovers", w: measure.Inch, style: body, align: toRight},
		{head: "Pieces", w: measure.Inch * 7 / 10, style: body, align: toRight},
		{head: "Filled", w: measure.Inch * 7 / 10, style: body, align: toRight},
		{head: "Cost", w: measure.Inch, style: bold, align: toRight},
	}}
	t.start(p)
	var sheets, cost int64
	for _, u := range j.Plan.Stocks {
		pieces := 0
		for i := range j.pieces {
			if j.pieces[i].Stock == u.Stock {
				pieces++
			}
		}
		t.row(p, u.Stock, strconv.Itoa(u.NewSheets), strconv.Itoa(j.leftovers(u.Stock)), strconv.Itoa(pieces),
			fmt.Sprintf("%.0f%%", u.Filled*100), j.price(u.Cents))
		sheets += int64(u.NewSheets)
		cost += u.Cents
	}
	t.row(p, "Total", strconv.FormatInt(sheets, 10), "", strconv.Itoa(len(j.pieces)), "", j.price(cost))
	p.space(measure.Inch / 4)

	j.shares(p, title)
	j.kept(p, title)
	j.scrap(p, title)
}

// price prints an amount; paper that costs nothing has no known price.
func (j *job) price(cents int64) string {
	if cents == 0 {
		return "–"
	}
	return j.Settings.Amount(cents)
}

// shares is everyone's part of the cost.
func (j *job) shares(p *paper, title func(string)) {
	b := j.bill()
	title("Who owes what")
	text := "The price of each stock's new sheets, shared by the area trimmed out of it; the shares add up to the cent."
	cents := int64(0)
	for i := range b.owners {
		cents += sum(b.cents[i])
	}
	if cents == 0 {
		text = "No prices are known, so there is nothing to pay; each one's part of the paper is given by area."
	}
	p.para(p.left(), p.width(), small, text)
	p.space(measure.Inch / 24)
	columns := []column{
		{head: "Owner", style: body},
		{head: "Blocks", w: measure.Inch * 6 / 10, style: body, align: toRight},
		{head: "Area", w: measure.Inch * 95 / 100, style: body, align: toRight},
	}
	byStock := len(b.stocks) > 1 && len(b.stocks) <= 4 && cents > 0
	if byStock {
		for _, s := range b.stocks {
			columns = append(columns, column{head: s, w: measure.Inch * 85 / 100, style: body, align: toRight})
		}
	}
	last := "To pay"
	if cents == 0 {
		last = "Part"
	}
	columns = append(columns, column{head: last, w: measure.Inch * 9 / 10, style: bold, align: toRight})
	t := &table{x: p.left(), w: p.width(), pad: 2 * measure.Point, columns: columns}
	t.start(p)
	areas := make([]int64, len(b.owners))
	for i := range areas {
		areas[i] = sum(b.areas[i])
	}
	parts := split(1000, areas) // tenths of a per cent
	row := func(name string, blocks int, area int64, by []int64, total, part int64) {
		cells := []string{name, strconv.Itoa(blocks), j.area(area)}
		if byStock {
			for _, c := range by {
				cells = append(cells, j.price(c))
			}
		}
		if cents == 0 {
			cells = append(cells, fmt.Sprintf("%d.%d%%", part/10, part%10))
		} else {
			cells = append(cells, j.Settings.Amount(total))
		}
		t.row(p, cells...)
	}
	totals := make([]int64, len(b.stocks))
	blocks := 0
	for i, name := range b.owners {
		row(named(name), b.blocks[i], areas[i], b.cents[i], sum(b.cents[i]), parts[i])
		for k, c := range b.cents[i] {
			totals[k] += c
		}
		blocks += b.blocks[i]
	}
	for i := range t.columns {
		t.columns[i].style = bold
	}
	row("Total", blocks, sum(areas), totals, sum(totals), sum(parts))
	p.space(measure.Inch / 4)
}

// alike is equal remainders of a stock, and the pages that they come from.
type alike struct {
	stock string
	size  measure.Size
	pages []int
	n     int
}

func (j *job) rests(keep bool) []alike {
	type kind struct {
		stock string
		size  measure.Size
	}
	var out []alike
	index := map[kind]int{}
	for _, r := range j.remainders() {
		if r.keep != keep {
			continue
		}
		k := kind{r.stock, r.rect.Size()}
		at, ok := index[k]
		if !ok {
			at = len(out)
			index[k] = at
			out = append(out, alike{stock: k.stock, size: k.size})
		}
		out[at].n++
		if r.page > 0 {
			out[at].pages = append(out[at].pages, r.page)
		}
	}
	stocks := j.stocks()
	slices.SortStableFunc(out, func(a, b alike) int {
		return cmp.Or(cmp.Compare(slices.Index(stocks, a.stock), slices.Index(stocks, b.stock)), cmp.Compare(b.size.Area(), a.size.Area()))
	})
	return out
}

// kept lists the leftovers that go back into the folder.
func (j *job) kept(p *paper, title func(string)) {
	rests := j.rests(true)
	title("Leftovers to keep")
	if len(rests) == 0 {
		p.para(p.left(), p.width(), body, "None: nothing that remains can still be fed into a printer.")
		p.space(measure.Inch / 4)
		return
	}
	t := &table{x: p.left(), w: p.width(), pad: 2 * measure.Point, columns: []column{
		{w: measure.Inch / 6, style: body, tick: true},
		{head: "Stock", w: measure.Inch * 16 / 10, style: bold},
		{head: "Size", w: measure.Inch * 16 / 10, style: body},
		{head: "How many", w: measure.Inch * 7 / 10, style: body, align: toRight},
		{head: "From page", style: body, numbers: true},
	}}
	t.start(p)
	for _, r := range rests {
		t.row(p, "x", r.stock, size(r.size, j.unit), strconv.Itoa(r.n), from(r))
	}
	p.space(measure.Inch / 4)
}

func from(r alike) string {
	slices.Sort(r.pages)
	text := ranges(slices.Compact(r.pages))
	if len(r.pages) < r.n {
		if text != "" {
			text += ", "
		}
		text += "cut off before printing"
	}
	return text
}

// scrap says what the scrap is good for, by the largest whole shape that can be punched from it.
func (j *job) scrap(p *paper, title func(string)) {
	type use struct {
		stock   string
		shape   int64 // side of the shape in inches; 0: none
		n       int
		largest measure.Size
	}
	shape := func(inches int64) string { // punches are sold by the inch (common practice)
		text := strconv.FormatInt(inches, 10) + " in"
		if metric(j.unit) {
			text = down(measure.Length(inches)*measure.Inch, j.unit).Format(measure.Mm) + " (" + text + ")"
		}
		return text
	}
	var all []use
	for _, r := range j.rests(false) {
		n := int64(min(r.size.W, r.size.H) / measure.Inch)
		at := slices.IndexFunc(all, func(u use) bool { return u.stock == r.stock && u.shape == n })
		if at < 0 {
			at = len(all)
			all = append(all, use{stock: r.stock, shape: n, largest: r.size})
		}
		all[at].n += r.n
		if r.size.Area() > all[at].largest.Area() {
			all[at].largest = r.size
		}
	}
	if len(all) == 0 {
		return
	}
	stocks := j.stocks()
	slices.SortStableFunc(all, func(a, b use) int {
		return cmp.Or(cmp.Compare(slices.Index(stocks, a.stock), slices.Index(stocks, b.stock)), cmp.Compare(b.shape, a.shape))
	})
	title("Scrap")
	t := &table{x: p.left(), w: p.width(), pad: 2 * measure.Point, columns: []column{
		{head: "Stock", w: measure.Inch * 16 / 10, style: bold},
		{head: "Good for", style: body},
		{head: "Pieces", w: measure.Inch * 7 / 10, style: body, align: toRight},
		{head: "Largest", w: measure.Inch * 16 / 10, style: body, align: toRight},
	}}
	t.start(p)
	for _, u := range all {
		good := "nothing: narrower than " + shape(1) + ", for the bin"
		if u.shape > 0 {
			good = "punching shapes up to " + shape(u.shape)
		}
		t.row(p, u.stock, good, strconv.Itoa(u.n), size(u.largest, j.unit))
	}
	p.space(measure.Inch / 4)
}
