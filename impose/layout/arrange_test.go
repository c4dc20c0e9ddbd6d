package layout

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// plain are settings as they are without any configuration.
func plain(t testing.TB, flags map[string]string) *config.Settings {
	t.Helper()
	s, list := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), Flags: flags})
	if list.Errors() > 0 {
		t.Fatal(list)
	}
	return s
}

func note(s *config.Settings, code, stock string, w, h measure.Length) intake.Block {
	st, _ := s.Stock(stock)
	return intake.Block{Code: code, Owner: "Odile Hart", Space: measure.Size{W: w, H: h}, Tuck: st.Tuck, Inset: st.Inset, Stock: stock, Font: "Serif",
		Type: s.Type, Copies: 1, Turn: true, Text: []intake.Paragraph{{{Text: "Plums on the quay."}}}, Back: config.Colour{R: 255, G: 255, B: 255}}
}

func arrange(t *testing.T, s *config.Settings, blocks []intake.Block, paper ...intake.Paper) (*plan.Plan, []intake.Held) {
	t.Helper()
	set, held, list := typeset.Set(context.Background(), fonts(), blocks, s, nil)
	if len(held) > 0 {
		t.Fatal(list)
	}
	laid, held, _ := Arrange(context.Background(), set, paper, s, nil)
	laid.Held = append(laid.Held, held...)
	for _, fault := range plan.Check(laid, blocks, s) {
		t.Error(fault)
	}
	return laid, held
}

const in = measure.Inch

// A whole area of a thousand sheets must not overflow on its way to a share.
func TestFilledOfManySheets(t *testing.T) {
	s := plain(t, nil)
	s.Effort = 0
	b := note(s, "OH-1", "cardstock", 8*in, 10*in)
	b.Copies = 900
	laid, _ := arrange(t, s, []intake.Block{b})
	if u := laid.Stocks[0]; u.NewSheets != 900 || u.Filled != 0.856 { // 80 of 93.5 square inches
		t.Errorf("%+v", u)
	}
}

// Common practice: a 12 x 12 in sheet is three 4 in strips with nothing left for a printer that pulls 4 in, a letter sheet two
// and an offcut of half an inch.
func TestPanelsOfANarrowPrinter(t *testing.T) {
	s := plain(t, map[string]string{"gap": "0"})
	s.Printers = []config.Printer{{Name: "narrow", Narrowest: 3 * in, Widest: 4 * in, Shortest: 5 * in, Longest: 12 * in, Margins: measure.Same(in / 8), Scale: [2]float64{1, 1}}}
	for i := range s.Stocks {
		s.Stocks[i].Printers = nil
	}
	for _, c := range []struct {
		sheet  measure.Size
		panels int
		spare  measure.Size
	}{{measure.Size{W: 12 * in, H: 12 * in}, 3, measure.Size{}}, {measure.Size{W: 17 * in / 2, H: 11 * in}, 2, measure.Size{W: in / 2, H: 11 * in}}} {
		s.Stocks[2].Sheets = []config.Sheet{{Size: c.sheet, Count: -1}}
		b := note(s, "OH-1", s.Stocks[2].Name, 4*in, c.sheet.H)
		b.Copies = c.panels
		laid, held := arrange(t, s, []intake.Block{b})
		if len(held) > 0 || len(laid.Pieces) != c.panels || laid.Stocks[0].NewSheets != 1 {
			t.Errorf("%v: %d pieces, held %v", c.sheet, len(laid.Pieces), held)
		}
		for _, p := range laid.Pieces {
			if p.Source.Panel == nil || p.Size().W != 4*in || p.Printer != "narrow" {
				t.Errorf("%v: %+v", c.sheet, p.Source)
			}
		}
		var spare measure.Size
		for _, sheet := range laid.Sheets {
			for leaf := range sheet.Whole.Leaves {
				if leaf.Panel {
					continue
				}
				spare = leaf.Rect.Size()
				if leaf.Keep {
					t.Errorf("the offcut %v does not feed", spare)
				}
			}
		}
		if spare != c.spare {
			t.Errorf("%v: spare %v, not %v", c.sheet, spare, c.spare)
		}
	}
}

func TestNoPlace(t *testing.T) {
	s := plain(t, nil)
	tooWide := note(s, "OH-1", "cardstock", 9*in, 9*in)
	fine := note(s, "OH-2", "cardstock", 4*in, 2*in)
	set, _, _ := typeset.Set(context.Background(), fonts(), []intake.Block{tooWide, fine}, s, nil)
	laid, held, list := Arrange(context.Background(), set, nil, s, nil)
	if len(held) != 1 || held[0].Code != "OH-1" || !strings.Contains(list[0].What, "too large for the sheets of “cardstock”") || !strings.Contains(list[0].Cause, "8 1/2 x 11 in") {
		t.Errorf("%+v", list)
	}
	if len(laid.Pieces) != 1 || len(laid.Pieces[0].Blocks()) != 1 {
		t.Errorf("the other block is not laid")
	}

	for i := range s.Stocks { // one sheet at hand, blocks for two: whole blocks are held, not single copies
		s.Stocks[i].Sheets[0].Count = 1
	}
	many := note(s, "OH-3", "cardstock", 4*in, 5*in)
	many.Copies = 3
	few := note(s, "OH-4", "cardstock", 4*in, 5*in)
	few.Copies = 2
	set, _, _ = typeset.Set(context.Background(), fonts(), []intake.Block{many, few}, s, nil)
	laid, held, list = Arrange(context.Background(), set, nil, s, nil)
	laid.Held = append(laid.Held, held...)
	if len(held) != 1 || !strings.Contains(list[0].What, "do not suffice") {
		t.Errorf("%+v", list)
	}
	for _, fault := range plan.Check(laid, []intake.Block{many, few}, s) {
		t.Error(fault)
	}

	s.Printers[0].Takes = []string{"vellum"}
	set, _, _ = typeset.Set(context.Background(), fonts(), []intake.Block{fine}, s, nil)
	if _, _, list = Arrange(context.Background(), set, nil, s, nil); len(list) != 1 || !strings.Contains(list[0].What, "no printer takes") {
		t.Errorf("%+v", list)
	}
}

// A row that asks for more copies than all the paper holds is refused alone: the small ones of others, which have room without it, are laid. Two such rows as well.
func TestManyCopiesStandAside(t *testing.T) {
	for _, asked := range [][]int{{100, 2, 1, 1}, {2, 100, 1}, {100, 90, 2, 1, 1}, {10, 2}} {
		s := plain(t, nil)
		for i := range s.Stocks {
			s.Stocks[i].Sheets[0].Count = 1
		}
		var blocks []intake.Block
		large := 0
		for i, copies := range asked {
			b := note(s, fmt.Sprintf("OH-%d", i+1), "cardstock", 4*in, 2*in)
			if b.Copies = copies; copies >= 10 {
				large++
			}
			blocks = append(blocks, b)
		}
		set, _, _ := typeset.Set(context.Background(), fonts(), blocks, s, nil)
		laid, held, _ := Arrange(context.Background(), set, nil, s, nil)
		for _, h := range held {
			if slices.ContainsFunc(blocks, func(b intake.Block) bool { return b.Code == h.Code && b.Copies < 10 }) {
				t.Errorf("%v: %s is held", asked, h.Code)
			}
		}
		laid.Held = append(laid.Held, held...)
		if len(held) != large {
			t.Errorf("%v: %d are held", asked, len(held))
		}
		for _, fault := range plan.Check(laid, blocks, s) {
			t.Error(fault)
		}
	}
}

// Leftovers are used before new sheets, whichever way round they feed, and are named in the plan.
func TestLeftoverFirst(t *testing.T) {
	s := plain(t, nil)
	b := note(s, "OH-1", "vellum", 4*in, 2*in)
	laid, _ := arrange(t, s, []intake.Block{b}, intake.Paper{Stock: "vellum", Size: measure.Size{W: 11 * in, H: 4 * in}, Count: 1, Leftover: true})
	p := laid.Pieces[0]
	if len(laid.Pieces) != 1 || !p.Source.Leftover || p.Size() != (measure.Size{W: 4 * in, H: 11 * in}) || laid.Stocks[0].NewSheets != 0 {
		t.Errorf("%+v", p.Source)
	}
	if kept := laid.Kept("vellum"); len(kept) != 1 || kept[0].H < 8*in {
		t.Errorf("left %v", kept)
	}
}

// TestAlikeTogether: pieces that are cut alike follow each other, though they are panels of one sheet after the other.
func TestAlikeTogether(t *testing.T) {
	s := plain(t, map[string]string{"gap": "0", "effort": "20"})
	for i := range s.Stocks {
		s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: 12 * in, H: 12 * in}, Count: -1, Price: 100}}
	}
	wide, low := note(s, "A", "cardstock", 8*in, 11*in), note(s, "B", "cardstock", 3*in, 3*in) // on a panel of 8 1/2 in, on one of 3 1/2 in
	wide.Copies, low.Copies, wide.Turn, low.Turn = 4, 12, false, false
	laid, _ := arrange(t, s, []intake.Block{wide, low})
	if len(laid.Pieces) < 6 {
		t.Fatalf("%d pieces", len(laid.Pieces))
	}
	last := map[string]int{}
	for i, p := range laid.Pieces {
		key := p.Printer + cutsIn(p.Whole)
		if k, ok := last[key]; ok && k != i-1 {
			t.Errorf("pieces %d and %d are cut alike, and another lies between them", k+1, i+1)
		}
		last[key] = i
	}
	if len(last) > len(laid.Pieces)/2 {
		t.Errorf("%d pieces are cut in %d ways", len(laid.Pieces), len(last))
	}
}

// TestShortTrimmer: a trimmer that just cuts across a sheet, and not down it, cuts as many blocks out of one as any: what a printer leaves blank comes off each
// part, and not off the whole sheet.
func TestShortTrimmer(t *testing.T) {
	for _, margins := range []measure.Sides{measure.Same(in / 4), {Left: 3 * in / 20, Top: 3 * in / 20, Right: 9 * in / 20, Bottom: 3 * in / 10}} {
		size := measure.Size{W: 3 * in, H: 2 * in}
		pieces := map[measure.Length]int{}
		for _, longest := range []measure.Length{0, 17 * in / 2} {
			s := plain(t, nil)
			s.Trimmer.Longest = longest
			for i := range s.Printers {
				s.Printers[i].Margins = margins
			}
			var blocks []intake.Block
			for n := range 18 {
				blocks = append(blocks, note(s, fmt.Sprintf("OH-%d", n+1), "cardstock", size.W, size.H))
			}
			laid, held := arrange(t, s, blocks)
			if len(held) > 0 {
				t.Fatalf("%v: %v", margins, held)
			}
			pieces[longest] = len(laid.Pieces)
			for _, p := range laid.Pieces {
				for q := range p.Whole.Cuts {
					long := q.Rect.H
					if q.Cut.Axis == plan.Across {
						long = q.Rect.W
					}
					if longest > 0 && q.Hair() == nil && long > longest {
						t.Errorf("%v: a cut of %s, with a trimmer of %s", margins, long.Format(measure.In), longest.Format(measure.In))
					}
				}
			}
		}
		if pieces[17*in/2] > pieces[0]+1 {
			t.Errorf("margins %v, blocks of %v: pieces by the longest cut %v", margins, size, pieces)
		}
	}
}
