package pack

import (
	"maps"

	"tuckmark/config/measure"
)

// A strip thinner than a sliver is pushed aside by the blade, not cut. So where a piece has other waste to spare the strip gets some of it,
// or goes to it. What is beside the strip in its row gives first; then what is beside the parts that the row is among, where all of those
// get a strip. What is left has no waste to spare beside it: a block as wide as the sheet but for a hair, or blocks that
// stand beside each other and differ by one, with the largest leftover behind them.

// thickened is a tree in which no strip is a sliver that need not be one. A gap that is asked for is as wide as it is asked for.
func (p *packer) thickened(tree *Node, on Piece) *Node {
	asked := measure.Length(0)
	if !p.Auto {
		asked = p.Gap
	}
	for range 8 { // one after the other; more than a few are not on a piece
		better := p.thicker(tree, on, asked)
		if better == nil {
			break
		}
		tree = better
	}
	return tree
}

// thicker is a tree with a sliver less, or nil.
func (p *packer) thicker(tree *Node, on Piece, asked measure.Length) *Node {
	slivers := sliversIn(tree, asked)
	if slivers == 0 {
		return nil
	}
	var best *Node
	least := 0
	try := func(whole *cutRow) {
		n := joined(whole.build(p.Limits), p.Limits)
		if sliversIn(n, asked) >= slivers || !p.Limits.allowAll(n) || !inkIsClear(p.Job, n, on) || !p.keepsGap(n) {
			return
		}
		if p.stays != nil && !maps.Equal(p.staying(tree, map[int]measure.Rect{}), p.staying(n, map[int]measure.Rect{})) {
			return
		}
		price := cutPrice * cutsOf(n)
		if p.Unmarked != nil && !p.Measure {
			price = p.priceOf(n, on)
		}
		if best == nil || price < least {
			best, least = n, price
		}
	}
	for k, r := range rowOf(tree).rows(nil) {
		for from, part := range r.parts {
			by := part.lack(r.axis, asked)
			if by == 0 {
				continue
			}
			for to, giver := range r.parts {
				if to == from {
					continue
				}
				for _, l := range [2]measure.Length{by, max(by, measure.ThinnestStrip)} {
					if giver.spare(r.axis) < l {
						continue
					}
					whole := rowOf(tree)
					again := whole.rows(nil)[k]
					if again.parts[from].widen(again.axis, l) && again.parts[to].narrow(again.axis, l) {
						try(whole)
					}
				}
				if part.scrap() && giver.scrap() { // all of it goes to the other
					whole := rowOf(tree)
					again := whole.rows(nil)[k]
					again.parts[to].widen(again.axis, part.length(r.axis))
					again.drop(from)
					try(whole)
				}
			}
		}
	}
	return best
}

// sliversIn is how many strips of a tree are slivers, but for gaps that are asked for.
func sliversIn(n *Node, asked measure.Length) int {
	if n.Near != nil {
		return sliversIn(n.Near, asked) + sliversIn(n.Far, asked)
	}
	if l := min(n.Rect.W, n.Rect.H); n.Item < 0 && l < measure.ThinnestStrip && l != asked {
		return 1
	}
	return 0
}

// lack is by how much a part has to be longer so that no strip in it is a sliver.
func (r *cutRow) lack(a Axis, asked measure.Length) (most measure.Length) {
	if r.leaf != nil {
		if l := lengthAlong(r.leaf.Rect, a); r.leaf.Item < 0 && l < measure.ThinnestStrip && l != asked {
			return measure.ThinnestStrip - l
		}
		return 0
	}
	for _, part := range r.parts {
		most = max(most, part.lack(a, asked))
	}
	return most
}

// spare is by how much a part can be shorter without a sliver.
func (r *cutRow) spare(a Axis) measure.Length {
	if r.leaf != nil {
		if r.scrap() {
			return max(0, lengthAlong(r.leaf.Rect, a)-measure.ThinnestStrip)
		}
		return 0
	}
	l := r.parts[0].spare(a)
	for _, part := range r.parts[1:] {
		if r.axis == a {
			l = max(l, part.spare(a))
		} else {
			l = min(l, part.spare(a))
		}
	}
	return l
}

// narrow makes a part shorter that has so much to spare.
func (r *cutRow) narrow(a Axis, by measure.Length) bool {
	if r.spare(a) < by {
		return false
	}
	if r.leaf != nil {
		r.leaf.Rect = sizedAlong(r.leaf.Rect.Size(), a, lengthAlong(r.leaf.Rect, a)-by).At(0, 0)
		return true
	}
	for _, part := range r.parts {
		if done := part.narrow(a, by); done == (r.axis == a) { // one of a row, or all that stand beside each other
			return done
		}
	}
	return r.axis != a
}

// widen makes a part longer: its strips of waste, and where there are none, with one. It reports false where that would be a sliver.
func (r *cutRow) widen(a Axis, by measure.Length) bool {
	if r.leaf != nil {
		if r.leaf.Item < 0 {
			r.leaf.Rect = sizedAlong(r.leaf.Rect.Size(), a, lengthAlong(r.leaf.Rect, a)+by).At(0, 0)
			return true
		}
		strip := &cutRow{leaf: &Node{Rect: sizedAlong(r.leaf.Rect.Size(), a, by).At(0, 0), Item: -1}}
		*r = cutRow{axis: a, parts: []*cutRow{{leaf: r.leaf}, strip}, order: &cutOrder{near: &cutOrder{}, far: &cutOrder{part: 1}}}
		return by >= measure.ThinnestStrip
	}
	if r.axis != a {
		for _, part := range r.parts {
			if !part.widen(a, by) {
				return false
			}
		}
		return true
	}
	thinnest := -1
	for i, part := range r.parts {
		if part.scrap() && (thinnest < 0 || part.length(a) < r.parts[thinnest].length(a)) { // which may be the sliver
			thinnest = i
		}
	}
	if thinnest >= 0 {
		return r.parts[thinnest].widen(a, by)
	}
	last := len(r.parts) - 1
	return r.parts[last].widen(a, by)
}

// drop takes a part out of a row.
func (r *cutRow) drop(part int) {
	var without func(o *cutOrder) *cutOrder
	without = func(o *cutOrder) *cutOrder {
		if o.near == nil {
			if o.part == part {
				return nil
			}
			return o
		}
		near, far := without(o.near), without(o.far)
		switch {
		case near == nil:
			return far
		case far == nil:
			return near
		}
		return &cutOrder{near: near, far: far}
	}
	r.order = without(r.order)
}
