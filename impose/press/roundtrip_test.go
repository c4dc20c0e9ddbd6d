package press

import (
	"fmt"
	"image"
	"math/rand"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/press/readback"
)

// near20 is 0.02 mm, the slack of glyph positions: 0.007 mm that rows are allowed, and what PDFium's 32-bit floats lose.
const near20 = measure.Millimetre / 50

func apart(a, b measure.Length) measure.Length { return max(a-b, b-a) }

// placed is a glyph as it was asked for.
type placed struct {
	text string
	x, y measure.Length
	size measure.Length
	down bool
}

// random is a page of lines of random words in several faces and sizes, the turned ones side by side on the right half, so
// that lines do not touch. What it returns besides is every glyph that stands for something.
func random(rng *rand.Rand, faces []*testFace) (Page, []string, []placed) {
	words := strings.Fields("We walked out AVATAR before breakfast, Työ office fluff! first Ångström naïve “so” (it) went: 1926 – Łódź Čapek's WAVES To")
	p := Page{Size: measure.Size{W: measure.Length(rng.Intn(3000000)) + 8*measure.Inch, H: measure.Length(rng.Intn(3000000)) + 8*measure.Inch}}
	var lines []string
	var all []placed
	put := func(x, y, size measure.Length, turned bool) {
		f := faces[rng.Intn(len(faces))]
		var line []string
		for range 1 + rng.Intn(4) {
			line = append(line, words[rng.Intn(len(words))])
		}
		l, _ := f.set(strings.Join(line, " "), size, x, y, turned)
		// Words set further apart, as in a justified line.
		wide := measure.Length(rng.Intn(3)) * size / 20
		var shift measure.Length
		for i := range l.Glyphs {
			g := &l.Glyphs[i]
			if turned {
				g.Y += shift
			} else {
				g.X += shift
			}
			if g.Text == " " {
				shift += wide
			}
			if g.Text != "" {
				all = append(all, placed{g.Text, g.X, g.Y, size, turned})
			}
		}
		p.Texts = append(p.Texts, l)
		lines = append(lines, strings.Join(line, " "))
	}
	for y := measure.Inch; y < 7*measure.Inch; {
		size := measure.Length(24+rng.Intn(80)) * measure.Point / 4
		y += size * 3 / 2
		put(measure.Length(rng.Intn(900000)), y, size, false)
	}
	for x := 6 * measure.Inch; x < 8*measure.Inch-measure.Inch/2; {
		size := measure.Length(24+rng.Intn(40)) * measure.Point / 4
		put(x, measure.Length(rng.Intn(900000)), size, true)
		x += size * 3 / 2
	}
	return p, lines, all
}

// TestRoundTrip reads random pages with PDFium: sizes, text in order, every glyph where it was put.
func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewSource(2))
	faces := []*testFace{sans(t), italic(t), roman(t)}
	d := Document{Title: "Random"}
	var lines [][]string
	var glyphs [][]placed
	for i := range 12 {
		if i%5 == 0 {
			d.Sections = append(d.Sections, Section{Title: "Part"})
		}
		p, l, g := random(rng, faces)
		s := &d.Sections[len(d.Sections)-1]
		s.Pages = append(s.Pages, p)
		lines, glyphs = append(lines, l), append(glyphs, g)
	}
	r := readback.Open(t, write(t, d))
	if r.Pages() != 12 {
		t.Fatalf("%d pages", r.Pages())
	}
	n := 0
	var worst measure.Length
	for _, s := range d.Sections {
		for _, p := range s.Pages {
			if got := r.Size(n); apart(got.W, p.Size.W) > 4 || apart(got.H, p.Size.H) > 4 {
				t.Errorf("page %d is %v, want %v", n, got, p.Size)
			}
			if got, want := r.Text(n), lines[n]; strings.Join(strings.Fields(got), " ") != strings.Join(want, " ") {
				t.Errorf("page %d reads\n%s\nwant\n%s", n, got, strings.Join(want, "\n"))
			}
			worst = max(worst, compare(t, n, glyphs[n], r.Chars(n)))
			n++
		}
	}
	t.Logf("the glyph furthest from its place is %.4f mm away", float64(worst)/float64(measure.Millimetre))
}

// compare matches glyphs with the characters read, and returns the largest distance.
func compare(t *testing.T, page int, want []placed, got []readback.Char) (worst measure.Length) {
	t.Helper()
	k := 0
	for _, w := range want {
		for k < len(got) && got[k].Made {
			k++
		}
		if k == len(got) {
			t.Fatalf("page %d: %q is missing", page, w.text)
		}
		c := got[k]
		angle := 0
		if w.down {
			angle = 90
		}
		off := max(apart(c.X, w.x), apart(c.Y, w.y))
		worst = max(worst, off)
		if !strings.HasPrefix(w.text, c.Text) || off > near20 || apart(c.Size, w.size) > 1 || c.Angle != angle {
			t.Fatalf("page %d: want %+v, read %+v", page, w, c)
		}
		k += len([]rune(w.text)) // a ligature is read as its letters
	}
	return worst
}

// TestPageSizes: A4 is 595.2756 x 841.8898 pt (CSS Paged Media 3: 210 x 297 mm; 1 pt = 1/72 in), letter 612 x 792.
func TestPageSizes(t *testing.T) {
	sizes := map[string]measure.Size{
		"[0 0 595.2756 841.8898]": {W: 210 * measure.Millimetre, H: 297 * measure.Millimetre},
		"[0 0 612 792]":           {W: 17 * measure.Inch / 2, H: 11 * measure.Inch},
		"[0 0 225 864]":           {W: 25 * measure.Inch / 8, H: 12 * measure.Inch}, // 3 1/8 x 12 in
		"[0 0 0.0001 14400]":      {W: 1, H: 200 * measure.Inch},
	}
	for want, size := range sizes {
		pdf := string(write(t, Document{Sections: []Section{{Pages: []Page{{Size: size}}}}}))
		for _, box := range []string{"/MediaBox ", "/CropBox ", "/TrimBox "} {
			if !strings.Contains(pdf, box+want) {
				t.Errorf("no %s%s", box, want)
			}
		}
	}
}

// TestLetters are the cases in which glyphs and letters do not go one to one.
func TestLetters(t *testing.T) {
	s, i, r := sans(t), italic(t), roman(t)
	// Latin Modern has ligatures, and no letter x with breve; U+0306 joins it as a second glyph of the cluster.
	for _, c := range []struct {
		name, text string
		face       *testFace
		fewer      bool // fewer glyphs than letters
	}{
		{"ligatures", "office first fluff efflux", r, true},
		{"no ligatures", "office first fluff efflux", s, false},
		{"accents", "Ærø Žižek façade ő ß", s, false},
		{"joined accents", "e\u0301a\u0308 mane\u0301", i, true},
		{"loose accents", "ax\u0306x\u0306x\u0306b q\u0301q next", s, false},
		{"loose accents that rise", "ax\u0306x\u0306x\u0306b q\u0301q next", i, false},
		{"loose accents, Latin Modern", "ax\u0306x\u0306x\u0306b next", r, false},
		{"two accents", "o\u0328\u0301n \u0105\u0301n next", i, true},
	} {
		for _, turned := range []bool{false, true} {
			p := Page{Size: measure.Size{W: 8 * measure.Inch, H: 8 * measure.Inch}}
			l, _ := c.face.set(c.text, 14*measure.Point, measure.Inch, measure.Inch, turned)
			if got := len(l.Glyphs) < len([]rune(c.text)); got != c.fewer {
				t.Errorf("%s: %d glyphs for %d letters", c.name, len(l.Glyphs), len([]rune(c.text)))
			}
			p.Texts = append(p.Texts, l)
			pdf := write(t, Document{Sections: []Section{{Pages: []Page{p}}}})
			want := c.text
			// PDFium ends the line after some accents in turned text; the words are whole.
			if got := readback.Open(t, pdf).Text(0); strings.Join(strings.Fields(got), " ") != want {
				t.Errorf("%s, turned %v: PDFium reads %+q", c.name, turned, got)
			}
			if got, ok := pdftotext(t, pdf); ok && !turned && strings.TrimSpace(got) != want {
				t.Errorf("%s: pdftotext reads %+q", c.name, got)
			}
		}
	}
}

// TestReplacementText is a letter that a font makes of two glyphs: é typed as one letter, set as a base and an accent.
func TestReplacementText(t *testing.T) {
	for _, f := range []*testFace{sans(t), italic(t)} {
		l, _ := f.set("cx\u0306x\u0306s one", 14*measure.Point, measure.Inch, measure.Inch, false)
		for _, letter := range []string{"é", "ж"} { // with two parts, and with one
			p := Page{Size: measure.Size{W: 8 * measure.Inch, H: 8 * measure.Inch}}
			row := l
			row.Glyphs = append([]Glyph(nil), l.Glyphs...)
			for k := range row.Glyphs {
				if row.Glyphs[k].Text == "x\u0306" {
					row.Glyphs[k].Text = letter
				}
			}
			p.Texts = append(p.Texts, row)
			pdf := write(t, Document{Sections: []Section{{Pages: []Page{p}}}})
			want := "c" + letter + letter + "s one"
			if got := readback.Open(t, pdf).Text(0); got != want {
				t.Errorf("PDFium reads %+q", got)
			}
			if got, ok := pdftotext(t, pdf); ok && strings.TrimSpace(got) != want {
				t.Errorf("pdftotext reads %+q", got)
			}
		}
	}
}

// TestHyphen: a hyphen that the setting put in stands for U+00AD, so that readers can join the word again.
func TestHyphen(t *testing.T) {
	f := sans(t)
	p := Page{Size: measure.Size{W: 8 * measure.Inch, H: 8 * measure.Inch}}
	for i, line := range []string{"a hyphen-", "ated word, well-", "known"} {
		l, _ := f.set(line, 14*measure.Point, measure.Inch, measure.Inch+measure.Length(i)*16*measure.Point, false)
		if i == 0 {
			l.Glyphs[len(l.Glyphs)-1].Text = "\u00AD"
		}
		p.Texts = append(p.Texts, l)
	}
	pdf := write(t, Document{Sections: []Section{{Pages: []Page{p}}}})
	r := readback.Open(t, pdf)
	if got := strings.ReplaceAll(r.Text(0), "\u00AD", ""); !strings.HasPrefix(got, "a hyphenated word, well") {
		t.Errorf("PDFium reads %+q", r.Text(0))
	}
	if got := r.Words(0); len(got) < 3 || got[1].Text != "hyphen\u00AD" || got[2].Text != "ated" {
		t.Errorf("words %+v", got)
	}
	if got, ok := pdftotext(t, pdf); ok && !strings.HasPrefix(got, "a hyphen\u00AD\nated word, well") {
		t.Errorf("pdftotext reads %+q", got)
	}
}

// TestDrawing looks at the pixels: lines, dashes, tints, colours, and what lies over what.
func TestDrawing(t *testing.T) {
	const in = measure.Inch
	p := Page{Size: measure.Size{W: 4 * in, H: 3 * in}}
	p.Lines = []Line{
		{X1: in, Y1: in / 2, X2: 2 * in, Y2: in / 2, Weight: in / 50},                                                // across
		{X1: 3 * in, Y1: in / 4, X2: 3 * in, Y2: 2 * in, Weight: in / 50, Colour: config.Colour{R: 200, G: 0, B: 0}}, // down
		{X1: in, Y1: 5 * in / 2, X2: 2 * in, Y2: 5 * in / 2, Weight: in / 50, Dash: in / 10},                         // dashed
		{X1: in, Y1: 11 * in / 4, X2: 2 * in, Y2: 11 * in / 4, Weight: in / 50, Colour: config.Colour{B: 10}},        // solid again
	}
	p.Fills = []Fill{{measure.Rect{X: in, Y: in, W: in, H: in}, config.Colour{R: 10, G: 120, B: 230}}, {measure.Rect{X: 3 * in / 2, Y: in, W: in / 4, H: in / 4}, config.Colour{R: 128, G: 128, B: 128}}}
	l, _ := sans(t).set("III", 40*measure.Point, in, 2*in, false)
	l.Colour = config.Colour{R: 255, G: 255, B: 255}
	p.Texts = []Text{l}
	r := readback.Open(t, write(t, Document{Sections: []Section{{Pages: []Page{p}}}}))
	grey := r.Grey(0, 600)
	const dot = in / 600
	for name, c := range map[string]struct{ within, want measure.Rect }{
		"across": {measure.Rect{X: in / 2, Y: in / 4, W: 2 * in, H: in / 2}, measure.Rect{X: in, Y: in/2 - in/100, W: in, H: in / 50}},
		"down":   {measure.Rect{X: 11 * in / 4, Y: 0, W: in, H: 3 * in}, measure.Rect{X: 3*in - in/100, Y: in / 4, W: in / 50, H: 7 * in / 4}},
		"dashed": {measure.Rect{X: in / 2, Y: 9 * in / 4, W: 2 * in, H: 3 * in / 8}, measure.Rect{X: in, Y: 5*in/2 - in/100, W: 9 * in / 10, H: in / 50}},
		"solid":  {measure.Rect{X: in / 2, Y: 21 * in / 8, W: 2 * in, H: 3 * in / 8}, measure.Rect{X: in, Y: 11*in/4 - in/100, W: in, H: in / 50}},
		"fill":   {measure.Rect{X: in / 2, Y: 3 * in / 4, W: 2 * in, H: 3 * in / 2}, measure.Rect{X: in, Y: in, W: in, H: in}},
	} {
		got, ok := readback.Ink(grey, 600, c.within)
		if !ok || apart(got.X, c.want.X) > dot || apart(got.Y, c.want.Y) > dot || apart(got.Right(), c.want.Right()) > dot || apart(got.Bottom(), c.want.Bottom()) > dot {
			t.Errorf("%s: ink %v, want %v", name, got, c.want)
		}
	}
	if gap, ok := readback.Ink(grey, 600, measure.Rect{X: in + in/10 + 2*dot, Y: 9 * in / 4, W: in/10 - 4*dot, H: 3 * in / 8}); ok {
		t.Errorf("ink in the first gap of the dashes: %v", gap)
	}
	picture := r.Colour(0, 100)
	for _, c := range []struct {
		x, y int
		want config.Colour
	}{{190, 150, config.Colour{R: 10, G: 120, B: 230}}, {160, 110, config.Colour{R: 128, G: 128, B: 128}}, {300, 100, config.Colour{R: 200, G: 0, B: 0}}, {50, 50, config.Colour{R: 255, G: 255, B: 255}}} {
		if got := picture.RGBAAt(c.x, c.y); (config.Colour{R: got.R, G: got.G, B: got.B}) != c.want {
			t.Errorf("at %d,%d the colour is %v, want %v", c.x, c.y, got, c.want)
		}
	}
	if !hasWhite(picture.SubImage(image.Rect(100, 160, 140, 200)).(*image.RGBA)) {
		t.Error("the white letters are not over the tint")
	}
}

func hasWhite(m *image.RGBA) bool {
	for y := m.Rect.Min.Y; y < m.Rect.Max.Y; y++ {
		for x := m.Rect.Min.X; x < m.Rect.Max.X; x++ {
			if c := m.RGBAAt(x, y); c.R > 250 && c.G > 250 {
				return true
			}
		}
	}
	return false
}

// TestCorrection: scaled about the top-left corner, then shifted, everything alike.
func TestCorrection(t *testing.T) {
	const in = measure.Inch
	p := Page{Size: measure.Size{W: 8 * in, H: 5 * in}, Scale: [2]float64{1.004, 0.9965}, ShiftX: 3 * measure.Millimetre, ShiftY: -measure.Millimetre}
	l, _ := sans(t).set("Here", 14*measure.Point, 3*in, 2*in, false)
	m, _ := sans(t).set("down", 14*measure.Point, 5*in, 2*in, true)
	p.Texts = []Text{l, m}
	p.Fills = []Fill{{Rect: measure.Rect{X: in, Y: 3 * in, W: in, H: in}}}
	r := readback.Open(t, write(t, Document{Sections: []Section{{Pages: []Page{p}}}}))
	to := func(x, y measure.Length) (measure.Length, measure.Length) {
		return measure.Length(float64(x)*1.004) + 3*measure.Millimetre, measure.Length(float64(y)*0.9965) - measure.Millimetre
	}
	for i, at := range [][2]measure.Length{{3 * in, 2 * in}, {5 * in, 2 * in}} {
		x, y := to(at[0], at[1])
		if c := r.Words(0)[i].Chars[0]; apart(c.X, x) > 20 || apart(c.Y, y) > 20 {
			t.Errorf("%s stands at %v, %v, want %v, %v", c.Text, c.X, c.Y, x, y)
		}
	}
	got, _ := readback.Ink(r.Grey(0, 600), 600, measure.Rect{Y: 5 * in / 2, W: 8 * in, H: 5 * in / 2})
	x, y := to(in, 3*in)
	right, bottom := to(2*in, 4*in)
	const dot = in / 600
	if apart(got.X, x) > dot || apart(got.Y, y) > dot || apart(got.Right(), right) > dot || apart(got.Bottom(), bottom) > dot {
		t.Errorf("the tint lies at %v, want %v %v to %v %v", got, x, y, right, bottom)
	}
	if p.Scale = [2]float64{}; r.Size(0) != (measure.Size{W: 8 * in, H: 5 * in}) {
		t.Error("the correction changed the page's size")
	}
}

// TestAnotherReader checks words and their places with poppler, where it is installed.
func TestAnotherReader(t *testing.T) {
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("pdftotext is not installed")
	}
	f := roman(t)
	p := Page{Size: measure.Size{W: 8 * measure.Inch, H: 5 * measure.Inch}}
	l, _ := f.set("The office by the lake", 18*measure.Point, measure.Inch, 2*measure.Inch, false)
	p.Texts = []Text{l}
	file := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(file, write(t, Document{Sections: []Section{{Pages: []Page{p}}}}), 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, "-bbox", file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	words := regexp.MustCompile(`<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">([^<]*)</word>`).FindAllStringSubmatch(string(out), -1)
	want := strings.Fields("The office by the lake")
	if len(words) != len(want) {
		t.Fatalf("pdftotext finds %d words in\n%s", len(words), out)
	}
	at := 0
	for i, w := range words {
		x, err := strconv.ParseFloat(w[1], 64)
		if err != nil {
			t.Fatal(err)
		}
		if got := measure.Length(x * float64(measure.Point)); w[5] != want[i] || apart(got, l.Glyphs[at].X) > near20 {
			t.Errorf("%q at %v, want %q at %v", w[5], got, want[i], l.Glyphs[at].X)
		}
		// Its boxes go by the ascent and descent of the font descriptor: Latin Modern's hhea has 1127 and -290.
		for k, v := range map[int]float64{2: 144 - 18*f.ascent(), 4: 144 - 18*f.descent()} {
			if got, err := strconv.ParseFloat(w[k], 64); err != nil || got-v > 0.02 || v-got > 0.02 {
				t.Errorf("%q has an edge at %s, want %.3f", w[5], w[k], v)
			}
		}
		for at < len(l.Glyphs) && l.Glyphs[at].Text != " " {
			at++
		}
		at++
	}
}

// pdftotext is the text as poppler reads it; false: it is not installed.
func pdftotext(t *testing.T, pdf []byte) (string, bool) {
	t.Helper()
	tool, err := exec.LookPath("pdftotext")
	if err != nil {
		return "", false
	}
	file := filepath.Join(t.TempDir(), "x.pdf")
	if err := os.WriteFile(file, pdf, 0o600); err != nil {
		t.Fatal(err)
	}
	out, err := exec.Command(tool, file, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	return string(out), true
}

func ExampleWrite() {
	d := Document{Title: "One page", Sections: []Section{{Title: "Vellum", Pages: []Page{{
		Title: "Sheet 1",
		Size:  measure.Size{W: 4 * measure.Inch, H: 6 * measure.Inch},
		Lines: []Line{{X1: 0, Y1: 2 * measure.Inch, X2: measure.Inch / 4, Y2: 2 * measure.Inch, Weight: measure.Point / 2}},
	}}}}}
	var b strings.Builder
	if err := Write(&b, d, func(n int) { fmt.Println("page", n) }); err != nil {
		fmt.Println(err)
	}
	fmt.Println(strings.Count(b.String(), "/MediaBox [0 0 288 432]"))
	// Output:
	// page 1
	// 1
}
