// Package subset cuts a TrueType or OpenType font down to the glyphs that a document uses, for embedding in a PDF. It reads
// only the tables that it needs, so that a font with a fault elsewhere serves all the same.
package subset

import (
	"bytes"
	"encoding/binary"
	"errors"
	"slices"
)

// The reasons why a font cannot be embedded, in words for the person who chose it.
var (
	ErrDamaged  = errors.New("its file is damaged, or is no TrueType or OpenType font")
	ErrWeb      = errors.New("it is a web font (WOFF); a TrueType or OpenType file is needed")
	ErrVariable = errors.New("it is a variable OpenType font; install one of its fixed styles")
	ErrPictures = errors.New("its letters are pictures, not outlines")
	ErrSizes    = errors.New("its letters are drawn in another size than its file says; ask its maker for one that is put right")
	ErrAccents  = errors.New("it puts accented letters together in a way that is no longer supported")
)

// Font is a font opened for cutting. It may be used by several goroutines at once. Metrics are in 1/1000 em.
type Font struct {
	CFF               bool // outlines are CFF, else TrueType
	Glyphs            int
	Ascent, Descent   int // of the hhea table: by these readers draw the boxes of words
	CapHeight         int
	ItalicAngle       int    // degrees, negative for letters that lean forward
	Box               [4]int // around all glyphs: left, bottom, right, top
	tables            map[string]safeBytes
	upem, metricsHeld int // metricsHeld: glyphs with an advance of their own in hmtx
	longLoca          bool
	cff               *cff
}

// Open reads a font file, or the face with that index of a collection.
func Open(data []byte, face int) (f *Font, err error) {
	defer rescue(&err)
	file, at := safeBytes(data), 0
	switch string(data[:min(4, len(data))]) {
	case "wOFF", "wOF2":
		return nil, ErrWeb
	case "ttcf":
		if face < 0 || face >= file.u32(8) {
			return nil, ErrDamaged
		}
		at = file.u32(12 + 4*face)
	default:
		if face != 0 {
			return nil, ErrDamaged
		}
	}
	switch string(file.slice(at, 4)) {
	case "\x00\x01\x00\x00", "true", "OTTO":
	default:
		return nil, ErrDamaged
	}
	f = &Font{tables: map[string]safeBytes{}}
	for i := range file.u16(at + 4) {
		r := file.slice(at+12+16*i, 16)
		if offset, size := r.u32(8), r.u32(12); offset <= len(file) && size <= len(file)-offset {
			f.tables[string(r[:4])] = file.slice(offset, size)
		}
	}
	if err := f.kind(); err != nil {
		return nil, err
	}
	f.measure()
	if f.CFF && !f.cff.fits(f.upem) {
		return nil, ErrSizes
	}
	return f, nil
}

// kind finds out how outlines are stored.
func (f *Font) kind() error {
	switch {
	case f.tables["glyf"] != nil && f.tables["loca"] != nil:
	case f.tables["CFF "] != nil:
		f.CFF = true
		f.cff = readCFF(f.tables["CFF "])
	case f.tables["CFF2"] != nil:
		return ErrVariable
	case f.tables["CBDT"] != nil || f.tables["sbix"] != nil || f.tables["EBDT"] != nil || f.tables["SVG "] != nil:
		return ErrPictures
	default:
		return ErrDamaged
	}
	return nil
}

// measure reads the tables head, hhea, maxp, OS/2 and post (OpenType specification).
func (f *Font) measure() {
	head, hhea := f.tables["head"], f.tables["hhea"]
	f.upem = head.u16(18)
	f.longLoca = head.u16(50) == 1
	f.Glyphs = f.tables["maxp"].u16(4)
	f.metricsHeld = hhea.u16(34)
	if f.upem == 0 || f.Glyphs == 0 || f.metricsHeld == 0 || head.u16(50) > 1 { // which another reader would take otherwise
		panic(damaged{})
	}
	if f.CFF {
		f.Glyphs = min(f.Glyphs, f.cff.glyphs.count)
	}
	for i := range f.Box {
		f.Box[i] = f.em(head.i16(36 + 2*i))
	}
	f.Ascent, f.Descent = f.em(hhea.i16(4)), f.em(hhea.i16(6))
	f.CapHeight = f.Ascent
	if os2 := f.tables["OS/2"]; len(os2) >= 90 && os2.u16(0) >= 2 && os2.i16(88) > 0 {
		f.CapHeight = f.em(os2.i16(88))
	}
	if post := f.tables["post"]; len(post) >= 8 {
		f.ItalicAngle = post.i16(4)
	}
}

// em is font units as 1/1000 em, rounded to the nearest.
func (f *Font) em(units int) int {
	n := 2000*units + f.upem
	if n < 0 {
		n -= 2*f.upem - 1 // integer division rounds towards nought
	}
	return n / (2 * f.upem)
}

// Advance is how far a glyph moves the pen, in 1/1000 em. A glyph that the font does not have moves it by nothing.
func (f *Font) Advance(glyph uint16) int {
	advance, _ := f.metric(int(glyph))
	return f.em(advance)
}

// metric is a glyph's advance and left side bearing by the hmtx table, in font units.
func (f *Font) metric(glyph int) (advance, bearing int) {
	hmtx := f.tables["hmtx"]
	last := min(glyph, f.metricsHeld-1)
	if 4*last+4 > len(hmtx) || glyph >= f.Glyphs {
		return 0, 0
	}
	at := 4*last + 2
	if glyph > last { // only the bearing is stored for these; all have the last advance
		at = 4*f.metricsHeld + 2*(glyph-f.metricsHeld)
	}
	if at+2 <= len(hmtx) {
		bearing = hmtx.i16(at)
	}
	return hmtx.u16(4 * last), bearing
}

// Cut makes the font program of these glyphs, each at its index in the list: a TrueType file, to which the parts of
// composite glyphs are added at the end, or a bare CFF table keyed by CID, the CID of a glyph its index. The first must be
// glyph 0. The same list gives the same bytes.
func (f *Font) Cut(glyphs []uint16) (program []byte, err error) {
	defer rescue(&err)
	for _, g := range glyphs {
		if int(g) >= f.Glyphs {
			return nil, ErrDamaged
		}
	}
	if f.CFF {
		return f.cff.subset(glyphs)
	}
	return f.cutTrueType(slices.Clone(glyphs)), nil
}

// safeBytes is bytes that are read with care: reading past the end is the panic that rescue turns into ErrDamaged.
type safeBytes []byte

type damaged struct{}

func rescue(err *error) {
	switch p := recover(); p {
	case nil:
	case damaged{}:
		*err = ErrDamaged
	default:
		panic(p) // a mistake of this package
	}
}

func (v safeBytes) slice(at, n int) safeBytes {
	if at < 0 || n < 0 || at > len(v) || n > len(v)-at {
		panic(damaged{})
	}
	return v[at : at+n : at+n]
}

func (v safeBytes) u8(at int) int  { return int(v.slice(at, 1)[0]) }
func (v safeBytes) u16(at int) int { return int(binary.BigEndian.Uint16(v.slice(at, 2))) }
func (v safeBytes) i16(at int) int { return int(int16(v.u16(at))) }
func (v safeBytes) u32(at int) int { return int(binary.BigEndian.Uint32(v.slice(at, 4))) }

// trueType is the kind of font file that has its outlines in a table glyf.
const trueType = "\x00\x01\x00\x00"

// Join writes tables, by their tags, as one font file of a kind (its first four bytes) with right checksums: OpenType
// specification, "Organization of an OpenType Font". Among the tables must be head.
func Join(kind string, tables map[string][]byte) []byte {
	var tags []string
	for tag := range tables {
		tags = append(tags, tag)
	}
	slices.Sort(tags)
	n := len(tags)
	log := 0
	for 2<<log <= n {
		log++
	}
	out := []byte(kind)
	for _, v := range []int{n, 16 << log, log, 16*n - 16<<log} {
		out = binary.BigEndian.AppendUint16(out, uint16(v))
	}
	at := len(out) + 16*n
	for _, tag := range tags {
		t := tables[tag]
		out = append(out, tag...)
		for _, v := range []uint32{checksum(t), uint32(at), uint32(len(t))} {
			out = binary.BigEndian.AppendUint32(out, v)
		}
		at += (len(t) + 3) &^ 3
	}
	head := 0
	for _, tag := range tags {
		if tag == "head" {
			head = len(out)
		}
		out = append(out, tables[tag]...)
		out = append(out, bytes.Repeat([]byte{0}, -len(tables[tag])&3)...)
	}
	binary.BigEndian.PutUint32(out[head+8:], 0xB1B0AFBA-checksum(out))
	return out
}

// checksum is the sum of a table's 32-bit words.
func checksum(b []byte) (sum uint32) {
	for ; len(b) >= 4; b = b[4:] {
		sum += binary.BigEndian.Uint32(b)
	}
	var last [4]byte
	copy(last[:], b)
	return sum + binary.BigEndian.Uint32(last[:])
}
