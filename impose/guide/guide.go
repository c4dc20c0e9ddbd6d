// Package guide writes the plain-paper pages that take a person from the PDF to envelopes with everyone's blocks in them
// - run sheet, cutting guide, sorting list, paper account - and the report workbook that says the same. All of it is
// read off the plan.
package guide

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Input is what the guides and the report are made from.
type Input struct {
	Plan     *plan.Plan
	Settings *config.Settings
	Fonts    *typeset.Library                // for Pages only, as is Font
	Font     func(*typeset.Face) *press.Font // what a face is for press; nil: fonts of the guides' own
	Problems problem.List                    // of the whole run; its notes are listed
	Paper    []intake.Paper                  // rows of Paper sheets that were used instead of the configured paper
	Title    string                          // of the job
	Files    []string                        // that were read, as the user named them
}

// Pages are the guides, on Settings.Guide. They stand in front of the plan's pieces in the PDF and name pieces by
// Piece.Page; their number does not depend on these, so that a plan whose pages are numbered from 1 can be numbered
// anew behind as many pages as come back, and its guides made again.
func Pages(in Input) []press.Page {
	j := newJob(in)
	h := newHand(in)
	var at sections
	run := func() *paper { return j.section(h, "Run sheet", 0, func(p *paper) { j.runSheet(p, at) }) }
	parts := []*paper{run()}
	last := len(parts[0].pages) // number of the last page so far
	add := func(name string, lines int, write func(*paper)) (numbers []int) {
		p := j.follow(h, parts[len(parts)-1], name, lines, write)
		if p.start == 0 {
			last++
		}
		for i := range p.pages {
			numbers = append(numbers, last+i)
		}
		last += len(p.pages) - 1
		parts = append(parts, p)
		return numbers
	}
	cuts, blocks := 0, 0
	for i := range j.groups {
		cuts += max(len(j.groups[i].pieces[0].way.steps), 12) // no less than the picture
	}
	for i := range j.owners {
		blocks += 4 + len(j.owners[i].blocks)
	}
	at.cutting = add("Cutting guide", cuts, j.cuttingGuide)
	at.sorting = add("Sorting list", blocks, j.sortingList)
	at.account = add("Paper account", 0, j.account)
	parts[0] = run() // again, now that it is known which pages to name; they take the same room

	var all []press.Page
	for _, p := range parts {
		pages := p.pages
		if p.start > 0 {
			g := &all[len(all)-1]
			g.Title += ", " + strings.ToLower(p.name)
			g.Fills, g.Lines, g.Texts = append(g.Fills, pages[0].Fills...), append(g.Lines, pages[0].Lines...), append(g.Texts, pages[0].Texts...)
			pages = pages[1:]
		}
		all = append(all, pages...)
	}
	for i := range all {
		j.foot(h, all, i)
	}
	return all
}

// sections are the pages of each part of the guides.
type sections struct{ cutting, sorting, account []int }

// section writes a part of the guides, on pages of its own or, from start down, on the last page of another.
func (j *job) section(h *hand, name string, start measure.Length, write func(*paper)) *paper {
	p := &paper{hand: h, size: j.Settings.Guide, name: name, start: start}
	p.open()
	write(p)
	return p
}

// follow writes a section below another one, if all of it fits there, so that a small job takes few pages. It has about
// so many lines, which tells whether to try.
func (j *job) follow(h *hand, before *paper, name string, lines int, write func(*paper)) *paper {
	start := before.y + measure.Inch/8
	if room := before.bottom() - start; room > measure.Inch && measure.Length(lines)*small.line() < room {
		if p := j.section(h, name, start, write); len(p.pages) == 1 {
			return p
		}
	}
	return j.section(h, name, 0, write)
}

// foot writes the title and the page's number at the bottom of a page, as one row of glyphs from margin to margin: readers
// that guess which way a page is written by how its texts cover it (PDFium does) take a page of short columns for
// one that is written downwards, and jumble its rows, unless something spans it.
func (j *job) foot(h *hand, all []press.Page, i int) {
	p := &paper{hand: h, size: j.Settings.Guide, pages: all[i : i+1]}
	y := p.size.H - margin
	g := p.page()
	p.cell(p.left(), y, p.width()-measure.Inch, faint, cmp.Or(strings.TrimSpace(j.Title), "Guides"), toLeft)
	n := len(g.Texts)
	p.cell(p.right()-measure.Inch, y, measure.Inch, faint, "page "+ranges([]int{i + 1}), toRight)
	if title, number := &g.Texts[n-1], g.Texts[n]; title.Font == number.Font {
		title.Glyphs = append(title.Glyphs, number.Glyphs...)
		g.Texts = g.Texts[:n]
	}
}

// job is the plan as the guides look at it.
type job struct {
	Input
	unit   measure.Unit
	pieces []piece        // in the plan's order
	groups []group        // of pieces that are cut alike
	owners []owner        // by name
	panels []panels       // sheets that are cut before printing
	sliced map[sheet]bool // sheets and leftovers that are cut before printing
	begins map[string]int // page of the cutting guide, from 0, that a stock begins on
}

// sheet is a sheet or leftover of a stock, by the plan's count.
type sheet struct {
	stock string
	n     int
}

// piece is one with its cuts and where its blocks lie.
type piece struct {
	*plan.Piece
	way   *way
	place []int // of each block
}

// at is the block in a place.
func (p *piece) at(place int) *plan.Placed { return &p.Blocks[p.way.spots[place].block] }

// group is pieces that are cut alike, the first of them first.
type group struct {
	pieces []*piece
	page   int // of the cutting guide, from 0
}

func (g *group) pages() []int {
	var out []int
	for _, p := range g.pieces {
		out = append(out, p.Page)
	}
	return out
}

// owner is a person and the blocks that go into the envelope.
type owner struct {
	name   string
	blocks []spot
	held   []plan.Held
}

// spot is a block on its piece.
type spot struct {
	*plan.Placed
	piece  *piece
	place  int
	copies int // of the block, on all pieces
}

// panels is sheets that are cut alike before printing.
type panels struct {
	stock    string
	sheets   int
	leftover bool
	way      *way
}

func newJob(in Input) *job {
	j := &job{Input: in, unit: in.Settings.Unit, sliced: map[sheet]bool{}}
	j.pieces = make([]piece, len(in.Plan.Pieces))
	for i := range in.Plan.Pieces {
		j.pieces[i] = j.piece(&in.Plan.Pieces[i])
	}
	alike := map[string]int{}
	for i := range j.pieces {
		p := &j.pieces[i]
		key := p.Stock + "|" + p.way.same()
		at, ok := alike[key]
		if !ok {
			at = len(j.groups)
			alike[key] = at
			j.groups = append(j.groups, group{})
		}
		j.groups[at].pieces = append(j.groups[at].pieces, p)
	}
	j.sort()
	j.precuts()
	return j
}

func (j *job) piece(p *plan.Piece) piece {
	blocks, kept := map[string]int{}, map[string]bool{}
	for i := range p.Blocks {
		blocks[p.Blocks[i].Leaf] = i
	}
	for _, r := range p.Leftovers {
		kept[r.Name] = r.Keep
	}
	root := p.Name()
	if len(p.Cuts) > 0 {
		root = p.Cuts[0].Of
	} else if len(p.Blocks) > 0 {
		root = p.Blocks[0].Leaf
	}
	w := newWay(root, p.Size().At(0, 0), p.Cuts, blocks, kept)
	w.set(graduation(j.unit), j.Settings.Trimmer.Holds)
	place := make([]int, len(p.Blocks))
	for i, s := range w.spots {
		place[s.block] = i
	}
	return piece{p, w, place}
}

// sort gathers the blocks by owner: the owners by name, the blocks by code.
func (j *job) sort() {
	index := map[string]int{}
	of := func(name string) *owner {
		i, ok := index[name]
		if !ok {
			i = len(j.owners)
			index[name] = i
			j.owners = append(j.owners, owner{name: name})
		}
		return &j.owners[i]
	}
	copies := map[string]int{}
	for i := range j.pieces {
		for _, b := range j.pieces[i].Blocks {
			copies[b.Code]++
		}
	}
	for i := range j.pieces {
		p := &j.pieces[i]
		for k := range p.Blocks {
			b := &p.Blocks[k]
			o := of(b.Owner)
			o.blocks = append(o.blocks, spot{b, p, p.place[k], copies[b.Code]})
		}
	}
	for _, h := range j.Plan.Held {
		o := of(h.Owner)
		o.held = append(o.held, h)
	}
	slices.SortStableFunc(j.owners, func(a, b owner) int {
		return cmp.Or(natural(strings.ToLower(a.name), strings.ToLower(b.name)), cmp.Compare(a.name, b.name))
	})
	for i := range j.owners {
		slices.SortStableFunc(j.owners[i].blocks, func(a, b spot) int {
			return cmp.Or(natural(a.Code, b.Code), cmp.Compare(a.Copy, b.Copy))
		})
	}
}

// natural compares texts so that MK-2 stands before MK-10.
func natural(a, b string) int {
	for a != "" && b != "" {
		x, y := number(a), number(b)
		if x > 0 && y > 0 {
			m, n := strings.TrimLeft(a[:x], "0"), strings.TrimLeft(b[:y], "0")
			if c := cmp.Or(cmp.Compare(len(m), len(n)), cmp.Compare(m, n)); c != 0 {
				return c
			}
			a, b = a[x:], b[y:]
			continue
		}
		if a[0] != b[0] {
			return cmp.Compare(a[0], b[0])
		}
		a, b = a[1:], b[1:]
	}
	return cmp.Compare(len(a), len(b))
}

// number is how many digits a text begins with.
func number(s string) int {
	n := strings.IndexFunc(s, func(r rune) bool { return r > unicode.MaxASCII || !unicode.IsDigit(r) })
	if n < 0 {
		return len(s)
	}
	return n
}

// precuts gathers the sheets that are cut before printing, those cut alike together.
func (j *job) precuts() {
	cuts := map[sheet][]plan.Cut{}
	rects := map[sheet]measure.Rect{}
	var order []sheet
	for _, c := range j.Plan.Precuts {
		s := sheet{c.Stock, c.Sheet}
		if cuts[s] == nil {
			j.sliced[s] = true
			order = append(order, s)
			rects[s] = c.Rect
		}
		cuts[s] = append(cuts[s], plan.Cut{N: c.N, Of: c.Of, Axis: c.Axis, At: c.At, Makes: c.Makes, Measure: true})
	}
	printed := map[sheet][]*plan.Piece{}
	for i := range j.Plan.Pieces {
		p := &j.Plan.Pieces[i]
		s := sheet{p.Stock, p.Source.Sheet}
		printed[s] = append(printed[s], p)
	}
	spares := map[sheet][]plan.Spare{}
	for _, s := range j.Plan.Spares {
		at := sheet{s.Stock, s.Sheet}
		spares[at] = append(spares[at], s)
	}
	alike := map[string]int{}
	for _, s := range order {
		blocks, kept := map[string]int{}, map[string]bool{}
		whole := rects[s]
		leftover := false
		for i, p := range printed[s] {
			blocks[p.Source.Name] = i
			leftover = leftover || p.Source.Kind == plan.FromLeftover
			whole.W = max(whole.W, p.Source.X+p.Source.Width)
			whole.H = max(whole.H, p.Source.Y+p.Source.Height)
		}
		for _, p := range spares[s] {
			kept[p.Name] = p.Keep
			whole.W, whole.H = max(whole.W, p.Rect.Right()), max(whole.H, p.Rect.Bottom())
		}
		w := newWay(cuts[s][0].Of, whole, cuts[s], blocks, kept)
		w.set(graduation(j.unit), j.Settings.Trimmer.Holds)
		key := s.stock + "|" + w.same()
		if leftover {
			key += "|leftover"
		}
		at, ok := alike[key]
		if !ok {
			at = len(j.panels)
			alike[key] = at
			j.panels = append(j.panels, panels{stock: s.stock, leftover: leftover, way: w})
		}
		j.panels[at].sheets++
	}
}
