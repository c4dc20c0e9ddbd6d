package guide

import (
	"fmt"
	"math/rand"
	"strconv"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// The made-up jobs of the tests: plans put together by hand, shelf by shelf, so that they owe nothing to the packer.

const inch = measure.Inch

var letterPaper = measure.Size{W: 17 * inch / 2, H: 11 * inch}

func settings() *config.Settings {
	endless := func(s measure.Size, price int64) []config.Sheet {
		return []config.Sheet{{Size: s, Count: -1, Price: price}}
	}
	square := measure.Size{W: 12 * inch, H: 12 * inch}
	return &config.Settings{
		Unit: measure.In, Default: "vellum", Guide: letterPaper, Currency: "$",
		Trimmer: config.Trimmer{Longest: 12 * inch, Holds: inch},
		Printers: []config.Printer{
			{Name: "home", Narrowest: 7 * inch / 2, Widest: 17 * inch / 2, Shortest: 5 * inch, Longest: 14 * inch},
		},
		Stocks: []config.Stock{
			{Name: "vellum", Sheets: endless(square, 120), Tray: "rear tray, straight path, one sheet at a time",
				Quality: "normal or draft, vellum setting where the printer has one", Drying: 15,
				Caution: "Hold vellum by its edges. Ink lies on it wet: do not stack or touch it before it is dry."},
			{Name: "clear sticker", Sheets: endless(letterPaper, 95), Tray: "rear tray, one sheet at a time", Quality: "best", Drying: 15,
				Caution: "Print on the side that the maker says."},
			{Name: "cardstock", Sheets: endless(letterPaper, 30), Tray: "rear tray", Quality: "normal, heavy paper setting", Drying: 5},
		},
	}
}

// draft is a plan in the making.
type draft struct {
	plan     *plan.Plan
	settings *config.Settings
	people   []string
	n        map[string]int // blocks of each owner
	sheets   map[string]int // of each stock
	total    int
}

func newDraft(s *config.Settings, people int) *draft {
	names := []string{"Odile Hart", "Simeon Brandt", "Ana Ölberg", "Maeve Quill", "Pim de Groot", "Rosalind Achterberg-Featherstonehaugh",
		"Ines", "Tobias Lund", "Wilhelmina Okafor"}
	for len(names) < people {
		names = append(names, fmt.Sprintf("Guest %d", len(names)+1))
	}
	d := &draft{plan: &plan.Plan{Version: 1}, settings: s, people: names[:people], n: map[string]int{}, sheets: map[string]int{}}
	return d
}

var texts = []string{
	"The ferry was late, so Pim bought plums from a man with a handcart and we ate them on the quay.",
	"Rain on the canvas roof, and nobody minded.", "=Two plus two is not a formula here.",
	"Grandmother’s garden in the first week of May, the year the pear tree came down.", "Übermut tut selten gut, sagte Oma.",
}

// block is the next block, its owner the next in turn.
func (d *draft) block(size measure.Size, turned bool) plan.Placed {
	owner := d.people[d.total%len(d.people)]
	d.n[owner]++
	code := string([]rune(owner + "N")[:1]) + strconv.Itoa(d.total%len(d.people)+1) + "-" + strconv.Itoa(d.n[owner])
	d.total++
	b := &intake.Block{Code: code, Owner: owner, Page: "Page " + strconv.Itoa(d.total%24+1), Copies: 1,
		Place: problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: d.total + 1},
		Text:  []intake.Paragraph{{{Text: texts[d.total%len(texts)]}}}}
	return plan.Placed{Code: code, Owner: owner, Place: b.Place, Copy: 1, Width: size.W, Height: size.H, Turned: turned,
		Font: "Serif", Points: 11.25, Lines: 4, Setting: &typeset.Setting{Block: b}}
}

// piece adds a piece of shelves: rows of blocks, each cut off the top, then cut apart from the left.
func (d *draft) piece(stock string, size measure.Size, gap measure.Length, shelves ...[]measure.Size) *plan.Piece {
	if d.sheets[stock]++; d.sheets[stock] == 1 {
		d.plan.Stocks = append(d.plan.Stocks, plan.Use{Stock: stock, Bound: 1, Filled: 0.8})
	}
	for i := range d.plan.Stocks {
		if u := &d.plan.Stocks[i]; u.Stock == stock {
			t, _ := d.settings.Stock(stock)
			u.NewSheets++
			u.Cents += t.Sheets[0].Price
			u.Cost = plan.Money(u.Cents)
		}
	}
	d.plan.Pieces = append(d.plan.Pieces, plan.Piece{Page: len(d.plan.Pieces) + 1, Stock: stock, Printer: "home", Width: size.W, Height: size.H,
		Source: plan.Source{Kind: plan.FromSheet, Sheet: d.sheets[stock], Width: size.W, Height: size.H}})
	p := &d.plan.Pieces[len(d.plan.Pieces)-1]
	rest, name := size.At(0, 0), p.Name()
	for _, shelf := range shelves {
		h := measure.Length(0)
		for _, s := range shelf {
			h = max(h, s.H)
		}
		var row measure.Rect
		var rowName string
		row, rowName, rest, name = cutOff(p, rest, name, false, h, gap)
		rest, name = dropGap(p, rest, name, false, gap)
		for _, s := range shelf {
			var cell measure.Rect
			var cellName string
			cell, cellName, row, rowName = cutOff(p, row, rowName, true, s.W, gap)
			row, rowName = dropGap(p, row, rowName, true, gap)
			var under measure.Rect
			var underName string
			cell, cellName, under, underName = cutOff(p, cell, cellName, false, s.H, 1)
			d.rest(p, under, underName)
			b := d.block(s, false)
			b.X, b.Y, b.Leaf = cell.X, cell.Y, cellName
			b.Ink = cell.Inset(measure.Same(inch / 8))
			p.Blocks = append(p.Blocks, b)
		}
		d.rest(p, row, rowName)
	}
	d.rest(p, rest, name)
	return p
}

// cutOff cuts the first part of a rectangle off, unless it is all of it. Without a gap the cut has no mark.
func cutOff(p *plan.Piece, r measure.Rect, name string, down bool, n, gap measure.Length) (near measure.Rect, nearName string, far measure.Rect, farName string) {
	along, at, axis := r.H, r.Y+n, "across"
	if down {
		along, at, axis = r.W, r.X+n, "down"
	}
	if n > along {
		panic(fmt.Sprintf("fixture: %s is too small for %d", name, n))
	}
	if n == along {
		return r, name, measure.Rect{}, ""
	}
	near, far = r, r
	if down {
		near.W, far.X, far.W = n, at, r.W-n
	} else {
		near.H, far.Y, far.H = n, at, r.H-n
	}
	nearName, farName = name+".1", name+".2"
	p.Cuts = append(p.Cuts, plan.Cut{N: len(p.Cuts) + 1, Of: name, Axis: axis, At: at, Makes: [2]string{nearName, farName},
		Measure: gap == 0, Rect: r})
	return near, nearName, far, farName
}

// dropGap cuts the gap off as scrap.
func dropGap(p *plan.Piece, r measure.Rect, name string, down bool, gap measure.Length) (measure.Rect, string) {
	along := r.H
	if down {
		along = r.W
	}
	if gap == 0 || name == "" || along <= gap {
		return r, name
	}
	sliver, sliverName, rest, restName := cutOff(p, r, name, down, gap, gap)
	p.Leftovers = append(p.Leftovers, plan.Rest{Name: sliverName, Rect: sliver})
	return rest, restName
}

// rest is what remains: a leftover where the first printer pulls it.
func (d *draft) rest(p *plan.Piece, r measure.Rect, name string) {
	if name == "" {
		return
	}
	f := d.settings.Printers[0]
	p.Leftovers = append(p.Leftovers, plan.Rest{Name: name, Rect: r, Keep: f.Feeds(r.Size()) || f.Feeds(r.Size().Turn())})
}

func (d *draft) held(n int) {
	for i := range n {
		d.plan.Held = append(d.plan.Held, plan.Held{Place: problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: 90 + i},
			Code: fmt.Sprintf("Z-%d", i+1), Owner: d.people[i%len(d.people)],
			Why: "the text is about 12 words too long for 2 x 1 in at the smallest readable size"})
	}
}

func (d *draft) input(fonts *typeset.Library) Input {
	return Input{Plan: d.plan, Settings: d.settings, Fonts: fonts, Title: "Ferry weekend", Files: []string{"weekend.xlsx", "late.csv"}}
}

func z(w, h measure.Length) measure.Size { return measure.Size{W: w, H: h} }

// one is a single block on a sheet.
func one(s *config.Settings) *draft {
	d := newDraft(s, 1)
	d.piece("cardstock", letterPaper, inch/8, []measure.Size{z(4*inch, 2*inch)})
	return d
}

// three is twelve pieces of three stocks, with notes and rows held back.
func three(s *config.Settings) *draft {
	d := newDraft(s, 5)
	panel := z(6*inch, 12*inch)
	for range 2 {
		a := d.panel("vellum", 1, panel, []measure.Size{z(4*inch, 5*inch/2), z(3*inch/2, 9*inch/4)}, []measure.Size{z(5*inch, 3*inch)})
		b := d.panel("vellum", 2, panel, []measure.Size{z(4*inch, 5*inch/2), z(3*inch/2, 9*inch/4)}, []measure.Size{z(5*inch, 3*inch)})
		b.Source.X = 6 * inch
		a.Source.Sheet, b.Source.Sheet = d.sheets["vellum"]/2, d.sheets["vellum"]/2
		d.plan.Precuts = append(d.plan.Precuts, plan.Precut{Stock: "vellum", Sheet: a.Source.Sheet, N: 1, Of: "S" + strconv.Itoa(a.Source.Sheet), Axis: "down",
			At: 6 * inch, Makes: [2]string{a.Source.Name, b.Source.Name}, Rect: z(12*inch, 12*inch).At(0, 0)})
	}
	for range 3 {
		d.piece("clear sticker", letterPaper, 0, []measure.Size{z(4*inch, 2*inch), z(4*inch, 2*inch)}, []measure.Size{z(4*inch, 2*inch), z(4*inch, 2*inch)},
			[]measure.Size{z(4*inch, 2*inch), z(4*inch, 2*inch)}, []measure.Size{z(4*inch, 2*inch), z(4*inch, 2*inch)})
	}
	for i := range measure.Length(4) {
		p := d.piece("cardstock", letterPaper, inch/8, []measure.Size{z(5*inch, 3*inch), z(2*inch, 2*inch)},
			[]measure.Size{z(3*inch, (3+i)*inch/2), z(2*inch, inch), z(3*inch/2, 3*inch/2)}, []measure.Size{z(6*inch, inch)})
		p.Blocks[1].Turned = true
	}
	p := d.piece("cardstock", z(4*inch, 15*inch/2), inch/8, []measure.Size{z(4*inch, 3*inch)})
	p.Source.Kind, p.Source.Name = plan.FromLeftover, "blue folder"
	d.held(3)
	return d
}

func (d *draft) panel(stock string, n int, size measure.Size, shelves ...[]measure.Size) *plan.Piece {
	p := d.piece(stock, size, inch/8, shelves...)
	p.Source.Kind, p.Source.Name = plan.FromPanel, "S"+strconv.Itoa((d.sheets[stock]+1)/2)+"."+strconv.Itoa(n)
	return p
}

// random is so many blocks of eighths of an inch (or of any millimetre) on letter sheets of three stocks.
func random(s *config.Settings, seed int64, blocks, people int, kinds int) *draft {
	r := rand.New(rand.NewSource(seed))
	d := newDraft(s, people)
	var sizes []measure.Size
	side := func(least, most int) measure.Length {
		if metric(s.Unit) {
			return measure.Length(25*least+r.Intn(25*(most-least))) * measure.Millimetre
		}
		return measure.Length(8*least+r.Intn(8*(most-least)+1)) * inch / 8
	}
	for range kinds {
		sizes = append(sizes, z(side(1, 4), side(1, 3)))
	}
	for d.total < blocks {
		stock := s.Stocks[d.total*3/blocks].Name
		gap := []measure.Length{0, inch / 8}[r.Intn(2)]
		var shelves [][]measure.Size
		y, n := measure.Length(0), 0
		for d.total+n < blocks {
			var shelf []measure.Size
			x, h := measure.Length(0), measure.Length(0)
			for d.total+n < blocks {
				b := sizes[r.Intn(len(sizes))]
				if x+b.W > letterPaper.W || y+max(h, b.H) > letterPaper.H {
					break
				}
				shelf = append(shelf, b)
				x, h, n = x+b.W+gap, max(h, b.H), n+1
			}
			if len(shelf) == 0 {
				break
			}
			shelves = append(shelves, shelf)
			y += h + gap
		}
		d.piece(stock, letterPaper, gap, shelves...)
	}
	return d
}
