package typeset

import (
	"math"
	"unicode"

	"github.com/go-text/typesetting/font"
	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/harfbuzz"
)

// A face without kerns of its own is kerned by the outlines of its letters. The rule is that of fitting letters by eye: two stand right
// where the white between them looks as large as between the straight letters that the face was fitted by (Walter Tracy, "Letters of
// Credit", 1986, on the spacing of H and n). How that is measured is our own: band by band, over the height that both letters have; white
// counts the less the deeper it is, for what lies deep in a letter is not seen as the space beside it. The constants are the ones whose kerns
// are most like those of faces that have some (see the test).
const (
	bands      = 50 // over the height that letters may have
	bandHeight = em / 40
	lowestBand = -em / 4        // where the first begins; what is drawn below it counts to it
	deepest    = em * 25 / 100  // white on one side that counts at all
	halfSeen   = em * 8 / 100   // white of which half is seen
	heeded     = em * 3 / 100   // a smaller kern is the face's own rhythm
	kernShare  = 80             // hundredths of the rest that is taken
	tightest   = -em * 16 / 100 // kern
	touching   = em * 5 / 100   // no kern brings ink closer; what is drawn closer than half of it is moved apart
)

// glyphSides is the white beside a glyph's ink, band by band: from its origin to the ink, and from the ink to its advance.
type glyphSides struct {
	left, right [bands]int64
	low, high   int // its bands: from low up to high, which is none
}

// noInk is the white of a band in which nothing is drawn.
const noInk = int64(1) << 40

// opticalKerner kerns one face. It serves one goroutine at a time.
type opticalKerner struct {
	face     *Face
	outlines *font.Face
	sides    map[uint16]*glyphSides
	kerns    map[[2]uint16]int64
	straight [2]int64 // the white seen between straight letters, by capital
}

func newOpticalKerner(f *Face) *opticalKerner {
	k := &opticalKerner{face: f, outlines: font.NewFace(f.font), sides: map[uint16]*glyphSides{}, kerns: map[[2]uint16]int64{}}
	n, capital := k.glyph('n'), k.glyph('H')
	k.straight[0], _ = k.white(n, n, 0)
	k.straight[1], _ = k.white(capital, capital, 0)
	return k
}

func (k *opticalKerner) glyph(r rune) uint16 {
	g, _ := k.face.font.NominalGlyph(r)
	return uint16(g)
}

// opticallyKerned reports whether a face wants optical kerns: it has the letters that they are measured by and no kerns, its letters
// are of different widths and do not join.
func (f *Face) opticallyKerned(s *shaper) bool {
	const sample = "AVATLTToTeWeYoP.y."
	for _, r := range sample + "Hniow" {
		if !f.has(r) {
			return false
		}
	}
	width := func(text string, features ...harfbuzz.Feature) (w int32) {
		s.buffer.Clear()
		s.buffer.AddRunes([]rune(text), 0, -1)
		s.buffer.GuessSegmentProperties()
		s.buffer.Shape(s.font, features)
		for i := range s.buffer.Pos {
			w += s.buffer.Pos[i].XAdvance
		}
		return w
	}
	off := harfbuzz.Feature{Tag: opentype.MustNewTag("kern"), End: harfbuzz.FeatureGlobalEnd}
	if width(sample) != width(sample, off) || width("iii") == width("www") {
		return false
	}
	k := newOpticalKerner(f)
	return k.nearest(k.glyph('n'), k.glyph('n')) > 0 && k.nearest(k.glyph('o'), k.glyph('n')) > 0
}

// kernOptically changes the advances of what was shaped last, which runs from left to right.
func (s *shaper) kernOptically(text []rune) {
	if s.optical == nil {
		s.optical = newOpticalKerner(s.face)
	}
	before := -1 // the glyph of the letter before
	for i := range s.glyphs {
		g := &s.glyphs[i]
		if g.from == g.to { // an accent of the letter before
			continue
		}
		if !kernable(text[g.from]) {
			before = -1
			continue
		}
		if before >= 0 {
			if kern := s.optical.kern(s.glyphs[before].gid, g.gid, text[s.glyphs[before].from], text[g.from]); kern != 0 {
				s.glyphs[i-1].advance += int32(kern) // behind its accents, so that they stay where they are
				g.unsafe = true
			}
		}
		before = i
	}
}

// kernable are letters that stand apart, and their punctuation; figures keep their columns.
func kernable(r rune) bool {
	return unicode.IsPunct(r) || unicode.In(r, unicode.Latin, unicode.Greek, unicode.Cyrillic)
}

// kern is by how much more or less two letters should stand apart, in parts of the em.
func (k *opticalKerner) kern(a, b uint16, first, second rune) int64 {
	pair := [2]uint16{a, b}
	kern, known := k.kerns[pair]
	if !known {
		kern = k.fit(a, b, (k.straightBeside(first)+k.straightBeside(second))/2)
		k.kerns[pair] = kern
	}
	return kern
}

func (k *opticalKerner) straightBeside(r rune) int64 {
	if unicode.IsUpper(r) {
		return k.straight[1]
	}
	return k.straight[0]
}

// fit finds the kern at which the white between two glyphs is the wanted one.
func (k *opticalKerner) fit(a, b uint16, wanted int64) int64 {
	if _, beside := k.white(a, b, 0); !beside {
		return 0
	}
	nearest := k.nearest(a, b)
	if nearest < touching/2 {
		return touching/2 - nearest
	}
	low, high := int64(2*tightest), int64(0)
	for high-low > em/2000 {
		m := (low + high) / 2
		if w, _ := k.white(a, b, m); w < wanted {
			low = m
		} else {
			high = m
		}
	}
	kern := max(min(high+heeded, 0)*kernShare/100, tightest)
	return max(kern, min(0, touching-nearest))
}

// white is how much white is seen between two glyphs that are kerned so; beside is false where they have no height in common.
func (k *opticalKerner) white(a, b uint16, kern int64) (mean int64, beside bool) {
	p, q := k.sidesOf(a), k.sidesOf(b)
	low, high := max(p.low, q.low), min(p.high, q.high)
	if low >= high {
		return 0, false
	}
	for i := low; i < high; i++ {
		w := min(p.right[i], deepest) + min(q.left[i], deepest) + kern
		if w > 0 {
			w = w * halfSeen / (w + halfSeen)
		}
		mean += w
	}
	return mean / int64(high-low), true
}

// nearest is how close the ink of two glyphs comes, in the same band or the next.
func (k *opticalKerner) nearest(a, b uint16) int64 {
	p, q := k.sidesOf(a), k.sidesOf(b)
	least := noInk
	for i := p.low; i < p.high; i++ {
		for j := max(i-1, q.low); j < min(i+2, q.high); j++ {
			least = min(least, p.right[i]+q.left[j])
		}
	}
	return least
}

func (k *opticalKerner) sidesOf(gid uint16) *glyphSides {
	if p := k.sides[gid]; p != nil {
		return p
	}
	p := &glyphSides{low: bands}
	for i := range p.left {
		p.left[i], p.right[i] = noInk, -noInk
	}
	if k.face.Cuts(gid) {
		if o, ok := k.outlines.GlyphData(font.GID(gid)).(font.GlyphOutline); ok {
			k.trace(o.Segments, p.draw)
		}
	}
	advance := k.face.scale(int64(k.outlines.HorizontalAdvance(font.GID(gid))))
	for i := range p.left {
		if p.left[i] == noInk {
			p.right[i] = noInk
			continue
		}
		p.low, p.high = min(p.low, i), i+1
		p.right[i] = advance - p.right[i]
	}
	k.sides[gid] = p
	return p
}

// outlinePoint is a place in a glyph, in parts of the em.
type outlinePoint struct{ x, y int64 }

// draw notes a stroke of the outline; until all are there, right holds the ink's end and not the white behind it.
func (p *glyphSides) draw(a, b outlinePoint) {
	if a.y > b.y {
		a, b = b, a
	}
	bandOf := func(y int64) int { return int(min(max((y-lowestBand)/bandHeight, 0), bands-1)) }
	for i := bandOf(a.y); i <= bandOf(b.y); i++ {
		low, high := max(a.y, lowestBand+int64(i)*bandHeight), min(b.y, lowestBand+int64(i+1)*bandHeight)
		x0, x1 := a.x, b.x
		if low < high {
			x0, x1 = a.x+(b.x-a.x)*(low-a.y)/(b.y-a.y), a.x+(b.x-a.x)*(high-a.y)/(b.y-a.y)
		}
		p.left[i], p.right[i] = min(p.left[i], x0, x1), max(p.right[i], x0, x1)
	}
}

// trace walks an outline in straight strokes, eight to a curve.
func (k *opticalKerner) trace(segments []font.Segment, stroke func(a, b outlinePoint)) {
	at := func(p opentype.SegmentPoint) outlinePoint {
		return outlinePoint{k.face.scale(int64(math.Round(float64(p.X)))), k.face.scale(int64(math.Round(float64(p.Y))))}
	}
	const steps = 8
	var pen outlinePoint
	for i := range segments {
		args := segments[i].ArgsSlice()
		end := at(args[len(args)-1])
		var c, d outlinePoint // of a cubic curve
		switch segments[i].Op {
		case opentype.SegmentOpMoveTo:
			pen = end
			continue
		case opentype.SegmentOpLineTo:
			stroke(pen, end)
			pen = end
			continue
		case opentype.SegmentOpQuadTo:
			q := at(args[0])
			c, d = outlinePoint{(pen.x + 2*q.x) / 3, (pen.y + 2*q.y) / 3}, outlinePoint{(end.x + 2*q.x) / 3, (end.y + 2*q.y) / 3}
		case opentype.SegmentOpCubeTo:
			c, d = at(args[0]), at(args[1])
		}
		last := pen
		for n := int64(1); n <= steps; n++ {
			m := steps - n
			bezier := func(a, b, c, d int64) int64 {
				return (m*m*m*a + 3*m*m*n*b + 3*m*n*n*c + n*n*n*d) / (steps * steps * steps)
			}
			to := outlinePoint{bezier(pen.x, c.x, d.x, end.x), bezier(pen.y, c.y, d.y, end.y)}
			stroke(last, to)
			last = to
		}
		pen = end
	}
}
