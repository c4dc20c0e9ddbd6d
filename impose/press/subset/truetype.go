package subset

import (
	"encoding/binary"
	"slices"
)

// cutTrueType writes the tables that a PDF reader needs (ISO 32000-1, table 126).
func (f *Font) cutTrueType(glyphs []uint16) []byte {
	place := map[uint16]int{}
	for i, g := range glyphs {
		if _, ok := place[g]; !ok {
			place[g] = i
		}
	}
	known := map[int]int{}
	for _, g := range glyphs {
		if f.points(int(g), known, 0) > mostPoints {
			panic(damaged{})
		}
	}
	var glyf, loca, hmtx []byte
	for i := 0; i < len(glyphs); i++ { // grows as parts are found
		loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))
		outline := slices.Clone(f.outline(int(glyphs[i])))
		for _, at := range parts(outline) {
			part := uint16(outline.u16(at))
			if int(part) >= f.Glyphs {
				panic(damaged{})
			}
			if _, ok := place[part]; !ok {
				place[part] = len(glyphs)
				glyphs = append(glyphs, part)
			}
			binary.BigEndian.PutUint16(outline[at:], uint16(place[part]))
		}
		glyf = append(glyf, outline...)
		if len(glyf) > 2*len(f.tables["glyf"])+1<<16 { // outlines that lie over each other, without end
			panic(damaged{})
		}
		for len(glyf)%4 != 0 {
			glyf = append(glyf, 0)
		}
		advance, bearing := f.metric(int(glyphs[i]))
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(advance))
		hmtx = binary.BigEndian.AppendUint16(hmtx, uint16(bearing))
	}
	loca = binary.BigEndian.AppendUint32(loca, uint32(len(glyf)))

	head := slices.Clone(f.tables["head"].slice(0, 54))
	binary.BigEndian.PutUint32(head[8:], 0)  // checkSumAdjustment, set when all is written
	binary.BigEndian.PutUint16(head[50:], 1) // long offsets in loca
	hhea := slices.Clone(f.tables["hhea"].slice(0, 36))
	binary.BigEndian.PutUint16(hhea[34:], uint16(len(glyphs)))
	maxp := slices.Clone(f.tables["maxp"])
	binary.BigEndian.PutUint16(maxp[4:], uint16(len(glyphs)))

	tables := map[string][]byte{"glyf": glyf, "head": head, "hhea": hhea, "hmtx": hmtx, "loca": loca, "maxp": maxp}
	for _, tag := range []string{"cvt ", "fpgm", "prep"} { // the programs that fit outlines to the dots of a screen
		if t := f.tables[tag]; t != nil {
			tables[tag] = t
		}
	}
	return Join(trueType, tables)
}

// A composite glyph has no more points, those of its parts' parts counted as often as they are there, than the field for them holds
// (OpenType specification, maxp: maxCompositePoints), and no part lies deeper than a renderer follows it. A few hundred bytes of parts within parts
// can stand for more points than any program ends with.
const (
	mostPoints   = 1<<16 - 1
	deepestParts = 20 // where the shaping library stops
)

// points is how many points a glyph has with all its parts, at least one; more than mostPoints stands for all that is more, and for a glyph that is a part
// of itself.
func (f *Font) points(glyph int, known map[int]int, depth int) int {
	if n, ok := known[glyph]; ok {
		return n
	}
	known[glyph] = mostPoints + 1
	if depth > deepestParts || glyph >= f.Glyphs {
		return mostPoints + 1
	}
	outline, n := f.outline(glyph), 1
	if len(outline) > 0 {
		if contours := outline.i16(0); contours > 0 {
			n += outline.u16(10 + 2*(contours-1))
		}
	}
	for _, at := range parts(outline) {
		if n += f.points(outline.u16(at), known, depth+1); n > mostPoints {
			return mostPoints + 1
		}
	}
	known[glyph] = n
	return n
}

// outline is a glyph's data in the glyf table; empty for a space.
func (f *Font) outline(glyph int) safeBytes {
	loca := f.tables["loca"]
	var from, to int
	if f.longLoca {
		from, to = loca.u32(4*glyph), loca.u32(4*glyph+4)
	} else {
		from, to = 2*loca.u16(2*glyph), 2*loca.u16(2*glyph+2)
	}
	if to <= from {
		return nil
	}
	return f.tables["glyf"].slice(from, to-from)
}

// Flags of a part of a composite glyph (OpenType specification, glyf table).
const (
	argsAreWords = 1 << 0
	oneScale     = 1 << 3
	moreParts    = 1 << 5
	twoScales    = 1 << 6
	twoByTwo     = 1 << 7
)

// parts finds where a composite glyph names its parts.
func parts(outline safeBytes) (at []int) {
	if len(outline) == 0 || outline.i16(0) >= 0 {
		return nil
	}
	for p := 10; ; {
		flags := outline.u16(p)
		at = append(at, p+2)
		p += 6
		if flags&argsAreWords != 0 {
			p += 2
		}
		switch {
		case flags&oneScale != 0:
			p += 2
		case flags&twoScales != 0:
			p += 4
		case flags&twoByTwo != 0:
			p += 8
		}
		if flags&moreParts == 0 {
			return at
		}
	}
}
