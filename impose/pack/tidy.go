package pack

import (
	"cmp"
	"fmt"
	"slices"

	"tuckmark/config/measure"
)

// Which parts lie on a piece, and with how many cuts, is settled; in which order the parts of a row lie and come off is not. Like lies with
// like, so that the fence stays where it is; what is left over comes last, so that all is set from the near edge; a gap comes off with the
// part before it, and parts that are too narrow for the trimmer come off two by two, for the same reason.

// tidyRounds ends the search for a better order.
const tidyRounds = 4

// tidy brings the rows of the plan's pieces into the order that is the least to handle. No piece takes more cuts than before, nor, with marks,
// more of them without one.
func (p *packer) tidy(q *plan, marks bool) {
	pieces := p.laidPieces(q)
	c, known := newLeastCutter(p.Limits), patterns{}
	alike := map[string]int{}
	like := p.recutPieces(c, q, pieces)
	keys := make([]string, len(like))
	for k, r := range like {
		keys[k] = fmt.Sprint(r.key(), shapeOf(*r.tree))
		alike[keys[k]]++
	}
	for k, r := range like {
		if p.stopped() {
			break
		}
		key := keys[k]
		if *pieces[k].tree = known.again(key, r.items()); *pieces[k].tree == nil {
			*pieces[k].tree = known.add(key, r.items(), p.tidied(*r.tree, r.Piece, alike[key], marks))
		}
	}
	p.sumAgain(q)
}

// tidied is a tree without slivers that need not be, and with its rows in the order that is the least to handle on so many pieces.
func (p *packer) tidied(tree *Node, on Piece, pieces int, marks bool) *Node {
	tree = p.thickened(tree, on)
	whole := rowOf(tree)
	best, now := tree, p.Limits.handlingOf(tree, pieces)
	cuts, unmarked := cutsOf(tree), -1
	fits := func(n *Node) bool {
		if cutsOf(n) > cuts || !p.Limits.allowAll(n) || !inkIsClear(p.Job, n, on) || !p.keepsGap(n) {
			return false
		}
		if !marks || p.Unmarked == nil {
			return true
		}
		if unmarked < 0 {
			unmarked = p.Unmarked(best, on)
		}
		return p.Unmarked(n, on) <= unmarked
	}
	if marks && whole.level(p.Gap) {
		if n := whole.build(p.Limits); fits(n) {
			best, now = n, p.Limits.handlingOf(n, pieces)
		} else {
			whole = rowOf(tree)
		}
	}
	rows := whole.rows(nil)
	for round, better := 0, true; better && round < tidyRounds; round++ {
		better = false
		for _, r := range rows {
			old := r.order
			for _, order := range r.orders(p.Limits.Hold, p.Gap > 0 && !p.Auto) {
				r.order = order
				n := whole.build(p.Limits)
				if h := p.Limits.handlingOf(n, pieces); h.compare(now) < 0 && fits(n) {
					best, now, old, better = n, h, order, true
				}
			}
			r.order = old
		}
	}
	return best
}

// keepsGap reports whether the items of a tree are as far apart as a gap by hand asks for.
func (p *packer) keepsGap(n *Node) bool {
	if p.Gap == 0 || p.Auto {
		return true
	}
	var items []measure.Rect
	eachItem(n, func(leaf *Node) { items = append(items, leaf.Rect) })
	slices.SortFunc(items, func(a, b measure.Rect) int { return cmp.Compare(a.X, b.X) })
	for i, a := range items {
		for _, b := range items[i+1:] {
			if b.X >= a.Right()+p.Gap {
				break
			}
			if b.Y < a.Bottom()+p.Gap && a.Y < b.Bottom()+p.Gap {
				return false
			}
		}
	}
	return true
}

// cutRow is a part of a piece: a row of parts that cuts of one direction take apart, or a leaf.
type cutRow struct {
	leaf  *Node // without cuts
	axis  Axis
	parts []*cutRow
	order *cutOrder
}

// cutOrder says how a row comes apart: a part, by its number, or two sides of a cut.
type cutOrder struct {
	near, far *cutOrder
	part      int
}

// rowOf is a tree by its rows.
func rowOf(n *Node) *cutRow {
	r := &cutRow{}
	if n.Near == nil {
		r.leaf = &Node{Rect: n.Rect.Size().At(0, 0), Item: n.Item, Turned: n.Turned, Keep: n.Keep}
		return r
	}
	r.axis = n.Axis
	var order func(n *Node) *cutOrder
	order = func(n *Node) *cutOrder {
		if n.Near == nil || n.Axis != r.axis {
			r.parts = append(r.parts, rowOf(n))
			return &cutOrder{part: len(r.parts) - 1}
		}
		near := order(n.Near)
		return &cutOrder{near: near, far: order(n.Far)}
	}
	r.order = order(n)
	return r
}

// rows are all rows of a part, itself first.
func (r *cutRow) rows(out []*cutRow) []*cutRow {
	if r.leaf != nil {
		return out
	}
	out = append(out, r)
	for _, part := range r.parts {
		out = part.rows(out)
	}
	return out
}

// build is the part's cuts.
func (r *cutRow) build(lim Limits) *Node {
	if r.leaf != nil && r.leaf.Item < 0 {
		return restSized(r.leaf.Rect.Size(), lim)
	}
	if r.leaf != nil {
		n := *r.leaf
		return &n
	}
	var cut func(o *cutOrder) *Node
	cut = func(o *cutOrder) *Node {
		if o.near == nil {
			return r.parts[o.part].build(lim)
		}
		near := cut(o.near)
		return putTogether(r.axis, near, cut(o.far))
	}
	return cut(r.order)
}

// length is how long a part is in the direction of a row's cuts.
func (r *cutRow) length(a Axis) (l measure.Length) {
	switch {
	case r.leaf != nil:
		return lengthAlong(r.leaf.Rect, a)
	case r.axis != a:
		return r.parts[0].length(a)
	}
	for _, part := range r.parts {
		l += part.length(a)
	}
	return l
}

func (r *cutRow) scrap() bool { return r.leaf != nil && isScrap(r.leaf) }

// level has the gaps in every row as wide as asked for, and what they were wider in the strip of waste at the row's end. It reports
// whether that changed anything.
func (r *cutRow) level(gap measure.Length) (changed bool) {
	if r.leaf != nil {
		return false
	}
	last := r.parts[len(r.parts)-1]
	for _, part := range r.parts[:len(r.parts)-1] {
		changed = part.level(gap) || changed
		over := part.length(r.axis) - gap
		if !part.scrap() || !last.scrap() || over <= 0 || part == r.parts[0] {
			continue
		}
		part.leaf.Rect = sizedAlong(part.leaf.Rect.Size(), r.axis, gap).At(0, 0)
		last.leaf.Rect = sizedAlong(last.leaf.Rect.Size(), r.axis, last.length(r.axis)+over).At(0, 0)
		changed = true
	}
	return last.level(gap) || changed
}

// rowUnit is what comes off in one go: a part with the gap behind it, or without one.
type rowUnit struct {
	order  *cutOrder
	length measure.Length
	gap    bool
}

// orders are the orders of a row to try. Scrap at its ends stays there; with kept, so does the part that has no gap behind it.
func (r *cutRow) orders(hold measure.Length, kept bool) (out []*cutOrder) {
	from, to := 0, len(r.parts)
	if r.parts[0].scrap() {
		from++
	}
	if to > from && r.parts[to-1].scrap() {
		to--
	}
	var units []rowUnit
	gaps := false
	for i := from; i < to; i++ {
		u := rowUnit{order: &cutOrder{part: i}, length: r.parts[i].length(r.axis)}
		if i+1 < to && r.parts[i+1].scrap() {
			i++
			u = rowUnit{&cutOrder{near: u.order, far: &cutOrder{part: i}}, u.length + r.parts[i].length(r.axis), true}
			gaps = true
		}
		units = append(units, u)
	}
	if len(units) < 2 && !gaps {
		return nil
	}
	often := map[measure.Length]int{}
	for _, u := range units {
		often[u.length]++
	}
	for _, by := range []func(a, b rowUnit) int{
		func(a, b rowUnit) int { return 0 },
		func(a, b rowUnit) int {
			return cmp.Or(cmp.Compare(often[b.length], often[a.length]), cmp.Compare(a.length, b.length))
		},
		func(a, b rowUnit) int { return cmp.Compare(a.length, b.length) },
		func(a, b rowUnit) int { return cmp.Compare(b.length, a.length) },
	} {
		sorted := slices.Clone(units)
		if kept {
			slices.SortStableFunc(sorted[:len(sorted)-1], by)
		} else {
			slices.SortStableFunc(sorted, by)
		}
		if last := len(sorted) - 1; to < len(r.parts) && sorted[last].gap { // its gap and the waste at the end would be parted by a cut
			k := last
			for k >= 0 && sorted[k].gap {
				k--
			}
			if k < 0 {
				continue
			}
			plain := sorted[k]
			sorted = append(slices.Delete(sorted, k, k+1), plain)
		}
		for _, units := range [][]rowUnit{sorted, paired(sorted, hold)} {
			if units == nil {
				continue
			}
			var o *cutOrder
			if to < len(r.parts) {
				o = &cutOrder{part: to}
			}
			for i := len(units) - 1; i >= 0; i-- {
				o = units[i].order.before(o)
			}
			if from > 0 {
				o = (&cutOrder{part: 0}).before(o)
			}
			out = append(out, o)
		}
	}
	return out
}

// before is an order with a cut behind it, or, where nothing follows, the order itself.
func (o *cutOrder) before(far *cutOrder) *cutOrder {
	if far == nil {
		return o
	}
	return &cutOrder{near: o, far: far}
}

// paired has two like units that stand side by side, too narrow for the trimmer to hold, come off together. It is nil where there are none.
func paired(units []rowUnit, hold measure.Length) (out []rowUnit) {
	some := false
	for i := 0; i < len(units); i++ {
		u := units[i]
		if i+1 < len(units) && u.length < hold && 2*u.length >= hold && units[i+1].length == u.length && units[i+1].gap == u.gap {
			i++
			u, some = rowUnit{&cutOrder{near: u.order, far: units[i].order}, 2 * u.length, units[i].gap}, true
		}
		out = append(out, u)
	}
	if !some {
		return nil
	}
	return out
}
