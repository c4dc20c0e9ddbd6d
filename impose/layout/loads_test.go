package layout

import (
	"reflect"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

// TestLoads: blocks of 8 x 10 and 3 x 10 in come out of one 12 x 12 in sheet at 0.45, as panels of two sizes, or out of two letter sheets
// at 0.35: 0.25 dearer. Whether that is done depends on what a load is worth; without prices the paper alone counts.
func TestLoads(t *testing.T) {
	for _, c := range []struct {
		load, small int64
		sheets      int
		size        measure.Length // of the narrowest piece
	}{{0, 35, 1, 4 * in}, {24, 35, 1, 4 * in}, {26, 35, 2, 17 * in / 2}, {1000, 35, 2, 17 * in / 2}, {1000, 0, 1, 4 * in}} {
		s := plain(t, nil)
		s.Load = c.load
		for i := range s.Stocks {
			s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: 12 * in, H: 12 * in}, Count: -1, Price: 45},
				{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Count: -1, Price: c.small}}
		}
		blocks := []intake.Block{note(s, "OH-1", "cardstock", 8*in, 10*in), note(s, "OH-2", "cardstock", 3*in, 10*in)}
		laid, held := arrange(t, s, blocks)
		if len(held) > 0 || laid.Stocks[0].NewSheets != c.sheets {
			t.Errorf("a load worth %d, letter at %d: %+v, held %v", c.load, c.small, laid.Stocks, held)
			continue
		}
		narrowest := 100 * in
		for _, p := range laid.Pieces {
			narrowest = min(narrowest, p.Size().W)
		}
		if narrowest != c.size {
			t.Errorf("a load worth %d, letter at %d: the narrowest piece is %v", c.load, c.small, narrowest)
		}
	}
}

// TestFewerLoadsAreLaidInFull: what is chosen for its fewer loads is cut and marked as if nothing else had been on offer.
func TestFewerLoadsAreLaidInFull(t *testing.T) {
	letter := config.Sheet{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Count: -1, Price: 35}
	lay := func(load int64, sheets ...config.Sheet) *plan.Plan {
		s := plain(t, nil)
		s.Load = load
		for i := range s.Stocks {
			s.Stocks[i].Sheets = sheets
		}
		blocks := []intake.Block{note(s, "OH-1", "cardstock", 13*in/2, 11*in/2), note(s, "OH-2", "cardstock", 13*in/2, 3*in), note(s, "OH-3", "cardstock", 5*in, 4*in), note(s, "OH-4", "cardstock", 4*in, 17*in/2)}
		laid, held := arrange(t, s, blocks)
		if len(held) > 0 {
			t.Fatal(held)
		}
		return laid
	}
	got, want := lay(26, config.Sheet{Size: measure.Size{W: 12 * in, H: 12 * in}, Count: -1, Price: 45}, letter), lay(0, letter)
	if !reflect.DeepEqual(got.Pieces, want.Pieces) {
		t.Errorf("%d pieces, %d with letter sheets alone, or cut otherwise", len(got.Pieces), len(want.Pieces))
	}
}
