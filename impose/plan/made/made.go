// Package made is plans made by hand, for tests: only tests import it. They owe nothing to the packer and the layout.
//
//	made.go     settings, and the draft in which a plan is put together, shelf by shelf
//	jobs.go     plans of whole jobs
//	example.go  the plan that describes the plan file
package made

import (
	"fmt"
	"strconv"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

const inch = measure.Inch

// LetterPaper is the size of most sheets here.
var LetterPaper = Size(17*inch/2, 11*inch)

// Size is a width and a height.
func Size(w, h measure.Length) measure.Size { return measure.Size{W: w, H: h} }

// Settings are three stocks without end, a printer without margins and a trimmer. Each stock's first sheet is what Draft.Piece
// takes.
func Settings() *config.Settings {
	endless := func(s measure.Size, price int64) []config.Sheet {
		return []config.Sheet{{Size: s, Count: -1, Price: price}}
	}
	square := Size(12*inch, 12*inch)
	return &config.Settings{
		Unit: measure.In, Default: "vellum", Guide: LetterPaper, Currency: "$",
		Trimmer: config.Trimmer{Longest: 12 * inch, Holds: inch},
		Printers: []config.Printer{
			{Name: "home", Narrowest: 7 * inch / 2, Widest: 17 * inch / 2, Shortest: 5 * inch, Longest: 14 * inch},
		},
		Stocks: []config.Stock{
			{Name: "vellum", Sheets: endless(square, 120), Tray: "rear tray, straight path, one sheet at a time",
				Quality: "normal or draft, vellum setting where the printer has one", Drying: 15,
				Caution: "Hold vellum by its edges. Ink lies on it wet: do not stack or touch it before it is dry."},
			{Name: "clear sticker", Sheets: endless(LetterPaper, 95), Tray: "rear tray, one sheet at a time", Quality: "best", Drying: 15,
				Caution: "Print on the side that the maker says."},
			{Name: "cardstock", Sheets: endless(LetterPaper, 30), Tray: "rear tray", Quality: "normal, heavy paper setting", Drying: 5},
		},
	}
}

// Texts are what the blocks say, in turn; one of them looks like a formula.
var Texts = []string{
	"The ferry was late, so Pim bought plums from a man with a handcart and we ate them on the quay.",
	"Rain on the canvas roof, and nobody minded.", "=Two plus two is not a formula here.",
	"Grandmother’s garden in the first week of May, the year the pear tree came down.", "Übermut tut selten gut, sagte Oma.",
}

// Draft is a plan in the making.
type Draft struct {
	Plan     *plan.Plan
	Settings *config.Settings
	People   []string       // to whom the blocks go in turn
	Blocks   int            // so far
	owned    map[string]int // of them by owner
	taken    map[string]int // sheets and leftovers by stock
}

// New is a draft for so many people.
func New(s *config.Settings, people int) *Draft {
	names := []string{"Odile Hart", "Simeon Brandt", "Ana Ölberg", "Maeve Quill", "Pim de Groot", "Rosalind Achterberg-Featherstonehaugh",
		"Ines", "Tobias Lund", "Wilhelmina Okafor"}
	for len(names) < people {
		names = append(names, fmt.Sprintf("Guest %d", len(names)+1))
	}
	return &Draft{Plan: &plan.Plan{}, Settings: s, People: names[:people], owned: map[string]int{}, taken: map[string]int{}}
}

// Piece adds a new sheet that is fed whole, cut into shelves: rows of blocks, each cut off the top, then cut apart from the left.
// With a gap between blocks the cuts have marks, without one they are measured.
func (d *Draft) Piece(stock string, size measure.Size, gap measure.Length, shelves ...[]measure.Size) *plan.Piece {
	return d.shelved(stock, plan.Source{Sheet: d.takeSheet(stock, true), Rect: size.At(0, 0)}, gap, shelves)
}

// Leftover adds a leftover of that name, cut as Piece says.
func (d *Draft) Leftover(stock, name string, size measure.Size, gap measure.Length, shelves ...[]measure.Size) *plan.Piece {
	return d.shelved(stock, plan.Source{Sheet: d.takeSheet(stock, false), Leftover: true, Name: name, Rect: size.At(0, 0)}, gap, shelves)
}

// Panels adds a new sheet that is cut down its middle before printing, and both panels, each cut as Piece says.
func (d *Draft) Panels(stock string, sheet measure.Size, gap measure.Length, shelves ...[]measure.Size) {
	whole := &plan.Part{Rect: sheet.At(0, 0)}
	near, far := cutOff(whole, plan.Down, sheet.W/2, unmarked)
	near.Panel, far.Panel = true, true
	s := &plan.Sheet{Stock: stock, Number: d.takeSheet(stock, true), Whole: whole}
	d.Plan.Sheets = append(d.Plan.Sheets, s)
	for _, panel := range []*plan.Part{near, far} {
		d.shelved(stock, plan.Source{Sheet: s.Number, Panel: panel, Cut: s, Rect: panel.Rect}, gap, shelves)
	}
}

// Hold holds so many rows back.
func (d *Draft) Hold(n int) {
	for i := range n {
		d.Plan.Held = append(d.Plan.Held, intake.Held{Place: problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: 90 + i},
			Code: fmt.Sprintf("Z-%d", i+1), Owner: d.People[i%len(d.People)],
			Why: "the text is about 12 words too long for 2 x 1 in at the smallest readable size"})
	}
}

// takeSheet takes a sheet or leftover of a stock and returns its number.
func (d *Draft) takeSheet(stock string, isNew bool) int {
	if d.taken[stock]++; d.taken[stock] == 1 {
		d.Plan.Stocks = append(d.Plan.Stocks, plan.Use{Stock: stock, Filled: 0.8})
	}
	for i := range d.Plan.Stocks {
		if u := &d.Plan.Stocks[i]; u.Stock == stock && isNew {
			t, _ := d.Settings.Stock(stock)
			u.NewSheets++
			u.Bound = 1
			u.Cents += t.Sheets[0].Price
		}
	}
	return d.taken[stock]
}

func (d *Draft) shelved(stock string, from plan.Source, gap measure.Length, shelves [][]measure.Size) *plan.Piece {
	p := &plan.Piece{Page: len(d.Plan.Pieces) + 1, Stock: stock, Printer: d.Settings.Printers[0].Name, Source: from,
		Whole: &plan.Part{Rect: from.Rect.Size().At(0, 0)}}
	d.Plan.Pieces = append(d.Plan.Pieces, p)
	at := unmarked
	if gap > 0 {
		at = onFar
	}
	rest := p.Whole
	for n, shelf := range shelves {
		h := measure.Length(0)
		for _, s := range shelf {
			h = max(h, s.H)
		}
		var row *plan.Part
		row, rest = cutOff(rest, plan.Across, h, at)
		rest = d.dropGap(rest, plan.Across, gap, n == len(shelves)-1)
		for i, s := range shelf {
			var cell, under *plan.Part
			cell, row = cutOff(row, plan.Down, s.W, at)
			row = d.dropGap(row, plan.Down, gap, i == len(shelf)-1)
			cell, under = cutOff(cell, plan.Across, s.H, onFar)
			d.keepLeftover(under)
			cell.Block = d.block(stock, cell.Rect)
		}
		d.keepLeftover(row)
	}
	d.keepLeftover(rest)
	return p
}

// block is the next block, its owner the next in turn.
func (d *Draft) block(stock string, r measure.Rect) *plan.Block {
	owner := d.People[d.Blocks%len(d.People)]
	d.owned[owner]++
	code := string([]rune(owner + "N")[:1]) + strconv.Itoa(d.Blocks%len(d.People)+1) + "-" + strconv.Itoa(d.owned[owner])
	d.Blocks++
	b := &intake.Block{Code: code, Owner: owner, Page: "Page " + strconv.Itoa(d.Blocks%24+1), Space: r.Size(), Inset: measure.Same(inch / 8),
		Stock: stock, Font: "Serif", Copies: 1, Turn: true,
		Place: problem.Place{File: "weekend.xlsx", Sheet: "Journaling", Row: d.Blocks + 1},
		Text:  []intake.Paragraph{{{Text: Texts[d.Blocks%len(Texts)]}}}}
	return lie(b, 45*measure.Point/4, 4, r, false)
}

// lie is a block that is set in so many lines, where it lies.
func lie(b *intake.Block, size measure.Length, lines int, r measure.Rect, turned bool) *plan.Block {
	blank := b.Tuck.Plus(b.Inset)
	if turned {
		blank = blank.Turn()
	}
	set := &typeset.Setting{Block: b, Face: b.Font, Size: size, Lines: make([]typeset.Line, lines), Ink: b.Ink()}
	return &plan.Block{Block: b, Setting: set, Copy: 1, Turned: turned, InkBox: r.Inset(blank)}
}

// turn says that a block lies turned. Its blank is the same on all sides.
func turn(b *plan.Block) { b.Turned, b.Space = true, b.Space.Turn() }

// What a cut has for a mark, and in which of its parts.
type marking measure.Length

const (
	unmarked marking = 0
	onNear   marking = -1
	onFar    marking = 1
)

// cutOff cuts the first n of a part off, unless that is all of it: then there is no far part.
func cutOff(p *plan.Part, axis plan.Axis, n measure.Length, m marking) (near, far *plan.Part) {
	if p == nil || n > along(p, axis) {
		panic(fmt.Sprintf("made: there is no room to cut %d off %+v", n, p))
	}
	if n == along(p, axis) {
		return p, nil
	}
	near, far = &plan.Part{Rect: p.Rect}, &plan.Part{Rect: p.Rect}
	p.Cut = &plan.Cut{Axis: axis, Near: near, Far: far}
	if axis == plan.Down {
		p.Cut.At = p.Rect.X + n
		near.Rect.W, far.Rect.X, far.Rect.W = n, p.Cut.At, p.Rect.W-n
	} else {
		p.Cut.At = p.Rect.Y + n
		near.Rect.H, far.Rect.Y, far.Rect.H = n, p.Cut.At, p.Rect.H-n
	}
	if m != unmarked {
		p.Cut.Marks = []plan.Mark{markOf(p, m)}
	}
	return near, far
}

// markOf is a quarter of an inch long, at the beginning of the cut.
func markOf(p *plan.Part, m marking) plan.Mark {
	const weight = measure.Point / 2
	at, r := p.Cut.At+measure.Length(m)*weight/2, p.Rect
	if p.Cut.Axis == plan.Down {
		return plan.Mark{X1: at, Y1: r.Y, X2: at, Y2: r.Y + min(inch/4, r.H), Weight: weight}
	}
	return plan.Mark{X1: r.X, Y1: at, X2: r.X + min(inch/4, r.W), Y2: at, Weight: weight}
}

// dropGap cuts the gap off as scrap, and returns what is behind it; of what is no wider than a gap nothing comes off, nor of the last of a
// row where that is scrap as well.
func (d *Draft) dropGap(p *plan.Part, axis plan.Axis, gap measure.Length, last bool) *plan.Part {
	if gap == 0 || p == nil || along(p, axis) <= gap {
		return p
	}
	behind := p.Rect.Size()
	if axis == plan.Down {
		behind.W -= gap
	} else {
		behind.H -= gap
	}
	if last && !d.feeds(behind) {
		return p
	}
	_, rest := cutOff(p, axis, gap, onNear)
	return rest
}

// feeds reports whether the printer pulls a rest either way round.
func (d *Draft) feeds(s measure.Size) bool {
	f := d.Settings.Printers[0]
	return f.Feeds(s) || f.Feeds(s.Turn())
}

// along is the side of a part that a cut shares out.
func along(p *plan.Part, axis plan.Axis) measure.Length {
	if axis == plan.Down {
		return p.Rect.W
	}
	return p.Rect.H
}

// keepLeftover makes what remains a leftover, where the printer pulls it.
func (d *Draft) keepLeftover(p *plan.Part) {
	if p != nil {
		p.Keep = d.feeds(p.Rect.Size())
	}
}
