package pack

import (
	"slices"

	"tuckmark/config/measure"
)

// A cut with scrap beside it can be marked; one between two blocks, or beside a leftover, is measured. So where cuts are made by their
// marks, the waste of a piece is spent where it gives a cut its mark: the waste of a row changes its place in the row, or a gap comes off
// the waste of a part. It begins from the way with the fewest cuts, and from ways with a gap between all blocks, one above the other, one
// beside the other, or both, where the piece has room for them. No leftover gets smaller.

const (
	cutPrice      = 2 // what a cut costs
	unmarkedPrice = 3
	settingPrice  = 1 // of the fence
	markTrials    = 3000
	exploreTrials = 1000
	allExplored   = 8 * exploreTrials // on all pieces together
)

// markedWay is the plan with the waste of each piece where it gives cuts their marks; loosen tells whether to look for ways with a gap
// between all blocks of a piece.
func (p *packer) markedWay(q plan, loosen bool) plan {
	q.sheets = slices.Clone(q.sheets)
	for n := range q.sheets {
		q.sheets[n].Trees = slices.Clone(q.sheets[n].Trees)
	}
	pieces := p.laidPieces(&q)
	c, known := newLeastCutter(p.Limits), patterns{}
	for k, like := range p.recutPieces(c, &q, pieces) {
		if p.stopped() {
			break
		}
		piece := pieces[k]
		key := like.key()
		if tree := known.again(key, like.items()); tree != nil {
			*piece.tree = tree
			continue
		}
		best := p.spend(*piece.tree, piece.Piece)
		if loosen {
			for _, loose := range p.loosened(piece, like.holds, min(partTrials, allTrials/len(pieces))) {
				if s := p.spend(loose, piece.Piece); s.price < best.price {
					best = s
				}
			}
		}
		best.explore(min(exploreTrials, allExplored/len(pieces)))
		*piece.tree = known.add(key, like.items(), p.plainer(joined(best.tree, p.Limits), like, c))
	}
	p.sumAgain(&q)
	return q
}

// plainer is the tree, or the plain grid that takes less, with the settings of the fence counted.
func (p *packer) plainer(tree *Node, r *recutPiece, c *leastCutter) *Node {
	price := func(n *Node) int {
		h := p.Limits.handlingOf(n, 1)
		return p.priceOf(n, r.Piece) + settingPrice*(h.settings+h.far)
	}
	least := -1
	gaps := [3]measure.Length{0, p.narrowGap(), p.Gap}
	for _, w := range gaps {
		for _, h := range gaps {
			for _, grid := range p.grids(r, c, measure.Size{W: w, H: h}) {
				if least < 0 {
					tree = p.tidied(tree, r.Piece, 1, true)
					least = price(tree)
				}
				if p.priceOf(grid, r.Piece) >= least {
					continue
				}
				grid = p.tidied(grid, r.Piece, 1, true)
				if n := price(grid); n <= least {
					tree, least = grid, n
				}
			}
		}
	}
	return tree
}

// narrowGap is the gap where there is no room for the whole one.
func (j *Job) narrowGap() measure.Length {
	if j.Gap%measure.Millimetre == 0 {
		return min(j.Gap, 2*measure.Millimetre)
	}
	return min(j.Gap, measure.ThinnestStrip)
}

// loosened are ways to cut what lies on a piece with a gap between all of it; a leftover of that area stays.
func (p *packer) loosened(piece *laidPiece, keep int64, trials int) []*Node {
	if p.Gap == 0 {
		return nil
	}
	var out []*Node
	for _, gap := range [3]measure.Size{{W: p.Gap, H: p.Gap}, {W: p.Gap}, {H: p.Gap}} {
		c := newLeastCutter(p.Limits)
		c.gap = gap
		r := p.recutPiece(c, piece, keep)
		c.trials = trials
		s := c.newSet(r.room(c), r.kinds)
		if s == nil {
			return out
		}
		if p.lay(s, r, r.ids, impossible-1) && p.Limits.allowAll(*r.tree) { // a gap that comes off was not thought of
			out = append(out, *r.tree)
		}
	}
	return out
}

// spender spends the waste of one piece.
type spender struct {
	*Job
	piece  Piece
	tree   *Node
	price  int
	trials int // that are left
	seen   int // changes that there were when all were looked at
	until  int // above nought: the change with that number is taken whatever it costs
}

// spend is a piece's tree with its waste where it gives cuts their marks.
func (p *packer) spend(tree *Node, piece Piece) *spender {
	s := &spender{Job: p.Job, piece: piece, tree: tree, trials: markTrials}
	s.price = s.priceOf(tree, piece)
	for s.improve() && !p.stopped() {
	}
	return s
}

// explore looks for ways that lie behind one that is worse: a change by chance, then what makes it better again.
func (s *spender) explore(trials int) {
	random := rng(1)
	for s.trials = trials; s.trials > 0 && s.seen > 0; {
		tree, price := s.tree, s.price
		for n := 1 + random.below(2); n > 0; n-- {
			s.until = 1 + random.below(s.seen)
			s.improve()
		}
		for s.until = 0; s.improve(); {
		}
		if s.price > price {
			s.tree, s.price = tree, price
		}
	}
}

// priceOf is what it costs to cut a piece that way.
func (j *Job) priceOf(n *Node, on Piece) int {
	return cutPrice*cutsOf(n) + unmarkedPrice*j.Unmarked(n, on)
}

// improve takes the first change that makes the piece cheaper to cut, and reports whether there is one.
func (s *spender) improve() bool {
	s.seen = 0
	return s.each(s.tree, func(changed *Node) *Node { return changed })
}

// each tries the changes of every row in n; whole puts what n becomes into the piece.
func (s *spender) each(n *Node, whole func(*Node) *Node) bool {
	if n.Near == nil {
		return false
	}
	parts := row(n, n.Axis, nil)
	if s.change(n.Axis, parts, whole) {
		return true
	}
	for i, part := range parts {
		if s.each(part, func(changed *Node) *Node {
			q := slices.Clone(parts)
			q[i] = changed
			return whole(s.chained(n.Axis, q))
		}) {
			return true
		}
	}
	return false
}

// row appends the parts into which cuts of one direction part a tree.
func row(n *Node, a Axis, out []*Node) []*Node {
	if n.Near == nil || n.Axis != a {
		return append(out, n)
	}
	return row(n.Far, a, row(n.Near, a, out))
}

// chained is a row that is cut apart from its near end. Scrap beside scrap is one.
func (s *spender) chained(a Axis, parts []*Node) *Node {
	var m *Node
	own := false // m is no part but put together here
	for i := len(parts) - 1; i >= 0; i-- {
		part := parts[i]
		for i > 0 && isScrap(part) && isScrap(parts[i-1]) {
			i--
			part = restSized(sizedAlong(part.Rect.Size(), a, lengthAlong(part.Rect, a)+lengthAlong(parts[i].Rect, a)), s.Limits)
		}
		switch {
		case m == nil:
			m = part
		case own:
			m = putTogether(a, atOrigin(part), m)
		default:
			m, own = cutInto(a, part, m), true
		}
	}
	return m
}

// cutInto is a rectangle of two parts, wherever they lie so far.
func cutInto(a Axis, near, far *Node) *Node { return putTogether(a, atOrigin(near), atOrigin(far)) }

// atOrigin is a copy of a rectangle that starts at its own corner.
func atOrigin(n *Node) *Node {
	n = clone(n)
	move(n, -n.Rect.X, -n.Rect.Y)
	return n
}

func isScrap(n *Node) bool { return n.Near == nil && n.Item < 0 && !n.Keep }

// change tries what can be done with the waste of one row.
func (s *spender) change(a Axis, parts []*Node, whole func(*Node) *Node) bool {
	try := func(q []*Node) bool { return s.try(whole(s.chained(a, q))) }
	for from, waste := range parts {
		if !isScrap(waste) {
			continue
		}
		others := slices.Delete(slices.Clone(parts), from, from+1)
		for to := range len(others) + 1 { // the waste changes its place in the row
			if to != from && try(slices.Insert(slices.Clone(others), to, waste)) {
				return true
			}
		}
	}
	if s.Gap == 0 {
		return false
	}
	for _, width := range [2]measure.Length{s.Gap, s.narrowGap()} {
		for from, part := range parts {
			smaller := s.shrunk(part, a, width)
			if smaller == nil {
				continue
			}
			q := slices.Clone(parts)
			q[from] = smaller
			gap := restSized(sizedAlong(part.Rect.Size(), a, width), s.Limits)
			for to := 1; to < len(parts); to++ {
				if !isScrap(parts[to-1]) && !isScrap(parts[to]) && try(slices.Insert(slices.Clone(q), to, gap)) {
					return true
				}
			}
		}
	}
	return false
}

// shrunk is a part without so much of its waste in one direction, or nil. Leftovers stay whole.
func (s *spender) shrunk(n *Node, a Axis, by measure.Length) *Node {
	if n.Near == nil {
		if !isScrap(n) || lengthAlong(n.Rect, a) < by+measure.ThinnestStrip {
			return nil
		}
		return restSized(sizedAlong(n.Rect.Size(), a, lengthAlong(n.Rect, a)-by), s.Limits)
	}
	if n.Axis != a {
		near, far := s.shrunk(n.Near, a, by), s.shrunk(n.Far, a, by)
		if near == nil || far == nil {
			return nil
		}
		return cutInto(n.Axis, near, far)
	}
	for _, first := range [2]bool{false, true} {
		part, other := n.Far, n.Near
		if first {
			part, other = other, part
		}
		if isScrap(part) && lengthAlong(part.Rect, a) == by { // all of it
			return other
		}
		m := s.shrunk(part, a, by)
		switch {
		case m == nil:
		case first:
			return cutInto(a, m, other)
		default:
			return cutInto(a, other, m)
		}
	}
	return nil
}

// try takes a way to cut the piece if the trimmer can, all ink can be printed, and it costs less.
func (s *spender) try(n *Node) bool {
	s.seen++
	if s.until > 0 {
		if s.seen < s.until {
			return false
		}
		if !s.Limits.allowAll(n) || !inkIsClear(s.Job, n, s.piece) {
			s.until++ // the next one then
			return false
		}
		s.tree, s.price = n, s.priceOf(n, s.piece)
		return true
	}
	if s.trials--; s.trials < 0 || cutPrice*cutsOf(n) >= s.price || !s.Limits.allowAll(n) || !inkIsClear(s.Job, n, s.piece) {
		return false
	}
	if price := s.priceOf(n, s.piece); price < s.price {
		s.tree, s.price = n, price
		return true
	}
	return false
}
