package readback

import (
	"fmt"
	"testing"

	"tuckmark/config/measure"
)

// sample is a page of 300 x 200 pt by hand: "AV to" in Helvetica 20 pt from (50, 100), the same turned a quarter clockwise
// from (250, 180), a black square with its lower left corner at (10, 20), a bookmark. PDFium finds the objects by itself.
const sample = `%%PDF-1.4
1 0 obj <</Type/Catalog/Pages 2 0 R/Outlines 6 0 R>> endobj
2 0 obj <</Type/Pages/Count 1/Kids[3 0 R]>> endobj
3 0 obj <</Type/Page/Parent 2 0 R/MediaBox[0 0 300 200]/Resources<</Font<</F1 5 0 R>>>>/Contents 4 0 R>> endobj
4 0 obj <</Length %d>> stream
%s
endstream endobj
5 0 obj <</Type/Font/Subtype/Type1/BaseFont/Helvetica>> endobj
6 0 obj <</Type/Outlines/First 7 0 R/Last 7 0 R/Count 1>> endobj
7 0 obj <</Title(Sheet \(1\))/Parent 6 0 R/Dest[3 0 R/Fit]>> endobj
8 0 obj <</Title(By hand)>> endobj
trailer <</Root 1 0 R/Info 8 0 R/Size 9>>
%%%%EOF
`

func byHand() []byte {
	drawing := "10 20 30 30 re f BT /F1 20 Tf 50 100 Td (AV to) Tj ET BT /F1 20 Tf 0 -1 1 0 250 180 Tm (AV to) Tj ET"
	return fmt.Appendf(nil, sample, len(drawing), drawing)
}

func near(a, b, slack measure.Length) bool { return a-b <= slack && b-a <= slack }

func TestWhatPDFiumReads(t *testing.T) {
	d := Open(t, byHand())
	const pt, slack = measure.Point, measure.Point / 20
	if d.Pages() != 1 || d.Size(0) != (measure.Size{W: 300 * pt, H: 200 * pt}) {
		t.Fatalf("%d pages of %v", d.Pages(), d.Size(0))
	}
	if got := d.Text(0); got != "AV to\nAV to" {
		t.Errorf("text %q", got)
	}
	if got := d.Title(); got != "By hand" {
		t.Errorf("title %q", got)
	}
	if got := d.Bookmarks(); len(got) != 1 || got[0].Title != "Sheet (1)" || got[0].Page != 0 {
		t.Errorf("bookmarks %+v", got)
	}
	w := d.Words(0)
	if len(w) != 4 || w[0].Text != "AV" || w[1].Text != "to" || w[2].Text != "AV" || w[3].Text != "to" {
		t.Fatalf("words %+v", w)
	}
	// Widths by Adobe's Core-14 AFM for Helvetica: A 667, V 667, space 278 (1/1000 em).
	if c := w[0].Chars[1]; !near(c.X, 50*pt+measure.Length(667*20*12.7), slack) || !near(c.Y, 100*pt, slack) || c.Angle != 0 || c.Size != 20*pt {
		t.Errorf("V stands at %v, %v, angle %d, size %v", c.X, c.Y, c.Angle, c.Size)
	}
	if c := w[1].Chars[0]; !near(c.X, 50*pt+measure.Length((667+667+278)*20*12.7), slack) {
		t.Errorf("t stands at %v", c.X)
	}
	// Turned: the row runs down from y = 200 - 180 pt, letters reach to the right of x = 250 pt.
	if c := w[2].Chars[1]; !near(c.X, 250*pt, slack) || !near(c.Y, 20*pt+measure.Length(667*20*12.7), slack) || c.Angle != 90 {
		t.Errorf("turned V stands at %v, %v, angle %d", c.X, c.Y, c.Angle)
	}
	// Capital height by the same AFM: 718.
	if ink := w[2].Ink; !near(ink.X, 250*pt, 2*slack) || !near(ink.W, measure.Length(718*20*12.7), 6*slack) {
		t.Errorf("turned AV has ink %v", ink)
	}
}

func TestInk(t *testing.T) {
	d := Open(t, byHand())
	const pt = measure.Point
	grey := d.Grey(0, 144)
	got, ok := Ink(grey, 144, measure.Rect{W: 45 * pt, H: 200 * pt})
	if want := (measure.Rect{X: 10 * pt, Y: 150 * pt, W: 30 * pt, H: 30 * pt}); !ok || got != want {
		t.Errorf("ink of the square %v, want %v", got, want)
	}
	if got, ok := Ink(grey, 144, measure.Rect{X: 150 * pt, W: 90 * pt, H: 200 * pt}); ok {
		t.Errorf("ink %v where there is none", got)
	}
	// The ink of the letters as drawn lies in the boxes that PDFium gives for them, to two dots.
	w := d.Words(0)
	got, _ = Ink(grey, 144, measure.Rect{X: 45 * pt, Y: 60 * pt, W: 33 * pt, H: 60 * pt})
	if box := w[0].Ink; !near(got.X, box.X, pt) || !near(got.Right(), box.Right(), pt) || !near(got.Y, box.Y, pt) || !near(got.Bottom(), box.Bottom(), pt) {
		t.Errorf("AV is drawn in %v, boxed in %v", got, box)
	}
	if c := d.Colour(0, 72).RGBAAt(20, 160); c.R != 0 || c.A != 255 {
		t.Errorf("the square is %v", c)
	}
}
