package layout

import (
	"fmt"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/pack"
	"tuckmark/intake"
)

// GiveWay looks for blocks that fit a piece by their size, but whose ink box reaches into what a printer cannot print: a title strip as
// long as the sheet, a card as large as the paper. Their insets are made wider where that is needed and nowhere else, as little as
// serves, before the text is set, and a note says so. What centres stays in the middle. At names the paper of a stock.
func GiveWay(blocks []intake.Block, at func(config.Stock) []config.Sheet, s *config.Settings) (notes problem.List) {
	a := arranger{settings: s}
	known := map[string][2]*pack.Rooms{} // by stock: whichever way its sheets are fed, and as they are where an item has room on none
	for i := range blocks {
		b := &blocks[i]
		stock, ok := s.Stock(b.Stock)
		if !ok {
			continue
		}
		rooms, seen := known[stock.Name]
		if !seen {
			f, sheets := a.feedOf(stock), at(stock)
			rooms = [2]*pack.Rooms{f.rooms(sheets), pack.RoomsOf(a.offer(f, sheets).Sheets)}
			known[stock.Name] = rooms
		}
		if rooms[0].Fits(itemOf(b)) {
			continue
		}
		if best, ok := leastGiven(rooms[1], b); ok {
			b.Inset = b.Inset.Plus(best.more)
			at := b.Place
			at.Column = "Space"
			notes.Note(at, "the text stays "+clearOf(b, best.more, b.Unit)+", more than its inset",
				fmt.Sprintf("the block is as large as a piece of %s allows, and “%s” cannot print up to the edges of it", best.piece.About(b.Unit), s.Printers[best.printer].Name),
				"nothing, if that looks well; else make the space smaller")
		}
	}
	return notes
}

// given is by how much a block's insets are made wider, as it reads, to fit a piece.
type given struct {
	more    measure.Sides
	piece   measure.Size
	printer int
}

// leastGiven is the least that serves on any piece on offer; false: the block is larger than all of them, or has no ink box left.
func leastGiven(rooms *pack.Rooms, b *intake.Block) (best given, found bool) {
	item := itemOf(b)
	sum := func(s measure.Sides) measure.Length { return s.Left + s.Top + s.Right + s.Bottom }
	try := func(p pack.Piece, turned bool) {
		size, blank := item.Size, item.Blank
		if turned {
			size, blank = size.Turn(), blank.Turn()
		}
		if !size.Within(p.Rect.Size()) {
			return
		}
		centre, middle := b.Type.Align == config.Centre, b.Type.Vertical == config.Middle
		if turned {
			centre, middle = middle, centre
		}
		var more measure.Sides
		more.Left, more.Right = share(p.Margins.Left-blank.Left, p.Margins.Right-blank.Right, p.Rect.W-size.W, centre)
		more.Top, more.Bottom = share(p.Margins.Top-blank.Top, p.Margins.Bottom-blank.Bottom, p.Rect.H-size.H, middle)
		if turned { // back as it reads
			more = measure.Sides{Left: more.Top, Top: more.Right, Right: more.Bottom, Bottom: more.Left}
		}
		if b.Ink().Inset(more).Empty() || found && sum(more) >= sum(best.more) {
			return
		}
		best, found = given{more, p.Rect.Size(), p.Printer}, true
	}
	if !slices.ContainsFunc(rooms.Most, func(p pack.Piece) bool { return item.Size.WithinEitherWay(p.Rect.Size()) }) {
		return best, false
	}
	for _, p := range rooms.Pieces {
		try(p, false)
		if b.Turn {
			try(p, true)
		}
	}
	return best, found
}

// share is how much more blank two opposite sides get, which reach so far into margins, where the block can still move by free; alike
// where the text stands in the middle between them.
func share(near, far, free measure.Length, alike bool) (measure.Length, measure.Length) {
	near, far = max(0, near), max(0, far)
	lack := near + far - free
	if lack <= 0 {
		return 0, 0
	}
	if alike { // half of it each, or as much as the one that gives less leaves to the other
		x := max((lack+1)/2, lack-min(near, far))
		return x, x
	}
	if far >= near { // the wider margin first
		x := min(far, lack)
		return lack - x, x
	}
	x := min(near, lack)
	return x, lack - x
}

// clearOf says how far the text stays from the edges at which it gives way: "1/2 in from the right edge".
func clearOf(b *intake.Block, more measure.Sides, u measure.Unit) string {
	var out []string
	for _, e := range []struct {
		more, inset measure.Length
		name        string
	}{{more.Top, b.Inset.Top, "upper"}, {more.Bottom, b.Inset.Bottom, "lower"}, {more.Left, b.Inset.Left, "left"}, {more.Right, b.Inset.Right, "right"}} {
		if e.more > 0 {
			out = append(out, e.inset.About(u)+" from the "+e.name+" edge")
		}
	}
	return problem.And(out)
}
