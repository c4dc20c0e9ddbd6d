package impose

import (
	"context"
	"slices"

	"tuckmark/config/problem"
	"tuckmark/impose/layout"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Shortage is a stock of which there are too few sheets.
type Shortage struct {
	Stock  string
	Sheets int      // that are lacking; 0 where more would not help
	About  bool     // they are reckoned from some of the blocks
	Codes  []string // of the blocks that found no place
}

// mostLaidAgain is the largest job that is laid as a whole to see how many sheets it takes. Of a larger one only what found no place
// is: the sheets that are there are full, and to lay all of them again would take as long as the job itself.
const mostLaidAgain = 2000

// mostCopiesLaid is how many blocks are laid for that, each counted as often as it is asked for. Of more, every second or third is, or fewer, and the sheets are
// reckoned from those.
const mostCopiesLaid = 5000

// Shortages tells which stocks do not suffice, and how many sheets more would do, by laying the job out on as many as it takes.
func (j *Job) Shortages(ctx context.Context) []Shortage {
	var out []Shortage
	blocks := map[problem.Place]*intake.Block{}
	lost := map[[2]string]bool{} // by stock and code
	for i := range j.Blocks {
		blocks[j.Blocks[i].Place.OfRow()] = &j.Blocks[i]
	}
	for _, p := range j.Problems {
		b := blocks[p.Place.OfRow()]
		if p.Severity != problem.Error || p.Kind != problem.ForOrganiser || b == nil {
			continue
		}
		at := slices.IndexFunc(out, func(s Shortage) bool { return s.Stock == b.Stock })
		if at < 0 {
			at = len(out)
			out = append(out, Shortage{Stock: b.Stock})
		}
		if key := [2]string{b.Stock, b.Code}; !lost[key] {
			lost[key] = true
			out[at].Codes = append(out[at].Codes, b.Code)
		}
	}
	if len(out) == 0 {
		return nil
	}
	endless := *j.Settings
	endless.Stocks = slices.Clone(endless.Stocks)
	for i := range endless.Stocks {
		stock := &endless.Stocks[i]
		stock.Sheets = slices.Clone(stock.Sheets)
		for k := range stock.Sheets {
			if !stock.Sheets[k].Leftover {
				stock.Sheets[k].Count = -1
			}
		}
	}
	paper := slices.Clone(j.Paper)
	for i := range paper {
		if !paper[i].Leftover {
			paper[i].Count = -1
		}
	}
	whole := len(j.laid) <= mostLaidAgain && copiesOf(j.laid, "") <= mostCopiesLaid
	again := slices.DeleteFunc(slices.Clone(j.laid), func(t typeset.Setting) bool {
		at := slices.IndexFunc(out, func(s Shortage) bool { return s.Stock == t.Block.Stock })
		return at < 0 || !whole && !lost[[2]string{t.Block.Stock, t.Block.Code}]
	})
	some := again
	if every := (copiesOf(again, "") + mostCopiesLaid - 1) / mostCopiesLaid; every > 1 {
		met := map[string]int{} // by stock
		some = slices.DeleteFunc(slices.Clone(again), func(t typeset.Setting) bool {
			met[t.Block.Stock]++
			return met[t.Block.Stock]%every != 1
		})
	}
	plan, _, _ := layout.Sketch(ctx, some, paper, &endless, nil)
	if ctx.Err() != nil {
		return out
	}
	for i := range out {
		all, laid := copiesOf(again, out[i].Stock), copiesOf(some, out[i].Stock)
		out[i].About = laid < all
		for _, use := range plan.Stocks {
			if use.Stock == out[i].Stock {
				out[i].Sheets = (use.NewSheets*all + laid - 1) / laid
				for unit := 1; out[i].About && out[i].Sheets >= 100*unit; unit *= 10 { // 65,828 is about 66,000
					out[i].Sheets = (out[i].Sheets + 10*unit - 1) / (10 * unit) * (10 * unit)
				}
			}
		}
		for _, use := range j.Plan.Stocks {
			if use.Stock == out[i].Stock && whole {
				out[i].Sheets -= use.NewSheets
			}
		}
	}
	return out
}

// copiesOf counts the blocks of a stock, "" for all, as often as they are asked for.
func copiesOf(set []typeset.Setting, stock string) (n int) {
	for i := range set {
		if b := set[i].Block; stock == "" || b.Stock == stock {
			n += b.Copies
		}
	}
	return n
}

// Words are how many sheets are lacking.
func (s *Shortage) Words() string {
	words := problem.Count(s.Sheets, "more sheet")
	if s.About {
		words = "about " + words
	}
	return words
}
