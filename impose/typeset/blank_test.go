package typeset

import (
	"bytes"
	"context"
	"encoding/binary"
	"strings"
	"testing"

	"codeberg.org/go-fonts/dejavu/dejavusans"
	"codeberg.org/go-fonts/latin-modern/lmroman10regular"
	"github.com/go-text/typesetting/font/cff"
	"golang.org/x/image/font/gofont/goregular"

	"tuckmark/config/measure"
	"tuckmark/intake"
)

// glyphsOf are the glyphs of letters in a font.
func glyphsOf(t *testing.T, data []byte, letters string) (out []int) {
	f, err := parseFace(data, 0, "X")
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range letters {
		g, _ := f.font.NominalGlyph(r)
		out = append(out, int(g))
	}
	return out
}

// emptied is a font without the outlines of letters: their places in the file are nothing, as fonts in colour have them.
func emptied(t *testing.T, data []byte, letters string) []byte {
	data = bytes.Clone(data)
	gone := glyphsOf(t, data, letters)
	if string(data[:4]) == "OTTO" {
		c, err := cff.Parse(table(t, data, "CFF "))
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range gone {
			c.Charstrings[g][0] = 14 // endchar; it lies in the file
		}
		return data
	}
	return refilled(t, data, gone, nil)
}

// refilled is a font whose glyphs have other outlines.
func refilled(t *testing.T, data []byte, glyphs []int, outline []byte) []byte {
	loca, glyf, long := table(t, data, "loca"), table(t, data, "glyf"), binary.BigEndian.Uint16(table(t, data, "head")[50:]) == 1
	n := int(binary.BigEndian.Uint16(table(t, data, "maxp")[4:]))
	at := func(i int) int {
		if long {
			return int(binary.BigEndian.Uint32(loca[4*i:]))
		}
		return 2 * int(binary.BigEndian.Uint16(loca[2*i:]))
	}
	is := map[int]bool{}
	for _, g := range glyphs {
		is[g] = true
	}
	var places, out []byte
	place := func() {
		if long {
			places = binary.BigEndian.AppendUint32(places, uint32(len(out)))
		} else {
			places = binary.BigEndian.AppendUint16(places, uint16(len(out)/2))
		}
	}
	for i := range n {
		place()
		if is[i] {
			out = append(out, outline...)
		} else {
			out = append(out, glyf[at(i):at(i+1)]...)
		}
	}
	place()
	return withTable(withTable(data, "glyf", out), "loca", places)
}

// A letter of which the font has a glyph without an outline is never left blank: another font lends it, or the text is held. What is rightly blank, and what is drawn as a part of
// something else, is left alone.
func TestNoOutline(t *testing.T) {
	all := stopgaps
	defer func() { stopgaps = all }()
	const small = "abcdefghijklmnopqrstuvwxyz"
	noContour := append(big16(0, 10, 0, 900, 900), 0, 0)       // the box that it says it has is not empty
	onePoint := append(big16(1, 0, 0, 0, 0, 0, 0), 1, 0, 0, 0) // on the curve, and its two steps in words
	onePoint = append(onePoint, 0, 0)
	tree := func(data []byte) []byte { // an icon that a word stands for
		g := glyphsOf(t, data, "treX")
		return withTable(data, "GSUB", layout("liga", append(big16(4, 0, 1, 8, 1, 8, 1, 14, 1, 1, g[0], 1, 4, g[3], 4), big16(g[1], g[2], g[2])...)))
	}
	beside := func(data []byte) []byte { // the first of two is emptied, the second shows both
		g := glyphsOf(t, data, "eX ")
		return withTable(data, "GSUB", layout("calt", big16(5, 0, 1, 8, 1, 8, 1, 14, 1, 1, g[0], 1, 4, 2, 2, g[0], 0, 1, 1, 2), // e e: the lookups at both
			multiply(g[0], g[2]), multiply(g[0], g[1])))
	}
	arabic := "\u0628\u064e\u0628 \u0644\u0627"
	for _, c := range []struct {
		name, text, lent, held string
		font                   []byte
	}{
		{"one letter", "data", "the character “a” (U+0061)", "the character “a” (U+0061)", emptied(t, goregular.TTF, "a")},
		{"no contour", "data", "the character “a” (U+0061)", "the character “a” (U+0061)", refilled(t, goregular.TTF, glyphsOf(t, goregular.TTF, "a"), noContour)},
		{"one point", "data", "the character “a” (U+0061)", "the character “a” (U+0061)", refilled(t, goregular.TTF, glyphsOf(t, goregular.TTF, "a"), onePoint)},
		{"of CFF", "data", "the character “a” (U+0061)", "the character “a” (U+0061)", emptied(t, lmroman10regular.TTF, "a")},
		{"all small letters", "Flow, away", "5 characters, “l” (U+006C) the first", "the characters “l” (U+006C)", emptied(t, goregular.TTF, small)},
		{"with a mark", "a\u0308x", "the character “a\u0308” (U+0061 U+0308)", "the character “a\u0308” (U+0061 U+0308)", emptied(t, dejavusans.TTF, "a\u00e4")},
		{"of a letter and its mark", "\u1e5b", "the character “\u1e5b” (U+1E5B)", "the character “\u1e5b” (U+1E5B)", emptied(t, dejavusans.TTF, "r\u1e5b")},
		{"from the right", arabic, "the characters “\u0628\u064e” (U+0628 U+064E), “\u0628” (U+0628)", "the character", emptied(t, dejavusans.TTF, "\u0628\ufe8f\ufe90\ufe91\ufe92")},
		{"a whole font", "Flow, déjà vu — “fi” a\u00adb", "", "", goregular.TTF},
		{"a whole one of CFF", "Flow, déjà vu — “fi” a\u00adb", "", "", lmroman10regular.TTF},
		{"rightly blank", "a\u2800b \u200dc\u00a0d\u00ade\u2003f\ufe0f \ufffc g", "", "", dejavusans.TTF},
		{"whole from the right", arabic, "", "", dejavusans.TTF},
		{"a word as an icon", "Tree tree", "the characters “r” (U+0072), “e” (U+0065)", "the characters “r” (U+0072), “e” (U+0065)", tree(emptied(t, goregular.TTF, small))},
		{"icons only", "T tree, tree", "", "", tree(emptied(t, goregular.TTF, small))},
		{"two as one", "tree", "", "", beside(goregular.TTF)},
	} {
		data := rename(c.font, "Ev")
		for _, name := range []string{"\x00L\x00a\x00t\x00i", "\x00D\x00e\x00j\x00a", "\x00L\x00M\x00 \x00R", "\x00L\x00M\x00R\x00o", "LM Roman", "DejaVu"} { // not to be taken for one that comes with the program
			data = bytes.ReplaceAll(data, []byte(name), []byte(strings.NewReplacer("D", "E", "L", "E").Replace(name)))
		}
		dir := folder(t, map[string][]byte{"Evil.ttf": data})
		for _, alone := range []bool{false, true} {
			if alone && c.lent == "" {
				break
			}
			if alone {
				stopgaps = nil
			}
			b := aBlock(3*measure.Inch, measure.Inch, c.text)
			b.Font = "Evil"
			set, _, found := Set(context.Background(), onlyBuiltIn(NewLibrary([]string{dir})), []intake.Block{b}, settings(), nil)
			want := ""
			switch {
			case c.lent != "" && alone:
				want = "no font at hand has an outline of " + c.held
			case c.lent != "":
				want = "has no outline of " + c.lent + "; set in DejaVu Sans"
			}
			var said []string
			for _, p := range found {
				said = append(said, p.What)
			}
			if got := strings.Join(said, "\n"); !strings.Contains(got, want) || want == "" && got != "" || (len(set) == 0) != (alone && want != "") {
				t.Errorf("%s (alone %t): %q, want %q, %d set", c.name, alone, got, want, len(set))
			}
		}
		stopgaps = all
	}
}
