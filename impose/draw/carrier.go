package draw

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// onCarrier moves a page's ink to where its piece lies.
func onCarrier(page *press.Page, r *plan.Carrier) {
	page.Size = r.Size
	for i := range page.Lines {
		l := &page.Lines[i]
		l.X1, l.X2, l.Y1, l.Y2 = l.X1+r.X, l.X2+r.X, l.Y1+r.Y, l.Y2+r.Y
	}
	late := page.Late
	page.Late = func() []press.Text {
		texts := late()
		for i := range texts {
			for k := range texts[i].Glyphs {
				g := &texts[i].Glyphs[k]
				g.X, g.Y = g.X+r.X, g.Y+r.Y
			}
		}
		return texts
	}
}

// outline is the page to print on the carrier first: where its pieces go, which edge goes in first, and, with fonts at
// hand, words that say so, beside the pieces and where the printer prints.
func (d *Drawer) outline(run []*plan.Piece, like press.Page, s *config.Settings) press.Page {
	first := run[0]
	r := first.Carrier
	page := press.Page{Title: "Outline for " + like.Title, Size: r.Size, Scale: like.Scale, ShiftX: like.ShiftX, ShiftY: like.ShiftY} // never mirrored: it is read
	const weight = measure.Point / 2
	grey := config.Colour{R: 95, G: 95, B: 95}
	line := func(x1, y1, x2, y2 measure.Length) {
		page.Lines = append(page.Lines, press.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Weight: weight, Colour: grey})
	}
	var all measure.Rect // the pieces together
	var sizes []string
	for i, p := range run {
		piece := p.Size().At(p.Carrier.X, p.Carrier.Y)
		if like.Mirror { // the page that is printed on them lies the other way round
			piece.X = r.Size.W - piece.Right()
		}
		// The line lies outside the piece, its inner edge on the piece's, so that the piece covers no part of it.
		const half = weight / 2
		left, top, right, bottom := piece.X-half, piece.Y-half, piece.Right()+half, piece.Bottom()+half
		line(left-half, top, right+half, top)
		line(left-half, bottom, right+half, bottom)
		line(left, top, left, bottom)
		line(right, top, right, bottom)
		if i == 0 {
			all = piece
		}
		all = around(all, piece)
		sizes = append(sizes, p.Size().About(s.Unit))
	}
	if d.Library == nil {
		return page
	}
	face, err := d.Library.Face("Sans", false, false)
	if err != nil {
		return page
	}
	what := first.Stock + ", " + problem.And(sizes)
	try := []string{"Fix the piece inside the outline: " + what + ", its upper edge towards the edge of this sheet that went in first. Then load this sheet again and print the next page.",
		"Fix " + what + ", here, upper edge first. Load again, print the next page."}
	if len(run) > 1 {
		try = []string{"Fix each piece inside its outline: " + what + ", their upper edges towards the edge of this sheet that went in first. Then load this sheet again and print the next page.",
			"Fix " + what + " in their outlines, upper edges first. Load again, print the next page.",
			"Fix the pieces here, upper edges first. Load again, print the next page."}
	}
	printable := r.Size.At(0, 0).Inset(marginsOf(first, s, r.Size))
	for _, words := range try {
		for size := 10 * measure.Point; size >= face.Legible(); size -= measure.Point {
			for _, room := range beside(all, printable) {
				if d.write(&page, face, size, room, words) {
					return page
				}
			}
		}
	}
	return page // the run sheet says it too
}

// around is the smallest rectangle that holds two.
func around(a, b measure.Rect) measure.Rect {
	x, y := min(a.X, b.X), min(a.Y, b.Y)
	return measure.Rect{X: x, Y: y, W: max(a.Right(), b.Right()) - x, H: max(a.Bottom(), b.Bottom()) - y}
}

// fromOutline is how far words stay from the outline, beside which the piece is taped (common practice).
const fromOutline = measure.Inch / 8

// beside are the rooms below, above, right and left of what lies on a carrier: wet ink must not lie under it, nor off the page.
func beside(piece, printable measure.Rect) []measure.Rect {
	right, bottom := printable.Right(), printable.Bottom()
	return []measure.Rect{
		{X: printable.X, Y: piece.Bottom() + fromOutline, W: printable.W, H: bottom - piece.Bottom() - fromOutline},
		{X: printable.X, Y: printable.Y, W: printable.W, H: piece.Y - fromOutline - printable.Y},
		{X: piece.Right() + fromOutline, Y: printable.Y, W: right - piece.Right() - fromOutline, H: printable.H},
		{X: printable.X, Y: printable.Y, W: piece.X - fromOutline - printable.X, H: printable.H},
	}
}

func marginsOf(p *plan.Piece, s *config.Settings, page measure.Size) measure.Sides {
	for _, printer := range s.Printers {
		if printer.Name == p.Printer {
			return printer.Unprintable(page)
		}
	}
	return measure.Sides{}
}

// write writes words at the upper left corner of a room, if they fit it.
func (d *Drawer) write(page *press.Page, face *typeset.Face, size measure.Length, room measure.Rect, write string) bool {
	if room.W < 10*size || room.H < size {
		return false
	}
	pitch := size * 13 / 10
	lines := d.Library.Paragraph(face, size, room.W, write)
	for i, spans := range lines {
		for _, span := range spans {
			for k := range span.Glyphs {
				span.Glyphs[k].Y += measure.Length(i) * pitch
			}
		}
	}
	ink := d.Library.Ink(lines)
	if !ink.Size().Within(room.Size()) {
		return false
	}
	for _, spans := range lines {
		page.Texts = append(page.Texts, d.spans(spans, ink.Size().At(room.X-ink.X, room.Y-ink.Y), false)...)
	}
	return true
}
