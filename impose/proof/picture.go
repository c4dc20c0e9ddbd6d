package proof

import (
	"fmt"
	"html"
	"html/template"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Pictures are SVG in hundredths of a millimetre: fine enough that nothing visible is lost, and whole numbers are short.
const dot = measure.Millimetre / 100

// dots is a length in the pictures' unit, to the nearest.
func dots(l measure.Length) string { return strconv.FormatInt(round(l), 10) }

func round(l measure.Length) int64 {
	n := int64(2*l + dot)
	q := n / int64(2*dot)
	if n < 0 && q*int64(2*dot) != n {
		q--
	}
	return q
}

// drawing makes the pictures of a page and collects the fonts that they use.
type drawing struct {
	in    Input
	fonts fonts
	ids   map[*intake.Block]string
}

// textures is how many textures the page's style has; stocks take them in turn.
const textures = 4

type stockView struct{ Name, Class, Texture string }

func (v *pageView) stocks(s *config.Settings) {
	for i, t := range s.Stocks {
		v.Stocks = append(v.Stocks, stockView{t.Name, "t" + strconv.Itoa(i%textures), "url(#t" + strconv.Itoa(i%textures) + ")"})
	}
}

func texture(s *config.Settings, stock string) string {
	i := slices.IndexFunc(s.Stocks, func(t config.Stock) bool { return t.Name == stock })
	return "t" + strconv.Itoa(max(i, 0)%textures)
}

func colour(c config.Colour) string { return fmt.Sprintf("#%02x%02x%02x", c.R, c.G, c.B) }

// svg is the beginning of a picture of that size.
func svg(class string, s measure.Size) string {
	return fmt.Sprintf(`<svg class="%s" viewBox="0 0 %s %s" style="--w:%smm" aria-hidden="true" focusable="false">`, class, dots(s.W), dots(s.H), millimetres(s.W))
}

func rect(b *strings.Builder, r measure.Rect, attributes string) {
	x, y := round(r.X), round(r.Y)
	fmt.Fprintf(b, `<rect x="%d" y="%d" width="%d" height="%d" %s/>`, x, y, round(r.Right())-x, round(r.Bottom())-y, attributes)
}

// drawBlock draws a block as it is cut out: what lies behind it, its tuck, its glyphs. The group within carries an ID, so that the
// pictures of sheets can show it again.
func (d *drawing) drawBlock(s *typeset.Setting, id string) template.HTML {
	if d.ids == nil {
		d.ids = map[*intake.Block]string{}
	}
	d.ids[s.Block] = id + "g"
	trim := s.Block.Trim()
	whole := trim.At(0, 0)
	var b strings.Builder
	b.WriteString(svg("block", trim))
	fmt.Fprintf(&b, `<g id="%sg">`, id)
	rect(&b, whole, `fill="`+colour(s.Block.Back)+`"`)
	rect(&b, whole, `class="texture" fill="url(#`+texture(d.in.Settings, s.Block.Stock)+`)"`)
	t := s.Block.Tuck
	for _, r := range []measure.Rect{
		{W: whole.W, H: t.Top},
		{Y: whole.H - t.Bottom, W: whole.W, H: t.Bottom},
		{Y: t.Top, W: t.Left, H: whole.H - t.Top - t.Bottom},
		{X: whole.W - t.Right, Y: t.Top, W: t.Right, H: whole.H - t.Top - t.Bottom},
	} {
		if !r.Empty() {
			rect(&b, r, `fill="url(#tuck)"`)
		}
	}
	for _, line := range s.Lines {
		for _, span := range line.Spans {
			d.span(&b, span)
		}
	}
	b.WriteString(`</g>`)
	rect(&b, whole, `class="edge"`)
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}

// span draws glyphs, each where the setting put it. Glyphs of blanks are left out.
func (d *drawing) span(b *strings.Builder, s typeset.Span) {
	var font *webFont
	var xs, ys []string
	var codes strings.Builder
	flush := func() {
		if len(xs) > 0 {
			if len(slices.Compact(slices.Clone(ys))) == 1 {
				ys = ys[:1]
			}
			fmt.Fprintf(b, `<text class="%s" font-size="%s" fill="%s" x="%s" y="%s">%s</text>`, font.name,
				decimal(int64(s.Size)*1000/int64(dot), 3), colour(s.Colour), strings.Join(xs, " "), strings.Join(ys, " "), html.EscapeString(codes.String()))
		}
		xs, ys = nil, nil
		codes.Reset()
	}
	for _, g := range s.Glyphs {
		if g.Text != "" && strings.TrimFunc(g.Text, unicode.IsSpace) == "" {
			continue
		}
		f, code := d.fonts.code(s.Face, g)
		if f != font {
			flush()
			font = f
		}
		xs, ys = append(xs, dots(g.X)), append(ys, dots(g.Y))
		codes.WriteRune(code)
	}
	flush()
}

// sheetView is a piece.
type sheetView struct {
	Name, Title, Size string
	Picture           template.HTML
	Blocks            []string // person by person
	Facts             []string
}

// sheets fills in the pieces and the cuts that make panels.
func (v *pageView) sheets(in Input, d *drawing) {
	unit := in.Settings.Unit
	for _, p := range in.Plan.Pieces {
		s := sheetView{Name: p.Name(), Title: problem.Capital(p.Title(unit)), Size: p.Size().About(unit), Picture: d.drawPiece(p)}
		var filled, kept int64
		owners := map[string]int{}
		for _, at := range p.Blocks() {
			b := at.Block
			code := b.Code
			if b.Turned {
				code += " turned"
			}
			if at, ok := owners[b.Owner]; ok {
				s.Blocks[at] += ", " + code
			} else {
				owners[b.Owner] = len(s.Blocks)
				s.Blocks = append(s.Blocks, b.Owner+": "+code)
			}
			filled += at.Rect.Size().Area()
		}
		all, measured := 0, 0
		for q := range p.Whole.Cuts {
			all++
			if len(q.Cut.Marks) == 0 {
				measured++
			}
		}
		cuts := problem.Count(all, "cut")
		if measured > 0 {
			cuts += ", " + strconv.Itoa(measured) + " to be measured"
		}
		var keep []string
		for leaf := range p.Whole.Leaves {
			if leaf.Keep {
				keep = append(keep, leaf.Rect.Size().About(unit))
				kept += leaf.Rect.Size().Area()
			}
		}
		whole := p.Size().Area()
		share := func(area int64) string { return strconv.FormatInt((200*area+whole)/(2*whole), 10) + "%" }
		s.Facts = append(s.Facts, "blocks "+share(filled)+", leftover "+share(kept)+", scrap "+share(whole-filled-kept), cuts)
		if keep != nil {
			s.Facts = append(s.Facts, "to keep: "+strings.Join(keep, "; "))
		}
		v.Sheets = append(v.Sheets, s)
	}
	for _, sheet := range in.Plan.Sheets {
		for q := range sheet.Whole.Cuts {
			at, axis, from := q.Cut.At-q.Rect.X, "down", "left"
			if q.Cut.Axis == plan.Across {
				at, axis, from = q.Cut.At-q.Rect.Y, "across", "top"
			}
			v.Precuts = append(v.Precuts, fmt.Sprintf("%s, sheet %d: cut %s %s, %s from its %s edge; that makes %s and %s", problem.Capital(sheet.Stock), sheet.Number,
				sheet.PartName(q), axis, at.About(unit), from, sheet.PartName(q.Cut.Near), sheet.PartName(q.Cut.Far)))
		}
	}
}

// drawPiece draws a piece as it is fed: blocks in their places, leftovers, scrap, and the cuts with their numbers.
func (d *drawing) drawPiece(p *plan.Piece) template.HTML {
	var b strings.Builder
	b.WriteString(svg("piece", p.Size()))
	whole := p.Size().At(0, 0)
	stock, _ := d.in.Settings.Stock(p.Stock)
	rect(&b, whole, `fill="`+colour(stock.Colour)+`"`)
	blocks := p.Blocks()
	for leaf := range p.Whole.Leaves {
		switch r := leaf.Rect; {
		case leaf.Keep:
			rect(&b, r, `class="keep"`)
			drawLabel(&b, p, r.X+r.W/2, r.Y+r.H/2, "middle", r.Size().About(d.in.Settings.Unit), r)
		case leaf.Rest():
			rect(&b, r, `class="scrap" fill="url(#scrap)"`)
		}
	}
	for _, at := range blocks {
		x, turn := at.Rect.X, ""
		if at.Block.Turned {
			x, turn = at.Rect.Right(), " rotate(90)"
		}
		fmt.Fprintf(&b, `<use href="#%s" transform="translate(%s %s)%s"/>`, d.ids[at.Block.Block], dots(x), dots(at.Rect.Y), turn)
		rect(&b, at.Rect, `class="edge"`)
	}
	size := typeSize(p)
	for q := range p.Whole.Cuts {
		x1, y1, x2, y2 := q.Cut.At, q.Rect.Y, q.Cut.At, q.Rect.Bottom()
		if q.Cut.Axis == plan.Across {
			x1, y1, x2, y2 = q.Rect.X, q.Cut.At, q.Rect.Right(), q.Cut.At
		}
		class := "cut"
		if len(q.Cut.Marks) == 0 {
			class = "cut measured"
		}
		fmt.Fprintf(&b, `<path class="%s" d="M%s %sL%s %s"/>`, class, dots(x1), dots(y1), dots(x2), dots(y2))
	}
	for _, at := range blocks {
		drawLabel(&b, p, at.Rect.X+size/2, at.Rect.Y+size, "start", at.Block.Code, at.Rect)
	}
	n := 0
	for q := range p.Whole.Cuts { // numbers above all else, near the end of the cut
		n++
		x, y := q.Cut.At, q.Rect.Bottom()-size
		if q.Cut.Axis == plan.Across {
			x, y = q.Rect.Right()-size, q.Cut.At
		}
		x, y = min(max(x, size*3/4), whole.W-size*3/4), min(max(y, size*3/4), whole.H-size*3/4)
		fmt.Fprintf(&b, `<circle class="number" cx="%s" cy="%s" r="%s"/><text class="digits" x="%s" y="%s" font-size="%s">%d</text>`,
			dots(x), dots(y), dots(size*3/4), dots(x), dots(y+size*3/10), dots(size*8/10), n)
	}
	rect(&b, whole, `class="edge"`)
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
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

// drawLabel writes on a pale plate, where there is room for it.
func drawLabel(b *strings.Builder, p *plan.Piece, x, y measure.Length, anchor, text string, in measure.Rect) {
	size := typeSize(p)
	if w := measure.Length(len(text)) * size * 6 / 10; w > in.W || size*3/2 > in.H {
		return
	}
	fmt.Fprintf(b, `<text class="label" text-anchor="%s" x="%s" y="%s" font-size="%s">%s</text>`, anchor, dots(x), dots(y+size/3), dots(size), html.EscapeString(text))
}
