package pack

import "math/bits"

// A load is what sixteen dual feasible functions (see Bound) say of an item, of the items of a set together, or of a room, in
// lanes of 16 bits, whole rooms being full. A room holds no set that is above it in one lane, which is soon seen; the first
// lane is the area.
type load [4]uint64

const (
	roomful = 1 << 13
	tops    = 0x8000_8000_8000_8000 // of the lanes
)

func (l *load) add(o *load) {
	for k := range l {
		l[k] += o[k]
	}
}

func (l *load) less(o *load) {
	for k := range l {
		l[k] -= o[k]
	}
}

// within reports whether l is above room in no lane: the top bits survive where no borrow takes them.
func (l *load) within(room *load) bool {
	left := uint64(tops)
	for k := range l {
		left &= (room[k] | tops) - l[k]
	}
	return left&tops == tops
}

func (l *load) area() int { return int(l[0] & 0xffff) }

func (l *load) set(lane int, v int64) { l[lane/4] |= uint64(v) << (lane % 4 * 16) }

// scales weigh items and rooms. They begin with the area alone and learn which functions tell most in the job at hand.
type scales struct {
	boxes []box
	w, h  int64 // of the largest room
	// Widths and heights are shifted right by these; rounding down is itself superadditive.
	lessW, lessH uint
	by           []measures
	items        []load
}

// measures are the functions for width and height.
type measures struct{ wide, high dual }

// refused is a set that a room turned out not to hold.
type refused struct {
	set  []int32
	w, h int32
}

// lessons is how many refusals scales learn from.
const lessons = 200

func newScales(boxes []box, w, h int32) *scales {
	s := &scales{boxes: boxes}
	for ; w>>s.lessW >= 1<<19; s.lessW++ {
	}
	for ; h>>s.lessH >= 1<<19; s.lessH++ {
	}
	s.w, s.h = s.sides(w, h)
	s.use([]measures{{}})
	return s
}

// sides are w and h as the functions take them: even, so that half of a room's is a whole number too.
func (s *scales) sides(w, h int32) (int64, int64) {
	return 2 * int64(w>>s.lessW), 2 * int64(h>>s.lessH)
}

func (s *scales) use(by []measures) {
	s.by = by
	s.items = make([]load, len(s.boxes))
	for i, b := range s.boxes {
		for lane, m := range by {
			s.items[i].set(lane, s.box(m, b))
		}
	}
}

// room is the load that a room of w x h holds.
func (s *scales) room(w, h int32) load {
	var l load
	wide, high := s.sides(w, h)
	for lane, m := range s.by {
		l.set(lane, s.weigh(m, wide, high))
	}
	return l
}

// weigh is what m says of w x h, which is no larger than the largest room.
func (s *scales) weigh(m measures, w, h int64) int64 {
	most := m.wide.at(s.w, s.w) * m.high.at(s.h, s.h)
	high, low := bits.Mul64(uint64(m.wide.at(w, s.w)*m.high.at(h, s.h)), roomful)
	v, _ := bits.Div64(high, low, uint64(most))
	return int64(v)
}

// box is what m says of an item: the less of both ways that it may lie.
func (s *scales) box(m measures, b box) int64 {
	v := int64(roomful)
	if w, h := s.sides(b.w, b.h); w <= s.w && h <= s.h {
		v = s.weigh(m, w, h)
	}
	if w, h := s.sides(b.h, b.w); b.turn && w <= s.w && h <= s.h {
		v = min(v, s.weigh(m, w, h))
	}
	return v
}

// learn chooses the measures that would have refused most of these, each those that the ones before it let pass.
func (s *scales) learn(lesson []refused) {
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
		measures
		refuses [lessons]bool
	}
	var all []candidate
	values := make([]int64, len(s.boxes))
	for _, f := range duals(xs, s.w, 24) {
		for _, g := range duals(ys, s.h, 24) {
			c := candidate{measures: measures{f, g}}
			for i, b := range s.boxes {
				values[i] = s.box(c.measures, b)
			}
			any := false
			for n, r := range lesson {
				v := int64(0)
				for _, i := range r.set {
					v += values[i]
				}
				w, h := s.sides(r.w, r.h)
				c.refuses[n] = v > s.weigh(c.measures, w, h)
				any = any || c.refuses[n]
			}
			if any {
				all = append(all, c)
			}
		}
	}
	by := []measures{{}}
	var told [lessons]bool
	for len(by) < 4*len(load{}) {
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
		by = append(by, all[best].measures)
	}
	s.use(by)
}
