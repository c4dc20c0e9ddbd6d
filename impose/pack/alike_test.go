package pack

import (
	"testing"

	"tuckmark/config/measure"
)

// several is a job with several of each of five sizes, on letter sheets.
func several(stack int) Job {
	j := Job{Auto: true, Effort: 100, Limits: Limits{Hold: in, Stack: stack}}
	j.Sheets = []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 1, Count: -1, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}
	for _, k := range []struct {
		w, h measure.Length // in quarters of an inch
		n    int
	}{{12, 8, 40}, {8, 6, 40}, {16, 10, 24}, {10, 4, 40}, {14, 12, 16}} {
		for range k.n {
			j.Items = append(j.Items, Item{Size: measure.Size{W: k.w * in / 4, H: k.h * in / 4}, Turn: true})
		}
	}
	return j
}

// TestAlike: sheets are filled alike where that costs neither a sheet nor the largest leftover nor a stroke, and follow each other; one stack of
// them is then cut at once.
func TestAlike(t *testing.T) {
	for _, stack := range []int{1, 4} {
		j := several(stack)
		p := newPacker(&j)
		before := p.solve(p.ids, p.fullCounts(), 0, 100)
		p.fewestCuts(&before)
		p.tidy(&before, false)
		strokes, patterns := p.toDo(before)
		a := Pack(j)
		for _, fault := range Verify(j, a) {
			t.Error(fault)
		}
		var after plan
		var keys []string
		for _, l := range a.Sheets {
			after.sheets = append(after.sheets, finishedSheet{LaidSheet: l})
			keys = append(keys, patternOf(l.Trees[0]))
		}
		less, fewer := p.toDo(after)
		t.Logf("stacks of %d: %d sheets, %d strokes in %d patterns; before %d, %d in %d", stack, len(a.Sheets), less, fewer, len(before.sheets), strokes, patterns)
		if len(a.Sheets) > len(before.sheets) || less > strokes || 2*fewer > patterns {
			t.Errorf("stacks of %d: %d sheets, %d strokes in %d patterns; without sheets filled alike %d, %d in %d", stack, len(a.Sheets), less, fewer, len(before.sheets), strokes, patterns)
		}
		if stack > 1 && 3*less > 2*strokes {
			t.Errorf("in stacks of %d it takes %d strokes, and %d with each sheet filled by itself", stack, less, strokes)
		}
		for i := range keys {
			for k := i + 2; k < len(keys); k++ {
				if keys[k] == keys[i] && keys[k-1] != keys[i] {
					t.Errorf("sheets %d and %d are cut alike, and one between them is not", i+1, k+1)
				}
			}
		}
	}
}

// TestFewestStrokes: 40 blocks on a sheet, cut in stacks, take the fewest strokes in columns of ten: the waste of two sides, three cuts, and nine of
// the columns in one stack. Columns as full as they can be, which take as few cuts, take more.
func TestFewestStrokes(t *testing.T) {
	j := Job{Auto: true, Effort: 5, Limits: Limits{Hold: in, Stack: 4}}
	j.Sheets = []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 1, Count: -1, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}
	for range 40 {
		j.Items = append(j.Items, Item{Size: measure.Size{W: 2 * in, H: in}, Turn: true})
	}
	a := Pack(j)
	least := 1 << 30
	p := newPacker(&j)
	c := newLeastCutter(j.Limits)
	r := p.recutPiece(c, &laidPiece{j.Sheets[0].Divisions[0].Pieces[0], &a.Sheets[0].Trees[0]}, 0)
	for _, grid := range p.grids(r, c, measure.Size{}) {
		least = min(least, j.Limits.handlingOf(grid, 1).strokes)
	}
	if got := j.Limits.handlingOf(a.Sheets[0].Trees[0], 1).strokes; got > least || got > 14 {
		t.Errorf("%d strokes in stacks of 4, a plain grid takes %d, and four columns of ten by hand 14", got, least)
	}
}
