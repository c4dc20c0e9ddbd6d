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
	Plan  *plan.Plan   // one piece, the block at its leading end
	Rest  measure.Size // what the piece measures afterwards, as it feeds; nought: nothing remains
	Feeds bool         // whether the rest still feeds, or may ride
	Rides bool         // the rest feeds only on a carrier
	More  int          // blocks like this one that could be printed on the rest, one after the other
	Last  measure.Size // what would remain after those; the next block would need another piece
	Why   string       // why that does not serve: it no longer feeds, or has no room for the block
}

// OnStrip lays one set block at the leading end of a piece in hand, so that one cut across frees it wherever the block is as
// wide as the piece, and the rest can be fed again. It takes as little of the piece's length as it can.
func OnStrip(set *typeset.Setting, piece measure.Size, s *config.Settings) (*Strip, *problem.Problem) {
	b, u := set.Block, s.Unit
	stock, _ := s.Stock(b.Stock)
	f := newFeed(s, stock)
	if len(f.takers) == 0 {
		return nil, &problem.Problem{What: fmt.Sprintf("no printer takes the stock “%s”", stock.Name), Cause: "the configuration names no printer for it",
			Hint: "add the stock to a printer's “takes”, or choose another stock"}
	}
	piece = f.asFed(piece)
	if len(f.hosts(piece)) == 0 {
		return nil, &problem.Problem{What: fmt.Sprintf("a piece of %s cannot be printed", piece.About(u)), Cause: f.whyUnfed(piece, u),
			Hint: "take a larger piece or a whole sheet, or correct --on if it is measured wrong"}
	}
	best, ok := f.atEnd(piece, b.Trim(), b.Tuck.Plus(b.Inset), b.Turn)
	if !ok {
		return nil, &problem.Problem{What: fmt.Sprintf("the block is %s with its tuck, and the piece of %s has no room for it", b.Trim().About(u), piece.About(u)),
			Cause: "its text has to stay clear of the edges that the printer cannot print, and the trimmer has to hold what it cuts",
			Hint:  "take a larger piece, make the space smaller, or make the tuck smaller with --tuck"}
	}
	a := arranger{settings: s, plan: &plan.Plan{}}
	from := plan.Source{Leftover: true, Sheet: 1, Rect: piece.At(0, 0), Name: "piece of " + piece.About(u)}
	p := a.piece(stock.Name, best.piece, from, best.tree, []copyOf{{set, 1}})
	if !f.printers[best.piece.Printer].Feeds(piece) {
		_, p.Carrier = f.ride(piece)
	}
	a.plan.Pieces = append(a.plan.Pieces, p)
	a.plan.Number(1)
	rest := f.asFed(measure.Size{W: piece.W, H: piece.H - best.length})
	out := &Strip{Plan: a.plan, Rest: rest, Last: rest}
	out.Feeds = !rest.At(0, 0).Empty() && len(f.hosts(rest)) > 0
	out.Rides = out.Feeds && f.printerFor(rest) < 0
	for !out.Last.At(0, 0).Empty() {
		if len(f.hosts(out.Last)) == 0 {
			out.Why = f.whyUnfed(out.Last, u)
			break
		}
		next, ok := f.atEnd(out.Last, b.Trim(), b.Tuck.Plus(b.Inset), b.Turn)
		if !ok {
			out.Why = "it has no room for this block"
			break
		}
		out.More++
		out.Last.H -= next.length
		out.Last = f.asFed(out.Last)
	}
	return out, nil
}

// placement is a way of laying a block at the leading end of a piece.
type placement struct {
	piece  pack.Piece
	tree   *pack.Node
	length measure.Length // of the piece that it takes
	cuts   int
	turned bool
}

// hosts are a piece as each printer that pulls it sees it, or as it rides on its carrier.
func (f feed) hosts(size measure.Size) []pack.Piece {
	var out []pack.Piece
	for _, i := range f.takers {
		if f.printers[i].Feeds(size) {
			out = append(out, f.piece(size.At(0, 0), i))
		}
	}
	if by, _ := f.ride(size); len(out) == 0 && by >= 0 {
		out = append(out, pack.Piece{Rect: size.At(0, 0), Printer: by})
	}
	return out
}

// atEnd is the placement that takes the least of the piece; false: there is none.
func (f feed) atEnd(size, trim measure.Size, blank measure.Sides, turn bool) (placement, bool) {
	var all []placement
	for _, on := range f.hosts(size) {
		for _, turned := range []bool{false, true} {
			t, b := trim, blank
			if turned {
				if !turn {
					continue
				}
				t, b = trim.Turn(), blank.Turn()
			}
			if !fitsAlone(on, t, b) {
				continue
			}
			block := t.At(max(0, on.Margins.Left-b.Left), max(0, on.Margins.Top-b.Top))
			if tree, end := f.cutFree(size, block, turned); tree != nil {
				all = append(all, placement{on, tree, end, cutsOf(tree), turned})
			}
		}
	}
	if len(all) == 0 {
		return placement{}, false
	}
	return slices.MinFunc(all, func(a, b placement) int {
		return cmp.Or(cmp.Compare(a.length, b.length), cmp.Compare(a.cuts, b.cuts)) // of equals the first: upright, on the first printer
	}), true
}

func cutsOf(n *pack.Node) int {
	if n.Near == nil {
		return 0
	}
	return 1 + cutsOf(n.Near) + cutsOf(n.Far)
}

// cutFree is the cut tree that takes a block off the leading end: one cut across the whole piece, then what is too much
// around the block. The cut comes later down the piece where the trimmer could not hold what is still to be trimmed.
func (f feed) cutFree(size measure.Size, block measure.Rect, turned bool) (tree *pack.Node, end measure.Length) {
	leaf := &pack.Node{Rect: block, Turned: turned}
	end = block.Bottom()
	if block.X > 0 || block.Y > 0 || block.Right() < size.W {
		end = min(max(end, f.trimmer.Holds), size.H)
	}
	head := size.At(0, 0)
	head.H = end
	top := f.trim(head, leaf)
	if top == nil {
		return nil, 0
	}
	if end == size.H {
		return top, end
	}
	rest := size.At(0, 0)
	rest.Y, rest.H = end, size.H-end
	tree = &pack.Node{Rect: size.At(0, 0), Axis: pack.Across, At: end, Item: -1, Near: top,
		Far: &pack.Node{Rect: rest, Item: -1, Keep: f.keep(rest.Size())}}
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
		scrap := &pack.Node{Rect: waste, Item: -1, Keep: f.keep(waste.Size())}
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
