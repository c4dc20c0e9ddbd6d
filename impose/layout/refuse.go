package layout

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/pack"
	"tuckmark/intake"
)

// MorePaper is the way out where the paper at hand does not do.
const MorePaper = "enter more paper in the Paper sheet or the configuration, if there is more, or choose another stock"

// refuse holds a block that found no place and says why, and what the nearest way out is.
func (a *arranger) refuse(f feed, rooms *pack.Rooms, offers []int, b *intake.Block) {
	u, stock := b.Unit, f.stock
	item := itemOf(b)
	what, cause, hint, kind := "", "", "", problem.ForOrganiser
	switch {
	case len(f.takers) == 0:
		what = fmt.Sprintf("no printer takes the stock “%s”", stock.Name)
		cause = "the configuration names no printer for it"
		hint = "add the stock to a printer's “takes”, or choose another stock"
	case len(offers) == 0:
		what = fmt.Sprintf("no sheet of “%s” can be printed", stock.Name)
		cause = a.unserved(f)
		hint = MorePaper
	case !rooms.Fits(item):
		kind = problem.OfRow
		what = fmt.Sprintf("the block is %s with its tuck, too large for the sheets of “%s”", b.Trim().About(u), stock.Name)
		if b.Tuck == (measure.Sides{}) {
			what = fmt.Sprintf("the block is %s, too large for the sheets of “%s”", b.Trim().About(u), stock.Name)
		}
		cause = fmt.Sprintf("the largest piece that a printer pulls is %s, less what it cannot print", rooms.Largest.About(u))
		hint = a.wayOut(f, rooms, b)
	case !a.serves(f, rooms, item):
		kind = problem.OfRow
		what = fmt.Sprintf("the block is %s, and the trimmer cannot cut it out of the sheets of “%s”", b.Trim().About(u), stock.Name)
		cause = "its cuts are longer than the trimmer's, or leave a strip narrower than it holds"
		hint = "make the space smaller, part the text over several blocks, or have it cut by hand (trimmer: none)"
	default:
		what = fmt.Sprintf("the sheets of “%s” do not suffice for this block", stock.Name)
		cause = "everything at hand is taken by the other blocks"
		if hint = MorePaper; len(a.lying) > 0 {
			hint += ", or let go of blocks that are kept where they lie"
		}
	}
	a.held = append(a.held, intake.Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Why: what})
	at := b.Place
	at.Column = "Stock"
	a.problems = append(a.problems, problem.Problem{Kind: kind, Place: at, What: what, Cause: cause, Hint: hint})
}

// serves reports whether an item can be printed on one of some pieces, and cut out by itself.
func (a *arranger) serves(f feed, rooms *pack.Rooms, item pack.Item) bool {
	if !rooms.Fits(item) {
		return false
	}
	job := a.empty(f)
	job.Items = []pack.Item{item}
	job.Sheets = []pack.Sheet{{Count: -1, Divisions: []pack.Division{{Pieces: rooms.Most}, {Pieces: rooms.Pieces}}}}
	return len(pack.Nowhere(job)) == 0
}

// way is a way out: a stock, on a printer alone that does not take it, or on those that do (-1).
type way struct {
	stock   string
	printer int
}

// mostSought is how many sizes of sheets are looked at for all ways out together, each on each printer that is a way: beyond that a refusal names no other printer
// nor stock than those that were looked at before.
const mostSought = 4000

// mostTriedSheets is how many sheets are tried for all ways out together, where they have room and the trimmer may not cut the block out of them.
const mostTriedSheets = 200_000

// isWay reports whether an item can be printed on one of a stock's sheets, however many there are of them, and cut out by itself.
func (a *arranger) isWay(w way, f feed, item pack.Item) bool {
	sheets := f.stock.Sheets
	rooms, known := a.ways[w]
	if !known {
		if a.sought += len(sheets); a.sought <= mostSought {
			rooms = f.rooms(sheets)
		}
		if a.ways == nil {
			a.ways = map[way]*pack.Rooms{}
		}
		a.ways[w] = rooms
	}
	return rooms != nil && rooms.Fits(item) && slices.ContainsFunc(sheets, func(s config.Sheet) bool {
		a.tried++
		return a.tried <= mostTriedSheets && a.serves(f, pack.RoomsOf(a.offer(f, []config.Sheet{s}, item).Sheets), item)
	})
}

// unserved says what is at hand of a stock, and what its printers pull, where the one does not give the other. It is worked out once for all blocks.
func (a *arranger) unserved(f feed) string {
	key := fmt.Sprint(f.stock.Name, f.takers)
	if a.causes[key] == "" {
		if a.causes == nil {
			a.causes = map[string]string{}
		}
		a.causes[key] = a.whyUnserved(f)
	}
	return a.causes[key]
}

// mostSizes is how many sizes of sheets are named.
const mostSizes = 20

func (a *arranger) whyUnserved(f feed) string {
	u := a.settings.Unit
	var sheets, pulls []string
	known := map[string]bool{}
	for _, s := range f.stock.Sheets {
		if about := s.Size.About(u); s.Count != 0 && !known[about] {
			known[about] = true
			sheets = append(sheets, about)
		}
	}
	if n := len(sheets) - mostSizes; n > 0 {
		sheets = append(sheets[:mostSizes], problem.Count(n, "other size"))
	}
	for _, i := range f.takers {
		p := f.printers[i]
		pulls = append(pulls, fmt.Sprintf("“%s” pulls from %s to %s", p.Name, measure.Size{W: p.Narrowest, H: p.Shortest}.About(u), measure.Size{W: p.Widest, H: p.Longest}.About(u)))
	}
	if slices.ContainsFunc(f.stock.Sheets, func(s config.Sheet) bool { return s.Count != 0 && len(f.divisions(f.asFed(s.Size), wishes{})) > 0 }) {
		return "what is at hand of it is used up by what was printed before, or by blocks that are kept where they lie"
	}
	if len(sheets) == 0 {
		return "none is at hand that a printer pulls, whole or cut into panels; " + problem.And(pulls)
	}
	return problem.And(pulls) + ", and nothing of that size is or can be cut out of " + problem.And(sheets)
}

func itemOf(b *intake.Block) pack.Item {
	return pack.Item{Size: b.Trim(), Turn: b.Turn, Blank: b.Tuck.Plus(b.Inset)}
}

// wayOut names the ways to print a block that is too large as it is, the nearest first: those that leave the block as
// it was measured, then the space that would still fit.
func (a *arranger) wayOut(f feed, rooms *pack.Rooms, b *intake.Block) string {
	var ways []string
	turned := itemOf(b)
	turned.Turn = true
	if !b.Turn && a.serves(f, rooms, turned) {
		ways = append(ways, "let it be turned (Turn: yes)")
	}
	for i, p := range a.settings.Printers { // one that could print it, if it were allowed this stock
		other := f
		other.takers = []int{i}
		known := slices.Contains(p.Takes, f.stock.Name) || slices.Equal(f.takers, []int{i}) // else it is there for others, too
		if !known && a.isWay(way{f.stock.Name, i}, other, itemOf(b)) {
			ways = append(ways, fmt.Sprintf("let the printer “%s” take “%s”", p.Name, f.stock.Name))
			break
		}
	}
	for _, stock := range a.settings.Stocks {
		if stock.Name != f.stock.Name && a.isWay(way{stock.Name, -1}, a.feedOf(stock), itemOf(b)) {
			ways = append(ways, fmt.Sprintf("choose “%s”, whose sheets are large enough", stock.Name))
			break
		}
	}
	if space := a.fittingSpace(rooms, b); !space.At(0, 0).Empty() {
		ways = append(ways, "make the space no larger than "+space.Down(b.Unit))
	}
	if len(ways) == 0 {
		return "part the text over several blocks, or get a stock with larger sheets"
	}
	return strings.Join(ways, ", or ")
}

// feedOf is the feed of a stock, made once: it keeps what it has found out.
func (a *arranger) feedOf(stock config.Stock) feed {
	f, known := a.feeds[stock.Name]
	if !known {
		if a.feeds == nil {
			a.feeds = map[string]feed{}
		}
		f = newFeed(a.settings, stock)
		a.feeds[stock.Name] = f
	}
	return f
}

// offer is sheets as a feed pulls them for items, whatever their number.
func (a *arranger) offer(f feed, sheets []config.Sheet, items ...pack.Item) pack.Job {
	var job pack.Job
	for _, sheet := range sheets {
		if size := f.asFed(sheet.Size, items...); sheet.Count != 0 {
			job.Sheets = append(job.Sheets, pack.Sheet{Size: size, Divisions: f.divisions(size, wishes{})})
		}
	}
	return job
}

// fittingSpace is the space that would fit for which the block has to shrink the least, down to what a rule shows; nought: none.
func (a *arranger) fittingSpace(rooms *pack.Rooms, b *intake.Block) measure.Size {
	best, even := leastShrunk(rooms.Most, b)
	if even { // the first of all that serve alike
		best, _ = leastShrunk(rooms.Pieces, b)
	}
	return best
}

// leastShrunk is the space that would fit one of some pieces for which the block has to shrink the least, the first of several; even: there are others.
func leastShrunk(pieces []pack.Piece, b *intake.Block) (best measure.Size, even bool) {
	trim, blank := b.Trim(), b.Tuck.Plus(b.Inset)
	least := trim.W + trim.H
	try := func(most measure.Size) { // of the trim size, as the block is read
		over := measure.Size{W: max(0, trim.W-most.W), H: max(0, trim.H-most.H)}
		space := measure.Size{W: b.Space.W - over.W, H: b.Space.H - over.H}
		if over.W > 0 {
			space.W = b.Unit.Down(space.W)
		}
		if over.H > 0 {
			space.H = b.Unit.Down(space.H)
		}
		ink := space.At(0, 0).Inset(b.Inset)
		if lost := over.W + over.H; lost < least && !ink.Empty() {
			best, least, even = space, lost, false
		} else if lost == least && !ink.Empty() {
			even = even || space != best
		}
	}
	for _, p := range pieces {
		try(p.Room(blank))
		if b.Turn {
			try(p.Room(blank.Turn()).Turn())
		}
	}
	return best, even
}

// fitsAlone reports whether a rectangle with that blank border fits a piece that holds nothing else.
func fitsAlone(p pack.Piece, size measure.Size, blank measure.Sides) bool {
	return size.Within(p.Room(blank))
}
