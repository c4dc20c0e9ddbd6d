package press

import (
	"bytes"
	"strings"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/press/readback"
)

// The lines of a turned text start at one height, or end at one, and are read in the order in which they were written.
func TestTurnedLinesReadInOrder(t *testing.T) {
	if !readback.Available {
		t.Skip("PDFium is left out under the race detector")
	}
	lines := []string{"We met at the", "mill", "in rain and", "the ducks were", "at", "home and glad"}
	face := sans(t)
	for name, from := range map[string]func(width measure.Length) measure.Length{
		"left":   func(measure.Length) measure.Length { return 0 },
		"centre": func(w measure.Length) measure.Length { return (3*measure.Inch - w) / 2 },
		"right":  func(w measure.Length) measure.Length { return 3*measure.Inch - w },
	} {
		page := Page{Size: measure.Size{W: 4 * measure.Inch, H: 4 * measure.Inch}}
		for i, l := range lines {
			x := 3*measure.Inch - measure.Length(i)*15*measure.Point
			_, width := face.set(l, 12*measure.Point, x, 0, true)
			text, _ := face.set(l, 12*measure.Point, x, measure.Inch/2+from(width), true)
			page.Texts = append(page.Texts, text)
		}
		var pdf bytes.Buffer
		if err := Write(&pdf, Document{Sections: []Section{{Title: "turned", Pages: []Page{page}}}}, nil); err != nil {
			t.Fatal(err)
		}
		got := strings.Fields(readback.Open(t, pdf.Bytes()).Text(0))
		if want := strings.Fields(strings.Join(lines, " ")); strings.Join(got, " ") != strings.Join(want, " ") {
			t.Errorf("%s: %v", name, got)
		}
	}
}
