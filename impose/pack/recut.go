package pack

import (
	"cmp"
	"fmt"
	"slices"

	"tuckmark/config/measure"
)

// Once the sheets and the largest leftover are settled, the pieces are laid again for the fewest cuts: each by itself.

const (
	// How many first cuts are tried for a piece with few items, for a part of one with more, and for all pieces of a large job.
	aloneTrials = 200_000
	partTrials  = 20_000
	allTrials   = 150_000 // a piece, or a part of one, gets no more of it than its share, but for the few items of small jobs
)

// recutPiece is a piece of the plan that is laid again.
type recutPiece struct {
	*laidPiece
	ids   []int
	kinds []int // of the ids, and behind them of the leftover that stays
	holds int64 // area of the leftover that stays; 0: none
	cuts  int   // that it takes, slivers counted
}

// laidPiece is a piece that items lie on.
type laidPiece struct {
	Piece
	tree **Node
}

// laidPieces are the pieces of a plan that items lie on.
func (p *packer) laidPieces(q *plan) []*laidPiece {
	var out []*laidPiece
	for n := range q.sheets {
		l := &q.sheets[n]
		for k, piece := range p.Sheets[l.Sheet].Divisions[l.Division].Pieces {
			if l.Trees[k] != nil {
				out = append(out, &laidPiece{piece, &l.Trees[k]})
			}
		}
	}
	return out
}

// sumAgain reckons what the sheets of a plan come to, after their trees were changed.
func (p *packer) sumAgain(q *plan) {
	for n := range q.sheets {
		q.sheets[n].cutTree = p.sum(q.sheets[n].LaidSheet)
	}
}

// fewestCuts lays the pieces of the plan again so that they take the fewest cuts that are found. The sheets and the largest leftover stay.
func (p *packer) fewestCuts(q *plan) {
	c := newLeastCutter(p.Limits)
	pieces := p.laidPieces(q)
	known, like := patterns{}, map[string]int{}
	again := p.recutPieces(c, q, pieces)
	for _, r := range again {
		like[r.key()]++
	}
	for k, r := range again {
		alike := like[r.key()]
		if p.stopped() {
			break
		}
		if r.holds > 0 {
			p.enlargeRest(c, r)
		}
		key := r.key()
		before := *pieces[k].tree
		if *pieces[k].tree = known.again(key, r.items()); *pieces[k].tree == nil {
			p.recut(c, r, len(pieces))
			ways := append([]*Node{joined(*r.tree, p.Limits)}, p.grids(r, c, measure.Size{})...)
			if p.Limits.Stack > 1 && before != nil && r.holds == 0 {
				ways = append(ways, joined(before, p.Limits))
			}
			*pieces[k].tree = known.add(key, r.items(), p.leastWork(ways, r.Piece, alike))
		}
	}
	p.sumAgain(q)
}

// leastWork is the way to cut so many pieces with the fewest cuts, or where sheets are cut in stacks, the fewest strokes; of equals the one
// that is the least to handle, or the first.
func (p *packer) leastWork(ways []*Node, on Piece, pieces int) *Node {
	if len(ways) == 1 {
		return ways[0]
	}
	var best *Node
	var least handling
	for _, way := range ways {
		cuts := cutsOf(way)
		if best != nil && cuts > cutsOf(best) && p.Limits.Stack < 2 {
			continue
		}
		h := p.Limits.handlingOf(p.tidied(way, on, pieces, false), pieces)
		if p.Limits.Stack < 2 {
			h.strokes = cuts // slivers counted
		}
		if best == nil || h.compare(least) < 0 {
			best, least = way, h
		}
	}
	return best
}

// recutPieces are the pieces of a plan that are to be laid again, in their order. The plan's largest leftover stays, where it is cut from one.
func (p *packer) recutPieces(c *leastCutter, q *plan, pieces []*laidPiece) []*recutPiece {
	var out []*recutPiece
	largest := p.largest(*q) // as long as no piece yields it
	for _, laid := range pieces {
		keep := int64(0)
		if largest > 0 && p.tally(*laid.tree).keep == largest {
			keep, largest = largest, 0
		}
		out = append(out, p.recutPiece(c, laid, keep))
	}
	return out
}

// recutPiece is a piece that is to be laid again. A leftover of area keep stays.
func (p *packer) recutPiece(c *leastCutter, laid *laidPiece, keep int64) *recutPiece {
	tree := *laid.tree
	r := &recutPiece{laidPiece: &laidPiece{laid.Piece, &tree}, holds: keep, cuts: cutsOf(tree)}
	eachItem(tree, func(n *Node) {
		r.ids = append(r.ids, n.Item)
		r.kinds = append(r.kinds, c.kindOf(p.Items[n.Item], r.Margins))
	})
	if rest := restOf(tree, keep); keep > 0 && rest != nil {
		r.kinds = append(r.kinds, c.leftover(rest.Rect.Size()))
	}
	return r
}

// items are the items of the piece by kind; equal ones in their order.
func (r *recutPiece) items() []int {
	of := make([]int, len(r.ids))
	for i := range of {
		of[i] = i
	}
	slices.SortStableFunc(of, func(a, b int) int { return cmp.Compare(r.kinds[a], r.kinds[b]) })
	for i, k := range of {
		of[i] = r.ids[k]
	}
	return of
}

// key is equal for pieces that the same pattern serves.
func (r *recutPiece) key() string {
	return fmt.Sprint(r.Rect.Size(), r.Margins, slices.Sorted(slices.Values(r.kinds)), r.holds)
}

// patterns are ways to cut pieces, so that those with the same sizes on them are cut alike.
type patterns map[string]pattern

type pattern struct {
	items []int // by kind
	tree  *Node
}

// add remembers a tree.
func (t patterns) add(key string, items []int, tree *Node) *Node {
	t[key] = pattern{items, tree}
	return tree
}

// again is the tree that was found for a piece with that key, with these items in it, or nil.
func (t patterns) again(key string, items []int) *Node {
	like, ok := t[key]
	if !ok {
		return nil
	}
	in := map[int]int{}
	for i, id := range like.items {
		in[id] = items[i]
	}
	tree := clone(like.tree)
	eachItem(tree, func(n *Node) { n.Item = in[n.Item] })
	return tree
}

// room is the piece with the gap that every item has on its right and below.
func (r *recutPiece) room(c *leastCutter) measure.Size {
	return measure.Size{W: r.Rect.W + c.gap.W, H: r.Rect.H + c.gap.H}
}

// recut lays one piece again, or its parts where it has too many items.
func (p *packer) recut(c *leastCutter, r *recutPiece, pieces int) {
	if s := c.newSet(r.room(c), r.kinds); s != nil {
		c.trials = min(partTrials, allTrials/pieces)
		if len(r.ids) <= exactItems && !p.large() {
			c.trials = aloneTrials
		}
		if p.lay(s, r, r.ids, r.cuts-1) || c.trials > 0 {
			return
		}
	}
	*r.tree = p.recutParts(c, *r.tree, r, min(partTrials, allTrials/pieces))
	r.cuts = cutsOf(*r.tree)
}

// enlargeRest lays the piece that yields the largest leftover so that what is left along one of its edges is larger, if it can be.
func (p *packer) enlargeRest(c *leastCutter, r *recutPiece) {
	items := r.kinds[:len(r.ids)]
	s := c.newSet(r.room(c), items)
	if s == nil {
		return
	}
	most := r.Rect.Size().Area() - p.area(r.ids)
	budget := aloneTrials
	sums := *s.sumsOf(s.all())
	for _, a := range [2]Axis{Down, Across} {
		for _, used := range sums[a] {
			rest := r.Rect.Size()
			if a == Down {
				rest.W -= used
			} else {
				rest.H -= used
			}
			if rest.W <= 0 || rest.H <= 0 || rest.Area() <= r.holds || budget <= 0 || !p.Limits.Keep(rest) {
				break // what follows leaves less
			}
			if rest.Area() > most {
				continue
			}
			kinds := append(items[:len(items):len(items)], c.leftover(rest))
			if larger := c.newSet(r.room(c), kinds); larger != nil {
				c.trials = partTrials
				if p.lay(larger, r, r.ids, 3*len(r.ids)) {
					r.holds, r.kinds = rest.Area(), kinds
				}
				budget -= partTrials - c.trials
			}
		}
	}
}

// lay lays the set on the piece with at most so many cuts, if that can be found.
func (p *packer) lay(s *cutSet, r *recutPiece, ids []int, most int) bool {
	room := s.piece.At(0, 0)
	cuts, ok := s.least(s.all(), room, most)
	if !ok {
		return false
	}
	tree := p.treeOf(s, room, r, ids)
	if tree == nil {
		return false
	}
	*r.tree, r.cuts = tree, cuts
	return true
}

// treeOf is the tree of a set that was searched; equal items are given out in their order.
func (p *packer) treeOf(s *cutSet, at measure.Rect, r *recutPiece, ids []int) *Node {
	waiting := map[int][]int{}
	for _, i := range ids {
		k := s.kindOf(p.Items[i], r.Margins)
		waiting[k] = append(waiting[k], i)
	}
	return s.tree(s.all(), at, func(number int) int {
		i := waiting[number][0]
		waiting[number] = waiting[number][1:]
		return i
	})
}

// recutParts lays the parts of a tree again that are small enough to be searched.
func (p *packer) recutParts(c *leastCutter, n *Node, r *recutPiece, trials int) *Node {
	if n.Near == nil {
		return n
	}
	var ids, kinds []int
	eachItem(n, func(leaf *Node) {
		ids = append(ids, leaf.Item)
		kinds = append(kinds, c.kindOf(p.Items[leaf.Item], r.Margins))
	})
	if r.holds > 0 {
		if rest := restOf(n, r.holds); rest != nil {
			kinds = append(kinds, c.leftover(rest.Rect.Size()))
		}
	}
	if s := c.newSet(r.room(c), kinds); s != nil && len(ids) > 0 {
		c.trials = trials
		if _, ok := s.least(s.all(), n.Rect, cutsOf(n)-1); ok {
			if tree := p.treeOf(s, n.Rect, r, ids); tree != nil {
				return tree
			}
		}
		if c.trials > 0 {
			return n
		}
	}
	out := *n
	out.Near, out.Far = p.recutParts(c, n.Near, r, trials), p.recutParts(c, n.Far, r, trials)
	return &out
}

// cutsOf is what a tree takes at the trimmer, slivers counted.
func cutsOf(n *Node) int {
	if n.Near != nil {
		return 1 + cutsOf(n.Near) + cutsOf(n.Far)
	}
	if n.Item < 0 {
		return thinness(min(n.Rect.W, n.Rect.H))
	}
	return 0
}

// restOf is a leftover of that area, or nil.
func restOf(n *Node, area int64) *Node {
	if n.Near == nil {
		if n.Item < 0 && n.Keep && n.Rect.Size().Area() == area {
			return n
		}
		return nil
	}
	if r := restOf(n.Near, area); r != nil {
		return r
	}
	return restOf(n.Far, area)
}
