package pack

import (
	"sort"

	"tuckmark/config/measure"
)

// The search leaves rows without order and rests without borders; here they become cuts. For each row the order of
// its parts and the place of its waste are chosen so that the trimmer holds what it cuts, few cuts are made, and, if
// that is asked for, the largest rest worth keeping comes out as large as it can.

// cutTree is a part of a piece with its cuts. The node's coordinates start at its own corner.
type cutTree struct {
	node *Node
	cuts int
	keep int64 // area of its largest rest worth keeping
	sum  int64 // area of all of them
}

// carver turns one piece of a tree into cuts. What it makes starts at its own corner in all its parts, so that ways to cut may share them; at says where they lie.
type carver struct {
	*space
	t            *tree
	large        bool // the largest leftover before the fewest cuts
	keepOffEdges bool // order rows so that parts stay clear of the piece's edges
	memo         map[carveKey]*cutTree

	lead   measure.Length // of a margin that comes off each part of a root, since the trimmer cannot take it off the whole piece; 0: none
	leadOf int16          // that root
}

type carveKey struct {
	x    int16
	r, b measure.Length
}

// carve makes the cuts of each piece of t, in the order of the division's pieces (nil where nothing lies). It reports false
// where margins or trimmer allow no cuts.
func (s *space) carve(t *tree, large bool) (trees []*Node, all cutTree, ok bool) {
	l := &s.layouts[t.layout]
	division := s.job.Sheets[l.sheet].Divisions[l.division]
	trees = make([]*Node, len(division.Pieces))
	for p, g := range l.roots {
		x := int16(p)
		size := division.Pieces[g.piece].Rect.Size()
		if f := t.cells[x].first; t.cells[f].kind == rest && t.cells[f].next < 0 {
			all.add(size, s.job.Limits)
			continue
		}
		var m *cutTree
		for _, edges := range [2]bool{false, true} {
			c := carver{space: s, t: t, large: large, keepOffEdges: edges, memo: map[carveKey]*cutTree{}}
			if way := c.cutRoot(x, g); way != nil {
				if n := way.node.at(0, 0); inkIsClear(s.job, n, division.Pieces[g.piece]) {
					m = &cutTree{n, way.cuts, way.keep, way.sum}
					break
				}
			}
		}
		if m == nil {
			return nil, cutTree{}, false
		}
		trees[g.piece] = m.node
		all.join(m)
	}
	for _, p := range division.Pieces {
		if p.Printer < 0 {
			all.add(p.Rect.Size(), s.job.Limits)
		}
	}
	return trees, all, true
}

// inkIsClear reports whether every ink box of the tree lies where the printer prints.
func inkIsClear(j *Job, n *Node, p Piece) bool {
	if n.Near != nil {
		return inkIsClear(j, n.Near, p) && inkIsClear(j, n.Far, p)
	}
	if n.Item < 0 {
		return true
	}
	return p.Rect.Size().At(0, 0).Inset(clearance(j.Items[n.Item], n.Turned, p.Margins)).Contains(n.Rect)
}

// farAt is where the far part lies of a carver's tree that lies at x and y.
func (n *Node) farAt(x, y measure.Length) (farX, farY measure.Length) {
	if n.Axis == Down {
		return x + n.At, y
	}
	return x, y + n.At
}

// at is a carver's tree as it lies at x and y.
func (n *Node) at(x, y measure.Length) *Node {
	d := *n
	if d.Rect = n.Rect.Move(x, y); n.Near != nil {
		farX, farY := n.farAt(x, y)
		d.Near, d.Far = n.Near.at(x, y), n.Far.at(farX, farY)
		if d.At = farY; n.Axis == Down {
			d.At = farX
		}
	}
	return &d
}

func (m *cutTree) join(o *cutTree) {
	m.cuts += o.cuts
	m.keep = max(m.keep, o.keep)
	m.sum += o.sum
}

func (m *cutTree) add(s measure.Size, lim Limits) bool {
	if lim.Keep == nil || !lim.Keep(s) {
		return false
	}
	m.keep = max(m.keep, s.Area())
	m.sum += s.Area()
	return true
}

// better reports whether a is the better way to cut, nil being the worst.
func (c *carver) better(a, b *cutTree) bool {
	if a == nil || b == nil {
		return b == nil && a != nil
	}
	if c.large && a.keep != b.keep {
		return a.keep > b.keep
	}
	if a.cuts != b.cuts {
		return a.cuts < b.cuts
	}
	if a.keep != b.keep {
		return a.keep > b.keep
	}
	return a.sum > b.sum
}

// move shifts a tree in place.
func move(n *Node, x, y measure.Length) {
	n.Rect = n.Rect.Move(x, y)
	if n.Near != nil {
		if n.Axis == Down {
			n.At += x
		} else {
			n.At += y
		}
		move(n.Near, x, y)
		move(n.Far, x, y)
	}
}

func clone(n *Node) *Node {
	if n == nil {
		return nil
	}
	d := *n
	d.Near, d.Far = clone(n.Near), clone(n.Far)
	return &d
}

// waste is a rest of that size.
func (c *carver) waste(s measure.Size) *cutTree {
	m := &cutTree{node: &Node{Rect: s.At(0, 0), Item: -1}}
	m.node.Keep = m.add(s, c.job.Limits)
	return m
}

// join cuts a rectangle into near and far, which fill it; nil where the trimmer cannot.
func (c *carver) join(a Axis, near, far *cutTree) *cutTree {
	if near == nil || far == nil {
		return nil
	}
	n := cutBetween(a, near.node, far.node)
	if !c.job.Limits.allow(n) {
		return nil
	}
	m := &cutTree{node: n, cuts: 1}
	m.join(near)
	m.join(far)
	return m
}

// cutBetween is the rectangle that a cut parts into near and far. All three start at their own corners.
func cutBetween(a Axis, near, far *Node) *Node {
	n := &Node{Axis: a, Near: near, Far: far, Item: -1}
	s := near.Rect.Size()
	if a == Down {
		n.At = s.W
		s.W += far.Rect.W
	} else {
		n.At = s.H
		s.H += far.Rect.H
	}
	n.Rect = s.At(0, 0)
	return n
}

// putTogether is that with far moved to its place.
func putTogether(a Axis, near, far *Node) *Node {
	n := cutBetween(a, near, far)
	x, y := n.farAt(0, 0)
	move(far, x, y)
	return n
}

// allow reports whether the trimmer can make the first cut of a tree.
func (l Limits) allow(n *Node) bool {
	return n.Rect.W >= l.Hold && n.Rect.H >= l.Hold && (l.Longest <= 0 || lengthAlong(n.Rect, 1-n.Axis) <= l.Longest)
}

// parts reports whether the trimmer can make some cut through a piece of that size.
func (l Limits) parts(size measure.Size) bool {
	return min(size.W, size.H) >= l.Hold && (l.Longest <= 0 || min(size.W, size.H) <= l.Longest)
}

// allowAll reports whether the trimmer can make every cut of a tree.
func (l Limits) allowAll(n *Node) bool {
	return n.Near == nil || l.allow(n) && l.allowAll(n.Near) && l.allowAll(n.Far)
}

// cutRoot is the cuts of root x.
func (c *carver) cutRoot(x int16, g region) *cutTree {
	var best *cutTree
	if g.lead.W == 0 && g.lead.H == 0 {
		return c.cutCell(x, g.tail.W, g.tail.H)
	}
	for _, first := range [2]Axis{Down, Across} {
		m := c.cutCell(x, g.tail.W, g.tail.H)
		if m == nil {
			return nil
		}
		for k := 0; k < 2; k++ {
			a := first
			if k == 0 {
				a = 1 - first // the inner of the two
			}
			s := m.node.Rect.Size()
			if a == Down && g.lead.W > 0 {
				m = c.join(a, c.waste(measure.Size{W: g.lead.W, H: s.H}), m)
			} else if a == Across && g.lead.H > 0 {
				m = c.join(a, c.waste(measure.Size{W: s.W, H: g.lead.H}), m)
			}
			if m == nil {
				break
			}
		}
		if c.better(m, best) {
			best = m
		}
	}
	if best == nil {
		return c.cutApart(x, g)
	}
	return best
}

// cutApart is the cuts of a root whose margin on one side is longer than the trimmer cuts: the parts are cut apart first, and the margin comes off each.
func (c *carver) cutApart(x int16, g region) *cutTree {
	if c.t.cells[x].kind != split {
		return nil
	}
	a, of := Axis(c.t.cells[c.t.cells[x].first].along), *c
	of.memo, of.leadOf = map[carveKey]*cutTree{}, x
	if of.lead = g.lead.W; a == Down {
		of.lead = g.lead.H
	}
	if of.lead == 0 {
		return nil
	}
	m := of.cutCell(x, g.tail.W, g.tail.H)
	switch {
	case m == nil:
	case a == Across && g.lead.H > 0:
		m = c.join(a, c.waste(measure.Size{W: m.node.Rect.W, H: g.lead.H}), m)
	case a == Down && g.lead.W > 0:
		m = c.join(a, c.waste(measure.Size{W: g.lead.W, H: m.node.Rect.H}), m)
	}
	return m
}

// cutCell is the cuts of cell x when r and b of waste come along on its right and at the bottom (less than nought: so much
// of its own waste stays away).
func (c *carver) cutCell(x int16, r, b measure.Length) *cutTree {
	key := carveKey{x, r, b}
	m, ok := c.memo[key]
	if !ok {
		c.looks += looksToCut
		n := &c.t.cells[x]
		switch n.kind {
		case rest:
			m = c.waste(measure.Size{W: c.length(n.w) + r, H: c.length(n.h) + b})
		case placed:
			m = c.item(n, r, b)
		default:
			m = c.row(x, r, b)
		}
		c.memo[key] = m
	}
	return m
}

func (s *space) length(l int32) measure.Length { return measure.Length(l-s.gap) * s.unit }

func (c *carver) item(n *cell, r, b measure.Length) *cutTree {
	id := c.ids[n.item]
	box := c.boxes[n.item]
	leaf := func() *cutTree {
		return &cutTree{node: &Node{Rect: measure.Rect{W: c.length(n.w), H: c.length(n.h)}, Item: id, Turned: n.w != box.w || n.h != box.h}}
	}
	if r < 0 || b < 0 {
		return nil
	}
	if r == 0 && b == 0 {
		return leaf()
	}
	w, h := c.length(n.w), c.length(n.h)
	downFirst, acrossFirst := leaf(), leaf()
	if b > 0 {
		downFirst = c.join(Across, downFirst, c.waste(measure.Size{W: w, H: b}))
	}
	if r > 0 {
		downFirst = c.join(Down, downFirst, c.waste(measure.Size{W: r, H: h + b}))
		acrossFirst = c.join(Down, acrossFirst, c.waste(measure.Size{W: r, H: h}))
	}
	if b > 0 {
		acrossFirst = c.join(Across, acrossFirst, c.waste(measure.Size{W: w + r, H: b}))
	}
	if c.better(acrossFirst, downFirst) {
		return acrossFirst
	}
	return downFirst
}

// slack is the waste at the end of cell x across its row, which can be cut off for the whole row at once.
func (c *carver) slack(x int16) measure.Length {
	n := &c.t.cells[x]
	if n.kind != split {
		return 0
	}
	for y := n.first; y >= 0; y = c.t.cells[y].next {
		if k := &c.t.cells[y]; k.kind == rest {
			if k.along == 0 {
				return measure.Length(k.w) * c.unit
			}
			return measure.Length(k.h) * c.unit
		}
	}
	return 0
}

// row is the cuts of the split cell x.
func (c *carver) row(x int16, r, b measure.Length) *cutTree {
	var kids []int16
	var end, own measure.Length // waste at the end of the row; how much of it is the row's own
	along := c.t.cells[c.t.cells[x].first].along
	for y := c.t.cells[x].first; y >= 0; y = c.t.cells[y].next {
		if k := &c.t.cells[y]; k.kind == rest {
			own = measure.Length(k.w) * c.unit
			if along == 1 {
				own = measure.Length(k.h) * c.unit
			}
		} else {
			kids = append(kids, y)
		}
	}
	side, full := b, c.length(c.t.cells[x].h)
	end = own + r
	if along == 1 {
		side, full = r, c.length(c.t.cells[x].w)
		end = own + b
	}
	if end < 0 {
		return nil
	}
	low := measure.Length(-1) // the strip of waste that all parts have at their far side
	for _, k := range kids {
		if s := c.slack(k); low < 0 || s < low {
			low = s
		}
	}
	lead := measure.Length(0)
	if x == c.leadOf {
		lead = c.lead
	}
	a := Axis(along)
	var best *cutTree
	try := func(order []int16) {
		// The waste across stays with each part, or comes off in one strip, of the whole row or of what is
		// left once the end of the row is off.
		strips := []measure.Length{0}
		if side > 0 {
			strips = append(strips, side)
		}
		if low > 0 && side+low > 0 {
			strips = append(strips, side+low)
		}
		for _, strip := range strips {
			with := side - strip
			line := full + side + lead
			for form := 0; form < 4; form++ {
				endFirst, stripLast := form&1 == 1, form&2 == 2
				if end == 0 && endFirst || strip == 0 && stripLast {
					continue
				}
				var m *cutTree
				inner := line - strip
				tail := end
				if endFirst {
					tail = 0
				}
				m = c.chain(a, order, lead, with, inner, tail)
				off := func() {
					if strip > 0 && m != nil {
						m = c.join(1-a, m, c.waste(c.sizeAlong(a, lengthAlong(m.node.Rect, a), strip)))
					}
				}
				if !endFirst {
					if stripLast {
						continue
					}
					off()
				} else {
					if stripLast { // the strip spans the end too
						m = c.join(a, m, c.waste(c.sizeAlong(a, end, inner)))
						off()
					} else {
						off()
						m = c.join(a, m, c.waste(c.sizeAlong(a, end, line)))
					}
				}
				if m != nil && c.better(m, best) {
					best = m
				}
			}
		}
	}
	for _, o := range c.orders(kids, along) {
		if try(o); best != nil {
			break
		}
	}
	return best
}

// sizeAlong is the size of a part that is long along axis a and wide across it.
func (c *carver) sizeAlong(a Axis, long, wide measure.Length) measure.Size {
	if a == Down {
		return measure.Size{W: long, H: wide}
	}
	return measure.Size{W: wide, H: long}
}

// lengthAlong is the extent of r in the direction that cuts of axis a follow one another.
func lengthAlong(r measure.Rect, a Axis) measure.Length {
	if a == Down {
		return r.W
	}
	return r.H
}

// ends are the first and the last of four sides in the direction that cuts of axis a follow one another.
func ends(s measure.Sides, a Axis) [2]measure.Length {
	if a == Down {
		return [2]measure.Length{s.Left, s.Right}
	}
	return [2]measure.Length{s.Top, s.Bottom}
}

// chain cuts the parts off one after the other, with the gap between them and tail of waste behind the last. Each has waste across, lead before it and with behind.
func (c *carver) chain(a Axis, order []int16, lead, with, wide, tail measure.Length) *cutTree {
	var m *cutTree
	cell := func(x int16, r, b measure.Length) *cutTree {
		k := c.cutCell(x, r, b)
		if k != nil && lead > 0 {
			k = c.join(1-a, c.waste(c.sizeAlong(a, lengthAlong(k.node.Rect, a), lead)), k)
		}
		return k
	}
	gap := measure.Length(c.gap) * c.unit
	for i := len(order) - 1; i >= 0; i-- {
		r, b := measure.Length(0), with
		if a == Across {
			r, b = with, 0
		}
		k := cell(order[i], r, b)
		switch {
		case m == nil && tail > 0:
			if k != nil {
				m = c.join(a, k, c.waste(c.sizeAlong(a, tail, wide)))
			}
			if m == nil { // what is too narrow to be cut further is held together with the waste behind it, which then comes off each of its parts
				if a == Down {
					r += tail
				} else {
					b += tail
				}
				m = cell(order[i], r, b)
			}
		case k == nil:
			return nil
		case m != nil:
			if gap > 0 {
				if m = c.join(a, c.waste(c.sizeAlong(a, gap, wide)), m); m == nil {
					return nil
				}
			}
			m = c.join(a, k, m)
		default:
			m = k
		}
		if m == nil {
			return nil
		}
	}
	return m
}

// orders are the orders of a row's parts to try: large ones first, which looks best, then large ones last, which a
// trimmer holds longest. To stay clear of the edges, what may touch them goes to the ends.
func (c *carver) orders(kids []int16, along uint8) [][]int16 {
	long := func(x int16) int32 {
		if along == 0 {
			return c.t.cells[x].w
		}
		return c.t.cells[x].h
	}
	down := append([]int16(nil), kids...)
	sort.SliceStable(down, func(i, j int) bool { return long(down[i]) > long(down[j]) })
	up := append([]int16(nil), kids...)
	sort.SliceStable(up, func(i, j int) bool { return long(up[i]) < long(up[j]) })
	if !c.keepOffEdges || len(kids) < 2 {
		return [][]int16{down, up}
	}
	var out [][]int16
	for _, o := range [][]int16{down, up} {
		q := append([]int16(nil), o...)
		f, l := 0, 0
		for i := range q {
			if c.edgeClearance(q[i], along, false) < c.edgeClearance(q[f], along, false) {
				f = i
			}
		}
		q[0], q[f] = q[f], q[0]
		l = 1
		for i := 1; i < len(q); i++ {
			if c.edgeClearance(q[i], along, true) <= c.edgeClearance(q[l], along, true) {
				l = i
			}
		}
		q[len(q)-1], q[l] = q[l], q[len(q)-1]
		out = append(out, q)
	}
	return out
}

// edgeClearance is the most that an item of cell x must stay away from the near (or far) edge of a piece in direction along.
func (c *carver) edgeClearance(x int16, along uint8, far bool) measure.Length {
	n := &c.t.cells[x]
	if n.kind == rest {
		return 0
	}
	if n.kind == placed {
		box := c.boxes[n.item]
		l := &c.layouts[c.t.layout]
		m := c.job.Sheets[l.sheet].Divisions[l.division].Pieces[l.roots[0].piece].Margins
		d := clearance(c.job.Items[c.ids[n.item]], n.w != box.w || n.h != box.h, m)
		return ends(d, Axis(along))[asIndex(far)]
	}
	var most measure.Length
	for y := n.first; y >= 0; y = c.t.cells[y].next {
		most = max(most, c.edgeClearance(y, along, far))
	}
	return most
}
