package typeset

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/go-text/typesetting/harfbuzz"
	"github.com/go-text/typesetting/language"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

const (
	hebrew   = "שלום לכולם! היינו באגם עם הדודה ועם הכלב הקטן, ואכלנו גלידות. השמש שקעה מאחורי ההרים."
	arabic   = "كانت الرحلة إلى البحيرة جميلة جدا، وصلنا مع العائلة كلها وأكلنا الكثير من الحلوى."
	japanese = "東京に行った。とても楽しかった。また来年も行きたいと思います。富士山が見えました。"
)

// visual is what a line shows from left to right.
func visual(l *Line) string {
	type at struct {
		x    measure.Length
		text string
	}
	var all []at
	for _, s := range l.Spans {
		for _, g := range s.Glyphs {
			all = append(all, at{g.X, g.Text})
		}
	}
	slices.SortStableFunc(all, func(a, b at) int { return int(a.x - b.x) })
	var b strings.Builder
	for _, a := range all {
		b.WriteString(a.text)
	}
	return b.String()
}

// TestVisualOrder: what runs to the left stands from right to left, numbers and foreign words in it from left to right. The
// visual lines are written by hand, rule L2 of UAX #9.
func TestVisualOrder(t *testing.T) {
	for typed, want := range map[string]string{
		"We said שלום לכולם to all.": "We said םלוכל םולש to all.",
		"היינו 12 באגם":              "םגאב 12 ונייה",
		"הדודה Ann Lee באה.":         ".האב Ann Lee הדודה",
		"plain":                      "plain",
	} {
		b := aBlock(8*measure.Inch, measure.Inch, typed)
		b.Font, b.Type.Largest = "DejaVu Sans", 10*pt
		set, list := one(b)
		if set == nil || len(set.Lines) != 1 {
			t.Errorf("%q: %v", typed, list)
			continue
		}
		if got := visual(&set.Lines[0]); got != want {
			t.Errorf("%q\nshows %q\nwant  %q", typed, got, want)
		}
		check(t, set) // reads in the order of the text
	}
}

// TestRightToLeft compares the glyphs of lines that run to the left with those of hb-shape, which hands them out from left to
// right, and checks where the lines stand.
func TestRightToLeft(t *testing.T) {
	hb, err := exec.LookPath("hb-shape")
	if err != nil {
		t.Skip("hb-shape is not installed (Debian: libharfbuzz-bin)")
	}
	f, err := shared.Face("DejaVu Sans", false, false)
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "font")
	if err := os.WriteFile(file, f.Data(), 0o600); err != nil {
		t.Fatal(err)
	}
	for script, text := range map[string]string{"hebr": hebrew, "arab": arabic} {
		for _, align := range []config.Align{config.Left, config.Right, config.Centre, config.Justified} {
			b := aBlock(3*measure.Inch, 2*measure.Inch, text)
			b.Font, b.Type.Align = "DejaVu Sans", align
			set, list := one(b)
			if set == nil {
				t.Fatal(list)
			}
			check(t, set)
			for i := range set.Lines {
				l := &set.Lines[i]
				if align == config.Justified || len(l.Spans) != 1 {
					continue
				}
				glyphs := slices.Clone(l.Spans[0].Glyphs)
				slices.Reverse(glyphs)
				out, err := exec.Command(hb, "--output-format=json", "--no-clusters", "--no-glyph-names", "--script="+script, "--direction=rtl", file, lineText(l)).Output()
				if err != nil {
					t.Fatal(err)
				}
				var want []struct{ G, Dx, Ax int }
				if err := json.Unmarshal(out, &want); err != nil {
					t.Fatal(err)
				}
				if len(want) != len(glyphs) {
					t.Fatalf("%d glyphs, hb-shape has %d", len(glyphs), len(want))
				}
				x := 0
				for j, w := range want {
					place := func(k int) int64 { return int64(glyphs[k].X-glyphs[0].X) * f.upem / int64(l.Spans[0].Size) }
					if d := place(j) - int64(x+w.Dx-want[0].Dx); int(glyphs[j].ID) != w.G || d < -1 || d > 1 {
						t.Fatalf("%s, glyph %d: %d at %d, hb-shape has %d at %d", lineText(l), j, glyphs[j].ID, place(j), w.G, x+w.Dx)
					}
					x += w.Ax
				}
				// Left means where lines begin: there the ink reaches the edge of the box, give or take a side bearing.
				if right := set.Ink.Right(); align != config.Centre && set.Block.Ink().Right()-right > set.Size/4 {
					t.Errorf("%s lines end at %v, the box at %v", align, right.Points(), set.Block.Ink().Right().Points())
				}
			}
		}
	}
}

// TestWithoutSpaces: Japanese breaks between characters, but no line starts with what may not start one. It needs a font that has
// them, such as Debian's fonts-droid-fallback.
func TestWithoutSpaces(t *testing.T) {
	l := NewLibrary(nil)
	if l.lender([]rune("東"), false, false) == nil {
		t.Skip("this machine has no font with Japanese")
	}
	b := aBlock(3*measure.Inch, 2*measure.Inch, japanese)
	set, _, list := Set(context.Background(), l, []intake.Block{b}, settings(), nil)
	if len(set) != 1 || len(set[0].Lines) < 3 || len(list) != 1 {
		t.Fatalf("%v %v", set, list)
	}
	check(t, &set[0])
	for i := range set[0].Lines {
		if first := []rune(lineText(&set[0].Lines[i]))[0]; strings.ContainsRune("。、っ", first) {
			t.Errorf("line %d starts with %c", i, first)
		}
	}
}

// TestAccents: an accent typed apart joins its letter, and is there once.
func TestAccents(t *testing.T) {
	for _, font := range []string{"Serif", "Roman", "Typewriter"} {
		b := aBlock(3*measure.Inch, measure.Inch, "e\u0301te\u0301 a\u0300 cafe\u0301 Å ñ")
		b.Font = font
		set, list := one(b)
		if set == nil || len(list) > 0 {
			t.Errorf("%s: %v", font, list)
			continue
		}
		check(t, set)
	}
}

// TestStyles: bold and italic words are set in those members, and the spaces around them stay.
func TestStyles(t *testing.T) {
	b := aBlock(4*measure.Inch, measure.Inch, "")
	b.Text = []intake.Paragraph{{{Text: "one "}, {Text: "two", Bold: true}, {Text: " three "}, {Text: "four", Italic: true}, {Text: "five", Bold: true, Italic: true}}}
	set, _ := one(b)
	var got []string
	for _, s := range set.Lines[0].Spans {
		text := ""
		for _, g := range s.Glyphs {
			text += g.Text
		}
		got = append(got, s.Face.Name()+":"+text)
	}
	if want := "[Serif:one  Serif Bold:two Serif: three  Serif Italic:four Serif Bold Italic:five]"; fmt.Sprint(got) != want {
		t.Errorf("got  %v\nwant %v", got, want)
	}
}

// TestLabels: labels start at nought, paragraphs keep their width and lose nothing.
func TestLabels(t *testing.T) {
	f, _ := shared.Face("Sans", false, false)
	spans, w := shared.Label(f, 12*pt, "Zoë → אב")
	if len(spans) < 1 || spans[0].Glyphs[0].X != 0 || w <= 0 || spans[0].Glyphs[0].Y != 0 {
		t.Errorf("%v %v", spans, w)
	}
	if spans, w := shared.Label(f, 12*pt, ""); len(spans) != 0 || w != 0 {
		t.Errorf("nothing is %v wide: %v", w, spans)
	}
	if spans, _ := onlyBuiltIn(NewLibrary(nil)).Label(f, 12*pt, "a\U00012000b\x07"); len(spans) == 0 || lineText(&Line{Spans: spans}) != "a?b" {
		t.Errorf("%q", lineText(&Line{Spans: spans}))
	}
	lines := shared.Paragraph(f, 10*pt, 2*measure.Inch, texts[0])
	all := ""
	for _, l := range lines {
		last := l[len(l)-1].Glyphs
		if last[len(last)-1].X > 2*measure.Inch {
			t.Error("a line reaches beyond the width")
		}
		all += lineText(&Line{Spans: l}) + " "
	}
	if strings.TrimSpace(all) != texts[0] || len(lines) < 4 {
		t.Errorf("%d lines: %s", len(lines), all)
	}
	if n := len(shared.Paragraph(f, 10*pt, pt, "Unbreakable indeed")); n != 2 {
		t.Errorf("%d lines", n)
	}
}

// What stands between the words of Arabic in a face without Arabic is shaped as it is beside other scripts that run from
// right to left: the same glyphs at the same places, and in about the same time.
func TestBetweenArabicWords(t *testing.T) {
	own, err := shared.Face("Serif", false, false)
	if err != nil || own.arabic {
		t.Fatal(err, "the face has Arabic")
	}
	lent, err := shared.Face("DejaVu Sans", false, false)
	if err != nil || !lent.arabic {
		t.Fatal(err, "the face has no Arabic")
	}
	s := own.takeShaper()
	defer own.give(s)
	// The library's word for it: what it makes of the run when it is told the script as it is.
	asArabic := func(text []rune) *harfbuzz.Buffer {
		b := harfbuzz.NewBuffer()
		b.AddRunes(text, 0, -1)
		b.Props.Direction, b.Props.Script = harfbuzz.RightToLeft, language.Arabic
		b.Shape(s.font, nil)
		return b
	}
	for _, text := range []string{" ", " (", ") [12.5] ", "« ‹“fi”› »", "\u200e \u200f", "\u2066 a\u0301 \u2069", "…—!"} {
		runes := []rune(text)
		want := asArabic(runes)
		s.shape(runes, 0, len(runes), runProps{script: language.Arabic, right: true})
		n := len(want.Info)
		if len(s.glyphs) != n {
			t.Fatalf("%q: %d glyphs, as Arabic %d", text, len(s.glyphs), n)
		}
		for i, g := range s.glyphs { // in the order of the text, the library's from left to right
			gid, pos := uint16(want.Info[n-1-i].Glyph), want.Pos[n-1-i]
			if g.gid != gid || int64(g.advance) != own.scale(int64(pos.XAdvance)) || int64(g.shiftX) != own.scale(int64(pos.XOffset)) {
				t.Errorf("%q: glyph %d is %d, %d wide, shifted by %d; as Arabic %d, %d, %d", text, i, g.gid, g.advance, g.shiftX, gid,
					own.scale(int64(pos.XAdvance)), own.scale(int64(pos.XOffset)))
			}
		}
	}
	took := func(script language.Script) time.Duration {
		least := time.Hour
		for range 5 {
			began := time.Now()
			for range 200 {
				s.shape([]rune(" "), 0, 1, runProps{script: script, right: true})
			}
			least = min(least, time.Since(began))
		}
		return least
	}
	if arabic, hebrew := took(language.Arabic), took(language.Hebrew); arabic > 10*hebrew {
		t.Errorf("a space beside Arabic takes %v, beside Hebrew %v", arabic/200, hebrew/200)
	}
}
