package layout

import (
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
)

// margins are what a printer cannot print of a piece of a stock, as the plan sees it: where the page is printed left for
// right, so are they.
func margins(p config.Printer, stock config.Stock, page measure.Size) measure.Sides {
	m := p.Unprintable(page)
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
	unit     measure.Unit // of the rule on the trimmer
	sizes    int          // of sheets, of all stocks

	known map[cutting]*cutSheet // what cut has found; nil: it is not kept
}

// cutting is what the divisions of a sheet depend on, of a stock.
type cutting struct {
	sheet  measure.Size
	takers string // "": all
}

// cutSheet is a sheet where no block wishes for anything.
type cutSheet struct {
	divisions []pack.Division
	area      int64 // that feeds, of the division of which most does
	rooms     *pack.Rooms
}

func newFeed(s *config.Settings, stock config.Stock) feed {
	all := s.PrintersFor(stock)
	sizes := 0
	for i := range s.Stocks {
		sizes += len(s.Stocks[i].Sheets)
	}
	return feed{stock: stock, printers: s.Printers, takers: all, all: all, trimmer: s.Trimmer, unit: s.Unit, sizes: sizes, known: map[cutting]*cutSheet{}}
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

// stillFeeds reports whether a rest still feeds or may ride, either way round.
func (f feed) stillFeeds(size measure.Size) bool {
	f.takers = f.all
	for _, s := range []measure.Size{size, size.Turn()} {
		if by, _ := f.ride(s); by >= 0 {
			return true
		}
	}
	return slices.ContainsFunc(f.all, func(i int) bool { return f.printers[i].Feeds(size) || f.printers[i].Feeds(size.Turn()) })
}

// asFed turns a sheet that feeds only the other way round, or whose panels take more of the items that way round, or more of it
// feeds.
func (f feed) asFed(size measure.Size, items ...pack.Item) measure.Size {
	ways := f.ways(size)
	if len(ways) > 1 && f.serves(ways[1], items).more(f.serves(ways[0], items)) {
		return ways[1]
	}
	return ways[0]
}

// ways are how asFed may turn a sheet: one, or both where that depends on the items.
func (f feed) ways(size measure.Size) []measure.Size {
	turned := size.Turn()
	if f.printerFor(size) >= 0 {
		return []measure.Size{size}
	}
	if f.printerFor(turned) >= 0 {
		return []measure.Size{turned}
	}
	if by, _ := f.ride(size); by >= 0 {
		return []measure.Size{size}
	}
	if by, _ := f.ride(turned); by >= 0 {
		return []measure.Size{turned}
	}
	return []measure.Size{size, turned}
}

// rooms are what sheets hold, whichever way they are fed. An item has room here exactly where it has room on what is offered for it alone.
func (f feed) rooms(sheets []config.Sheet) *pack.Rooms {
	var all []pack.Division
	seen := map[measure.Size]bool{}
	for _, s := range sheets {
		if s.Count == 0 || seen[s.Size] {
			continue
		}
		seen[s.Size] = true
		for _, size := range f.ways(s.Size) {
			all = append(all, pack.Division{Pieces: f.cut(size).rooms.Pieces})
		}
	}
	return pack.RoomsOf([]pack.Sheet{{Divisions: all}})
}

func (f feed) pullable(r measure.Rect, printer int) pack.Piece {
	p := pack.Piece{Rect: r, Printer: printer}
	if printer >= 0 {
		p.Margins = margins(f.printers[printer], f.stock, r.Size())
	}
	return p
}
