package pack

import (
	"math/rand"
	"testing"

	"tuckmark/config/measure"
)

// brute finds the least number of cuts by trying every cut at every whole place, on small sheets in sixteenths of an inch.
type brute struct {
	sizes  [][2]int
	turn   []bool
	lead   [4]int // every item keeps so far from the edges: left, top, right, bottom
	w, h   int
	hold   int
	memory map[[5]int]int
}

func (b *brute) least(set, x, y, w, h int) int {
	if set == 0 {
		return 0
	}
	if set&(set-1) == 0 {
		for i, s := range b.sizes {
			if set != 1<<i || x < b.lead[0] || y < b.lead[1] || x+w > b.w-b.lead[2] || y+h > b.h-b.lead[3] {
				continue
			}
			if w == s[0] && h == s[1] || b.turn[i] && w == s[1] && h == s[0] {
				return 0
			}
		}
	}
	if w < b.hold || h < b.hold {
		return impossible
	}
	area := 0
	for i, s := range b.sizes {
		if set>>i&1 == 1 {
			area += s[0] * s[1]
		}
	}
	if area > w*h {
		return impossible
	}
	key := [5]int{set, x, y, w, h}
	if n, ok := b.memory[key]; ok {
		return n
	}
	best := impossible
	for a := set; ; a = (a - 1) & set {
		for at := 1; at < w; at++ {
			if n := b.least(a, x, y, at, h); n < best {
				best = min(best, 1+n+b.least(set&^a, x+at, y, w-at, h))
			}
		}
		for at := 1; at < h; at++ {
			if n := b.least(a, x, y, w, at); n < best {
				best = min(best, 1+n+b.least(set&^a, x, y+at, w, h-at))
			}
		}
		if a == 0 {
			break
		}
	}
	b.memory[key] = best
	return best
}

// TestLeastCuts: the number of cuts is the least that there is, with turning, margins and what the trimmer holds, against a search of
// every cut at every place. Sizes are such that no rest is a sliver.
func TestLeastCuts(t *testing.T) {
	r := rand.New(rand.NewSource(3))
	tried := [exactItems + 1]int{}
	const unit = in / 16
	for range 150 {
		n := 1 + r.Intn(exactItems)
		side := 9
		if n > 5 {
			side = 7
		}
		b := &brute{w: 4 + r.Intn(side-3), h: 4 + r.Intn(side-3), memory: map[[5]int]int{}}
		if r.Intn(3) == 0 {
			b.lead = [4]int{r.Intn(2), r.Intn(2), r.Intn(2), r.Intn(2)}
		}
		if r.Intn(3) == 0 {
			b.hold = 1 + r.Intn(3)
		}
		var j Job
		for range n {
			s := [2]int{1 + r.Intn(4), 1 + r.Intn(3)}
			turn := r.Intn(2) == 0
			b.sizes, b.turn = append(b.sizes, s), append(b.turn, turn)
			j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(s[0]) * unit, H: measure.Length(s[1]) * unit}, Turn: turn})
		}
		c := newLeastCutter(Limits{Hold: measure.Length(b.hold) * unit})
		m := measure.Sides{Left: measure.Length(b.lead[0]) * unit, Top: measure.Length(b.lead[1]) * unit, Right: measure.Length(b.lead[2]) * unit, Bottom: measure.Length(b.lead[3]) * unit}
		var kinds []int
		for _, it := range j.Items {
			kinds = append(kinds, c.kindOf(it, m))
		}
		size := measure.Size{W: measure.Length(b.w) * unit, H: measure.Length(b.h) * unit}
		s := c.newSet(size, kinds)
		c.trials = 1 << 30
		got, ok := s.least(s.all(), size.At(0, 0), 40)
		want := b.least(1<<n-1, 0, 0, b.w, b.h)
		switch {
		case ok != (want < impossible):
			t.Fatalf("%v on %d x %d, margins %v, holds %d: found %v, the least is %d", b.sizes, b.w, b.h, b.lead, b.hold, ok, want)
		case ok && got != want:
			t.Fatalf("%v on %d x %d, margins %v, holds %d: %d cuts, the least is %d", b.sizes, b.w, b.h, b.lead, b.hold, got, want)
		case !ok:
			continue
		}
		tried[n]++
		waiting := map[int][]int{}
		for i, k := range kinds {
			waiting[k] = append(waiting[k], i)
		}
		tree := s.tree(s.all(), size.At(0, 0), func(k int) int {
			i := waiting[k][0]
			waiting[k] = waiting[k][1:]
			return i
		})
		if tree == nil {
			t.Fatal("there is no tree")
		}
		if n := cutsOf(tree); n != got {
			t.Fatalf("the tree has %d cuts, not %d", n, got)
		}
		j.Sheets = []Sheet{{Size: size, Cost: 1, Count: 1, Divisions: whole(size.W, size.H, m)}}
		j.Limits = c.limits
		for _, fault := range Verify(j, Answer{Sheets: []LaidSheet{{Trees: []*Node{tree}}}, Cost: 1}) {
			t.Error(fault)
		}
	}
	t.Logf("sets that can be cut, by number of items: %v", tried)
	if tried[exactItems] == 0 {
		t.Error("none with the most items")
	}
}
