package layout

import (
	"cmp"
	"fmt"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
)

// Strip is a block laid by itself on a piece in hand, and what becomes of the piece.
type Strip struct {
	Plan   *plan.Plan   // one piece, the block at its leading end; where the piece in hand is cut before printing, that too
	Rest   measure.Size // the largest part afterwards that still feeds, or else what lies behind the block, as it feeds; nought: nothing remains
	Turned bool         // the rest is given the other way round than it lay
	Feeds  bool         // whether the rest still feeds, or may ride
	Rides  bool         // the rest feeds only on a carrier
	More   int          // blocks like this one that could be printed on the rest, one after the other
	Last   measure.Size // what would remain after those; the next block would need another piece
	Why    string       // why that does not serve: it no longer feeds, or has no room for the block
}

// OnStrip lays one set block at the leading end of a piece in hand, so that one cut frees it wherever the block is as wide or as long as
// the piece, and the rest can be fed again. Of all ways it takes the one that leaves the most in one part that still feeds. A piece
// that no printer pulls is cut into panels first.
func OnStrip(set *typeset.Setting, piece measure.Size, s *config.Settings) (*Strip, *problem.Problem) {
	b, u := set.Block, s.Unit
	stock, _ := s.Stock(b.Stock)
	f := newFeed(s, stock)
	if len(f.takers) == 0 {
		return nil, &problem.Problem{What: fmt.Sprintf("no printer takes the stock “%s”", stock.Name), Cause: "the configuration names no printer for it",
			Hint: "add the stock to a printer's “takes”, or choose another stock"}
	}
	item := itemOf(b)
	piece = f.asFed(piece, item)
	best, ok := f.lay(piece, item)
	switch {
	case !ok && !f.servesAt(piece):
		return nil, &problem.Problem{What: fmt.Sprintf("a piece of %s cannot be printed", piece.About(u)), Cause: f.whyUnfed(piece, u),
			Hint: "take a larger piece or a whole sheet, or correct --on if it is measured wrong"}
	case !ok:
		return nil, &problem.Problem{What: fmt.Sprintf("the block is %s with its tuck, and the piece of %s has no room for it", b.Trim().About(u), piece.About(u)),
			Cause: "its text has to stay clear of the edges that the printer cannot print, and the trimmer has to hold what it cuts",
			Hint:  "take a larger piece, make the space smaller, or make the tuck smaller with --tuck"}
	}
	a := arranger{settings: s, plan: &plan.Plan{}}
	from := plan.Source{Leftover: true, Sheet: 1, Rect: best.on.Rect, Name: "piece of " + piece.About(u)}
	if d := best.division; d.Cuts != nil {
		trees := make([]*pack.Node, len(d.Pieces))
		trees[best.panel] = best.tree
		sheet, panels := panelsOf(f, d, trees)
		sheet.Stock, sheet.Number, sheet.Leftover = stock.Name, 1, true
		from.Cut, from.Panel = sheet, panels[best.panel]
		a.plan.Sheets = append(a.plan.Sheets, sheet)
	}
	p := a.makePiece(stock.Name, best.on, from, best.tree, []copyOf{{set: set, n: 1}})
	if !f.printers[best.on.Printer].Feeds(p.Size()) {
		_, p.Carrier = f.ride(p.Size())
	}
	a.plan.Pieces = append(a.plan.Pieces, p)
	a.plan.Number(1)
	rest := f.asFed(best.rest, item)
	out := &Strip{Plan: a.plan, Rest: rest, Turned: rest != best.rest, Last: rest}
	out.Feeds = !rest.At(0, 0).Empty() && f.servesAt(rest)
	out.Rides = out.Feeds && f.printerFor(rest) < 0 && len(f.hosts(rest)) > 0
	for !out.Last.At(0, 0).Empty() {
		next, ok := f.lay(out.Last, item)
		if !ok && !f.servesAt(out.Last) {
			out.Why = f.whyUnfed(out.Last, u)
			break
		}
		if !ok {
			out.Why = "it has no room for this block"
			break
		}
		out.More++
		out.Last = f.asFed(next.rest, item)
	}
	return out, nil
}

// placement is a way of laying a block at the leading end of a piece, or of a panel of it.
type placement struct {
	on       pack.Piece
	division pack.Division // of the piece in hand; without cuts where it is fed whole
	panel    int           // of it
	tree     *pack.Node
	length   measure.Length // of the piece that it takes
	cuts     int
	rest     measure.Size // the largest part that still feeds, or else what lies behind the block
	leaves   int64        // the area of the largest part that still feeds
}

// hosts are a piece as each printer that pulls it sees it, or as it rides on its carrier.
func (f feed) hosts(size measure.Size) []pack.Piece {
	var out []pack.Piece
	for _, i := range f.takers {
		if f.printers[i].Feeds(size) {
			out = append(out, f.pullable(size.At(0, 0), i))
		}
	}
	if by, _ := f.ride(size); len(out) == 0 && by >= 0 {
		out = append(out, pack.Piece{Rect: size.At(0, 0), Printer: by})
	}
	return out
}

// servesAt reports whether a piece can be printed as it lies: whole, on a carrier or as panels.
func (f feed) servesAt(size measure.Size) bool {
	return len(f.hosts(size)) > 0 || f.serves(size, nil).area > 0
}

// lay is the placement that leaves the most in one part that still feeds, on the piece itself or, where no printer pulls it, on one of
// its panels; false: there is none.
func (f feed) lay(size measure.Size, item pack.Item) (placement, bool) {
	var all []placement
	for _, on := range f.hosts(size) {
		all = append(all, f.placements(on, item)...)
	}
	if len(all) == 0 && f.printerFor(size) < 0 {
		sides := []measure.Length{item.Size.W, item.Size.H}
		for _, d := range f.divisions(size, wishes{sides, sides}) {
			if d.Cuts == nil {
				continue
			}
			for k, panel := range d.Pieces {
				if panel.Printer < 0 || slices.ContainsFunc(d.Pieces[:k], func(p pack.Piece) bool { return p.Rect.Size() == panel.Rect.Size() }) {
					continue
				}
				for _, p := range f.placements(panel, item) {
					p.division, p.panel = d, k
					trees := make([]*pack.Node, len(d.Pieces))
					trees[k] = p.tree
					blank := uncut(d.Cuts, trees)
					f.remains(blank, &p)
					p.cuts += cutsOf(blank)
					all = append(all, p)
				}
			}
		}
	}
	if len(all) == 0 {
		return placement{}, false
	}
	return slices.MinFunc(all, func(a, b placement) int { // of equals the first: upright, on the first printer
		return cmp.Or(cmp.Compare(b.leaves, a.leaves), cmp.Compare(a.length, b.length), cmp.Compare(a.cuts, b.cuts))
	}), true
}

// placements are the ways of laying a block at the leading end of a piece that feeds or rides.
func (f feed) placements(on pack.Piece, item pack.Item) []placement {
	var all []placement
	size := on.Rect.Size()
	for _, turned := range []bool{false, true} {
		t, b := item.Size, item.Blank
		if turned {
			if !item.Turn {
				continue
			}
			t, b = t.Turn(), b.Turn()
		}
		if !fitsAlone(on, t, b) {
			continue
		}
		block := t.At(lead(on.Margins.Left-b.Left, size.W-t.W-max(0, on.Margins.Right-b.Right)), lead(on.Margins.Top-b.Top, size.H-t.H-max(0, on.Margins.Bottom-b.Bottom)))
		for _, axis := range []pack.Axis{pack.Across, pack.Down} {
			if tree, end := f.cutFree(size, block, turned, axis); tree != nil {
				p := placement{on: on, tree: tree, length: end, cuts: cutsOf(tree)}
				p.rest = measure.Size{W: size.W, H: size.H - end}
				if axis == pack.Down {
					p.length, p.rest = size.H, measure.Size{W: size.W - end, H: size.H}
				}
				f.remains(tree, &p)
				all = append(all, p)
			}
		}
	}
	return all
}

// lead is how far from an edge a block lies that must keep so far from it, and may lie so far: a strip that comes off is no sliver.
func lead(must, may measure.Length) measure.Length {
	if must > 0 && must < measure.ThinnestStrip && measure.ThinnestStrip <= may {
		return measure.ThinnestStrip
	}
	return max(0, must)
}

// remains looks for the largest rest of a cut tree that still feeds.
func (f feed) remains(n *pack.Node, p *placement) {
	if n.Near != nil {
		f.remains(n.Near, p)
		f.remains(n.Far, p)
		return
	}
	if size := n.Rect.Size(); n.Item < 0 && size.Area() > p.leaves && f.keepOrCut(size) {
		p.rest, p.leaves = size, size.Area()
	}
}

func cutsOf(n *pack.Node) int {
	if n.Near == nil {
		return 0
	}
	return 1 + cutsOf(n.Near) + cutsOf(n.Far)
}

// cutFree is the cut tree that takes a block off the leading end: one cut through the whole piece, behind the block or beside it, then
// what is too much around the block. The cut comes further away where the trimmer could not hold what is still to be trimmed.
func (f feed) cutFree(size measure.Size, block measure.Rect, turned bool, axis pack.Axis) (tree *pack.Node, end measure.Length) {
	leaf := &pack.Node{Rect: block, Turned: turned}
	head, rest := size.At(0, 0), size.At(0, 0)
	side := along(size, axis)
	part := func(at measure.Length) {
		end = at
		if axis == pack.Down {
			head.W, rest.X, rest.W = at, at, size.W-at
		} else {
			head.H, rest.Y, rest.H = at, at, size.H-at
		}
	}
	if part(block.Right()); axis == pack.Across {
		part(block.Bottom())
	}
	if head != block {
		at := max(end, f.trimmer.Holds)
		if at > end && at < end+measure.ThinnestStrip {
			at = end + measure.ThinnestStrip
		}
		if at > end && side < at+measure.ThinnestStrip { // what would be left is no strip of its own
			at = side
		}
		part(min(at, side))
	}
	top := f.trim(head, leaf)
	if top == nil {
		return nil, 0
	}
	if end == side {
		return top, end
	}
	tree = &pack.Node{Rect: size.At(0, 0), Axis: axis, At: end, Item: -1, Near: top,
		Far: &pack.Node{Rect: rest, Item: -1, Keep: f.keepOrCut(rest.Size())}}
	if !f.cuttable(tree) {
		return nil, 0
	}
	return tree, end
}

// trim cuts away what a rectangle has around the block, side by side, in the first order that the trimmer can do; nil: in
// none.
func (f feed) trim(r measure.Rect, block *pack.Node) *pack.Node {
	if r == block.Rect {
		return block
	}
	b := block.Rect
	for _, side := range []struct {
		axis pack.Axis
		at   measure.Length
		near bool // the waste is the near part
		need bool
	}{
		{pack.Down, b.Right(), false, b.Right() < r.Right()},
		{pack.Down, b.X, true, b.X > r.X},
		{pack.Across, b.Y, true, b.Y > r.Y},
		{pack.Across, b.Bottom(), false, b.Bottom() < r.Bottom()},
	} {
		if !side.need {
			continue
		}
		waste, left := r, r
		switch {
		case side.axis == pack.Down && side.near:
			waste.W, left.X, left.W = side.at-r.X, side.at, r.Right()-side.at
		case side.axis == pack.Down:
			left.W, waste.X, waste.W = side.at-r.X, side.at, r.Right()-side.at
		case side.near:
			waste.H, left.Y, left.H = side.at-r.Y, side.at, r.Bottom()-side.at
		default:
			left.H, waste.Y, waste.H = side.at-r.Y, side.at, r.Bottom()-side.at
		}
		n := &pack.Node{Rect: r, Axis: side.axis, At: side.at, Item: -1}
		if !f.cuttable(&pack.Node{Rect: r, Axis: side.axis, Near: &pack.Node{}, Far: &pack.Node{}}) {
			continue
		}
		inner := f.trim(left, block)
		if inner == nil {
			continue
		}
		scrap := &pack.Node{Rect: waste, Item: -1, Keep: f.keepOrCut(waste.Size())}
		n.Near, n.Far = inner, scrap
		if side.near {
			n.Near, n.Far = scrap, inner
		}
		return n
	}
	return nil
}

// whyUnfed says why no printer pulls a piece of that size as it lies.
func (f feed) whyUnfed(size measure.Size, u measure.Unit) string {
	var all []string
	for _, i := range f.takers {
		p := f.printers[i]
		why := ""
		switch {
		case size.W < p.Narrowest:
			why = "narrower than " + p.Narrowest.About(u)
		case size.W > p.Widest:
			why = "wider than " + p.Widest.About(u)
		case size.H < p.Shortest:
			why = "shorter than " + p.Shortest.About(u)
		case size.H > p.Longest:
			why = "longer than " + p.Longest.About(u)
		}
		all = append(all, fmt.Sprintf("“%s” pulls nothing %s", p.Name, why))
	}
	if c := f.stock.Carrier; c != nil {
		all = append(all, "it is too small or too large for its carrier")
	}
	return problem.And(all)
}
