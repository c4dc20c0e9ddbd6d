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

// waiting is an exponentially distributed number of that mean, from the leading zeros of a random word and, between two
// of them, a straight line: whole numbers, the same on every machine.
func (r *rng) waiting(mean int64) int64 {
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
	if v.until--; v.until >= 0 {
		return false
	}
	v.until = v.r.waiting(v.blink) >> 8
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
	r      rng
	pref   int   // the layout to open first, or -1
	greedy bool  // nothing is left to chance
	square bool  // what a rest is worth, in this round
	both   bool  // whether that takes turns: neither measure is the better one, but both together are
	blink  int64 // mean number of choices between two that it is blind to, in 256ths
	until  int64 // how many till the next
	cur    state // accepted
	work   state // being tried
	owned  []bool
	pool   []*tree
	rooms  []extent // the rests that may take an item to do
	spots  []spot   // where they are
	todo   []want
	rank   []int32 // the place of each item in order of area, largest first; the same for equal ones
	left   []int   // sheets at hand
	least  extent  // no item is narrower or lower, as it stands or turned
	iters  int64
	sets   *shaper // what exchanges have found out, or nil
	scales *scales // likewise

	progress *progress
}

func newSolver(s *space) *solver {
	v := &solver{space: s, r: 1, pref: -1, blink: 256<<20/max(20_000, 2_000_000/max(int64(len(s.boxes)), 8)) - 128, left: make([]int, len(s.counts))}
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
		w, h = b.lower(w, h)
	}
	v.least = extentOf(w, h)
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

func (v *solver) own(k int) *tree {
	if !v.owned[k] {
		t := v.fresh()
		t.copyFrom(v.work.trees[k])
		v.work.trees[k], v.owned[k] = t, true
	}
	return v.work.trees[k]
}

func (v *solver) open(layout int) {
	t := v.fresh()
	t.reset(&v.lays[layout], layout, v.r.next())
	v.work.trees = append(v.work.trees, t)
	v.owned = append(v.owned, true)
}

func (v *solver) forget(k int) {
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

// ruin takes one item or one row out of tree k.
func (v *solver) ruin(k int) {
	t := v.work.trees[k]
	x := int16(v.r.below(len(t.cells)))
	for t.cells[x].kind != placed && t.cells[x].kind != split {
		x = int16(v.r.below(len(t.cells)))
	}
	if t.cells[x].up < 0 && len(v.lays[t.layout].roots) == 1 {
		v.empty(k)
		return
	}
	t = v.own(k)
	if t.cells[x].up < 0 {
		v.work.out = t.bare(x, v.work.out)
	} else {
		v.work.out = t.take(x, v.work.out)
	}
	if t.count == 0 {
		v.forget(k)
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
	v.forget(k)
}

// pick chooses a tree to ruin, the emptier ones more often.
func (v *solver) pick() int {
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
		c += v.lays[t.layout].cost
	}
	return c
}

// recreate puts the items that are out back in, opening sheets as long as budget lasts. The item with the fewest places
// goes first, into the place whose rests stay largest; now and then it blinks. It gives up, false, when more than most
// area stays out.
func (v *solver) recreate(budget, most int64) bool {
	ws := &v.work
	copy(v.left, v.counts)
	for _, t := range ws.trees {
		l := &v.lays[t.layout]
		budget -= l.cost
		v.left[l.sheet]--
	}
	for _, l := range v.lays { // what is free is open from the start
		if l.cost > 0 || v.left[l.sheet] <= 0 {
			continue
		}
		var ways []int
		for k := range v.lays {
			if v.lays[k].sheet == l.sheet {
				ways = append(ways, k)
			}
		}
		for ; v.left[l.sheet] > 0; v.left[l.sheet]-- {
			v.open(ways[v.r.below(len(ways))])
		}
	}
	v.todo = v.todo[:0]
	for _, i := range ws.out {
		v.todo = append(v.todo, v.boxes[i].want(i, v.rank[i]))
	}
	ws.out = ws.out[:0]
	v.shuffle()
	v.gather()
	var lost int64
	for len(v.todo) > 0 {
		at := v.rarest()
		w := v.todo[at]
		v.todo[at] = v.todo[len(v.todo)-1]
		v.todo = v.todo[:len(v.todo)-1]
		p, ok := place{}, false
		if w.fits>>16 > 0 {
			p, ok = v.best(&w)
		}
		if !ok {
			if c := v.choose(&w, budget); c >= 0 {
				budget -= v.lays[c].cost
				v.left[v.lays[c].sheet]--
				v.unfold(c)
				if p, ok = v.first(&w); !ok {
					w.fits = math.MaxInt32 // it was not counted on the new sheet
					p, ok = v.best(&w)
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
			v.forget(k)
		} else {
			k++
		}
	}
	ws.area = lost
	return true
}

func (v *solver) shuffle() {
	for i := len(v.todo) - 1; i > 0; i-- {
		j := v.r.below(i + 1)
		v.todo[i], v.todo[j] = v.todo[j], v.todo[i]
	}
}

// gather lists the rests that may take one of the items to do, and counts in how many ways each item fits.
func (v *solver) gather() {
	w, h := int32(largestDim), int32(largestDim)
	for i := range v.todo {
		w, h = v.boxes[v.todo[i].item].lower(w, h)
	}
	least := extentOf(w, h)
	n := 0
	for k, t := range v.work.trees {
		if !t.known {
			t.survey(v.least)
		}
		v.rooms = slices.Grow(v.rooms[:n], len(t.rooms))[:n+len(t.rooms)]
		v.spots = slices.Grow(v.spots[:n], len(t.rooms))[:n+len(t.rooms)]
		for i, room := range t.rooms {
			v.rooms[n], v.spots[n] = room, spot{int32(k), t.rests[i]}
			n += int(room.holds(least))
		}
	}
	v.rooms, v.spots = v.rooms[:n], v.spots[:n]
	for i := range v.todo {
		b := &v.todo[i]
		n := int32(0)
		for _, room := range v.rooms {
			n += room.holds(b.size)
		}
		if b.turned != never {
			for _, room := range v.rooms {
				n += room.holds(b.turned)
			}
		}
		b.fits += n << 16
	}
}

// rarest is the index in todo of the item with the fewest places, of those the largest; or the one after it, where the
// search is blind.
func (v *solver) rarest() int {
	at := v.fewest(-1)
	if v.blinks() && len(v.todo) > 1 {
		at = v.fewest(at)
	}
	return at
}

// fewest is the index in todo, other than not, of the least fits.
func (v *solver) fewest(not int) int {
	least := int64(math.MaxInt64)
	for i := range v.todo { // the place below the fits, so that no branch is needed
		if f := int64(v.todo[i].fits)<<32 | int64(i); i != not {
			least = min(least, f)
		}
	}
	return int(int32(least))
}

// unfold opens a sheet of layout c and makes its roots places for what is still to do.
func (v *solver) unfold(c int) {
	v.open(c)
	k := len(v.work.trees) - 1
	t := v.work.trees[k]
	for p := range v.lays[c].roots {
		x := t.cells[p].first
		room := extentOf(t.cells[x].w, t.cells[x].h)
		v.rooms, v.spots = append(v.rooms, room), append(v.spots, spot{int32(k), x})
		for i := range v.todo {
			v.todo[i].fits += v.todo[i].ways(room) << 16
		}
	}
}

// first is a place on the sheet just opened, cut and turned by chance: what comes after depends on it, and no measure
// of the rests tells which is better.
func (v *solver) first(want *want) (place, bool) {
	if v.greedy {
		return place{}, false
	}
	k := len(v.spots) - len(v.lays[v.work.trees[len(v.work.trees)-1].layout].roots)
	k += v.r.below(len(v.spots) - k)
	s := &v.spots[k]
	p := place{spot: k}
	straight, turned := v.rooms[k].holds(want.size) > 0, v.rooms[k].holds(want.turned) > 0
	if !straight && !turned {
		return p, false
	}
	p.turned = turned && (!straight || v.r.below(2) == 0)
	size := want.size
	if p.turned {
		size = want.turned
	}
	w, h := size.sides()
	return p, v.allows(v.work.trees[s.tree], s.cell, w, h, false)
}

// choose is a layout that the item fits and the budget pays for, or -1.
func (v *solver) choose(want *want, budget int64) int {
	found, n := -1, 0
	for k := range v.lays {
		l := &v.lays[k]
		if l.cost > budget || v.left[l.sheet] == 0 {
			continue
		}
		for _, g := range l.roots {
			if want.ways(extentOf(g.w, g.h)) > 0 {
				if k == v.pref {
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

// place is where and how an item goes.
type place struct {
	spot   int
	turned bool
	deeper bool
}

// best is the place that leaves the largest rests, of as many as the item fits. It may be blind to some now and then.
func (v *solver) best(want *want) (place, bool) {
	var p place
	var mode uint8
	found := false
	var value int64
	limits := v.hold > 0 || v.reach > 0
	b := v.boxes[want.item]
	shift, square := v.shift&63, v.square
	worth := func(w, h int32) int64 { // of a rest: its area squared, or its area times that of the square in it
		a := int64(w) * int64(h)
		b := a
		if square {
			b = int64(min(w, h))
			b *= b
		}
		return (a >> shift) * (b >> shift)
	}
	for j, ways := 0, want.fits>>16; ways > 0 && j < len(v.rooms); j++ {
		room := v.rooms[j]
		n := want.ways(room)
		if n == 0 {
			continue
		}
		ways -= n
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
				if limits && !v.allows(v.work.trees[v.spots[j].tree], v.spots[j].cell, a, c, v.deeper(j, a, c, m)) {
					continue
				}
				if found && v.blinks() {
					continue
				}
				found, value = true, gain
				p, mode = place{spot: j, turned: o == 1}, m
			}
		}
	}
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
func (v *solver) put(item int32, p place) {
	s, room := v.spots[p.spot], v.rooms[p.spot]
	b := v.boxes[item]
	a, c := b.w, b.h
	if p.turned {
		a, c = c, a
	}
	t := v.own(int(s.tree))
	t.known = false
	r1, r2 := t.put(s.cell, item, a, c, p.deeper)
	last := len(v.spots) - 1
	v.spots[p.spot], v.rooms[p.spot] = v.spots[last], v.rooms[last]
	v.spots, v.rooms = v.spots[:last], v.rooms[:last]
	var left [2]extent // nothing fits into nought
	for n, x := range [2]int16{r1, r2} {
		if x < 0 {
			continue
		}
		if r := extentOf(t.cells[x].w, t.cells[x].h); r.holds(v.least) > 0 {
			left[n] = r
			v.rooms, v.spots = append(v.rooms, r), append(v.spots, spot{s.tree, x})
		}
	}
	for i := range v.todo {
		b := &v.todo[i]
		b.fits += (b.ways(left[0]) + b.ways(left[1]) - b.ways(room)) << 16
	}
}
