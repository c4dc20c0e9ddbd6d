package guide

import (
	"strings"

	"tuckmark/config/measure"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// pangram shows how a face looks in journaling: capitals, figures, quotes, accents, a dash.
const pangram = "“Quick,” said Zoë, “jump!” — and the fox did, over both lazy dogs & a vase. 4 July, 17:30, 12½ °C."

// Specimen is pages of paper of that size to choose a face from: each named face in three sizes, with its bold and italic where it has them.
func Specimen(size measure.Size, fonts *typeset.Library, faces []typeset.Name) []press.Page {
	p := &pageWriter{hand: newHand(fonts, nil), size: size, name: "Fonts"}
	p.open()
	p.para(p.left(), p.width(), body, "Write the name into the column Font, or into tuckmark.yaml (type: font).")
	p.space(measure.Inch / 8)
	for _, n := range faces {
		regular, err := fonts.Face(n.Name, false, false)
		if err != nil || !prints(fonts, regular) {
			continue // its file turned out to be damaged, or may not be embedded: it cannot be chosen
		}
		p.need(measure.Inch * 3 / 2)
		p.text(p.left(), p.y+heading.size, heading, n.Name)
		members := "regular"
		if n.Bold {
			members += ", bold"
		}
		if n.Italic {
			members += ", italic"
		}
		p.cell(p.left()+p.width()/2, p.y+heading.size, p.width()/2, faint, members+" · "+source(n), toRight)
		p.space(heading.line())
		for _, size := range []measure.Length{8, 11, 16} {
			p.sample(regular, size*measure.Point, pangram)
		}
		if f, err := fonts.Face(n.Name, true, false); err == nil && n.Bold && prints(fonts, f) {
			p.sample(f, 11*measure.Point, pangram)
		}
		if f, err := fonts.Face(n.Name, false, true); err == nil && n.Italic && prints(fonts, f) {
			p.sample(f, 11*measure.Point, pangram)
		}
		p.space(measure.Inch / 6)
	}
	for i := range p.pages {
		foot(p.hand, p.pages, i, "Fonts")
	}
	return p.pages
}

// prints reports whether the sample of a face can be put into a PDF: letters of a damaged font may not.
func prints(fonts *typeset.Library, f *typeset.Face) bool {
	for _, line := range fonts.Paragraph(f, body.size, 6*measure.Inch, pangram) {
		for _, span := range line {
			for _, g := range span.Glyphs {
				if !span.Face.Cuts(g.ID) {
					return false
				}
			}
		}
	}
	return true
}

// source is where a face comes from, without the folders that lead there.
func source(n typeset.Name) string { return n.Source[strings.LastIndexAny(n.Source, `/\`)+1:] }

// sample sets a text in a face over the width of the page.
func (p *pageWriter) sample(f *typeset.Face, size measure.Length, text string) {
	for _, line := range p.hand.lib.Paragraph(f, size, p.width(), text) {
		p.space(size * 5 / 4)
		for _, span := range line {
			t := press.Text{Font: p.hand.font(span.Face), Size: span.Size, Glyphs: make([]press.Glyph, len(span.Glyphs))}
			for i, g := range span.Glyphs {
				t.Glyphs[i] = press.Glyph{ID: g.ID, X: p.left() + g.X, Y: p.y + g.Y, Text: g.Text}
			}
			page := p.page()
			page.Texts = append(page.Texts, t)
		}
	}
	p.space(size / 3)
}
