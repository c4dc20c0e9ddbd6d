package proof

import (
	"encoding/base64"
	"encoding/binary"
	"errors"
	"slices"
	"strconv"
	"unicode"

	"golang.org/x/text/unicode/bidi"

	"tuckmark/impose/press/subset"
	"tuckmark/impose/typeset"
)

// A browser must not shape, reorder or replace anything: the setting is done. So each face goes into the page as a font of
// its own, cut to the glyphs in use, and each glyph gets one code there. The code is the character that the glyph stands for
// wherever that is plain - then a browser that refuses fonts still shows the words - and else a code for private use
// (Unicode, 23.5), which no browser joins or turns round.

// The codes for private use that serve.
const firstPrivate, lastPrivate = 0xE000, 0xF8FF

// fonts are the web fonts of a page.
type fonts struct {
	list   []*webFont
	byFace map[*typeset.Face]*webFont // the one that still has codes
}

// webFont is a face with the codes given out. A face that runs out of codes goes on in another web font.
type webFont struct {
	name    string
	face    *typeset.Face
	code    map[sign]rune
	taken   map[rune]bool
	codes   []rune // by glyph of the cut, from 1
	glyphs  []uint16
	private rune
}

type sign struct {
	glyph uint16
	plain rune // 0: none
}

// code is the web font and the code of a glyph.
func (fs *fonts) code(face *typeset.Face, g typeset.Glyph) (*webFont, rune) {
	if fs.byFace == nil {
		fs.byFace = map[*typeset.Face]*webFont{}
	}
	f := fs.byFace[face]
	s := sign{g.ID, soleCharacter(g.Text)}
	if f != nil {
		if r, ok := f.code[s]; ok {
			return f, r
		}
	}
	if f == nil || f.private > lastPrivate {
		f = &webFont{name: "tm" + strconv.Itoa(len(fs.list)), face: face, code: map[sign]rune{}, taken: map[rune]bool{},
			glyphs: []uint16{0}, codes: []rune{0}, private: firstPrivate}
		fs.byFace[face] = f
		fs.list = append(fs.list, f)
	}
	r := s.plain
	if r == 0 || f.taken[r] {
		r = f.private
		f.private++
	}
	f.code[s], f.taken[r] = r, true
	f.codes, f.glyphs = append(f.codes, r), append(f.glyphs, g.ID)
	return f, r
}

// soleCharacter is the one character that a glyph stands for, if a browser draws it as it is: a letter, digit or sign that runs from
// left to right, joins with nothing and is no mark on another. Else it is 0. A hyphen that the setting put in is a hyphen.
func soleCharacter(text string) rune {
	rs := []rune(text)
	if len(rs) != 1 {
		return 0
	}
	r := rs[0]
	if r == 0xAD {
		return '-'
	}
	p, _ := bidi.LookupRune(r)
	right := p.Class() == bidi.R || p.Class() == bidi.AL || p.Class() == bidi.AN
	if r <= ' ' || r >= firstPrivate || right || !unicode.IsGraphic(r) || unicode.Is(unicode.M, r) || unicode.Is(unicode.Z, r) {
		return 0
	}
	return r
}

var errFont = errors.New("a font that could be set cannot be cut")

// data is the font file for the page, in base64.
func (f *webFont) data() (string, error) {
	from, err := tables(f.face.Data(), f.face.Index())
	if err != nil {
		return "", err
	}
	cut, err := subset.Open(f.face.Data(), f.face.Index())
	if err != nil {
		return "", err
	}
	program, err := cut.Cut(f.glyphs)
	if err != nil {
		return "", err
	}
	to := map[string][]byte{}
	kind := "OTTO"
	if cut.CFF {
		to["CFF "] = program
		f.metrics(to, from, cut)
	} else {
		kind = "\x00\x01\x00\x00"
		if to, err = tables(program, 0); err != nil {
			return "", err
		}
	}
	f.describe(to, int(binary.BigEndian.Uint16(to["head"][18:])))
	return base64.StdEncoding.EncodeToString(subset.Join(kind, to)), nil
}

// metrics makes the tables that a bare CFF table lacks.
func (f *webFont) metrics(to, from map[string][]byte, cut *subset.Font) {
	n := len(f.glyphs)
	to["head"] = slices.Clone(from["head"][:54])
	to["hhea"] = slices.Clone(from["hhea"][:36])
	upem := int(binary.BigEndian.Uint16(to["head"][18:]))
	binary.BigEndian.PutUint16(to["hhea"][34:], uint16(n))
	to["maxp"] = binary.BigEndian.AppendUint16([]byte{0, 0, 0x50, 0}, uint16(n))
	for _, g := range f.glyphs {
		to["hmtx"] = binary.BigEndian.AppendUint16(to["hmtx"], uint16(cut.Advance(g)*upem/1000))
		to["hmtx"] = binary.BigEndian.AppendUint16(to["hmtx"], 0)
	}
}

// describe adds the tables that a browser asks for besides (OpenType specification): codes, names, kind of face. The names
// tell nothing: the font is of no use outside its page.
func (f *webFont) describe(to map[string][]byte, upem int) {
	be := binary.BigEndian
	binary.BigEndian.PutUint32(to["head"][8:], 0) // checkSumAdjustment; sfnt sets it
	to["cmap"] = f.cmap()
	to["post"] = be.AppendUint32(nil, 0x00030000) // no names of glyphs
	to["post"] = append(to["post"], make([]byte, 28)...)

	os2 := make([]byte, 96)
	be.PutUint16(os2[0:], 4)
	be.PutUint16(os2[2:], uint16(upem/2))
	be.PutUint16(os2[4:], 400)
	be.PutUint16(os2[6:], 5)
	copy(os2[58:], "NONE")
	be.PutUint16(os2[62:], 0x40) // regular: a browser must not make it bold or slanted again
	codes := slices.Sorted(slices.Values(f.codes[1:]))
	if len(codes) > 0 {
		be.PutUint16(os2[64:], uint16(codes[0]))
		be.PutUint16(os2[66:], uint16(codes[len(codes)-1]))
	}
	ascent, descent := be.Uint16(to["hhea"][4:]), be.Uint16(to["hhea"][6:])
	be.PutUint16(os2[68:], ascent)
	be.PutUint16(os2[70:], descent)
	be.PutUint16(os2[74:], ascent)
	be.PutUint16(os2[76:], -descent)
	to["OS/2"] = os2

	var records, text []byte
	for i, s := range []string{f.name, "Regular", f.name, f.name, "Version 1", f.name} { // identifiers 1 to 6
		for _, v := range []int{3, 1, 0x409, i + 1, 2 * len(s), len(text)} {
			records = be.AppendUint16(records, uint16(v))
		}
		for _, r := range s {
			text = be.AppendUint16(text, uint16(r))
		}
	}
	name := []byte{0, 0, 0, 6}
	name = be.AppendUint16(name, uint16(6+len(records)))
	to["name"] = append(append(name, records...), text...)
}

// cmap maps codes to glyphs: a segment (format 4) for each run of codes whose glyphs run along.
func (f *webFont) cmap() []byte {
	type entry struct {
		code  rune
		glyph int
	}
	var entries []entry
	for i, r := range f.codes[1:] {
		entries = append(entries, entry{r, i + 1})
	}
	slices.SortFunc(entries, func(a, b entry) int { return int(a.code - b.code) })
	var first, last, delta []uint16
	for i, e := range entries {
		if i > 0 && e.code == entries[i-1].code+1 && e.glyph == entries[i-1].glyph+1 {
			last[len(last)-1] = uint16(e.code)
			continue
		}
		first, last, delta = append(first, uint16(e.code)), append(last, uint16(e.code)), append(delta, uint16(e.glyph-int(e.code)))
	}
	first, last, delta = append(first, 0xFFFF), append(last, 0xFFFF), append(delta, 1)
	n, log := len(first), 0
	for 2<<log <= n {
		log++
	}
	words := []uint16{4, uint16(16 + 8*n), 0, uint16(2 * n), uint16(2 << log), uint16(log), uint16(2*n - 2<<log)}
	words = append(words, last...)
	words = append(words, 0)
	words = append(words, first...)
	words = append(words, delta...)
	words = append(words, make([]uint16, n)...)
	out := []byte{0, 0, 0, 1, 0, 3, 0, 1, 0, 0, 0, 12}
	for _, w := range words {
		out = binary.BigEndian.AppendUint16(out, w)
	}
	return out
}

// tables are the tables of a font file, or of a face of a collection. Those that a face cannot do without are there, and long
// enough to be read.
func tables(data []byte, face int) (map[string][]byte, error) {
	u16 := func(at int) int { return int(binary.BigEndian.Uint16(data[at:])) }
	u32 := func(at int) int { return int(binary.BigEndian.Uint32(data[at:])) }
	at := 0
	if len(data) >= 16+4*face && string(data[:4]) == "ttcf" {
		at = u32(12 + 4*face)
	}
	if at+12 > len(data) || at+12+16*u16(at+4) > len(data) {
		return nil, errFont
	}
	out := map[string][]byte{}
	for i := range u16(at + 4) {
		r := at + 12 + 16*i
		from, size := u32(r+8), u32(r+12)
		if from <= len(data) && size <= len(data)-from {
			out[string(data[r:r+4])] = slices.Clone(data[from : from+size])
		}
	}
	if len(out["head"]) < 54 || len(out["hhea"]) < 36 {
		return nil, errFont
	}
	return out, nil
}
