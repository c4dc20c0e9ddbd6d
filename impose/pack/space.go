package pack

import "tuckmark/config/measure"

// The search works on whole numbers as small as the lengths allow: all lengths are divided by their greatest common
// divisor, and with a gap every item and every region is larger by it to the right and below, so that items may touch.

// box is an item during the search.
type box struct {
	w, h int32
	turn bool // may be turned, and differs when it is
}

// region is what of a piece may hold items: the piece less what no item may reach into. What is left off on the
// left and top has to be trimmed off; what is left off on the right and at the bottom joins the waste there.
type region struct {
	w, h       int32
	piece      int
	lead, tail measure.Size
	only       uint8 // the one direction in which the piece may be lined up, for a trimmer's longest cut; or both
}

const both = 2

// layout is one kind of sheet in one of its divisions.
type layout struct {
	sheet, division int
	roots           []region
	cost            int64
	area            int64 // of the roots
}

// space is a job made ready for the search: some of its items, and the sheets it may use for them.
type space struct {
	job            *Job
	ids            []int // index in job.Items of each box
	boxes          []box
	areas          []int64
	layouts        []layout
	counts         []int // of each kind of sheet still at hand
	unit           measure.Length
	gap            int32
	shift          uint     // areas are shifted right by it before they are squared
	hold           int32    // with the gap
	longest        [2]int32 // longest cut down, and across, with the gap; 0: none
	alwaysCuttable bool     // whatever lies where, margins and trimmer allow it

	looks, mostLooks int64 // how often a rest or an item that waits was looked at, or what took as long, and how often that may be; 0: there is no limit
}

// tired reports a search that has looked for as long as it may.
func (s *space) tired() bool { return s.mostLooks > 0 && s.looks > s.mostLooks }

// What takes as long as so many looks.
const (
	looksToAllow = 5       // a place, as far as margins and trimmer go
	looksToOpen  = 30      // a sheet
	looksToCut   = 300     // a part of a tree
	looksToShape = 1500    // a set of items that is asked for whether it can be cut out of a rectangle
	looksToWeigh = 1 << 19 // all items, for exchanges
	workOfLook   = 4       // of a lower bound
)

const (
	unlimited  = 1 << 30
	largestDim = 1 << 30
)

// clearance is how far the item has to stay from each edge of a piece with these margins.
func clearance(it Item, turned bool, m measure.Sides) measure.Sides {
	b := it.Blank
	if turned {
		b = b.Turn()
	}
	return measure.Sides{Left: max(0, m.Left-b.Left), Top: max(0, m.Top-b.Top), Right: max(0, m.Right-b.Right), Bottom: max(0, m.Bottom-b.Bottom)}
}

// clearances is the least (or with safe the most) that the items have to stay away from the edges of a piece.
func clearances(j *Job, ids []int, m measure.Sides, safe bool) measure.Sides {
	var all measure.Sides
	first := true
	pick := func(a *measure.Length, b measure.Length) {
		if first || b < *a != safe {
			*a = b
		}
	}
	for _, i := range ids {
		for _, turned := range [2]bool{false, true} {
			if turned && !j.Items[i].Turn {
				continue
			}
			n := clearance(j.Items[i], turned, m)
			pick(&all.Left, n.Left)
			pick(&all.Top, n.Top)
			pick(&all.Right, n.Right)
			pick(&all.Bottom, n.Bottom)
			first = false
		}
	}
	return all
}

func gcd(a, b measure.Length) measure.Length {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// newSpace prepares the items ids for the sheets at hand. With safe, every region keeps to the margins whatever lies
// where; else only as far as every item has to, and the cutter sees whether it comes out right.
func newSpace(j *Job, ids []int, counts []int, gap measure.Length, safe bool) *space {
	s := &space{job: j, ids: ids, counts: counts, alwaysCuttable: safe && j.Limits.Hold == 0 && j.Limits.Longest == 0}
	u := gap
	for _, i := range ids {
		u = gcd(gcd(u, j.Items[i].Size.W), j.Items[i].Size.H)
	}
	type usable struct {
		w, h       measure.Length
		lead, tail measure.Size
	}
	use := func(p Piece) (usable, bool) {
		n := clearances(j, ids, p.Margins, safe)
		for _, l := range [4]*measure.Length{&n.Left, &n.Top, &n.Right, &n.Bottom} {
			if *l > 0 { // what comes off there is no sliver
				*l = max(*l, measure.ThinnestStrip)
			}
		}
		r := usable{p.Rect.W - n.Left - n.Right, p.Rect.H - n.Top - n.Bottom, measure.Size{W: n.Left, H: n.Top}, measure.Size{W: n.Right, H: n.Bottom}}
		return r, p.Printer >= 0 && r.w > 0 && r.h > 0
	}
	for k, sh := range j.Sheets {
		if counts[k] == 0 {
			continue
		}
		for _, w := range sh.Divisions {
			for _, p := range w.Pieces {
				if r, ok := use(p); ok {
					u = gcd(gcd(u, r.w), r.h)
				}
			}
		}
	}
	s.unit = max(u, 1)
	s.gap = int32(gap / s.unit)
	lim := j.Limits
	if lim.Hold > 0 {
		s.hold = int32(min((lim.Hold+s.unit-1)/s.unit, largestDim)) + s.gap
	}
	var pad measure.Size
	var most int64
	for k, sh := range j.Sheets {
		if counts[k] == 0 {
			continue
		}
		for c, division := range sh.Divisions {
			l := layout{sheet: k, division: c, cost: sh.Cost}
			if l.cost == 0 && counts[k] < 0 {
				l.cost = 1 // free and endless: still no more than needed
			}
			for p, piece := range division.Pieces {
				r, ok := use(piece)
				if !ok {
					continue
				}
				most := largestDim * s.unit
				if over := r.w + gap - most; over > 0 {
					r.w, r.tail.W = r.w-over, r.tail.W+over
				}
				if over := r.h + gap - most; over > 0 {
					r.h, r.tail.H = r.h-over, r.tail.H+over
				}
				g := region{w: int32((r.w + gap) / s.unit), h: int32((r.h + gap) / s.unit), piece: p, lead: r.lead, tail: r.tail, only: both}
				if lim.Longest > 0 {
					if piece.Rect.H > lim.Longest {
						g.only = 1
					} else if piece.Rect.W > lim.Longest {
						g.only = 0
					}
				}
				pad.W, pad.H = max(pad.W, r.tail.W), max(pad.H, r.tail.H)
				l.roots = append(l.roots, g)
				l.area += int64(g.w) * int64(g.h)
			}
			if len(l.roots) > 0 {
				s.layouts = append(s.layouts, l)
				for _, g := range l.roots {
					most = max(most, int64(g.w)*int64(g.h))
				}
			}
		}
	}
	if lim.Longest > 0 {
		longest := int32(min(lim.Longest/s.unit, largestDim)) + s.gap
		for along, pad := range [2]measure.Length{pad.H, pad.W} {
			s.longest[along] = max(1, longest-int32((pad+s.unit-1)/s.unit))
		}
	}
	for most>>s.shift >= 1<<24 {
		s.shift++
	}
	for _, i := range ids {
		it := j.Items[i]
		b := box{w: inUnits(it.Size.W+gap, s.unit), h: inUnits(it.Size.H+gap, s.unit)}
		b.turn = it.Turn && b.w != b.h
		s.boxes = append(s.boxes, b)
		s.areas = append(s.areas, int64(b.w)*int64(b.h))
	}
	return s
}

// inUnits is a length in units; what is too large for any region is only kept too large.
func inUnits(l, unit measure.Length) int32 {
	if l > largestDim*unit {
		return largestDim + 1
	}
	return int32(l / unit)
}

// cuttable reports whether a trimmer can cut a rectangle of w x h (with the gap) in direction along: 0 cuts it down.
func (s *space) cuttable(w, h int32, along uint8) bool {
	if w < s.hold || h < s.hold {
		return false
	}
	l := h
	if along == 1 {
		l = w
	}
	return s.longest[along] == 0 || l <= s.longest[along]
}

// allows reports whether the trimmer's limits let an item of a x c be put into the rest x of t.
func (s *space) allows(t *tree, x int16, a, c int32, deeper bool) bool {
	n := &t.cells[x]
	if a == n.w && c == n.h {
		return true
	}
	along := n.along
	if deeper {
		// x becomes a row: [slice, rest], the slice perhaps a row again.
		if !s.cuttable(n.w, n.h, 1-along) {
			return false
		}
		if along == 0 {
			return a == n.w || s.cuttable(n.w, c, 0)
		}
		return c == n.h || s.cuttable(a, n.h, 1)
	}
	slice, across, size, room := a, c, n.h, n.w
	if along == 1 {
		slice, across, size, room = c, a, n.w, n.h
	}
	if slice < room || n.prev >= 0 || n.next >= 0 { // the row that x stands in is cut once more
		p := &t.cells[n.up]
		if !s.cuttable(p.w, p.h, along) || !s.separable(t, x, slice, room-slice) {
			return false
		}
	}
	if across == size {
		return true
	}
	if along == 0 {
		return s.cuttable(a, n.h, 1)
	}
	return s.cuttable(n.w, c, 0)
}

// separable reports whether the row of x can be cut apart when x becomes a slice and a rest. The part that is left over
// longest is the row's largest, with the next largest or the rest behind it; a gap has to come off it alone.
func (s *space) separable(t *tree, x int16, slice, left int32) bool {
	if s.hold == 0 {
		return true
	}
	first, second := slice, int32(0)
	parts := 1
	for c := t.cells[t.cells[x].up].first; c >= 0; c = t.cells[c].next {
		if c == x {
			continue
		}
		parts++
		l := t.cells[c].w
		if t.cells[c].along == 1 {
			l = t.cells[c].h
		}
		if l > first {
			first, second = l, first
		} else if l > second {
			second = l
		}
	}
	switch {
	case parts == 1, left > 0 && first+left >= s.hold:
		return true
	case s.gap > 0:
		return first >= s.hold-s.gap
	default:
		return first+second >= s.hold
	}
}
