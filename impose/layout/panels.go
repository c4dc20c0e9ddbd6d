package layout

import (
	"cmp"
	"fmt"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
)

// wishes are the sides of blocks, which panels may be cut to: by the axis of the cut, up to eight each, the most frequent first.
type wishes [2][]measure.Length

func (w wishes) any() bool { return len(w[pack.Down])+len(w[pack.Across]) > 0 }

// divisions are the ways of cutting a sheet before printing. A sheet that feeds has one for each printer that pulls it; a larger
// one is cut into panels in two stages: columns that are cut into rows, or rows that are cut into columns. A column that no printer
// pulls, however long, is left whole.
func (f feed) divisions(sheet measure.Size, wanted wishes) []pack.Division {
	if wanted.any() {
		return f.divide(sheet, wanted)
	}
	return f.cut(sheet).divisions
}

// cut is a sheet with its divisions where no block wishes for anything.
func (f feed) cut(sheet measure.Size) *cutSheet {
	key := cutting{sheet: sheet}
	if !slices.Equal(f.takers, f.all) {
		key.takers = fmt.Sprint(f.takers)
	}
	out := f.known[key]
	if out == nil {
		out = &cutSheet{divisions: f.divide(sheet, wishes{})}
		for _, d := range out.divisions {
			out.area = max(out.area, fed(d))
		}
		out.rooms = pack.RoomsOf([]pack.Sheet{{Divisions: out.divisions}})
		if f.known != nil {
			f.known[key] = out
		}
	}
	return out
}

// divide finds divisions.
func (f feed) divide(sheet measure.Size, wanted wishes) []pack.Division {
	var out []pack.Division
	for _, i := range f.takers {
		if f.printers[i].Feeds(sheet) {
			out = append(out, pack.Division{Pieces: []pack.Piece{f.pullable(sheet.At(0, 0), i)}})
		}
	}
	if len(out) > mostDivisions { // of printers that print it alike the first
		rooms := pack.RoomsOf([]pack.Sheet{{Divisions: out}})
		if len(rooms.Pieces) > mostDivisions { // and none that prints less of it than another
			rooms.Pieces = rooms.Most
		}
		out = slices.DeleteFunc(out, func(d pack.Division) bool { return !slices.Contains(rooms.Pieces, d.Pieces[0]) })
	}
	if len(out) > 0 {
		return out
	}
	if by, _ := f.ride(sheet); by >= 0 { // wholly where the carrier is printed: its own edges can be printed too
		return []pack.Division{{Pieces: []pack.Piece{{Rect: sheet.At(0, 0), Printer: by}}}}
	}
	var ways []cutWay
	for _, first := range []pack.Axis{pack.Down, pack.Across} {
		seconds := map[measure.Length][][]measure.Length{} // of parts, which are mostly alike
		left := mostTriedPieces / max(1, f.sizes)
		if wanted.any() { // for which a sheet is seldom divided
			left *= 4
		}
		for _, parts := range f.splits(f.takers, first, along(sheet, first), wanted[first]) {
			variants := 1
			for _, part := range parts {
				if seconds[part] == nil {
					seconds[part] = f.seconds(sheet, first, part, wanted)
				}
				variants = max(variants, len(seconds[part]))
			}
			for v := 0; v < variants && left > 0; v++ {
				second := func(k int) []measure.Length {
					ways := seconds[parts[k]]
					return ways[min(v, len(ways)-1)]
				}
				panels := 0
				for k := range parts {
					panels += len(second(k))
				}
				if left -= panels; panels > mostPanels {
					continue
				}
				if d, ok := f.cutUp(sheet, first, parts, second); ok {
					ways = withMost(ways, d)
				}
			}
		}
	}
	for _, w := range ways {
		out = append(out, w.Division)
	}
	return out
}

// cutWay is a division, and the area of it that feeds.
type cutWay struct {
	pack.Division
	area int64
}

// withMost adds a division, if it is another. Of more than mostDivisions that of which the least feeds goes, of equal ones the last.
func withMost(ways []cutWay, d pack.Division) []cutWay {
	area := fed(d)
	if slices.ContainsFunc(ways, func(o cutWay) bool { return o.area == area && samePanels(o.Division, d) }) {
		return ways
	}
	if ways = append(ways, cutWay{d, area}); len(ways) > mostDivisions {
		slices.SortStableFunc(ways, func(a, b cutWay) int { return cmp.Compare(b.area, a.area) })
		ways = ways[:mostDivisions]
	}
	return ways
}

// mostPanels is how many panels a sheet is cut into: nobody cuts more.
const mostPanels = 1_000

// mostDivisions bounds what the packer has to try for a sheet.
const mostDivisions = 24

// along is the side of a sheet that cuts of an axis divide.
func along(sheet measure.Size, axis pack.Axis) measure.Length {
	if axis == pack.Down {
		return sheet.W
	}
	return sheet.H
}

// across is the other axis.
func across(axis pack.Axis) pack.Axis { return 1 - axis }

// limits are what a printer pulls of the side that cuts of an axis divide.
func limits(p config.Printer, axis pack.Axis) (least, most measure.Length) {
	if axis == pack.Down {
		return p.Narrowest, p.Widest
	}
	return p.Shortest, p.Longest
}

// fed is the area of a division that printers pull.
func fed(d pack.Division) (area int64) {
	for _, p := range d.Pieces {
		if p.Printer >= 0 {
			area += p.Rect.Size().Area()
		}
	}
	return area
}

// service is what the panels of a sheet are good for.
type service struct {
	items int   // that fit one
	area  int64 // that feeds
}

func (a service) more(b service) bool {
	return a.items > b.items || a.items == b.items && a.area > b.area
}

// serves is what a sheet is good for, that way round.
func (f feed) serves(sheet measure.Size, items []pack.Item) service {
	cut := f.cut(sheet)
	return service{cut.rooms.Count(items), cut.area}
}

// keepOrCut reports whether a rest still feeds or may ride, or panels that feed can be cut out of it, either way round.
func (f feed) keepOrCut(size measure.Size) bool {
	if f.stillFeeds(size) {
		return true
	}
	f.takers = f.all
	return f.serves(size, nil).area > 0 || f.serves(size.Turn(), nil).area > 0
}

// samePanels reports whether two divisions give the same panels and rests, whatever the order of the cuts.
func samePanels(a, b pack.Division) bool {
	if len(a.Pieces) != len(b.Pieces) {
		return false
	}
	for _, p := range a.Pieces {
		if !slices.ContainsFunc(b.Pieces, func(q pack.Piece) bool { return q.Rect == p.Rect }) {
			return false
		}
	}
	return true
}

// seconds are the ways of cutting a part of the first stage, so wide along its axis, in the second.
func (f feed) seconds(sheet measure.Size, first pack.Axis, part measure.Length, wanted wishes) [][]measure.Length {
	var pull []int
	for _, i := range f.takers {
		if least, most := limits(f.printers[i], first); part >= least && part <= most {
			pull = append(pull, i)
		}
	}
	second := across(first)
	side := along(sheet, second)
	if out := f.splits(pull, second, side, wanted[second]); len(out) > 0 {
		return out
	}
	return [][]measure.Length{{side}}
}

// mostTriedPieces is how many pieces all sheets of all stocks are cut into to find their divisions, beginning along one side, so that hundreds of printers or of sizes end.
const mostTriedPieces = 400_000

// mostPulls is how many printers that differ in what they pull are looked at for that: fewer where there are many sizes.
func (f feed) mostPulls() int { return min(mostDivisions, max(4, 10*mostDivisions/max(1, f.sizes))) }

// splits are the ways of dividing one side of a sheet into stretches within the limits of printers: whole, equal, as long as
// may be, or as the blocks are, and each of these once with the rest left whole.
func (f feed) splits(printers []int, axis pack.Axis, side measure.Length, wanted []measure.Length) [][]measure.Length {
	var out, once [][]measure.Length
	add := func(parts []measure.Length) {
		if !slices.ContainsFunc(out, func(o []measure.Length) bool { return slices.Equal(o, parts) }) {
			out = append(out, parts)
		}
	}
	fill := func(part measure.Length) {
		all := repeat(part, side)
		add(all)
		if len(all) > 2 {
			once = append(once, []measure.Length{part, side - part})
		}
	}
	var pulls [][2]measure.Length // by different printers: the least and the most
	for _, i := range printers {
		least, most := limits(f.printers[i], axis)
		if l := [2]measure.Length{least, most}; len(pulls) < f.mostPulls() && !slices.Contains(pulls, l) {
			pulls = append(pulls, l)
		}
	}
	for i, l := range pulls {
		least, most := l[0], l[1]
		if side >= least && side <= most {
			add([]measure.Length{side})
			continue
		}
		if side < least || most <= 0 {
			continue
		}
		// Equal parts leave nothing that does not feed; a whole graduation keeps the measure readable on a trimmer's ruler.
		n := (side + most - 1) / most
		equal := f.unit.Down(side / n)
		if equal*n < side && equal+side-equal*n > most {
			equal = side / n
		}
		if equal >= least {
			fill(equal)
		}
		fill(most)
		for _, w := range wanted {
			if w >= least && w <= most && w < side {
				fill(w)
				if rest := side - w; rest >= least && rest <= most {
					add([]measure.Length{w, rest})
				}
			}
		}
		for j, o := range pulls { // one wide panel for this printer, the rest as the other likes it
			if other := o[1]; j != i && other > 0 && most < side {
				parts := []measure.Length{most}
				add(append(parts, repeat(other, side-most)...))
			}
		}
	}
	for _, parts := range once {
		add(parts)
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

// cutUp is the division with those parts of the first stage, the kth of them cut into what second says; ok tells whether any of its
// pieces feeds and the trimmer can cut it.
func (f feed) cutUp(sheet measure.Size, first pack.Axis, parts []measure.Length, second func(k int) []measure.Length) (pack.Division, bool) {
	division := pack.Division{}
	feeds := false
	k := -1
	division.Cuts = slice(sheet.At(0, 0), first, parts, func(r measure.Rect) *pack.Node {
		k++
		return slice(r, across(first), second(k), func(r measure.Rect) *pack.Node {
			by := f.printerFor(r.Size())
			feeds = feeds || by >= 0
			division.Pieces = append(division.Pieces, f.pullable(r, by))
			return &pack.Node{Rect: r, Item: len(division.Pieces) - 1}
		})
	})
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
