package pack

import (
	"cmp"
	"slices"

	"tuckmark/config/measure"
)

// Large jobs are split: the search looks at every rest for every item, so its time grows with the square of a job. The
// batches are dealt out of one row sorted by size, so that each has its share of large and small items and can fill its
// sheets; then the worst sheets of all batches are packed once more together, until few are left.

const (
	batchItems     = 160  // items of a batch
	minEffortItems = 50   // items whose effort a smaller job gets
	maxEffortItems = 1500 // items that get the full effort; more share it
	manyItems      = 5000 // items of a sketch that is looked at but once or twice
)

// solve packs the items on the sheets left.
func (p *packer) solve(ids, counts []int, gap measure.Length, effort int64) plan {
	n := len(ids)
	if n <= 2*batchItems {
		its := effort * int64(max(n, minEffortItems))
		return p.packTogether(ids, counts, gap, its*7/10, its*3/10)
	}
	known := p.newRepeats()
	its := effort * int64(min(n, maxEffortItems)) // in all
	row := slices.Clone(ids)
	slices.SortStableFunc(row, func(a, b int) int {
		x, y := p.Items[a].Size, p.Items[b].Size
		return cmp.Or(cmp.Compare(max(y.W, y.H), max(x.W, x.H)), cmp.Compare(min(y.W, y.H), min(x.W, x.H)))
	})
	k := (n + batchItems - 1) / batchItems
	all := plan{counts: counts}
	for b := 0; b < k && !p.stopped(); b++ {
		var dealt []int
		for i := b; i < n; i += k {
			dealt = append(dealt, row[i])
		}
		slices.Sort(dealt)
		all.merge(p.packOnce(known, dealt, all.counts, gap, its/2*int64(len(dealt))/int64(n), 0))
	}
	if !p.hurried(n) {
		p.repackWorst(&all, known, gap, its/2, n)
	}
	return all
}

// repackWorst packs the worst sheets together again, chunk by chunk, as long as there are enough of them.
func (p *packer) repackWorst(all *plan, known *repeats, gap measure.Length, its int64, n int) {
	worst := 3 * ((n + batchItems - 1) / batchItems) // sheets to look at
	rounds := 6
	if p.Rough && n > manyItems {
		rounds = 1
	}
	all.out = p.largestFirst(all.out)
	for round := 0; worst > 1 && round < rounds && !p.stopped(); round++ {
		slices.SortStableFunc(all.sheets, func(a, b finishedSheet) int {
			return cmp.Compare(p.fullness(a), p.fullness(b))
		})
		worst = min(worst, len(all.sheets))
		var next []finishedSheet
		for from := 0; from < worst; {
			tried, left := extremes(all.out)
			old := plan{counts: slices.Clone(all.counts), out: tried}
			ids := slices.Clone(tried)
			to := from
			for ; to < worst && (len(ids) < batchItems || to < from+2); to++ {
				l := all.sheets[to]
				ids = append(ids, l.ids...)
				old.sheets = append(old.sheets, l)
				old.cost += l.cost
				if old.counts[l.Sheet] < unlimited {
					all.counts[l.Sheet]++
				}
			}
			slices.Sort(ids)
			share := its / 3 * int64(len(ids)) / int64(n)
			fresh := p.packOnce(known, ids, all.counts, gap, share*7/10, share*3/10)
			from = to
			if !p.better(fresh, old) {
				fresh = old
			}
			next = append(next, fresh.sheets...)
			all.counts, all.out = fresh.counts, p.withSorted(left, fresh.out)
		}
		all.sheets = append(next, all.sheets[worst:]...)
		all.cost = 0
		for _, l := range all.sheets {
			all.cost += l.cost
		}
		if worst = worst / 2; worst*20 < batchItems {
			break
		}
	}
}

// extremes are some of the items without a place, by size, the largest and the smallest, and those that are left: where the paper runs out, there may be
// far more of them than sheets, and the time that a chunk takes grows with the square of its items.
func extremes(out []int) (some, left []int) {
	const most = batchItems / 2
	if len(out) <= most {
		return out, nil
	}
	small := len(out) - most/2
	some = slices.Concat(out[:most/2], out[small:])
	slices.Sort(some)
	return some, out[most/2 : small]
}

// withSorted is items by size with others put where they belong. To sort all of them for each chunk would take longer than the chunk.
func (p *packer) withSorted(items, others []int) []int {
	others = p.largestFirst(others)
	out := make([]int, 0, len(items)+len(others))
	for _, i := range items {
		for len(others) > 0 && p.bySize(others[0], i) < 0 {
			out, others = append(out, others[0]), others[1:]
		}
		out = append(out, i)
	}
	return append(out, others...)
}

// fullness is how full a sheet is, in millionths.
func (p *packer) fullness(l finishedSheet) int64 {
	return p.area(l.ids) / (p.Sheets[l.Sheet].Size.Area()/1_000_000 + 1)
}

// merge adds o, which was packed on what p left.
func (p *plan) merge(o plan) {
	p.sheets = append(p.sheets, o.sheets...)
	p.out = append(p.out, o.out...)
	p.cost += o.cost
	p.counts = o.counts
}

// packTogether packs the items in one go: its rounds to lower the cost, more to enlarge the leftover.
func (p *packer) packTogether(ids, counts []int, gap measure.Length, its, more int64) plan {
	tight := p.search(ids, counts, gap, its, more, false)
	if p.sameClearance(ids) {
		return tight
	}
	if safe := p.search(ids, counts, gap, its, more, true); p.better(safe, tight) {
		return safe
	}
	return tight
}

// packOnce is packTogether, except for a batch that is like one before.
func (p *packer) packOnce(known *repeats, ids, counts []int, gap measure.Length, its, more int64) plan {
	return known.once(ids, counts, its+more, func(counts []int) plan { return p.packTogether(ids, counts, gap, its, more) }, its, more)
}
