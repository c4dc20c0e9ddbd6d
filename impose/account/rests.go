package account

import (
	"cmp"
	"slices"

	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// Rests is equal leftovers or scrap of a stock, and the pages that they come from.
type Rests struct {
	Stock string
	Size  measure.Size
	Pages []int // ascending, each once; what is cut off before printing is from none
	Count int
	Spare int // of them cut off before printing
}

// Rests are the leftovers of the plan, or its scrap: stock by stock, the largest first.
func (a *Account) Rests(keep bool) []Rests {
	type kind struct {
		stock string
		size  measure.Size
	}
	var out []Rests
	index := map[kind]int{}
	add := func(stock string, page int, whole *plan.Part) {
		for leaf := range whole.Leaves {
			if !leaf.Rest() || leaf.Keep != keep {
				continue
			}
			k := kind{stock, leaf.Rect.Size()}
			at, ok := index[k]
			if !ok {
				at = len(out)
				index[k] = at
				out = append(out, Rests{Stock: k.stock, Size: k.size})
			}
			r := &out[at]
			r.Count++
			if page == 0 {
				r.Spare++
			} else if !slices.Contains(r.Pages, page) {
				r.Pages = append(r.Pages, page)
			}
		}
	}
	for _, s := range a.Plan.Sheets {
		add(s.Stock, 0, s.Whole)
	}
	for _, p := range a.Plan.Pieces {
		add(p.Stock, p.Page, p.Whole)
	}
	stocks := a.Stocks()
	slices.SortStableFunc(out, func(x, y Rests) int {
		return cmp.Or(cmp.Compare(slices.Index(stocks, x.Stock), slices.Index(stocks, y.Stock)), cmp.Compare(y.Size.Area(), x.Size.Area()))
	})
	for i := range out {
		slices.Sort(out[i].Pages)
	}
	return out
}
