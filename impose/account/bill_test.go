package account

import (
	"testing"

	"tuckmark/impose/plan/made"
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
		if area := int64(18) * int64(inch) * int64(inch); b.Areas[i][0] != area || b.Cents[i][0] != 60 || b.Blocks[i] != 2-i {
			t.Errorf("%s: area %d (want %d), %d cents, %d blocks", b.Owners[i], b.Areas[i][0], area, b.Cents[i][0], b.Blocks[i])
		}
	}
}
