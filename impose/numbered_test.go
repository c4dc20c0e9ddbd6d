package impose

import (
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
)

// The first piece lies on the page behind the guides, also where these are longer or shorter once they name it.
func TestNumberedBehindTheGuides(t *testing.T) {
	for name, long := range map[string]func(first int) int{
		"as long":            func(int) int { return 8 },
		"longer at once":     func(first int) int { return 8 + min(first/9, 1) },
		"longer and longer":  func(first int) int { return min(first+2, 40) },
		"shorter":            func(first int) int { return 9 - min(first/9, 1) },
		"never the same":     func(first int) int { return 9 - first%2 },
		"no longer wanted":   func(first int) int { return 8 * max(0, 2-first) },
		"never wanted":       func(int) int { return 0 },
		"first it is longer": func(first int) int { return map[int]int{1: 20, 21: 22, 23: 21}[first] },
	} {
		p := &plan.Plan{Pieces: []*plan.Piece{{Page: 1}}}
		size := measure.Size{W: 8 * measure.Inch, H: 11 * measure.Inch}
		pages := numbered(p, size, func() []press.Page {
			out := make([]press.Page, long(p.Pieces[0].Page))
			for i := range out {
				out[i].Size = size
			}
			return out
		})
		if first := p.Pieces[0].Page; first != len(pages)+1 {
			t.Errorf("%s: the first piece is said to lie on page %d, and lies behind %d pages of guides", name, first, len(pages))
		}
		for i, page := range pages {
			if page.Size != size {
				t.Errorf("%s: page %d of the guides is %v", name, i+1, page.Size)
			}
		}
	}
}
