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
	"tuckmark/impose/draw"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// drawing makes the pictures of a page and collects the fonts that they use.
type drawing struct {
	draw.Picture
	in    Input
	fonts fonts
	ids   map[*intake.Block]string
}

func newDrawing(in Input) *drawing {
	d := &drawing{in: in}
	d.Settings, d.Span = in.Settings, d.span
	return d
}

type stockView struct{ Name, Class, Texture string }

func (v *pageView) stocks(s *config.Settings) {
	for _, t := range s.Stocks {
		texture := draw.Texture(s, t.Name)
		v.Stocks = append(v.Stocks, stockView{t.Name, texture, "url(#" + texture + ")"})
	}
}

// svg is the beginning of a picture of that size.
func svg(class string, s measure.Size) string {
	return fmt.Sprintf(`<svg class="%s" viewBox="0 0 %s %s" style="--w:%smm" aria-hidden="true" focusable="false">`, class, draw.Dots(s.W), draw.Dots(s.H), draw.Millimetres(s.W))
}

// drawBlock draws a block as it is cut out: what lies behind it, its tuck, its glyphs. The group within carries an ID, so that the
// pictures of sheets can show it again.
func (d *drawing) drawBlock(s *typeset.Setting, id string) template.HTML {
	if d.ids == nil {
		d.ids = map[*intake.Block]string{}
	}
	d.ids[s.Block] = id + "g"
	trim := s.Block.Trim()
	var b strings.Builder
	b.WriteString(svg("block", trim))
	fmt.Fprintf(&b, `<g id="%sg">`, id)
	d.Block(&b, s)
	b.WriteString(`</g>`)
	draw.Edge(&b, trim)
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
				draw.TypeDots(s.Size), draw.Hex(s.Colour), strings.Join(xs, " "), strings.Join(ys, " "), html.EscapeString(codes.String()))
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
		xs, ys = append(xs, draw.Dots(g.X)), append(ys, draw.Dots(g.Y))
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
		var keep []string
		for leaf := range p.Whole.Leaves {
			if leaf.Keep {
				keep = append(keep, leaf.Rect.Size().Down(unit))
				kept += leaf.Rect.Size().Area()
			}
		}
		whole := p.Size().Area()
		share := func(area int64) string { return strconv.FormatInt((200*area+whole)/(2*whole), 10) + "%" }
		s.Facts = append(s.Facts, "blocks "+share(filled)+", leftover "+share(kept)+", scrap "+share(whole-filled-kept), cutsOf(p.Whole))
		if keep != nil {
			s.Facts = append(s.Facts, "to keep: "+strings.Join(keep, "; "))
		}
		v.Sheets = append(v.Sheets, s)
	}
	for _, sheet := range in.Plan.Sheets {
		for q := range sheet.Whole.Cuts {
			if q.Hair() != nil { // nobody makes it
				continue
			}
			at, axis, from := q.Cut.At-q.Rect.X, "down", "left"
			if q.Cut.Axis == plan.Across {
				at, axis, from = q.Cut.At-q.Rect.Y, "across", "top"
			}
			v.Precuts = append(v.Precuts, fmt.Sprintf("%s, sheet %d: cut %s %s, %s from its %s edge; that makes %s and %s", problem.Capital(sheet.Stock), sheet.Number,
				sheet.PartName(q), axis, at.About(unit), from, sheet.PartName(q.Cut.Near), sheet.PartName(q.Cut.Far)))
		}
	}
}

// cutsOf is how many cuts of a piece are made, and how many of them have no mark.
func cutsOf(whole *plan.Part) string {
	measured := 0
	for q := range whole.Cuts {
		if len(q.Cut.Marks) == 0 && q.Hair() == nil {
			measured++
		}
	}
	cuts := problem.Count(whole.CutCount(), "cut")
	if measured > 0 {
		cuts += ", " + strconv.Itoa(measured) + " to be measured"
	}
	return cuts
}

// drawPiece draws a piece as it is fed, with the blocks that were drawn already.
func (d *drawing) drawPiece(p *plan.Piece) template.HTML {
	var b strings.Builder
	b.WriteString(svg("piece", p.Size()))
	d.Piece(&b, p, func(s *typeset.Setting) { fmt.Fprintf(&b, `<use href="#%s"/>`, d.ids[s.Block]) })
	b.WriteString(`</svg>`)
	return template.HTML(b.String())
}
