package guide

import (
	"bytes"
	"fmt"
	"math"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/impose/plan/made"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
)

func printTestPage(t *testing.T, p config.Printer, s *config.Settings) *readback.Doc {
	t.Helper()
	var pdf bytes.Buffer
	if err := press.Write(&pdf, press.Document{Sections: []press.Section{{Pages: []press.Page{TestPage(p, s, library)}}}}, nil); err != nil {
		t.Fatal(err)
	}
	return readback.Open(t, pdf.Bytes())
}

// findCrosses looks for the crosses in the picture of a page, as a person with a rule would: no nearer than 1/8 in to where
// they should be, and with nothing but the ink to go by.
func findCrosses(t *testing.T, d *readback.Doc, at Crosses) Crosses {
	t.Helper()
	const dpi = 600
	picture := d.Grey(0, dpi)
	line := func(within measure.Rect) measure.Rect {
		ink, ok := readback.Ink(picture, dpi, within)
		if !ok {
			t.Fatalf("no line in %v", within)
		}
		return ink
	}
	// An arm of a cross beyond the other's reach: its middle is its place.
	down := func(x, y measure.Length) measure.Length {
		r := line(measure.Rect{X: x - inch/8, Y: y - inch/5, W: inch / 4, H: inch / 16})
		return r.X + r.W/2
	}
	across := func(x, y measure.Length) measure.Length {
		r := line(measure.Rect{X: x - inch/5, Y: y - inch/8, W: inch / 16, H: inch / 4})
		return r.Y + r.H/2
	}
	return Crosses{Left: down(at.Left, at.Top), Right: down(at.Right, at.Top), Top: across(at.Left, at.Top), Bottom: across(at.Left, at.Bottom)}
}

// fault is what a printer does to a place: it lands at stretch*p + off.
type fault struct {
	stretch [2]float64
	x, y    measure.Length
}

func (f fault) crosses(c Crosses) Crosses {
	at := func(p measure.Length, stretch float64, off measure.Length) measure.Length {
		return measure.Length(math.Round(stretch*float64(p))) + off
	}
	return Crosses{at(c.Left, f.stretch[0], f.x), at(c.Right, f.stretch[0], f.x), at(c.Top, f.stretch[1], f.y), at(c.Bottom, f.stretch[1], f.y)}
}

func eachCross(f func(name string, a, b measure.Length), a, b Crosses) {
	f("left", a.Left, b.Left)
	f("right", a.Right, b.Right)
	f("top", a.Top, b.Top)
	f("bottom", a.Bottom, b.Bottom)
}

// TestEnteredCorrectionMends prints the test page on printers with known faults, measures the print in PDFium's picture,
// enters what Correct says, and prints again: the crosses must be in their places, wherever the first correction had put them.
func TestEnteredCorrectionMends(t *testing.T) {
	longtests.Only(t)
	home := config.Printer{Name: "home", Narrowest: 7 * inch / 2, Widest: 17 * inch / 2, Shortest: 5 * inch, Longest: 14 * inch,
		Margins: measure.Sides{Left: inch / 8, Top: inch / 8, Right: inch / 8, Bottom: inch / 2}, Scale: [2]float64{1, 1}}
	entered := home
	entered.Shift, entered.Scale = config.Offset{X: measure.Millimetre, Y: -measure.Millimetre}, [2]float64{1.004, 0.995}
	strip := home
	strip.Narrowest, strip.Widest = 4*inch, 4*inch
	for _, tc := range []struct {
		name    string
		printer config.Printer
		unit    measure.Unit
		fault   fault
	}{
		{"shifted", home, measure.In, fault{[2]float64{1, 1}, inch / 32, -inch / 16}},
		{"stretched", home, measure.In, fault{[2]float64{1.004, 0.997}, 0, 0}},
		{"both, metric", home, measure.Mm, fault{[2]float64{0.996, 1.003}, -measure.Millimetre, measure.Millimetre / 2}},
		{"corrected before", entered, measure.In, fault{[2]float64{1.002, 1.006}, inch / 64, inch / 50}},
		{"strips", strip, measure.In, fault{[2]float64{1.005, 0.998}, inch / 50, -inch / 40}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			s := made.Settings()
			s.Unit = tc.unit
			size, at := TestPiece(tc.printer, s)
			if !tc.printer.Feeds(size) {
				t.Fatalf("%v does not feed", size)
			}
			sent := findCrosses(t, printTestPage(t, tc.printer, s), at)
			next := tc.printer
			var ok bool
			if next.Shift, next.Scale, ok = Correct(tc.printer, at, tc.fault.crosses(sent)); !ok {
				t.Fatal("the measures are refused")
			}
			const dot = inch / 600
			again := findCrosses(t, printTestPage(t, next, s), at)
			eachCross(func(name string, is, want measure.Length) {
				if off := is - want; off < -2*dot || off > 2*dot { // two readings of half a dot each, at both ends of the span
					t.Errorf("the %s cross is at %s and not at %s", name, is.About(measure.In), want.About(measure.In))
				}
			}, tc.fault.crosses(again), at)
		})
	}
}

// TestCorrectionMovesAll reads the words off both pages: every letter must move by the shift and scale that were entered, to
// within the accuracy of PDFium's numbers and of the six decimals of a PDF's matrix.
func TestCorrectionMovesAll(t *testing.T) {
	s := made.Settings()
	p := s.Printers[0]
	before := printTestPage(t, p, s)
	p.Shift, p.Scale = config.Offset{X: measure.Millimetre / 2, Y: -3 * measure.Millimetre / 10}, [2]float64{1.003, 0.998}
	after := printTestPage(t, p, s)
	a, b := before.Words(0), after.Words(0)
	n := 0
	for i := range a {
		if i >= len(b) || a[i].Text != b[i].Text { // the last lines say another correction
			break
		}
		x := measure.Length(math.Round(1.003*float64(a[i].Chars[0].X))) + p.Shift.X
		y := measure.Length(math.Round(0.998*float64(a[i].Chars[0].Y))) + p.Shift.Y
		if dx, dy := b[i].Chars[0].X-x, b[i].Chars[0].Y-y; max(dx, -dx) > 40 || max(dy, -dy) > 40 {
			t.Errorf("%q is %d, %d EMU from where it should be", a[i].Text, dx, dy)
		}
		n++
	}
	if n < 100 {
		t.Errorf("only %d words compared", n)
	}
}

// TestFormulas does by hand what the page tells a person to do, with the numbers that are printed on it.
func TestFormulas(t *testing.T) {
	s := made.Settings()
	p := s.Printers[0]
	p.Shift, p.Scale = config.Offset{X: inch / 50}, [2]float64{1.01, 1}
	text := printTestPage(t, p, s).Text(0)
	_, at := TestPiece(p, s)
	for _, axis := range []string{"x", "y"} {
		near, far := "A", "B"
		is, to := at.Left, at.Right
		if axis == "y" {
			near, far, is, to = "C", "D", at.Top, at.Bottom
		}
		var span, from float64
		if at := bytes.Index([]byte(text), []byte("scale "+axis+" = ")); at < 0 {
			t.Fatalf("no formula for scale %s in\n%s", axis, text)
		} else if _, err := fmt.Sscanf(text[at:], "scale "+axis+" = %f : ("+far+" - "+near+")", &span); err != nil {
			t.Fatal(err)
		}
		if at := bytes.Index([]byte(text), []byte("shift "+axis+" = ")); at < 0 {
			t.Fatalf("no formula for shift %s in\n%s", axis, text)
		} else if _, err := fmt.Sscanf(text[at:], "shift "+axis+" = %f - ("+near+" times scale "+axis+")", &from); err != nil {
			t.Fatal(err)
		}
		m, n := is+inch/40, to+inch/30
		inches := func(l measure.Length) float64 { return float64(l) / float64(inch) }
		scale := span / (inches(n) - inches(m))
		shift := from - inches(m)*scale
		off, factor, _ := Correct(p, at, Crosses{Left: m, Right: n, Top: m, Bottom: n})
		want, wantScale := off.X, factor[0]
		if axis == "y" {
			want, wantScale = off.Y, factor[1]
		}
		if math.Abs(scale-wantScale) > 2e-5 || math.Abs(shift-inches(want)) > 2e-4 {
			t.Errorf("%s: by hand %.5f and %.4f in, worked out %.5f and %.4f in", axis, scale, shift, wantScale, inches(want))
		}
	}
}

func TestNonsenseIsNoCorrection(t *testing.T) {
	s := made.Settings()
	p := s.Printers[0]
	_, at := TestPiece(p, s)
	for name, found := range map[string]Crosses{
		"nothing":         {},
		"the wrong way":   {Left: at.Right, Right: at.Left, Top: at.Top, Bottom: at.Bottom},
		"from the right":  {Left: at.Left, Right: at.Left, Top: at.Top, Bottom: at.Bottom},
		"fitted to page":  {Left: at.Left * 9 / 10, Right: at.Right * 9 / 10, Top: at.Top * 9 / 10, Bottom: at.Bottom * 9 / 10},
		"far off":         {Left: at.Left + 2*inch, Right: at.Right + 2*inch, Top: at.Top, Bottom: at.Bottom},
		"in another unit": {Left: 25 * inch, Right: 190 * inch, Top: 25 * inch, Bottom: 254 * inch},
	} {
		if _, _, ok := Correct(p, at, found); ok {
			t.Errorf("%s: taken", name)
		}
	}
}

// TestNarrowTestPage: the words stand where the printer prints and clear of the crosses and the rulers, on paper of any size; where they have no room, the steps for the
// terminal say all that the large page says.
func TestNarrowTestPage(t *testing.T) {
	for _, c := range []struct {
		size measure.Size
		says []string
	}{
		{measure.Size{W: 3 * inch, H: 4 * inch}, nil},
		{measure.Size{W: 4 * inch, H: 6 * inch}, []string{"D upper edge", "--measured"}},
		{measure.Size{W: 4 * inch, H: 11 * inch}, []string{"4. Print the test page again", "without a correction"}},
		{measure.Size{W: 17 * inch / 2, H: 11 * inch}, []string{"4. Print the test page again", "without a correction"}},
	} {
		s := made.Settings()
		p := config.Printer{Name: "pocket", Narrowest: c.size.W, Widest: c.size.W, Shortest: c.size.H, Longest: c.size.H, Margins: measure.Same(inch / 8), Scale: [2]float64{1, 1}}
		page := TestPage(p, s, library)
		size, at := TestPiece(p, s)
		if size != c.size || page.Size != size {
			t.Errorf("%v: the page is %v", c.size, page.Size)
		}
		var all strings.Builder
		for _, text := range page.Texts {
			var words strings.Builder
			for _, g := range text.Glyphs {
				words.WriteString(g.Text)
			}
			all.WriteString(words.String() + " ")
			if strings.Trim(words.String(), "0123456789") == "" {
				continue // a number on a ruler
			}
			first := text.Glyphs[0]
			box := measure.Rect{X: first.X, Y: first.Y - text.Size*3/4, W: width(newHand(library, nil), text, words.String()), H: text.Size}
			if !size.At(0, 0).Inset(p.Margins).Contains(box) {
				t.Errorf("%v: %q stands at %v", c.size, words.String(), box)
			}
			for _, x := range []measure.Length{at.Left, at.Right} {
				for _, y := range []measure.Length{at.Top, at.Bottom} {
					if box.Overlaps(measure.Rect{X: x - crossArm, Y: y - crossArm, W: 2 * crossArm, H: 2 * crossArm}) {
						t.Errorf("%v: %q stands on a cross", c.size, words.String())
					}
				}
			}
		}
		for _, want := range c.says {
			if !strings.Contains(strings.Join(strings.Fields(all.String()), " "), want) {
				t.Errorf("%v: %q is not said in %q", c.size, want, all.String())
			}
		}
		steps := strings.Join(TestSteps(p, s), "\n")
		for _, want := range []string{"4. Print the test page again", "--measured", "shift x = "} {
			if !strings.Contains(steps, want) {
				t.Errorf("%v: the steps do not say %q:\n%s", c.size, want, steps)
			}
		}
	}
}
