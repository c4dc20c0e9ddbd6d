package layout

import (
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

// apartness is the least distance between two blocks of a plan that lie on one piece beside or below each other.
func apartness(p *plan.Plan) measure.Length {
	least := 100 * in
	for _, piece := range p.Pieces {
		blocks := piece.Blocks()
		for i, a := range blocks {
			for _, b := range blocks[:i] {
				a, b := a.Rect, b.Rect
				least = min(least, max(a.X-b.Right(), b.X-a.Right(), a.Y-b.Bottom(), b.Y-a.Bottom()))
			}
		}
	}
	return least
}

// TestScissors: where it costs no sheet there are 3/8 in between blocks, or as much of it as that leaves; where blocks fill the sheet they touch, on as few
// sheets as ever. Each block has an outline wherever there is waste (plan.Check looks at that), no cut has a mark, and a leftover gives up what a
// line beside it takes, if it still feeds then.
func TestScissors(t *testing.T) {
	for _, c := range []struct {
		name   string
		w, h   measure.Length
		n      int
		flags  map[string]string
		sheets int
		apart  measure.Length
	}{
		{"room for all of it", 3 * in, 2 * in, 6, nil, 1, 3 * in / 8},
		{"half of it", 33 * in / 8, 9 * in / 4, 8, nil, 1, 3 * in / 16},
		{"none: the sheet is full", 17 * in / 4, 5 * in / 2, 8, nil, 1, 0},
		{"by hand, whatever it costs", 17 * in / 4, 5 * in / 2, 8, map[string]string{"gap": "1/4 in"}, 2, in / 4},
		{"none asked for", 3 * in, 2 * in, 6, map[string]string{"gap": "0"}, 1, 0},
	} {
		flags := map[string]string{"trimmer": "none", "effort": "20"}
		for k, v := range c.flags {
			flags[k] = v
		}
		s := plain(t, flags)
		var blocks []intake.Block
		for i := range c.n {
			blocks = append(blocks, note(s, string(rune('A'+i)), "cardstock", c.w, c.h))
		}
		p, _ := arrange(t, s, blocks)
		if p.Stocks[0].NewSheets != c.sheets || apartness(p) != c.apart {
			t.Errorf("%s: %d sheets, blocks %s apart, want %d and %s", c.name, p.Stocks[0].NewSheets, apartness(p).Format(measure.In), c.sheets, c.apart.Format(measure.In))
		}
		lines := 0
		for _, piece := range p.Pieces {
			if p.Trimming().Unmarked != p.Trimming().Cuts {
				t.Errorf("%s: a cut has a mark", c.name)
			}
			for leaf := range piece.Whole.Leaves {
				lines += len(leaf.Outline)
				if leaf.Keep && c.apart > 0 {
					for _, b := range piece.Blocks() {
						if b.Rect.X <= leaf.Rect.Right() && leaf.Rect.X <= b.Rect.Right() && b.Rect.Y <= leaf.Rect.Bottom() && leaf.Rect.Y <= b.Rect.Bottom() {
							t.Errorf("%s: the leftover at %v touches a block", c.name, leaf.Rect)
						}
					}
				}
			}
		}
		if lines == 0 && c.apart > 0 {
			t.Errorf("%s: there are no outlines", c.name)
		}
	}
}
