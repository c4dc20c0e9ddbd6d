package pack

import "slices"

// Once the sheets and the leftover are settled, the items are laid on these sheets in other ways, and the way with the fewest cuts
// stays. n items and m rests on one piece take n + m - 1 cuts, so the search goes for few rests: first on all sheets together, then on
// each by itself.

const (
	// cutRuns is how often the sheets are searched together, each time from the best way so far.
	cutRuns = 4
	// restHeat is by how many rests a packing may get worse now and then, in 256ths.
	restHeat = 192
)

// reduceCuts lowers the number of cuts, for its rounds in all, without giving up the largest leftover.
func (v *solver) reduceCuts(best solution, its int64) solution {
	if len(best.trees) == 0 || len(best.out) > 0 {
		return best
	}
	_, holder, ok := v.largest(best.trees)
	if !ok {
		return best
	}
	if holder >= 0 { // it stands first
		best.trees = slices.Clone(best.trees)
		best.trees[0], best.trees[holder] = best.trees[holder], best.trees[0]
		holder = 0
	}
	counts := v.counts
	defer func() { v.counts = counts }()
	if len(best.trees) > 2 || holder < 0 && len(best.trees) > 1 {
		for range cutRuns {
			v.reduceTogether(&best, holder, its/cutRuns)
		}
	}
	for k, t := range best.trees {
		v.counts = make([]int, len(counts))
		v.counts[v.layouts[t.layout].sheet] = 1
		if f := v.layAgain(t, k == holder, its*int64(t.count)/int64(len(v.ids))); f != nil {
			best.trees[k] = f
		}
	}
	return best
}

// reduceTogether lays all sheets but the one that yields the largest leftover, which is the first or none, again, together, so that there
// are fewer rests, and keeps in best what takes fewer cuts.
func (v *solver) reduceTogether(best *solution, holder int, its int64) {
	others, all := solution{}, v.counts
	defer func() { v.counts = all }()
	keep, _, _ := v.largest(best.trees)
	others.trees = best.trees[holder+1:]
	free := slices.Clone(all)
	if holder == 0 {
		free[v.layouts[best.trees[0].layout].sheet]--
	}
	v.counts = free
	least, ok := v.cutsOf(others.trees)
	if !ok {
		return
	}
	v.restore(others)
	budget := v.cost(others.trees)
	now := v.restsIn(v.cur.trees)
	fewest := now
	for n := its; n > 0; n-- {
		if v.iters++; v.iters&255 == 0 && v.stopped() {
			return
		}
		v.begin()
		for n := 1 + v.r.below(6); n > 0 && len(v.work.trees) > 0; n-- {
			v.removeSome(v.r.below(len(v.work.trees)))
		}
		if !v.recreate(budget, 0) {
			v.reject()
			continue
		}
		rests := v.restsIn(v.work.trees)
		if int64(rests-now)<<8 > v.r.exponential(restHeat) {
			v.reject()
			continue
		}
		v.accept()
		now = rests
		if now > fewest+1 || now >= fewest && v.r.below(16) > 0 { // often the same again: look at some only
			continue
		}
		fewest = min(fewest, now)
		if cuts, ok := v.cutsOf(v.cur.trees); ok && cuts < least {
			f := v.snapshot()
			if holder == 0 {
				f.trees = slices.Insert(f.trees, 0, best.trees[0])
				f.cost = v.cost(f.trees)
			}
			v.counts = all
			if now, _, ok := v.largest(f.trees); ok && now >= keep {
				least, *best = cuts, f
			}
			v.counts = free
		}
	}
}

// cutsOf is the number of cuts that the sheets take; false where they cannot be cut.
func (v *solver) cutsOf(trees []*tree) (n int, ok bool) {
	if slices.ContainsFunc(trees, func(t *tree) bool { return t.cuts == uncuttable }) { // the answer is had without a look at the others
		return 0, false
	}
	for _, t := range trees {
		if t.cuts == 0 {
			if _, m, ok := v.carve(t, false); ok {
				t.cuts = m.cuts
			} else {
				t.cuts = uncuttable
				return 0, false
			}
		}
		n += t.cuts
	}
	return n, true
}

// restsIn is the number of rests on all sheets.
func (v *solver) restsIn(trees []*tree) (n int) {
	for _, t := range trees {
		n += v.restsOf(t)
	}
	return n
}

// layAgain is t with fewer cuts, or nil. With hold its largest leftover may not shrink.
func (v *solver) layAgain(t *tree, hold bool, its int64) *tree {
	_, now, ok := v.carve(t, hold)
	if !ok || now.cuts < 2 {
		return nil
	}
	v.restore(solution{trees: []*tree{t}})
	cost := v.layouts[t.layout].cost
	var best *tree
	rests := v.restsOf(t)
	for ; its > 0; its-- {
		if v.iters++; v.iters&255 == 0 && v.stopped() {
			break
		}
		v.begin()
		for n := 1 + v.r.below(4); n > 0 && len(v.work.trees) > 0; n-- {
			v.removeSome(0)
		}
		if !v.recreate(cost, 0) || len(v.work.trees) != 1 {
			v.reject()
			continue
		}
		n := v.restsOf(v.work.trees[0])
		if n > rests {
			v.reject()
			continue
		}
		v.accept()
		if n == rests && v.r.below(8) > 0 { // often the same again: look at some only
			continue
		}
		rests = n
		c := v.cur.trees[0]
		_, m, ok := v.carve(c, hold)
		if ok && m.cuts < now.cuts && (!hold || m.keep >= now.keep) {
			now = m
			best = &tree{}
			best.copyFrom(c)
		}
	}
	return best
}

// restsOf is the number of rests of t, slivers counted as the cuts that they are worth.
func (v *solver) restsOf(t *tree) int {
	n := 0
	for i := range t.cells {
		if c := &t.cells[i]; c.kind == rest {
			n++
			if l := min(v.length(c.w), v.length(c.h)); l > 0 {
				n += thinness(l)
			}
		}
	}
	return n
}
