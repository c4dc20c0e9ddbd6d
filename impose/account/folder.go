package account

import (
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// PaperOf is paper of a stock.
type PaperOf struct {
	config.Sheet
	Stock string
}

// Unused is the paper at hand that the plan does not use. Sheets without end are left out, unless the stock has counted
// ones as well: a list of its paper must then be whole.
func (a *Account) Unused() []PaperOf {
	var out []PaperOf
	used := a.used()
	for _, t := range a.Settings.Stocks {
		sheets := intake.AtHand(t, a.Paper)
		counted := slices.ContainsFunc(sheets, func(s config.Sheet) bool { return !s.Leftover && s.Count >= 0 })
		for _, s := range sheets {
			take := func(size measure.Size) {
				k := taken{t.Name, s.Leftover, size}
				n := min(used[k], max(s.Count, 0))
				used[k] -= n
				s.Count -= n
			}
			if s.Count >= 0 {
				take(s.Size)
				if s.Size != s.Size.Turn() {
					take(s.Size.Turn())
				}
			}
			if s.Leftover && s.Count == 0 || !s.Leftover && !counted {
				continue
			}
			out = append(out, PaperOf{s, t.Name})
		}
	}
	return out
}

// taken is a kind of sheet that the plan uses, and its size as fed.
type taken struct {
	stock    string
	leftover bool
	size     measure.Size
}

// used counts the sheets and leftovers of the plan, each as it was before any cut.
func (a *Account) used() map[taken]int {
	type sheet struct {
		stock string
		n     int
	}
	out := map[taken]int{}
	seen := map[sheet]bool{}
	for _, p := range a.Pieces {
		s := sheet{p.Stock, p.Source.Sheet}
		if seen[s] {
			continue
		}
		seen[s] = true
		out[taken{p.Stock, p.Source.Leftover, p.uncut()}]++
	}
	return out
}

// uncut is the size of the piece's sheet or leftover as it was before any cut.
func (p *Piece) uncut() measure.Size {
	if p.Source.Cut != nil {
		return p.Source.Cut.Whole.Rect.Size()
	}
	return p.Size()
}
