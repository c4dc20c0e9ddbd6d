package press

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/press/subset"
)

// TestPagesOwnState: a page is drawn the same whatever was drawn before it, since a reader begins every page anew (ISO 32000-1,
// table 52).
func TestPagesOwnState(t *testing.T) {
	line := func(weight, dash measure.Length, c config.Colour) Page {
		return Page{Size: measure.Size{W: measure.Inch, H: measure.Inch}, Lines: []Line{{X2: measure.Inch, Weight: weight, Dash: dash, Colour: c}}}
	}
	fill := func(c config.Colour) Page {
		return Page{Size: measure.Size{W: measure.Inch, H: measure.Inch}, Fills: []Fill{{measure.Rect{W: 5, H: 5}, c}}}
	}
	red, grey := config.Colour{R: 200}, config.Colour{R: 90, G: 90, B: 90}
	pages := []Page{line(measure.Point, 0, config.Colour{}), line(measure.Point, 40, red), line(20, 40, red), line(20, 80, grey), fill(red), fill(grey), fill(config.Colour{})}
	draw := func(c *content, p Page) string { c.draw(&p); return string(c.b) }
	for i, before := range pages {
		for k, p := range pages {
			c := &content{}
			draw(c, before)
			if got, want := draw(c, p), draw(&content{}, p); got != want {
				t.Errorf("page %d behind page %d:\n%s, and by itself:\n%s", k, i, got, want)
			}
		}
	}
}

// TestGrey: only what is grey goes out as grey, any grey does.
func TestGrey(t *testing.T) {
	for c, want := range map[config.Colour]string{
		{R: 51, G: 51, B: 51}: "0.2 g\n", {R: 255, G: 255, B: 255}: "1 g\n", {R: 51, G: 51, B: 52}: "rg\n", {G: 51, B: 51}: "rg\n", {R: 51, B: 51}: "rg\n",
	} {
		var out content
		now := config.Colour{R: 1, G: 2, B: 3}
		if out.colour(&now, c, "g\n", "rg\n"); !strings.HasSuffix(string(out.b), want) {
			t.Errorf("%v: %q", c, out.b)
		}
	}
}

// TestParting: the second operator of a turned row starts an em away from the first, and from the row that follows.
func TestParting(t *testing.T) {
	row := func(at ...measure.Length) Text {
		x := Text{Size: 10, Turned: true}
		for i, y := range at {
			x.Glyphs = append(x.Glyphs, Glyph{Y: y, Text: string(rune('a' + i))})
		}
		return x
	}
	for _, c := range []struct {
		name  string
		texts []Text
		want  int
	}{
		{"the first that is far from its own start", []Text{row(0, 5, 10, 11, 30), row(100)}, 3},
		{"and from that of the next", []Text{row(0, 5, 11, 30), row(15)}, 3},
		{"none is: the first", []Text{row(0, 5, 9), row(100)}, 1},
		{"the last row", []Text{row(0, 11)}, 1},
		{"one glyph", []Text{row(0), row(0)}, -1},
	} {
		if got := parting(c.texts, 0); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
	upright := row(0, 11, 30)
	upright.Turned = false
	if got := parting([]Text{upright}, 0); got != -1 {
		t.Errorf("an upright row is parted at %d", got)
	}
}

// TestCodes: a font has codes of two bytes, one for each glyph and text, and says so where they do not suffice.
func TestCodes(t *testing.T) {
	f := &face{font: &Font{Name: "Small"}, glyphs: []uint16{0}, texts: []string{""}, widths: []int64{0}, codes: make([][]coded, 3)}
	a, b := sign{2, "a", 500}, sign{2, "b", 500}
	for _, s := range []sign{a, b, a, b} {
		if err := f.need(s); err != nil {
			t.Fatal(err)
		}
	}
	if f.code(a) != 1 || f.code(b) != 2 || !slices.Equal(f.texts, []string{"", "a", "b"}) {
		t.Errorf("codes %d and %d of %q", f.code(a), f.code(b), f.texts)
	}
	if err := f.need(sign{3, "c", 500}); err == nil {
		t.Error("a glyph that the font has not got has a code")
	}
	f.glyphs = make([]uint16, 0xFFFF)
	if err := f.need(sign{1, "the last", 500}); err != nil || f.code(sign{1, "the last", 500}) != 0xFFFF {
		t.Errorf("the last code: %v", err)
	}
	var full *FontError
	if err := f.need(sign{1, "one more", 500}); !errors.As(err, &full) || full.Font != "Small" {
		t.Errorf("one more than there are codes: %v", err)
	}
}

// TestToUnicode: no block of the map has more than 100 lines (Adobe Technical Note 5411, 1.4.1), and all are there.
func TestToUnicode(t *testing.T) {
	f := &face{texts: []string{""}}
	for i := range 250 {
		f.texts = append(f.texts, string(rune('a'+i)))
	}
	total := 0
	for _, m := range regexp.MustCompile(`(?s)(\d+) beginbfchar\n(.*?)endbfchar`).FindAllStringSubmatch(string(f.toUnicode()), -1) {
		n := strings.Count(m[2], "\n")
		if fmt.Sprint(n) != m[1] || n > 100 {
			t.Errorf("a block of %s has %d lines", m[1], n)
		}
		total += n
	}
	if total != 250 {
		t.Errorf("%d letters of 250", total)
	}
}

// TestDescriptor: flag 7 is set of a font that leans (ISO 32000-1, table 123).
func TestDescriptor(t *testing.T) {
	for angle, want := range map[int]string{0: "/Flags 4/", -12: "/Flags 68/", 9: "/Flags 68/"} {
		f := &face{file: &subset.Font{ItalicAngle: angle}}
		if got := f.metrics(); !strings.HasPrefix(got, want) || !strings.Contains(got, fmt.Sprintf("/ItalicAngle %d/", angle)) {
			t.Errorf("%d degrees: %s", angle, got)
		}
	}
}

// TestDeal: the letters of a cluster go to its glyphs, and none is lost.
func TestDeal(t *testing.T) {
	for _, c := range []struct {
		text string
		n    int
		want []string
	}{
		{"é", 2, []string{"e", "\u0301"}}, // taken apart
		{"ab", 2, []string{"a", "b"}},
		{"abcd", 2, []string{"a", "bcd"}},  // more letters than glyphs
		{"a", 2, []string{"a", noLetters}}, // fewer, and none to take apart
		{"", 2, []string{noLetters, noLetters}},
	} {
		if got := dealLetters(c.text, c.n); !slices.Equal(got, c.want) {
			t.Errorf("%q for %d glyphs: %q", c.text, c.n, got)
		}
	}
}

// TestTitleLength: a title of the most letters is kept, a longer one ends in a sign that there was more.
func TestTitleLength(t *testing.T) {
	if got := clean(strings.Repeat("ä", 10), 10); got != strings.Repeat("ä", 10) {
		t.Errorf("%q", got)
	}
	if got := clean(strings.Repeat("ä", 11), 10); got != strings.Repeat("ä", 9)+"…" {
		t.Errorf("%q", got)
	}
}

// TestPageTree: no node of the tree has more kids than is quick to look through.
func TestPageTree(t *testing.T) {
	s := Section{Pages: make([]Page, 2*branch+1)}
	for i := range s.Pages {
		s.Pages[i].Size = measure.Size{W: measure.Inch, H: measure.Inch}
	}
	pages := 0
	out := writeSection(&s, &fontSet{}, nil, func() { pages++ })
	var kids []int
	for _, m := range regexp.MustCompile(`/Kids\[([^\]]*)\]`).FindAllSubmatch(out, -1) {
		kids = append(kids, bytes.Count(m[1], []byte(" 0 R")))
	}
	if !slices.Equal(kids, []int{32, 32, 1, 3}) || pages != 2*branch+1 {
		t.Errorf("nodes of %v, %d pages", kids, pages)
	}
}

// TestFullDisk: what cannot be written is told, wherever in the file it stops.
func TestFullDisk(t *testing.T) {
	d := small(t)
	var whole bytes.Buffer
	if err := Write(&whole, d, nil); err != nil {
		t.Fatal(err)
	}
	for _, room := range []int{0, 1, whole.Len() / 2, whole.Len() - 1} {
		if err := Write(&narrow{room}, d, nil); !errors.Is(err, io.ErrShortWrite) {
			t.Errorf("room for %d of %d bytes: %v", room, whole.Len(), err)
		}
	}
	if err := Write(&narrow{whole.Len()}, d, nil); err != nil {
		t.Errorf("room for all: %v", err)
	}
}

// narrow takes so many bytes.
type narrow struct{ room int }

func (n *narrow) Write(b []byte) (int, error) {
	if len(b) > n.room {
		return 0, io.ErrShortWrite
	}
	n.room -= len(b)
	return len(b), nil
}
