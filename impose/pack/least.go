package pack

import (
	"slices"

	"tuckmark/config/measure"
)

// The least number of cuts that take a set of items out of a piece, by iterative deepening (Korf, Artificial Intelligence 27, 1985). n
// items and m rests take n + m - 1 cuts, so a way is looked for with as few rests as there must be, then with one more, and so on.
//
// Of the two parts of a cut one has no room to spare: it begins at the edge, or where an item has to begin, and is as long as a sum of
// its items' sides. So the places at such sums suffice (normal patterns: Herz, IBM Journal of Research and Development 16, 1972),
// and those at which the trimmer can still hold a part.
//
// Where neither the width nor the height of a part is a sum of its items' sides, every line across it and every line down it crosses
// a rest, and one rest cannot do that: so there are two. That bound refutes most parts at a glance.

const (
	// exactItems is up to how many items a piece is searched until nothing better can be there.
	exactItems = 7
	// mostStates is how many part sets of a set are distinguished; what has more is only searched part by part.
	mostStates = 1 << 10
	// sliverPrice and hairPrice are how many cuts more a sliver, which is thinner than a trimmer takes off, and a hair count for.
	sliverPrice = 3
	hairPrice   = 1
	// impossible is more cuts than any piece takes.
	impossible = 1 << 14
	// mostRemembered ends what a leastCutter remembers.
	mostRemembered = 1 << 20
)

// cutKind is what items have in common that can change places on a piece. A leftover that is to stay is one, either way up.
type cutKind struct {
	size  measure.Size
	turn  bool
	clear [2]measure.Sides // how far from the piece's edges, as it stands and turned
	keep  bool
	gap   measure.Size // that goes with it, on the right and below
}

// side is how long the kind is in the direction in which cuts of an axis follow one another.
func (k *cutKind) side(turned bool, a Axis) measure.Length {
	w, h := k.size.W, k.size.H
	if turned {
		w, h = h, w
	}
	if a == Down {
		return w + k.gap.W
	}
	return h + k.gap.H
}

// area is the area of the kind with its gap, the smaller one if it can be turned.
func (k *cutKind) area() int64 {
	a := int64(k.side(false, Down)) * int64(k.side(false, Across))
	if k.turn {
		a = min(a, int64(k.side(true, Down))*int64(k.side(true, Across)))
	}
	return a
}

// leastCutter knows the least cuts of the parts that it was asked for; sets that differ by a few items share most of them.
type leastCutter struct {
	limits  Limits
	gap     measure.Size  // that items keep between them: those side by side its width, those one above the other its height
	edges   measure.Sides // the most that an item keeps clear of each edge
	kinds   []cutKind
	numbers map[cutKind]int // of the kinds
	keys    []uint64        // of the kinds; a set has their sum
	parts   map[partKey]*partCuts
	sums    map[uint64]*[2][]measure.Length
	lengths int // in all sums
	r       rng
	trials  int // that are left
}

// partKey says what of a part matters: its items, its size, and how near it is to edges of the piece that something keeps clear of.
type partKey struct {
	set  uint64
	w, h measure.Length
}

// partCuts is what is known of a part.
type partCuts struct {
	refuted int16 // there is no way with so many cuts or fewer
	cuts    int16 // the least; below nought as long as it is not known
	axis    Axis
	at      measure.Length // from the part's own edge
	near    uint64         // the set of the near part
}

func newLeastCutter(lim Limits) *leastCutter {
	return &leastCutter{limits: lim, numbers: map[cutKind]int{}, parts: map[partKey]*partCuts{}, sums: map[uint64]*[2][]measure.Length{}, r: 1}
}

// kindOf is the number of an item's kind on pieces with these margins.
func (c *leastCutter) kindOf(it Item, m measure.Sides) int {
	k := cutKind{size: it.Size, turn: it.Turn && it.Size.W != it.Size.H, gap: c.gap}
	k.clear = [2]measure.Sides{clearance(it, false, m), clearance(it, true, m)}
	return c.numbered(k)
}

// leftover is the number of the kind of a leftover that is to stay.
func (c *leastCutter) leftover(s measure.Size) int {
	return c.numbered(cutKind{size: s, turn: s.W != s.H, gap: c.gap, keep: true})
}

func (c *leastCutter) numbered(k cutKind) int {
	if at, ok := c.numbers[k]; ok {
		return at
	}
	c.numbers[k] = len(c.kinds)
	for _, s := range k.clear {
		e := &c.edges
		e.Left, e.Top, e.Right, e.Bottom = max(e.Left, s.Left), max(e.Top, s.Top), max(e.Right, s.Right), max(e.Bottom, s.Bottom)
	}
	c.kinds, c.keys = append(c.kinds, k), append(c.keys, c.r.next())
	return len(c.kinds) - 1
}

// cutSet is a set of items on a piece.
type cutSet struct {
	*leastCutter
	piece  measure.Size
	kinds  []int // numbers, each once
	counts []int // of each
	states []cutState
}

// cutState is a part of a set: so many of each kind.
type cutState struct {
	counts []int
	area   int64
	items  int
	key    uint64
	sides  measure.Size // the longest side of an item, and the longest shorter side
	sums   *[2][]measure.Length
}

// newSet is the set of the kinds with these numbers, or nil where it has too many parts.
func (c *leastCutter) newSet(piece measure.Size, numbers []int) *cutSet {
	s := &cutSet{leastCutter: c, piece: piece}
	sorted := slices.Sorted(slices.Values(numbers))
	for i, k := range sorted {
		if i == 0 || k != sorted[i-1] {
			s.kinds, s.counts = append(s.kinds, k), append(s.counts, 0)
		}
		s.counts[len(s.counts)-1]++
	}
	n := 1
	for _, m := range s.counts {
		if n *= m + 1; n > mostStates {
			return nil
		}
	}
	s.states = make([]cutState, n)
	all := make([]int, n*len(s.kinds))
	for i := range s.states {
		t := &s.states[i]
		t.counts = all[i*len(s.kinds) : (i+1)*len(s.kinds)]
		rest := i
		for k, m := range s.counts {
			t.counts[k] = rest % (m + 1)
			rest /= m + 1
			if of := t.counts[k]; of > 0 {
				kind := &c.kinds[s.kinds[k]]
				z := kind.size
				t.items += of
				t.area += int64(of) * kind.area()
				t.key += uint64(of) * c.keys[s.kinds[k]]
				t.sides.W = max(t.sides.W, z.W, z.H)
				t.sides.H = max(t.sides.H, min(z.W, z.H))
			}
		}
	}
	return s
}

// all is the state of the whole set.
func (s *cutSet) all() int { return len(s.states) - 1 }

// sumsOf are the lengths below the largest piece that sides of the state's items add up to, ascending, by axis.
func (s *cutSet) sumsOf(state int) *[2][]measure.Length {
	t := &s.states[state]
	if t.sums != nil {
		return t.sums
	}
	if t.sums = s.sums[t.key]; t.sums != nil {
		return t.sums
	}
	out := &[2][]measure.Length{}
	if state > 0 { // the sums with one item fewer are each continued by the item, either way up
		k := slices.IndexFunc(t.counts, func(n int) bool { return n > 0 })
		step := 1
		for i := range k {
			step *= s.counts[i] + 1
		}
		less := s.sumsOf(state - step)
		for _, a := range [2]Axis{Down, Across} {
			most := max(s.piece.W, s.piece.H)
			sums := slices.Clone(less[a])
			for _, turned := range [2]bool{false, true} {
				of := &s.leastCutter.kinds[s.kinds[k]]
				if turned && !of.turn {
					continue
				}
				l := of.side(turned, a)
				if l <= most {
					sums = append(sums, l)
				}
				for _, x := range less[a] {
					if x+l <= most {
						sums = append(sums, x+l)
					}
				}
			}
			slices.Sort(sums)
			out[a] = slices.Compact(sums)
		}
	}
	if s.lengths += len(out[Down]) + len(out[Across]); s.lengths > mostRemembered {
		clear(s.sums)
		s.lengths = len(out[Down]) + len(out[Across])
	}
	s.sums[t.key], t.sums = out, out
	return out
}

// floor is a number of cuts that the part takes at least.
func (s *cutSet) floor(state int, r measure.Rect) int {
	t := &s.states[state]
	if state == 0 {
		return thinness(min(r.W, r.H))
	}
	room := r.Size()
	spare := room.Area() - t.area
	if spare < 0 || t.sides.W > max(r.W, r.H) || t.sides.H > min(r.W, r.H) {
		return impossible
	}
	if t.items == 1 {
		return s.floorOfOne(t, r)
	}
	sums := s.sumsOf(state)
	_, w := slices.BinarySearch(sums[Down], r.W)
	_, h := slices.BinarySearch(sums[Across], r.H)
	switch {
	case spare == 0 && !(w && h):
		return impossible
	case spare == 0:
		return t.items - 1
	case !w && !h:
		return t.items + 1
	}
	return t.items
}

// thinness is how many cuts more a rest counts for that is so thin.
func thinness(l measure.Length) int {
	switch {
	case l >= measure.ThinnestStrip:
		return 0
	case l >= measure.Hair:
		return sliverPrice
	}
	return hairPrice
}

// floorOfOne is the floor of a part with one item.
func (s *cutSet) floorOfOne(t *cutState, r measure.Rect) int {
	k := &s.leastCutter.kinds[s.kinds[slices.Index(t.counts, 1)]]
	least := impossible
	for _, turned := range [2]bool{false, true} {
		w, h := k.side(turned, Down), k.side(turned, Across)
		if turned && !k.turn || w > r.W || h > r.H {
			continue
		}
		n := 0
		if w < r.W {
			n++
		}
		if h < r.H {
			n++
		}
		least = min(least, n)
	}
	return least
}

// leaf is the kind of the one item of the state, where the part is that exactly.
func (s *cutSet) leaf(state int, r measure.Rect) (number int, turned, ok bool) {
	t := &s.states[state]
	if t.items != 1 {
		return 0, false, false
	}
	number = s.kinds[slices.Index(t.counts, 1)]
	k := &s.leastCutter.kinds[number]
	for _, turned := range [2]bool{false, true} {
		if turned && !k.turn || r.W != k.side(turned, Down) || r.H != k.side(turned, Across) {
			continue
		}
		if s.piece.At(0, 0).Inset(k.clear[asIndex(turned)]).Contains(r) {
			return number, turned, true
		}
	}
	return 0, false, false
}

func asIndex(b bool) int {
	if b {
		return 1
	}
	return 0
}

// near is how near the part is to the piece's edges, each no farther than matters.
func (s *cutSet) near(r measure.Rect) measure.Sides {
	e := s.edges
	return measure.Sides{Left: min(r.X, e.Left), Top: min(r.Y, e.Top), Right: min(s.piece.W-r.Right(), e.Right), Bottom: min(s.piece.H-r.Bottom(), e.Bottom)}
}

func (s *cutSet) part(state int, r measure.Rect) *partCuts {
	n := s.near(r)
	key := partKey{s.states[state].key, r.W, r.H}
	for _, l := range [4]measure.Length{n.Left, n.Top, n.Right, n.Bottom} {
		key.set = key.set*0x9e3779b97f4a7c15 + uint64(l)
	}
	p := s.parts[key]
	if p == nil {
		if len(s.parts) >= mostRemembered {
			clear(s.parts)
		}
		p = &partCuts{refuted: -1, cuts: -1}
		s.parts[key] = p
	}
	return p
}

// least is the least number of cuts of the part. It reports false where that is more than most, or where the trials ran out.
func (s *cutSet) least(state int, r measure.Rect, most int) (int, bool) {
	floor := s.floor(state, r)
	if floor > most {
		return 0, false
	}
	if state == 0 {
		return floor, true
	}
	if _, _, ok := s.leaf(state, r); ok {
		return 0, true
	}
	p := s.part(state, r)
	if p.cuts >= 0 {
		return int(p.cuts), int(p.cuts) <= most
	}
	if h := s.limits.Hold; h > 0 && (r.W-s.gap.W < h || r.H-s.gap.H < h) {
		return 0, false
	}
	for m := max(floor, 1, int(p.refuted)+1); m <= most; m++ {
		found := s.cutIn(Down, state, r, m, p) || s.cutIn(Across, state, r, m, p)
		switch {
		case found:
			p.cuts = int16(m)
			return m, true
		case s.trials <= 0:
			return 0, false
		}
		p.refuted = int16(m)
	}
	return 0, false
}

// cutIn looks for a first cut of an axis after which m cuts in all free the items.
func (s *cutSet) cutIn(a Axis, state int, r measure.Rect, m int, p *partCuts) bool {
	long, wide := lengthAlong(r, a), lengthAlong(r, 1-a)
	if s.limits.Longest > 0 && wide-lengthAlong(s.gap.At(0, 0), 1-a) > s.limits.Longest {
		return false
	}
	begin, end := r.X, s.piece.W-r.Right()
	if a == Across {
		begin, end = r.Y, s.piece.H-r.Bottom()
	}
	keep := ends(s.edges, a)
	mirrored := begin >= keep[0] && end >= keep[1] // what lies near may lie far as well
	at := func(near, far int, at measure.Length) bool {
		if s.trials--; s.trials <= 0 {
			return false
		}
		n, f := parted(r, a, at)
		floor := s.floor(far, f)
		x, ok := s.least(near, n, m-1-floor)
		if !ok {
			return false
		}
		if _, ok = s.least(far, f, m-1-x); ok {
			p.axis, p.at, p.near = a, at, s.states[near].key
		}
		return ok
	}
	return s.split(state, func(near int) bool {
		far := state - near
		if mirrored && near < far {
			return false
		}
		// Neither part may be smaller than its items.
		low := (s.states[near].area + int64(wide) - 1) / int64(wide)
		high := int64(long) - (s.states[far].area+int64(wide)-1)/int64(wide)
		from, to := max(measure.Length(low), 1), min(measure.Length(high), long-1)
		if from > to {
			return false
		}
		try := func(l measure.Length) bool { return l >= from && l <= to && at(near, far, l) }
		for _, lead := range s.leads(near, a, begin, false) {
			sums := s.sumsOf(near)[a]
			for i, _ := slices.BinarySearch(sums, from-lead); i < len(sums) && lead+sums[i] <= to; i++ {
				if at(near, far, lead+sums[i]) {
					return true
				}
			}
		}
		for _, lead := range s.leads(far, a, end, true) {
			sums := s.sumsOf(far)[a]
			for i, _ := slices.BinarySearch(sums, long-lead-to); i < len(sums) && long-lead-sums[i] >= from; i++ {
				if at(near, far, long-lead-sums[i]) {
					return true
				}
			}
		}
		if near == 0 { // as much comes off as an item has to stay clear of the edge
			for _, lead := range s.leads(far, a, begin, false) {
				if try(lead) {
					return true
				}
			}
		}
		if far == 0 {
			for _, lead := range s.leads(near, a, end, true) {
				if try(long - lead) {
					return true
				}
			}
		}
		h := s.limits.Hold + lengthAlong(s.gap.At(0, 0), a)
		return s.limits.Hold > 0 && (try(h) || try(long-h)) // a part that is cut again is as wide as the trimmer holds
	})
}

// split calls f for each part of a state, none and all of it among them, until it says true.
func (s *cutSet) split(state int, f func(near int) bool) bool {
	counts := s.states[state].counts
	var walk func(k, step, near int) bool
	walk = func(k, step, near int) bool {
		if k == len(counts) {
			return f(near)
		}
		for n := range counts[k] + 1 {
			if walk(k+1, step*(s.counts[k]+1), near+n*step) {
				return true
			}
		}
		return false
	}
	return walk(0, 1, 0)
}

// leads are how far the items of a state may have to stay from the edge of a part that is so far from the piece's: nought first.
func (s *cutSet) leads(state int, a Axis, edge measure.Length, far bool) []measure.Length {
	if state == 0 {
		return nil
	}
	if edge >= ends(s.edges, a)[asIndex(far)] {
		return noLead[:]
	}
	out := []measure.Length{0}
	for k, n := range s.states[state].counts {
		if n == 0 {
			continue
		}
		of := &s.leastCutter.kinds[s.kinds[k]]
		for _, turned := range [2]bool{false, true} {
			if turned && !of.turn {
				continue
			}
			lead := ends(of.clear[asIndex(turned)], a)[asIndex(far)] - edge
			for _, l := range [2]measure.Length{lead, max(lead, measure.ThinnestStrip)} { // rather than a sliver, what a trimmer takes off
				if lead > 0 && !slices.Contains(out, l) {
					out = append(out, l)
				}
			}
		}
	}
	return out
}

var noLead = [1]measure.Length{0}

// parted is a rectangle in its two parts.
func parted(r measure.Rect, a Axis, at measure.Length) (near, far measure.Rect) {
	near, far = r, r
	if a == Down {
		near.W, far.X, far.W = at, r.X+at, r.W-at
	} else {
		near.H, far.Y, far.H = at, r.Y+at, r.H-at
	}
	return near, far
}

// tree is the cuts of a part for which the least number was found. Item gives out an item of a kind, by its number. It is nil where what
// is remembered does not fit together.
func (s *cutSet) tree(state int, r measure.Rect, item func(number int) int) *Node {
	rest := func(r measure.Rect) *Node {
		return &Node{Rect: r, Item: -1, Keep: s.limits.Keep != nil && s.limits.Keep(r.Size())}
	}
	real := r // without the gap on the right and below
	real.W, real.H = real.W-s.gap.W, real.H-s.gap.H
	if state == 0 {
		return rest(real)
	}
	if number, turned, ok := s.leaf(state, r); ok {
		if s.leastCutter.kinds[number].keep {
			return rest(real)
		}
		return &Node{Rect: real, Item: item(number), Turned: turned}
	}
	p := *s.part(state, r)
	near := -1
	s.split(state, func(n int) bool {
		if s.states[n].key == p.near {
			near = n
		}
		return near >= 0
	})
	if p.cuts < 0 || near < 0 {
		return nil
	}
	n, f := parted(r, p.axis, p.at)
	gap := lengthAlong(s.gap.At(0, 0), p.axis)
	at := p.at - gap // the end of the near part
	if near == 0 {
		at = p.at // the gap is part of the waste
	}
	cut := func(of measure.Rect, at measure.Length) (*Node, measure.Rect, measure.Rect) {
		near, far := parted(of, p.axis, at)
		out := &Node{Rect: of, Axis: p.axis, At: of.X + at, Item: -1}
		if p.axis == Across {
			out.At = of.Y + at
		}
		return out, near, far
	}
	out, first, second := cut(real, at)
	inner := out
	switch near {
	case 0:
		out.Near = rest(first)
	default:
		out.Near = s.tree(near, n, item)
	}
	if far := state - near; far == 0 {
		out.Far = rest(second)
	} else {
		if near > 0 && gap > 0 {
			inner, first, _ = cut(second, gap)
			inner.Near, out.Far = rest(first), inner
		}
		inner.Far = s.tree(far, f, item)
	}
	if out.Near == nil || out.Far == nil || inner.Far == nil {
		return nil
	}
	return out
}
