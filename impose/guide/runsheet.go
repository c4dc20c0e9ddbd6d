package guide

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
)

// runSheet says what to load, how to set the printer, what to print and in which order.
func (j *job) runSheet(p *paper, at sections) {
	p.y -= measure.Inch / 16
	p.para(p.left(), p.width(), large, j.summary())
	p.space(measure.Inch / 12)
	j.cautions(p)
	p.space(measure.Inch / 12)
	guides := []int{1}
	for n := len(at.account); n > 0 && len(guides) < at.account[n-1]; {
		guides = append(guides, len(guides)+1)
	}
	t := steps(p, 0)
	t.columns[1].numbers = true
	t.start(p)
	t.row(p, "x", "These guides, on plain paper "+exact(j.Settings.Guide, j.unit)+": print "+pages(guides)+". Check the line below.")
	p.space(measure.Inch / 8)
	for i, stock := range j.stocks() {
		j.card(p, i+1, stock, at)
	}
	j.total(p)
	j.heldBack(p)
	j.notes(p)
	j.check(p)
}

// summary is the whole job in a sentence or two.
func (j *job) summary() string {
	copies, people := 0, 0
	for _, o := range j.owners {
		copies += len(o.blocks)
		if len(o.blocks) > 0 {
			people++
		}
	}
	stocks := len(j.stocks())
	s := fmt.Sprintf("%s: %s for %s, on %s of %s.", capital(j.Title), count(copies, "block"), count(people, "person|people"),
		count(len(j.pieces), "piece"), count(stocks, "stock"))
	if len(j.Files) > 0 {
		files := j.Files
		if len(files) > 3 {
			files = append(slices.Clone(files[:2]), strconv.Itoa(len(files)-2)+" more")
		}
		s += " From " + list(files) + "."
	}
	return s
}

// cautions are the usual ones (common practice; no standard was found for them).
var cautions = [...][2]string{
	{"Size.", "Print at 100% (actual size), never “fit to page”."},
	{"Heat.", "A laser printer can melt stock that is not made for it: read the pack first."},
	{"Feed.", "Sizes are width by height as the printer takes them: the width is the edge that goes in first."},
	{"Ink.", "Let it dry before you touch or stack it."},
	{"Blade.", "Keep fingers behind the rail, close the blade after each cut, and keep it from children."},
	{"Rule.", "The printer's and the stock maker's directions come before this sheet."},
}

func (j *job) cautions(p *paper) {
	pad := measure.Inch / 12
	half := (p.width() - 3*pad) / 2
	heights := [2]measure.Length{}
	type item struct {
		col   int
		y     measure.Length
		lines []string
	}
	var items []item
	for i, c := range cautions {
		col := 0
		if i >= (len(cautions)+1)/2 {
			col = 1
		}
		l := p.lines(small, c[0]+" "+c[1], half-measure.Inch/20) // the first word is bold, and wider
		items = append(items, item{col, heights[col], l})
		heights[col] += measure.Length(len(l)) * small.line()
	}
	h := max(heights[0], heights[1]) + 2*pad
	p.need(h)
	p.fill(measure.Rect{X: p.left(), Y: p.y, W: p.width(), H: h}, tint)
	for i, it := range items {
		x := p.left() + pad + measure.Length(it.col)*(half+pad)
		y := p.y + pad + it.y
		for k, l := range it.lines {
			if k == 0 {
				key := cautions[i][0]
				w := p.text(x, y+small.size, smallB, key) + p.blank(small)
				p.text(x+w, y+small.size, small, strings.TrimPrefix(l, key))
			} else {
				p.text(x, y+small.size, small, l)
			}
			y += small.line()
		}
	}
	p.y += h
}

// stocks are the names of the stocks that are printed, in the order of the pages.
func (j *job) stocks() []string {
	var out []string
	for i := range j.pieces {
		if s := j.pieces[i].Stock; !slices.Contains(out, s) {
			out = append(out, s)
		}
	}
	return out
}

// load is one filling of the tray: pieces of one kind for one printer.
type load struct {
	printer string
	what    string
	many    string
	pages   []int
}

func (j *job) loads(stock string) []load {
	var out []load
	for i := range j.pieces {
		p := &j.pieces[i]
		if p.Stock != stock {
			continue
		}
		what, many := j.source(p.Piece)
		at := slices.IndexFunc(out, func(l load) bool { return l.printer == p.Printer && l.what == what })
		if at < 0 {
			at = len(out)
			out = append(out, load{printer: p.Printer, what: what, many: many})
		}
		out[at].pages = append(out[at].pages, p.Page)
	}
	return out
}

// source says what a piece is, one and many of its kind.
func (j *job) source(p *impose.Piece) (one, many string) {
	switch {
	case j.sliced[sheet{p.Stock, p.Source.Sheet}]:
		return "panel " + exact(p.Size(), j.unit), "panels " + exact(p.Size(), j.unit)
	case p.Source.Kind == impose.FromLeftover:
		s := size(p.Size(), j.unit)
		if n := p.Source.Name; n != "" && !strings.HasPrefix(n, "leftover of ") {
			s += " (" + n + ")"
		}
		return "leftover " + s, "leftovers " + s
	}
	return "sheet " + exact(p.Size(), j.unit), "sheets " + exact(p.Size(), j.unit)
}

// steps is a table of things to do, each with its box, indented by x.
func steps(p *paper, x measure.Length) *table {
	return &table{x: p.left() + x, w: p.width() - x, pad: measure.Inch / 24, columns: []column{
		{w: measure.Inch / 5, style: large, tick: true},
		{style: large, numbers: true},
	}}
}

// card is one stock.
func (j *job) card(p *paper, n int, name string, at sections) {
	stock, _ := j.Settings.Stock(name)
	loads := j.loads(name)
	var numbers []int
	var printers []string
	for _, l := range loads {
		numbers = append(numbers, l.pages...)
		if !slices.Contains(printers, l.printer) {
			printers = append(printers, l.printer)
		}
	}
	slices.Sort(numbers)
	settings := [][2]string{{"Printer", list(printers)}, {"Tray", stock.Tray}, {"Quality", stock.Quality}}
	if stock.Drying > 0 {
		settings = append(settings, [2]string{"Drying", count(stock.Drying, "minute")})
	}
	// Heading, settings and the first step stay together.
	indent := measure.Inch * 2 / 5
	p.need(huge.line() + 3*body.line() + measure.Inch*6/5)
	box := measure.Rect{X: p.left(), Y: p.y, W: measure.Inch * 3 / 10, H: measure.Inch * 3 / 10}
	p.fill(box, black)
	base := p.y + measure.Inch*23/100
	p.cell(box.X, base, box.W, style{true, 14 * measure.Point, white}, strconv.Itoa(n), toCentre)
	half := (p.width() - indent) / 2
	p.cell(p.left()+indent, base, half, huge, capital(name), toLeft)
	p.cell(p.left()+indent+half, base, half, huge, pages(numbers), toRight)
	p.y += measure.Inch * 38 / 100
	j.advice(p, p.left()+indent, p.width()-indent, settings)
	if stock.Caution != "" {
		p.para(p.left()+indent, p.width()-indent, small, "Caution: "+stock.Caution)
		p.space(2 * measure.Point)
	}
	t := steps(p, indent)
	t.start(p)
	for _, c := range j.panels {
		if c.stock == name {
			j.precut(p, t, &c)
		}
	}
	for _, l := range loads {
		what := "1 " + l.what
		if len(l.pages) > 1 {
			what = fmt.Sprintf("%d %s", len(l.pages), l.many)
		}
		do := "Load " + what + ": print "
		if len(printers) > 1 {
			do = "On " + l.printer + ", load " + what + ": print "
		}
		t.row(p, "x", do+pages(l.pages)+".")
	}
	last := "Cut by the cutting guide, from " + pages(j.guidePage(name, at)) + "."
	if stock.Drying > 0 {
		last = "Lay out singly to dry for " + count(stock.Drying, "minute") + ". Then cut by the cutting guide, from " +
			pages(j.guidePage(name, at)) + "."
	}
	t.row(p, "x", last)
	p.space(measure.Inch * 3 / 20)
}

// guidePage is the page of the cutting guide that a stock begins on.
func (j *job) guidePage(stock string, at sections) []int {
	if i, ok := j.begins[stock]; ok && i < len(at.cutting) {
		return at.cutting[i : i+1]
	}
	return []int{0}
}

// advice writes settings as small headings with the values under them, side by side.
func (j *job) advice(p *paper, x, w measure.Length, settings [][2]string) {
	settings = slices.DeleteFunc(settings, func(s [2]string) bool { return s[1] == "" })
	if len(settings) == 0 {
		return
	}
	t := &table{x: x, w: w, pad: measure.Point, open: true}
	var cells []string
	for _, s := range settings {
		c := column{head: s[0], style: bold}
		if s[0] == "Printer" || s[0] == "Drying" {
			c.w = w * 16 / 100
		}
		t.columns = append(t.columns, c)
		cells = append(cells, s[1])
	}
	t.start(p)
	t.row(p, cells...)
	p.space(2 * measure.Point)
}

// precut is the step of cutting sheets into panels, with a small picture to its right.
func (j *job) precut(p *paper, t *table, c *panels) {
	const side = 14 * measure.Inch / 10
	pic := newPicture(p.hand, c.way, func(q *part) wording {
		if q.block < 0 {
			return leftoverWording(size(q.rect.Size(), j.unit))
		}
		return wording{tries: [][]string{{"print", exact(q.rect.Size(), j.unit)}, {exact(q.rect.Size(), j.unit)}, {"print"}}, style: small}
	}, side, side)
	beside := *t
	beside.columns = slices.Clone(t.columns)
	beside.w -= side + gutter
	beside.columns[1].w -= side + gutter
	text := j.precutText(c)
	h := max(beside.height(p, []string{"x", text}), pic.height)
	p.need(h)
	top := p.y
	pic.draw(p, t.x+t.w-side, top)
	beside.open = true
	beside.row(p, "x", text)
	p.y = top + h
	t.rule(p)
}

// precutText says how sheets are cut into panels.
func (j *job) precutText(c *panels) string {
	what := "sheet"
	if c.leftover {
		what = "leftover"
	}
	text := fmt.Sprintf("Before printing, cut %s %s:", count(c.sheets, what), exact(c.way.root.rect.Size(), j.unit))
	for i, s := range c.way.steps {
		if len(c.way.steps) > 1 {
			text += fmt.Sprintf(" (%d)", i+1)
		}
		text += fmt.Sprintf(" %s of the %s against the fence, set %s;", s.edge(), exact(s.of.rect.Size(), j.unit), s.set.About(ruler(j.unit)))
	}
	text = strings.TrimSuffix(text, ";") + "."
	made := map[string]int{}
	var order []string
	c.way.root.leaves(func(q *part) {
		name := exact(q.rect.Size(), j.unit)
		switch {
		case q.block >= 0:
			name += " to print"
		case q.keep:
			name += " to keep"
		default:
			name += " scrap"
		}
		if made[name] == 0 {
			order = append(order, name)
		}
		made[name]++
	})
	for i, name := range order {
		order[i] = strconv.Itoa(made[name]) + " of " + name
	}
	text += " Each gives " + list(order) + "."
	return text
}

// total is the sum of what is used.
func (j *job) total(p *paper) {
	sheets, leftovers := 0, 0
	var cents int64
	for _, u := range j.Plan.Stocks {
		sheets += u.NewSheets
		cents += u.Cents
		leftovers += j.leftovers(u.Stock)
	}
	text := "Total: " + count(len(j.pieces), "piece") + " to print, from " + count(sheets, "new sheet")
	if leftovers > 0 {
		text += " and " + count(leftovers, "leftover")
	}
	if cents > 0 {
		text += "; paper for " + money(cents, j.Settings)
	}
	p.need(strong.line())
	p.para(p.left(), p.width(), strong, text+".")
	p.space(measure.Inch / 8)
}

// leftovers is how many leftovers of a stock are used.
func (j *job) leftovers(stock string) int {
	used := map[int]bool{}
	for i := range j.pieces {
		if p := &j.pieces[i]; p.Stock == stock && p.Source.Kind == impose.FromLeftover {
			used[p.Source.Sheet] = true
		}
	}
	return len(used)
}

// heldBack lists the rows that are not printed, all of them.
func (j *job) heldBack(p *paper) {
	if len(j.Plan.Held) == 0 {
		return
	}
	p.need(heading.line() + 3*body.line() + measure.Inch/4)
	p.text(p.left(), p.y+heading.size, heading, "Held back: "+count(len(j.Plan.Held), "row")+", not in this print")
	p.y += heading.line() + 2*measure.Point
	t := &table{x: p.left(), w: p.width(), pad: 2 * measure.Point, columns: []column{
		{w: measure.Inch / 6, style: body, tick: true},
		{head: "Row", w: measure.Inch * 19 / 10, style: body},
		{head: "Block", w: measure.Inch * 8 / 10, style: bold},
		{head: "Owner", w: measure.Inch * 13 / 10, style: body},
		{head: "Why", style: body},
	}}
	t.start(p)
	for _, h := range j.Plan.Held {
		t.row(p, "x", where(h.Place), h.Code, h.Owner, h.Why)
	}
	p.space(measure.Inch / 8)
}

// where names a row.
func where(at problem.Place) string {
	var parts []string
	if at.File != "" {
		parts = append(parts, at.File)
	}
	if at.Sheet != "" {
		parts = append(parts, at.Sheet)
	}
	if at.Row > 0 {
		parts = append(parts, "row "+strconv.Itoa(at.Row))
	}
	return strings.Join(parts, ", ")
}

// notes lists what was noted, the same thing said once.
func (j *job) notes(p *paper) {
	const most = 6
	type note struct {
		what, hint string
		at         []string
	}
	var all []note
	index := map[string]int{}
	for _, n := range j.Problems {
		if n.Severity != problem.Note {
			continue
		}
		i, ok := index[n.What]
		if !ok {
			i = len(all)
			index[n.What] = i
			all = append(all, note{what: n.What, hint: n.Hint})
		}
		all[i].at = append(all[i].at, where(n.Place))
	}
	if len(all) == 0 {
		return
	}
	p.need(heading.line() + 2*body.line())
	p.text(p.left(), p.y+heading.size, heading, "Worth knowing")
	p.y += heading.line() + 2*measure.Point
	for _, n := range all[:min(most, len(all))] {
		text := n.what
		switch {
		case len(n.at) == 1 && n.at[0] != "":
			text = n.at[0] + ": " + text
		case len(n.at) > 1:
			text = count(len(n.at), "row") + ": " + text
		}
		p.para(p.left(), p.width(), body, text+".")
	}
	if more := len(all) - most; more > 0 {
		p.para(p.left(), p.width(), body, "And "+strconv.Itoa(more)+" more: the report's sheet Notes has them all.")
	}
	p.space(measure.Inch / 8)
}

// check draws a line of known length at the foot of the run sheet's first page, to see whether the printer scales.
func (j *job) check(p *paper) {
	length, name := 4*measure.Inch, "4 in"
	if metric(j.unit) {
		length, name = 100*measure.Millimetre, "100 mm"
	}
	first := &paper{hand: p.hand, size: p.size, pages: p.pages[:1]}
	y := first.size.H - margin - measure.Inch*25/100
	x := first.left()
	first.stroke(x, y, x+length, y, stroke, black, 0)
	for _, at := range []measure.Length{x, x + length} {
		first.stroke(at, y-measure.Inch/20, at, y+measure.Inch/20, stroke, black, 0)
	}
	first.cell(x+length+measure.Inch/8, y+3*measure.Point, first.right()-x-length-measure.Inch/8, small,
		"This line is exactly "+name+" long, or the printer scales.", toLeft)
}
