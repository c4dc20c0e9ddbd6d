package pack

import (
	"math/rand"
	"slices"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
)

// shapedJob is a few items and one kind of sheet, of one piece or two.
func shapedJob(r *rand.Rand, items int) Job {
	var j Job
	for range items {
		j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(1 + r.Intn(9)), H: measure.Length(1 + r.Intn(9))}, Turn: r.Intn(2) == 0})
	}
	w, h := measure.Length(8+r.Intn(8)), measure.Length(8+r.Intn(8))
	pieces := []Piece{{Rect: measure.Rect{W: w, H: h}}}
	if r.Intn(2) == 0 {
		small := measure.Length(1 + r.Intn(int(w)))
		pieces = append(pieces, Piece{Rect: measure.Rect{X: w, W: small, H: h}})
		w += small
	}
	j.Sheets = []Sheet{{Size: measure.Size{W: w, H: h}, Cost: 1, Count: -1, Divisions: []Division{{Pieces: pieces}}}}
	return j
}

func allOf(n int) []int {
	ids := make([]int, n)
	for i := range ids {
		ids[i] = i
	}
	return ids
}

// filled checks that the rows of t fill it, that items have their sizes, and returns how often each is there.
func filled(t *testing.T, s *space, q *tree, count map[int32]int) {
	t.Helper()
	var look func(x int16)
	look = func(x int16) {
		c := q.cells[x]
		switch c.kind {
		case placed:
			b := s.boxes[c.item]
			if (c.w != b.w || c.h != b.h) && (!b.turn || c.w != b.h || c.h != b.w) {
				t.Errorf("item of %d x %d in a cell of %d x %d", b.w, b.h, c.w, c.h)
			}
			count[c.item]++
		case split:
			var length int32
			for y := c.first; y >= 0; y = q.cells[y].next {
				d := q.cells[y]
				along, across := d.w, d.h == c.h
				if d.along == 1 {
					along, across = d.h, d.w == c.w
				}
				if length += along; !across || along <= 0 || d.up != x {
					t.Errorf("part of %d x %d in a cell of %d x %d", d.w, d.h, c.w, c.h)
				}
				look(y)
			}
			if full := c.w; q.cells[c.first].along == 0 && length != full {
				t.Errorf("parts are %d wide in all, the cell %d", length, full)
			}
			if full := c.h; q.cells[c.first].along == 1 && length != full {
				t.Errorf("parts are %d high in all, the cell %d", length, full)
			}
		}
	}
	for p := range s.layouts[q.layout].roots {
		look(int16(p))
	}
}

// A room holds a set where the exact search of the tests, which tries every pair of halves, finds a shape that goes into it;
// and what has a shape that goes on a piece can be laid there.
func TestShapes(t *testing.T) {
	longtests.Only(t)
	asked, large := map[bool]int{}, map[bool]int{}
	for seed := range int64(300) {
		r := rand.New(rand.NewSource(seed))
		j := shapedJob(r, 1+r.Intn(6))
		if seed%8 == 0 { // sets that have parts of four items
			j = shapedJob(r, maxSet)
			for i := range j.Items {
				z := &j.Items[i].Size
				z.W, z.H = (z.W+1)/2, (z.H+1)/2
			}
		}
		j.Sheets[0].Size = j.Sheets[0].Divisions[0].Pieces[0].Rect.Size() // the exact search knows no pieces
		o := newOracle(j)
		s := newSpace(&j, allOf(len(j.Items)), []int{unlimited}, 0, false)
		f := newShaper(s, 0)
		for set := range o.least {
			var items []int32
			var sum uint64
			for i := range j.Items {
				if set>>i&1 == 1 {
					items = append(items, int32(i))
					sum += f.keys[i]
				}
			}
			ask := func(w, h int32) {
				if w < 1 || h < 1 || w > f.w || h > f.h {
					return
				}
				room := measure.Size{W: measure.Length(w) * s.unit, H: measure.Length(h) * s.unit}
				want := slices.ContainsFunc(o.least[set], func(z measure.Size) bool { return z.Within(room) })
				if got := f.holds(items, sum, w, h); got != want {
					t.Fatalf("seed %d, set %b, room %v: %v, want %v", seed, set, room, got, want)
				}
				asked[want]++
				if len(items) >= 8 {
					large[want]++
				}
			}
			fits := len(items) == 0
			if !fits {
				for _, z := range o.least[set] {
					w, h := int32(z.W/s.unit), int32(z.H/s.unit)
					ask(w, h)
					ask(w-1, h)
					ask(w, h-1)
				}
				for range 8 {
					ask(1+r.Int31n(f.w), 1+r.Int31n(f.h))
				}
				fits = len(o.least[set]) > 0
			}
			var q tree
			q.reset(&s.layouts[0], 0, r.Uint64())
			if f.lay(&q, q.cells[0].first, items) != fits {
				t.Fatalf("seed %d, set %b: laid, or not, against what its shapes say", seed, set)
			}
			if count := map[int32]int{}; fits {
				if filled(t, s, &q, count); len(count) != len(items) || q.count != len(items) {
					t.Errorf("seed %d, set %b: %d of %d items are there", seed, set, len(count), len(items))
				}
			}
		}
	}
	if asked[true] < 5000 || asked[false] < 5000 || large[true] < 500 || large[false] < 500 {
		t.Errorf("asked %v times, %v of large sets: the test does not test much", asked, large)
	}
}

// Five items in a column beside two columns of two, and no cut across goes through two of them: where the first item is in the
// column of five, the four others are one part, side by side.
func TestFourBesideFive(t *testing.T) {
	sizes := []measure.Size{{W: 7, H: 3}, {W: 7, H: 3}, {W: 7, H: 3}, {W: 7, H: 5}, {W: 7, H: 5}, {W: 5, H: 7}, {W: 5, H: 12}, {W: 4, H: 4}, {W: 4, H: 15}}
	room := measure.Size{W: 16, H: 19}
	for first := range sizes {
		for _, turned := range [2]bool{false, true} {
			turn := func(z measure.Size) measure.Size {
				if turned {
					return z.Turn()
				}
				return z
			}
			var j Job
			for i := range sizes {
				j.Items = append(j.Items, Item{Size: turn(sizes[(first+i)%len(sizes)])})
			}
			sheet := turn(room)
			j.Sheets = []Sheet{{Size: sheet, Cost: 1, Count: 1, Divisions: []Division{{Pieces: []Piece{{Rect: sheet.At(0, 0)}}}}}}
			f := newShaper(newSpace(&j, allOf(len(j.Items)), []int{1}, 0, false), 0)
			var set []int32
			var sum uint64
			for i := range j.Items {
				set = append(set, int32(i))
				sum += f.keys[i]
			}
			if !f.holds(set, sum, f.w, f.h) {
				t.Errorf("from item %d on, turned %v: not found", first, turned)
			}
			if f.holds(set, sum, f.w-1, f.h) || f.holds(set, sum, f.w, f.h-1) {
				t.Errorf("from item %d on, turned %v: in less room than there is area", first, turned)
			}
		}
	}
}

// An exchange keeps each item once, on a sheet that can hold it or out, whatever pieces become empty.
func TestExchange(t *testing.T) {
	worked, emptied := 0, 0
	for seed := range int64(400) {
		r := rand.New(rand.NewSource(seed))
		j := shapedJob(r, 4+r.Intn(12))
		s := newSpace(&j, allOf(len(j.Items)), []int{unlimited}, 0, false)
		v := newSolver(s)
		v.start()
		if len(v.cur.trees) < 2 {
			continue
		}
		v.begin()
		v.empty(r.Intn(len(v.work.trees)))
		v.recreate(v.cost(v.work.trees), noLimit)
		v.accept()
		if len(v.cur.out) == 0 {
			continue
		}
		worked++
		v.exchange(200)
		count := map[int32]int{}
		var area int64
		for _, i := range v.cur.out {
			count[i]++
			area += s.areas[i]
		}
		for _, q := range v.cur.trees {
			filled(t, s, q, count)
			for p := range s.layouts[q.layout].roots {
				if len(q.items(int16(p), nil)) == 0 {
					emptied++
				}
			}
		}
		for i := range s.boxes {
			if count[int32(i)] != 1 {
				t.Errorf("seed %d: item %d is there %d times", seed, i, count[int32(i)])
			}
		}
		if area != v.cur.area {
			t.Errorf("seed %d: %d is out, counted is %d", seed, area, v.cur.area)
		}
	}
	if worked < 50 || emptied < 5 {
		t.Errorf("%d exchanges, %d pieces empty: the test does not test much", worked, emptied)
	}
}

// TestHeldWithItsWaste: a strip of blocks narrower than the trimmer holds is cut while the waste beside it is still on: by hand, three 4 x 6 in sheets hold
// two blocks of 4 x 2 1/2 in and in the last inch two of 2 x 3/4 in each, or one of 4 x 5 in and two of those, for a trimmer that holds an inch.
func TestHeldWithItsWaste(t *testing.T) {
	for _, turned := range []bool{false, true} {
		turn := func(s measure.Size) measure.Size {
			if turned {
				return s.Turn()
			}
			return s
		}
		margins := measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 4}
		if turned {
			margins.Right, margins.Bottom = margins.Bottom, margins.Right
		}
		size := turn(measure.Size{W: 4 * in, H: 6 * in})
		j := Job{Effort: 200, Limits: Limits{Longest: 12 * in, Hold: in},
			Sheets: []Sheet{{Size: size, Cost: 1, Count: 9, Divisions: []Division{{Pieces: []Piece{{Rect: size.At(0, 0), Margins: margins}}}}}}}
		for range 6 {
			for _, s := range []measure.Size{{W: 4 * in, H: 5 * in / 2}, {W: 2 * in, H: 3 * in / 4}} {
				j.Items = append(j.Items, Item{Size: turn(s), Blank: measure.Same(in / 8)})
			}
		}
		j.Items = append(j.Items, Item{Size: turn(measure.Size{W: 4 * in, H: 5 * in}), Blank: measure.Same(in / 8)})
		a := Pack(j)
		if len(a.Sheets) != 4 || len(a.Unplaced) > 0 {
			t.Errorf("turned %v: %d sheets, %v without a place", turned, len(a.Sheets), a.Unplaced)
		}
		if faults := Verify(j, a); len(faults) > 0 {
			t.Errorf("turned %v: %v", turned, faults)
		}
	}
}
