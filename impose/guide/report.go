package guide

import (
	"io"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Report writes the workbook that says what the guides say, for a person to filter and for the next run to read: sheets
// Blocks, Cuts, Leftovers (headed as a Paper sheet is), Account, Held back, Notes, and Texts, which a redo prints from. The
// same input gives the same bytes. The error is w's; any other is a mistake of this program.
func Report(w io.Writer, in Input) error {
	j := newJob(in)
	b := &book{f: excelize.NewFile(), job: j}
	defer b.f.Close()
	for _, write := range []func(){b.styles, b.blocks, b.cuts, b.leftovers, b.account, b.held, b.notes, b.texts} {
		write()
	}
	b.do(b.f.DeleteSheet("Sheet1"))
	b.f.SetActiveSheet(0)
	b.do(b.f.SetDocProps(&excelize.DocProperties{Title: in.Title + ": report", Creator: "tuckmark", Keywords: madeWith(in.Settings),
		Created: epoch.Format(time.RFC3339), Modified: epoch.Format(time.RFC3339)}))
	return b.write(w)
}

func (b *book) blocks() {
	fields := []field{{"Code", 9, text}, {"Owner", 20, text}, {"Page", 14, text}, {"First words", 80, text}, {"Stock", 15, text},
		{"Outcome", 11, text}, {"Trimmed to", 17, text}, {"Font", 14, text}, {"Type size (pt)", 9, length},
		{"Lines", 7, whole}, {"PDF page", 8, whole}, {"Place", 7, text}, {"Copy", 7, whole}, {"Turned", 8, text},
		{"File", 24, text}, {"Worksheet", 14, text}, {"Row", 7, whole}}
	var rows [][]any
	for i := range b.job.owners {
		o := &b.job.owners[i]
		for _, s := range o.blocks {
			page, begins, turned := "", "", "no"
			w, h := s.Width, s.Height
			if s.Setting != nil && s.Setting.Block != nil {
				page, begins = s.Setting.Block.Page, words(s.Setting.Block)
			}
			if s.Turned {
				turned = "yes"
				w, h = h, w
			}
			rows = append(rows, []any{s.Code, s.Owner, page, begins, s.piece.Stock, "printed", exact(measure.Size{W: w, H: h}, b.job.unit), s.Font, s.Points,
				s.Lines, s.piece.Page, letter(s.place), s.Copy, turned, s.Place.File, s.Place.Sheet, s.Place.Row})
		}
		for _, h := range o.held {
			rows = append(rows, []any{h.Code, h.Owner, "", "", "", "held back", "", "", nil, nil, nil, "", nil, "", h.Place.File, h.Place.Sheet, rowOf(h.Place)})
		}
	}
	b.sheet("Blocks", fields, rows, nil)
}

func rowOf(at problem.Place) any {
	if at.Row == 0 {
		return nil
	}
	return at.Row
}

func (b *book) cuts() {
	fields := []field{{"Stock", 15, text}, {"PDF page", 8, whole}, {"Before printing", 22, text}, {"Cut", 6, whole}, {"Take", 12, text},
		{"Against the fence", 14, text}, {"Set to", 12, text}, {b.in("Planned"), 11, length}, {"Line", 10, text}, {"Gives", 18, text}}
	var rows [][]any
	add := func(stock string, page any, before string, w *way, s *step) {
		planned := s.at() - s.of.rect.X
		if !s.of.down {
			planned = s.at() - s.of.rect.Y
		}
		if s.far {
			planned = s.of.far.rect.W
			if !s.of.down {
				planned = s.of.far.rect.H
			}
		}
		rows = append(rows, []any{stock, page, before, s.n, w.take(s), s.edge(), s.set.About(ruler(b.job.unit)), b.number(planned), s.line(), s.gives()})
	}
	for i := range b.job.panels {
		c := &b.job.panels[i]
		for k := range c.way.steps {
			add(c.stock, nil, count(c.sheets, "sheet")+" "+exact(c.way.root.rect.Size(), b.job.unit), c.way, &c.way.steps[k])
		}
	}
	for i := range b.job.pieces {
		p := &b.job.pieces[i]
		for k := range p.way.steps {
			add(p.Stock, p.Page, "", p.way, &p.way.steps[k])
		}
	}
	b.sheet("Cuts", fields, rows, nil)
}

// leftovers lists what is in the folder afterwards, as far as it is counted: what this job leaves, then the leftovers and
// the counted sheets that it did not use.
func (b *book) leftovers() {
	fields := []field{{"Stock", 18, text}, {b.in("Width"), 10, length}, {b.in("Height"), 10, length}, {"Count", 8, whole}, {"Price", 9, amount}, {"Leftover", 10, text}}
	var rows [][]any
	for _, r := range b.job.rests(true) {
		rows = append(rows, []any{r.stock, b.number(r.size.W), b.number(r.size.H), r.n, 0.0, "yes"})
	}
	for _, u := range b.job.unused() {
		leftover, count, price := "no", any(u.Count), any(cents(u.Price))
		if u.Leftover {
			leftover = "yes"
		}
		if u.Count < 0 {
			count = nil
		}
		if u.Price < 0 {
			price = nil
		}
		rows = append(rows, []any{u.stock, b.number(u.Size.W), b.number(u.Size.H), count, price, leftover})
	}
	b.sheet("Leftovers", fields, rows, nil)
}

func (b *book) account() {
	j := b.job
	bill := j.bill()
	area := "Area (sq in)"
	per := float64(measure.Inch) * float64(measure.Inch)
	if metric(j.unit) {
		area, per = "Area (sq cm)", float64(measure.Centimetre)*float64(measure.Centimetre)
	}
	fields := []field{{"Owner", 26, text}, {"Blocks", 9, whole}, {area, 12, amount}}
	for _, s := range bill.stocks {
		fields = append(fields, field{s, 14, amount})
	}
	pay := "To pay"
	if j.Settings.Currency != "" {
		pay += " (" + j.Settings.Currency + ")"
	}
	fields = append(fields, field{pay, 12, amount})
	var rows [][]any
	totals := make([]int64, len(bill.stocks))
	blocks, areas := 0, int64(0)
	line := func(name string, blocks int, area int64, by []int64) []any {
		r := []any{name, blocks, float64(int64(float64(area)/per*100+0.5)) / 100}
		for _, c := range by {
			r = append(r, cents(c))
		}
		return append(r, cents(sum(by)))
	}
	for i, name := range bill.owners {
		rows = append(rows, line(name, bill.blocks[i], sum(bill.areas[i]), bill.cents[i]))
		for k, c := range bill.cents[i] {
			totals[k] += c
		}
		blocks += bill.blocks[i]
		areas += sum(bill.areas[i])
	}
	b.sheet("Account", fields, rows, line("Total", blocks, areas, totals))
	// What was used, stock by stock, stands below, apart from the rows that a filter hides.
	at := len(rows) + 5
	used := []field{{"Stock", 0, text}, {"New sheets", 0, whole}, {"At least", 0, whole}, {"Leftovers used", 0, whole}, {"Filled (%)", 0, length}, {"Cost", 0, amount}}
	b.row("Account"+b.add, at, len(used), func(k int) int { return b.head[used[k].kind] }, heads(used))
	b.do(b.f.SetRowHeight("Account"+b.add, at, 2*rowHeight))
	for _, u := range j.Plan.Stocks {
		at++
		b.row("Account"+b.add, at, len(used), func(k int) int { return b.kind[used[k].kind] },
			[]any{u.Stock, u.NewSheets, u.Bound, j.leftovers(u.Stock), float64(int64(u.Filled*1000+0.5)) / 10, cents(u.Cents)})
	}
}

func (b *book) held() {
	var rows [][]any
	for _, h := range b.job.Plan.Held {
		rows = append(rows, []any{h.Code, h.Owner, h.Why, h.Place.File, h.Place.Sheet, rowOf(h.Place)})
	}
	b.sheet("Held back", []field{{"Code", 9, text}, {"Owner", 20, text}, {"Why", 70, text}, {"File", 26, text}, {"Worksheet", 16, text}, {"Row", 7, whole}}, rows, nil)
}

func (b *book) notes() {
	var rows [][]any
	for _, n := range b.job.Problems {
		if n.Severity != problem.Note {
			continue
		}
		rows = append(rows, []any{n.What, n.Cause, n.Hint, n.Place.File, n.Place.Sheet, rowOf(n.Place), n.Place.Column})
	}
	b.sheet("Notes", []field{{"What", 60, text}, {"Why", 40, text}, {"What to do", 50, text}, {"File", 26, text}, {"Worksheet", 16, text}, {"Row", 7, whole}, {"Column", 14, text}}, rows, nil)
}
