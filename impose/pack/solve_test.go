package pack

import (
	"math/rand/v2"
	"testing"

	"tuckmark/config/measure"
)

// wideApart is a job of so many blocks of as many sizes, two inches apart, few of which go on a sheet; a trimmer holds three quarters of an inch.
func wideApart(n int) Job {
	j := Job{Gap: 2 * measure.Inch, Effort: 100, Limits: Limits{Hold: 3 * measure.Inch / 4, Keep: func(measure.Size) bool { return false }}}
	w, h := 17*measure.Inch/2, 11*measure.Inch
	margins := measure.Same(measure.Inch / 4)
	j.Sheets = []Sheet{{Size: measure.Size{W: w, H: h}, Cost: 1, Count: -1, Divisions: whole(w, h, margins)}}
	r := rand.New(rand.NewPCG(3, uint64(n)))
	side := func() measure.Length { return measure.Inch/2 + measure.Length(r.Int64N(int64(11*measure.Inch/2))) }
	for range n {
		j.Items = append(j.Items, Item{Size: measure.Size{W: side(), H: side()}})
	}
	return j
}

// What is kept of a sheet is forgotten whenever the sheet changes.
func TestKeptCutsAreTrue(t *testing.T) {
	for _, gap := range []measure.Length{0, measure.Inch / 4, 2 * measure.Inch} {
		j := wideApart(40)
		ids := make([]int, len(j.Items))
		for i := range ids {
			ids[i] = i
		}
		v := newSolver(newSpace(&j, ids, []int{unlimited}, gap, true))
		f := v.start()
		kept := 0
		for round := range 30 {
			v.restore(f)
			v.cutsOf(v.cur.trees)
			v.anneal(f.cost, 20, nil)
			if round%3 == 0 {
				v.exchange(200)
			}
			for _, tree := range v.cur.trees {
				if tree.cuts == 0 {
					continue
				}
				kept++
				_, now, ok := v.carve(tree, false)
				if ok != (tree.cuts != uncuttable) || ok && now.cuts != tree.cuts {
					t.Fatalf("gap %v: %d cuts are kept, there are %d, %v", gap, tree.cuts, now.cuts, ok)
				}
			}
			f = v.snapshot()
		}
		if kept == 0 {
			t.Errorf("gap %v: nothing was kept", gap)
		}
	}
}
