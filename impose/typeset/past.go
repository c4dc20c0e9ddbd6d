package typeset

import (
	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype/tables"
)

// lookup is one of a table of lookups.
type lookup struct {
	subtables []any
	past      bool // it may begin at a glyph that it ignores, and go past others of them up to the end of the text
}

// Bits of a lookup's flag: its own kinds of glyphs that are ignored, marks that are not in a set, marks of another class than the one that the upper byte names.
const (
	ignoresKinds = 0x0E
	ignoresMarks = 0x10
)

// ignoring finds lookups that cover glyphs which they ignore: where such a lookup has its turn it goes past these, but one that another sets off begins there.
type ignoring struct {
	gdef  tables.GDEF
	looks int // at glyphs, that are left; when there are none every lookup is one of these
}

// of tells it of a lookup with some options and subtables.
func (g *ignoring) of(options font.LookupOptions, subtables []any) bool {
	for _, t := range subtables {
		switch t.(type) {
		case tables.MarkBasePos, tables.MarkLigPos: // the letter that a mark belongs to is looked for before all other marks
			return true
		}
	}
	flag := options.Flag
	if flag&(ignoresKinds|ignoresMarks|0xFF00) == 0 {
		return false
	}
	if g.gdef.GlyphClassDef == nil {
		return true // the shaper goes by the characters then
	}
	ignored := func(glyph tables.GlyphID) bool {
		switch kind := g.gdef.GlyphProps(glyph); {
		case kind&flag&ignoresKinds != 0:
			return true
		case kind&tables.GPMark == 0:
			return false
		case flag&ignoresMarks != 0:
			sets := g.gdef.MarkGlyphSetsDef.Coverages
			if int(options.MarkFilteringSet) >= len(sets) {
				return true
			}
			_, in := sets[options.MarkFilteringSet].Index(glyph)
			return !in
		default:
			return flag&0xFF00 != 0 && flag&0xFF00 != kind&0xFF00
		}
	}
	for _, t := range subtables {
		switch c := t.(interface{ Cov() tables.Coverage }).Cov().(type) {
		case tables.Coverage1:
			for _, glyph := range c.Glyphs {
				if g.looks--; g.looks < 0 || ignored(glyph) {
					return true
				}
			}
		case tables.Coverage2:
			for _, r := range c.Ranges {
				for glyph := int(r.StartGlyphID); glyph <= int(r.EndGlyphID); glyph++ {
					if g.looks--; g.looks < 0 || ignored(tables.GlyphID(glyph)) {
						return true
					}
				}
			}
		}
	}
	return false
}
