package typeset

import (
	"math"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
)

// OutlineEm is how many units of an outline an em has: a coordinate is off by no more than a quarter of a thousandth of the em.
const OutlineEm = 2048

// Segment is a part of a glyph's outline as SVG has them: M moves and begins a new contour, L is a line, Q and C are curves with one and two
// points of control. The Y axis points up, the origin lies on the baseline; the last of its points is where it ends. Contours are closed.
type Segment struct {
	Op     byte
	Points []OutlinePoint
}

// OutlinePoint is a point in units of an outline.
type OutlinePoint struct{ X, Y int32 }

// Outline is the outline of a glyph; nothing where it has no ink, or where a damaged font keeps it from being read.
func (f *Face) Outline(glyph uint16) (out []Segment) {
	if !f.Cuts(glyph) {
		return nil
	}
	var data font.GlyphOutline
	whole := f.withShaper(func(s *shaper) {
		switch d := s.font.Face().GlyphData(font.GID(glyph)).(type) {
		case font.GlyphOutline:
			data = d
		case font.GlyphSVG: // print has the plain outline too
			data = d.Outline
		case font.GlyphBitmap:
			if d.Outline != nil {
				data = *d.Outline
			}
		}
	})
	if !whole {
		return nil
	}
	ops := map[opentype.SegmentOp]byte{opentype.SegmentOpMoveTo: 'M', opentype.SegmentOpLineTo: 'L', opentype.SegmentOpQuadTo: 'Q', opentype.SegmentOpCubeTo: 'C'}
	unit := func(v float32) int32 { return int32(math.Round(float64(v) * OutlineEm / float64(f.upem))) }
	for i := range data.Segments {
		from := &data.Segments[i]
		seg := Segment{Op: ops[from.Op]}
		for _, p := range from.ArgsSlice() {
			seg.Points = append(seg.Points, OutlinePoint{unit(p.X), unit(p.Y)})
		}
		out = append(out, seg)
	}
	return out
}
