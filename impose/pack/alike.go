package pack

import "slices"

// Where there are several of most sizes, sheets can be filled alike: a share of every size goes on a few sheets, which are then laid as often as
// there are shares, and what is over is packed on the sheets that are left. Sheets that are cut alike have one page of the guides, and
// go under the blade in one stack. It is tried from few sheets on (a simple case of what Henn and Waescher, Pesquisa Operacional 33(2), 2013,
// survey), and taken where it costs neither a sheet, nor the leftover, nor a stroke.

const (
	alikeTrials = 4  // how many ways to fill sheets alike are packed
	mostAlike   = 12 // sheets, and no more of what is over than is searched in one go
)

// alike is the plan with more of its sheets filled alike where that is less to do, else the plan itself.
func (p *packer) alike(q plan, effort int64) plan {
	best, strokes, patterns := q, 0, 0
	n := len(q.sheets)
	kinds := p.byKind()
	if n < 2 || len(kinds) < 2 || len(q.out) > 0 || slices.ContainsFunc(q.sheets, func(l finishedSheet) bool { return l.Sheet != q.sheets[0].Sheet }) {
		return q // of one kind they lie alike as it is
	}
	room := p.Sheets[q.sheets[0].Sheet].Size.Area()
	trials := alikeTrials
	for each := 1; each <= min(mostAlike, n/2) && trials > 0 && !p.stopped(); each++ {
		for _, times := range [2]int{n / each, n/each - 1} {
			var share, over []int
			for _, ids := range kinds {
				c := len(ids) * each / n
				share = append(share, ids[:c]...)
				over = append(over, ids[min(len(ids), c*times):]...)
			}
			left := int64(n - each*times)
			if times < 2 || len(share)*times*2 < len(p.ids) || len(over) > 2*batchItems || p.area(share) > int64(each)*room || p.area(over) > left*room {
				continue // hardly anything is there more than once, or there is no room for what is over
			}
			trials--
			with, ok := p.laidAlike(q, kinds, share, over, times, n-each*times, effort)
			if !ok {
				continue
			}
			if patterns == 0 {
				strokes, patterns = p.toDo(q)
			}
			p.fewestCuts(&with)
			p.tidy(&with, false)
			if s, k := p.toDo(with); s < strokes || s == strokes && k < patterns {
				best, strokes, patterns = with, s, k
			}
		}
	}
	return best
}

// byKind are the items by their kind, in the order of the first of each.
func (p *packer) byKind() (out [][]int) {
	at := map[Item]int{}
	for _, i := range p.ids {
		it := p.Items[i]
		it.Group = 0
		k, ok := at[it]
		if !ok {
			k = len(out)
			at[it] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// laidAlike is a plan with a share of the items laid so many times, and the others on what is left of the sheets; false where that takes
// more than the plan q, or gives a smaller leftover.
func (p *packer) laidAlike(q plan, kinds [][]int, share, over []int, times, left int, effort int64) (plan, bool) {
	kind := q.sheets[0].Sheet
	each := (len(q.sheets) - left) / times
	pack := func(ids []int, sheets int) (plan, bool) {
		counts := make([]int, len(p.Sheets))
		counts[kind] = sheets
		if len(ids) == 0 {
			return plan{counts: counts}, true
		}
		slices.Sort(ids)
		m := p.solve(ids, counts, 0, effort)
		return m, len(m.out) == 0
	}
	once, ok := pack(share, each)
	if !ok {
		return q, false
	}
	rest, ok := pack(over, left)
	if !ok {
		return q, false
	}
	out := plan{counts: p.fullCounts()}
	follows := map[int][]int{} // the items that stand for one, share by share
	for _, ids := range kinds {
		c := len(ids) * each / len(q.sheets)
		for i, id := range ids[:c] {
			for n := range times {
				follows[id] = append(follows[id], ids[n*c+i])
			}
		}
	}
	for n := range times {
		var ids []int
		for _, id := range share {
			ids = append(ids, follows[id][n])
		}
		m := batch{share, once}.with(ids, out.counts)
		for _, l := range m.sheets {
			out.add(l)
		}
	}
	for _, l := range rest.sheets {
		out.add(l)
	}
	return out, out.cost <= q.cost && p.largest(out) >= p.largest(q)
}

// toDo is how often the blade comes down for a plan, and how many patterns it has.
func (p *packer) toDo(q plan) (strokes, patterns int) {
	pieces := p.laidPieces(&q)
	often := map[uint64]int{}
	for _, piece := range pieces {
		often[shapeOf(*piece.tree)]++
	}
	for _, piece := range pieces {
		key := shapeOf(*piece.tree)
		if n := often[key]; n > 0 { // once for all of them
			strokes += p.Limits.handlingOf(*piece.tree, n).strokes
			often[key] = 0
		}
	}
	return strokes, len(often)
}
