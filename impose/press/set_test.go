package press

import (
	"bytes"
	"testing"

	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"codeberg.org/go-fonts/liberation/liberationsansregular"
	"codeberg.org/go-fonts/liberation/liberationserifitalic"
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"

	"tuckmark/config/measure"
	"tuckmark/impose/press/subset"
)

// face pairs a font for the page with one to shape by.
type testFace struct {
	*Font
	shape *font.Face
}

func newTestFace(t testing.TB, name string, data []byte) *testFace {
	t.Helper()
	f, err := font.ParseTTF(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return &testFace{&Font{Name: name, Data: data}, f}
}

func sans(t testing.TB) *testFace {
	return newTestFace(t, "LiberationSans", liberationsansregular.TTF)
}
func italic(t testing.TB) *testFace {
	return newTestFace(t, "LiberationSerif-Italic", liberationserifitalic.TTF)
}
func roman(t testing.TB) *testFace {
	return newTestFace(t, "LMRoman10-Regular", lmroman10regular.TTF)
}

// set shapes one line of text with its origin at x, y, and returns it with its advance.
func (f *testFace) set(text string, size, x, y measure.Length, turned bool) (Text, measure.Length) {
	runes := []rune(text)
	buf := harfbuzz.NewBuffer()
	buf.AddRunes(runes, 0, len(runes))
	buf.Props = harfbuzz.SegmentProperties{Direction: harfbuzz.LeftToRight, Script: language.Latin, Language: "en"}
	buf.Shape(harfbuzz.NewFont(f.shape), nil)
	upem := int64(f.shape.Upem())
	scale := func(units int64) measure.Length { return measure.Length(roundDiv(units*int64(size), upem)) }
	out := Text{Font: f.Font, Size: size, Turned: turned}
	var pen int64
	for i, g := range buf.Info {
		p := buf.Pos[i]
		end := len(runes)
		for _, h := range buf.Info[i:] {
			if h.Cluster != g.Cluster {
				end = h.Cluster
				break
			}
		}
		stands := string(runes[g.Cluster:end])
		if i > 0 && buf.Info[i-1].Cluster == g.Cluster {
			stands = ""
		}
		along, up := scale(pen+int64(p.XOffset)), scale(int64(p.YOffset))
		gl := Glyph{ID: uint16(g.Glyph), X: x + along, Y: y - up, Text: stands}
		if turned {
			gl.X, gl.Y = x+up, y+along
		}
		out.Glyphs = append(out.Glyphs, gl)
		pen += int64(p.XAdvance)
	}
	return out, scale(pen)
}

// ascent and descent are those of the font's hhea table in em, as go-text reads them.
func (f *testFace) ascent() float64 {
	e, _ := f.shape.FontHExtents()
	return float64(e.Ascender) / float64(f.shape.Upem())
}

func (f *testFace) descent() float64 {
	e, _ := f.shape.FontHExtents()
	return float64(e.Descender) / float64(f.shape.Upem())
}

func (f *testFace) glyphs() int {
	cut, err := subset.Open(f.Data, f.Face)
	if err != nil {
		panic(err)
	}
	return cut.Glyphs
}
