package pack

import (
	"math/rand"
	"testing"
)

// A set that a room holds is never above the room's weight, whatever functions were chosen; and the choice tells: of
// the sets that are refused though their area is not too large, many that they have not been told of are above it.
func TestLoads(t *testing.T) {
	var held, unseen, seen, areas int
	for seed := range int64(40) {
		r := rand.New(rand.NewSource(seed))
		j := shapedJob(r, 30)
		s := newSpace(&j, allOf(len(j.Items)), []int{unlimited}, 0, false)
		large := func(l *int32) { *l = *l<<26 + r.Int31n(9) } // lengths that the weigher has to round
		for i := range s.boxes {
			if b := &s.boxes[i]; seed%3 > 0 {
				if large(&b.w); seed%3 > 1 {
					large(&b.h)
				}
			}
		}
		for k := range s.layouts[0].roots {
			if g := &s.layouts[0].roots[k]; seed%3 > 0 {
				if large(&g.w); seed%3 > 1 {
					large(&g.h)
				}
			}
		}
		f := newShaper(s, 0)
		weigher := newWeigher(s.boxes, f.w, f.h)
		var refusals []refusal
		for range 4000 {
			g := s.layouts[0].roots[r.Intn(len(s.layouts[0].roots))]
			var set []int32
			var sum uint64
			var l weight
			for _, i := range r.Perm(len(s.boxes))[:2+r.Intn(6)] {
				set = append(set, int32(i))
				sum += f.keys[i]
				l.add(&weigher.items[i])
			}
			room := weigher.weightOfRoom(g.w, g.h)
			within := l.fitsIn(&room)
			switch {
			case f.holds(set, sum, g.w, g.h):
				if held++; !within {
					t.Fatalf("seed %d: %v is above the weight of %d x %d, which holds it", seed, set, g.w, g.h)
				}
			case l.area() > room.area():
				areas++
			case len(refusals) < sampleSize:
				if refusals = append(refusals, refusal{set, g.w, g.h}); len(refusals) == sampleSize {
					weigher.choosePairs(refusals)
				}
			case within:
				unseen++
			default:
				seen++
			}
		}
	}
	if held < 1000 || areas < 1000 || seen < unseen/4 {
		t.Errorf("%d held, %d larger than the room; of the others %d seen, %d not", held, areas, seen, unseen)
	}
}

// Refusals are kept only until the functions are chosen by them, also where no function tells more than the area.
func TestRefusalsEnd(t *testing.T) {
	j := shapedJob(rand.New(rand.NewSource(1)), 2)
	s := newSpace(&j, allOf(2), []int{unlimited}, 0, false)
	x := &exchange{solver: newSolver(s), shaper: newShaper(s, 0)}
	x.solver.weigher = newWeigher(s.boxes, x.w, x.h)
	a := slot{w: 1, h: 1} // holds nothing, and the area tells
	for range 3 * sampleSize {
		if x.canCut(&a, []int32{0, 1}, x.keys[0]+x.keys[1]) {
			t.Fatal("a room of 1 x 1 holds two items")
		}
		x.solver.weigher.weighBy([]dualPair{{}}) // as if nothing had been chosen
	}
	if len(x.refusals) != sampleSize {
		t.Errorf("%d refusals kept", len(x.refusals))
	}
}
