package account

import (
	"fmt"
	"slices"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/plan/made"
)

func lines(rests []Rests) []string {
	var out []string
	for _, r := range rests {
		out = append(out, fmt.Sprintf("%d %s %s pages %v, %d spare", r.Count, r.Stock, r.Size.Format(measure.In), r.Pages, r.Spare))
	}
	return out
}

// By hand: what the plan leaves, equal ones together, stock by stock in the order of the pages and the largest first.
func TestRests(t *testing.T) {
	s := made.Settings()
	d := made.New(s, 1)
	shelf := []measure.Size{made.Size(17*inch/2, 2*inch)}
	d.Piece("cardstock", made.LetterPaper, 0, shelf, shelf)                      // 8 1/2 x 7 remain
	d.Piece("cardstock", made.LetterPaper, 0, shelf)                             // 8 1/2 x 9
	d.Piece("cardstock", made.LetterPaper, 0, shelf)                             // 8 1/2 x 9
	d.Piece("cardstock", made.LetterPaper, 0, shelf, shelf, shelf, shelf, shelf) // 8 1/2 x 1, which no printer pulls
	d.Panels("vellum", made.Size(12*inch, 12*inch), 0, []measure.Size{made.Size(6*inch, 4*inch)})
	spare := d.Plan.Sheets[0].Whole.Cut.Far // its piece is not printed
	spare.Panel, spare.Keep = false, true
	d.Plan.Pieces = d.Plan.Pieces[:5]
	d.Plan.Number(1)
	d.Plan.Pieces[1], d.Plan.Pieces[2] = d.Plan.Pieces[2], d.Plan.Pieces[1] // pages come ascending all the same
	a := Of(d.Plan, s, nil)
	want := []string{"2 cardstock 8 1/2 x 9 in pages [2 3], 0 spare", "1 cardstock 8 1/2 x 7 in pages [1], 0 spare",
		"1 vellum 6 x 12 in pages [], 1 spare", "1 vellum 6 x 8 in pages [5], 0 spare"}
	if got := lines(a.Rests(true)); !slices.Equal(got, want) {
		t.Errorf("leftovers\n%q, want\n%q", got, want)
	}
	if got, want := lines(a.Rests(false)), []string{"1 cardstock 8 1/2 x 1 in pages [4], 0 spare"}; !slices.Equal(got, want) {
		t.Errorf("scrap %q, want %q", got, want)
	}
}

// A page that leaves two equal ones is named once, and they are counted twice.
func TestRestsOfOnePage(t *testing.T) {
	d := made.New(made.Settings(), 1)
	row := []measure.Size{made.Size(4*inch, 2*inch), made.Size(9*inch/2, inch)}
	d.Piece("cardstock", made.LetterPaper, 0, row, row)
	if got := lines(Of(d.Plan, d.Settings, nil).Rests(false)); !slices.Equal(got, []string{"2 cardstock 4 1/2 x 1 in pages [1], 0 spare"}) {
		t.Errorf("scrap %q", got)
	}
}
