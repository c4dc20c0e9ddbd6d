package pack

// Once the sheets and the leftover are settled, each sheet's items are laid on that sheet in other ways, and the way with the
// fewest cuts stays.

// reduceCuts lowers the number of cuts, for its rounds in all, without giving up the largest leftover.
func (v *solver) reduceCuts(best solution, its int64) solution {
	if len(best.trees) == 0 || len(best.out) > 0 {
		return best
	}
	_, holder, ok := v.largest(best.trees)
	if !ok {
		return best
	}
	counts := v.counts
	defer func() { v.counts = counts }()
	for k, t := range best.trees {
		v.counts = make([]int, len(counts))
		v.counts[v.layouts[t.layout].sheet] = 1
		if f := v.layAgain(t, k == holder, its*int64(t.count)/int64(len(v.ids))); f != nil {
			best.trees[k] = f
		}
	}
	return best
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

// restsOf is the number of rests of t; each takes a cut.
func (v *solver) restsOf(t *tree) int {
	n := 0
	for i := range t.cells {
		if t.cells[i].kind == rest {
			n++
		}
	}
	return n
}
