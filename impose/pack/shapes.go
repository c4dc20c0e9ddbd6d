package pack

import "math/bits"

// A shape is the size of a rectangle.
type shape struct{ w, h int32 }

// shaper works out, for small sets of items, the shapes out of which they can be cut: all that hold no smaller one, in
// order of width. Such a shape function (Otten, Design Automation Conference 1982; Stockmeyer, Information and Control
// 57, 1983) is exact: every guillotine packing of the set is in one of its shapes. Sets are remembered by the sum of
// their items' keys; items of one size share a key, so sets that only differ in which of them they hold are worked out
// once. Of the set that is asked for only the answer is wanted, whether it can be cut out of that room, and the halves'
// shapes tell.
type shaper struct {
	boxes []box
	keys  []uint64 // of each item
	w, h  int32    // what exceeds them is left out

	table []known // open addressing; its length is a power of two
	used  int
	slab  []shape

	spent int64 // on what was worked out, in exchanges

	parts [][]shape // of each part of the set at work, a part being a bit mask
	sums  []uint64
	buf   []shape
}

// known is where the shapes of a set are in the slab, or, by its sum and a room, whether the set can be cut out of that.
type known struct {
	sum  uint64
	from uint32
	n    uint32 // one more than there are; 0 where nothing is kept
}

// setMost is how many items the largest set has. The work trebles with each.
const setMost = 8

// places is the length of the table for so many sets.
func places(memory int64) int {
	return 1 << bits.Len64(uint64(min(max(memory, 1<<12), 1<<20)-1))
}

// remembers reports whether there is room for so many sets.
func (f *shaper) remembers(memory int64) bool { return len(f.table) >= places(memory) }

// stepsOfExchange is how many looks into the table or joins take the time of an exchange between known sets.
const stepsOfExchange = 4

// newShaper remembers up to about memory sets.
func newShaper(s *space, memory int64) *shaper {
	f := &shaper{boxes: s.boxes, table: make([]known, places(memory)), parts: make([][]shape, 1<<setMost), sums: make([]uint64, 1<<setMost)}
	same := map[box]uint64{}
	keys := rng(1)
	for _, b := range s.boxes {
		if b.turn && b.w > b.h {
			b.w, b.h = b.h, b.w
		}
		if same[b] == 0 {
			same[b] = keys.next()
		}
		f.keys = append(f.keys, same[b])
	}
	for _, l := range s.lays {
		for _, g := range l.roots {
			f.w, f.h = max(f.w, g.w), max(f.h, g.h)
		}
	}
	return f
}

// at is the place of the set of that sum in the table, perhaps an empty one.
func (f *shaper) at(sum uint64) *known {
	mask := uint64(len(f.table) - 1)
	for i := sum >> 20 & mask; ; i = (i + 1) & mask {
		if k := &f.table[i]; k.n == 0 || k.sum == sum {
			return k
		}
	}
}

func (f *shaper) shapes(k *known) []shape { return f.slab[k.from : k.from+k.n-1] }

func (f *shaper) keep(k *known, sum uint64, shapes []shape) []shape {
	*k = known{sum, uint32(len(f.slab)), uint32(len(shapes)) + 1}
	f.used++
	f.slab = append(f.slab, shapes...)
	return f.shapes(k)
}

// holds reports whether the set, whose keys have that sum, can be cut out of w x h.
func (f *shaper) holds(set []int32, sum uint64, w, h int32) bool {
	if len(set) == 0 || len(set) > setMost {
		return len(set) == 0
	}
	key := sum ^ uint64(extentOf(w, h))*0x9e3779b97f4a7c15
	if k := f.at(key); k.n > 0 {
		return k.n > 1
	}
	var room []shape
	if f.work(set) && f.goes(1<<len(set)-1, w, h) {
		room = append(f.buf[:0], shape{w, h})
	}
	f.keep(f.at(key), key, room)
	return len(room) > 0
}

// goes reports whether the part m of the set at work can be cut out of w x h.
func (f *shaper) goes(m int, w, h int32) bool {
	if m&(m-1) == 0 {
		z, ok := least(f.parts[m], h)
		return ok && z.w <= w
	}
	first, _, _ := f.halve(m, w, h)
	return first > 0
}

// halve finds a cut through w x h that leaves the part m of the set at work on its two sides: what of it comes first, the
// axis, and where the cut is. There is none when first is 0.
func (f *shaper) halve(m int, w, h int32) (first int, along uint8, at int32) {
	others := m & (m - 1)
	for s := others; s > 0; { // the half with the lowest item is the first
		s = (s - 1) & others
		one, two := f.parts[m&^others|s], f.parts[others&^s]
		if a, ok := least(one, h); ok {
			if b, ok := least(two, h); ok && a.w+b.w <= w {
				return m&^others | s, 0, a.w
			}
		}
		if a, ok := flattest(one, w); ok {
			if b, ok := flattest(two, w); ok && a.h+b.h <= h {
				return m&^others | s, 1, a.h
			}
		}
	}
	return 0, 0, 0
}

// work leaves the shapes of each smaller part of the set in parts. It is false, and stops, where one has none.
func (f *shaper) work(set []int32) bool {
	if f.used > len(f.table)*3/4-1<<setMost {
		clear(f.table)
		f.used, f.slab = 0, f.slab[:0]
	}
	full := 1<<len(set) - 1
	steps := full / 8 // for the halves of the whole
	defer func() { f.spent += int64(steps) / stepsOfExchange }()
	for i, item := range set {
		// First all that is known of the parts with this item, which waits for memory once instead of once for each.
		from, to := 1<<i, min(2<<i, max(full, 2))
		steps += to - from
		for m := from; m < to; m++ {
			f.sums[m] = f.sums[m-from] + f.keys[item]
			k := f.at(f.sums[m])
			if f.parts[m] = nil; k.n > 0 {
				f.parts[m] = f.shapes(k)
			}
			if k.n == 1 {
				return false
			}
		}
		for m := from; m < to; m++ {
			if f.parts[m] != nil {
				continue
			}
			f.buf = f.buf[:0]
			if b := f.boxes[item]; m == from {
				f.offer(b.w, b.h)
				if b.turn {
					f.offer(b.h, b.w)
				}
			}
			others := m & (m - 1)
			for s := others; s > 0; {
				s = (s - 1) & others
				steps++
				f.join(f.parts[m&^others|s], f.parts[others&^s])
			}
			if f.parts[m] = f.keep(f.at(f.sums[m]), f.sums[m], f.buf); len(f.buf) == 0 {
				return false
			}
		}
	}
	return true
}

// join offers what two shape functions make side by side and one above the other. On the way along both, the one that
// decides the common side goes on.
func (f *shaper) join(a, b []shape) {
	for i, j := 0, 0; i < len(a) && j < len(b) && a[i].w+b[j].w <= f.w; {
		f.offer(a[i].w+b[j].w, max(a[i].h, b[j].h))
		d := a[i].h - b[j].h
		if d >= 0 {
			i++
		}
		if d <= 0 {
			j++
		}
	}
	for i, j := len(a)-1, len(b)-1; i >= 0 && j >= 0 && a[i].h+b[j].h <= f.h; {
		f.offer(max(a[i].w, b[j].w), a[i].h+b[j].h)
		d := a[i].w - b[j].w
		if d >= 0 {
			i--
		}
		if d <= 0 {
			j--
		}
	}
}

// offer puts a shape into buf unless it holds one there, and takes out those that hold it.
func (f *shaper) offer(w, h int32) {
	if w > f.w || h > f.h {
		return
	}
	from := 0
	for ; from < len(f.buf) && f.buf[from].w <= w; from++ {
		if f.buf[from].h <= h {
			return
		}
	}
	if from > 0 && f.buf[from-1].w == w {
		from--
	}
	to := from
	for to < len(f.buf) && f.buf[to].h >= h {
		to++
	}
	if from == to {
		f.buf = append(f.buf, shape{})
		copy(f.buf[from+1:], f.buf[from:])
		f.buf[from] = shape{w, h}
		return
	}
	f.buf[from] = shape{w, h}
	f.buf = append(f.buf[:from+1], f.buf[to:]...)
}

// least is the narrowest of the shapes that is no higher than h.
func least(shapes []shape, h int32) (shape, bool) {
	for _, z := range shapes {
		if z.h <= h {
			return z, true
		}
	}
	return shape{}, false
}

// flattest is the least high of the shapes that is no wider than w.
func flattest(shapes []shape, w int32) (shape, bool) {
	for k := len(shapes) - 1; k >= 0; k-- {
		if shapes[k].w <= w {
			return shapes[k], true
		}
	}
	return shape{}, false
}

// lay puts the set into the rest x of t and reports whether it goes in.
func (f *shaper) lay(t *tree, x int16, set []int32) bool {
	t.known = false
	if len(set) == 0 {
		return true
	}
	return len(set) <= setMost && f.work(set) && f.cut(t, x, set, 1<<len(set)-1)
}

// cut puts the part m of the set at work into the rest x of t.
func (f *shaper) cut(t *tree, x int16, set []int32, m int) bool {
	w, h := t.cells[x].w, t.cells[x].h
	if m&(m-1) == 0 {
		i := set[bits.TrailingZeros(uint(m))]
		b := f.boxes[i]
		if b.w > w || b.h > h {
			b.w, b.h = b.h, b.w
		}
		if b.w > w || b.h > h {
			return false
		}
		t.put(x, i, b.w, b.h, false)
		return true
	}
	first, along, at := f.halve(m, w, h)
	if first == 0 {
		return false
	}
	if t.cells[x].along != along {
		x = t.deepen(x)
	}
	r := t.part(x, at)
	return f.cut(t, x, set, first) && f.cut(t, r, set, m&^first)
}
