package account

import "slices"

// Bill is what everyone owes: for each owner with blocks the area trimmed out, in square EMU, and the cents, by stock.
type Bill struct {
	Owners []string
	Stocks []string
	Cents  [][]int64 // by owner and stock
	Areas  [][]int64
	Blocks []int
}

// Bill splits the cost of each stock's new sheets between those whose blocks are on it, by trimmed area. The shares of a
// stock add up to its cost exactly.
func (a *Account) Bill() Bill {
	var b Bill
	for _, u := range a.Plan.Stocks {
		b.Stocks = append(b.Stocks, u.Stock)
	}
	for _, o := range a.Owners {
		if len(o.Blocks) == 0 {
			continue
		}
		areas := make([]int64, len(b.Stocks))
		for _, s := range o.Blocks {
			if i := slices.Index(b.Stocks, s.Piece.Stock); i >= 0 {
				areas[i] += s.Rect.Size().Area()
			}
		}
		b.Owners = append(b.Owners, o.Name)
		b.Areas = append(b.Areas, areas)
		b.Cents = append(b.Cents, make([]int64, len(b.Stocks)))
		b.Blocks = append(b.Blocks, len(o.Blocks))
	}
	for k, u := range a.Plan.Stocks {
		weights := make([]int64, len(b.Owners))
		for i := range b.Owners {
			weights[i] = b.Areas[i][k]
		}
		for i, c := range Share(u.Cents, weights) {
			b.Cents[i][k] = c
		}
	}
	return b
}

// Sum adds up.
func Sum(n []int64) (total int64) {
	for _, x := range n {
		total += x
	}
	return total
}
