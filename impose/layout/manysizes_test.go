package layout

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
	"tuckmark/intake/intaketest"
)

// manySizes are so many sheets from 5 x 6 in on, none like another.
func manySizes(n int) (out []config.Sheet) {
	for i := range n {
		out = append(out, config.Sheet{Size: measure.Size{W: 5*in + measure.Length(i%40)*in/10, H: 6*in + measure.Length(i/40)*in/5}, Count: -1})
	}
	return out
}

// TestManySizesOfSheets: what is looked at of the sizes of a stock is looked at once, not for each block that fits none of them.
func TestManySizesOfSheets(t *testing.T) {
	s := plain(t, nil)
	s.Stocks = []config.Stock{{Name: "vellum", Sheets: manySizes(400)}}
	s.Printers = []config.Printer{
		{Name: "a", Narrowest: 2 * in, Widest: 5 * in, Shortest: 5 * in, Longest: 8 * in, Scale: [2]float64{1, 1}},
		{Name: "b", Narrowest: 9 * in / 4, Widest: 51 * in / 10, Shortest: 5 * in, Longest: 81 * in / 10, Margins: measure.Same(in / 8), Scale: [2]float64{1, 1}},
	}
	took := func(n int) time.Duration {
		least := time.Hour
		for range 3 {
			var blocks []intake.Block
			for i := range n {
				blocks = append(blocks, note(s, fmt.Sprint("OH-", i), "vellum", 9*in+measure.Length(i)*in/1000, 2*in))
			}
			from := time.Now()
			GiveWay(blocks, func(stock config.Stock) []config.Sheet { return stock.Sheets }, s)
			var set []typeset.Setting
			for i := range blocks {
				set = append(set, typeset.Setting{Block: &blocks[i]})
			}
			_, held, _ := Sketch(context.Background(), set, nil, s, nil)
			least = min(least, time.Since(from))
			if len(held) != n {
				t.Fatalf("%d of %d blocks are held", len(held), n)
			}
		}
		return least
	}
	few, many := took(50), took(1600)
	t.Logf("50 blocks %v, 1600 blocks %v", few, many)
	if many > 6*few {
		t.Errorf("32 times the blocks took %v, %.1f times as long", many, float64(many)/float64(few))
	}
}

// TestRefusalsEnd: that nothing can be printed is found in moments, whatever there is of printers, of sizes and of blocks; by the processor, before: minutes
// for the first, 11 s for the second, 17 s for the third.
func TestRefusalsEnd(t *testing.T) {
	small := func(n int) (out []config.Printer) {
		for i := range n {
			out = append(out, config.Printer{Name: fmt.Sprint("p", i), Narrowest: 3 * in, Widest: 32*in/10 + measure.Length(i)*in/100, Shortest: 4 * in, Longest: 4*in + measure.Length(i%89)*in/100, Scale: [2]float64{1, 1}})
		}
		return out
	}
	large := func(n int) (out []config.Sheet) {
		for i := range n {
			out = append(out, config.Sheet{Size: measure.Size{W: 30*in + measure.Length(i%100)*in/10, H: 40*in + measure.Length(i/100)*in}, Count: -1})
		}
		return out
	}
	plotter := config.Printer{Name: "plotter", Widest: 50 * in, Longest: 60 * in, Scale: [2]float64{1, 1}, Takes: []string{"large"}}
	tiny := config.Sheet{Size: measure.Size{W: 4 * in, H: 5 * in}, Count: -1}
	for name, c := range map[string]struct {
		printers []config.Printer
		stocks   []config.Stock
		blocks   int
		space    measure.Length
	}{
		"printers": {small(290), []config.Stock{{Name: "vellum", Sheets: large(1)}}, 1, 3 * in},
		"sizes":    {small(1), []config.Stock{{Name: "vellum", Sheets: large(990)}}, 3000, 3 * in},
		"panels":   {small(4), []config.Stock{{Name: "vellum", Sheets: []config.Sheet{{Size: measure.Size{W: 300 * in, H: 400 * in}, Count: -1}}}}, 1, 3 * in},
		"uncut":    {append(small(1), plotter), []config.Stock{{Name: "vellum", Sheets: []config.Sheet{tiny}}, {Name: "large", Sheets: large(990)}}, 3000, 9 * in},
	} {
		s := plain(t, nil)
		s.Printers, s.Stocks = c.printers, c.stocks
		s.Trimmer = config.Trimmer{Longest: 5 * in}
		var blocks []intake.Block
		var set []typeset.Setting
		for i := range c.blocks {
			blocks = append(blocks, note(s, fmt.Sprint("OH-", i), "vellum", c.space+measure.Length(i)*in/1000, 2*in))
		}
		for i := range blocks {
			set = append(set, typeset.Setting{Block: &blocks[i]})
		}
		from := intaketest.Processor()
		_, held, _ := Sketch(context.Background(), set, nil, s, nil)
		took := intaketest.Processor() - from
		t.Logf("%s: %v", name, took)
		if len(held) != c.blocks || took > 8*intaketest.Raced*time.Second {
			t.Errorf("%s: %d of %d blocks are held in %v", name, len(held), c.blocks, took)
		}
	}
}

// TestManyPrintersAlike: of more printers that pull a sheet than a packer can try, those are offered that print it each in their own way, and what fits one of all fits one of these.
func TestManyPrintersAlike(t *testing.T) {
	sheet := measure.Size{W: 8 * in, H: 10 * in}
	for _, c := range []struct {
		n    int
		kind func(i int) measure.Length // left margin; the right one is what it lacks of an inch
		want int
	}{
		{mostDivisions, func(int) measure.Length { return 0 }, mostDivisions}, // a workshop's, each by itself
		{300, func(int) measure.Length { return 0 }, 1},
		{300, func(i int) measure.Length { return measure.Length(i%7) * in / 8 }, 7},
		{100, func(i int) measure.Length { return measure.Length(i) * in / 100 }, 100}, // none can stand in for another
	} {
		s := plain(t, nil)
		s.Printers, s.Stocks = nil, []config.Stock{{Name: "vellum", Sheets: []config.Sheet{{Size: sheet, Count: -1}}}}
		all := pack.Sheet{}
		for i := range c.n {
			left := c.kind(i)
			s.Printers = append(s.Printers, config.Printer{Name: fmt.Sprint("p", i), Widest: 9 * in, Longest: 11 * in, Margins: measure.Sides{Left: left, Right: in - left}, Scale: [2]float64{1, 1}})
		}
		f := newFeed(s, s.Stocks[0])
		for i := range s.Printers {
			all.Divisions = append(all.Divisions, pack.Division{Pieces: []pack.Piece{f.pullable(sheet.At(0, 0), i)}})
		}
		got := f.divisions(sheet, wishes{})
		if len(got) != c.want || got[0].Pieces[0].Printer != 0 {
			t.Errorf("%d printers: %d divisions, %d wanted", c.n, len(got), c.want)
		}
		rooms, of := pack.RoomsOf([]pack.Sheet{{Divisions: got}}), pack.RoomsOf([]pack.Sheet{all})
		for i := range 100 {
			left := measure.Length(i) * in / 100
			it := pack.Item{Size: sheet, Blank: measure.Sides{Left: left, Right: in - left}}
			if rooms.Fits(it) != of.Fits(it) {
				t.Errorf("%d printers: blank %v fits one of the offered: %v, one of all: %v", c.n, left, rooms.Fits(it), of.Fits(it))
			}
		}
	}
}

// TestWaysOutEnd: ways out are looked for on so many sizes of sheets, and the messages that would name others name those that are left.
func TestWaysOutEnd(t *testing.T) {
	for _, c := range []struct {
		sheets, printers int
		named            bool
	}{{5, 290, true}, {mostSought/290 + 1, 290, false}} {
		s := plain(t, nil)
		s.Stocks = []config.Stock{{Name: "vellum", Sheets: manySizes(c.sheets)}, {Name: "cardstock"}}
		s.Printers = []config.Printer{{Name: "mine", Widest: 3 * in, Longest: 4 * in, Takes: []string{"vellum"}}}
		for i := range c.printers {
			s.Printers = append(s.Printers, config.Printer{Name: fmt.Sprint("p", i), Widest: 2 * in, Longest: 3 * in, Takes: []string{"cardstock"}})
		}
		last := &s.Printers[c.printers]
		last.Widest, last.Longest = 9*in, 11*in
		a := arranger{settings: s, plan: &plan.Plan{}}
		b := note(s, "OH-1", "vellum", 4*in, 5*in)
		f := a.feedOf(s.Stocks[0])
		for range 2 { // what is known once is known
			hint := a.wayOut(f, f.rooms(f.stock.Sheets), &b)
			if strings.Contains(hint, "let the printer “"+last.Name+"” take") != c.named || !strings.Contains(hint, "make the space no larger than") {
				t.Errorf("%d sizes: %s", c.sheets, hint)
			}
		}
	}
}

// TestWayOfOneThatTakes: no printer is told to take a stock that it takes already, but one that takes all stocks as others do may be there for this one.
func TestWayOfOneThatTakes(t *testing.T) {
	mine := config.Printer{Name: "mine", Widest: 9 * in, Longest: 11 * in}
	named := mine
	named.Takes = []string{"vellum"}
	hers := config.Printer{Name: "hers", Widest: 5 * in, Longest: 6 * in}
	for _, c := range []struct {
		printers []config.Printer
		way      bool
	}{{[]config.Printer{named}, false}, {[]config.Printer{mine}, false}, {[]config.Printer{named, hers}, false}, {[]config.Printer{mine, hers}, true}} {
		s := plain(t, nil)
		s.Stocks = []config.Stock{{Name: "vellum", Sheets: []config.Sheet{{Size: measure.Size{W: 8 * in, H: 10 * in}, Count: -1}}}}
		s.Printers = c.printers
		a := arranger{settings: s, plan: &plan.Plan{}}
		b := note(s, "OH-1", "vellum", 4*in, 5*in)
		small := pack.RoomsOf([]pack.Sheet{{Divisions: []pack.Division{{Pieces: []pack.Piece{{Rect: measure.Rect{W: 3 * in, H: 4 * in}}}}}}}) // what is left of it
		if hint := a.wayOut(a.feedOf(s.Stocks[0]), small, &b); strings.Contains(hint, "let the printer “mine” take “vellum”") != c.way {
			t.Errorf("%+v: %s", c, hint)
		}
	}
}
