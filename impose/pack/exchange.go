package pack

import "slices"

// The exchange is the second half of the search, for sheets that hold few items. Annealing builds its sheets item by
// item and comes back to the same few; here sheets are mere sets, and whether a set can be cut is known exactly from its
// shapes, so that items change places between sheets millions of times a second. Sheets may trade freely as long as both
// can still be cut. What is out is weighed, at first by its area; but the longer an item is out the more it weighs
// (breakout local search: Morris, AAAI 1993), so that one that is small yet fits nowhere drives out what fits more easily.

// A slot is one piece of a sheet with the items on it.
type slot struct {
	w, h  int32
	tree  int // in cur
	root  int16
	items []int32
	area  int64
	sum   uint64 // of the items' keys
	moved bool
}

// tries is how many exchanges between known sets take the time of one round of annealing. What it takes to work out a set is
// counted as well, or a job of ever new sizes would spend its time on that.
const tries = 32

// exchange works on the accepted packing for so many rounds. It returns whether everything found a place and can be cut.
func (v *solver) exchange(its int64) bool {
	if its < 16 || len(v.cur.out) == 0 {
		return false
	}
	x := &exchange{solver: v, out: slices.Clone(v.cur.out)}
	small := 0
	for k, t := range v.cur.trees {
		for p, g := range v.lays[t.layout].roots {
			s := slot{w: g.w, h: g.h, tree: k, root: int16(p), items: t.items(int16(p), nil)}
			if len(s.items) <= setMost {
				small++
			}
			x.slots = append(x.slots, s)
		}
	}
	if small < 2 || small < len(x.slots)/2 {
		return false
	}
	if memory := 2 * its; v.sets == nil || !v.sets.remembers(memory) {
		v.sets = newShaper(v.space, memory)
	}
	x.shaper = v.sets
	for k := range x.slots {
		x.fill(&x.slots[k], x.slots[k].items)
	}
	for _, a := range v.areas {
		x.weights = append(x.weights, min(a, 1<<46)<<8)
	}
	x.run(its)
	return x.settle() && v.cur.area == 0 && v.sound(v.cur.trees)
}

type exchange struct {
	*solver
	*shaper
	slots   []slot
	out     []int32
	weights []int64 // of the items, in 256ths
}

// room is the slot's area.
func (s *slot) room() int64 { return int64(s.w) * int64(s.h) }

// fill makes these the slot's items.
func (x *exchange) fill(s *slot, items []int32) {
	s.items, s.area, s.sum = items, 0, 0
	for _, i := range items {
		s.area += x.areas[i]
		s.sum += x.keys[i]
	}
}

// trade is what of a slot goes elsewhere, as places in its items.
type trade [2]int

// draw takes n different items of the slot at random.
func (x *exchange) draw(s *slot, n int) (t trade, area int64, sum uint64, ok bool) {
	if n > len(s.items) {
		return t, 0, 0, false
	}
	for k := range n {
		t[k] = x.r.below(len(s.items))
		if k == 1 && t[0] == t[1] {
			return t, 0, 0, false
		}
		i := s.items[t[k]]
		area += x.areas[i]
		sum += x.keys[i]
	}
	return t, area, sum, true
}

// after is the items of s without the ones at less.
func (s *slot) after(less []int, items []int32) []int32 {
	for p, i := range s.items {
		if len(less) > 0 && p == less[0] || len(less) > 1 && p == less[1] {
			continue
		}
		items = append(items, i)
	}
	return items
}

func (x *exchange) run(its int64) {
	heat := x.mean() / 50 // cold: the sheets' trades are all the movement that is needed
	var one, two []int32
	x.spent = 0
	for began, asked := x.iters, x.iters; len(x.out) > 0 && x.iters < began+its; {
		x.spent++
		if x.iters = began + x.spent/tries; x.iters-asked >= 256 {
			if asked += 256; x.stopped() {
				break
			}
			for _, i := range x.out {
				x.weights[i] += heat
			}
		}
		a := &x.slots[x.r.below(len(x.slots))]
		goes := x.r.below(3)
		give, area, sum, ok := x.draw(a, goes)
		if !ok {
			continue
		}
		if x.r.below(10) < 3 { // one that is out comes in
			o := x.r.below(len(x.out))
			in := x.out[o]
			if x.keys[in] == sum || a.area-area+x.areas[in] > a.room() {
				continue
			}
			loss := -x.weights[in]
			for _, p := range give[:goes] {
				loss += x.weights[a.items[p]]
			}
			if loss > 0 && loss > x.r.waiting(heat) {
				continue
			}
			one = append(a.after(give[:goes], one[:0]), in)
			if !x.holds(one, a.sum-sum+x.keys[in], a.w, a.h) {
				continue
			}
			x.out[o] = x.out[len(x.out)-1]
			x.out = x.out[:len(x.out)-1]
			for _, p := range give[:goes] {
				x.out = append(x.out, a.items[p])
			}
			x.fill(a, append(a.items[:0], one...))
			a.moved = true
			continue
		}
		b := &x.slots[x.r.below(len(x.slots))]
		comes := 1 + x.r.below(2)
		take, back, other, ok := x.draw(b, comes)
		if a == b || !ok || sum == other || a.area-area+back > a.room() || b.area-back+area > b.room() {
			continue
		}
		one = a.after(give[:goes], one[:0])
		for _, p := range take[:comes] {
			one = append(one, b.items[p])
		}
		if !x.holds(one, a.sum-sum+other, a.w, a.h) {
			continue
		}
		two = b.after(take[:comes], two[:0])
		for _, p := range give[:goes] {
			two = append(two, a.items[p])
		}
		if !x.holds(two, b.sum-other+sum, b.w, b.h) {
			continue
		}
		x.fill(a, append(a.items[:0], one...))
		x.fill(b, append(b.items[:0], two...))
		a.moved, b.moved = true, true
	}
}

// settle lays the sets that changed and makes the packing the accepted one, unless one cannot be laid.
func (x *exchange) settle() bool {
	changed := make([]bool, len(x.cur.trees))
	for _, s := range x.slots {
		changed[s.tree] = changed[s.tree] || s.moved
	}
	trees := append([]*tree(nil), x.cur.trees...)
	for k, t := range trees {
		if changed[k] {
			trees[k] = x.fresh()
			trees[k].reset(&x.lays[t.layout], t.layout, 0)
		}
	}
	for _, s := range x.slots {
		t := trees[s.tree]
		if changed[s.tree] && !x.lay(t, t.cells[s.root].first, s.items) {
			return false
		}
	}
	x.cur.trees = x.cur.trees[:0]
	for _, t := range trees {
		if t.count > 0 {
			x.cur.trees = append(x.cur.trees, t)
		}
	}
	x.cur.out, x.cur.area = x.out, 0
	for _, i := range x.out {
		x.cur.area += x.areas[i]
	}
	return true
}
