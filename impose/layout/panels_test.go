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

// pocket is a travelling printer that takes 4 x 6 in at most.
func pocket() config.Printer {
	return config.Printer{Name: "pocket", Narrowest: 7 * in / 2, Widest: 4 * in, Shortest: 5 * in, Longest: 6 * in,
		Margins: measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 4}, Scale: [2]float64{1, 1}}
}

// TestPreCuts: what a printer pulls is cut out of sheets in two stages, worked out by hand.
func TestPreCuts(t *testing.T) {
	letter := measure.Size{W: 17 * in / 2, H: 11 * in}
	office := config.Printer{Name: "office", Narrowest: 31 * in / 8, Widest: 17 * in / 2, Shortest: 47 * in / 8, Longest: 14 * in, Scale: [2]float64{1, 1}}
	long := pocket()
	long.Longest, long.Takes = 8*in, []string{"cardstock"}
	short := config.Trimmer{Longest: 10 * in, Holds: in}
	for _, c := range []struct {
		name     string
		printers []config.Printer
		trimmer  config.Trimmer
		sheet    measure.Size
		block    measure.Size
		copies   int
		panels   []measure.Size // printed, the largest first
		kept     []measure.Size // of the sheet before printing
	}{
		{"alone: four panels of a letter sheet", []config.Printer{pocket()}, config.Trimmer{Longest: 12 * in, Holds: in}, letter,
			measure.Size{W: 4 * in, H: 9 * in / 2}, 4, []measure.Size{{W: 4 * in, H: 6 * in}, {W: 4 * in, H: 6 * in}, {W: 4 * in, H: 5 * in}, {W: 4 * in, H: 5 * in}}, nil},
		{"a trimmer of 10 in: rows come first", []config.Printer{pocket()}, short, letter,
			measure.Size{W: 4 * in, H: 9 * in / 2}, 4, []measure.Size{{W: 4 * in, H: 11 * in / 2}, {W: 4 * in, H: 11 * in / 2}, {W: 4 * in, H: 11 * in / 2}, {W: 4 * in, H: 11 * in / 2}}, nil},
		{"a sheet turned gives two", []config.Printer{pocket()}, short, measure.Size{W: 6 * in, H: 8 * in},
			measure.Size{W: 4 * in, H: 11 * in / 2}, 2, []measure.Size{{W: 4 * in, H: 6 * in}, {W: 4 * in, H: 6 * in}}, nil},
		{"beside an office printer that would pull the sheet", []config.Printer{long, office}, short, letter,
			measure.Size{W: 4 * in, H: 15 * in / 2}, 1, []measure.Size{{W: 4 * in, H: 8 * in}}, []measure.Size{{W: 9 * in / 2, H: 8 * in}}},
	} {
		s := plain(t, map[string]string{"gap": "0"})
		s.Printers, s.Trimmer = c.printers, c.trimmer
		for i := range s.Stocks {
			s.Stocks[i].Printers = nil
		}
		stock := &s.Stocks[slices.IndexFunc(s.Stocks, func(s config.Stock) bool { return s.Name == "cardstock" })]
		stock.Sheets = []config.Sheet{{Size: c.sheet, Count: -1}}
		b := note(s, "OH-1", "cardstock", c.block.W, c.block.H)
		b.Turn, b.Copies = false, c.copies
		laid, held := arrange(t, s, []intake.Block{b})
		if len(held) > 0 || laid.Stocks[0].NewSheets != 1 {
			t.Errorf("%s: %+v, held %+v", c.name, laid.Stocks, held)
			continue
		}
		var panels, kept []measure.Size
		for _, p := range laid.Pieces {
			panels = append(panels, p.Size())
			if p.Printer != c.printers[0].Name {
				t.Errorf("%s: %v goes to “%s”", c.name, p.Size(), p.Printer)
			}
		}
		slices.SortFunc(panels, func(a, b measure.Size) int { return int(b.H - a.H) })
		for _, sheet := range laid.Sheets {
			for leaf := range sheet.Whole.Leaves {
				if leaf.Rest() && leaf.Keep {
					kept = append(kept, leaf.Rect.Size())
				}
			}
		}
		if !slices.Equal(panels, c.panels) {
			t.Errorf("%s: panels %v, not %v", c.name, panels, c.panels)
		}
		if !slices.Equal(c.kept, kept) {
			t.Errorf("%s: kept %v, not %v", c.name, kept, c.kept)
		}
	}
}

// What stays blank on a sheet is not cut up: one block on a 12 x 12 in sheet for a printer of 4 in leaves 8 x 12 in, not twice 4 x 12.
func TestBlankPanelsStayTogether(t *testing.T) {
	s := plain(t, nil)
	s.Printers = []config.Printer{{Name: "narrow", Narrowest: 3 * in, Widest: 4 * in, Shortest: 5 * in, Longest: 12 * in, Scale: [2]float64{1, 1}}}
	for i := range s.Stocks {
		s.Stocks[i].Printers = nil
		s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: 12 * in, H: 12 * in}, Count: -1}}
	}
	laid, _ := arrange(t, s, []intake.Block{note(s, "OH-1", "cardstock", 3*in, 11*in)})
	if len(laid.Sheets) != 1 || laid.Sheets[0].Whole.CutCount() != 1 {
		t.Fatalf("%+v", laid.Sheets)
	}
	rest := laid.Sheets[0].Whole.Cut.Far
	if !rest.Keep || rest.Rect.Size() != (measure.Size{W: 8 * in, H: 12 * in}) {
		t.Errorf("%+v", rest)
	}
}

// A printer that no sheet can serve is told so with the measures of both.
func TestNothingToServeAPrinter(t *testing.T) {
	s := plain(t, nil)
	s.Printers = []config.Printer{pocket()}
	for i := range s.Stocks {
		s.Stocks[i].Printers = nil
		s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: 3 * in, H: 11 * in}, Count: 2}}
	}
	b := []intake.Block{note(s, "OH-1", "cardstock", 2*in, in)}
	set, _, _ := typeset.Set(context.Background(), fonts(), b, s, nil)
	_, held, problems := Arrange(context.Background(), set, nil, s, nil)
	if len(held) != 1 || !strings.Contains(fmt.Sprint(problems), "“pocket” pulls from 3 1/2 x 5 in to 4 x 6 in") || !strings.Contains(fmt.Sprint(problems), "3 x 11 in") {
		t.Errorf("held %v: %v", held, problems)
	}
}

// TestRandomPreCuts lays random blocks on random sheets for random narrow printers: the plain checker finds nothing, and what any one
// printer could pull of a sheet is not refused as if there were none.
func TestRandomPreCuts(t *testing.T) {
	laidOut := 0
	for n := range 12 {
		c := newChance(t, uint64(7000+n))
		s := plain(t, c.flags())
		p := pocket()
		p.Narrowest, p.Widest = c.eighths(16, 28), c.eighths(28, 40)
		p.Shortest, p.Longest = c.eighths(24, 40), c.eighths(40, 72)
		s.Printers = []config.Printer{p}
		for i := range s.Stocks {
			s.Stocks[i].Printers = nil
			s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: c.eighths(48, 96), H: c.eighths(48, 96)}, Count: -1}}
		}
		c.settings = s
		blocks := c.blocks(6)
		laid, _ := planned(blocks, nil, s)
		for _, fault := range plan.Check(laid, blocks, s) {
			t.Errorf("job %d: %s", n, fault)
		}
		for _, h := range laid.Held {
			if strings.Contains(h.Why, "can be printed") {
				t.Errorf("job %d: %s, on a sheet of %v with a printer from %v to %v", n, h.Why, s.Stocks[0].Sheets[0].Size,
					measure.Size{W: p.Narrowest, H: p.Shortest}, measure.Size{W: p.Widest, H: p.Longest})
			}
		}
		laidOut += len(laid.Pieces)
	}
	if laidOut < 12 {
		t.Errorf("only %d pieces", laidOut)
	}
}
