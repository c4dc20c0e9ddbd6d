// Package plan holds what a job comes to: which block lies where on which piece, and how the pieces come apart; and a checker that
// takes no other code's word for it.
package plan

import (
	"cmp"
	"slices"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/typeset"
)

// Plan says which block lies where on which piece, and how the pieces come apart. It is the plan file as well: its JSON
// form is a promise to other readers. Lengths are EMU, the origin is the top-left corner of the piece as fed.
type Plan struct {
	Version int      `json:"plan"`
	Pieces  []Piece  `json:"pieces"`
	Precuts []Precut `json:"precuts"`
	Stocks  []Use    `json:"stocks"`
	Held    []Held   `json:"held"`

	Spares []Spare `json:"-"` // parts of pre-cut sheets that are not printed
}

// Piece is what goes through a printer in one pass: one page of the PDF, or, where it rides on a carrier, two.
type Piece struct {
	Page      int            `json:"page"` // in the PDF, from 1
	Stock     string         `json:"stock"`
	Printer   string         `json:"printer"`
	Width     measure.Length `json:"width"`
	Height    measure.Length `json:"height"`
	Source    Source         `json:"source"`
	Carrier   *Ride          `json:"carrier,omitempty"` // of a piece that rides; the outline's page is the one before Page
	Blocks    []Placed       `json:"blocks"`
	Cuts      []Cut          `json:"cuts"`
	Marks     []Mark         `json:"marks"`
	Leftovers []Rest         `json:"leftovers"`
}

// Name is the piece's name in the cuts: "P3" for page 3.
func (p *Piece) Name() string { return "P" + strconv.Itoa(p.Page) }

// Size is the piece's width and height as fed.
func (p *Piece) Size() measure.Size { return measure.Size{W: p.Width, H: p.Height} }

// Source is where a piece comes from: a whole sheet, a panel of one (then the rectangle is the panel's in its sheet), or
// a leftover. Sheet counts the stock's leftovers and sheets in the order of use, from 1.
type Source struct {
	Kind   string         `json:"kind"`
	Sheet  int            `json:"sheet"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	X      measure.Length `json:"x"`
	Y      measure.Length `json:"y"`

	Name string `json:"-"` // of a leftover, or the panel's name in the pre-cuts
}

// The kinds of Source.
const (
	FromSheet    = "sheet"
	FromPanel    = "panel"
	FromLeftover = "leftover"
)

// Placed is one copy of a block on its piece. Its rectangle is the trim size as it lies, Ink the ink box in the piece's
// coordinates.
type Placed struct {
	Code   string         `json:"code"`
	Owner  string         `json:"owner"`
	Place  problem.Place  `json:"place"`
	Copy   int            `json:"copy"`
	X      measure.Length `json:"x"`
	Y      measure.Length `json:"y"`
	Width  measure.Length `json:"width"`
	Height measure.Length `json:"height"`
	Turned bool           `json:"turned"`
	Ink    measure.Rect   `json:"ink"`
	Font   string         `json:"font"`
	Points float64        `json:"points"`
	Lines  int            `json:"lines"`
	Leaf   string         `json:"leaf"`

	Setting *typeset.Setting `json:"-"`
}

// Rect is the block's rectangle on the piece.
func (b *Placed) Rect() measure.Rect { return measure.Rect{X: b.X, Y: b.Y, W: b.Width, H: b.Height} }

// Cut is an edge-to-edge cut of the rectangle Of at an x (down) or y (across); Makes names the near part first. Measure:
// it carries no mark.
type Cut struct {
	N       int            `json:"n"`
	Of      string         `json:"of"`
	Axis    string         `json:"axis"`
	At      measure.Length `json:"at"`
	Makes   [2]string      `json:"makes"`
	Measure bool           `json:"measure"`

	Rect measure.Rect `json:"-"` // what is cut
}

// Mark is a hairline beside the line of a cut: its centre line and weight.
type Mark struct {
	Cut    int            `json:"cut"`
	X1     measure.Length `json:"x1"`
	Y1     measure.Length `json:"y1"`
	X2     measure.Length `json:"x2"`
	Y2     measure.Length `json:"y2"`
	Weight measure.Length `json:"weight"`
}

// Rest is a part that is no block: a leftover to keep, or scrap.
type Rest struct {
	Name string `json:"name"`
	measure.Rect
	Keep bool `json:"keep"`
}

// Precut is a cut of a sheet into panels, before printing.
type Precut struct {
	Stock string         `json:"stock"`
	Sheet int            `json:"sheet"`
	N     int            `json:"n"`
	Of    string         `json:"of"`
	Axis  string         `json:"axis"`
	At    measure.Length `json:"at"`
	Makes [2]string      `json:"makes"`

	Rect measure.Rect `json:"-"`
}

// Spare is a panel of a pre-cut sheet that stays blank.
type Spare struct {
	Stock string
	Sheet int
	Name  string
	Rect  measure.Rect // within its sheet
	Keep  bool
}

// Use is what a stock's blocks take. Bound is a number of new sheets that no layout can go below; Filled is the blocks'
// share of the pieces' area.
type Use struct {
	Stock     string  `json:"stock"`
	NewSheets int     `json:"newSheets"`
	Bound     int     `json:"bound"`
	Filled    float64 `json:"filled"`
	Cost      string  `json:"cost"`

	Cents int64 `json:"-"`
}

// Held is a row that is not printed.
type Held struct {
	Place problem.Place `json:"place"`
	Code  string        `json:"code"`
	Why   string        `json:"why"`

	Owner string `json:"-"`
}

// Kept are the sizes of the leftovers that a stock's pieces and sheets leave, the largest first.
func (p *Plan) Kept(stock string) []measure.Size {
	var out []measure.Size
	for _, piece := range p.Pieces {
		for _, r := range piece.Leftovers {
			if piece.Stock == stock && r.Keep {
				out = append(out, r.Size())
			}
		}
	}
	for _, s := range p.Spares {
		if s.Stock == stock && s.Keep {
			out = append(out, s.Rect.Size())
		}
	}
	slices.SortFunc(out, func(a, b measure.Size) int {
		return cmp.Or(cmp.Compare(b.Area(), a.Area()), cmp.Compare(b.W, a.W))
	})
	return out
}
