package pack

// found is the best packing so far.
type found struct {
	trees []*tree
	out   []int32
	cost  int64
	area  int64 // of what is out
}

func (v *solver) snapshot() found {
	f := found{cost: v.cost(v.cur.trees), area: v.cur.merit.out}
	for _, t := range v.cur.trees {
		c := &tree{}
		c.copyFrom(t)
		f.trees = append(f.trees, c)
	}
	f.out = append(f.out, v.cur.out...)
	return f
}

func (f found) better(o found) bool {
	if f.area != o.area {
		return f.area < o.area
	}
	return f.cost < o.cost
}

const noLimit = 1 << 62

// start fills sheets greedily, once for each layout as the one to open first, and keeps the best.
func (v *solver) start() found {
	var best found
	all := append([]int32(nil), v.cur.out...)
	blink := v.blink
	v.blink = 0
	for p := -1; p < len(v.lays); p++ {
		if p >= 0 && (v.lays[p].cost == 0 || len(v.lays) == 1) {
			continue
		}
		v.pref = p
		v.cur = state{out: append([]int32(nil), all...)}
		v.begin()
		v.recreate(noLimit, noLimit)
		v.accept()
		if f := v.snapshot(); best.trees == nil || f.better(best) {
			best = f
		}
	}
	v.blink, v.pref = blink, -1
	v.restore(best)
	return best
}

// restore makes f the accepted state.
func (v *solver) restore(f found) {
	v.cur = state{out: append([]int32(nil), f.out...)}
	var value int64
	for _, t := range f.trees {
		c := v.fresh()
		c.copyFrom(t)
		v.cur.trees = append(v.cur.trees, c)
		for i := range c.cells {
			if c.cells[i].kind == rest {
				value += v.worth(c.cells[i].w, c.cells[i].h)
			}
		}
	}
	v.cur.merit = merit{f.area, value}
}

// climb searches within budget until the area that is out is nought, for at most its rounds.
func (v *solver) climb(budget, its int64) bool {
	const memory = 100
	var past [memory]merit
	for i := range past {
		past[i] = v.cur.merit
	}
	at := 0
	for ; its > 0; its-- {
		if v.iters++; v.iters&255 == 0 && v.stopped() {
			break
		}
		v.begin()
		for n := 1 + v.r.below(7); n > 0 && len(v.work.trees) > 0; n-- {
			v.ruin(v.pick())
		}
		bar := past[at]
		if v.recreate(budget, max(bar.out, v.cur.merit.out)) && (!bar.better(v.work.merit) || !v.cur.merit.better(v.work.merit)) {
			v.accept()
			if v.cur.merit.better(past[at]) {
				past[at] = v.cur.merit
			}
			if at++; at == memory {
				at = 0
			}
			if v.cur.merit.out == 0 {
				return true
			}
		} else {
			v.reject()
		}
	}
	return false
}

func (v *solver) stopped() bool { return v.job.Stop != nil && v.job.Stop() }

// improve lowers the cost step by step towards floor, for its rounds in all.
func (v *solver) improve(best found, floor, its int64) found {
	end := v.iters + its
	if best.area > 0 && v.iters < end { // too few sheets: as much as goes on
		v.restore(best)
		low := best
		for v.iters < end && low.area > 0 && !v.stopped() {
			v.climb(noLimit, min(end-v.iters, max(its/8, 1)))
			if f := v.snapshot(); f.better(low) {
				low = f
			}
		}
		if best = low; best.area > 0 {
			return best
		}
	}
	for best.cost > floor && v.iters < end {
		goal := best.cost - 1
		v.begin()
		for v.cost(v.work.trees) > goal { // the sheet that gives least for its price goes
			k := -1
			for i, t := range v.work.trees {
				if c := v.lays[t.layout].cost; c > 0 && (k < 0 || t.used/c < v.work.trees[k].used/v.lays[v.work.trees[k].layout].cost) {
					k = i
				}
			}
			v.empty(k)
		}
		v.recreate(goal, noLimit)
		v.accept()
		if v.cur.merit.out > 0 && !v.climb(goal, end-v.iters) {
			break
		}
		best = v.snapshot()
	}
	return best
}
