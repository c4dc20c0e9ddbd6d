package pack

import (
	"cmp"
	"math/bits"
	"slices"

	"tuckmark/config/measure"
)

// Bound is a number of sheets that cost, of which no packing of all items uses fewer: the free sheets give what they
// can, and the rest has to be bought. It counts with dual feasible functions, which stretch and shrink the items' sides so
// that whatever fitted still fits while the area tells more: f0 and u(k) of Fekete and Schepers (Mathematical Programming
// 91, 2001), f2 of Carlier, Clautiaux and Moukrim (Computers and Operations Research 34, 2007). All three are
// superadditive, so a smaller sheet's sides may be put through them too. Items that fit on no piece do not count.
func Bound(j Job) int {
	n, _ := lowerBounds(&j, 20_000_000)
	return n
}

// dual is a dual feasible function on 0..C, scaled to whole numbers.
type dual struct {
	name uint8
	k    int64
}

func (d dual) at(x, c int64) int64 {
	switch d.name {
	case 'f': // f0
		if x > c-d.k {
			return c
		}
		if x < d.k {
			return 0
		}
		return x
	case 'c': // f2
		if 2*x > c {
			return 2 * (c/d.k - (c-x)/d.k)
		}
		if 2*x == c {
			return c / d.k
		}
		return 2 * (x / d.k)
	case 'u':
		if (d.k+1)*x%c == 0 {
			return x * d.k
		}
		return (d.k + 1) * x / c * c
	}
	return x
}

// duals are the functions worth trying for sides xs on a length of c, no more than most.
func duals(xs []int64, c int64, most int) []dual {
	var ks, js []int64
	for _, x := range xs {
		if 2*x > c {
			ks = append(ks, c-x+1)
			js = append(js, c-x+1, (c-x)/2+1, (c-x)/3+1)
		} else {
			js = append(js, x, x/2, x/3)
		}
	}
	if c <= 400 {
		for k := int64(1); 2*k <= c; k++ {
			js = append(js, k)
		}
	}
	for m := int64(2); m <= 40; m++ {
		js = append(js, c/m)
	}
	out := []dual{{0, 0}}
	for k := int64(2); k <= 12; k++ {
		out = append(out, dual{'u', k})
	}
	add := func(name uint8, ks []int64) {
		slices.Sort(ks)
		ks = slices.Compact(ks)
		ks = slices.DeleteFunc(ks, func(k int64) bool { return k < 1 || 2*k > c })
		step := max(1, (len(ks)*2+most-1)/most)
		for i := 0; i < len(ks); i += step {
			out = append(out, dual{name, ks[i]})
		}
	}
	add('f', ks)
	add('c', js)
	return out
}

// boundSheet is what lowerBounds knows of a kind of sheet.
type boundSheet struct {
	divisions [][]measure.Size // the regions of the pieces of each division
	cost      int64
	count     int64
}

// What a pair of functions takes: sorting kinds of sheets takes as long as so many shapes each, where there are more than a few.
const (
	fewKinds    = 20
	sortedKinds = 30
)

// lowerBounds is the least number of sheets that cost, and the least that they cost, found with about
// so much work.
func lowerBounds(j *Job, work int) (sheets int, cost int64) {
	var ids []int
	for i := range j.Items {
		ids = append(ids, i)
	}
	gap := j.Gap
	if j.Auto {
		gap = 0
	}
	var kinds []boundSheet
	var refW, refH measure.Length
	clear := map[measure.Sides]measure.Sides{} // of all items, by the margins of a piece
	for _, s := range j.Sheets {
		if s.Count == 0 {
			continue
		}
		k := boundSheet{cost: s.Cost, count: int64(s.Count)}
		if k.count < 0 || k.count > int64(len(ids)) {
			if s.Count < 0 && s.Cost == 0 {
				return 0, 0
			}
			k.count = int64(len(ids))
		}
		for _, w := range s.Divisions {
			var r []measure.Size
			for _, p := range w.Pieces {
				n, known := clear[p.Margins]
				if !known {
					n = clearances(j, ids, p.Margins, false)
					clear[p.Margins] = n
				}
				z := measure.Size{W: p.Rect.W - n.Left - n.Right + gap, H: p.Rect.H - n.Top - n.Bottom + gap}
				if p.Printer >= 0 && z.W > gap && z.H > gap {
					r = append(r, z)
					refW, refH = max(refW, z.W), max(refH, z.H)
				}
			}
			if len(r) > 0 {
				k.divisions = append(k.divisions, r)
			}
		}
		if len(k.divisions) > 0 && k.count > 0 {
			kinds = append(kinds, k)
		}
	}
	// Sides as even numbers below about a million, so that half of each is a whole number too. Rounding down is itself superadditive, so nothing is lost but sharpness.
	unit := gap
	for i := range ids {
		unit = gcd(gcd(unit, j.Items[i].Size.W), j.Items[i].Size.H)
	}
	for _, k := range kinds {
		for _, r := range k.divisions {
			for _, z := range r {
				unit = gcd(gcd(unit, z.W), z.H)
			}
		}
	}
	unit = max(unit, 1)
	for max(refW, refH)/unit >= 1<<19 {
		unit *= 2
	}
	fits := func(it Item, z measure.Size) bool {
		a := measure.Size{W: it.Size.W + gap, H: it.Size.H + gap}
		return a.Within(z) || it.Turn && a.Turn().Within(z)
	}
	for _, k := range kinds { // where nothing fits there is no room
		for w, r := range k.divisions {
			k.divisions[w] = slices.DeleteFunc(r, func(z measure.Size) bool {
				return !slices.ContainsFunc(j.Items, func(it Item) bool { return fits(it, z) })
			})
		}
	}
	type shape struct {
		w, h int64
		turn bool
	}
	count := map[shape]int64{}
	var shapes []shape
	for _, it := range j.Items {
		a := measure.Size{W: it.Size.W + gap, H: it.Size.H + gap}
		straight, turned := false, false
		for _, k := range kinds {
			for _, r := range k.divisions {
				for _, z := range r {
					straight = straight || a.Within(z)
					turned = turned || it.Turn && a.Turn().Within(z)
				}
			}
		}
		if !straight && !turned {
			continue
		}
		s := shape{2 * int64(a.W/unit), 2 * int64(a.H/unit), turned}
		if !straight {
			s = shape{s.h, s.w, false}
		}
		if s.turn && s.h > s.w {
			s.w, s.h = s.h, s.w
		}
		if count[s] == 0 {
			shapes = append(shapes, s)
		}
		count[s]++
	}
	if len(shapes) == 0 {
		return 0, 0
	}
	cw, ch := 2*int64(refW/unit), 2*int64(refH/unit)
	var xs, ys []int64
	for _, s := range shapes {
		xs, ys = append(xs, s.w), append(ys, s.h)
		if s.turn {
			xs, ys = append(xs, s.h), append(ys, s.w)
		}
	}
	most := 400
	each := len(shapes) + sortedKinds*max(0, len(kinds)-fewKinds)
	for most > 20 && most*most*each > work {
		most = most * 3 / 4
	}
	fw, fh := duals(xs, cw, most), duals(ys, ch, most)
	table := func(fs []dual, c int64, of func(shape) int64) []int64 {
		t := make([]int64, len(fs)*len(shapes))
		for a, f := range fs {
			for b, s := range shapes {
				t[a*len(shapes)+b] = f.at(of(s), c)
			}
		}
		return t
	}
	wide := func(s shape) int64 { return s.w }
	high := func(s shape) int64 { return s.h }
	ww, wh := table(fw, cw, wide), table(fw, cw, high)
	hw, hh := table(fh, ch, wide), table(fh, ch, high)
	n := len(shapes)
	counts := make([]int64, n)
	for b, s := range shapes {
		counts[b] = count[s]
	}
	// The regions' sides put through the functions, once each: there may be hundreds of sizes, and tens of thousands of pairs.
	rw, rh := make([][]int64, len(fw)), make([][]int64, len(fh))
	for _, k := range kinds {
		for _, r := range k.divisions {
			for _, z := range r {
				for a, f := range fw {
					rw[a] = append(rw[a], f.at(2*int64(z.W/unit), cw))
				}
				for b, g := range fh {
					rh[b] = append(rh[b], g.at(2*int64(z.H/unit), ch))
				}
			}
		}
	}
	type offer struct{ room, cost, count int64 }
	var offers []offer
	for a := range fw {
		for b := range fh {
			var sum int64
			for i := range shapes {
				v := ww[a*n+i] * hh[b*n+i]
				if shapes[i].turn {
					v = min(v, wh[a*n+i]*hw[b*n+i])
				}
				sum += v * counts[i]
			}
			offers = offers[:0]
			at := 0 // the next region in rw and rh
			for _, k := range kinds {
				var room int64
				for _, r := range k.divisions {
					var q int64
					for range r {
						q += rw[a][at] * rh[b][at]
						at++
					}
					room = max(room, q)
				}
				if k.cost == 0 {
					sum -= room * k.count
				} else if room > 0 {
					offers = append(offers, offer{room, k.cost, k.count})
				}
			}
			if sum <= 0 || len(offers) == 0 {
				continue
			}
			// As few as possible: the roomiest first. As cheap as possible: room may be bought by the part.
			slices.SortFunc(offers, func(a, b offer) int { return cmp.Compare(b.room, a.room) })
			need, few := sum, int64(0)
			for _, o := range offers {
				k := min(o.count, (need+o.room-1)/o.room)
				few += k
				if need -= k * o.room; need <= 0 {
					break
				}
			}
			slices.SortFunc(offers, func(a, b offer) int { return ratio(a.cost, a.room, b.cost, b.room) })
			need = sum
			var pay int64
			for _, o := range offers {
				if k := need / o.room; k < o.count {
					pay += k*o.cost + share(need-k*o.room, o.cost, o.room)
					break
				}
				pay += o.count * o.cost
				need -= o.count * o.room
			}
			sheets, cost = max(sheets, int(few)), max(cost, pay)
		}
	}
	var cheapest int64
	prices := []int64{}
	for _, k := range kinds {
		for c := int64(0); k.cost > 0 && c < min(k.count, int64(sheets)); c++ {
			prices = append(prices, k.cost)
		}
	}
	slices.Sort(prices)
	for i := 0; i < min(sheets, len(prices)); i++ {
		cheapest += prices[i]
	}
	return sheets, max(cost, cheapest)
}

// ratio compares a/b with c/d, all above nought.
func ratio(a, b, c, d int64) int {
	h1, l1 := bits.Mul64(uint64(a), uint64(d))
	h2, l2 := bits.Mul64(uint64(c), uint64(b))
	if h1 != h2 {
		return cmp.Compare(h1, h2)
	}
	return cmp.Compare(l1, l2)
}

// share is part*cost/room, rounded up.
func share(part, cost, room int64) int64 {
	h, l := bits.Mul64(uint64(part), uint64(cost))
	q, r := bits.Div64(h, l, uint64(room))
	if r > 0 {
		q++
	}
	return int64(q)
}
