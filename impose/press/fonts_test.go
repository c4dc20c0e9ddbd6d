package press

import (
	"bytes"
	"encoding/binary"
	"errors"
	"math/big"
	"math/rand"
	"strings"
	"testing"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/stix/stix2textregular"

	"github.com/go-text/typesetting/font"

	"tuckmark/config/measure"
	"tuckmark/impose/press/readback"
)

// latin is all that is typed in most of Europe, letter by letter.
func latin() string {
	var b strings.Builder
	for r := ' '; r <= 0x17F; r++ {
		if r < 0x7F || r > 0xA0 && r != 0xAD {
			b.WriteRune(r)
		}
	}
	return b.String() + "–—‘’“”…€•"
}

func page(texts ...Text) Document {
	return Document{Sections: []Section{{Title: "All", Pages: []Page{{Size: measure.Size{W: 100 * measure.Inch, H: 10 * measure.Inch}, Texts: texts}}}}}
}

// TestSubset: fonts come out small, and the file says a letter for every glyph.
func TestSubset(t *testing.T) {
	for _, f := range []*testFace{sans(t), italic(t), roman(t), newTestFace(t, "STIXTwoText", stix2textregular.TTF), newTestFace(t, "DejaVuSans", dejavusans.TTF)} {
		pages := []string{"The quick brown fox jumps over the lazy dog, 1926 – “so” it went. ÄÖÜäöüß éèê", latin()}
		for i, most := range []int{20_000, 60_000} {
			l, _ := f.set(pages[i], 12*measure.Point, measure.Inch, measure.Inch, false)
			pdf := write(t, page(l))
			t.Logf("%s: %d letters in %d bytes", f.Name, len([]rune(pages[i])), len(pdf))
			if len(pdf) > most {
				t.Errorf("%s: %d letters take %d bytes", f.Name, len([]rune(pages[i])), len(pdf))
			}
		}
	}
}

// TestManyLetters: every letter of a page with hundreds of codes, more than a block of the CMap holds, reads back.
func TestManyLetters(t *testing.T) {
	for _, f := range []*testFace{sans(t), newTestFace(t, "STIXTwoText", stix2textregular.TTF), newTestFace(t, "DejaVuSans", dejavusans.TTF)} {
		want := strings.Map(func(r rune) rune {
			if _, ok := f.shape.NominalGlyph(r); ok && r != ' ' {
				return r
			}
			return -1
		}, latin()+"ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩαβγδεζηθικλμνξοπρστυφχψω")
		l, _ := f.set(want, 12*measure.Point, measure.Inch, measure.Inch, false)
		if got := readback.Open(t, write(t, page(l))).Text(0); got != want {
			t.Errorf("%s reads\n%s\nwant\n%s", f.Name, got, want)
		}
	}
}

// TestEveryGlyph draws every glyph of whole fonts and compares the boxes that PDFium's own font engine finds for them, in the
// font as embedded, with those that go-text finds in the font as it came.
func TestEveryGlyph(t *testing.T) {
	for _, f := range []*testFace{sans(t), roman(t), newTestFace(t, "STIXTwoText", stix2textregular.TTF), newTestFace(t, "DejaVuSans", dejavusans.TTF)} {
		const size, across = 100 * measure.Point, 100
		l := Text{Font: f.Font, Size: size}
		count := min(f.glyphs(), 6400)
		for g := range count {
			at := measure.Length(g)
			l.Glyphs = append(l.Glyphs, Glyph{ID: uint16(g), X: at % across * 2 * measure.Inch, Y: (at/across + 1) * 2 * measure.Inch, Text: string(rune(0xE000 + g))})
		}
		d := page(l)
		d.Sections[0].Pages[0].Size = measure.Size{W: 200 * measure.Inch, H: 130 * measure.Inch}
		checked, wide := 0, 0
		for _, c := range readback.Open(t, write(t, d)).Chars(0) {
			r := []rune(c.Text)
			if c.Made || len(r) != 1 || r[0] < 0xE000 {
				continue
			}
			g := int(r[0] - 0xE000)
			e, ok := f.shape.GlyphExtents(font.GID(g))
			if !ok || e.Width == 0 || e.Height == 0 {
				continue // nothing to see
			}
			checked++
			em := float64(f.shape.Upem())
			edge := func(v float32) measure.Length { return measure.Length(float64(v) / em * float64(size)) }
			want := measure.Rect{X: c.X + edge(e.XBearing), Y: c.Y - edge(e.YBearing), W: edge(e.Width), H: -edge(e.Height)}
			const slack = 3 * size / 1000
			if c.Ink.X > want.X+slack || c.Ink.Y > want.Y+slack || c.Ink.Right() < want.Right()-slack || c.Ink.Bottom() < want.Bottom()-slack {
				t.Errorf("%s: glyph %d is in %v, want %v", f.Name, g, c.Ink, want)
			}
			// FreeType's boxes hold the control points of a curve, which may lie outside of it.
			if c.Ink.W > want.W+2*slack || c.Ink.H > want.H+2*slack {
				wide++
			}
		}
		t.Logf("%s: %d of %d glyphs compared, %d boxes wider than the ink", f.Name, checked, count, wide)
		if checked < count*8/10 || wide > count/100 {
			t.Errorf("%s: %d of %d glyphs compared", f.Name, checked, count)
		}
	}
}

// collection packs fonts into a collection file (OpenType, "ttcf").
func collection(fonts ...[]byte) []byte {
	out := []byte("ttcf\x00\x01\x00\x00")
	out = binary.BigEndian.AppendUint32(out, uint32(len(fonts)))
	at := len(out) + 4*len(fonts)
	for _, f := range fonts {
		out = binary.BigEndian.AppendUint32(out, uint32(at))
		at += (len(f) + 3) &^ 3
	}
	for _, f := range fonts {
		base := len(out)
		out = append(out, f...)
		for i := range int(binary.BigEndian.Uint16(f[4:])) {
			r := out[base+12+16*i+8:]
			binary.BigEndian.PutUint32(r, binary.BigEndian.Uint32(r)+uint32(base)) // tables count from the file's start
		}
		for len(out)%4 != 0 {
			out = append(out, 0)
		}
	}
	return out
}

func TestCollection(t *testing.T) {
	a, b, c := sans(t), roman(t), italic(t)
	file := collection(a.Data, b.Data, c.Data)
	var texts []Text
	for i, f := range []*testFace{a, b, c} {
		f.Font = &Font{Name: f.Name, Data: file, Face: i}
		l, _ := f.set("first office", 20*measure.Point, measure.Inch, measure.Length(i+1)*measure.Inch, false)
		texts = append(texts, l)
	}
	r := readback.Open(t, write(t, page(texts...)))
	words := r.Words(0)
	if len(words) != 6 {
		t.Fatalf("words %+v", words)
	}
	for i, f := range []*testFace{a, b, c} {
		if w := words[2*i]; w.Text != "first" || !strings.HasSuffix(w.Chars[0].Font, "+"+f.Name) {
			t.Errorf("%q in %q, want %q", w.Text, w.Chars[0].Font, f.Name)
		}
	}
	if err := Write(&bytes.Buffer{}, page(Text{Font: &Font{Name: "x", Data: file, Face: 3}, Size: 1, Glyphs: make([]Glyph, 1)}), nil); err == nil {
		t.Error("a face that the collection does not have")
	}
}

// TestOneFontInManySections: each section brings its fonts; the merged file holds each once.
func TestOneFontInManySections(t *testing.T) {
	f, g := sans(t), roman(t)
	l, _ := f.set("first office", 20*measure.Point, measure.Inch, measure.Inch, false)
	m, _ := g.set("first office", 20*measure.Point, measure.Inch, 2*measure.Inch, false)
	d := page(l, m)
	d.Sections = append(d.Sections, d.Sections[0], d.Sections[0])
	pdf := write(t, d)
	if n := bytes.Count(pdf, []byte("/Type /FontDescriptor")); n != 2 {
		t.Errorf("%d font descriptors for two fonts", n)
	}
	if n := bytes.Count(pdf, []byte("/Subtype /Type0")); n != 2 {
		t.Errorf("%d fonts for two fonts", n)
	}
}

func TestPostScriptName(t *testing.T) {
	for in, want := range map[string]string{
		"LiberationSans-Bold":    "LiberationSans-Bold",
		"Brush (Demo) /Script#1": "BrushDemoScript1",
		"日本語":                    "Unnamed",
		"":                       "Unnamed",
		strings.Repeat("x", 99):  strings.Repeat("x", 56),
	} {
		if got := postScriptName(in); got != want {
			t.Errorf("%q becomes %q", in, got)
		}
	}
}

// spoil cuts and changes a font file the way a bad download or a bad disk would.
func spoil(rng *rand.Rand, data []byte) []byte {
	out := append([]byte(nil), data...)
	if rng.Intn(3) == 0 {
		out = out[:rng.Intn(len(out))]
	}
	for range rng.Intn(20) {
		if len(out) > 0 {
			at := rng.Intn(len(out))
			if rng.Intn(2) == 0 {
				at = rng.Intn(min(len(out), 400)) // the table directory
			}
			out[at] = byte(rng.Intn(256))
		}
	}
	return out
}

// TestDamagedFonts: a font that is no font is an error in plain words, or a page; never a panic.
func TestDamagedFonts(t *testing.T) {
	rng := rand.New(rand.NewSource(7))
	var refused int
	for range 60 {
		for _, f := range []*testFace{sans(t), roman(t)} {
			l, _ := f.set("office é", 12*measure.Point, 0, measure.Inch, false)
			l.Font = &Font{Name: "Damaged", Data: spoil(rng, f.Data)}
			err := Write(&bytes.Buffer{}, page(l), nil)
			var fault *FontError
			switch {
			case err == nil:
			case errors.As(err, &fault):
				refused++
			default:
				if !strings.Contains(err.Error(), "has no glyph") {
					t.Errorf("error %v", err)
				}
			}
		}
	}
	if refused == 0 {
		t.Error("no damaged font was refused")
	}
}

func TestWhyUnreadable(t *testing.T) {
	for data, want := range map[string]string{
		"wOFF\x00\x01\x00\x00":   "web font",
		"wOF2\x00\x01\x00\x00":   "web font",
		"<html>not found</html>": "damaged",
		"":                       "damaged",
	} {
		wish := &Font{Name: "Wish", Data: []byte(data)}
		err := Write(&bytes.Buffer{}, page(Text{Font: wish, Size: 1, Glyphs: make([]Glyph, 1)}), nil)
		if err == nil || !strings.Contains(err.Error(), want) || !strings.Contains(err.Error(), `"Wish"`) {
			t.Errorf("%q: %v", data, err)
		}
	}
}

func FuzzFont(f *testing.F) {
	f.Add(liberationsansregular.TTF[:4000])
	f.Add([]byte("OTTO"))
	f.Fuzz(func(t *testing.T, data []byte) {
		glyphs := []Glyph{{ID: 1, Text: "a"}, {ID: 2, Text: "b"}, {ID: 40, Text: "c"}}
		_ = Write(&bytes.Buffer{}, page(Text{Font: &Font{Name: "Fuzz", Data: data}, Size: measure.Point, Glyphs: glyphs}), nil)
	})
}

// TestPoints compares the printed points with exact fractions.
func TestPoints(t *testing.T) {
	rng := rand.New(rand.NewSource(3))
	for range 20000 {
		l := measure.Length(rng.Int63n(1<<34) - 1<<33)
		got, ok := new(big.Rat).SetString(points(l))
		if !ok {
			t.Fatalf("%d prints %q", l, points(l))
		}
		off := got.Sub(got, big.NewRat(int64(l), int64(measure.Point)))
		if off.Abs(off).Cmp(big.NewRat(1, 20000)) > 0 {
			t.Fatalf("%d prints %s", l, points(l))
		}
	}
	for l, want := range map[measure.Length]string{0: "0", 1: "0.0001", -1: "-0.0001", measure.Point: "1", -measure.Point / 2: "-0.5", 127: "0.01"} {
		if got := points(l); got != want {
			t.Errorf("%d prints %s, want %s", l, got, want)
		}
	}
}
