package draw

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// Drawer draws pages with the faces that blocks are set in. It hands press the same font for the same face, so that a
// face is embedded once for each stock.
type Drawer struct {
	Library *typeset.Library // for the words on the outline of a carrier; nil: none
	Stop    func() bool      // asked for each piece; once it says yes, the pages are no longer wanted; may be nil

	fonts map[*typeset.Face]*press.Font
}

// Font is a face as press wants it.
func (d *Drawer) Font(f *typeset.Face) *press.Font {
	if d.fonts == nil {
		d.fonts = map[*typeset.Face]*press.Font{}
	}
	if d.fonts[f] == nil {
		d.fonts[f] = &press.Font{Name: f.PostScript(), Data: f.Data(), Face: f.Index()}
	}
	return d.fonts[f]
}

// Draw makes the plan's pages: a section for each stock, a page for each piece (two where it rides), its blocks in reading order, its marks
// beneath them, its labels after them. The glyphs are placed when a page is written, so the plan has to stay as it is until then. The printer's correction goes with the page; a stock that is printed mirrored is mirrored here and nowhere
// before.
func (d *Drawer) Draw(p *plan.Plan, s *config.Settings) []press.Section {
	var out []press.Section
	for i, piece := range p.Pieces {
		if d.Stop != nil && d.Stop() {
			return nil
		}
		if i == 0 || p.Pieces[i-1].Stock != piece.Stock {
			out = append(out, press.Section{Title: problem.Capital(piece.Stock)})
		}
		section := &out[len(out)-1]
		switch page := d.page(piece, s); {
		case piece.Carrier == nil:
			section.Pages = append(section.Pages, page)
		case piece.Carrier.Nth == 0:
			run := []*plan.Piece{piece}
			for _, p := range p.Pieces[i+1:] {
				if p.Carrier == nil || p.Carrier.Nth == 0 {
					break
				}
				run = append(run, p)
			}
			if len(run) > 1 {
				page.Title += " and " + problem.Count(len(run)-1, "other piece") + " on its carrier"
			}
			onCarrier(&page, piece.Carrier)
			section.Pages = append(section.Pages, d.outline(run, page, s), page)
		default: // with the one before
			onCarrier(&page, piece.Carrier)
			whole := &section.Pages[len(section.Pages)-1]
			before := whole.Late
			whole.Lines, whole.Late = append(whole.Lines, page.Lines...), func() []press.Text { return append(before(), page.Late()...) }
		}
	}
	return out
}

func (d *Drawer) page(p *plan.Piece, s *config.Settings) press.Page {
	page := press.Page{Title: p.Title(s.Unit), Size: p.Size()}
	for _, pr := range s.Printers {
		if pr.Name == p.Printer {
			page.Scale, page.ShiftX, page.ShiftY = pr.Scale, pr.Shift.X, pr.Shift.Y
		}
	}
	if stock, _ := s.Stock(p.Stock); stock.Mirror {
		page.Mirror = true
		page.Title += ", mirrored"
	}
	add := func(marks []plan.Mark) {
		for _, m := range marks {
			page.Lines = append(page.Lines, press.Line{X1: m.X1, Y1: m.Y1, X2: m.X2, Y2: m.Y2, Weight: m.Weight})
		}
	}
	for q := range p.Whole.Cuts {
		add(q.Cut.Marks)
	}
	for leaf := range p.Whole.Leaves {
		add(leaf.Outline)
	}
	page.Late = func() []press.Text { return d.texts(p) }
	return page
}

// texts are a piece's blocks and labels.
func (d *Drawer) texts(p *plan.Piece) []press.Text {
	var out []press.Text
	for _, b := range p.Blocks() {
		out = append(out, d.Block(b.Block.Setting, b.Rect, b.Block.Turned)...)
	}
	for _, l := range p.Labels {
		for _, spans := range l.Lines {
			out = append(out, d.spans(spans, l.Rect, l.Turned)...)
		}
	}
	return out
}

// Block is the glyphs of a set block that lies in r.
func (d *Drawer) Block(set *typeset.Setting, r measure.Rect, turned bool) []press.Text {
	var out []press.Text
	for _, line := range set.Lines {
		out = append(out, d.spans(line.Spans, r, turned)...)
	}
	return out
}

// spans is a set line of what lies in r. A quarter turn clockwise takes the point x, y of what is h high to h-y, x.
func (d *Drawer) spans(spans []typeset.Span, r measure.Rect, turned bool) []press.Text {
	out := make([]press.Text, 0, len(spans))
	for _, span := range spans {
		t := press.Text{Font: d.Font(span.Face), Size: span.Size, Turned: turned,
			Colour: span.Colour, Glyphs: make([]press.Glyph, len(span.Glyphs))}
		for i, g := range span.Glyphs {
			x, y := r.X+g.X, r.Y+g.Y
			if turned {
				x, y = r.Right()-g.Y, r.Y+g.X
			}
			t.Glyphs[i] = press.Glyph{ID: g.ID, X: x, Y: y, Text: g.Text}
		}
		out = append(out, t)
	}
	return out
}
