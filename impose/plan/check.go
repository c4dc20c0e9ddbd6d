package plan

import (
	"fmt"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// Check reads a plan as a stranger would and says what is wrong with it: it executes the cuts, counts the copies and
// looks where ink would lie. It shares nothing with the packer and the marker but the plan. An empty answer means that
// the plan keeps every promise of the design:
//
//  1. every block lies inside its piece, none overlap, every copy is there once;
//  2. the cuts yield exactly the blocks and the rests;
//  3. ink lies in its ink box, every ink box where the printer prints;
//  4. no mark touches a block, and each lies beside the line of its cut;
//  5. every cut is marked on what is cut then, or is measured;
//  6. every piece feeds or rides on what does, and the trimmer can make every cut.
func Check(p *Plan, blocks []intake.Block, s *config.Settings) []string {
	c := checker{settings: s}
	held := map[string]bool{}
	for _, h := range p.Held {
		held[h.Code] = true
	}
	seen := map[string]int{}
	byCode := map[string]*intake.Block{}
	for i := range blocks {
		byCode[blocks[i].Code] = &blocks[i]
	}
	for i := range p.Pieces {
		piece := &p.Pieces[i]
		c.name = piece.Name()
		for j := range piece.Blocks {
			b := &piece.Blocks[j]
			seen[fmt.Sprint(b.Code, "/", b.Copy)]++
			c.block(piece, b, byCode[b.Code])
		}
		c.piece(piece)
	}
	c.name = "plan"
	for _, b := range blocks {
		for n := range b.Copies {
			want := 1
			if held[b.Code] {
				want = 0
			}
			if got := seen[fmt.Sprint(b.Code, "/", n+1)]; got != want {
				c.say("copy %d of %s is there %d times, not %d", n+1, b.Code, got, want)
			}
			delete(seen, fmt.Sprint(b.Code, "/", n+1))
		}
	}
	if len(seen) > 0 {
		c.say("%d copies are there that nobody asked for", len(seen))
	}
	c.precuts(p)
	return c.found
}

type checker struct {
	settings *config.Settings
	name     string
	found    []string
}

func (c *checker) say(format string, args ...any) {
	c.found = append(c.found, c.name+": "+fmt.Sprintf(format, args...))
}

// block compares a placed copy with what was asked for.
func (c *checker) block(p *Piece, b *Placed, want *intake.Block) {
	if want == nil {
		c.say("block %s is unknown", b.Code)
		return
	}
	trim, ink := want.Trim(), want.Ink()
	if b.Turned { // a quarter turn clockwise about the block: its top is on the right
		ink = measure.Rect{X: trim.H - ink.Bottom(), Y: ink.X, W: ink.H, H: ink.W}
		trim = measure.Size{W: trim.H, H: trim.W}
		if !want.Turn {
			c.say("block %s is turned", b.Code)
		}
	}
	if b.Rect().Size() != trim {
		c.say("block %s is %v, not %v", b.Code, b.Rect().Size(), trim)
	}
	if b.Ink != ink.Move(b.X, b.Y) {
		c.say("ink box of %s is %v", b.Code, b.Ink)
	}
	if b.Setting != nil && !want.Ink().Contains(b.Setting.Ink) {
		c.say("ink of %s leaves its ink box", b.Code)
	}
	printer, _ := c.printer(p)
	if !c.printable(p, printer).Contains(b.Ink) {
		c.say("ink box of %s lies where “%s” cannot print", b.Code, p.Printer)
	}
}

// printer is the printer of a piece, with its margins as they lie on the plan: mirrored where the stock is.
func (c *checker) printer(p *Piece) (config.Printer, bool) {
	stock, _ := c.settings.Stock(p.Stock)
	for _, printer := range c.settings.Printers {
		if printer.Name != p.Printer {
			continue
		}
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
		return measure.Rect{W: p.Carrier.Width, H: p.Carrier.Height}.Inset(printer.Margins).Move(-p.Carrier.X, -p.Carrier.Y)
	}
	return p.Size().At(0, 0).Inset(printer.Margins)
}

// ride looks at a piece on its carrier.
func (c *checker) ride(p *Piece, printer config.Printer) {
	stock, _ := c.settings.Stock(p.Stock)
	carrier := p.Carrier.Size()
	switch allowed := stock.Carrier; {
	case allowed == nil || allowed.Size != carrier:
		c.say("the carrier is none of the stock's")
	case !allowed.Smallest.Within(p.Size()) && !allowed.Smallest.Turn().Within(p.Size()):
		c.say("%v is too small to ride", p.Size())
	}
	if !printer.Feeds(carrier) {
		c.say("“%s” does not pull the carrier, %v", p.Printer, carrier)
	}
	if !carrier.At(0, 0).Contains(p.Size().At(p.Carrier.X, p.Carrier.Y)) {
		c.say("the piece does not lie on its carrier")
	}
}

// piece executes the cuts of a piece and looks at its marks.
func (c *checker) piece(p *Piece) {
	whole := p.Size().At(0, 0)
	printer, ok := c.printer(p)
	if p.Carrier != nil {
		c.ride(p, printer)
	} else if !ok || !printer.Feeds(p.Size()) {
		c.say("“%s” does not pull %v", p.Printer, p.Size())
	}
	for i := range p.Blocks {
		if !whole.Contains(p.Blocks[i].Rect()) {
			c.say("block %s leaves the piece", p.Blocks[i].Code)
		}
		for j := range i {
			if p.Blocks[i].Rect().Overlaps(p.Blocks[j].Rect()) {
				c.say("blocks %s and %s overlap", p.Blocks[j].Code, p.Blocks[i].Code)
			}
		}
	}
	parts := map[string]measure.Rect{p.Name(): whole}
	for i, cut := range p.Cuts {
		if cut.N != i+1 {
			c.say("cut %d comes as number %d", i+1, cut.N)
		}
		c.marks(p, cut, parts[cut.Of], c.printable(p, printer))
		c.cut(parts, cut.Of, cut.Axis, cut.At, cut.Makes)
	}
	for _, m := range p.Marks {
		if m.Cut < 1 || m.Cut > len(p.Cuts) {
			c.say("a mark of no cut")
		}
	}
	c.leaves(p, parts)
}

// leaves compares what the cuts left with the blocks and rests.
func (c *checker) leaves(p *Piece, parts map[string]measure.Rect) {
	var area int64
	leaf := func(name, what string, want measure.Rect) {
		if got, ok := parts[name]; !ok || got != want {
			c.say("%s should come out as %v, the cuts give %v", what, want, got)
		}
		delete(parts, name)
		area += want.Size().Area()
	}
	for i := range p.Blocks {
		leaf(p.Blocks[i].Leaf, p.Blocks[i].Code, p.Blocks[i].Rect())
	}
	for _, r := range p.Leftovers {
		leaf(r.Name, "rest "+r.Name, r.Rect)
	}
	if len(parts) > 0 {
		c.say("%d parts are neither block nor rest", len(parts))
	}
	if area != p.Size().Area() {
		c.say("the parts' areas do not add up to the piece's")
	}
}

// cut halves one part, as the trimmer does.
func (c *checker) cut(parts map[string]measure.Rect, of, axis string, at measure.Length, makes [2]string) {
	r, ok := parts[of]
	if !ok {
		c.say("%s is cut, which is not there", of)
		return
	}
	delete(parts, of)
	near, far, long := r, r, r.H
	if axis == "down" {
		near.W, far.X, far.W = at-r.X, at, r.Right()-at
	} else {
		long = r.W
		near.H, far.Y, far.H = at-r.Y, at, r.Bottom()-at
	}
	if near.Empty() || far.Empty() {
		c.say("the cut of %s at %d misses it", of, at)
	}
	t := c.settings.Trimmer
	if t.Longest > 0 && long > t.Longest {
		c.say("the cut of %s is longer than the trimmer's", of)
	}
	if r.W < t.Holds || r.H < t.Holds {
		c.say("%s is too narrow for the trimmer to hold", of)
	}
	parts[makes[0]], parts[makes[1]] = near, far
}

// marks looks at the marks of one cut of rectangle r.
func (c *checker) marks(p *Piece, cut Cut, r, printable measure.Rect) {
	n := 0
	for _, m := range p.Marks {
		if m.Cut != cut.N {
			continue
		}
		n++
		half := m.Weight / 2
		ink := measure.Rect{X: m.X1, Y: m.Y1 - half, W: m.X2 - m.X1, H: m.Weight}
		beside := m.Y1-half == cut.At || m.Y1+half == cut.At
		if cut.Axis == "down" {
			ink = measure.Rect{X: m.X1 - half, Y: m.Y1, W: m.Weight, H: m.Y2 - m.Y1}
			beside = m.X1-half == cut.At || m.X1+half == cut.At
		}
		if m.Weight <= 0 || m.Weight%2 != 0 || ink.Empty() {
			c.say("a mark of cut %d has no ink", cut.N)
		}
		if !beside {
			c.say("a mark of cut %d is not beside its line", cut.N)
		}
		if !r.Contains(ink) {
			c.say("a mark of cut %d is not on what is cut", cut.N)
		}
		if !printable.Contains(ink) {
			c.say("a mark of cut %d lies where “%s” cannot print", cut.N, p.Printer)
		}
		for i := range p.Blocks {
			if p.Blocks[i].Rect().Overlaps(ink) {
				c.say("a mark of cut %d touches block %s", cut.N, p.Blocks[i].Code)
			}
		}
	}
	if (n == 0) != cut.Measure {
		c.say("cut %d has %d marks, and measure is %v", cut.N, n, cut.Measure)
	}
}

// precuts executes the cuts before printing and looks for every panel among the parts.
func (c *checker) precuts(p *Plan) {
	type sheet struct {
		stock string
		n     int
	}
	sizes := map[sheet]measure.Rect{}
	parts := map[sheet]map[string]measure.Rect{}
	for _, cut := range p.Precuts {
		k := sheet{cut.Stock, cut.Sheet}
		if cut.N == 1 {
			sizes[k] = cut.Rect
			parts[k] = map[string]measure.Rect{cut.Of: cut.Rect}
		}
		c.name = cut.Of
		c.cut(parts[k], cut.Of, cut.Axis, cut.At, cut.Makes)
	}
	for i := range p.Pieces {
		piece := &p.Pieces[i]
		c.name = piece.Name()
		s := piece.Source
		r := measure.Rect{X: s.X, Y: s.Y, W: s.Width, H: s.Height}
		if r.Size() != piece.Size() {
			c.say("the piece is not as large as its source")
		}
		made, cut := parts[sheet{piece.Stock, s.Sheet}]
		if !cut {
			continue
		}
		found := slices.ContainsFunc(keys(made), func(name string) bool { return made[name] == r })
		if !found {
			c.say("no pre-cut yields the panel")
		}
	}
}

func keys(m map[string]measure.Rect) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}
