package pack

import (
	"math/rand"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
)

// oracle is an exact search for small jobs without gap, margins and trimmer. It builds, for every set of items, the
// smallest rectangles that straight cuts can make into just these, from those of its two halves; whether a set fits a
// sheet is then a look-up.
type oracle struct {
	j     Job
	least [][]measure.Size // of each set of items, as bits
	rests map[restKey]int64
}

type restKey struct {
	set  int
	room measure.Size
}

func newOracle(j Job) *oracle {
	o := &oracle{j: j, least: make([][]measure.Size, 1<<len(j.Items)), rests: map[restKey]int64{}}
	for set := 1; set < len(o.least); set++ {
		if set&(set-1) == 0 {
			for i, it := range j.Items {
				if set == 1<<i {
					o.add(set, it.Size)
					if it.Turn {
						o.add(set, it.Size.Turn())
					}
				}
			}
			continue
		}
		for a := (set - 1) & set; a > 0; a = (a - 1) & set {
			for _, p := range o.least[a] {
				for _, q := range o.least[set^a] {
					o.add(set, measure.Size{W: p.W + q.W, H: max(p.H, q.H)})
					o.add(set, measure.Size{W: max(p.W, q.W), H: p.H + q.H})
				}
			}
		}
	}
	return o
}

func (o *oracle) add(set int, s measure.Size) {
	big := true
	for _, sh := range o.j.Sheets {
		big = big && !s.Within(sh.Size)
	}
	if big {
		return
	}
	kept := o.least[set][:0:0]
	for _, q := range o.least[set] {
		if q.Within(s) {
			return
		}
		if !s.Within(q) {
			kept = append(kept, q)
		}
	}
	o.least[set] = append(kept, s)
}

// rest is the largest rectangle that remains of room beside the items of set, or -1 when they do not fit.
func (o *oracle) rest(set int, room measure.Size) int64 {
	if set == 0 {
		if o.j.Limits.Keep(room) {
			return room.Area()
		}
		return 0
	}
	key := restKey{set, room}
	if v, ok := o.rests[key]; ok {
		return v
	}
	best := int64(-1)
	for part := set; part > 0; part = (part - 1) & set {
		for _, p := range o.least[part] {
			if !p.Within(room) {
				continue
			}
			if part == set {
				best = max(best, 0)
			}
			if p.W < room.W {
				best = max(best, o.rest(set^part, measure.Size{W: room.W - p.W, H: room.H}))
			}
			if p.H < room.H {
				best = max(best, o.rest(set^part, measure.Size{W: room.W, H: room.H - p.H}))
			}
		}
	}
	o.rests[key] = best
	return best
}

// solve is the least cost, and the largest leftover at that cost. Cost is -1 when the sheets do not suffice.
func (o *oracle) solve() (cost, left int64) {
	type value struct{ cost, left int64 }
	all := len(o.least) - 1
	best := map[int]value{0: {}}
	put := func(m map[int]value, set int, v value) {
		if old, ok := m[set]; !ok || v.cost < old.cost || v.cost == old.cost && v.left > old.left {
			m[set] = v
		}
	}
	for _, s := range o.j.Sheets {
		n := s.Count
		if n < 0 {
			n = len(o.j.Items)
		}
		for ; n > 0; n-- {
			next := map[int]value{}
			for set, v := range best {
				if s.Cost == 0 && o.j.Limits.Keep(s.Size) {
					put(next, set, value{v.cost, max(v.left, s.Size.Area())})
				} else {
					put(next, set, v)
				}
				for part := all &^ set; part > 0; part = (part - 1) & (all &^ set) {
					if r := o.rest(part, s.Size); r >= 0 {
						put(next, set|part, value{v.cost + s.Cost, max(v.left, r)})
					}
				}
			}
			best = next
		}
	}
	if v, ok := best[all]; ok {
		return v.cost, v.left
	}
	return -1, 0
}

// left is the area of the largest leftover of an answer, leftovers that it does not touch among them.
func left(j Job, a Answer) int64 {
	best := leftover(j, a).Area()
	for k, s := range j.Sheets {
		n := s.Count
		for _, l := range a.Sheets {
			if l.Sheet == k {
				n--
			}
		}
		if s.Cost == 0 && n > 0 && j.Limits.Keep(s.Size) {
			best = max(best, s.Size.Area())
		}
	}
	return best
}

func smallJob(r *rand.Rand) Job {
	j := Job{Effort: thorough}
	for n := 4 + r.Intn(4); n > 0; n-- {
		j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(1 + r.Intn(9)), H: measure.Length(1 + r.Intn(9))}, Turn: r.Intn(2) == 0})
	}
	for k := 1 + r.Intn(3); k > 0; k-- {
		w, h := measure.Length(9+r.Intn(8)), measure.Length(9+r.Intn(8))
		j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: w, H: h}, Cost: int64(w)*int64(h) + int64(r.Intn(40)), Count: -1 + 2*r.Intn(2), Divisions: whole(w, h, measure.Sides{})})
	}
	j.Sheets[0].Count = -1
	w, h := measure.Length(5+r.Intn(8)), measure.Length(5+r.Intn(8))
	j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: w, H: h}, Count: 1 + r.Intn(2), Divisions: whole(w, h, measure.Sides{})})
	least := measure.Length(1 + r.Intn(4))
	j.Limits.Keep = func(s measure.Size) bool { return s.W >= least && s.H >= least }
	return j
}

// The cost is the least on all small jobs, the largest leftover on nearly all.
func TestExact(t *testing.T) {
	longtests.Only(t)
	n, best := 120/slow, 0
	for seed := int64(0); seed < int64(n); seed++ {
		j := smallJob(rand.New(rand.NewSource(seed)))
		cost, keep := newOracle(j).solve()
		a := packed(t, j)
		if a.Cost != cost {
			t.Errorf("seed %d: cost %d, the least is %d", seed, a.Cost, cost)
		}
		if paid := countPaid(j, a); a.Bound > paid {
			t.Errorf("seed %d: bound %d above %d", seed, a.Bound, paid)
		}
		switch l := left(j, a); {
		case l == keep:
			best++
		case l > keep:
			t.Errorf("seed %d: leftover %d, more than the most, %d", seed, l, keep)
		}
	}
	t.Logf("largest leftover on %d of %d", best, n)
	if best*100 < n*95 {
		t.Errorf("largest leftover on %d of %d only", best, n)
	}
}

func countPaid(j Job, a Answer) int {
	n := 0
	for _, l := range a.Sheets {
		if j.Sheets[l.Sheet].Cost > 0 {
			n++
		}
	}
	return n
}
