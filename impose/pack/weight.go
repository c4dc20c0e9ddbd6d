package pack

import "math/bits"

// A weight is what sixteen dual feasible functions (see Bound) say of an item, of the items of a set together, or of a room, in
// lanes of 16 bits, whole rooms being full. A room holds no set that is above it in one lane, which is soon seen; the first
// lane is the area.
type weight [4]uint64

const (
	fullWeight = 1 << 13
	topBits    = 0x8000_8000_8000_8000 // of the lanes
)

func (l *weight) add(o *weight) {
	for k := range l {
		l[k] += o[k]
	}
}

func (l *weight) subtract(o *weight) {
	for k := range l {
		l[k] -= o[k]
	}
}

// fitsIn reports whether l is above room in no lane: the top bits survive where no borrow takes them.
func (l *weight) fitsIn(room *weight) bool {
	left := uint64(topBits)
	for k := range l {
		left &= (room[k] | topBits) - l[k]
	}
	return left&topBits == topBits
}

func (l *weight) area() int { return int(l[0] & 0xffff) }

func (l *weight) set(lane int, v int64) { l[lane/4] |= uint64(v) << (lane % 4 * 16) }

// A weigher tells the weight of items and rooms. It begins with the area alone and then takes the functions that tell most in the
// job at hand.
type weigher struct {
	boxes []box
	w, h  int64 // of the largest room
	// Widths and heights are shifted right by these; rounding down is itself superadditive.
	shiftW, shiftH uint
	pairs          []dualPair
	items          []weight
}

// dualPair is the functions for width and height.
type dualPair struct{ wide, high dual }

// refusal is a set that a room turned out not to hold.
type refusal struct {
	set  []int32
	w, h int32
}

// sampleSize is how many refusals the functions are chosen by.
const sampleSize = 200

func newWeigher(boxes []box, w, h int32) *weigher {
	s := &weigher{boxes: boxes}
	for ; w>>s.shiftW >= 1<<19; s.shiftW++ {
	}
	for ; h>>s.shiftH >= 1<<19; s.shiftH++ {
	}
	s.w, s.h = s.sides(w, h)
	s.weighBy([]dualPair{{}})
	return s
}

// sides are w and h as the functions take them: even, so that half of a room's is a whole number too.
func (s *weigher) sides(w, h int32) (int64, int64) {
	return 2 * int64(w>>s.shiftW), 2 * int64(h>>s.shiftH)
}

func (s *weigher) weighBy(by []dualPair) {
	s.pairs = by
	s.items = make([]weight, len(s.boxes))
	for i, b := range s.boxes {
		for lane, m := range by {
			s.items[i].set(lane, s.box(m, b))
		}
	}
}

// weightOfRoom is the weight that a room of w x h holds.
func (s *weigher) weightOfRoom(w, h int32) weight {
	var l weight
	wide, high := s.sides(w, h)
	for lane, m := range s.pairs {
		l.set(lane, s.weigh(m, wide, high))
	}
	return l
}

// weigh is what m says of w x h, which is no larger than the largest room.
func (s *weigher) weigh(m dualPair, w, h int64) int64 {
	most := m.wide.at(s.w, s.w) * m.high.at(s.h, s.h)
	high, low := bits.Mul64(uint64(m.wide.at(w, s.w)*m.high.at(h, s.h)), fullWeight)
	v, _ := bits.Div64(high, low, uint64(most))
	return int64(v)
}

// box is what m says of an item: the less of both ways that it may lie.
func (s *weigher) box(m dualPair, b box) int64 {
	v := int64(fullWeight)
	if w, h := s.sides(b.w, b.h); w <= s.w && h <= s.h {
		v = s.weigh(m, w, h)
	}
	if w, h := s.sides(b.h, b.w); b.turn && w <= s.w && h <= s.h {
		v = min(v, s.weigh(m, w, h))
	}
	return v
}

// choosePairs chooses the functions that would have refused most of these, each those that the ones before it let pass.
func (s *weigher) choosePairs(refusals []refusal) {
	var xs, ys []int64
	for _, b := range s.boxes {
		w, h := s.sides(b.w, b.h)
		xs, ys = append(xs, w), append(ys, h)
		if b.turn {
			w, h = s.sides(b.h, b.w)
			xs, ys = append(xs, w), append(ys, h)
		}
	}
	type candidate struct {
		dualPair
		refuses [sampleSize]bool
	}
	var all []candidate
	values := make([]int64, len(s.boxes))
	for _, f := range duals(xs, s.w, 24) {
		for _, g := range duals(ys, s.h, 24) {
			c := candidate{dualPair: dualPair{f, g}}
			for i, b := range s.boxes {
				values[i] = s.box(c.dualPair, b)
			}
			any := false
			for n, r := range refusals {
				v := int64(0)
				for _, i := range r.set {
					v += values[i]
				}
				w, h := s.sides(r.w, r.h)
				c.refuses[n] = v > s.weigh(c.dualPair, w, h)
				any = any || c.refuses[n]
			}
			if any {
				all = append(all, c)
			}
		}
	}
	by := []dualPair{{}}
	var told [sampleSize]bool
	for len(by) < 4*len(weight{}) {
		best, most := -1, 0
		for k := range all {
			n := 0
			for r, yes := range all[k].refuses {
				if yes && !told[r] {
					n++
				}
			}
			if n > most {
				best, most = k, n
			}
		}
		if best < 0 {
			break
		}
		for r, yes := range all[best].refuses {
			told[r] = told[r] || yes
		}
		by = append(by, all[best].dualPair)
	}
	s.weighBy(by)
}
