package draw

import (
	"tuckmark/config"
	"tuckmark/config/measure"
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
	for i := range page.Texts {
		for k := range page.Texts[i].Glyphs {
			g := &page.Texts[i].Glyphs[k]
			g.X, g.Y = g.X+r.X, g.Y+r.Y
		}
	}
}

// outline is the page to print on the carrier first: where the piece goes, which edge goes in first, and, with fonts at
// hand, words that say so.
func (d *Drawer) outline(p *plan.Piece, like press.Page, u measure.Unit) press.Page {
	r := p.Carrier
	page := press.Page{Title: "Outline for " + p.Title(u), Size: r.Size, Scale: like.Scale, ShiftX: like.ShiftX, ShiftY: like.ShiftY} // never mirrored: it lies in the middle
	const weight = measure.Point / 2
	grey := config.Colour{R: 95, G: 95, B: 95}
	line := func(x1, y1, x2, y2 measure.Length) {
		page.Lines = append(page.Lines, press.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Weight: weight, Colour: grey})
	}
	// The line lies outside the piece, its inner edge on the piece's, so that the piece covers no part of it.
	const half = weight / 2
	left, top, right, bottom := r.X-half, r.Y-half, r.X+p.Size().W+half, r.Y+p.Size().H+half
	line(left-half, top, right+half, top)
	line(left-half, bottom, right+half, bottom)
	line(left, top, left, bottom)
	line(right, top, right, bottom)
	if d.Library == nil {
		return page
	}
	face, err := d.Library.Face("Sans", false, false)
	if err != nil {
		return page
	}
	const size = 10 * measure.Point
	x, y := r.X, r.Y+p.Size().H+measure.Inch/16
	if y+measure.Inch > r.Size.H-measure.Inch/2 { // no room below: inside, where the piece will cover it
		x, y = r.X+measure.Inch/8, r.Y+measure.Inch/8
	}
	for _, words := range []string{"Fix the piece inside the outline: " + p.Stock + ", " + p.Size().About(u) + ",", "its upper edge towards the edge of this sheet that went in first.",
		"Then load this sheet again and print the next page."} {
		y += size * 13 / 10
		d.label(&page, face, size, x, y, words)
	}
	return page
}

// label writes a line of words.
func (d *Drawer) label(page *press.Page, face *typeset.Face, size, x, y measure.Length, words string) {
	spans, _ := d.Library.Label(face, size, words)
	for _, span := range spans {
		t := press.Text{Font: d.Font(span.Face), Size: span.Size, Glyphs: make([]press.Glyph, len(span.Glyphs))}
		for i, g := range span.Glyphs {
			t.Glyphs[i] = press.Glyph{ID: g.ID, X: g.X + x, Y: g.Y + y, Text: g.Text}
		}
		page.Texts = append(page.Texts, t)
	}
}
