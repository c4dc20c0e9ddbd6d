package pack

import (
	"slices"

	"tuckmark/config/measure"
)

// solution is a packing that was kept from the search.
type solution struct {
	trees []*tree
	out   []int32
	area  int64 // of what is out
	cost  int64
}

func (v *solver) snapshot() solution {
	f := solution{cost: v.cost(v.cur.trees), area: v.cur.area}
	for _, t := range v.cur.trees {
		c := &tree{}
		c.copyFrom(t)
		f.trees = append(f.trees, c)
	}
	f.out = append(f.out, v.cur.out...)
	return f
}

func (f solution) better(o solution) bool {
	if f.area != o.area {
		return f.area < o.area
	}
	return f.cost < o.cost
}

const noLimit = 1 << 62

// start fills sheets greedily, once for each layout as the one to open first, and keeps the best.
func (v *solver) start() solution {
	var best solution
	all := slices.Clone(v.cur.out)
	v.greedy = true
	for p := -1; p < len(v.layouts); p++ {
		if p >= 0 && (v.layouts[p].cost == 0 || len(v.layouts) == 1) {
			continue
		}
		if p >= 0 && v.tired() {
			break
		}
		v.openFirst = p
		v.cur = state{out: slices.Clone(all)}
		v.begin()
		v.recreate(noLimit, noLimit)
		v.accept()
		if f := v.snapshot(); best.trees == nil || f.better(best) {
			best = f
		}
	}
	v.greedy, v.openFirst = false, -1
	v.restore(best)
	return best
}

// restore makes f the accepted state.
func (v *solver) restore(f solution) {
	v.cur = state{out: slices.Clone(f.out), area: f.area}
	for _, t := range f.trees {
		c := v.fresh()
		c.copyFrom(t)
		v.cur.trees = append(v.cur.trees, c)
	}
}

// stopped is asked every 256 rounds.
func (v *solver) stopped() bool {
	v.progress.add(256)
	return v.job.Stop != nil && v.job.Stop()
}

// meanArea is the items' meanArea area, in 256ths.
func (s *space) meanArea() int64 {
	var sum int64
	for _, a := range s.areas {
		sum += min(a, 1<<46)
	}
	return sum / int64(len(s.areas)) << 8
}

// anneal searches within budget until nothing is out and the sheets can be cut, for at most its rounds. It returns
// whether it came to that, and with best not nil leaves there what had the least area out.
func (v *solver) anneal(budget, its int64, best *solution) bool {
	// From a tenth of an item's area down to a fiftieth, between what lets anything pass and what gets stuck.
	mean := v.meanArea()
	hot, cold := mean/10, mean/50
	for n := int64(0); n < its && !v.tired(); n++ {
		if v.iters++; v.iters&255 == 0 && v.stopped() {
			break
		}
		v.begin()
		for n := 1 + v.r.below(12); n > 0 && len(v.work.trees) > 0; n-- {
			v.removeSome(v.pickSheet())
		}
		v.squareWorth = v.alternate && n&1 == 1
		bar := v.cur.area + v.r.exponential(hot-(hot-cold)/256*(256*n/its))>>8
		if !v.recreate(budget, bar) {
			v.reject()
			continue
		}
		v.accept()
		if best != nil && v.cur.area < best.area {
			*best = v.snapshot()
		}
		if v.cur.area == 0 && v.canBeCut(v.cur.trees) {
			return true
		}
	}
	return false
}

// canBeCut reports whether margins and trimmer let all the trees be cut.
func (v *solver) canBeCut(trees []*tree) bool {
	if v.alwaysCuttable {
		return true
	}
	_, ok := v.cutsOf(trees)
	return ok
}

// phases is how the two searches take turns at a goal, each for its share of the rounds that are left. An easy goal should
// not wait for a long anneal to cool. Where sheets hold too many items to exchange them, the last anneal has the rounds
// of the exchange before it.
var phases = [...]struct {
	share    int64
	exchange bool
}{{32, false}, {16, true}, {8, false}, {2, true}, {4, false}, {1, true}, {1, false}}

// improve lowers the cost step by step towards floor, for its rounds in all.
func (v *solver) improve(best solution, floor, its int64) solution {
	if len(best.trees) == 0 { // no item has room on what is at hand
		return best
	}
	v.alternate = true
	defer func() { v.alternate, v.squareWorth = false, false }()
	end := v.iters + its
	if best.area > 0 && v.iters < end { // too few sheets: as much as goes on
		if v.anneal(noLimit, its, &best); best.area > 0 {
			return best
		}
	}
	if !v.canBeCut(best.trees) && v.anneal(best.cost, (end-v.iters)/4, nil) {
		best = v.snapshot()
	}
	for best.cost > floor && v.iters < end && !v.tired() {
		goal := best.cost - 1
		v.restore(best)
		v.begin()
		for v.cost(v.work.trees) > goal { // the sheet that gives least for its price goes
			k := -1
			for i, t := range v.work.trees {
				if c := v.layouts[t.layout].cost; c > 0 && (k < 0 || t.used/c < v.work.trees[k].used/v.layouts[v.work.trees[k].layout].cost) {
					k = i
				}
			}
			v.empty(k)
		}
		v.recreate(goal, noLimit)
		v.accept()
		done := v.cur.area == 0 && v.canBeCut(v.cur.trees)
		for _, turn := range phases {
			if done || v.iters >= end {
				break
			}
			its := max((end-v.iters)/turn.share, 1)
			if turn.exchange {
				done = v.exchange(its)
			} else {
				done = v.anneal(goal, its, nil)
			}
		}
		if !done {
			break
		}
		best = v.snapshot()
	}
	return best
}

// largest is the area of the largest leftover that the packing leaves: of the sheets it uses and of the leftovers that
// it does not touch; and the tree it comes from, or -1. It is false when the sheets cannot be cut.
func (v *solver) largest(trees []*tree) (keep int64, from int, ok bool) {
	left := slices.Clone(v.counts)
	from = -1
	for k, t := range trees {
		left[v.layouts[t.layout].sheet]--
		_, m, ok := v.carve(t, true)
		if !ok {
			return 0, -1, false
		}
		if m.keep > keep {
			keep, from = m.keep, k
		}
	}
	for k, n := range left {
		if s := v.job.Sheets[k]; n > 0 && n < unlimited/2 && s.Cost == 0 && v.keeps(s.Size) && s.Size.Area() >= keep {
			keep, from = s.Size.Area(), -1
		}
	}
	return keep, from, true
}

func (s *space) keeps(z measure.Size) bool { return s.job.Limits.Keep != nil && s.job.Limits.Keep(z) }

// enlarge looks for a packing of the same cost with a larger leftover: a dummy item a little larger than the best
// leftover so far is added, and when all find a place, its place becomes the leftover.
func (v *solver) enlarge(best solution, its int64) solution {
	if v.job.Limits.Keep == nil || len(best.out) > 0 || len(v.layouts) == 0 {
		return best
	}
	keep, _, ok := v.largest(best.trees)
	if !ok {
		return best
	}
	dummy := int32(len(v.boxes))
	v.boxes = append(v.boxes, box{})
	v.areas = append(v.areas, 0)
	sure := v.alwaysCuttable
	v.alwaysCuttable = true // with the dummy in them no cuts can be made; without it they are
	v.smallest = 0
	defer func() { v.boxes, v.areas, v.alwaysCuttable = v.boxes[:dummy], v.areas[:dummy], sure }()
	for end := v.iters + its; v.iters < end; {
		if v.iters++; v.iters&255 == 0 && v.stopped() {
			break
		}
		l := &v.layouts[v.r.below(len(v.layouts))]
		if l.cost > best.cost || v.counts[l.sheet] == 0 {
			continue
		}
		w, h, ok := v.targetLeftover(&l.roots[v.r.below(len(l.roots))], keep)
		if !ok || int64(w)*int64(h) > v.freeArea(best.trees) {
			continue
		}
		v.boxes[dummy] = box{w: w, h: h}
		v.areas[dummy] = int64(w) * int64(h)
		v.restore(best)
		v.begin()
		v.work.out = append(v.work.out, dummy)
		v.recreate(best.cost, noLimit)
		v.accept()
		// Without items in it a sheet does not count as used, so the dummy may not pay for one. Few items are soon tried
		// in all ways, and the rounds are better spent on another dummy.
		if v.cur.area > 0 && !v.anneal(best.cost, min(8*int64(len(v.ids)), 300, end-v.iters), nil) {
			continue
		}
		f := v.without(dummy)
		if k, _, ok := v.largest(f.trees); ok && k > keep {
			keep, best = k, f
		}
	}
	return best
}

// freeArea is the area that the items leave free on these sheets and on the free ones.
func (v *solver) freeArea(trees []*tree) int64 {
	var a int64
	left := slices.Clone(v.counts)
	for _, t := range trees {
		a += v.layouts[t.layout].area - t.used
		left[v.layouts[t.layout].sheet]--
	}
	for k, n := range left {
		most := int64(0)
		for i := range v.layouts {
			if v.layouts[i].sheet == k && v.layouts[i].cost == 0 {
				most = max(most, v.layouts[i].area)
			}
		}
		if most > 0 {
			a += most * int64(n)
		}
	}
	return a
}

// without is the accepted packing with the dummy taken out.
func (v *solver) without(dummy int32) solution {
	f := v.snapshot()
	for k, t := range f.trees {
		for i := range t.cells {
			if t.cells[i].kind == placed && t.cells[i].item == dummy {
				t.remove(int16(i), nil)
				if t.count == 0 {
					f.trees = slices.Delete(f.trees, k, k+1)
				}
				f.cost = v.cost(f.trees)
				return f
			}
		}
	}
	return f
}

// targetLeftover is the size of a leftover larger than keep that region g may yield: as wide or as high as the region, or as
// what some items beside it leave.
func (v *solver) targetLeftover(g *region, keep int64) (w, h int32, ok bool) {
	flip := v.r.below(2) == 1
	full, other, fullTail, otherTail := g.w, g.h, g.tail.W, g.tail.H
	if flip {
		full, other, fullTail, otherTail = g.h, g.w, g.tail.H, g.tail.W
	}
	a := full
	if v.r.below(3) > 0 {
		for k := 1 + v.r.below(4); k > 0; k-- {
			b := v.boxes[v.r.below(len(v.ids))]
			if v.r.below(2) == 0 {
				b.w = b.h
			}
			a -= b.w
		}
		if a <= v.gap {
			return 0, 0, false
		}
	}
	// The least b that makes the leftover larger and worth keeping; the waste at the region's edges joins it.
	long := v.length(a) + fullTail
	enough := func(b int32) bool {
		wide := v.length(b) + otherTail
		s := measure.Size{W: long, H: wide}
		if flip {
			s = s.Turn()
		}
		return s.Area() > keep && v.keeps(s)
	}
	low, high := v.gap, other // enough(high) or nothing
	if !enough(high) {
		return 0, 0, false
	}
	for high-low > 1 {
		if mid := low + (high-low)/2; enough(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	if flip {
		return high, a, true
	}
	return a, high, true
}
