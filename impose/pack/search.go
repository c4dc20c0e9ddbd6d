package pack

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// The search is a goal-driven ruin and recreate (Gardeyn and Wauters, European Journal of Operational Research 2022):
// it is given a budget below the best cost, takes parts of the trees out and puts the items back, and watches the area
// of the items that find no place until it is nought. Where theirs accepts late, this one anneals: at equal rounds that
// left fewer instances one sheet above the best known.

// rng is splitmix64. Its seed is fixed, so that the same job gives the same answer.
type rng uint64

func (r *rng) next() uint64 {
	*r += 0x9e3779b97f4a7c15
	z := uint64(*r)
	z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9
	z = (z ^ (z >> 27)) * 0x94d049bb133111eb
	return z ^ (z >> 31)
}

func (r *rng) below(k int) int { return int((r.next() >> 33) * uint64(k) >> 31) }

// exponential is an exponentially distributed number of that mean, from the leading zeros of a random word and, between two
// of them, a straight line: whole numbers, the same on every machine.
func (r *rng) exponential(mean int64) int64 {
	u := r.next() | 1
	z := bits.LeadingZeros64(u)
	e := uint64(z+1)<<16 - u<<(z+1)>>48 // minus log2, in 65536ths
	high, low := bits.Mul64(uint64(max(mean, 0)), e*45426>>16)
	return int64(high<<48 | low>>16)
}

// blinks tells now and then that a choice is not seen.
func (v *solver) blinks() bool {
	if v.greedy {
		return false
	}
	if v.untilBlink--; v.untilBlink >= 0 {
		return false
	}
	v.untilBlink = v.r.exponential(v.blinkEvery) >> 8
	return true
}

// state is a packing during the search. Trees are shared between states until they are changed.
type state struct {
	trees []*tree
	out   []int32
	area  int64 // of what is out
}

// solver searches one space.
type solver struct {
	*space
	r           rng
	openFirst   int   // the layout to open first, or -1
	greedy      bool  // nothing is left to chance
	squareWorth bool  // what a rest is worth, in this round
	alternate   bool  // whether that takes turns: neither measure is the better one, but both together are
	blinkEvery  int64 // mean number of choices between two that it is blind to, in 256ths
	untilBlink  int64 // how many till the next
	cur         state // accepted
	work        state // being tried
	owned       []bool
	pool        []*tree
	rooms       []extent // the rests that may take an item that waits
	spots       []spot   // where they are
	waiting     []pendingItem
	rank        []int32 // the place of each item in order of area, largest first; the same for equal ones
	atHand      []int   // sheets at hand
	smallest    extent  // no item is narrower or lower, as it stands or turned
	iters       int64
	shaper      *shaper  // what exchanges have found out, or nil
	weigher     *weigher // likewise

	progress *progress
}

func newSolver(s *space) *solver {
	v := &solver{space: s, r: 1, openFirst: -1, blinkEvery: 256<<20/max(20_000, 2_000_000/max(int64(len(s.boxes)), 8)) - 128, atHand: make([]int, len(s.counts))}
	order := make([]int, len(s.boxes))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(s.areas[b], s.areas[a]) })
	v.rank = make([]int32, len(s.boxes)+1) // the dummy comes first
	for n, i := range order {
		v.rank[i] = int32(n + 1)
		if n > 0 && s.areas[i] == s.areas[order[n-1]] {
			v.rank[i] = v.rank[order[n-1]]
		}
	}
	w, h := int32(largestDim), int32(largestDim)
	for i, b := range s.boxes {
		v.cur.out = append(v.cur.out, int32(i))
		w, h = b.leastSides(w, h)
	}
	v.smallest = extentOf(w, h)
	return v
}

func (v *solver) fresh() *tree {
	if k := len(v.pool); k > 0 {
		t := v.pool[k-1]
		v.pool = v.pool[:k-1]
		return t
	}
	return &tree{}
}

// begin copies the accepted state.
func (v *solver) begin() {
	v.work.trees = append(v.work.trees[:0], v.cur.trees...)
	v.work.out = append(v.work.out[:0], v.cur.out...)
	v.owned = v.owned[:0]
	for range v.work.trees {
		v.owned = append(v.owned, false)
	}
}

func (v *solver) writable(k int) *tree {
	if !v.owned[k] {
		t := v.fresh()
		t.copyFrom(v.work.trees[k])
		v.work.trees[k], v.owned[k] = t, true
	}
	return v.work.trees[k]
}

func (v *solver) open(layout int) {
	t := v.fresh()
	t.reset(&v.layouts[layout], layout, v.r.next())
	v.work.trees = append(v.work.trees, t)
	v.owned = append(v.owned, true)
}

func (v *solver) closeSheet(k int) {
	if v.owned[k] {
		v.pool = append(v.pool, v.work.trees[k])
	}
	l := len(v.work.trees) - 1
	v.work.trees[k], v.owned[k] = v.work.trees[l], v.owned[l]
	v.work.trees, v.owned = v.work.trees[:l], v.owned[:l]
}

func (v *solver) accept() {
	for _, t := range v.cur.trees {
		kept := false
		for _, q := range v.work.trees {
			kept = kept || q == t
		}
		if !kept {
			v.pool = append(v.pool, t)
		}
	}
	v.cur.trees = append(v.cur.trees[:0], v.work.trees...)
	v.cur.out = append(v.cur.out[:0], v.work.out...)
	v.cur.area = v.work.area
}

func (v *solver) reject() {
	for k, t := range v.work.trees {
		if v.owned[k] {
			v.pool = append(v.pool, t)
		}
	}
}

// removeSome takes one item or one row out of tree k.
func (v *solver) removeSome(k int) {
	t := v.work.trees[k]
	x := int16(v.r.below(len(t.cells)))
	for t.cells[x].kind != placed && t.cells[x].kind != split {
		x = int16(v.r.below(len(t.cells)))
	}
	if t.cells[x].up < 0 && len(v.layouts[t.layout].roots) == 1 {
		v.empty(k)
		return
	}
	t = v.writable(k)
	if t.cells[x].up < 0 {
		v.work.out = t.clearPiece(x, v.work.out)
	} else {
		v.work.out = t.remove(x, v.work.out)
	}
	if t.count == 0 {
		v.closeSheet(k)
	}
}

// empty takes all items out of tree k.
func (v *solver) empty(k int) {
	t := v.work.trees[k]
	for i := range t.cells {
		if t.cells[i].kind == placed {
			v.work.out = append(v.work.out, t.cells[i].item)
		}
	}
	v.closeSheet(k)
}

// pickSheet chooses a tree to ruin, the emptier ones more often.
func (v *solver) pickSheet() int {
	k := v.r.below(len(v.work.trees))
	if len(v.work.trees) > 1 && v.r.below(2) == 0 {
		j := v.r.below(len(v.work.trees))
		if v.work.trees[j].used < v.work.trees[k].used {
			k = j
		}
	}
	return k
}

func (v *solver) cost(trees []*tree) int64 {
	var c int64
	for _, t := range trees {
		c += v.layouts[t.layout].cost
	}
	return c
}

// recreate puts the items that are out back in, opening sheets as long as budget lasts. The item with the fewest places
// goes first, into the place whose rests stay largest; now and then it blinks. It gives up, false, when more than most
// area stays out.
func (v *solver) recreate(budget, most int64) bool {
	ws := &v.work
	copy(v.atHand, v.counts)
	for _, t := range ws.trees {
		l := &v.layouts[t.layout]
		budget -= l.cost
		v.atHand[l.sheet]--
	}
	for first, end := 0, 0; first < len(v.layouts); first = end { // the layouts of one sheet stand together
		l := &v.layouts[first]
		for end = first + 1; end < len(v.layouts) && v.layouts[end].sheet == l.sheet; {
			end++
		}
		if l.cost > 0 {
			continue
		}
		for ; v.atHand[l.sheet] > 0; v.atHand[l.sheet]-- { // what is free is open from the start
			v.open(first + v.r.below(end-first))
			v.looks += looksToOpen
		}
	}
	v.waiting = v.waiting[:0]
	for _, i := range ws.out {
		v.waiting = append(v.waiting, v.boxes[i].pending(i, v.rank[i]))
	}
	ws.out = ws.out[:0]
	v.shuffleWaiting()
	v.countPlaces()
	v.looks += int64(len(v.waiting)+8) * int64(len(v.rooms)) / 2
	var lost int64
	for len(v.waiting) > 0 {
		v.looks += int64(2 * len(v.waiting))
		at := v.hardest()
		w := v.waiting[at]
		v.waiting[at] = v.waiting[len(v.waiting)-1]
		v.waiting = v.waiting[:len(v.waiting)-1]
		p, ok := position{}, false
		if w.fits>>16 > 0 {
			p, ok = v.bestPlace(&w)
		}
		if !ok {
			if c := v.chooseLayout(&w, budget); c >= 0 {
				budget -= v.layouts[c].cost
				v.atHand[v.layouts[c].sheet]--
				v.openSheet(c)
				if p, ok = v.firstPlace(&w); !ok {
					w.fits = math.MaxInt32 // it was not counted on the new sheet
					p, ok = v.bestPlace(&w)
				}
			}
		}
		if !ok {
			if lost += v.areas[w.item]; lost > most {
				return false
			}
			ws.out = append(ws.out, w.item)
			continue
		}
		v.put(w.item, p)
	}
	for k := 0; k < len(ws.trees); {
		if ws.trees[k].count == 0 {
			v.closeSheet(k)
		} else {
			k++
		}
	}
	ws.area = lost
	return true
}

func (v *solver) shuffleWaiting() {
	for i := len(v.waiting) - 1; i > 0; i-- {
		j := v.r.below(i + 1)
		v.waiting[i], v.waiting[j] = v.waiting[j], v.waiting[i]
	}
}

// countPlaces lists the rests that may take one of the items that wait, and counts the places that each item fits.
func (v *solver) countPlaces() {
	w, h := int32(largestDim), int32(largestDim)
	for i := range v.waiting {
		w, h = v.boxes[v.waiting[i].item].leastSides(w, h)
	}
	least := extentOf(w, h)
	n := 0
	for k, t := range v.work.trees {
		if !t.listed {
			t.listRests(v.smallest)
		}
		v.rooms = slices.Grow(v.rooms[:n], len(t.rooms))[:n+len(t.rooms)]
		v.spots = slices.Grow(v.spots[:n], len(t.rooms))[:n+len(t.rooms)]
		for i, room := range t.rooms {
			v.rooms[n], v.spots[n] = room, spot{int32(k), t.rests[i]}
			n += int(room.holds(least))
		}
	}
	v.rooms, v.spots = v.rooms[:n], v.spots[:n]
	for i := range v.waiting {
		b := &v.waiting[i]
		n := int32(0)
		for _, room := range v.rooms {
			n += room.holds(b.size)
		}
		if b.turned != fitsNowhere {
			for _, room := range v.rooms {
				n += room.holds(b.turned)
			}
		}
		b.fits += n << 16
	}
}

// hardest is the index in waiting of the item with the fewest places, of those the largest; or the one after it, where the
// search is blind.
func (v *solver) hardest() int {
	at := v.fewest(-1)
	if v.blinks() && len(v.waiting) > 1 {
		at = v.fewest(at)
	}
	return at
}

// fewest is the index in waiting, other than not, of the least fits.
func (v *solver) fewest(not int) int {
	least := int64(math.MaxInt64)
	for i := range v.waiting { // the place below the fits, so that no branch is needed
		if f := int64(v.waiting[i].fits)<<32 | int64(i); i != not {
			least = min(least, f)
		}
	}
	return int(int32(least))
}

// openSheet opens a sheet of layout c and makes its roots places for what still waits.
func (v *solver) openSheet(c int) {
	v.open(c)
	k := len(v.work.trees) - 1
	t := v.work.trees[k]
	for p := range v.layouts[c].roots {
		x := t.cells[p].first
		room := extentOf(t.cells[x].w, t.cells[x].h)
		v.rooms, v.spots = append(v.rooms, room), append(v.spots, spot{int32(k), x})
		for i := range v.waiting {
			v.waiting[i].fits += v.waiting[i].orientations(room) << 16
		}
	}
}

// firstPlace is a place on the sheet just opened, cut and turned by chance: what comes after depends on it, and no measure
// of the rests tells which is better.
func (v *solver) firstPlace(it *pendingItem) (position, bool) {
	if v.greedy {
		return position{}, false
	}
	k := len(v.spots) - len(v.layouts[v.work.trees[len(v.work.trees)-1].layout].roots)
	k += v.r.below(len(v.spots) - k)
	s := &v.spots[k]
	p := position{spot: k}
	straight, turned := v.rooms[k].holds(it.size) > 0, v.rooms[k].holds(it.turned) > 0
	if !straight && !turned {
		return p, false
	}
	p.turned = turned && (!straight || v.r.below(2) == 0)
	size := it.size
	if p.turned {
		size = it.turned
	}
	w, h := size.sides()
	return p, v.allows(v.work.trees[s.tree], s.cell, w, h, false)
}

// chooseLayout is a layout that the item fits and the budget pays for, or -1.
func (v *solver) chooseLayout(it *pendingItem, budget int64) int {
	found, n := -1, 0
	for k := range v.layouts {
		l := &v.layouts[k]
		if l.cost > budget || v.atHand[l.sheet] == 0 {
			continue
		}
		for _, g := range l.roots {
			if it.orientations(extentOf(g.w, g.h)) > 0 {
				if k == v.openFirst {
					return k
				}
				n++
				if n == 1 || v.r.below(n) == 0 {
					found = k
				}
				break
			}
		}
	}
	return found
}

// spot is where a rest is.
type spot struct {
	tree int32
	cell int16
}

// position is where and how an item goes.
type position struct {
	spot   int
	turned bool
	deeper bool
}

// bestPlace is the place that leaves the largest rests, of as many as the item fits. It may be blind to some now and then.
func (v *solver) bestPlace(it *pendingItem) (position, bool) {
	var p position
	var mode uint8
	found := false
	var value int64
	limits := v.hold > 0 || v.longest[0] > 0
	b := v.boxes[it.item]
	shift, square := v.shift&63, v.squareWorth
	worth := func(w, h int32) int64 { // of a rest: its area squared, or its area times that of the square in it
		a := int64(w) * int64(h)
		b := a
		if square {
			b = int64(min(w, h))
			b *= b
		}
		return (a >> shift) * (b >> shift)
	}
	looks := 0
	for j, places := 0, it.fits>>16; places > 0 && j < len(v.rooms); j++ {
		looks++
		room := v.rooms[j]
		n := it.orientations(room)
		if n == 0 {
			continue
		}
		places -= n
		w, h := room.sides()
		for o := 0; o < 2; o++ {
			a, c := b.w, b.h
			if o == 1 {
				if !b.turn {
					break
				}
				a, c = c, a
			}
			if a > w || c > h {
				continue
			}
			base := worth(w, h)
			down := worth(w-a, h) + worth(a, h-c) - base
			over := worth(w, h-c) + worth(w-a, c) - base
			for m := uint8(0); m < 2; m++ { // 0 cuts down first, 1 across
				gain := down
				if m == 1 {
					if gain = over; a == w || c == h {
						break
					}
				}
				if found && gain <= value {
					continue
				}
				if limits {
					if looks += looksToAllow; !v.allows(v.work.trees[v.spots[j].tree], v.spots[j].cell, a, c, v.deeper(j, a, c, m)) {
						continue
					}
				}
				if found && v.blinks() {
					continue
				}
				found, value = true, gain
				p, mode = position{spot: j, turned: o == 1}, m
			}
		}
	}
	v.looks += int64(looks)
	if found {
		if p.turned {
			b.w, b.h = b.h, b.w
		}
		p.deeper = v.deeper(p.spot, b.w, b.h, mode)
	}
	return p, found
}

// deeper reports whether cutting an item of a x c out of spot j, down first (mode 0) or across first, crosses the row
// that the spot is in.
func (v *solver) deeper(j int, a, c int32, mode uint8) bool {
	w, h := v.rooms[j].sides()
	s := v.spots[j]
	return mode != v.work.trees[s.tree].cells[s.cell].along && a != w && c != h
}

// put puts the item there and keeps rooms and fits in step.
func (v *solver) put(item int32, p position) {
	s, room := v.spots[p.spot], v.rooms[p.spot]
	b := v.boxes[item]
	a, c := b.w, b.h
	if p.turned {
		a, c = c, a
	}
	t := v.writable(int(s.tree))
	t.changed()
	r1, r2 := t.put(s.cell, item, a, c, p.deeper)
	last := len(v.spots) - 1
	v.spots[p.spot], v.rooms[p.spot] = v.spots[last], v.rooms[last]
	v.spots, v.rooms = v.spots[:last], v.rooms[:last]
	var left [2]extent // nothing fits into nought
	for n, x := range [2]int16{r1, r2} {
		if x < 0 {
			continue
		}
		if r := extentOf(t.cells[x].w, t.cells[x].h); r.holds(v.smallest) > 0 {
			left[n] = r
			v.rooms, v.spots = append(v.rooms, r), append(v.spots, spot{s.tree, x})
		}
	}
	for i := range v.waiting {
		b := &v.waiting[i]
		b.fits += (b.orientations(left[0]) + b.orientations(left[1]) - b.orientations(room)) << 16
	}
}
