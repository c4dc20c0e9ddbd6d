package layout

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
)

// labelPad keeps a label's ink off cuts and neighbours (common practice: half a millimetre is what a hand cuts beside a line).
const labelPad = measure.Millimetre / 2

// longestJob is how much of the job's title a label says, in characters.
const longestJob = 30

// Label writes on each piece what it is: the job's title, the page and the codes of its blocks, in the smallest readable type, on the
// smallest scrap that takes it, as near to the lead edge as it goes there. Where all that has no room the title is left out, and where
// that has none the piece goes without. Pages must have their numbers.
func Label(p *plan.Plan, title string, fonts *typeset.Library, s *config.Settings) {
	face, err := fonts.Face("Sans", false, false)
	if err != nil {
		return // a label is no reason for a job to fail
	}
	l := labeller{fonts: fonts, face: face, size: face.Legible(), settings: s}
	for _, piece := range p.Pieces {
		piece.Labels = nil
		what := strconv.Itoa(piece.Page) + " · " + strings.Join(codesOn(piece), " ")
		for _, text := range []string{shortened(title) + " " + what, what} {
			if label, ok := l.label(piece, text); ok {
				piece.Labels = append(piece.Labels, label)
				break
			}
		}
	}
}

// codesOn are the codes of a piece's blocks in reading order, each once: "MK-2 ×3" for three copies.
func codesOn(p *plan.Piece) []string {
	var codes []string
	copies := map[string]int{}
	for _, b := range p.Blocks() {
		if copies[b.Block.Code]++; copies[b.Block.Code] == 1 {
			codes = append(codes, b.Block.Code)
		}
	}
	for i, code := range codes {
		if n := copies[code]; n > 1 {
			codes[i] = code + " ×" + strconv.Itoa(n)
		}
	}
	return codes
}

func shortened(title string) string {
	if r := []rune(title); len(r) > longestJob {
		return string(r[:longestJob-1]) + "…"
	}
	return title
}

// labeller sets labels.
type labeller struct {
	fonts    *typeset.Library
	face     *typeset.Face
	size     measure.Length
	settings *config.Settings
}

// pitch is from one baseline to the next.
func (l *labeller) pitch() measure.Length { return l.size * 11 / 10 }

// label finds the place of a text on a piece.
func (l *labeller) label(p *plan.Piece, text string) (plan.Label, bool) {
	var scrap []measure.Rect
	for leaf := range p.Whole.Leaves {
		if leaf.Rest() && !leaf.Keep {
			scrap = append(scrap, leaf.Rect)
		}
	}
	slices.SortStableFunc(scrap, func(a, b measure.Rect) int { return cmp.Compare(a.Size().Area(), b.Size().Area()) })
	width := l.fonts.Advance(l.face, l.size, text)
	printable := l.printable(p)
	pad := measure.Same(labelPad + l.settings.Mark.Weight) // marks lie along the edges of scrap
	for _, r := range scrap {
		room := both(r.Inset(pad), printable)
		label, ok := l.in(room, text, width, false)
		if turned, also := l.in(room, text, width, true); also && (!ok || len(turned.Lines) < len(label.Lines)) {
			label, ok = turned, true
		}
		if ok {
			return label, true
		}
	}
	return plan.Label{}, false
}

// in sets a text, which is that wide in one line, at the upper left corner of a room, if it fits.
func (l *labeller) in(room measure.Rect, text string, width measure.Length, turned bool) (plan.Label, bool) {
	size := room.Size()
	if turned {
		size = size.Turn()
	}
	if size.W <= 0 || size.H < l.size/2 || width > size.W*(size.H/l.pitch()+2) { // no need to set it
		return plan.Label{}, false
	}
	lines := l.fonts.Paragraph(l.face, l.size, size.W, text)
	for i, spans := range lines {
		for _, span := range spans {
			for k := range span.Glyphs {
				span.Glyphs[k].Y += measure.Length(i) * l.pitch()
			}
		}
	}
	ink := l.fonts.Ink(lines)
	if ink.Empty() || !ink.Size().Within(size) {
		return plan.Label{}, false
	}
	for _, spans := range lines { // from the corner of the label
		for _, span := range spans {
			for k := range span.Glyphs {
				span.Glyphs[k].X -= ink.X
				span.Glyphs[k].Y -= ink.Y
			}
		}
	}
	out := plan.Label{Text: text, Lines: lines, Turned: turned, Rect: ink.Size().At(room.X, room.Y)}
	if turned {
		out.Rect = ink.Size().Turn().At(room.X, room.Y)
	}
	return out, true
}

// printable is what can be printed of a piece; one that rides lies wholly where its carrier can be printed.
func (l *labeller) printable(p *plan.Piece) measure.Rect {
	whole := p.Size().At(0, 0)
	if p.Carrier != nil {
		return whole
	}
	stock, _ := l.settings.Stock(p.Stock)
	for _, printer := range l.settings.Printers {
		if printer.Name == p.Printer {
			return whole.Inset(margins(printer, stock, whole.Size()))
		}
	}
	return measure.Rect{}
}

// both is what two rectangles share.
func both(a, b measure.Rect) measure.Rect {
	x, y := max(a.X, b.X), max(a.Y, b.Y)
	return measure.Rect{X: x, Y: y, W: min(a.Right(), b.Right()) - x, H: min(a.Bottom(), b.Bottom()) - y}
}
