package typeset

import (
	"encoding/binary"
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"
	"github.com/go-text/typesetting/harfbuzz"
	"golang.org/x/text/unicode/norm"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/press/subset"
)

// em is how many parts an em has wherever the package measures type without its size. It is a multiple of 1000
// and of 2048, so that the widths of nearly every font are whole numbers of parts.
const em = 2048000

// at is what v parts of the em measure in type of a size, rounded down.
func at(v int64, size measure.Length) measure.Length {
	p := v * int64(size)
	q := p / em
	if p < 0 && q*em != p {
		q--
	}
	return measure.Length(q)
}

// atUp is what v parts of the em measure in type of a size, rounded up.
func atUp(v int64, size measure.Length) measure.Length { return -at(-v, size) }

// parts is how many parts of the em of a size lie in a length, rounded down.
func parts(l, size measure.Length) int64 { return int64(l) * em / int64(size) }

// Face is one font: a family's regular, bold or italic. It does not change once it is loaded, and any number of
// goroutines may use it.
type Face struct {
	name, postScript         string
	data                     []byte
	index                    int
	font                     *font.Font
	program                  *subset.Font // what a PDF gets glyphs from; nil for a face that comes with the program
	upem                     int64
	ascent, descent, xHeight int64 // in parts of the em; the descent counts downwards
	bold, italic             bool
	atOnce                   int        // so many letters may be shaped together, 0: any number; see apart
	compares                 int        // glyphs at each letter, at most
	optical                  bool       // it is kerned by its outlines
	arabic                   bool       // it has letters or marks of Arabic
	ascii                    [0x80]bool // the characters of ASCII that it has
	idle                     sync.Pool  // of *shaper
}

// Name is the face's name as a person would write it: "Serif Bold".
func (f *Face) Name() string { return f.name }

// PostScript is the name that the font calls itself by.
func (f *Face) PostScript() string { return f.postScript }

// Data is the font program: TrueType, OpenType with CFF outlines, or a collection of them.
func (f *Face) Data() []byte { return f.data }

// Index is the font's number in its collection.
func (f *Face) Index() int { return f.index }

// Ascent is how far the font says that it reaches above the baseline (table hhea), rounded up.
func (f *Face) Ascent(size measure.Length) measure.Length { return atUp(f.ascent, size) }

// Descent is how far the font says that it reaches below the baseline (table hhea), rounded up and counted downwards.
func (f *Face) Descent(size measure.Length) measure.Length { return atUp(f.descent, size) }

// The smallest type that reads well where nothing is said: 7 pt (common practice), and small letters of 1.2 mm (Regulation (EU)
// No 1169/2011, Article 13(2), for food labels).
const (
	legibleSize    = 7 * measure.Point
	legibleXHeight = 12 * measure.Millimetre / 10
)

// Legible is the smallest size at which the face reads well, in whole steps.
func (f *Face) Legible() measure.Length {
	size := legibleSize
	if f.xHeight > 0 {
		if least := legibleXHeight * em / measure.Length(f.xHeight); least < 2*legibleSize { // else the font's own word is wrong
			size = max(size, (least+config.TypeStep-1)/config.TypeStep*config.TypeStep)
		}
	}
	return size
}

// Tags of the tables that are read here.
var (
	tagHhea = opentype.MustNewTag("hhea")
	tagName = opentype.MustNewTag("name")
	tagOS2  = opentype.MustNewTag("OS/2")
	tagGlyf = opentype.MustNewTag("glyf")
	tagCFF  = opentype.MustNewTag("CFF ")
)

// Identifiers of the name table (OpenType specification, "name").
const (
	nameFamily      = 1
	nameFull        = 4
	namePostScript  = 6
	nameTypographic = 16
)

// parseFace reads a face. Its errors are problems.
func parseFace(data []byte, index int, name string) (f *Face, err error) {
	damaged := &problem.Problem{What: fmt.Sprintf("the font %s cannot be read", measure.Quote(name)),
		Cause: "its file is damaged or is not a font", Hint: "copy or download the font again, or choose another one"}
	defer func() {
		if r := recover(); r != nil {
			f, err = nil, damaged
		}
	}()
	lds, err := loaders(data)
	if err != nil || index >= len(lds) {
		return nil, damaged
	}
	ld := lds[index]
	if !ld.HasTable(tagGlyf) && !ld.HasTable(tagCFF) {
		return nil, &problem.Problem{What: fmt.Sprintf("the font %s cannot be used", measure.Quote(name)),
			Cause: "it has no outlines that a PDF can hold (it is made of pictures, or of a kind for screens only)",
			Hint:  "choose a TrueType or OpenType font"}
	}
	if reason := refusal(ld); reason != "" {
		return nil, &problem.Problem{What: fmt.Sprintf("the font %s may not be put into a PDF", measure.Quote(name)), Cause: reason,
			Hint: "choose another font, or ask its maker for a licence that allows embedding"}
	}
	program, err := subset.Open(data, index) // it looks through the outlines before the library reads them
	if err != nil {
		return nil, unprintable(name, err)
	}
	parsed, err := reader(data, index)
	if err != nil || parsed.Upem() == 0 {
		return nil, damaged
	}
	atOnce, compares, ok := growth(parsed, ld)
	if !ok {
		return nil, swollen(name)
	}
	f = &Face{name: name, data: data, index: index, font: parsed, program: program, upem: int64(parsed.Upem()), atOnce: atOnce, compares: compares}
	if n := nameTable(ld); n != nil {
		f.postScript = strings.TrimSpace(n.Name(namePostScript))
	}
	if f.postScript == "" {
		f.postScript = name
	}
	for r := range f.ascii {
		g, ok := parsed.NominalGlyph(rune(r))
		if f.ascii[r] = ok && g != 0; f.ascii[r] && isMark(parsed, g) && unicode.In(rune(r), unicode.L, unicode.N) {
			return nil, &problem.Problem{What: fmt.Sprintf("the font %s cannot be used", measure.Quote(name)),
				Cause: "it is damaged: it takes letters for accents, so that they would be printed one over the other", Hint: "copy or download the font again, or choose another one"}
		}
	}
	f.arabic = slices.ContainsFunc(unicode.Arabic.R16, func(of unicode.Range16) bool {
		for r := rune(of.Lo); r <= rune(of.Hi); r += rune(of.Stride) {
			if f.own(r) {
				return true
			}
		}
		return false
	})
	probe := font.NewFace(parsed)
	f.vertical(ld, probe)
	if x, ok := parsed.NominalGlyph('x'); !ok || f.Cuts(uint16(x)) { // old fonts tell it by that outline only
		f.xHeight = f.scale(int64(probe.LineMetric(font.XHeight)))
	}
	s := f.takeShaper() // shape once, so that a font that cannot be used is found here
	s.shape([]rune("fix"), 0, 3, runProps{})
	s.overhang(s.glyphs[0].gid)
	f.optical = f.opticallyKerned(s)
	f.give(s)
	return f, nil
}

// isMark reports a glyph that a font puts over the letter before it (OpenType specification, "GDEF", glyph classes).
func isMark(f *font.Font, g font.GID) bool {
	if f.GDEF.GlyphClassDef == nil {
		return false
	}
	class, _ := f.GDEF.GlyphClassDef.Class(tables.GlyphID(g))
	return class == 3
}

// unprintable is the problem of a font that cannot be put into a PDF.
func unprintable(name string, why error) *problem.Problem {
	return &problem.Problem{What: fmt.Sprintf("the font %s cannot be put into a PDF", measure.Quote(name)), Cause: why.Error(),
		Hint: "copy or download the font again, or choose another one"}
}

// boldFrom is the weight from which a face counts as bold (OpenType OS/2 usWeightClass: 400 regular, 700 bold).
const boldFrom = 600

// nameTable is the font's name table, or nil.
func nameTable(ld *opentype.Loader) *tables.Name {
	raw, err := ld.RawTable(tagName)
	if err != nil {
		return nil
	}
	n, _, err := tables.ParseName(raw)
	if err != nil {
		return nil
	}
	return &n
}

// refusal is why a font may not be embedded, by its fsType (OpenType specification, OS/2), or "". Of several usage bits
// the least restrictive counts.
func refusal(ld *opentype.Loader) string {
	raw, err := ld.RawTable(tagOS2)
	if err != nil || len(raw) < 10 {
		return ""
	}
	const usage, restricted, whole, bitmaps = 0x000F, 0x0002, 0x0100, 0x0200
	switch bits := binary.BigEndian.Uint16(raw[8:]); {
	case bits&usage == restricted:
		return "its maker marked it as not to be embedded"
	case bits&bitmaps != 0:
		return "its maker allows only pictures of its letters to be embedded"
	case bits&whole != 0:
		return "its maker does not allow a part of it to be embedded, and a PDF gets only the letters it uses"
	}
	return ""
}

// vertical takes ascent and descent from the hhea table, else from the font's own idea of them.
func (f *Face) vertical(ld *opentype.Loader, probe *font.Face) {
	if raw, err := ld.RawTable(tagHhea); err == nil && len(raw) >= 8 {
		f.ascent = f.scale(int64(int16(binary.BigEndian.Uint16(raw[4:]))))
		f.descent = -f.scale(int64(int16(binary.BigEndian.Uint16(raw[6:]))))
	}
	if f.ascent <= 0 {
		if e, ok := probe.FontHExtents(); ok && e.Ascender > 0 {
			f.ascent, f.descent = f.scale(int64(e.Ascender)), -f.scale(int64(e.Descender))
		} else {
			f.ascent, f.descent = em*4/5, em/5
		}
	}
	f.descent = max(f.descent, 0)
}

// scale turns font units into parts of the em.
func (f *Face) scale(units int64) int64 { return units * em / f.upem }

// has reports whether the face can show a character, perhaps as a letter and its accent.
func (f *Face) has(r rune) bool {
	if r < 0x80 {
		return f.ascii[r]
	}
	return shows(f.own, r)
}

// own reports whether the font has a glyph for a character itself.
func (f *Face) own(r rune) bool {
	g, ok := f.font.NominalGlyph(r)
	return ok && g != 0
}

// hasAll reports whether the face can show a letter with its marks.
func (f *Face) hasAll(cluster []rune) bool { return showsAll(f.has, cluster) }

// lends reports whether the face has a letter with its marks and all of them can be printed: a damaged or empty one is looked for elsewhere.
func (f *Face) lends(cluster []rune) bool {
	return f.hasAll(cluster) && !slices.ContainsFunc(cluster, func(r rune) bool {
		g, ok := f.font.NominalGlyph(r)
		return ok && !f.Cuts(uint16(g))
	}) && f.prints(cluster)
}

// shows reports whether a font with a glyph for those characters that own says can show r.
func shows(own func(rune) bool, r rune) bool {
	if own(r) {
		return true
	}
	switch {
	case r < 0x80:
		return false
	case ignorable(r):
		return true
	case unicode.Is(unicode.Zs, r): // the shaper makes any space of the plain one
		return own(' ')
	case r == 0x2011: // a hyphen that does not break looks like one that does
		return own(0x2010) || own('-')
	}
	apart := []rune(norm.NFD.String(string(r)))
	return len(apart) > 1 && !slices.ContainsFunc(apart, func(p rune) bool { return !own(p) })
}

// showsAll reports whether a font that has those characters that has says can show a letter with its marks, as they are or put together.
func showsAll(has func(rune) bool, cluster []rune) bool {
	lacks := func(r rune) bool { return !has(r) }
	if len(cluster) == 1 {
		return has(cluster[0])
	}
	return !slices.ContainsFunc(cluster, lacks) || !slices.ContainsFunc([]rune(norm.NFC.String(string(cluster))), lacks)
}

// ignorable reports whether a character guides the setting and has no shape of its own.
func ignorable(r rune) bool {
	return r == 0xAD || r == 0x034F || r == 0x061C || r >= 0x200B && r <= 0x200F || r >= 0x202A && r <= 0x202E ||
		r >= 0x2060 && r <= 0x206F || r >= 0xFE00 && r <= 0xFE0F || r == 0xFEFF || r >= 0xE0100 && r <= 0xE01EF
}

// takeShaper is a shaper of the face that nobody else uses.
func (f *Face) takeShaper() *shaper {
	if s, ok := f.idle.Get().(*shaper); ok {
		return s
	}
	return &shaper{face: f, font: harfbuzz.NewFont(font.NewFace(f.font)), buffer: harfbuzz.NewBuffer()}
}

func (f *Face) give(s *shaper) { f.idle.Put(s) }

// withShaper does something with a shaper of the face. It reports false where a damaged font has broken it off: that shaper is used no more.
func (f *Face) withShaper(do func(*shaper)) (whole bool) {
	s := f.takeShaper()
	defer func() {
		if whole = recover() == nil; whole {
			f.give(s)
		}
	}()
	do(s)
	return true
}

// Cuts reports whether a glyph can be cut out of the font for a PDF, as it will be if it is printed. No outline is drawn or measured
// before: a damaged one may be without end.
func (f *Face) Cuts(gid uint16) bool {
	if f.program == nil {
		return true
	}
	_, err := f.program.Cut([]uint16{0, gid})
	return err == nil
}

// overhangs are how far a glyph's ink reaches out, in parts of the em: left of its origin and below the
// baseline negative.
type overhangs struct {
	left, right, top, bottom int64
	blank                    bool // it can be cut and has no outline; not known of a face that comes with the program
}

// overhang measures a glyph's ink. A glyph without ink has all four at nought.
func (s *shaper) overhang(gid uint16) overhangs {
	if int(gid) < len(s.ink) && s.seen[gid] {
		return s.ink[gid]
	}
	var o overhangs
	if !s.face.Cuts(gid) {
		if s.bad == nil {
			s.bad = map[uint16]bool{}
		}
		s.bad[gid] = true
	} else if o.blank = s.face.program != nil && !s.draws(gid); !o.blank {
		if e, ok := s.font.GlyphExtents(font.GID(gid)); ok && e.Width != 0 {
			f := s.face
			o.left, o.right = f.scale(int64(e.XBearing)), f.scale(int64(e.XBearing)+int64(e.Width))
			o.top, o.bottom = f.scale(int64(e.YBearing)), f.scale(int64(e.YBearing)+int64(e.Height))
		}
	}
	if n := int(gid) + 1; n > len(s.ink) {
		grown := max(n, min(2*n, math.MaxUint16+1))
		s.ink = append(s.ink, make([]overhangs, grown-len(s.ink))...)
		s.seen = append(s.seen, make([]bool, grown-len(s.seen))...)
	}
	s.ink[gid], s.seen[gid] = o, true
	return o
}
