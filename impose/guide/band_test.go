package guide

import (
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/plan/made"
)

// A group that no page holds is parted into as few bands as do, which shows by trying every number; most numbers are passed over without
// measuring anything, so that a group of ten times the pieces does not take a hundred times as long.
func TestLargeGroupIsPartedOnce(t *testing.T) {
	const pieces = 200
	d := made.New(made.Settings(), 3)
	for range pieces {
		d.Piece("cardstock", made.LetterPaper, inch/8, []measure.Size{made.Size(2*inch, 2*inch), made.Size(2*inch, 2*inch)}, []measure.Size{made.Size(2*inch, 2*inch), made.Size(2*inch, 2*inch)})
	}
	in := input(d)
	j := &job{Input: in, Account: in.Account, unit: in.Account.Settings.Unit, told: map[*account.Piece][]entry{}}
	if len(j.Groups) != 1 || len(j.Groups[0].Pieces) != pieces {
		t.Fatal("the pieces are not one group")
	}
	p := &pageWriter{hand: newHand(library, nil), size: j.Settings.Guide, name: "Cutting guide"}
	p.open()
	all := j.Groups[0].Pieces
	fits := func(n int) bool {
		for k := range n {
			b := j.newBand(p, all[k*pieces/n:(k+1)*pieces/n])
			if b.shrink(); b.height(b.chosen) > b.room {
				return false
			}
		}
		return true
	}
	bands := j.newBands(p)
	least, passed := j.newLeastLists(p, all), 0
	for n := 1; n < len(bands); n++ {
		if fits(n) {
			t.Errorf("%d bands would do, and there are %d", n, len(bands))
		}
		if !least.mayFit(n, bandRoom(p)) {
			passed++
		}
	}
	if len(bands) < 3 || !fits(len(bands)) || !least.mayFit(len(bands), bandRoom(p)) {
		t.Errorf("%d bands do not do", len(bands))
	}
	if passed < len(bands)/3 {
		t.Errorf("%d of %d numbers are passed over", passed, len(bands)-1)
	}
	t.Logf("%d bands; %d numbers were passed over", len(bands), passed)
}
