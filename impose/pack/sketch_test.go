package pack

import (
	"math/rand"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
)

// A sketch of many items finds room for them wherever the whole effort does: on as many sheets as a full packing needs nothing is without a place, and on
// fewer sheets than any packing needs something is. Four jobs, or 60 with LONG_TESTS=1.
func TestSketchFindsRoom(t *testing.T) {
	longtests.Only(t)
	jobs := longtests.Cases(4, 60)
	for seed := range jobs {
		r := rand.New(rand.NewSource(int64(seed)))
		j := Job{Effort: 100, Measure: true, Sheets: []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 100, Count: -1, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}}
		for range sketchItems + 1 + r.Intn(150) {
			j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(8+r.Intn(50)) * in / 8, H: measure.Length(3+r.Intn(50)) * in / 8}, Turn: r.Intn(2) == 0})
		}
		most := len(Pack(j).Sheets)
		least, _ := lowerBounds(&j, 1000)
		j.Rough = true
		for sheets, all := range map[int]bool{most: true, least - 1: false} {
			j.Sheets[0].Count = sheets
			if got := Pack(j); (len(got.Unplaced) == 0) != all {
				t.Errorf("job %d: of %d items %d are without a place on %d sheets; %d to %d are needed", seed, len(j.Items), len(got.Unplaced), sheets, least, most)
			}
		}
	}
}

// A sketch takes no more rounds for many items than for sketchItems, whatever lies on the paper in the end.
func TestSketchIsShort(t *testing.T) {
	rounds := func(items int) int64 {
		j := Job{Effort: 40, Rough: true, Sheets: []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 100, Count: items / 20, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}}
		for i := range items {
			j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(50+i%7) * in / 8, H: 3 * in}})
		}
		p := newPacker(&j)
		p.best()
		return p.progress.total
	}
	few := rounds(sketchItems)
	for _, items := range []int{2 * sketchItems, 10 * sketchItems, 30 * sketchItems} {
		if many := rounds(items); many > few {
			t.Errorf("%d items take %d rounds, %d take %d", items, many, sketchItems, few)
		}
	}
}

// What fits on no sheet is told without a packing, and is what a packing leaves.
func TestNowhere(t *testing.T) {
	r := rand.New(rand.NewSource(5))
	some := 0
	for range 60 {
		j := randomJob(r)
		j.Effort = 0
		for i := range j.Sheets {
			j.Sheets[i].Count = max(j.Sheets[i].Count, 0) + len(j.Items) // enough of each
		}
		nowhere, left := map[int]bool{}, Pack(j).Unplaced
		for _, i := range Nowhere(j) {
			nowhere[i] = true
			some++
		}
		for _, i := range left {
			if !nowhere[i] {
				t.Errorf("item %d of %+v has no place, and is said to fit", i, j)
			}
		}
		if len(left) != len(nowhere) {
			t.Errorf("%d are left, %d fit nowhere", len(left), len(nowhere))
		}
	}
	if some == 0 {
		t.Error("everything fits everywhere")
	}
}

// Far more items than the paper holds take no longer than those that it holds: a few of them are tried in each chunk.
func TestPaperRunsOut(t *testing.T) {
	j := Job{Effort: 100, Measure: true, Sheets: []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 100, Count: 40, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}}
	for i := range 6000 {
		j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(50+i%7) * in / 8, H: measure.Length(20+i%11) * in / 8}})
	}
	p := newPacker(&j)
	if some, left := extremes(p.largestFirst(p.ids)); len(some) > batchItems || len(some)+len(left) != len(p.ids) {
		t.Errorf("%d of %d are tried, %d are left", len(some), len(p.ids), len(left))
	}
	got := Pack(j)
	for _, fault := range Verify(j, got) {
		t.Error(fault)
	}
	if len(got.Sheets) != 40 || len(got.Unplaced) > len(j.Items)-40 {
		t.Errorf("%d sheets, %d of %d items without a place", len(got.Sheets), len(got.Unplaced), len(j.Items))
	}
}

// However little a sketch may look at, what it answers holds, and where nobody can tell the difference it is the same as without a bound; what is bounded takes no more than a
// greedy answer besides.
func TestLooksAreBounded(t *testing.T) {
	for seed := range longtests.Cases(6, 60) {
		r := rand.New(rand.NewSource(int64(seed)))
		j := Job{Effort: 60, Rough: true, Sheets: []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 100, Count: 8 + r.Intn(30), Divisions: whole(17*in/2, 11*in, measure.Sides{})}}}
		for k := range 2 + r.Intn(4) {
			w, h := measure.Length(16+r.Intn(40))*in/8, measure.Length(16+r.Intn(40))*in/8
			j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: w, H: h}, Cost: int64(k % 2 * 40), Count: 3, Divisions: whole(w, h, measure.Sides{})})
		}
		for range 40 + r.Intn(400) {
			j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(8+r.Intn(40)) * in / 8, H: measure.Length(3+r.Intn(40)) * in / 8}, Turn: r.Intn(2) == 0})
		}
		free := Pack(j)
		for _, looks := range []int64{1, 1 << 18, 1 << 50} {
			j.Looks = looks
			got := Pack(j)
			for _, fault := range Verify(j, got) {
				t.Errorf("job %d, %d looks: %v", seed, looks, fault)
			}
			if looks == 1<<50 && (len(got.Unplaced) != len(free.Unplaced) || got.Cost != free.Cost) {
				t.Errorf("job %d: %d are out at a cost of %d, and without a bound %d at %d", seed, len(got.Unplaced), got.Cost, len(free.Unplaced), free.Cost)
			}
		}
	}
	p := newPacker(&Job{Rough: true, Effort: 60, Looks: 1000, Items: []Item{{Size: measure.Size{W: in, H: in}}}, Sheets: []Sheet{{Size: measure.Size{W: 2 * in, H: 2 * in}, Cost: 1, Count: 1, Divisions: whole(2*in, 2*in, measure.Sides{})}}})
	s := newSpace(p.Job, p.ids, p.fullCounts(), 0, false)
	v := newSolver(s)
	s.mostLooks = 1
	if v.anneal(noLimit, 1000, nil); v.iters > 1 {
		t.Errorf("%d rounds where one look is allowed", v.iters)
	}
}

// TestFewFree: of far more leftovers than items not all are opened, but one for each item that has room on one: nothing is put on a sheet that is paid for while a leftover that would
// hold it lies there.
func TestFewFree(t *testing.T) {
	for _, kinds := range []int{2, 20, 60} {
		j := Job{Effort: 60, Sheets: []Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 60, Count: -1, Divisions: whole(17*in/2, 11*in, measure.Sides{})}}}
		for k := range kinds {
			w, h := 7*in/2+measure.Length(k%7)*in/8, 5*in+measure.Length(k/7)*in/4
			j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: w, H: h}, Count: 10, Divisions: whole(w, h, measure.Sides{})})
		}
		j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: 5 * in, H: 7 * in}, Count: 10, Divisions: whole(5*in, 7*in, measure.Sides{})})
		for range 10 {
			j.Items = append(j.Items, Item{Size: measure.Size{W: 19 * in / 4, H: 25 * in / 4}, Turn: true})
		}
		got := Pack(j)
		if len(got.Unplaced) > 0 || got.Cost > 0 {
			t.Errorf("%d kinds of leftovers that hold nothing beside: cost %d, %d without a place", kinds, got.Cost, len(got.Unplaced))
		}
		for _, fault := range Verify(j, got) {
			t.Error(fault)
		}
	}
}
