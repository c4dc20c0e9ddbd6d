package typeset

import (
	"math"
	"sync"

	"github.com/go-text/typesetting/font"
)

var outlines struct {
	sync.Mutex
	faces map[*Face]*font.Face
	boxes map[glyphKey][4]int64
}

type glyphKey struct {
	face *Face
	gid  uint16
}

// outline is the box of a glyph's outline in parts of the em, from the outline's points themselves: an upper bound of the
// ink, for a curve does not leave its points.
func outline(f *Face, gid uint16) (x0, y0, x1, y1 int64) {
	outlines.Lock()
	defer outlines.Unlock()
	if outlines.faces == nil {
		outlines.faces, outlines.boxes = map[*Face]*font.Face{}, map[glyphKey][4]int64{}
	}
	if b, ok := outlines.boxes[glyphKey{f, gid}]; ok {
		return b[0], b[1], b[2], b[3]
	}
	if outlines.faces[f] == nil {
		outlines.faces[f] = font.NewFace(f.font)
	}
	left, bottom, right, top := math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)
	if o, ok := outlines.faces[f].GlyphData(font.GID(gid)).(font.GlyphOutline); ok {
		for _, s := range o.Segments {
			for _, p := range s.ArgsSlice() {
				left, right = min(left, float64(p.X)), max(right, float64(p.X))
				bottom, top = min(bottom, float64(p.Y)), max(top, float64(p.Y))
			}
		}
	}
	var b [4]int64
	if left < right {
		k := float64(em) / float64(f.upem)
		b = [4]int64{int64(left * k), int64(bottom * k), int64(right * k), int64(top * k)}
	}
	outlines.boxes[glyphKey{f, gid}] = b
	return b[0], b[1], b[2], b[3]
}
