package pack

import "slices"

// The exchange is the second half of the search, for sheets that hold few items. Annealing builds its sheets item by
// item and comes back to the same few; here sheets are mere sets, and whether a set can be cut is known exactly from its
// shapes, so that items change places between sheets up to a hundred thousand times a second. Sheets may trade freely as
// long as both can still be cut. What is out is weighed, at first by its area; but the longer an item is out the more it
// weighs (breakout local search: Morris, AAAI 1993), so that one that is small yet fits nowhere drives out what fits more
// easily.

// A slot is one piece of a sheet with the items on it.
type slot struct {
	w, h    int32
	tree    int // in cur
	root    int16
	items   []int32
	weight  weight
	room    weight
	sum     uint64   // of the items' keys
	subsets []subset // none before they are needed
	moved   bool
}

// A subset is what of a slot goes elsewhere: nothing, one item or two.
type subset struct {
	at     [2]int8 // places in the slot's items
	n      int8
	weight weight
	sum    uint64
}

// exchangesPerRound is how many exchanges between known sets take the time of one round of annealing. What it takes to work out a set is
// counted as well, or a job of ever new sizes would spend its time on that.
const exchangesPerRound = 32

// exchange works on the accepted packing for so many rounds. It returns whether everything found a place and can be cut.
func (v *solver) exchange(its int64) bool {
	if its < 16 || len(v.cur.out) == 0 {
		return false
	}
	x := &exchange{solver: v, out: slices.Clone(v.cur.out)}
	small := 0
	for k, t := range v.cur.trees {
		for p, g := range v.layouts[t.layout].roots {
			s := slot{w: g.w, h: g.h, tree: k, root: int16(p), items: t.items(int16(p), nil)}
			if len(s.items) <= maxSet {
				small++
			}
			x.slots = append(x.slots, s)
		}
	}
	if small < 2 || small < len(x.slots)/2 {
		return false
	}
	if memory := 2 * its; v.shaper == nil || !v.shaper.remembers(memory) {
		v.shaper = newShaper(v.space, memory)
	}
	x.shaper = v.shaper
	if v.weigher == nil {
		v.weigher = newWeigher(v.boxes, x.w, x.h)
	}
	x.weighAll()
	for _, a := range v.areas {
		x.weights = append(x.weights, min(a, 1<<46)<<8)
	}
	x.search(its)
	return x.adopt() && v.cur.area == 0 && v.canBeCut(v.cur.trees)
}

type exchange struct {
	*solver
	*shaper
	slots    []slot
	out      []int32
	weights  []int64 // of the items, in 256ths
	refusals []refusal
	one, two []int32 // sets to ask for
	likely   []int   // subsets
}

func (x *exchange) weighAll() {
	for k := range x.slots {
		s := &x.slots[k]
		s.room = x.weigher.weightOfRoom(s.w, s.h)
		x.setItems(s, s.items)
	}
}

// setItems makes these the slot's items.
func (x *exchange) setItems(s *slot, items []int32) {
	s.items, s.weight, s.sum, s.subsets = items, weight{}, 0, s.subsets[:0]
	for _, i := range items {
		s.weight.add(&x.weigher.items[i])
		s.sum += x.keys[i]
	}
}

// listSubsets lists what may go from the slot: first each item, then each two.
func (x *exchange) listSubsets(s *slot) {
	if len(s.subsets) > 0 || len(s.items) > maxSet+2 {
		return
	}
	for p, i := range s.items {
		s.subsets = append(s.subsets, subset{[2]int8{int8(p)}, 1, x.weigher.items[i], x.keys[i]})
	}
	for q := range s.items {
		for p := range q {
			b := subset{[2]int8{int8(p), int8(q)}, 2, s.subsets[p].weight, s.subsets[p].sum + s.subsets[q].sum}
			b.weight.add(&s.subsets[q].weight)
			s.subsets = append(s.subsets, b)
		}
	}
}

// mayHold reports whether the slot's room may hold more weight in place of less; only canCut knows.
func (s *slot) mayHold(less, more *weight) bool {
	l := s.weight
	l.subtract(less)
	l.add(more)
	return l.fitsIn(&s.room)
}

// sampleItems is so many items of the slot by chance.
func (x *exchange) sampleItems(s *slot, n int) (b subset, ok bool) {
	if n == 0 {
		return b, true
	}
	x.listSubsets(s)
	from, to := 0, min(len(s.items), len(s.subsets))
	if n == 2 {
		from, to = to, len(s.subsets)
	}
	if from == to {
		return b, false
	}
	return s.subsets[from+x.r.below(to-from)], true
}

// chosen appends the subset's items to ids.
func (s *slot) chosen(b *subset, ids []int32) []int32 {
	for _, p := range b.at[:b.n] {
		ids = append(ids, s.items[p])
	}
	return ids
}

// others appends the items of s that are not in the subset to ids.
func (s *slot) others(b *subset, ids []int32) []int32 {
	for p, i := range s.items {
		if b.n > 0 && p == int(b.at[0]) || b.n > 1 && p == int(b.at[1]) {
			continue
		}
		ids = append(ids, i)
	}
	return ids
}

func (x *exchange) search(its int64) {
	heat := x.meanArea() / 50 // cold: the sheets' trades are all the movement that is needed
	x.spent = 0
	for began, asked := x.iters, x.iters; len(x.out) > 0 && x.iters < began+its && !x.solver.tired(); {
		x.spent++
		if x.iters = began + x.spent/exchangesPerRound; x.iters-asked >= 256 {
			if asked += 256; x.stopped() {
				break
			}
			for _, i := range x.out {
				x.weights[i] += heat
			}
		}
		a := &x.slots[x.r.below(len(x.slots))]
		if give, ok := x.sampleItems(a, x.r.below(3)); !ok {
			continue
		} else if x.r.below(10) < 5 {
			x.admit(a, &give, heat)
		} else if b := &x.slots[x.r.below(len(x.slots))]; a != b {
			x.tradeItems(a, b, &give)
		}
	}
}

// admit tries to let an item that is out onto a in place of what a gives, which is out then.
func (x *exchange) admit(a *slot, give *subset, heat int64) {
	o := x.r.below(len(x.out))
	in := x.out[o]
	if x.keys[in] == give.sum || !a.mayHold(&give.weight, &x.weigher.items[in]) {
		return
	}
	x.two = a.chosen(give, x.two[:0])
	loss := -x.weights[in]
	for _, i := range x.two {
		loss += x.weights[i]
	}
	if loss > 0 && loss > x.r.exponential(heat) {
		return
	}
	x.one = append(a.others(give, x.one[:0]), in)
	if !x.canCut(a, x.one, a.sum-give.sum+x.keys[in]) {
		return
	}
	x.out[o] = x.out[len(x.out)-1]
	x.out = append(x.out[:len(x.out)-1], x.two...)
	x.setItems(a, append(a.items[:0], x.one...))
	a.moved = true
}

// tradeItems tries to exchange what a gives for as much, about, of b.
func (x *exchange) tradeItems(a, b *slot, give *subset) {
	x.listSubsets(b)
	// Neither may get more area than it has left with what it gives.
	most := give.weight.area() + a.room.area() - a.weight.area()
	fewest := give.weight.area() - b.room.area() + b.weight.area()
	x.likely = x.likely[:0]
	for k := range b.subsets {
		if v := b.subsets[k].weight.area(); fewest <= v && v <= most {
			x.likely = append(x.likely, k)
		}
	}
	if len(x.likely) == 0 {
		return
	}
	take := &b.subsets[x.likely[x.r.below(len(x.likely))]]
	if give.sum == take.sum || !a.mayHold(&give.weight, &take.weight) || !b.mayHold(&take.weight, &give.weight) {
		return
	}
	x.one = b.chosen(take, a.others(give, x.one[:0]))
	x.two = a.chosen(give, b.others(take, x.two[:0]))
	one, two := a.sum-give.sum+take.sum, b.sum-take.sum+give.sum
	if len(x.one) <= len(x.two) { // the smaller set is worked out sooner
		if !x.canCut(a, x.one, one) || !x.canCut(b, x.two, two) {
			return
		}
	} else if !x.canCut(b, x.two, two) || !x.canCut(a, x.one, one) {
		return
	}
	x.setItems(a, append(a.items[:0], x.one...))
	x.setItems(b, append(b.items[:0], x.two...))
	a.moved, b.moved = true, true
}

// canCut reports whether the set, whose keys have that sum, can be cut out of the slot. The first refusals tell the weigher what to look for.
func (x *exchange) canCut(s *slot, set []int32, sum uint64) bool {
	x.solver.looks += looksToShape
	if x.holds(set, sum, s.w, s.h) {
		return true
	}
	if len(x.weigher.pairs) == 1 && len(x.refusals) < sampleSize {
		if x.refusals = append(x.refusals, refusal{slices.Clone(set), s.w, s.h}); len(x.refusals) == sampleSize {
			x.solver.looks += looksToWeigh
			x.weigher.choosePairs(x.refusals)
			x.weighAll()
		}
	}
	return false
}

// adopt lays the sets that changed and makes the packing the accepted one, unless one cannot be laid.
func (x *exchange) adopt() bool {
	changed := make([]bool, len(x.cur.trees))
	for _, s := range x.slots {
		changed[s.tree] = changed[s.tree] || s.moved
	}
	trees := append([]*tree(nil), x.cur.trees...)
	for k, t := range trees {
		if changed[k] {
			trees[k] = x.fresh()
			trees[k].reset(&x.layouts[t.layout], t.layout, 0)
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
