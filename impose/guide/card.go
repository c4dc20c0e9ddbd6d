package guide

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// load is one filling of the tray: pieces of one kind for one printer, or those that lie on carriers.
type load struct {
	printer string
	noun    string        // sheet, leftover or panel
	which   string        // its size, with its name
	carrier *plan.Carrier // nil: they feed by themselves
	pages   []int
	on      [][]string // what lies on the carrier of each page
}

func (j *job) loads(stock string) []load {
	var out []load
	for _, p := range j.Pieces {
		if p.Stock != stock {
			continue
		}
		noun, which := j.source(p.Piece)
		at := slices.IndexFunc(out, func(l load) bool {
			return l.printer == p.Printer && (l.carrier == nil) == (p.Carrier == nil) && (l.carrier != nil || l.noun == noun && l.which == which)
		})
		if at < 0 {
			at = len(out)
			out = append(out, load{printer: p.Printer, noun: noun, which: which, carrier: p.Carrier})
		}
		l := &out[at]
		if p.Carrier != nil && p.Carrier.Nth > 0 {
			last := &l.on[len(l.on)-1]
			*last = append(*last, noun+" "+which)
			continue
		}
		l.pages, l.on = append(l.pages, p.Page), append(l.on, []string{noun + " " + which})
	}
	return out
}

// source says what a piece is and which: its size, with the name or maker of the sheet where the settings give it.
func (j *job) source(p *plan.Piece) (noun, which string) {
	name := ""
	if n := p.Source.Name; n != "" && !strings.HasPrefix(n, "leftover of ") {
		name = " (" + n + ")"
	}
	noun, size := "sheet", exact(p.Size(), j.unit)
	switch {
	case p.Source.Cut != nil:
		noun = "panel"
	case p.Source.Leftover:
		noun, size = "leftover", p.Size().Down(j.unit)
	}
	return noun, size + name
}

// steps is a table of things to do, each with its box, indented by x.
func steps(p *pageWriter, x measure.Length) *table {
	return &table{x: p.left() + x, w: p.width() - x, pad: measure.Inch / 40, columns: []column{
		{w: measure.Inch / 5, style: large, tick: true},
		{style: large, numbers: true},
	}}
}

// card is one stock.
func (j *job) card(p *pageWriter, n int, name string, at sections) {
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
	settings := [][2]string{{"Printer", problem.And(printers)}, {"Tray", stock.Tray}, {"Quality", stock.Quality}}
	if stock.Drying > 0 {
		settings = append(settings, [2]string{"Drying", problem.Count(stock.Drying, "minute")})
	}
	// Heading, settings and the first step stay together.
	indent := measure.Inch * 2 / 5
	p.need(huge.line() + 3*body.line() + measure.Inch*6/5)
	box := measure.Rect{X: p.left(), Y: p.y, W: measure.Inch * 3 / 10, H: measure.Inch * 3 / 10}
	p.fill(box, black)
	base := p.y + measure.Inch*23/100
	p.cell(box.X, base, box.W, style{true, 14 * measure.Point, white}, strconv.Itoa(n), toCentre)
	half := (p.width() - indent) / 2
	p.cell(p.left()+indent, base, half, huge, problem.Capital(name), toLeft)
	p.cell(p.left()+indent+half, base, half, huge, pages(numbers), toRight)
	p.y += measure.Inch * 34 / 100
	j.advice(p, p.left()+indent, p.width()-indent, settings)
	if stock.Caution != "" {
		p.para(p.left()+indent, p.width()-indent, small, "Caution: "+stock.Caution)
		p.space(2 * measure.Point)
	}
	t := steps(p, indent)
	t.start(p)
	for _, c := range j.Panels {
		if c.Stock == name {
			j.precut(p, t, &c)
		}
	}
	for _, l := range loads {
		if l.carrier != nil {
			t.row(p, "x", j.riding(l))
			continue
		}
		what := problem.Count(len(l.pages), l.noun) + " " + l.which
		do := "Load " + what + ": print "
		if len(printers) > 1 {
			do = "On " + l.printer + ", load " + what + ": print "
		}
		t.row(p, "x", do+pages(l.pages)+".")
	}
	cut := "cut "
	if j.Scissors {
		cut = "cut out "
	}
	cut += "by the cutting guide, from " + pages(j.guidePage(name, at)) + "."
	last := problem.Capital(cut)
	if stock.Drying > 0 {
		last = "Lay out singly to dry for " + problem.Count(stock.Drying, "minute") + ". Then " + cut
	}
	t.row(p, "x", last)
	p.space(measure.Inch / 8)
}

// riding says how pieces that no printer pulls are printed on carriers: the outline's page is the one before the pieces'.
func (j *job) riding(l load) string {
	var turns []string
	for i, n := range l.pages {
		turns = append(turns, fmt.Sprintf("%d, then %d with %s", n-1, n, problem.And(l.on[i])))
	}
	return fmt.Sprintf("Too small to feed on %s, so they ride. For each of these print the outline on a plain sheet of %s, fix each piece inside its outline with tape that comes off, "+
		"load the sheet again and print the page after: %s.", l.printer, exact(l.carrier.Size, j.unit), strings.Join(turns, "; "))
}

// guidePage is the page of the cutting guide that a stock begins on.
func (j *job) guidePage(stock string, at sections) []int {
	if i, ok := j.begins[stock]; ok && i < len(at.cutting) {
		return at.cutting[i : i+1]
	}
	return []int{0}
}

// advice writes settings as small headings with the values under them, side by side.
func (j *job) advice(p *pageWriter, x, w measure.Length, settings [][2]string) {
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
func (j *job) precut(p *pageWriter, t *table, c *account.Panels) {
	const side = 14 * measure.Inch / 10
	pic := newPicture(p.hand, c.Cutting, c.Lines, func(q *account.Part) wording {
		if !q.Panel {
			return leftoverWording(q.Rect.Size().Down(j.unit))
		}
		return wording{tries: [][]string{{"print", exact(q.Rect.Size(), j.unit)}, {exact(q.Rect.Size(), j.unit)}, {"print"}}, style: small}
	}, side, side)
	beside := *t
	beside.columns = slices.Clone(t.columns)
	beside.w -= side + gutter
	beside.columns[1].w -= side + gutter
	text := j.precutText(c)
	h := max(beside.height(p, []string{"x", text}), pic.size.H)
	p.need(h)
	top := p.y
	pic.draw(p, t.x+t.w-pic.size.W, top)
	beside.open = true
	beside.row(p, "x", text)
	p.y = top + h
	t.rule(p)
}

// precutText says how sheets are cut into panels.
func (j *job) precutText(c *account.Panels) string {
	what := "sheet"
	if c.Leftover {
		what = "leftover"
	}
	text := fmt.Sprintf("Before printing, cut %s %s:", problem.Count(c.Sheets, what), exact(c.Whole.Rect.Size(), j.unit))
	for i := range c.Lines {
		l := &c.Lines[i]
		if len(c.Lines) > 1 {
			text += fmt.Sprintf(" (%d)", l.N)
		}
		s := l.Step
		if j.Scissors {
			text += fmt.Sprintf(" rule a line %s from the %s of the %s and cut along it", s.Set.About(j.unit.Ruler()), s.Edge(), exact(s.Of.Rect.Size(), j.unit))
		} else {
			text += fmt.Sprintf(" %s of the %s against the fence, set %s", s.Edge(), exact(s.Of.Rect.Size(), j.unit), s.Set.About(j.unit.Ruler()))
		}
		if l.Times > 1 {
			text += ", " + l.Often()
		}
		text += ";"
	}
	text = strings.TrimSuffix(text, ";") + "."
	made := map[string]int{}
	var order []string
	for q := range c.Whole.Leaves {
		name := exact(q.Rect.Size(), j.unit)
		switch {
		case q.Panel:
			name += " to print"
		case q.Keep:
			name += " to keep"
		default:
			name += " scrap"
		}
		if made[name] == 0 {
			order = append(order, name)
		}
		made[name]++
	}
	for i, name := range order {
		order[i] = strconv.Itoa(made[name]) + " of " + name
	}
	text += " Each gives " + problem.And(order) + "."
	return text
}
