package draw

import (
	_ "embed"
	"fmt"
	"html"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
)

// Picture draws blocks and pieces as SVG, for screens. Its unit is a hundredth of a millimetre: fine enough that nothing visible is
// lost, and whole numbers are short.
type Picture struct {
	Settings *config.Settings
	Span     func(b *strings.Builder, s typeset.Span) // draws glyphs where the setting put them
}

// PictureCSS is the style of pictures: stock, tuck, cuts.
//
//go:embed picture.css
var PictureCSS string

// Patterns are what pictures are filled with, to stand within defs: the stocks' textures, the tuck, scrap.
//
//go:embed patterns.svg
var Patterns string

// dot is the unit of pictures.
const dot = measure.Millimetre / 100

// Dots is a length in the pictures' unit, to the nearest.
func Dots(l measure.Length) string { return strconv.FormatInt(round(l), 10) }

func round(l measure.Length) int64 {
	n := int64(2*l + dot)
	q := n / int64(2*dot)
	if n < 0 && q*int64(2*dot) != n {
		q--
	}
	return q
}

// TypeDots is a type size in the pictures' unit, exactly enough: to a thousandth.
func TypeDots(size measure.Length) string { return decimal(int64(size)*1000/int64(dot), 3) }

// Millimetres prints a length for CSS, exactly enough: to a thousandth.
func Millimetres(l measure.Length) string { return decimal(int64(l)*1000/int64(measure.Millimetre), 3) }

// decimal prints n in units of 10^-places without needless digits.
func decimal(n int64, places int) string {
	scale := int64(1)
	for range places {
		scale *= 10
	}
	sign := ""
	if n < 0 {
		sign, n = "-", -n
	}
	s := strconv.FormatInt(n/scale, 10)
	if r := n % scale; r != 0 {
		s += "." + strings.TrimRight(fmt.Sprintf("%0*d", places, r), "0")
	}
	return sign + s
}

// Textures is how many textures there are; stocks take them in turn.
const Textures = 4

// Texture is the pattern that a stock is drawn with.
func Texture(s *config.Settings, stock string) string {
	i := slices.IndexFunc(s.Stocks, func(t config.Stock) bool { return t.Name == stock })
	return "t" + strconv.Itoa(max(i, 0)%Textures)
}

// Hex is a colour for CSS and SVG.
func Hex(c config.Colour) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

func rect(b *strings.Builder, r measure.Rect, attributes string) {
	x, y := round(r.X), round(r.Y)
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" %s/>`, x, y, round(r.Right())-x, round(r.Bottom())-y, attributes)
}

// Edge outlines what is of that size.
func Edge(b *strings.Builder, s measure.Size) { rect(b, s.At(0, 0), `class="edge"`) }

// Block draws a block as it is cut out, without its edge: what lies behind it, its tuck, its glyphs.
func (d *Picture) Block(b *strings.Builder, s *typeset.Setting) {
	d.Blank(b, s.Block.Trim(), s.Block.Tuck, s.Block.Back, s.Block.Stock)
	for _, line := range s.Lines {
		for _, span := range line.Spans {
			d.Span(b, span)
		}
	}
}

// Blank draws a block that has no text yet.
func (d *Picture) Blank(b *strings.Builder, trim measure.Size, t measure.Sides, back config.Colour, stock string) {
	whole := trim.At(0, 0)
	rect(b, whole, `fill="`+Hex(back)+`"`)
	rect(b, whole, `class="texture" fill="url(#`+Texture(d.Settings, stock)+`)"`)
	for _, r := range []measure.Rect{
		{W: whole.W, H: t.Top},
		{Y: whole.H - t.Bottom, W: whole.W, H: t.Bottom},
		{Y: t.Top, W: t.Left, H: whole.H - t.Top - t.Bottom},
		{X: whole.W - t.Right, Y: t.Top, W: t.Right, H: whole.H - t.Top - t.Bottom},
	} {
		if !r.Empty() {
			rect(b, r, `fill="url(#tuck)"`)
		}
	}
}

// Piece draws a piece as it is fed: blocks in their places, leftovers, scrap, and the cuts with their numbers. Show draws a block at the
// origin, as it reads.
func (d *Picture) Piece(b *strings.Builder, p *plan.Piece, show func(*typeset.Setting)) {
	whole := p.Size().At(0, 0)
	stock, _ := d.Settings.Stock(p.Stock)
	rect(b, whole, `fill="`+Hex(stock.Colour)+`"`)
	blocks := p.Blocks()
	for leaf := range p.Whole.Leaves {
		switch r := leaf.Rect; {
		case leaf.Keep:
			rect(b, r, `class="keep"`)
			label(b, p, r.X+r.W/2, r.Y+r.H/2, "middle", r.Size().Down(d.Settings.Unit), r)
		case leaf.Rest():
			rect(b, r, `class="scrap" fill="url(#scrap)"`)
		}
	}
	for _, at := range blocks {
		asItLies(b, at)
		show(at.Block.Setting)
		b.WriteString(`</g>`)
		rect(b, at.Rect, `class="edge"`)
	}
	size := typeSize(p)
	cuts := p.Whole.Cuts
	if d.Settings.Trimmer.Scissors { // nobody makes them: the blocks are cut out along their edges
		cuts = func(func(*plan.Part) bool) {}
	}
	for q := range cuts {
		x1, y1, x2, y2 := q.Cut.At, q.Rect.Y, q.Cut.At, q.Rect.Bottom()
		if q.Cut.Axis == plan.Across {
			x1, y1, x2, y2 = q.Rect.X, q.Cut.At, q.Rect.Right(), q.Cut.At
		}
		class := "cut"
		if len(q.Cut.Marks) == 0 {
			class = "cut measured"
		}
		fmt.Fprintf(b, `<path class="%s" d="M%s %sL%s %s"/>`, class, Dots(x1), Dots(y1), Dots(x2), Dots(y2))
	}
	for _, at := range blocks { // in the block's own corner, where a tuck is blank
		asItLies(b, at)
		own, x := at.Rect.Size(), size/2
		if at.Block.Turned {
			own, x = own.Turn(), 2*size // this corner is where a cut's number may lie
		}
		label(b, p, x, size, "start", at.Block.Code, own.At(0, 0))
		b.WriteString(`</g>`)
	}
	n := 0
	for q := range cuts { // numbers above all else, near the end of the cut
		n++
		x, y := q.Cut.At, q.Rect.Bottom()-size
		if q.Cut.Axis == plan.Across {
			x, y = q.Rect.Right()-size, q.Cut.At
		}
		x, y = min(max(x, size*3/4), whole.W-size*3/4), min(max(y, size*3/4), whole.H-size*3/4)
		fmt.Fprintf(b, `<circle class="number" cx="%s" cy="%s" r="%s"/><text class="digits" x="%s" y="%s" font-size="%s">%d</text>`,
			Dots(x), Dots(y), Dots(size*3/4), Dots(x), Dots(y+size*3/10), Dots(size*8/10), n)
	}
	Edge(b, whole.Size())
}

// asItLies opens a group in which a block on a piece is drawn as it reads, from its own upper left corner.
func asItLies(b *strings.Builder, at *plan.Part) {
	x, turn := at.Rect.X, ""
	if at.Block.Turned {
		x, turn = at.Rect.Right(), " rotate(90)"
	}
	fmt.Fprintf(b, `<g transform="translate(%s %s)%s">`, Dots(x), Dots(at.Rect.Y), turn)
}

// typeSize is the size of the labels on a piece: so that they can be read where it is drawn half as large, or less on a phone,
// and smaller where there are many.
func typeSize(p *plan.Piece) measure.Length {
	size := max(p.Size().W, p.Size().H) / 36
	if p.Whole.CutCount() > 24 {
		size = size * 2 / 3
	}
	return size
}

// label writes on a pale plate, where there is room for it.
func label(b *strings.Builder, p *plan.Piece, x, y measure.Length, anchor, text string, in measure.Rect) {
	size := typeSize(p)
	if w := measure.Length(len(text)) * size * 6 / 10; w > in.W || size*3/2 > in.H {
		return
	}
	fmt.Fprintf(b, `<text class="label" text-anchor="%s" x="%s" y="%s" font-size="%s">%s</text>`, anchor, Dots(x), Dots(y+size/3), Dots(size), html.EscapeString(text))
}
