package config

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Letter is 8.5 x 11 in and A4 210 x 297 mm: CSS Paged Media Module Level 3, 7.1.
var (
	letter = measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}
	a4     = measure.Size{W: 210 * measure.Millimetre, H: 297 * measure.Millimetre}
)

// resolve reads printers and stocks, which lean on the other settings and on each other.
func (r *reader) resolve(s *Settings) {
	if s.Guide == (measure.Size{}) {
		s.Guide = letter
		if s.Unit != measure.In {
			s.Guide = a4
		}
	}
	r.paper = s.Guide
	if s.Trimmer.Scissors {
		r.scissors(s)
	} else {
		r.cutOff(s.Gap)
	}
	stocks, printers := builtins()
	s.Printers = r.listPrinters(printers)
	s.Stocks = r.listStocks(stocks)
	r.crossNames(s)
}

// usualGap is as wide as a strip is that a trimmer takes off with ease (common practice).
const usualGap = measure.Inch / 8

// cutOff refuses a gap that no blade takes off.
func (r *reader) cutOff(g Gap) {
	if g.Width > 0 && g.Width < measure.ThinnestStrip {
		r.bad(r.gapTyped, measure.Quote(r.gapTyped.text)+" is too thin to be cut off", "a blade pushes strips under 1/16 in (1.6 mm) aside", "write 0 for none, or 1/16 in and more")
	}
}

// scissors has what holds without a trimmer: none of its limits, and a gap that scissors pass (3/8 in: from memory).
func (r *reader) scissors(s *Settings) {
	s.Trimmer = Trimmer{Stack: 1, Scissors: true}
	if r.gapUnsaid {
		s.Gap.Width = 3 * measure.Inch / 8
		if s.Unit.Metric() {
			s.Gap.Width = 10 * measure.Millimetre
		}
	}
}

// listPrinters are the printers as configured, or the built-in one. What a printer does not say is as the built-in's.
func (r *reader) listPrinters(builtin []value) []Printer {
	home := Printer{Scale: [2]float64{1, 1}}
	fields(r, &home, builtin[0], printerKeys)
	if len(r.printers.list) == 0 {
		return []Printer{home}
	}
	var out []Printer
	seen := map[string]int{}
	if n := len(r.printers.list); n > mostPrinters {
		r.bad(r.printers, fmt.Sprintf("there are %d printers, and %d are the most", n, mostPrinters), "", "take out those that are not at hand")
		r.printers.list = r.printers.list[:mostPrinters]
	}
	for _, v := range r.printers.list {
		if !r.named(v, "printer", seen) {
			continue
		}
		p := home
		before := r.problems.Errors()
		fields(r, &p, v, printerKeys)
		if r.problems.Errors() == before {
			r.limitsAgree(v, p)
		}
		out = append(out, p)
	}
	return out
}

// named reports whether an item of a list is a mapping with a name of its own.
func (r *reader) named(v value, what string, seen map[string]int) bool {
	if !r.shaped(v, takesMapping) {
		return false
	}
	name, ok := v.under("name")
	if !ok || name.kind == scalar && fold(name.text) == "" {
		r.problems.Add(v.at, "this "+what+" has no name", "", "give it a line like “- name: my "+what+"”")
		return false
	}
	if line, twice := seen[fold(name.text)]; twice {
		r.problems.Add(name.at, fmt.Sprintf("there are two %ss named %s", what, measure.Quote(name.text)),
			fmt.Sprintf("the other is in line %d", line), "give one of the two another name")
		return false
	}
	seen[fold(name.text)] = name.at.Line
	return true
}

// limitsAgree looks whether a printer's limits make sense together.
func (r *reader) limitsAgree(v value, p Printer) {
	u := r.unit
	where := func(names ...string) value { // the first of those that were given
		for _, name := range names {
			if part, ok := v.under(name); ok {
				return part
			}
		}
		return v
	}
	if p.Narrowest > p.Widest {
		r.bad(where("widest", "narrowest"), fmt.Sprintf("the printer %s pulls nothing: its narrowest, %s, is more than its widest, %s",
			measure.Quote(p.Name), p.Narrowest.Format(u), p.Widest.Format(u)), "", "give both narrowest and widest")
	}
	if p.Shortest > p.Longest {
		r.bad(where("longest", "shortest"), fmt.Sprintf("the printer %s pulls nothing: its shortest, %s, is more than its longest, %s",
			measure.Quote(p.Name), p.Shortest.Format(u), p.Longest.Format(u)), "", "give both shortest and longest")
	}
	if m := p.Margins; m.Left+m.Right >= p.Narrowest || m.Top+m.Bottom >= p.Shortest {
		r.bad(where("margins", "narrowest", "shortest"), fmt.Sprintf("the margins of the printer %s leave nothing of its smallest piece, %s",
			measure.Quote(p.Name), measure.Size{W: p.Narrowest, H: p.Shortest}.Format(u)), "", "check the margins, narrowest and shortest")
	}
}

// loads reads what a printer is asked for by stock.
func (r *reader) loads(v value, to *[]Loading) {
	var out []Loading
	for _, item := range v.list {
		if !r.shaped(item, takesMapping) {
			continue
		}
		stock, ok := item.under("stock")
		if !ok {
			r.problems.Add(item.at, "this load names no stock", "", "give it a line like “- stock: vellum”")
			continue
		}
		l := Loading{}
		fields(r, &l, item, loadKeys)
		if slices.ContainsFunc(out, func(o Loading) bool { return fold(o.Stock) == fold(l.Stock) }) {
			r.bad(stock, "there are two loads of "+measure.Quote(l.Stock), "", "keep one of the two")
			continue
		}
		out = append(out, l)
	}
	*to = out
}

// listStocks are the stocks as configured, in their order, then the built-in ones that were not named.
func (r *reader) listStocks(builtin []value) []Stock {
	var known []Stock // built-in ones, each as changed by the configuration once that is read
	names := map[string]int{}
	add := func(s Stock) {
		names[fold(s.Name)] = len(known)
		known = append(known, s)
	}
	for _, v := range builtin {
		s := Stock{Colour: white}
		fields(r, &s, v, stockKeys)
		add(s)
	}
	var order []int
	none := map[int]bool{} // stocks whose list of sheets was left empty on purpose
	seen := map[string]int{}
	for _, v := range r.stocks.list {
		if !r.named(v, "stock", seen) {
			continue
		}
		s := Stock{Colour: white, Inset: measure.Same(measure.Inch / 8)}
		name, _ := v.under("name")
		at, changes := names[fold(name.text)]
		if changes {
			s = known[at]
		}
		if like, ok := v.under("like"); ok {
			other, found := names[fold(like.text)]
			if !found {
				r.bad(like, fmt.Sprintf("there is no stock %s before this one", measure.Quote(like.text)), "", r.nearStock(like.text, known))
			} else {
				s = known[other]
			}
		}
		fields(r, &s, v, stockKeys)
		if changes {
			known[at] = s
		} else {
			at = len(known)
			add(s)
		}
		if sheets, ok := v.under("sheets"); ok && sheets.kind == list {
			none[at] = len(sheets.list) == 0
			if none[at] && len(s.Sheets) == 0 {
				r.bad(sheets, fmt.Sprintf("the stock %s has no sheet and no leftover", measure.Quote(s.Name)), "",
					"list its sheets, or take the line out: then it comes on "+paperName(r.paper)+" sheets")
			}
		}
		order = append(order, at)
	}
	for i := range known {
		if !slices.Contains(order, i) {
			order = append(order, i)
		}
	}
	out := make([]Stock, len(order))
	for n, i := range order {
		out[n] = known[i]
		if !none[i] && !slices.ContainsFunc(out[n].Sheets, func(s Sheet) bool { return !s.Leftover }) {
			out[n].Sheets = append([]Sheet{{Size: r.paper, Count: -1}}, out[n].Sheets...)
		}
	}
	return out
}

func paperName(s measure.Size) string {
	if s == a4 {
		return "A4"
	}
	return "letter"
}

var white = Colour{255, 255, 255}

func (r *reader) nearStock(name string, stocks []Stock) string {
	var names []string
	for _, s := range stocks {
		names = append(names, s.Name)
	}
	return orElse(Near(name, names), "did you mean %s?", "there are: "+strings.Join(names, ", "))
}

// sheets reads a list of sheets or leftovers in the place of those that were there.
func (r *reader) sheets(v value, to *[]Sheet, keys []key[Sheet], leftover bool) {
	out := slices.DeleteFunc(slices.Clone(*to), func(s Sheet) bool { return s.Leftover == leftover })
	if n := len(v.list); n > MostPaper {
		r.bad(v, fmt.Sprintf("there are %d sizes in the list, and %d are the most", n, MostPaper), "", "write pieces of one size once, with their count")
		v.list = v.list[:MostPaper]
	}
	for _, item := range v.list {
		sheet := Sheet{Count: -1, Leftover: leftover}
		if leftover {
			sheet.Count = 1
		}
		if item.kind == scalar { // a lone size
			r.size(item, &sheet.Size)
			out = append(out, sheet)
			continue
		}
		if !r.shaped(item, takesMapping) {
			continue
		}
		if _, ok := item.under("size"); !ok {
			r.problems.Add(item.at, "this sheet has no size", "", "give it a line like “- size: 8 1/2 x 11 in”")
		}
		fields(r, &sheet, item, keys)
		out = append(out, sheet)
	}
	*to = out
}

// gap reads auto, a measure or both; auto alone is as if nothing were said.
func (r *reader) gap(v value, to *Gap) {
	g := *to
	rest, auto := strings.CutPrefix(strings.ToLower(v.text), "auto")
	g.Auto = auto
	builtin := v.label == "gap" && v.at.File == "" // a variable and a flag have labels of their own
	r.gapUnsaid = auto && strings.TrimSpace(rest) == "" || builtin
	if r.gapUnsaid {
		g.Width = usualGap
	}
	if one := v; !auto || strings.TrimSpace(rest) != "" {
		one.text = strings.TrimSpace(rest)
		if !auto {
			one.text = v.text
		}
		r.length(one, r.unit, &g.Width, 0, 2*measure.Inch)
		r.gapTyped = one
	}
	if g.Width == 0 {
		g.Auto = false
	}
	*to = g
}

// limit reads a measure, or none for no limit.
func (r *reader) limit(v value, to *measure.Length) {
	if strings.EqualFold(v.text, "none") {
		*to = 0
		return
	}
	r.length(v, r.unit, to, 0, largestSheet)
}

// carrier reads the carrier of a stock: a mapping, the size alone, yes for the plain paper, or no.
func (r *reader) carrier(v value, s *Stock) {
	c := Carrier{Size: r.paper, Smallest: measure.Size{W: measure.Inch, H: measure.Inch}}
	switch {
	case v.kind == mapping:
		fields(r, &c, v, carrierKeys)
	case slices.Contains([]string{"no", "none", "false", "off"}, fold(v.text)):
		s.Carrier = nil
		return
	case !slices.Contains([]string{"yes", "true", "on"}, fold(v.text)):
		r.size(v, &c.Size)
	}
	if !c.Smallest.Within(c.Size) {
		r.bad(v, "the smallest piece is larger than the carrier sheet", "", "check the two sizes")
	}
	s.Carrier = &c
}

// crossNames replaces the names by which settings speak of stocks and printers by the exact ones.
func (r *reader) crossNames(s *Settings) {
	var stocks, printers []string
	for _, t := range s.Stocks {
		stocks = append(stocks, t.Name)
	}
	for _, p := range s.Printers {
		printers = append(printers, p.Name)
	}
	exact := func(v value, what, name string, names []string) string {
		for _, n := range names {
			if fold(n) == fold(name) {
				return n
			}
		}
		r.bad(v, fmt.Sprintf("there is no %s %s", what, measure.Quote(name)), "",
			orElse(Near(name, names), "did you mean %s?", "there are: "+strings.Join(names, ", ")))
		return name
	}
	s.Default = exact(r.preferred, "stock", s.Default, stocks)
	for i := range s.Printers {
		v := itemPart(r.printers, s.Printers[i].Name, "takes")
		for j, name := range s.Printers[i].Takes {
			s.Printers[i].Takes[j] = exact(v, "stock", name, stocks)
		}
		v = itemPart(r.printers, s.Printers[i].Name, "loads")
		for j, l := range s.Printers[i].Loads {
			s.Printers[i].Loads[j].Stock = exact(v, "stock", l.Stock, stocks)
		}
	}
	for i := range s.Stocks {
		v := itemPart(r.stocks, s.Stocks[i].Name, "printers")
		for j, name := range s.Stocks[i].Printers {
			s.Stocks[i].Printers[j] = exact(v, "printer", name, printers)
		}
	}
}

// itemPart is a part of the item of that name in a list, for a message about it.
func itemPart(list value, name, part string) value {
	for _, item := range list.list {
		if n, ok := item.under("name"); ok && fold(n.text) == fold(name) {
			if p, ok := item.under(part); ok {
				return p
			}
			return item
		}
	}
	return list
}

// checkWhole looks at what only shows when everything is read.
func (r *reader) checkWhole(s *Settings) {
	if least := min(s.Type.Largest, s.Type.Caption); s.Type.Smallest > least {
		v := r.largest
		if v.at.File == "" && strings.HasPrefix(v.label, "type.") { // the built-in one: the other was given
			v = r.smallest
		}
		r.bad(v, fmt.Sprintf("the smallest type size, %s, is more than the largest, %s",
			s.Type.Smallest.Format(measure.Pt), least.Format(measure.Pt)), "", "check type: smallest and largest")
	}
	if t := s.Trimmer; t.Longest > 0 && t.Holds >= t.Longest {
		r.bad(r.holds, fmt.Sprintf("the trimmer holds no strip narrower than %s, and cuts no longer than %s",
			t.Holds.Format(r.unit), t.Longest.Format(r.unit)), "", "check trimmer: holds and longest")
	}
	for _, v := range r.stocks.list {
		if name, ok := v.under("name"); ok {
			for _, t := range s.Stocks {
				if fold(t.Name) == fold(name.text) {
					r.feeds(v, t, s)
				}
			}
		}
	}
}

// feeds looks whether a configured stock goes through any printer.
func (r *reader) feeds(v value, t Stock, s *Settings) {
	takers := s.PrintersFor(t)
	if len(takers) == 0 {
		r.problems.Add(v.at, fmt.Sprintf("no printer takes the stock %s", measure.Quote(t.Name)), "",
			"name the stock under takes of a printer, or a printer that takes it under printers of the stock")
		return
	}
	for _, sheet := range t.Sheets {
		large := func(i int) bool {
			p := s.Printers[i]
			return min(sheet.Size.W, sheet.Size.H) >= min(p.Narrowest, p.Shortest) && max(sheet.Size.W, sheet.Size.H) >= max(p.Narrowest, p.Shortest)
		}
		if !slices.ContainsFunc(takers, large) && t.Carrier == nil {
			r.problems.Note(v.at, fmt.Sprintf("a sheet of %s of the stock %s is too small for every printer that takes it",
				sheet.Size.Format(r.unit), measure.Quote(t.Name)), "", "it will not be used")
		}
	}
}

const mirrored = "Printed mirrored, to read right from the other side: load it so that its back is printed, and cut it with the printed side down."

// mirror marks the stocks that are to be printed mirrored; each says so among its cautions.
func (r *reader) mirror(s *Settings, names []string) {
	for _, name := range names {
		at := slices.IndexFunc(s.Stocks, func(t Stock) bool { return fold(t.Name) == fold(name) })
		if at < 0 {
			r.problems.Add(problem.Place{}, fmt.Sprintf("there is no stock %s to print mirrored", measure.Quote(name)), "", nearQuoted(name, s.Stocks))
			continue
		}
		s.Stocks[at].mirror()
	}
}

func (t *Stock) mirror() {
	if !t.Mirror {
		t.Mirror = true
		t.Caution = strings.TrimSpace(mirrored + " " + t.Caution)
	}
}

// Mirrored is the settings with stocks of these names printed mirrored as well.
func (s *Settings) Mirrored(names []string) *Settings {
	out := *s
	out.Stocks = slices.Clone(s.Stocks)
	for i := range out.Stocks {
		if t := &out.Stocks[i]; slices.Contains(names, t.Name) {
			t.mirror()
		}
	}
	return &out
}

// nearQuoted says which stock was probably meant, or which there are.
func nearQuoted(name string, stocks []Stock) string {
	var names, all []string
	for _, t := range stocks {
		names, all = append(names, t.Name), append(all, measure.Quote(t.Name))
	}
	if near := Near(name, names); near != "" {
		return fmt.Sprintf("did you mean %s?", measure.Quote(near))
	}
	return "the stocks are " + strings.Join(all, ", ")
}

// dropLeftovers takes the leftovers out: another list is the whole of what lies in the folder, and those that the configuration
// names are in it as far as they are still there.
func (s *Settings) dropLeftovers() {
	for i := range s.Stocks {
		t := &s.Stocks[i]
		t.Sheets = slices.DeleteFunc(slices.Clone(t.Sheets), func(sheet Sheet) bool { return sheet.Leftover })
	}
}
