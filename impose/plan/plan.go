// Package plan holds what a job comes to: which block lies where on which piece, and how the pieces come apart.
//
//	plan.go    the plan as a value: pieces, each with the tree of its cuts
//	title.go   what a piece is called in bookmarks and guides
//	check.go   the checker, which makes every cut of a plan and takes no other code's word for it
//	strips.go  what the checker looks for in strips of scrap, and whether blocks keep a gap by hand
//	file.go    the plan as JSON, the one place where parts have names; read.go reads it again
//
// Neither the packer nor the layout is known here, so that the checker cannot share their mistakes.
package plan

import (
	"cmp"
	"fmt"
	"slices"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Plan says which block lies where on which piece, and how the pieces come apart. Lengths are EMU; the origin is the top-left
// corner of the piece as fed, or of the sheet that is cut before printing.
type Plan struct {
	Pieces []*Piece      // in the order of printing: stock by stock
	Sheets []*Sheet      // that are cut into panels before printing
	Precut bool          // there were such, which a plan that was read from its file no longer has
	Stocks []Use         // in the order of the settings
	Held   []intake.Held // rows that are not printed
	Other  Trimming      // what the other way to cut would give: by measure, or by marks; nought where there is none
}

// Trimming is the work at the trimmer.
type Trimming struct{ Cuts, Unmarked int }

// String says how much it is: "12 cuts, 3 of them without a mark".
func (t Trimming) String() string {
	return fmt.Sprintf("%s, %d of them without a mark", problem.Count(t.Cuts, "cut"), t.Unmarked)
}

// Trimming counts the cuts of the pieces that are made.
func (p *Plan) Trimming() (t Trimming) {
	for _, piece := range p.Pieces {
		for q := range piece.Whole.Cuts {
			if q.Hair() != nil {
				continue
			}
			if t.Cuts++; len(q.Cut.Marks) == 0 {
				t.Unmarked++
			}
		}
	}
	return t
}

// Piece is what goes through a printer in one pass: one page of the PDF, or, where it rides on a carrier, two, with what else lies on that.
type Piece struct {
	Page    int // in the PDF, from 1
	Stock   string
	Printer string
	Source  Source
	Carrier *Carrier // of a piece that rides; the outline's page is the one before Page
	Whole   *Part    // the piece before it is cut
	Labels  []Label  // that say on its scrap what it is; none: there is no room for one
}

// Label is a text in small type on scrap that says what a piece is.
type Label struct {
	Text   string
	Rect   measure.Rect     // that holds its ink
	Lines  [][]typeset.Span // as they read, from the origin of the label
	Turned bool             // a quarter clockwise
}

// Size is the piece's width and height as fed.
func (p *Piece) Size() measure.Size { return p.Whole.Rect.Size() }

// Blocks are the parts that are blocks, in reading order: from the top, and from the left.
func (p *Piece) Blocks() []*Part {
	var out []*Part
	for leaf := range p.Whole.Leaves {
		if leaf.Block != nil {
			out = append(out, leaf)
		}
	}
	slices.SortStableFunc(out, func(a, b *Part) int { return cmp.Or(cmp.Compare(a.Rect.Y, b.Rect.Y), cmp.Compare(a.Rect.X, b.Rect.X)) })
	return out
}

// Source is where a piece comes from: a whole sheet, a leftover, or a panel of either.
type Source struct {
	Sheet    int          // the stock's leftovers and sheets in the order of use, from 1
	Leftover bool         // it was cut from stock before
	Name     string       // of the sheet or leftover, as the settings or the Paper sheet call it: its maker, a place in the folder
	Price    int64        // of a new sheet, in hundredths of the currency
	Panel    *Part        // of the sheet that is cut before printing; nil: it is fed whole
	Cut      *Sheet       // that sheet; nil with Panel
	Rect     measure.Rect // the piece in its sheet
}

// Sheet is a sheet or leftover that is cut into panels before printing.
type Sheet struct {
	Stock    string
	Number   int // as Source.Sheet
	Leftover bool
	Whole    *Part // leaves are panels: printed as a piece, or spare
}

// Carrier is the sheet that a piece rides on, and where the piece lies on it.
type Carrier struct {
	Size measure.Size
	X, Y measure.Length
	Nth  int // of the pieces on the carrier, from 0; those behind the first follow it in the plan, and have its page
}

// Part is a rectangle at some time of the cutting: cut in two, or a leaf, which is a block, a panel that is printed, a leftover
// or scrap.
type Part struct {
	Rect  measure.Rect
	Cut   *Cut   // nil: a leaf
	Block *Block // of a leaf: what is printed there
	Panel bool   // of a leaf of a sheet: it is a piece
	Keep  bool   // of a leaf that is neither: a leftover, not scrap

	Outline []Mark // of a block or a leftover that is cut out with scissors: hairlines on the waste along its edges
}

// Cut is an edge-to-edge cut through a part.
type Cut struct {
	Axis      Axis
	At        measure.Length // an x for Down, a y for Across
	Near, Far *Part          // the left or upper part, and the other
	Marks     []Mark         // that show where it goes; none: it is measured
}

// Axis is the direction of a cut.
type Axis uint8

// A Down cut runs from top to bottom, an Across cut from left to right.
const (
	Down Axis = iota
	Across
)

// Mark is a hairline beside the line of a cut: its centre line and weight.
type Mark struct {
	X1, Y1, X2, Y2 measure.Length
	Weight         measure.Length
}

// Ink is the rectangle that a mark prints.
func (m Mark) Ink() measure.Rect {
	half := m.Weight / 2
	if m.X1 == m.X2 {
		return measure.Rect{X: m.X1 - half, Y: m.Y1, W: m.Weight, H: m.Y2 - m.Y1}
	}
	return measure.Rect{X: m.X1, Y: m.Y1 - half, W: m.X2 - m.X1, H: m.Weight}
}

// Along reports whether a mark lies along a line, on whichever side of it: an x for Down, a y for Across.
func (m Mark) Along(axis Axis, at measure.Length) bool {
	ink := m.Ink()
	if axis == Down {
		return m.X1 == m.X2 && (ink.X == at || ink.Right() == at)
	}
	return m.Y1 == m.Y2 && (ink.Y == at || ink.Bottom() == at)
}

// Block is one copy of a block, as it lies.
type Block struct {
	*intake.Block                  // as it was asked for
	Setting       *typeset.Setting // as it is set
	Copy          int              // from 1
	Kept          int              // number of the sheet that it is kept on (intake.Kept); 0: it may lie otherwise when the stock is laid anew
	Turned        bool             // a quarter clockwise
	InkBox        measure.Rect     // that it may carry ink in, in the piece's coordinates
}

// Leaf reports whether the part is not cut.
func (p *Part) Leaf() bool { return p.Cut == nil }

// Rest reports whether the part is a leaf that is neither block nor panel: a leftover or scrap.
func (p *Part) Rest() bool { return p.Cut == nil && p.Block == nil && !p.Panel }

// Leaves visits the parts that are not cut, in the order in which they come off: of every cut the near part first.
func (p *Part) Leaves(visit func(*Part) bool) {
	p.each(func(q *Part) bool { return q.Cut != nil || visit(q) })
}

// Cuts visits the parts that are cut, in the order of cutting: a part, then its near part wholly, then its far part. A cut's
// number is its place in this order, from 1.
func (p *Part) Cuts(visit func(*Part) bool) {
	p.each(func(q *Part) bool { return q.Cut == nil || visit(q) })
}

// Hair is what a cut of the part would take off if it is scrap no wider than a hair: nobody makes the cut, and what stays counts as to size. What stays on one block
// from several such cuts is no wider than that together. Nil: the part is a leaf, or its cut is made.
func (p *Part) Hair() *Part {
	if p.Cut == nil {
		return nil
	}
	near, far, axis := p.Cut.Near, p.Cut.Far, p.Cut.Axis
	switch {
	case near.thin(axis) && lengthOf(near, axis)+far.hairs(axis) <= measure.Hair:
		return near
	case far.thin(axis) && lengthOf(far, axis)+near.hairs(axis) <= measure.Hair:
		return far
	}
	return nil
}

// thin reports scrap that is no wider along an axis than a hair.
func (p *Part) thin(axis Axis) bool {
	return p.Rest() && !p.Keep && lengthOf(p, axis) <= measure.Hair
}

// hairs is how wide what stays along an axis is together, at most, on any leaf of the part.
func (p *Part) hairs(axis Axis) measure.Length {
	if p.Cut == nil {
		return 0
	}
	near, far := p.Cut.Near.hairs(axis), p.Cut.Far.hairs(axis)
	if p.Cut.Axis == axis { // see Hair, which would go through all below once more at each cut
		if with := lengthOf(p.Cut.Near, axis) + far; p.Cut.Near.thin(axis) && with <= measure.Hair {
			return with
		}
		if with := lengthOf(p.Cut.Far, axis) + near; p.Cut.Far.thin(axis) && with <= measure.Hair {
			return with
		}
	}
	return max(near, far)
}

// CutCount is the number of cuts in the part that are made.
func (p *Part) CutCount() (n int) {
	for q := range p.Cuts {
		if q.Hair() == nil {
			n++
		}
	}
	return n
}

func (p *Part) each(visit func(*Part) bool) bool {
	return visit(p) && (p.Cut == nil || p.Cut.Near.each(visit) && p.Cut.Far.each(visit))
}

// Use is what a stock's blocks take.
type Use struct {
	Stock     string
	NewSheets int
	Bound     int     // new sheets that no layout can go below
	Filled    float64 // the blocks' share of the pieces' area
	Cents     int64   // that the new sheets cost, in hundredths of the currency
}

// Number gives the pieces their pages in the PDF, the first being page first. Labels come off, for they name pages.
func (p *Plan) Number(first int) {
	for i, piece := range p.Pieces {
		piece.Labels = nil
		if c := piece.Carrier; c != nil {
			if c.Nth > 0 {
				piece.Page = p.Pieces[i-1].Page
				continue
			}
			first++
		}
		piece.Page = first
		first++
	}
}

// Pages are the pages of the PDF that begin with the piece: its own, or with that of the outline before it where it rides; none where it lies
// behind another on a carrier, whose pages are its own too.
func (p *Piece) Pages() []int {
	switch {
	case p.Carrier == nil:
		return []int{p.Page}
	case p.Carrier.Nth > 0:
		return nil
	}
	return []int{p.Page - 1, p.Page}
}

// Pages is the number of pages that the plan's pieces take in the PDF.
func (p *Plan) Pages() int {
	n := 0
	for _, piece := range p.Pieces {
		n += len(piece.Pages())
	}
	return n
}

// Kept are the sizes of the leftovers that a stock's pieces and sheets leave, the largest first.
func (p *Plan) Kept(stock string) []measure.Size {
	var out []measure.Size
	keep := func(whole *Part) {
		for leaf := range whole.Leaves {
			if leaf.Rest() && leaf.Keep {
				out = append(out, leaf.Rect.Size())
			}
		}
	}
	for _, piece := range p.Pieces {
		if piece.Stock == stock {
			keep(piece.Whole)
		}
	}
	for _, s := range p.Sheets {
		if s.Stock == stock {
			keep(s.Whole)
		}
	}
	slices.SortFunc(out, func(a, b measure.Size) int {
		return cmp.Or(cmp.Compare(b.Area(), a.Area()), cmp.Compare(b.W, a.W))
	})
	return out
}
