package plan

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// A fault is a promise of the design that a plan can break. Each is looked for at one place below.
type fault uint8

const (
	wronglyTurned   fault = iota // a block lies turned that must not
	wrongTrim                    // a block has not its trim size
	wrongInkBox                  // its ink box is not where the block has it
	inkAstray                    // ink lies outside the ink box
	inkBoxOnMargin               // the ink box lies where the printer cannot print
	wrongCopies                  // a copy is missing, or there twice, or held and printed
	strangeCopies                // copies that nobody asked for
	strangeCarrier               // the carrier is none of the stock's
	tooSmallToRide               // the piece is smaller than what may ride
	carrierNotFed                // the printer does not pull the carrier
	offItsCarrier                // the piece lies beside its carrier
	strangeCompany               // a piece shares a carrier with one that is printed otherwise
	piecesCollide                // two pieces overlap on their carrier
	notFed                       // the printer does not pull the piece
	cutAmiss                     // a cut that does not go through its part
	cutTooLong                   // longer than the trimmer's
	tooNarrowToHold              // the trimmer cannot hold the part that is cut
	tooClose                     // two blocks lie closer to each other than the gap that was set
	cutUndone                    // a cut parts scrap from scrap, so that one of two cuts is not needed
	tooThinToCut                 // a strip of scrap that a blade pushes aside, though there is waste in its row that would make it thicker
	wrongPart                    // a part is not what the cuts give
	panelOnPiece                 // a piece has a panel among its parts
	blockOnSheet                 // a sheet that is not printed has a block
	markWithoutInk               // a mark that cannot be seen
	markAside                    // a mark does not lie beside the line of its cut
	markElsewhere                // a mark is not on what is cut
	markOnMargin                 // a mark lies where the printer cannot print
	markOnBlock                  // a mark touches a block
	markOnLeftover               // a mark touches a leftover that is kept
	lineLacks                    // an edge that is cut with scissors has no line, although there is waste beside it that can be printed
	labelOffScrap                // a label does not lie wholly on one part that is scrap
	labelOnMargin                // a label lies where the printer cannot print
	labelOnMark                  // a label touches a mark
	labelAmiss                   // a label does not name the page and the blocks
	notItsSource                 // a piece is not as large as its source
	notItsPanel                  // no panel of its sheet is where the piece comes from
	faults                       // how many there are
)

// Check reads a plan as a stranger would and says what is wrong with it: it makes the cuts, counts the copies and
// looks where ink would lie. It shares nothing with the packer and the layout but the plan. An empty answer means that
// the plan keeps every promise of the design:
//
//  1. every block lies inside its piece, none overlap or come closer than a gap by hand, every copy is there once;
//  2. the cuts yield exactly the blocks and the rests;
//  3. ink lies in its ink box, every ink box where the printer prints;
//  4. no mark touches a block or a leftover that is kept, and each lies beside the line of its cut, on what is cut then, or, without a
//     trimmer, beside an edge of what is cut out, wherever there is waste for it;
//     a label lies on one part that is scrap, touches no mark, and says what the piece is;
//  5. every piece feeds or rides on what does, and the trimmer can make every cut;
//  6. no two cuts undo each other, and no strip is thinner than a sixteenth of an inch where there is waste beside it.
//
// A cut without a mark is one to be measured; there is nothing about that to be wrong.
func Check(p *Plan, blocks []intake.Block, s *config.Settings) []string {
	c := check(p, blocks, s)
	out := make([]string, len(c))
	for i, f := range c {
		out[i] = f.text
	}
	return out
}

// finding is a fault that was found, in words.
type finding struct {
	fault
	text string
}

func check(p *Plan, blocks []intake.Block, s *config.Settings) []finding {
	c := checker{settings: s}
	byCode := map[string]*intake.Block{}
	for i := range blocks {
		byCode[blocks[i].Code] = &blocks[i]
	}
	seen := map[copyOf]int{}
	for _, piece := range p.Pieces {
		c.name = piece.Name()
		c.checkPiece(piece)
		for leaf := range piece.Whole.Leaves {
			if b := leaf.Block; b != nil {
				seen[copyOf{b.Code, b.Copy}]++
				c.checkBlock(piece, leaf, byCode[b.Code])
			}
		}
	}
	c.name = "plan"
	c.copies(p, blocks, seen)
	c.sheets(p)
	c.carriers(p)
	return c.found
}

// copyOf names one copy of a block.
type copyOf struct {
	code string
	n    int
}

type checker struct {
	settings *config.Settings
	name     string
	found    []finding
}

func (c *checker) report(f fault, format string, args ...any) {
	c.found = append(c.found, finding{f, c.name + ": " + fmt.Sprintf(format, args...)})
}

// copies compares what is printed with what was asked for and not held back.
func (c *checker) copies(p *Plan, blocks []intake.Block, seen map[copyOf]int) {
	held := map[string]bool{}
	for _, h := range p.Held {
		held[h.Code] = true
	}
	for _, b := range blocks {
		for n := 1; n <= b.Copies; n++ {
			want := 1
			if held[b.Code] {
				want = 0
			}
			if got := seen[copyOf{b.Code, n}]; got != want {
				c.report(wrongCopies, "copy %d of %s is there %d times, not %d", n, b.Code, got, want)
			}
			delete(seen, copyOf{b.Code, n})
		}
	}
	for _, s := range slices.SortedFunc(maps.Keys(seen), func(a, b copyOf) int { return cmp.Or(cmp.Compare(a.code, b.code), cmp.Compare(a.n, b.n)) }) {
		c.report(strangeCopies, "copy %d of %s is there, and nobody asked for it", s.n, s.code)
	}
}

// checkBlock compares a copy that lies on a piece with what was asked for.
func (c *checker) checkBlock(p *Piece, at *Part, want *intake.Block) {
	b := at.Block
	if want == nil {
		return // nobody asked for it: the count of copies says so
	}
	trim, ink := want.Trim(), want.Ink()
	if b.Turned { // a quarter turn clockwise about the block: its top is on the right
		ink = measure.Rect{X: trim.H - ink.Bottom(), Y: ink.X, W: ink.H, H: ink.W}
		trim = measure.Size{W: trim.H, H: trim.W}
		if !want.Turn {
			c.report(wronglyTurned, "block %s is turned", b.Code)
		}
	}
	if at.Rect.Size() != trim {
		c.report(wrongTrim, "block %s is %v, not %v", b.Code, at.Rect.Size(), trim)
	}
	if b.InkBox != ink.Move(at.Rect.X, at.Rect.Y) {
		c.report(wrongInkBox, "ink box of %s is %v", b.Code, b.InkBox)
	}
	if !want.Ink().Contains(b.Setting.Ink) {
		c.report(inkAstray, "ink of %s leaves its ink box", b.Code)
	}
	printer, _ := c.printer(p)
	if !c.printable(p, printer).Contains(b.InkBox) {
		c.report(inkBoxOnMargin, "ink box of %s lies where “%s” cannot print", b.Code, p.Printer)
	}
}

// printer is the printer of a piece, with its margins as they lie on the plan: mirrored where the stock is.
func (c *checker) printer(p *Piece) (config.Printer, bool) {
	stock, _ := c.settings.Stock(p.Stock)
	for _, printer := range c.settings.Printers {
		if printer.Name != p.Printer {
			continue
		}
		page := p.Size()
		if p.Carrier != nil {
			page = p.Carrier.Size
		}
		printer.Margins = printer.Unprintable(page)
		if stock.Mirror {
			printer.Margins.Left, printer.Margins.Right = printer.Margins.Right, printer.Margins.Left
		}
		return printer, true
	}
	return config.Printer{}, false
}

// printable is what can be printed of a piece, in its own coordinates.
func (c *checker) printable(p *Piece, printer config.Printer) measure.Rect {
	if p.Carrier != nil {
		return p.Carrier.Size.At(0, 0).Inset(printer.Margins).Move(-p.Carrier.X, -p.Carrier.Y)
	}
	return p.Size().At(0, 0).Inset(printer.Margins)
}

// checkPiece looks at how a piece is fed, cuts it, and looks at its marks.
func (c *checker) checkPiece(p *Piece) {
	printer, ok := c.printer(p)
	if p.Carrier != nil {
		c.ride(p, printer)
	} else if !ok || !printer.Feeds(p.Size()) {
		c.report(notFed, "“%s” does not pull %v", p.Printer, p.Size())
	}
	var blocks, kept, scrap []*Part
	for leaf := range p.Whole.Leaves {
		switch {
		case leaf.Panel:
			c.report(panelOnPiece, "the part at %v is a panel", leaf.Rect)
		case leaf.Block != nil:
			blocks = append(blocks, leaf)
		case leaf.Keep:
			kept = append(kept, leaf)
		default:
			scrap = append(scrap, leaf)
		}
	}
	if a, b := c.tooNear(blocks, blocks); a != nil {
		c.report(tooClose, "blocks %s and %s lie closer to each other than %v", a.Block.Code, b.Block.Code, c.settings.Gap.Width)
	}
	var ink []measure.Rect // of the marks
	n := 0
	c.makeCuts(p.Whole, p.Size().At(0, 0), func(cut *Cut, on measure.Rect) {
		n++
		near, far := c.strip(cut.Near, cut.Axis, true), c.strip(cut.Far, cut.Axis, false)
		if near > 0 && far > 0 && (c.holdsWithout(cut.Near, cut.Axis, true, near) || c.holdsWithout(cut.Far, cut.Axis, false, far)) {
			c.report(cutUndone, "cut %d lies between two strips of scrap, and one cut would take off both", n)
		}
		for _, m := range cut.Marks {
			c.checkMark(p, fmt.Sprintf("cut %d", n), m, []edge{{cut.Axis, cut.At}}, on, c.printable(p, printer), blocks, kept)
			ink = append(ink, m.Ink())
		}
	})
	for _, out := range slices.Concat(blocks, kept) {
		if c.settings.Trimmer.Scissors {
			c.checkOutline(p, out, c.printable(p, printer), blocks, kept)
		}
		for _, m := range out.Outline {
			ink = append(ink, m.Ink())
		}
	}
	if !c.settings.Trimmer.Scissors { // nobody cuts strips off
		c.slivers(p, c.printable(p, printer))
	}
	for _, l := range p.Labels {
		c.checkLabel(p, l, c.printable(p, printer), blocks, scrap, ink)
	}
}

// ride looks at a piece on its carrier.
func (c *checker) ride(p *Piece, printer config.Printer) {
	stock, _ := c.settings.Stock(p.Stock)
	carrier := p.Carrier.Size
	switch allowed := stock.Carrier; {
	case allowed == nil || allowed.Size != carrier:
		c.report(strangeCarrier, "the carrier is none of the stock's")
	case !allowed.Smallest.WithinEitherWay(p.Size()):
		c.report(tooSmallToRide, "%v is too small to ride", p.Size())
	}
	if !printer.Feeds(carrier) {
		c.report(carrierNotFed, "“%s” does not pull the carrier, %v", p.Printer, carrier)
	}
	if !carrier.At(0, 0).Contains(p.Size().At(p.Carrier.X, p.Carrier.Y)) {
		c.report(offItsCarrier, "the piece does not lie on its carrier")
	}
}

// carriers looks at pieces that lie on one carrier: they go through the printer as one page, and none lies on another.
func (c *checker) carriers(p *Plan) {
	var shared []*Piece // on the carrier so far
	for _, piece := range p.Pieces {
		c.name = piece.Name()
		at := piece.Carrier
		if at == nil || at.Nth == 0 {
			shared = nil
		} else if at.Nth != len(shared) || !oneRun(shared[0], piece) {
			c.report(strangeCompany, "the piece is number %d on a carrier whose pieces are not printed with it", at.Nth+1)
			shared = nil
		}
		if at == nil {
			continue
		}
		for _, other := range shared {
			if other.Size().At(other.Carrier.X, other.Carrier.Y).Overlaps(piece.Size().At(at.X, at.Y)) {
				c.report(piecesCollide, "the piece lies on %s on their carrier", other.Name())
			}
		}
		shared = append(shared, piece)
	}
}

// oneRun reports whether two pieces that ride go through the printer together.
func oneRun(a, b *Piece) bool {
	return a.Page == b.Page && a.Stock == b.Stock && a.Printer == b.Printer && a.Carrier.Size == b.Carrier.Size
}

// makeCuts makes the cuts of a part as the trimmer does, starting from the rectangle that is there, and compares each part with what
// the plan says of it. So the parts tile the whole, and no two blocks overlap.
func (c *checker) makeCuts(p *Part, r measure.Rect, visit func(makeCuts *Cut, on measure.Rect)) {
	if p.Rect != r {
		c.report(wrongPart, "a part should be %v, the cuts give %v", p.Rect, r)
	}
	if p.Cut == nil {
		return
	}
	visit(p.Cut, r)
	near, far, long := r, r, r.H
	if p.Cut.Axis == Down {
		near.W, far.X, far.W = p.Cut.At-r.X, p.Cut.At, r.Right()-p.Cut.At
	} else {
		long = r.W
		near.H, far.Y, far.H = p.Cut.At-r.Y, p.Cut.At, r.Bottom()-p.Cut.At
	}
	if near.Empty() || far.Empty() {
		c.report(cutAmiss, "the cut of %v at %d misses it", r, p.Cut.At)
	}
	t := c.settings.Trimmer
	if t.Longest > 0 && long > t.Longest {
		c.report(cutTooLong, "the cut of %v is longer than the trimmer's", r)
	}
	if r.W < t.Holds || r.H < t.Holds {
		c.report(tooNarrowToHold, "%v is too narrow for the trimmer to hold", r)
	}
	c.makeCuts(p.Cut.Near, near, visit)
	c.makeCuts(p.Cut.Far, far, visit)
}

// edge is a line that is cut along.
type edge struct {
	Axis
	at measure.Length
}

// checkMark looks at a mark of what is cut along one of some lines, through the rectangle on.
func (c *checker) checkMark(p *Piece, of string, m Mark, lines []edge, on, printable measure.Rect, blocks, kept []*Part) {
	half, axis := m.Weight/2, lines[0].Axis
	if len(lines) > 1 && m.X1 == m.X2 {
		axis = Down
	}
	ink, at, straight := measure.Rect{X: m.X1, Y: m.Y1 - half, W: m.X2 - m.X1, H: m.Weight}, m.Y1, m.Y1 == m.Y2
	if axis == Down {
		ink, at, straight = measure.Rect{X: m.X1 - half, Y: m.Y1, W: m.Weight, H: m.Y2 - m.Y1}, m.X1, m.X1 == m.X2
	}
	beside := straight && slices.ContainsFunc(lines, func(l edge) bool { return l.Axis == axis && (at-half == l.at || at+half == l.at) })
	if m.Weight%2 != 0 || ink.Empty() {
		c.report(markWithoutInk, "a mark of %s has no ink", of)
	}
	if !beside {
		c.report(markAside, "a mark of %s is not beside its line", of)
	}
	if !on.Contains(ink) {
		c.report(markElsewhere, "a mark of %s is not on what is cut", of)
	}
	if !printable.Contains(ink) {
		c.report(markOnMargin, "a mark of %s lies where “%s” cannot print", of, p.Printer)
	}
	for _, b := range blocks {
		if b.Rect.Overlaps(ink) {
			c.report(markOnBlock, "a mark of %s touches block %s", of, b.Block.Code)
		}
	}
	for _, k := range kept {
		if k.Rect.Overlaps(ink) {
			c.report(markOnLeftover, "a mark of %s touches the leftover at %v, which is kept", of, k.Rect)
		}
	}
}

// checkOutline looks at the outline of a block, or of a leftover that is kept: each line of it as at a mark, and whether a line is missing where
// there is waste beside the edge that can be printed, on a stretch as long as the shortest mark.
func (c *checker) checkOutline(p *Piece, out *Part, printable measure.Rect, blocks, kept []*Part) {
	r, look := out.Rect, c.settings.Mark
	of := "the leftover"
	if out.Block != nil {
		of = "block " + out.Block.Code
	}
	for _, m := range out.Outline {
		c.checkMark(p, of, m, []edge{{Across, r.Y}, {Down, r.Right()}, {Across, r.Bottom()}, {Down, r.X}}, p.Size().At(0, 0), printable, blocks, kept)
	}
	for _, side := range []struct {
		name string
		down bool
		band measure.Rect // that the line would lie in
	}{{"top", false, measure.Rect{X: r.X, Y: r.Y - look.Weight, W: r.W, H: look.Weight}}, {"right", true, measure.Rect{X: r.Right(), Y: r.Y, W: look.Weight, H: r.H}},
		{"bottom", false, measure.Rect{X: r.X, Y: r.Bottom(), W: r.W, H: look.Weight}}, {"left", true, measure.Rect{X: r.X - look.Weight, Y: r.Y, W: look.Weight, H: r.H}}} {
		b, down := side.band, side.down
		from, to, across := max(b.X, printable.X), min(b.Right(), printable.Right()), b.Y >= printable.Y && b.Bottom() <= printable.Bottom()
		if down {
			from, to, across = max(b.Y, printable.Y), min(b.Bottom(), printable.Bottom()), b.X >= printable.X && b.Right() <= printable.Right()
		}
		if !across || !p.Size().At(0, 0).Contains(b) {
			continue // at the edge of the piece, or where nothing can be printed
		}
		open := []measure.Stretch{{From: from, To: to}}
		without := func(o measure.Rect) {
			if down && o.Overlaps(b) {
				open = measure.Without(open, measure.Stretch{From: o.Y, To: o.Bottom()})
			} else if o.Overlaps(b) {
				open = measure.Without(open, measure.Stretch{From: o.X, To: o.Right()})
			}
		}
		for _, o := range slices.Concat(blocks, kept) {
			without(o.Rect)
		}
		for _, m := range out.Outline {
			without(m.Ink())
		}
		for _, s := range open {
			if s.Length() >= max(look.Length/4, 1) {
				c.report(lineLacks, "the %s of %s has no line, although there is waste beside it", side.name, of)
			}
		}
	}
}

// checkLabel looks at a label: where it lies, and whether it says what is on the piece.
func (c *checker) checkLabel(p *Piece, l Label, printable measure.Rect, blocks, scrap []*Part, marks []measure.Rect) {
	if l.Rect.Empty() || !slices.ContainsFunc(scrap, func(s *Part) bool { return s.Rect.Contains(l.Rect) }) {
		c.report(labelOffScrap, "the label at %v does not lie on one part that is scrap", l.Rect)
	}
	if !printable.Contains(l.Rect) {
		c.report(labelOnMargin, "the label at %v lies where “%s” cannot print", l.Rect, p.Printer)
	}
	if slices.ContainsFunc(marks, l.Rect.Overlaps) {
		c.report(labelOnMark, "the label at %v touches a mark", l.Rect)
	}
	named := strings.Contains(l.Text, strconv.Itoa(p.Page))
	for _, b := range blocks {
		named = named && strings.Contains(l.Text, b.Block.Code)
	}
	if !named {
		c.report(labelAmiss, "the label “%s” does not name the page and every block", l.Text)
	}
}

// sheets makes the cuts before printing, and looks whether every piece is what it was cut from.
func (c *checker) sheets(p *Plan) {
	panels := map[*Sheet]map[measure.Rect]bool{}
	for _, s := range p.Sheets {
		c.name = s.name()
		c.makeCuts(s.Whole, s.Whole.Rect.Size().At(0, 0), func(*Cut, measure.Rect) {})
		panels[s] = map[measure.Rect]bool{}
		for leaf := range s.Whole.Leaves {
			if leaf.Block != nil {
				c.report(blockOnSheet, "block %s lies on a sheet that is not printed", leaf.Block.Code)
			}
			panels[s][leaf.Rect] = leaf.Panel
		}
	}
	for _, piece := range p.Pieces {
		c.name = piece.Name()
		from := piece.Source
		if from.Rect.Size() != piece.Size() {
			c.report(notItsSource, "the piece is not as large as its source")
		}
		if (from.Panel != nil || from.Cut != nil) && (from.Panel == nil || from.Panel.Rect != from.Rect || !panels[from.Cut][from.Rect]) {
			c.report(notItsPanel, "no pre-cut yields the panel")
		}
	}
}
