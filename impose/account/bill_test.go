package account

import (
	"fmt"
	"maps"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

// Shares add up to the cost of each stock, whatever the job.
func TestBillAddsUp(t *testing.T) {
	for seed := range int64(30) {
		s := made.Settings()
		for i := range s.Stocks {
			s.Stocks[i].Sheets[0].Price = 1 + seed*seed*37%997
		}
		d := made.Random(s, seed, 5+int(seed)*7, 1+int(seed)%11, 9)
		b := Of(d.Plan, s, nil).Bill()
		var total, want int64
		for k, u := range d.Plan.Stocks {
			var got int64
			for i := range b.Owners {
				got += b.Cents[i][k]
			}
			if got != u.Cents {
				t.Errorf("seed %d: the shares of %s add up to %d, want %d", seed, u.Stock, got, u.Cents)
			}
			total, want = total+got, want+u.Cents
		}
		if total != want || want == 0 {
			t.Errorf("seed %d: shares add up to %d, want %d", seed, total, want)
		}
		blocks := 0
		for _, n := range b.Blocks {
			blocks += n
		}
		if blocks != d.Blocks {
			t.Errorf("seed %d: %d blocks are paid for, want %d", seed, blocks, d.Blocks)
		}
	}
}

// By hand: of the example's vellum for $1.20, Odile's blocks of 4 x 2 1/2 and 4 x 2 in are 18 sq in, Simeon's of 9 x 2 in is 18 too.
// One who has nothing printed owes nothing.
func TestBillOfTheExample(t *testing.T) {
	example, s := made.Example()
	example.Held = append(example.Held, made.Three(s).Plan.Held...)
	example.Held[0].Owner = "Nobody Else"
	b := Of(example, s, nil).Bill()
	if len(b.Owners) != 2 || b.Owners[0] != "Odile Hart" || b.Owners[1] != "Simeon Brandt" {
		t.Fatalf("owners %q", b.Owners)
	}
	for i := range b.Owners {
		if area := int64(18) * int64(inch/Fine) * int64(inch/Fine); b.Areas[i] != area || b.Cents[i][0] != 60 || b.Blocks[i] != 2-i {
			t.Errorf("%s: area %d (want %d), %d cents, %d blocks", b.Owners[i], b.Areas[i], area, b.Cents[i][0], b.Blocks[i])
		}
	}
}

// Whatever is shared, and however: the parts of each item add up to it to the cent, what everybody pays adds up to the total, and nobody's
// part of a shared cost is a cent or more from its quota.
func TestAnyBillAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := func(label string, least, most int) int { return rapid.IntRange(least, most).Draw(t, label) }
		s := made.Settings()
		for i := range s.Stocks {
			s.Stocks[i].Sheets[0].Price = int64(n("price", 0, 5000))
		}
		for i := range n("costs", 0, 4) {
			s.Costs = append(s.Costs, config.Cost{Name: fmt.Sprint("cost ", i), Cents: int64(n("cents", 0, 1e6)), By: config.SharedBy(n("by", 0, 2))})
		}
		d := made.Random(s, int64(n("seed", 0, 1<<30)), n("blocks", 1, 30), n("people", 1, 9), n("kinds", 1, 5))
		a := Of(d.Plan, s, nil)
		if n("again", 0, 2) > 0 {
			a.Other = &Run{Name: "other", Before: n("before", 0, 1) == 1}
			for _, name := range []string{"", "Somebody Else", d.People[0], "10th", "9th"}[:n("owing", 0, 5)] {
				a.Other.Owed = append(a.Other.Owed, Owed{name, int64(n("owed", -500, 1e6))})
			}
		}
		b := a.Bill()
		if !slices.IsSortedFunc(b.Owners, byName) || len(slices.Compact(slices.Clone(b.Owners))) != len(b.Owners) {
			t.Fatalf("owners %q", b.Owners)
		}
		for k, item := range b.Items {
			var column []int64
			for i := range b.Owners {
				column = append(column, b.Cents[i][k])
			}
			if Sum(column) != item.Cents {
				t.Errorf("%s comes to %d, its parts to %d", item.Name, item.Cents, Sum(column))
			}
		}
		var paid, owed int64
		for _, cents := range b.Pay() {
			paid += cents
		}
		for _, u := range d.Plan.Stocks {
			owed += u.Cents
		}
		if a.Other == nil || !a.Other.Before {
			for _, c := range s.Costs {
				owed += c.Cents
				k := slices.IndexFunc(b.Items, func(i Item) bool { return i.Name == c.Name })
				for i := range b.Owners {
					weight, all := b.Areas[i], Sum(b.Areas)
					switch here := b.Blocks[i] > 0; {
					case c.By == config.ByBlock:
						weight, all = int64(b.Blocks[i]), int64(d.Blocks)
					case c.By == config.ByPerson:
						if weight = 0; here {
							weight = 1
						}
						all = 0
						for _, blocks := range b.Blocks {
							all += int64(min(blocks, 1))
						}
					}
					if quota := float64(c.Cents) * float64(weight) / float64(all); float64(b.Cents[i][k]) <= quota-1 || float64(b.Cents[i][k]) >= quota+1 {
						t.Errorf("%s %s: the part of %q is %d, its quota %f", c.Name, c.By, b.Owners[i], b.Cents[i][k], quota)
					}
				}
			}
		}
		if a.Other != nil {
			for _, o := range a.Other.Owed {
				owed += o.Cents
			}
		}
		if paid != owed || b.Total() != owed {
			t.Errorf("%d is paid, the bill says %d, want %d", paid, b.Total(), owed)
		}
	})
}

// Of vellum that the settings sell at $1.20 a Paper sheet has the price: it is told, with its row and what the settings say.
func TestPrices(t *testing.T) {
	d := made.Three(made.Settings())
	a := Of(d.Plan, d.Settings, nil)
	if got := a.Prices(); got != nil {
		t.Errorf("without a list of paper: %v", got)
	}
	d = made.Three(made.Settings())
	for _, p := range d.Plan.Pieces {
		if p.Stock == "vellum" {
			p.Source.Price = 90
		}
	}
	row := func(stock string, price int64, at int) intake.Paper {
		return intake.Paper{Place: problem.Place{File: "bo.xlsx", Sheet: "Paper", Row: at}, Stock: stock, Size: made.Size(12*inch, 12*inch), Count: 3, Price: price}
	}
	a = Of(d.Plan, d.Settings, []intake.Paper{row("vellum", 90, 2), row("vellum", -1, 3), row("vellum", 70, 4), row("cardstock", 90, 5), row("vellum", 90, 6)})
	var got []string
	for _, p := range a.Prices() {
		got = append(got, a.Said(p))
	}
	want := []string{"A sheet of vellum, 12 x 12 in, is reckoned at $0.90, as bo.xlsx, sheet Paper, row 2 says (and 1 more); the settings say $1.20."}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

// The areas of a large job are added up exactly, and its costs are shared by them: 2,400 blocks of 99 x 99 in are more than 64 bits hold in square EMU.
func TestLargeAreas(t *testing.T) {
	large := Spot{Part: &Part{Part: &plan.Part{Rect: measure.Size{W: 99 * measure.Inch, H: 99 * measure.Inch}.At(0, 0)}}, Piece: &Piece{Piece: &plan.Piece{Stock: "banner"}}}
	a := &Account{Plan: &plan.Plan{Stocks: []plan.Use{{Stock: "banner", Cents: 1000}}}}
	for _, name := range []string{"Ada Moss", "Ben Quill", "Cleo Finch"} {
		a.Owners = append(a.Owners, Owner{Name: name, Blocks: slices.Repeat([]Spot{large}, 30_000)})
	}
	b := a.Bill()
	if got := AreaIn(Sum(b.Areas), measure.Inch); got != 90_000*99*99 || !maps.Equal(b.Pay(), map[string]int64{"Ada Moss": 334, "Ben Quill": 333, "Cleo Finch": 333}) {
		t.Errorf("%v sq in, %v", got, b.Pay())
	}
}
