package press

import (
	"encoding/hex"
	"fmt"
	"math"
	"strconv"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// slack is how far a glyph may stand from its place before the row is nudged: 250 EMU are 0.007 mm, a sixth of the dot
// of a 600 dpi printer. Without slack every other glyph would carry an adjustment that nobody can see.
const slack = 250

// content writes the drawing operators of one page (ISO 32000-1, 8 and 9.4).
type content struct {
	b      []byte
	height measure.Length // of the page: y is flipped here and nowhere else
	fonts  *fontSet
	used   map[int]bool // by index in fonts

	fill, stroke config.Colour
	weight, dash measure.Length
}

// draw writes the operators of a page, and which fonts it uses.
func (c *content) draw(p *Page) {
	c.b = c.b[:0]
	c.height = p.Size.H
	c.used = map[int]bool{}
	// The graphics state a page starts with (ISO 32000-1, table 52).
	c.fill, c.stroke, c.weight, c.dash = config.Colour{}, config.Colour{}, measure.Point, 0

	c.correct(p)
	if p.Mirror {
		c.op("-1 0 0 1 ")
		c.lengthOperand(p.Size.W)
		c.op("0 cm\n")
	}
	for _, f := range p.Fills {
		c.rectangle(f)
	}
	for _, l := range p.Lines {
		c.line(l)
	}
	texts := p.texts()
	for i := range texts {
		c.text(&texts[i], parting(texts, i))
	}
}

func (c *content) op(s string)                    { c.b = append(c.b, s...) }
func (c *content) lengthOperand(l measure.Length) { c.b = append(appendPoints(c.b, l), ' ') }
func (c *content) point(x, y measure.Length)      { c.lengthOperand(x); c.lengthOperand(c.height - y) }
func (c *content) operand(n int64, places int)    { c.b = append(appendDecimal(c.b, n, places), ' ') }

// correct applies the printer's correction to everything on the page: scaled about the top-left corner, then shifted.
func (c *content) correct(p *Page) {
	sx, sy := p.Scale[0], p.Scale[1]
	if sx == 0 {
		sx = 1
	}
	if sy == 0 {
		sy = 1
	}
	if sx == 1 && sy == 1 && p.ShiftX == 0 && p.ShiftY == 0 {
		return
	}
	const million = 1e6
	x, y := int64(math.Round(sx*million)), int64(math.Round(sy*million))
	// Measured from below, a point at Y goes to H - (sy*(H-Y) + shift).
	up := c.height - measure.Length(roundDiv(int64(c.height)*y, million)) - p.ShiftY
	c.operand(x, 6)
	c.op("0 0 ")
	c.operand(y, 6)
	c.lengthOperand(p.ShiftX)
	c.lengthOperand(up)
	c.op("cm\n")
}

// colour sets the fill or stroke colour. Greys go out as DeviceGray, so that black is printed with black ink alone.
func (c *content) colour(now *config.Colour, to config.Colour, grey, rgb string) {
	if *now == to {
		return
	}
	*now = to
	share := func(v uint8) { c.operand(roundDiv(int64(v)*10000, 255), 4) }
	if to.R == to.G && to.G == to.B {
		share(to.R)
		c.op(grey)
		return
	}
	share(to.R)
	share(to.G)
	share(to.B)
	c.op(rgb)
}

func (c *content) rectangle(f Fill) {
	c.colour(&c.fill, f.Colour, "g\n", "rg\n")
	c.point(f.Rect.X, f.Rect.Bottom())
	c.lengthOperand(f.Rect.W)
	c.lengthOperand(f.Rect.H)
	c.op("re f\n")
}

func (c *content) line(l Line) {
	c.colour(&c.stroke, l.Colour, "G\n", "RG\n")
	if l.Weight != c.weight {
		c.weight = l.Weight
		c.lengthOperand(l.Weight)
		c.op("w\n")
	}
	if l.Dash != c.dash {
		c.dash = l.Dash
		c.op("[")
		if l.Dash > 0 {
			c.b = appendPoints(c.b, l.Dash)
		}
		c.op("] 0 d\n")
	}
	c.point(l.X1, l.Y1)
	c.op("m ")
	c.point(l.X2, l.Y2)
	c.op("l S\n")
}

// parting is the glyph of a turned row from which on it is shown by a second operator, or -1. PDFium takes neighbouring
// operators that start at one height for parts of one line and sorts them from left to right (CPDF_TextPage::ProcessTextObject),
// which reads the lines of a turned text from the last to the first. So an operator that starts an em away from both its
// neighbours stands between any two lines.
func parting(texts []Text, i int) int {
	t := &texts[i]
	if !t.Turned {
		return -1
	}
	apart := func(g Glyph, from measure.Length) bool { return g.Y-from > t.Size || from-g.Y > t.Size }
	best := -1
	for k := 1; k < len(t.Glyphs); k++ {
		if g := t.Glyphs[k]; g.Text != "" {
			if best < 0 {
				best = k // better than nothing where the row is short
			}
			if apart(g, t.Glyphs[0].Y) && (i+1 == len(texts) || len(texts[i+1].Glyphs) == 0 || apart(g, texts[i+1].Glyphs[0].Y)) {
				return k
			}
		}
	}
	return best
}

// text writes one row of glyphs, those from the parting on by an operator of their own.
func (c *content) text(t *Text, parting int) {
	if len(t.Glyphs) == 0 {
		return
	}
	n := c.fonts.index[t.Font]
	f := c.fonts.faces[n]
	c.used[n] = true
	c.colour(&c.fill, t.Colour, "g\n", "rg\n")
	c.op("BT /F")
	c.b = strconv.AppendInt(c.b, int64(n+1), 10)
	c.op(" ")
	c.lengthOperand(t.Size)
	c.op("Tf\n")

	r := row{c: c, t: t, f: f, parting: parting}
	// show never fails here: every sign has been seen when the codes were given out.
	_ = spell(t, r.show, func(text string) {
		r.end()
		if text == "" {
			c.op("EMC\n")
			return
		}
		// Replacement text for what is marked (ISO 32000-1, 14.9.4).
		c.b = fmt.Appendf(c.b, "/Span<</ActualText<FEFF%X>>>BDC\n", utf16BE(text))
	})
	r.end()
	c.op("ET\n")
}

// row writes glyphs that stand on one baseline as one operator, and begins anew where the baseline changes. Each glyph is put
// where it was asked to stand: between glyphs the pen is moved by the difference of where it is, by the widths the reader
// knows, and where it should be, so that no error adds up.
type row struct {
	c           *content
	t           *Text
	f           *face
	parting     int
	open        bool
	start, base measure.Length
	pen         int64 // from the start, in 1/1000 EMU: a size in EMU times a width in 1/1000 em
}

func (r *row) show(i int, s sign) error {
	g := &r.t.Glyphs[i]
	at, base := g.X, g.Y
	if r.t.Turned {
		at, base = g.Y, g.X
	}
	if !r.open || base != r.base || i == r.parting {
		r.end()
		r.open, r.start, r.base, r.pen = true, at, base, 0
		if r.t.Turned {
			r.c.op("0 -1 1 0 ")
		} else {
			r.c.op("1 0 0 1 ")
		}
		r.c.point(g.X, g.Y)
		r.c.op("Tm [<")
	}
	size := int64(r.t.Size)
	if off := int64(at-r.start)*1000 - r.pen; off > slack*1000 || off < -slack*1000 {
		move := roundDiv(off*10, size) // in tenths of 1/1000 em
		r.c.op(">")
		r.c.b = appendDecimal(r.c.b, -move, 1) // a positive number takes the pen back
		r.c.op("<")
		r.pen += roundDiv(move*size, 10)
	}
	code := r.f.code(s)
	r.c.b = hex.AppendEncode(r.c.b, []byte{byte(code >> 8), byte(code)})
	r.pen += size * r.f.widths[code]
	return nil
}

func (r *row) end() {
	if r.open {
		r.c.op(">] TJ\n")
		r.open = false
	}
}
