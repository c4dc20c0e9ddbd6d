package account

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Bill is what everyone owes, and for what.
type Bill struct {
	Owners []string  // with blocks in this run, or with something to pay for another; by name
	Items  []Item    // what is paid for: the stocks, what the job costs besides, and another run
	Cents  [][]int64 // by owner and item
	Areas  []int64   // by owner, of the blocks as they are trimmed, in squares of Fine
	Blocks []int     // by owner
}

// Fine is the side of the squares that areas are counted in: in square EMU those of a large job would not fit 64 bits.
const Fine = measure.Inch / 7200

// AreaIn is an area that is counted in squares of Fine in squares of another length.
func AreaIn(area int64, side measure.Length) float64 {
	return float64(area) * float64(Fine) / float64(side) * float64(Fine) / float64(side)
}

// Item is something that is paid for.
type Item struct {
	Name  string
	Cents int64
	Paper bool // it is new sheets of a stock
}

// Run is what another run of the job came to: the one that blocks are printed again from, or those that printed blocks again since.
type Run struct {
	Name   string // of the item
	Owed   []Owed
	Before bool // it was there first, so that what the job costs besides its paper is in it
}

// Owed is what somebody owes.
type Owed struct {
	Owner string
	Cents int64
}

// Bill splits the cost of each stock's new sheets between those whose blocks are on it, by trimmed area, what the job costs besides as the
// settings say, and adds what is owed for another run. The shares of each item add up to it exactly.
func (a *Account) Bill() Bill {
	var b Bill
	for _, o := range a.Owners {
		if len(o.Blocks) > 0 {
			b.Owners = append(b.Owners, o.Name)
		}
	}
	if a.Other != nil {
		for _, o := range a.Other.Owed {
			if !slices.Contains(b.Owners, o.Owner) {
				b.Owners = append(b.Owners, o.Owner)
			}
		}
		slices.SortStableFunc(b.Owners, byName)
	}
	n := len(b.Owners)
	b.Areas, b.Blocks, b.Cents = make([]int64, n), make([]int, n), make([][]int64, n)
	here := make([]int64, n)   // 1: has blocks in this run
	on := map[string][]int64{} // areas, by stock and owner
	for _, u := range a.Plan.Stocks {
		on[u.Stock] = make([]int64, n)
	}
	for k := range a.Owners {
		o := &a.Owners[k]
		i := slices.Index(b.Owners, o.Name)
		if len(o.Blocks) == 0 {
			continue
		}
		here[i], b.Blocks[i] = 1, len(o.Blocks)
		for _, s := range o.Blocks {
			area := s.Rect.Size().Area() / int64(Fine*Fine)
			b.Areas[i] += area
			if areas := on[s.Piece.Stock]; areas != nil {
				areas[i] += area
			}
		}
	}
	for _, u := range a.Plan.Stocks {
		b.share(Item{u.Stock, u.Cents, true}, on[u.Stock])
	}
	for _, c := range a.besides() {
		weights := here
		switch c.By {
		case config.ByArea:
			weights = b.Areas
		case config.ByBlock:
			weights = make([]int64, n)
			for i, blocks := range b.Blocks {
				weights[i] = int64(blocks)
			}
		}
		b.share(Item{c.Name, c.Cents, false}, weights)
	}
	if a.Other != nil && len(a.Other.Owed) > 0 {
		owed := make([]int64, n)
		for _, o := range a.Other.Owed {
			owed[slices.Index(b.Owners, o.Owner)] += o.Cents
		}
		b.add(Item{a.Other.Name, Sum(owed), false}, owed)
	}
	return b
}

// besides is what the job costs besides its paper, as far as it is shared in this run.
func (a *Account) besides() []config.Cost {
	if a.Other != nil && a.Other.Before || len(a.Pieces) == 0 {
		return nil
	}
	return a.Settings.Costs
}

// share adds an item, shared by weights.
func (b *Bill) share(item Item, weights []int64) { b.add(item, Share(item.Cents, weights)) }

func (b *Bill) add(item Item, cents []int64) {
	b.Items = append(b.Items, item)
	for i, c := range cents {
		b.Cents[i] = append(b.Cents[i], c)
	}
}

// Totals is what each item comes to.
func (b *Bill) Totals() []int64 {
	out := make([]int64, len(b.Items))
	for k, item := range b.Items {
		out[k] = item.Cents
	}
	return out
}

// Total is all that is owed.
func (b *Bill) Total() int64 { return Sum(b.Totals()) }

// Pay is what each owner has to pay.
func (b *Bill) Pay() map[string]int64 {
	out := map[string]int64{}
	for i, name := range b.Owners {
		out[name] = Sum(b.Cents[i])
	}
	return out
}

// How says what the bill is for and how it is shared.
func (a *Account) How() string {
	var parts []string
	for _, u := range a.Plan.Stocks {
		if u.Cents > 0 {
			parts = append(parts, "the price of each stock's new sheets, shared by the area trimmed out of it")
			break
		}
	}
	for _, c := range a.besides() {
		parts = append(parts, fmt.Sprintf("%s, %s, %s", c.Name, a.Settings.Amount(c.Cents), c.By))
	}
	switch {
	case a.Other == nil || len(a.Other.Owed) == 0:
	case a.Other.Before:
		parts = append(parts, "what everyone owed before these blocks were printed again")
	default:
		parts = append(parts, "the paper of what was printed again since")
	}
	if parts == nil {
		return "No prices are known, so there is nothing to pay."
	}
	return problem.Capital(strings.Join(parts, "; ")) + ". The shares add up to the cent."
}

// Sum adds up.
func Sum(n []int64) (total int64) {
	for _, x := range n {
		total += x
	}
	return total
}
