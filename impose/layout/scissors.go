package layout

import (
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
)

// Without a trimmer every block is cut out with scissors, along an outline that is printed on the waste around it. Between neighbours
// there is a gap that scissors pass, as wide as costs no sheet; the layout stays one of edge-to-edge cuts, which nobody makes.

// scissorGaps are the shares of the whole gap that are tried where that costs a sheet.
var scissorGaps = [...]measure.Length{1, 2, 4}

// apart is the job and its answer with the blocks apart, as far as that costs nothing: all of them by one gap, or else those of every sheet by
// what there is room for.
func (l *layout) apart(job pack.Job, answer pack.Answer) (pack.Job, pack.Answer) {
	if !l.settings.Trimmer.Scissors || l.rough {
		return job, answer
	}
	job.Tick = nil // the blocks are laid already
	wide := gapOf(l.settings)
	if l.settings.Gap.Auto {
		job, answer = l.roomier(job, answer, wide)
	}
	for i := range answer.Sheets {
		for _, tree := range answer.Sheets[i].Trees {
			if tree != nil {
				clearOfKept(tree, wide, job.Limits.Keep)
			}
		}
	}
	return job, answer
}

// roomier packs again with a gap: at the cost of the answer for all sheets, or sheet by sheet.
func (l *layout) roomier(job pack.Job, answer pack.Answer, wide measure.Length) (pack.Job, pack.Answer) {
	for _, share := range scissorGaps {
		if l.stop() {
			return job, answer
		}
		trial := job
		trial.Gap = wide / share
		if a := pack.Pack(trial); len(a.Unplaced) == 0 && a.Cost <= answer.Cost {
			a.Bound = answer.Bound
			return trial, a
		}
	}
	for i := range answer.Sheets {
		for _, share := range scissorGaps {
			if l.stop() {
				return job, answer
			}
			if trees := spread(job, answer.Sheets[i], wide/share); trees != nil {
				answer.Sheets[i].Trees = trees
				break
			}
		}
	}
	return job, answer
}

// spread lays what is on one sheet anew with a gap; nil: that takes more than the sheet.
func spread(job pack.Job, laid pack.LaidSheet, gap measure.Length) []*pack.Node {
	var ids []int
	for _, tree := range laid.Trees {
		eachItem(tree, func(n *pack.Node) { ids = append(ids, n.Item) })
	}
	sheet := job.Sheets[laid.Sheet]
	sheet.Count, sheet.Divisions = 1, sheet.Divisions[laid.Division:laid.Division+1]
	one := job
	one.Gap, one.Sheets, one.Items = gap, []pack.Sheet{sheet}, nil
	for _, id := range ids {
		one.Items = append(one.Items, job.Items[id])
	}
	a := pack.Pack(one)
	if len(a.Unplaced) > 0 || len(a.Sheets) != 1 {
		return nil
	}
	for _, tree := range a.Sheets[0].Trees {
		eachItem(tree, func(n *pack.Node) { n.Item = ids[n.Item] })
	}
	return a.Sheets[0].Trees
}

// eachItem visits the leaves of a tree that are items; nil has none.
func eachItem(n *pack.Node, visit func(*pack.Node)) {
	if n == nil {
		return
	}
	leaves(n, func(leaf *pack.Node) {
		if leaf.Item >= 0 {
			visit(leaf)
		}
	})
}

// clearOfKept takes a strip of a gap's width off every leftover along the edges at which it touches a block, for the block's outline, where what
// is left is still worth keeping.
func clearOfKept(tree *pack.Node, gap measure.Length, keep func(measure.Size) bool) {
	var blocks []measure.Rect
	var kept []*pack.Node
	leaves(tree, func(n *pack.Node) {
		switch {
		case n.Item >= 0:
			blocks = append(blocks, n.Rect)
		case n.Keep:
			kept = append(kept, n)
		}
	})
	for _, n := range kept {
		var off measure.Sides
		r := n.Rect
		for _, b := range blocks {
			wide, high := b.X < r.Right() && r.X < b.Right(), b.Y < r.Bottom() && r.Y < b.Bottom()
			switch {
			case wide && b.Bottom() == r.Y:
				off.Top = gap
			case wide && b.Y == r.Bottom():
				off.Bottom = gap
			case high && b.Right() == r.X:
				off.Left = gap
			case high && b.X == r.Right():
				off.Right = gap
			}
		}
		if rest := r.Inset(off); rest.Empty() || !keep(rest.Size()) {
			continue
		}
		for _, cut := range []struct {
			off  measure.Length
			axis pack.Axis
			far  bool
		}{{off.Top, pack.Across, false}, {off.Bottom, pack.Across, true}, {off.Left, pack.Down, false}, {off.Right, pack.Down, true}} {
			if cut.off > 0 {
				n = cutStrip(n, cut.axis, cut.far, cut.off)
			}
		}
	}
}

// cutStrip makes a leftover into a strip of scrap along one edge and the rest, which comes back.
func cutStrip(n *pack.Node, axis pack.Axis, far bool, wide measure.Length) *pack.Node {
	from, to := n.Rect.X, n.Rect.Right()
	if axis == pack.Across {
		from, to = n.Rect.Y, n.Rect.Bottom()
	}
	n.Axis, n.Keep, n.At = axis, false, from+wide
	if far {
		n.At = to - wide
	}
	near, behind := halves(n.Rect, axis == pack.Across, n.At)
	n.Near, n.Far = &pack.Node{Rect: near, Item: -1}, &pack.Node{Rect: behind, Item: -1}
	rest := n.Far
	if far {
		rest = n.Near
	}
	rest.Keep = true
	return rest
}

// outline is the hairlines along the edges of a block, or of a leftover, that lie on scrap and can be printed. An edge that is the piece's own
// needs none.
func (m *marker) outline(piece, r measure.Rect) []plan.Mark {
	var out []plan.Mark
	for _, edge := range []struct {
		axis         plan.Axis
		at, from, to measure.Length
		side         int
	}{{plan.Across, r.Y, r.X, r.Right(), -1}, {plan.Down, r.Right(), r.Y, r.Bottom(), 1}, {plan.Across, r.Bottom(), r.X, r.Right(), 1}, {plan.Down, r.X, r.Y, r.Bottom(), -1}} {
		for _, s := range m.free(piece, edge.axis, edge.at, edge.from, edge.to, edge.side) {
			out = append(out, m.markAt(edge.axis, edge.at, edge.side, s.From, s.To))
		}
	}
	return out
}

// outlined draws the outlines of a piece's blocks and of what is kept.
func (m *marker) outlined(whole *plan.Part) {
	for leaf := range whole.Leaves {
		if leaf.Block != nil || leaf.Keep {
			leaf.Outline = m.outline(whole.Rect, leaf.Rect)
		}
	}
}
