package press

import (
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/press/readback"
)

// TestMirror compares PDFium's picture of a mirrored page with that of the page as it is: each dot must be as dark as its
// counterpart, and where a correction is entered, that comes after.
func TestMirror(t *testing.T) {
	plain := sheet("plain", sans(t), italic(t), roman(t))
	back := plain
	back.Mirror = true
	moved := back
	moved.ShiftX, moved.ShiftY = measure.Inch/10, measure.Inch/20
	d := readback.Open(t, write(t, Document{Sections: []Section{{Pages: []Page{plain, back, moved}}}}))
	const dpi = 100 // a tenth of an inch is ten dots
	a, b, c := d.Grey(0, dpi), d.Grey(1, dpi), d.Grey(2, dpi)
	w, h := a.Rect.Dx(), a.Rect.Dy()
	if b.Rect != a.Rect || w != 600 || h != 400 {
		t.Fatalf("the pictures are %v and %v", a.Rect, b.Rect)
	}
	// The smoothing of edges is not quite the same from left and from right: some dots may differ, but few and not by much.
	ink, off := 0, 0
	for y := range h {
		for x := range w {
			p := int(a.GrayAt(x, y).Y)
			if p < 250 {
				ink++
			}
			if differ(p, int(b.GrayAt(w-1-x, y).Y)) > 64 {
				off++
			}
			if x >= 10 && y < h-5 && differ(p, int(c.GrayAt(w-1-x+10, y+5).Y)) > 64 {
				off++
			}
		}
	}
	if ink < 1000 || off > ink/50 {
		t.Errorf("of %d dots with ink, %d have no counterpart", ink, off)
	}
}

func differ(a, b int) int { return max(a-b, b-a) }
