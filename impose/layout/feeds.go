package layout

import (
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
)

// margins are what a printer cannot print of a piece of a stock, as the plan sees it: where the page is printed left for
// right, so are they.
func margins(p config.Printer, stock config.Stock) measure.Sides {
	m := p.Margins
	if stock.Mirror {
		m.Left, m.Right = m.Right, m.Left
	}
	return m
}

// feed is one stock's view of the printers.
type feed struct {
	stock    config.Stock
	printers []config.Printer
	takers   []int // that may print it now
	all      []int // that may print it at all: what they pull is worth keeping
	trimmer  config.Trimmer
}

func newFeed(s *config.Settings, stock config.Stock) feed {
	all := s.Takers(stock)
	return feed{stock: stock, printers: s.Printers, takers: all, all: all, trimmer: s.Trimmer}
}

// own is the feed with only the printers that are there for the stock: those that name it among what they take. Where
// there are none, or no others, it reports false.
func (f feed) own() (feed, bool) {
	var mine []int
	for _, i := range f.all {
		if slices.Contains(f.printers[i].Takes, f.stock.Name) {
			mine = append(mine, i)
		}
	}
	f.takers = mine
	return f, len(mine) > 0 && len(mine) < len(f.all)
}

// printerFor is the first printer that pulls a piece of that size as it is, or -1.
func (f feed) printerFor(size measure.Size) int {
	for _, i := range f.takers {
		if f.printers[i].Feeds(size) {
			return i
		}
	}
	return -1
}

// keep reports whether a rest still feeds or may ride, either way round.
func (f feed) keep(size measure.Size) bool {
	f.takers = f.all
	for _, s := range []measure.Size{size, size.Turn()} {
		if by, _ := f.ride(s); by >= 0 {
			return true
		}
	}
	return slices.ContainsFunc(f.all, func(i int) bool { return f.printers[i].Feeds(size) || f.printers[i].Feeds(size.Turn()) })
}

// asFed turns a sheet that feeds only the other way round.
func (f feed) asFed(size measure.Size) measure.Size {
	if f.printerFor(size) >= 0 {
		return size
	}
	if f.printerFor(size.Turn()) >= 0 {
		return size.Turn()
	}
	if by, _ := f.ride(size); by < 0 {
		if by, _ = f.ride(size.Turn()); by >= 0 {
			return size.Turn()
		}
	}
	return size
}

// divisions are the ways of cutting a sheet before printing. A sheet that feeds has one for each printer that pulls it;
// a larger one is cut into panels: columns and rows as wide as a printer allows, equal, or as the blocks' widths suggest.
func (f feed) divisions(sheet measure.Size, wanted []measure.Length) []pack.Division {
	var out []pack.Division
	for _, i := range f.takers {
		if f.printers[i].Feeds(sheet) {
			out = append(out, pack.Division{Pieces: []pack.Piece{f.piece(sheet.At(0, 0), i)}})
		}
	}
	if len(out) > 0 {
		return out
	}
	if by, _ := f.ride(sheet); by >= 0 { // wholly where the carrier is printed: its own edges can be printed too
		return []pack.Division{{Pieces: []pack.Piece{{Rect: sheet.At(0, 0), Printer: by}}}}
	}
	columns := f.splits(sheet.W, wanted, func(p config.Printer) (least, most measure.Length) { return p.Narrowest, p.Widest })
	rows := f.splits(sheet.H, wanted, func(p config.Printer) (least, most measure.Length) { return p.Shortest, p.Longest })
	for _, c := range columns {
		for _, r := range rows {
			if w, ok := f.grid(sheet, c, r); ok {
				out = append(out, w)
			}
			if len(out) == mostDivisions {
				return out
			}
		}
	}
	return out
}

// mostDivisions bounds what the packer has to try for a sheet.
const mostDivisions = 24

// splits are ways of dividing one side of a sheet into stretches between a printer's limits.
func (f feed) splits(side measure.Length, wanted []measure.Length, limits func(config.Printer) (least, most measure.Length)) [][]measure.Length {
	var out [][]measure.Length
	add := func(parts []measure.Length) {
		if !slices.ContainsFunc(out, func(o []measure.Length) bool { return slices.Equal(o, parts) }) {
			out = append(out, parts)
		}
	}
	for _, i := range f.takers {
		least, most := limits(f.printers[i])
		if side >= least && side <= most {
			add([]measure.Length{side})
			continue
		}
		if side < least || most <= 0 {
			continue
		}
		// Equal parts leave nothing that does not feed; a sixteenth keeps the measure readable on a trimmer's ruler.
		n := (side + most - 1) / most
		equal := (side / n) / (measure.Inch / 16) * (measure.Inch / 16)
		if equal*n < side && equal+side-equal*n > most {
			equal = side / n
		}
		if equal >= least {
			add(repeat(equal, side))
		}
		add(repeat(most, side))
		for _, w := range wanted {
			if w >= least && w <= most && w < side {
				add(repeat(w, side))
				if rest := side - w; rest >= least && rest <= most {
					add([]measure.Length{w, rest})
				}
			}
		}
		for _, j := range f.takers { // one wide panel for this printer, the rest as the other likes it
			_, other := limits(f.printers[j])
			if j != i && other > 0 && most < side {
				parts := []measure.Length{most}
				add(append(parts, repeat(other, side-most)...))
			}
		}
	}
	return out
}

// repeat fills a side with parts of one length; the last is what remains.
func repeat(part, side measure.Length) []measure.Length {
	var out []measure.Length
	for ; side > part; side -= part {
		out = append(out, part)
	}
	return append(out, side)
}

// grid is the division with those columns and rows; ok tells whether any of its pieces feeds and the trimmer can cut it.
func (f feed) grid(sheet measure.Size, columns, rows []measure.Length) (pack.Division, bool) {
	division := pack.Division{}
	feeds := false
	column := func(r measure.Rect) *pack.Node {
		return slice(r, pack.Across, rows, func(r measure.Rect) *pack.Node {
			by := f.printerFor(r.Size())
			feeds = feeds || by >= 0
			division.Pieces = append(division.Pieces, f.piece(r, by))
			return &pack.Node{Rect: r, Item: len(division.Pieces) - 1}
		})
	}
	division.Cuts = slice(sheet.At(0, 0), pack.Down, columns, column)
	return division, feeds && f.cuttable(division.Cuts)
}

// slice cuts a rectangle into parts one after the other from its left or upper edge.
func slice(r measure.Rect, axis pack.Axis, parts []measure.Length, leaf func(measure.Rect) *pack.Node) *pack.Node {
	if len(parts) == 1 {
		return leaf(r)
	}
	near, far := r, r
	n := &pack.Node{Rect: r, Axis: axis, Item: -1}
	if axis == pack.Down {
		n.At = r.X + parts[0]
		near.W = parts[0]
		far.X, far.W = n.At, r.W-parts[0]
	} else {
		n.At = r.Y + parts[0]
		near.H = parts[0]
		far.Y, far.H = n.At, r.H-parts[0]
	}
	n.Near = leaf(near)
	n.Far = slice(far, axis, parts[1:], leaf)
	return n
}

// cuttable reports whether the trimmer can make all cuts of a tree.
func (f feed) cuttable(n *pack.Node) bool {
	if n == nil || n.Near == nil {
		return true
	}
	long := n.Rect.H
	if n.Axis == pack.Across {
		long = n.Rect.W
	}
	if f.trimmer.Longest > 0 && long > f.trimmer.Longest || n.Rect.W < f.trimmer.Holds || n.Rect.H < f.trimmer.Holds {
		return false
	}
	return f.cuttable(n.Near) && f.cuttable(n.Far)
}

func (f feed) piece(r measure.Rect, printer int) pack.Piece {
	p := pack.Piece{Rect: r, Printer: printer}
	if printer >= 0 {
		p.Margins = margins(f.printers[printer], f.stock)
	}
	return p
}
