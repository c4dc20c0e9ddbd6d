package guide

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// formatArea prints an area in square inches or square centimetres, to one place.
func (j *job) formatArea(area int64) string {
	side, name := measure.Inch, "sq in"
	if j.unit.Metric() {
		side, name = measure.Centimetre, "sq cm"
	}
	return fmt.Sprintf("%.1f %s", account.AreaIn(area, side), name)
}

// paperAccount says what was used, what is left and who owes what.
func (j *job) paperAccount(p *pageWriter) {
	title := func(text string) {
		p.need(heading.line() + faint.line() + 4*body.line())
		p.text(p.left(), p.y+heading.size, heading, text)
		p.y += heading.line() + measure.Inch/24
	}
	pad := 3 * measure.Point / 2
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
		for i := range j.Pieces {
			if j.Pieces[i].Stock == u.Stock {
				pieces++
			}
		}
		t.row(p, u.Stock, strconv.Itoa(u.NewSheets), strconv.Itoa(j.LeftoversUsed(u.Stock)), strconv.Itoa(pieces),
			fmt.Sprintf("%.0f%%", u.Filled*100), j.price(u.Cents))
		sheets += int64(u.NewSheets)
		cost += u.Cents
	}
	t.row(p, "Total", strconv.FormatInt(sheets, 10), "", strconv.Itoa(len(j.Pieces)), "", j.price(cost))
	p.space(measure.Inch / 6)

	j.shares(p, title)
	p.need(heading.line() + faint.line() + 4*body.line())
	if p.width() >= wideEnough {
		p.part(2, 0)
	}
	j.kept(p, title)
	p.next()
	j.scrap(p, title)
	p.unpart()
}

// price prints an amount; paper that costs nothing has no known price.
func (j *job) price(cents int64) string {
	if cents == 0 {
		return "–"
	}
	return j.Settings.Amount(cents)
}

// shares is everyone's part of the cost.
func (j *job) shares(p *pageWriter, title func(string)) {
	b := j.Bill()
	title("Who owes what")
	text, toPay := j.How(), b.Total() != 0
	if !toPay {
		text += " Each one's part of the paper is given by area."
	}
	p.para(p.left(), p.width(), small, text)
	for _, price := range j.Prices() {
		p.para(p.left(), p.width(), small, j.Said(price))
	}
	p.space(measure.Inch / 24)
	columns := []column{
		{head: "Owner", style: body},
		{head: "Blocks", w: measure.Inch * 42 / 100, style: body, align: toRight},
		{head: "Area", w: measure.Inch * 85 / 100, style: body, align: toRight},
	}
	byItem := len(b.Items) > 1 && len(b.Items) <= 4 && toPay
	if byItem {
		for _, item := range b.Items {
			columns = append(columns, column{head: item.Name, w: measure.Inch * 85 / 100, style: body, align: toRight})
		}
	}
	last := "Part"
	if toPay {
		last = "To pay"
	}
	columns = append(columns, column{head: last, w: measure.Inch * 75 / 100, style: bold, align: toRight})
	parts := account.Share(1000, b.Areas) // tenths of a per cent
	var rows [][]string
	row := func(name string, blocks int, area int64, by []int64, part int64) {
		cells := []string{name, strconv.Itoa(blocks), j.formatArea(area)}
		if byItem {
			for _, c := range by {
				cells = append(cells, j.price(c))
			}
		}
		if toPay {
			cells = append(cells, j.Settings.Amount(account.Sum(by)))
		} else {
			cells = append(cells, fmt.Sprintf("%d.%d%%", part/10, part%10))
		}
		rows = append(rows, cells)
	}
	blocks := 0
	for i, name := range b.Owners {
		row(named(name), b.Blocks[i], b.Areas[i], b.Cents[i], parts[i])
		blocks += b.Blocks[i]
	}
	row("Total", blocks, account.Sum(b.Areas), b.Totals(), account.Sum(parts))
	for i, text := range rows[len(rows)-1] { // the totals, which are the widest
		if columns[i].w > 0 {
			columns[i].w = max(columns[i].w, p.advance(bold, text)+2*measure.Point) // more than the words and spaces that it may be broken at
		}
	}
	t := &table{x: margin, w: p.width(), pad: 3 * measure.Point / 2, columns: columns}
	const few = 12
	if !byItem && len(rows) > few && p.width() >= wideEnough { // side by side
		p.part(2, 0)
		t.fill(p, 0, bold, rows)
		h := 2 * t.headed()
		for _, r := range rows {
			h += t.height(p, r)
		}
		p.part(2, h)
	}
	t.start(p)
	for i, r := range rows {
		if i == len(rows)-1 {
			for i := range t.columns {
				t.columns[i].style = bold
			}
		}
		t.row(p, r...)
	}
	p.unpart()
	p.space(measure.Inch / 6)
}

// kept lists the leftovers that go back into the folder.
func (j *job) kept(p *pageWriter, title func(string)) {
	rests := j.Rests(true)
	title("Leftovers to keep")
	if len(rests) == 0 {
		p.para(p.left(), p.width(), body, "None: nothing that remains can still be fed into a printer.")
		p.space(measure.Inch / 6)
		return
	}
	t := &table{x: margin, w: p.width(), pad: 3 * measure.Point / 2, columns: []column{
		{style: body, tick: true},
		{head: "Stock", style: bold},
		{head: "Size", style: body},
		{head: "Count", style: body, align: toRight},
		{head: "Page", style: body, numbers: true},
	}}
	var rows [][]string
	for _, r := range rests {
		rows = append(rows, []string{"x", r.Stock, r.Size.Down(j.unit), strconv.Itoa(r.Count), from(r)})
	}
	t.fill(p, 4, body, rows)
	t.write(p, rows)
	p.space(measure.Inch / 6)
}

func from(r account.Rests) string {
	text := account.Ranges(r.Pages)
	if r.Spare > 0 {
		if text != "" {
			text += ", "
		}
		text += "cut off before printing"
	}
	return text
}

// scrap says what the scrap is good for, by the largest whole shape that can be punched from it.
func (j *job) scrap(p *pageWriter, title func(string)) {
	type use struct {
		stock   string
		shape   int64 // side of the shape in inches; 0: none
		n       int
		largest measure.Size
	}
	shape := func(inches int64) string { // punches are sold by the inch (common practice)
		text := strconv.FormatInt(inches, 10) + " in"
		if j.unit.Metric() {
			text = j.unit.Down(measure.Length(inches)*measure.Inch).Format(measure.Mm) + " (" + text + ")"
		}
		return text
	}
	var all []use
	for _, r := range j.Rests(false) {
		n := int64(min(r.Size.W, r.Size.H) / measure.Inch)
		at := slices.IndexFunc(all, func(u use) bool { return u.stock == r.Stock && u.shape == n })
		if at < 0 {
			at = len(all)
			all = append(all, use{stock: r.Stock, shape: n, largest: r.Size})
		}
		all[at].n += r.Count
		if r.Size.Area() > all[at].largest.Area() {
			all[at].largest = r.Size
		}
	}
	if len(all) == 0 {
		return
	}
	stocks := j.Stocks()
	slices.SortStableFunc(all, func(a, b use) int {
		return cmp.Or(cmp.Compare(slices.Index(stocks, a.stock), slices.Index(stocks, b.stock)), cmp.Compare(b.shape, a.shape))
	})
	title("Scrap, for punching shapes")
	t := &table{x: margin, w: p.width(), pad: 3 * measure.Point / 2, columns: []column{
		{head: "Stock", style: bold},
		{head: "Shapes up to", style: body},
		{head: "Count", style: body, align: toRight},
		{head: "Largest", style: body, align: toRight},
	}}
	var rows [][]string
	for _, u := range all {
		good := "none: for the bin"
		if u.shape > 0 {
			good = shape(u.shape)
		}
		rows = append(rows, []string{u.stock, good, strconv.Itoa(u.n), u.largest.Down(j.unit)})
	}
	t.fill(p, 1, body, rows)
	t.write(p, rows)
	p.space(measure.Inch / 6)
}
