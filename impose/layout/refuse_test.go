package layout

import (
	"context"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// TestSpaceThatFits: the space that is proposed is one that a person can measure: whole sixteenths, or millimetres.
func TestSpaceThatFits(t *testing.T) {
	mm := measure.Millimetre
	for _, c := range []struct {
		unit         measure.Unit
		piece, space measure.Size
		want         measure.Size
	}{
		{measure.In, measure.Size{W: 8*in + in/32, H: 11 * in}, measure.Size{W: 9 * in, H: 3 * in}, measure.Size{W: 8 * in, H: 3 * in}},
		{measure.In, measure.Size{W: 8 * in, H: 11 * in}, measure.Size{W: 3*in + in/32, H: 12 * in}, measure.Size{W: 3*in + in/32, H: 11 * in}}, // what fits stays
		{measure.Mm, measure.Size{W: 200*mm + mm/2, H: 280 * mm}, measure.Size{W: 210 * mm, H: 50 * mm}, measure.Size{W: 200 * mm, H: 50 * mm}},
		{measure.Mm, measure.Size{W: 200 * mm, H: 280*mm + mm/2}, measure.Size{W: 60 * mm, H: 290 * mm}, measure.Size{W: 60 * mm, H: 280 * mm}},
	} {
		a := arranger{settings: &config.Settings{Unit: c.unit}, plan: &plan.Plan{}}
		job := pack.Job{Sheets: []pack.Sheet{{Size: c.piece, Divisions: []pack.Division{{Pieces: []pack.Piece{{Rect: c.piece.At(0, 0)}}}}}}}
		b := intake.Block{Space: c.space, Unit: c.unit, Inset: measure.Same(in / 8)}
		if got := a.fittingSpace(pack.RoomsOf(job.Sheets), &b); got != c.want {
			t.Errorf("%v on %v: %v, want %v", c.space, c.piece, got, c.want)
		}
	}
}

// TestAlone: a block fits a piece whose margins its own blank border covers, to the unit.
func TestAlone(t *testing.T) {
	p := pack.Piece{Rect: measure.Rect{W: 8 * in, H: 10 * in}, Margins: measure.Sides{Left: in / 4, Top: in / 4, Right: in / 8, Bottom: in / 2}}
	blank := measure.Same(in / 8) // covers the right margin, and half of the left and the upper one
	most := measure.Size{W: 8*in - in/8, H: 10*in - in/8 - 3*in/8}
	for _, d := range []struct {
		w, h measure.Length
		fits bool
	}{{0, 0, true}, {1, 0, false}, {0, 1, false}} {
		if got := fitsAlone(p, measure.Size{W: most.W + d.w, H: most.H + d.h}, blank); got != d.fits {
			t.Errorf("%+v over the most: %v", d, got)
		}
	}
}

// refusal is why a block by itself is not laid.
func refusal(t *testing.T, s *config.Settings, b intake.Block) (what, hint string) {
	t.Helper()
	set, held, found := typeset.Set(context.Background(), fonts(), []intake.Block{b}, s, nil)
	if len(held) > 0 {
		t.Fatal(found)
	}
	_, held, found = Arrange(context.Background(), set, nil, s, nil)
	if len(held) != 1 || len(found) != 1 {
		t.Fatalf("held %v, %v", held, found)
	}
	return found[0].What, found[0].Hint
}

// TestNotCutOut: what no trimmer at hand can cut out of sheets without end is not told to need more of them.
func TestNotCutOut(t *testing.T) {
	s := plain(t, nil)
	s.Trimmer.Longest = 9 * in
	b := note(s, "OH-1", "cardstock", 8*in, 19*in/2)
	what, hint := refusal(t, s, b)
	if !strings.Contains(what, "the trimmer cannot cut it out") || strings.Contains(hint, "more paper") {
		t.Errorf("%s; %s", what, hint)
	}
	for i := range s.Stocks { // the same of sheets that are counted
		for k := range s.Stocks[i].Sheets {
			s.Stocks[i].Sheets[k].Count = 3
		}
	}
	if what, hint := refusal(t, s, b); !strings.Contains(what, "the trimmer cannot cut it out") || strings.Contains(hint, "more paper") {
		t.Errorf("%s; %s", what, hint)
	}
	// A block that fits only turned, and other stocks, whose sheets the trimmer does not cut either: none of it is proposed.
	b.Turn, b.Space = false, measure.Size{W: 19 * in / 2, H: 8 * in}
	if what, hint := refusal(t, s, b); !strings.Contains(what, "too large") || strings.Contains(hint, "turned") || strings.Contains(hint, "choose") {
		t.Errorf("%s; %s", what, hint)
	}
}

// TestWaysOutThatHelp: what is proposed would serve: no turning that does not, and not the stock that the row names already.
func TestWaysOutThatHelp(t *testing.T) {
	s := plain(t, nil)
	b := note(s, "OH-1", "cardstock", 20*in, 20*in)
	b.Turn = false
	if what, hint := refusal(t, s, b); !strings.Contains(what, "too large") || strings.Contains(hint, "turned") || strings.Contains(hint, "choose") {
		t.Errorf("%s: %s", what, hint)
	}
	b.Space = measure.Size{W: 10 * in, H: 3 * in}
	if what, hint := refusal(t, s, b); !strings.Contains(what, "too large") || !strings.HasPrefix(hint, "let it be turned") {
		t.Errorf("%s: %s", what, hint)
	}
	// The folder holds a small piece only, the configuration knows of large sheets of the same stock.
	a := arranger{settings: s, plan: &plan.Plan{}}
	stock, _ := s.Stock("cardstock")
	small := measure.Size{W: 4 * in, H: 6 * in}
	job := pack.Job{Sheets: []pack.Sheet{{Size: small, Divisions: []pack.Division{{Pieces: []pack.Piece{{Rect: small.At(0, 0)}}}}}}}
	b.Space, b.Turn = measure.Size{W: 5 * in, H: 5 * in}, true
	if hint := a.wayOut(newFeed(s, stock), pack.RoomsOf(job.Sheets), &b); strings.Contains(hint, "choose “cardstock”") || !strings.Contains(hint, "choose “vellum”") {
		t.Errorf("%s", hint)
	}
}

// TestSoldOut: sheets of which none is there are no sheets.
func TestSoldOut(t *testing.T) {
	s := plain(t, nil)
	for i := range s.Stocks {
		for k := range s.Stocks[i].Sheets {
			s.Stocks[i].Sheets[k].Count = 0
		}
	}
	if what, _ := refusal(t, s, note(s, "OH-1", "cardstock", 4*in, 2*in)); what != "no sheet of “cardstock” can be printed" {
		t.Errorf("%s", what)
	}
}

// TestUsedUp: paper that a printer pulls, and of which there was some, is used up and not of a wrong size.
func TestUsedUp(t *testing.T) {
	s := plain(t, nil)
	a := arranger{settings: s, plan: &plan.Plan{}}
	stock, _ := s.Stock("cardstock")
	if why := a.unserved(newFeed(s, stock)); !strings.Contains(why, "used up") {
		t.Error(why)
	}
	for i := range stock.Sheets {
		stock.Sheets[i].Size = measure.Size{W: in, H: in}
	}
	a = arranger{settings: s, plan: &plan.Plan{}} // one works out once why a stock is not served
	if why := a.unserved(newFeed(s, stock)); !strings.Contains(why, "nothing of that size") {
		t.Error(why)
	}
}

// TestCosts: a leftover costs nothing whatever is said of its price; sheets cost what they cost, or, where any of them has no price,
// as much more as they are larger.
func TestCosts(t *testing.T) {
	s := plain(t, nil)
	stock, _ := s.Stock("cardstock")
	small, large := measure.Size{W: 6 * in, H: 8 * in}, measure.Size{W: 8 * in, H: 12 * in}
	for _, c := range []struct {
		prices [2]int64
		want   []int64
	}{{[2]int64{50, 40}, []int64{0, 50, 40}}, {[2]int64{50, 0}, []int64{0, 4800, 9600}}} { // in hundredths of a square inch
		a := arranger{settings: s, plan: &plan.Plan{}}
		b := note(s, "OH-1", "cardstock", 4*in, 2*in)
		sheets := []config.Sheet{{Size: small, Count: 1, Leftover: true, Price: 30}, {Size: small, Count: 2, Price: c.prices[0]}, {Size: large, Count: -1, Price: c.prices[1]}}
		job, _, offers := a.job(newFeed(s, stock), sheets, []*typeset.Setting{{Block: &b}})
		var costs []int64
		for _, o := range job.Sheets {
			costs = append(costs, o.Cost)
		}
		if !slices.Equal(costs, c.want) || !slices.Equal(offers, []int{0, 1, 2}) {
			t.Errorf("prices %v: costs %v, want %v", c.prices, costs, c.want)
		}
	}
}
