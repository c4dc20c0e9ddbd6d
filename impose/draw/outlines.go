package draw

import (
	"fmt"
	"strconv"
	"strings"
	"sync"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
)

// Outlines makes pictures that stand by themselves: SVG files with the outlines of their glyphs, which need no font and run nothing. It
// keeps the outlines that it has read; any number of goroutines may use it. The zero value is ready.
type Outlines struct{ paths sync.Map } // of outlined to string

// outlined is a glyph of a face.
type outlined struct {
	face  *typeset.Face
	glyph uint16
}

// Block is a picture of a set block as it is cut out.
func (o *Outlines) Block(s *typeset.Setting, c *config.Settings) []byte {
	f := o.file(c)
	f.Block(&f.body, s)
	Edge(&f.body, s.Block.Trim())
	return f.bytes("block", s.Block.Trim())
}

// Blank is a picture of a block without its text.
func (o *Outlines) Blank(trim measure.Size, tuck measure.Sides, back config.Colour, stock string, c *config.Settings) []byte {
	f := o.file(c)
	f.Blank(&f.body, trim, tuck, back, stock)
	Edge(&f.body, trim)
	return f.bytes("block", trim)
}

// Piece is a picture of a piece as it is fed, with its blocks and cuts.
func (o *Outlines) Piece(p *plan.Piece, c *config.Settings) []byte {
	f := o.file(c)
	f.Piece(&f.body, p, func(s *typeset.Setting) { f.Block(&f.body, s) })
	return f.bytes("piece", p.Size())
}

// pictureFile is a picture in the making.
type pictureFile struct {
	Picture
	from       *Outlines
	body, defs strings.Builder
	names      map[outlined]string
}

func (o *Outlines) file(c *config.Settings) *pictureFile {
	f := &pictureFile{from: o, names: map[outlined]string{}}
	f.Picture = Picture{Settings: c, Span: f.span}
	return f
}

// span draws glyphs by their outlines, each of which stands in the file once.
func (f *pictureFile) span(b *strings.Builder, s typeset.Span) {
	if s.Size <= 0 {
		return
	}
	units := func(l measure.Length) string {
		return strconv.FormatInt(int64(l)*typeset.OutlineEm/int64(s.Size), 10)
	}
	k := strconv.FormatFloat(float64(s.Size)/float64(dot)/typeset.OutlineEm, 'g', 8, 64) //nolint:forbidigo // a factor of the drawing, to eight digits
	fmt.Fprintf(b, `<g fill="%s" transform="scale(%s -%s)">`, Hex(s.Colour), k, k)
	for _, g := range s.Glyphs {
		if name := f.name(outlined{s.Face, g.ID}); name != "" {
			b.WriteString(`<use href="#` + name + `" x="` + units(g.X) + `" y="` + units(-g.Y) + `"/>`)
		}
	}
	b.WriteString(`</g>`)
}

// name is what the file calls a glyph's outline; "" where it has no ink.
func (f *pictureFile) name(g outlined) string {
	name, known := f.names[g]
	if !known {
		if path := f.from.path(g); path != "" {
			name = "g" + strconv.Itoa(len(f.names))
			f.defs.WriteString(`<path id="` + name + `" d="` + path + `"/>`)
		}
		f.names[g] = name
	}
	return name
}

// path is a glyph's outline as SVG has it.
func (o *Outlines) path(g outlined) string {
	if d, known := o.paths.Load(g); known {
		return d.(string)
	}
	var d []byte
	for _, s := range g.face.Outline(g.glyph) {
		if s.Op == 'M' && len(d) > 0 {
			d = append(d, 'Z')
		}
		d = append(d, s.Op)
		for i, p := range s.Points {
			if i > 0 {
				d = append(d, ' ')
			}
			d = strconv.AppendInt(d, int64(p.X), 10)
			d = append(d, ' ')
			d = strconv.AppendInt(d, int64(p.Y), 10)
		}
	}
	o.paths.Store(g, string(d))
	return string(d)
}

func (f *pictureFile) bytes(class string, size measure.Size) []byte {
	var out strings.Builder
	out.Grow(f.body.Len() + f.defs.Len() + len(PictureCSS) + len(Patterns) + 512)
	fmt.Fprintf(&out, `<svg xmlns="http://www.w3.org/2000/svg" class="%s" viewBox="0 0 %s %s" width="%smm" height="%smm">`,
		class, Dots(size.W), Dots(size.H), Millimetres(size.W), Millimetres(size.H))
	out.WriteString("<style>" + PictureCSS + "</style><defs>" + Patterns)
	out.WriteString(f.defs.String())
	out.WriteString("</defs>")
	out.WriteString(f.body.String())
	out.WriteString("</svg>")
	return []byte(out.String())
}
