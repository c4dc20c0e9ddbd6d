package pack

import (
	"math"
	"math/bits"
)

// A shape is the size of a rectangle.
type shape struct{ w, h int32 }

// shaper tells whether small sets of items can be cut out of a room, exactly. Of the parts of a set that have up to three
// items it knows all shapes out of which they can be cut and that hold no smaller one, in order of width: their shape
// functions (Otten, Design Automation Conference 1982; Stockmeyer, Information and Control 57, 1983). Those of larger parts
// take long to make, and few are asked for again. But every cut has at most half of the set on one side; how far that half
// reaches at least is known, or soon found for four items, and the other half has what remains. Where a set nearly fills
// the room most cuts waste more than there is, so that few remain to be followed.
type shaper struct {
	boxes []box
	keys  []uint64 // of each item; that of a set is the sum
	kinds []int32  // of each item; those of one size are one
	w, h  int32    // what exceeds them is left out

	ones    [][]shape   // of each kind
	pairs   []slabRange // of each two kinds
	triples []triple    // by key: open addressing; the length is a power of two
	used    int         // of triples
	slab    []shape
	answers []uint64 // by key of set and room, the lowest bit being the answer; the last one in each place

	spent int64 // on what was worked out, in exchanges

	// Of each part of the set at work, a part being a bit mask:
	parts     [][]shape // its shapes, if it has at most known items
	known     int
	sums      []uint64
	area      []int64
	narrowest []extent // no item is narrower or lower
	buf       []shape
}

// slabRange is where shapes are in the slab.
type slabRange struct {
	from uint32
	n    uint32 // one more than there are; 0 where nothing is kept
}

type triple struct {
	sum uint64
	slabRange
}

const (
	maxSet   = 9 // how many items the largest set has: more than two parts of four are not searched
	maxKnown = 3
)

// tableSize is the length of the table for so many sets.
func tableSize(memory int64) int {
	return 1 << bits.Len64(uint64(min(max(memory, 1<<12), 1<<18)-1))
}

// remembers reports whether there is room for so many sets.
func (f *shaper) remembers(memory int64) bool { return len(f.triples) >= tableSize(memory) }

// newShaper remembers up to about memory sets.
func newShaper(s *space, memory int64) *shaper {
	f := &shaper{boxes: s.boxes, triples: make([]triple, tableSize(memory)), answers: make([]uint64, 4*tableSize(memory))}
	f.parts, f.sums = make([][]shape, 1<<maxSet), make([]uint64, 1<<maxSet)
	f.area, f.narrowest = make([]int64, 1<<maxSet), make([]extent, 1<<maxSet)
	for _, l := range s.layouts {
		for _, g := range l.roots {
			f.w, f.h = max(f.w, g.w), max(f.h, g.h)
		}
	}
	kinds := map[box]int32{}
	keys := rng(1)
	var key []uint64 // of each kind
	for _, b := range s.boxes {
		if b.turn && b.w > b.h {
			b.w, b.h = b.h, b.w
		}
		kind, ok := kinds[b]
		if !ok {
			kind = int32(len(kinds))
			kinds[b] = kind
			key = append(key, keys.next())
			f.buf = f.buf[:0]
			f.offer(b.w, b.h)
			if b.turn {
				f.offer(b.h, b.w)
			}
			f.ones = append(f.ones, append([]shape(nil), f.buf...))
		}
		f.kinds = append(f.kinds, kind)
		f.keys = append(f.keys, key[kind])
	}
	f.pairs = make([]slabRange, len(kinds)*len(kinds))
	return f
}

// find is the place of the set of that sum in the table, perhaps an empty one.
func (f *shaper) find(sum uint64) *triple {
	mask := uint64(len(f.triples) - 1)
	for i := sum >> 20 & mask; ; i = (i + 1) & mask {
		if k := &f.triples[i]; k.n == 0 || k.sum == sum {
			return k
		}
	}
}

func (f *shaper) shapes(s slabRange) []shape { return f.slab[s.from : s.from+s.n-1] }

// store puts what is in buf into the slab.
func (f *shaper) store() slabRange {
	s := slabRange{uint32(len(f.slab)), uint32(len(f.buf)) + 1}
	f.slab = append(f.slab, f.buf...)
	return s
}

// holds reports whether the set, whose keys have that sum, can be cut out of w x h.
func (f *shaper) holds(set []int32, sum uint64, w, h int32) bool {
	if len(set) == 0 || len(set) > maxSet {
		return len(set) == 0
	}
	key := (sum ^ uint64(extentOf(w, h))*0x9e3779b97f4a7c15) &^ 1
	k := &f.answers[key>>20&uint64(len(f.answers)-1)]
	if *k&^1 != key {
		*k = key
		if f.prepare(set) && f.fits(1<<len(set)-1, w, h, both) {
			*k |= 1
		}
	}
	return *k&1 == 1
}

// fits reports whether the part m of the set at work can be cut out of w x h, the first cut being in direction only if
// that is not both.
func (f *shaper) fits(m int, w, h int32, only uint8) bool {
	if bits.OnesCount(uint(m)) <= f.known {
		a, ok := reach(f.parts[m], 0, h)
		return ok && a <= w
	}
	first, _, _ := f.halve(m, w, h, only)
	return first > 0
}

// halve finds a cut through w x h that leaves the part m of the set at work on its two sides: what of it comes first, the
// axis, and where the cut is. There is none when first is 0.
func (f *shaper) halve(m int, w, h int32, only uint8) (first int, along uint8, at int32) {
	free := int64(w)*int64(h) - f.area[m]
	if free < 0 || extentOf(w, h).holds(f.narrowest[m]) == 0 {
		return 0, 0, 0
	}
	f.spent++
	n := bits.OnesCount(uint(m))
	lowest := m & -m
	for from, to := 1, min(maxKnown, n/2); ; from, to = to+1, n/2 { // first those whose shapes are known
		for s := (m - 1) & m; s > 0; s = (s - 1) & m {
			k := bits.OnesCount(uint(s))
			if k < from || k > to || 2*k == n && s&lowest == 0 {
				continue
			}
			for along := range uint8(2) {
				if only == 1-along {
					continue
				}
				across := h
				if along == 1 {
					across = w
				}
				a, ok := f.span(s, along, across)
				if !ok || int64(a)*int64(across)-f.area[s] > free {
					continue
				}
				// Strips side by side go off one by one, first the one that has the lowest item. If that is what
				// remains here, it is one strip, and its next cut is across.
				next := uint8(both)
				if s&lowest == 0 {
					next = 1 - along
				}
				if along == 0 && f.fits(m&^s, w-a, h, next) || along == 1 && f.fits(m&^s, w, h-a, next) {
					return s, along, a
				}
			}
		}
		if to == n/2 {
			return 0, 0, 0
		}
	}
}

// span is how far the part m of the set at work, of at most four items, reaches at least along the axis where it may reach so
// far across it.
func (f *shaper) span(m int, along uint8, across int32) (int32, bool) {
	if bits.OnesCount(uint(m)) <= f.known {
		return reach(f.parts[m], along, across)
	}
	least := int32(math.MaxInt32)
	others := m & (m - 1)
	for s := others; s > 0; {
		s = (s - 1) & others
		one, two := f.parts[m&^others|s], f.parts[others&^s]
		if a, ok := reach(one, along, across); ok {
			if b, ok := reach(two, along, across); ok {
				least = min(least, a+b)
			}
		}
		// One beyond the other: on the way along both, what reaches less far goes on.
		for i, j := 0, 0; ; {
			a, b := nth(one, i, along), nth(two, j, along)
			if a.h+b.h <= across {
				least = min(least, max(a.w, b.w))
				break
			}
			if i+1 < len(one) && (j+1 == len(two) || nth(one, i+1, along).w < nth(two, j+1, along).w) {
				i++
			} else if j++; j == len(two) {
				break
			}
		}
	}
	return least, least < math.MaxInt32
}

// nth is the shape of that place in the order of reach along the axis, its width being the reach.
func nth(shapes []shape, k int, along uint8) shape {
	if along == 0 {
		return shapes[k]
	}
	z := shapes[len(shapes)-1-k]
	return shape{z.h, z.w}
}

// reach is how far the shapes reach at least along the axis where they may reach so far across it.
func reach(shapes []shape, along uint8, across int32) (int32, bool) {
	if along == 0 {
		for _, z := range shapes {
			if z.h <= across {
				return z.w, true
			}
		}
		return 0, false
	}
	for k := len(shapes) - 1; k >= 0; k-- {
		if shapes[k].w <= across {
			return shapes[k].h, true
		}
	}
	return 0, false
}

// prepare leaves what halve needs of each part of the set. It is false, and stops, where a part can be cut out of nothing.
func (f *shaper) prepare(set []int32) bool {
	if f.used > len(f.triples)*3/4-1<<maxSet {
		clear(f.triples)
		clear(f.pairs)
		f.used, f.slab = 0, f.slab[:0]
	}
	f.known = max(min(len(set)/2, maxKnown), 1)
	for i, item := range set {
		kind := f.kinds[item]
		b := f.boxes[item]
		w, h := b.leastSides(largestDim, largestDim)
		from, to := 1<<i, 2<<i
		if f.parts[from] = f.ones[kind]; len(f.parts[from]) == 0 {
			return false
		}
		pairs := f.pairs[int(kind)*len(f.ones):]
		missing := false
		// First all that is known of the triples with this item, which waits for memory once instead of once for each.
		for m := from; m < to; m++ {
			f.area[m] = f.area[m-from] + int64(b.w)*int64(b.h)
			wide, high := f.narrowest[m-from].sides()
			f.narrowest[m] = extentOf(max(w, wide), max(h, high))
			k := bits.OnesCount(uint(m))
			if k > f.known {
				continue
			}
			f.sums[m] = f.sums[m-from] + f.keys[item]
			if k == 1 {
				continue
			}
			var s slabRange
			if k == 2 {
				p := &pairs[f.kinds[set[bits.TrailingZeros(uint(m))]]]
				if p.n == 0 {
					f.buf = f.buf[:0]
					f.join(f.parts[from], f.parts[m-from])
					*p = f.store()
				}
				s = *p
			} else {
				f.spent++
				s = f.find(f.sums[m]).slabRange
			}
			switch f.parts[m] = nil; s.n {
			case 0:
				missing = true
			case 1:
				return false
			default:
				f.parts[m] = f.shapes(s)
			}
		}
		for m := from; missing && m < to; m++ {
			if bits.OnesCount(uint(m)) != 3 || f.parts[m] != nil {
				continue
			}
			f.spent += 3
			f.buf = f.buf[:0]
			others := m & (m - 1)
			for s := others; s > 0; {
				s = (s - 1) & others
				f.join(f.parts[m&^others|s], f.parts[others&^s])
			}
			t := f.find(f.sums[m])
			*t = triple{f.sums[m], f.store()}
			f.used++
			if f.parts[m] = f.shapes(t.slabRange); len(f.parts[m]) == 0 {
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

// lay puts the set into the rest x of t and reports whether it goes in.
func (f *shaper) lay(t *tree, x int16, set []int32) bool {
	t.changed()
	if len(set) == 0 {
		return true
	}
	return len(set) <= maxSet && f.prepare(set) && f.cutInto(t, x, set, 1<<len(set)-1)
}

// cutInto puts the part m of the set at work into the rest x of t.
func (f *shaper) cutInto(t *tree, x int16, set []int32, m int) bool {
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
	first, along, at := f.halve(m, w, h, both)
	if first == 0 {
		return false
	}
	if t.cells[x].along != along {
		x = t.deepen(x)
	}
	r := t.shorten(x, at)
	return f.cutInto(t, x, set, first) && f.cutInto(t, r, set, m&^first)
}
