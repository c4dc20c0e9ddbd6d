package guide

import (
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// stocked is paper of a stock.
type stocked struct {
	config.Sheet
	stock string
}

// unused is the paper at hand that the plan does not use. Sheets without end are left out, unless the stock has counted
// ones as well: a list of its paper must then be whole.
func (j *job) unused() []stocked {
	var out []stocked
	used := j.used()
	for _, t := range j.Settings.Stocks {
		var sheets []config.Sheet
		given := false
		for _, p := range j.Paper {
			if p.Stock == t.Name {
				given = given || !p.Leftover
				n := p.Count
				if p.Leftover && n < 0 {
					n = 1
				}
				sheets = append(sheets, config.Sheet{Size: p.Size, Count: n, Price: p.Price, Leftover: p.Leftover})
			}
		}
		for _, s := range t.Sheets {
			if s.Leftover || !given {
				sheets = append(sheets, s)
			}
		}
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
			out = append(out, stocked{s, t.Name})
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

// used counts the sheets and leftovers of the plan. A sheet that is cut first has the size of its first cut's rectangle.
func (j *job) used() map[taken]int {
	type sheet struct {
		stock string
		n     int
	}
	whole := map[sheet]measure.Size{}
	for _, c := range j.Plan.Precuts {
		if s := (sheet{c.Stock, c.Sheet}); whole[s] == (measure.Size{}) {
			whole[s] = c.Rect.Size()
		}
	}
	out := map[taken]int{}
	seen := map[sheet]bool{}
	for i := range j.pieces {
		p := &j.pieces[i]
		s := sheet{p.Stock, p.Source.Sheet}
		if seen[s] {
			continue
		}
		seen[s] = true
		size, cut := whole[s]
		if !cut {
			size = p.Size()
		}
		out[taken{p.Stock, p.Source.Kind == plan.FromLeftover, size}]++
	}
	return out
}
