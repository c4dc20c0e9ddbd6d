package typeset

import (
	"slices"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"golang.org/x/text/unicode/norm"
)

// A font may have a glyph for a letter and no outline of it: its letters are pictures in colour over empty glyphs, or the outlines were lost. Such a letter would be left
// blank without a word, so that it is looked for elsewhere as one that the font lacks. Whether it is so shows only in what was shaped: there are fonts whose letters are empty
// by themselves and are drawn as parts of others, or of whole words (ligatures that are icons), and fonts that empty a letter because the one beside it shows both.

// mostLooks is how often a paragraph is shaped anew because of letters that were left blank. A letter more may be so once those beside it are lent; what is left then is told as one that no
// font has.
const mostLooks = 8

// visible reports whether a character is one that leaves ink: no space, no mark, none that only guides the setting, none that stands for nothing.
func visible(r rune) bool {
	switch r {
	case 0x2800, 0xFFFC, 0x13441, 0x13442, 0x1D159: // Braille without dots, an object's place, blank hieroglyphs, a note without a head
		return false
	}
	return r > ' ' && !unicode.In(r, unicode.Z, unicode.M, unicode.Cc, unicode.Cf, unicode.Other_Default_Ignorable_Code_Point)
}

// draws reports whether a glyph that can be cut has an outline that leaves ink: single points, and lines along an axis, do not.
func (s *shaper) draws(gid uint16) bool {
	data, known := s.font.Face().GlyphData(font.GID(gid)).(font.GlyphOutline)
	if !known {
		return false
	}
	var low, high opentype.SegmentPoint
	for i := range data.Segments {
		for k, p := range data.Segments[i].ArgsSlice() {
			if i == 0 && k == 0 {
				low, high = p, p
			}
			low.X, low.Y, high.X, high.Y = min(low.X, p.X), min(low.Y, p.Y), max(high.X, p.X), max(high.Y, p.Y)
		}
	}
	return low.X < high.X && low.Y < high.Y
}

// empty reports whether the font has a glyph for a character, or for the letter that it is put together from, and that is empty.
func (s *shaper) empty(r rune) bool {
	if !visible(r) {
		return false
	}
	g, ok := s.face.font.NominalGlyph(r)
	if !ok || g == 0 {
		apart := []rune(norm.NFD.String(string(r)))
		if len(apart) < 2 {
			return false
		}
		if g, ok = s.face.font.NominalGlyph(apart[0]); !ok || g == 0 {
			return false
		}
	}
	s.overhang(uint16(g))
	return s.ink[g].blank
}

// unseen hands out the places of letters among glyphs that are left blank: their own glyph is empty, and nothing but their marks is drawn where they stand.
func (s *shaper) unseen(glyphs []glyph, text []rune, found func(at int)) {
	if s.face.program == nil { // a face that comes with the program, which is whole
		return
	}
	for i := 0; i < len(glyphs); {
		j := i + 1
		for j < len(glyphs) && glyphs[j].to == glyphs[j].from {
			j++
		}
		cluster, from, to := glyphs[i:j], int(glyphs[i].from), int(glyphs[i].to)
		i = j
		blank := func(g glyph) bool { return s.overhang(g.gid).blank }
		if !slices.ContainsFunc(cluster, blank) || !slices.ContainsFunc(text[from:to], s.empty) {
			continue
		}
		marks := map[uint16]bool{}
		for _, r := range norm.NFD.String(string(text[from:to])) {
			if g, ok := s.face.font.NominalGlyph(r); ok && unicode.Is(unicode.M, r) {
				marks[uint16(g)] = true
			}
		}
		if slices.ContainsFunc(cluster, func(g glyph) bool { return !blank(g) && !marks[g.gid] }) {
			continue
		}
		for k := from; k < to; k++ {
			if s.empty(text[k]) {
				found(k)
			}
		}
	}
}

// prints reports whether a letter with its marks, set by itself, is not left blank.
func (f *Face) prints(cluster []rune) bool {
	if f.program == nil {
		return true
	}
	levels, _ := levels(cluster)
	blank := false
	return f.withShaper(func(s *shaper) {
		s.shape(cluster, 0, len(cluster), runProps{script: leadingScript(cluster), right: levels != nil && levels[0]&1 == 1})
		s.unseen(s.glyphs, cluster, func(int) { blank = true })
	}) && !blank
}
