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
		for _, exact := range []bool{true, false} { // of lots of one size those first that cost what was reckoned
			for i := range sheets {
				take(used, t.Name, &sheets[i], exact)
			}
		}
		for _, s := range sheets {
			if s.Leftover && s.Count == 0 || !s.Leftover && !counted {
				continue
			}
			out = append(out, PaperOf{s, t.Name})
		}
	}
	return out
}

// take takes from a row of sheets what is used of its size: with exact only what was reckoned at its price, of which a row without a count has enough.
func take(used map[taken]int, stock string, s *config.Sheet, exact bool) {
	for k, n := range used {
		if k.stock != stock || k.leftover != s.Leftover || !k.size.SameEitherWay(s.Size) || exact && k.price != max(s.Price, 0) || !exact && s.Count < 0 {
			continue
		}
		if s.Count >= 0 {
			n = min(n, s.Count)
			s.Count -= n
		}
		used[k] -= n
	}
}

// taken is a kind of sheet that the plan uses, its size as fed, and what it was reckoned at.
type taken struct {
	stock    string
	leftover bool
	size     measure.Size
	price    int64 // 0: none
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
		out[taken{p.Stock, p.Source.Leftover, p.uncut(), p.Source.Price}]++
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
