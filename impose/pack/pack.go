package pack

import (
	"cmp"
	"fmt"
	"iter"
	"slices"
	"sync"

	"tuckmark/config/measure"
)

// finishedSheet is one finished sheet.
type finishedSheet struct {
	LaidSheet
	cutTree
	cost int64
	ids  []int // its items
}

// plan is a packing whose cuts are made.
type plan struct {
	sheets []finishedSheet
	out    []int
	cost   int64
	counts []int // sheets that remain of each kind
}

// Pack lays the job's items on its sheets. The aims, in order: as much of the items' area placed as the sheets allow;
// the least cost of sheets; the largest single rest worth keeping; the fewest cuts; one group's items on one piece.
// The answer depends on the job alone.
func Pack(j Job) Answer {
	p := newPacker(&j)
	best, other := p.best()
	p.gatherGroups(&best)
	p.progress.add(p.progress.total)
	a := p.answer(best)
	a.Other = p.trimming(other)
	return a
}

// Nowhere are the items of a job that fit on none of its sheets, each by itself.
func Nowhere(j Job) []int { return newPacker(&j).fitsNowhere }

// trimming counts the cuts of a plan.
func (p *packer) trimming(q plan) Trimming {
	var t Trimming
	for _, piece := range p.laidPieces(&q) {
		t.Cuts += (*piece.tree).Made()
		t.Unmarked += p.Unmarked(*piece.tree, piece.Piece)
	}
	return t
}

// packer holds what all steps of one job share.
type packer struct {
	*Job
	ids         []int // items that fit somewhere
	fitsNowhere []int // items that fit nowhere
	cheapest    []int // kinds of sheets, of those that cost the same the smallest first
	progress    *progress
	stays       func(item int) bool // nil: any item may be moved
}

// progress counts rounds of the search towards what Job.Tick is told. Two searches may share it.
type progress struct {
	sync.Mutex
	tick        func(done, of int)
	done, total int64
}

func (p *progress) add(rounds int64) {
	if p == nil || p.tick == nil {
		return
	}
	p.Lock()
	defer p.Unlock()
	p.done = min(p.done+rounds, p.total)
	p.tick(int(p.done*1000/max(p.total, 1)), 1000)
}

// stopped reports whether the answer is no longer wanted.
func (p *packer) stopped() bool { return p.Stop != nil && p.Stop() }

func newPacker(j *Job) *packer {
	p := &packer{Job: j, progress: &progress{tick: j.Tick}}
	type class struct {
		Item
	}
	for k := range j.Sheets {
		p.cheapest = append(p.cheapest, k)
	}
	slices.SortStableFunc(p.cheapest, func(a, b int) int {
		return cmp.Or(cmp.Compare(j.Sheets[a].Cost, j.Sheets[b].Cost), cmp.Compare(j.Sheets[a].Size.Area(), j.Sheets[b].Size.Area()))
	})
	known := map[class]bool{}
	sheets, rooms := p.atHand(), (*Rooms)(nil)
	if len(j.Items) > 1 { // each piece once: for one item the first that it fits is found sooner
		rooms = RoomsOf(sheets)
		sheets = []Sheet{{Divisions: []Division{{Pieces: rooms.Most}, {Pieces: rooms.Pieces}}}}
	}
	for i, it := range j.Items {
		it.Group = 0
		fits, ok := known[class{it}]
		if !ok {
			fits = (rooms == nil || rooms.Fits(it)) && p.fits(it, sheets)
			known[class{it}] = fits
		}
		if fits {
			p.ids = append(p.ids, i)
		} else {
			p.fitsNowhere = append(p.fitsNowhere, i)
		}
	}
	return p
}

// atHand are the sheets without those of which there is none.
func (p *packer) atHand() []Sheet {
	return slices.DeleteFunc(slices.Clone(p.Sheets), func(s Sheet) bool { return s.Count == 0 })
}

// fits reports whether an item can be cut by itself out of one of some sheets, as alone lays it.
func (p *packer) fits(it Item, sheets []Sheet) bool {
	for k := range sheets {
		for _, division := range sheets[k].Divisions {
			for n := range division.Pieces {
				if p.cutOut(it, &division.Pieces[n]) {
					return true
				}
			}
		}
	}
	return false
}

// cutOut reports whether an item can be cut out of a piece, as onPiece does it.
func (p *packer) cutOut(it Item, piece *Piece) bool {
	for _, r := range corners(it, piece) {
		if p.Limits.frames(r, piece.Rect.Size(), 0) || p.Limits.frames(r, piece.Rect.Size(), 1) {
			return true
		}
	}
	return false
}

func (p *packer) fullCounts() []int {
	c := make([]int, len(p.Sheets))
	for k, s := range p.Sheets {
		if c[k] = s.Count; c[k] < 0 {
			c[k] = unlimited
		}
	}
	return c
}

// best is the packing of all items, and what the other way to cut them would give. An automatic gap is none by measure. By marks it is
// where a piece has waste for it, in the packing without a gap or, where that costs neither a sheet nor the leftover, in one with.
func (p *packer) best() (best, other plan) {
	effort := int64(p.Effort)
	p.progress.total = effort * int64(min(max(len(p.ids), minEffortItems), maxEffortItems))
	if p.Rough && (p.Gap == 0 || p.Auto || p.Looks > 0) {
		gap := p.Gap
		if p.Auto {
			gap = 0
		}
		return p.sketch(gap, effort), other
	}
	if p.Gap > 0 && !p.Auto {
		best = p.solve(p.ids, p.fullCounts(), p.Gap, effort)
		for _, piece := range p.laidPieces(&best) {
			*piece.tree = joined(*piece.tree, p.Limits)
		}
		p.tidy(&best, !p.Measure)
		return best, other
	}
	if p.Gap == 0 || p.Unmarked == nil {
		return p.dense(effort), other
	}
	dense := func() {
		best = p.dense(effort)
		other = p.markedWay(best, true)
	}
	if p.large() {
		dense()
	} else {
		p.progress.total *= 2
		var loose plan
		atOnce(dense, func() { loose = p.markedWay(p.solve(p.ids, p.fullCounts(), p.Gap, effort), false) })
		if p.compare(loose, best) == 0 && p.largest(loose) >= p.largest(best) && p.trimPrice(loose) < p.trimPrice(other) {
			other = loose
		}
	}
	p.tidy(&other, true)
	if !p.Measure {
		best, other = other, best
	}
	return best, other
}

const (
	sketchItems = 150 // items whose effort is enough for a sketch of more
	searches    = 3   // in which an item is, about
	nearlyAll   = 50  // a share of the area that is so small may find a place by more effort
)

// sketch is a packing that tells how much paper is needed. The effort of a large job is spent on it only where nearly all of it lies on the paper at hand
// without: then more of it may bring the rest on.
func (p *packer) sketch(gap measure.Length, effort int64) plan {
	quick := effort
	if n := int64(min(len(p.ids), maxEffortItems)); n > sketchItems {
		quick = max(effort*sketchItems/n, 1)
	}
	full := p.progress.total
	p.progress.total = full * quick / max(effort, 1)
	q := p.solve(p.ids, p.fullCounts(), gap, quick)
	if quick < effort && len(q.out) > 0 && p.area(q.out) < p.area(p.ids)/nearlyAll && !p.hurried(len(p.ids)) {
		p.progress.total += full
		q = p.solve(p.ids, p.fullCounts(), gap, effort)
	}
	return q
}

// hurried reports whether there are so few looks for each of n items that a sketch spends no more than one packing on them: not the whole effort on what found no place,
// for they are used up before that helps, nor another on the worst sheets.
func (p *packer) hurried(n int) bool { return p.Looks > 0 && p.Looks < looksToBringOn*int64(n) }

const looksToBringOn = 5_000

// dense is the packing without gaps, as it is cut by measure.
func (p *packer) dense(effort int64) plan {
	q := p.solve(p.ids, p.fullCounts(), 0, effort)
	p.fewestCuts(&q)
	p.tidy(&q, false)
	return p.alike(q, effort)
}

// large reports whether there is no time to look at everything twice.
func (p *packer) large() bool { return len(p.ids) > batchItems }

// trimPrice is what it costs to cut a plan by its marks.
func (p *packer) trimPrice(q plan) (price int) {
	for _, piece := range p.laidPieces(&q) {
		price += p.priceOf(*piece.tree, piece.Piece)
	}
	return price
}

// atOnce runs the functions beside each other. A panic in one is the caller's, who alone may know what to say of it.
func atOnce(run ...func()) {
	var all sync.WaitGroup
	panics := make([]any, len(run))
	for k, f := range run {
		all.Go(func() {
			defer func() { panics[k] = recover() }()
			f()
		})
	}
	all.Wait()
	for _, p := range panics {
		if p != nil {
			panic(p)
		}
	}
}

// largest is the area of the plan's largest leftover, counting those that stay untouched.
func (p *packer) largest(q plan) int64 {
	var keep int64
	for _, l := range q.sheets {
		keep = max(keep, l.keep)
	}
	for k, s := range p.Sheets {
		if q.counts[k] > 0 && s.Count > 0 && s.Cost == 0 && p.Limits.Keep != nil && p.Limits.Keep(s.Size) {
			keep = max(keep, s.Size.Area())
		}
	}
	return keep
}

// sum is the cuts and leftovers of a sheet, its untouched pieces among them.
func (p *packer) sum(l LaidSheet) cutTree {
	var m cutTree
	for k, piece := range p.Sheets[l.Sheet].Divisions[l.Division].Pieces {
		if l.Trees[k] == nil {
			m.add(piece.Rect.Size(), p.Limits)
		} else {
			m.join(p.tally(l.Trees[k]))
		}
	}
	return m
}

// tally counts the cuts and leftovers of a tree.
func (p *packer) tally(n *Node) *cutTree {
	m := &cutTree{node: n}
	if n.Near == nil {
		if n.Item < 0 {
			m.add(n.Rect.Size(), p.Limits)
		}
		return m
	}
	m.cuts = 1
	m.join(p.tally(n.Near))
	m.join(p.tally(n.Far))
	return m
}

func (p *packer) area(ids []int) int64 {
	var a int64
	for _, i := range ids {
		a += p.Items[i].Size.Area()
	}
	return a
}

// compare is below nought where a places more than b or costs less.
func (p *packer) compare(a, b plan) int {
	return cmp.Or(cmp.Compare(p.area(a.out), p.area(b.out)), cmp.Compare(a.cost, b.cost))
}

func (p *packer) better(a, b plan) bool {
	c := p.compare(a, b)
	return c < 0 || c == 0 && p.largest(a) > p.largest(b)
}

// sameClearance reports whether all items have to stay equally far from all edges.
func (p *packer) sameClearance(ids []int) bool {
	seen := map[measure.Sides]bool{}
	for _, s := range p.Sheets {
		for _, w := range s.Divisions {
			for _, piece := range w.Pieces {
				if seen[piece.Margins] {
					continue
				}
				seen[piece.Margins] = true
				if clearances(p.Job, ids, piece.Margins, false) != clearances(p.Job, ids, piece.Margins, true) {
					return false
				}
			}
		}
	}
	return true
}

const (
	moreOffered   = 50  // kinds of sheets that are offered to the solver besides one for each item, at most
	moreSketched  = 10  // likewise for a sketch of a large job, in which a sheet is offered for as many items as it may hold
	sketchedUpTo  = 2   // the part of such a sheet that they may take: one in so many
	offeredAnyway = 100 // kinds that are no more than so many are all offered
)

// offered is counts without the sheets beyond a number that the solver goes through in each of its rounds, as where somebody lists a thousand leftovers:
// each item keeps the cheapest, of those the smallest, that holds it and is no other's, from the largest item down, and all have the largest of the rest.
func (p *packer) offered(ids, counts []int) []int {
	var kinds []int
	for k := range p.Sheets {
		if counts[k] > 0 {
			kinds = append(kinds, k)
		}
	}
	left, sparing := len(ids)+moreOffered, p.Rough && p.large() && len(kinds) > offeredAnyway
	if len(kinds) <= left && !sparing {
		return p.fewFree(ids, counts)
	}
	out := slices.Clone(counts)
	for _, k := range kinds {
		out[k] = 0
	}
	area := func(k int) int64 { return p.Sheets[k].Size.Area() }
	slices.SortStableFunc(kinds, func(a, b int) int {
		return cmp.Or(cmp.Compare(p.Sheets[a].Cost, p.Sheets[b].Cost), cmp.Compare(area(a), area(b)))
	})
	room := map[int]int64{} // of a kind that is offered, in a sketch
	for _, i := range p.largestFirst(ids) {
		if sparing {
			if k := slices.IndexFunc(kinds, func(k int) bool { return room[k] >= p.Items[i].Size.Area() && holds(p.Sheets[k], p.Items[i]) }); k >= 0 {
				room[kinds[k]] -= p.Items[i].Size.Area()
				continue
			}
		}
		if at := slices.IndexFunc(kinds, func(k int) bool { return out[k] == 0 && holds(p.Sheets[k], p.Items[i]) }); at >= 0 {
			k := kinds[at]
			out[k] = counts[k]
			room[k] = area(k)/sketchedUpTo*int64(min(counts[k], len(ids))) - p.Items[i].Size.Area()
			left--
		}
	}
	if sparing {
		left = moreSketched
	}
	slices.SortStableFunc(kinds, func(a, b int) int { return cmp.Compare(area(b), area(a)) })
	for _, k := range kinds {
		if left > 0 && out[k] == 0 {
			out[k] = counts[k]
			left--
		}
	}
	return p.fewFree(ids, out)
}

// fewFree is counts with no more free sheets, all of which the solver opens from the start, than a few for each item: in the proportions of the kinds, but one for each
// item that has room on one, so that none is put on a sheet that costs while it has.
func (p *packer) fewFree(ids, counts []int) []int {
	free := func(k int) bool { return p.Sheets[k].Cost == 0 && counts[k] > 0 }
	total, most := 0, 2*(len(ids)+moreOffered)
	for k := range counts {
		if free(k) {
			total += min(counts[k], len(ids))
		}
	}
	if total <= most {
		return counts
	}
	out := slices.Clone(counts)
	var kinds []int
	for k := range counts {
		if free(k) {
			out[k] = max(1, min(counts[k], len(ids))*most/total)
			kinds = append(kinds, k)
		}
	}
	area := func(k int) int64 { return p.Sheets[k].Size.Area() }
	slices.SortStableFunc(kinds, func(a, b int) int { return cmp.Compare(area(a), area(b)) })
	of := make([]int, len(counts)) // sheets of a kind with an item of their own
	for _, i := range p.largestFirst(ids) {
		first, _ := slices.BinarySearchFunc(kinds, p.Items[i].Size.Area(), func(k int, a int64) int { return cmp.Compare(area(k), a) })
		if at := slices.IndexFunc(kinds[first:], func(k int) bool { return of[k] < counts[k] && holds(p.Sheets[k], p.Items[i]) }); at >= 0 {
			k := kinds[first+at]
			of[k]++
			out[k] = max(out[k], of[k])
		}
	}
	return out
}

// largestFirst is the items in order of their area.
func (p *packer) largestFirst(ids []int) []int {
	items := slices.Clone(ids)
	slices.SortFunc(items, p.bySize)
	return items
}

// bySize compares items: the largest come first.
func (p *packer) bySize(a, b int) int {
	return cmp.Or(cmp.Compare(p.Items[b].Size.Area(), p.Items[a].Size.Area()), cmp.Compare(a, b))
}

// holds reports whether an item has room on one of the sheet's pieces that are printed.
func holds(s Sheet, it Item) bool {
	for _, division := range s.Divisions {
		for _, piece := range division.Pieces {
			for _, turned := range [2]bool{false, true} {
				if _, _, ok := spare(it, turned, piece); ok {
					return true
				}
			}
		}
	}
	return false
}

// spare is what a piece has beyond an item on it, turned or not, and how far the item has to stay from its edges; ok: there is room, and it is printed.
func spare(it Item, turned bool, piece Piece) (beyond measure.Size, edges measure.Sides, ok bool) {
	size := it.Size
	if turned {
		size = size.Turn()
	}
	beyond = measure.Size{W: piece.Rect.W - size.W, H: piece.Rect.H - size.H}
	edges = clearance(it, turned, piece.Margins)
	return beyond, edges, piece.Printer >= 0 && (!turned || it.Turn) && beyond.W >= edges.Left+edges.Right && beyond.H >= edges.Top+edges.Bottom
}

// search packs by one run of the solver. Sheets whose cuts cannot be made within margins and trimmer are taken apart and their
// items packed again, more carefully.
func (p *packer) search(ids, counts []int, gap measure.Length, its, more int64, safe bool) plan {
	s := newSpace(p.Job, ids, p.offered(ids, counts), gap, safe)
	s.mostLooks = p.Looks * int64(len(ids)) / int64(max(1, searches*len(p.ids)))
	v := newSolver(s)
	v.progress = p.progress
	f := v.start()
	if p.Limits.Keep == nil { // no leftover to look for
		its += more
	}
	if its > 0 && !v.tired() && !(p.Rough && len(p.ids) > manyItems && its < int64(2*len(ids))) { // too few rounds to come to anything
		s.looks += int64(4 * len(ids) * len(ids))
		lowest := int64(0)
		if !p.Rough || len(f.out) == 0 { // else no cost is low enough
			lowest = s.lowestCost()
		}
		f = v.improve(f, lowest, its)
	}
	if more > 0 && !p.Rough {
		f = v.enlarge(f, more)
		if !p.large() {
			more *= 2
		}
		f = v.reduceCuts(f, more/3)
	}
	most := -1 // the sheet with the largest leftover, of which a sketch says nothing
	if !p.Rough {
		_, most, _ = v.largest(f.trees)
	}
	out := plan{counts: slices.Clone(counts)}
	var again []int
	for k, t := range f.trees {
		if l, ok := s.finish(t, k == most); ok {
			out.add(l)
		} else {
			again = append(again, s.itemsOf(t)...)
		}
	}
	for _, i := range f.out {
		again = append(again, ids[i])
	}
	slices.Sort(again)
	if len(again) == 0 {
		return out
	}
	if !safe && len(again) < len(ids) || !safe && !p.sameClearance(ids) {
		q := p.search(again, out.counts, gap, its, more, true)
		for _, l := range q.sheets {
			out.add(l)
		}
		out.out = append(out.out, q.out...)
		return out
	}
	for _, i := range p.largestFirst(again) {
		if l, ok := p.alone(i, out.counts); ok {
			out.add(l)
		} else {
			out.out = append(out.out, i)
		}
	}
	slices.Sort(out.out)
	return out
}

// lowestCost is a cost that no packing of the space goes below.
func (s *space) lowestCost() int64 {
	j := *s.job
	j.Items, j.Sheets = nil, slices.Clone(j.Sheets)
	j.Gap, j.Auto = measure.Length(s.gap)*s.unit, false
	for _, i := range s.ids {
		j.Items = append(j.Items, s.job.Items[i])
	}
	for k := range j.Sheets {
		if j.Sheets[k].Count = s.counts[k]; s.counts[k] >= unlimited {
			j.Sheets[k].Count = -1
		}
	}
	work := 2_000_000
	if s.mostLooks > 0 { // no more than half of what is left
		work = int(min(int64(work), max(0, s.mostLooks-s.looks)*workOfLook/2))
		s.looks += int64(work / workOfLook)
	}
	_, cost := lowerBounds(&j, work)
	return cost
}

func (p *plan) add(l finishedSheet) {
	p.sheets = append(p.sheets, l)
	p.cost += l.cost
	if p.counts[l.Sheet] < unlimited {
		p.counts[l.Sheet]--
	}
}

func (s *space) itemsOf(t *tree) []int {
	var ids []int
	for _, c := range t.cells {
		if c.kind == placed {
			ids = append(ids, s.ids[c.item])
		}
	}
	return ids
}

// finish makes the cuts of t; large if it is to yield the largest leftover.
func (s *space) finish(t *tree, large bool) (finishedSheet, bool) {
	trees, m, ok := s.carve(t, large)
	if !ok {
		return finishedSheet{}, false
	}
	l := &s.layouts[t.layout]
	return finishedSheet{LaidSheet{l.sheet, l.division, trees}, m, s.job.Sheets[l.sheet].Cost, s.itemsOf(t)}, true
}

// alone lays one item on a sheet by itself, the cheapest and then the smallest that takes it.
func (p *packer) alone(i int, counts []int) (finishedSheet, bool) {
	var best finishedSheet
	found := false
	for _, k := range p.cheapest {
		sh := p.Sheets[k]
		if counts[k] == 0 {
			continue
		}
		for c, division := range sh.Divisions {
			for n, piece := range division.Pieces {
				if m := p.onPiece(i, piece); m != nil {
					trees := make([]*Node, len(division.Pieces))
					trees[n] = m.node
					best, found = finishedSheet{LaidSheet{k, c, trees}, *m, sh.Cost, []int{i}}, true
				}
			}
		}
		if found {
			break
		}
	}
	return best, found
}

// onPiece is the cuts that make a piece into item i, or nil.
func (p *packer) onPiece(i int, piece Piece) *cutTree {
	if size, it := piece.Rect.Size(), p.Items[i].Size; size != it && size != it.Turn() && !p.Limits.parts(size) {
		return nil
	}
	c := &carver{space: &space{job: p.Job}}
	var best *cutTree
	for turned, r := range corners(p.Items[i], &piece) {
		if m := c.frame(i, turned, r, piece.Rect.Size()); c.better(m, best) {
			best = m
		}
	}
	if best != nil {
		best.node = best.node.at(0, 0)
	}
	return best
}

// corners are where an item may lie by itself on a piece, turned or not: in each corner, as far from the edges as it has to be.
func corners(it Item, piece *Piece) iter.Seq2[bool, measure.Rect] {
	return func(yield func(turned bool, r measure.Rect) bool) {
		for _, turned := range [2]bool{false, true} {
			beyond, n, ok := spare(it, turned, *piece)
			if !ok {
				continue
			}
			size := it.Size
			if turned {
				size = size.Turn()
			}
			for _, x := range [2]measure.Length{n.Left, beyond.W - n.Right} {
				for _, y := range [2]measure.Length{n.Top, beyond.H - n.Bottom} {
					if !yield(turned, size.At(x, y)) {
						return
					}
				}
			}
		}
	}
}

// frame cuts a leaf for item i at r out of a piece of that size: first the waste on two sides, then the other two.
func (c *carver) frame(i int, turned bool, r measure.Rect, size measure.Size) *cutTree {
	var best *cutTree
	for order := 0; order < 2; order++ {
		if !c.job.Limits.frames(r, size, order) {
			continue
		}
		m := &cutTree{node: &Node{Rect: r.Size().At(0, 0), Item: i, Turned: turned}}
		for k := range 2 {
			if s := m.node.Rect; k == order { // left and right
				if e := size.W - r.Right(); e > 0 {
					m = c.join(Down, m, c.waste(measure.Size{W: e, H: s.H}))
				}
				if r.X > 0 {
					m = c.join(Down, c.waste(measure.Size{W: r.X, H: s.H}), m)
				}
			} else {
				if e := size.H - r.Bottom(); e > 0 {
					m = c.join(Across, m, c.waste(measure.Size{W: s.W, H: e}))
				}
				if r.Y > 0 {
					m = c.join(Across, c.waste(measure.Size{W: s.W, H: r.Y}), m)
				}
			}
		}
		if c.better(m, best) {
			best = m
		}
	}
	return best
}

// frames reports whether the trimmer can make the cuts of frame, of which those at order 0 begin with left and right.
func (l Limits) frames(r measure.Rect, size measure.Size, order int) bool {
	cut := Node{Rect: r.Size().At(0, 0)} // what has been put together so far
	for k := range 2 {
		rests := [2]measure.Length{size.W - r.Right(), r.X}
		cut.Axis = Down
		if k != order {
			rests, cut.Axis = [2]measure.Length{size.H - r.Bottom(), r.Y}, Across
		}
		for _, rest := range rests {
			if rest <= 0 {
				continue
			}
			if cut.Axis == Down {
				cut.Rect.W += rest
			} else {
				cut.Rect.H += rest
			}
			if !l.allow(&cut) {
				return false
			}
		}
	}
	return true
}

// answer is the plan as the caller sees it.
func (p *packer) answer(q plan) Answer {
	a := Answer{Unplaced: append(slices.Clone(p.fitsNowhere), q.out...)}
	slices.Sort(a.Unplaced)
	first := map[string]int{} // sheet with that pattern: those that are cut alike follow each other
	patterns := map[*finishedSheet]int{}
	order := make([]*finishedSheet, len(q.sheets))
	for n := range q.sheets {
		l := &q.sheets[n]
		key := ""
		for _, t := range l.Trees {
			key += patternOf(t) + ";"
		}
		if _, ok := first[key]; !ok {
			first[key] = n
		}
		patterns[l], order[n] = first[key], l
	}
	slices.SortStableFunc(order, func(x, y *finishedSheet) int {
		return cmp.Or(cmp.Compare(x.Sheet, y.Sheet), cmp.Compare(patterns[x], patterns[y]))
	})
	for _, l := range order {
		a.Sheets = append(a.Sheets, l.LaidSheet)
		a.Cost += l.cost
	}
	if p.Rough { // nobody asks
		return a
	}
	placed := *p.Job
	placed.Items = nil
	out := map[int]bool{}
	for _, i := range a.Unplaced {
		out[i] = true
	}
	for i, it := range p.Items {
		if !out[i] {
			placed.Items = append(placed.Items, it)
		}
	}
	a.Bound = Bound(placed)
	return a
}

// patternOf is a text that is equal for trees with the same cuts.
func patternOf(n *Node) string {
	switch {
	case n == nil:
		return "blank"
	case n.Near == nil:
		return fmt.Sprint(n.Item >= 0, n.Rect.W, n.Rect.H)
	}
	return fmt.Sprint("(", n.Axis, n.At, patternOf(n.Near), patternOf(n.Far), ")")
}
