package proof

import (
	"cmp"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/draw"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

// The measures of the plain-paper pages.
const (
	paperMargin = measure.Inch / 4 // what home printers leave (common practice)
	paperGap    = measure.Inch / 8 // between shelves
	labelSize   = 7 * measure.Point
	labelHeight = 11 * measure.Point // above its block
	hairline    = measure.Point / 2
)

// Pages are the blocks at true size on plain paper, outlined, several to a page, to cut out and hold against the page. Each
// person's come together. A block that fits the paper neither way has a page of its own size.
func Pages(in Input) []press.Page {
	p := plainPaper{in: in, paper: in.Settings.Guide}
	if p.in.Font == nil {
		p.in.Font = new(draw.Drawer).Font
	}
	face, err := in.Fonts.Face("Sans", false, false)
	if err != nil {
		panic("proof: the library has no plain face: " + err.Error())
	}
	p.face = face
	order := make([]*typeset.Setting, 0, len(in.Set))
	for i := range in.Set {
		order = append(order, &in.Set[i])
	}
	slices.SortStableFunc(order, func(a, b *typeset.Setting) int {
		return cmp.Compare(strings.ToLower(a.Block.Owner), strings.ToLower(b.Block.Owner))
	})
	for _, s := range order {
		p.shelve(s)
	}
	return p.draw()
}

// plainPaper fills pages with shelves from the top. Neighbours on a shelf share an edge: nothing here is cut by machine.
type plainPaper struct {
	in      Input
	face    *typeset.Face
	paper   measure.Size
	pages   []sheetOfBlocks
	shelves []shelf // of the last page; only the last may grow in height
}

type shelf struct{ x, y, height measure.Length } // x: the free end

// placed is a block where it lies on the page.
type placed struct {
	set    *typeset.Setting
	rect   measure.Rect
	turned bool
}

type sheetOfBlocks struct {
	size   measure.Size
	blocks []placed
}

// shelve puts a block on the first shelf that has room for it, turned if need be, else on a new one.
func (p *plainPaper) shelve(s *typeset.Setting) {
	trim := s.Block.Trim()
	right, bottom := p.paper.W-paperMargin, p.paper.H-paperMargin
	for i := range p.shelves {
		at := &p.shelves[i]
		last := i == len(p.shelves)-1
		for _, size := range []measure.Size{trim, trim.Turn()} {
			height := labelHeight + size.H
			if at.x+size.W > right || at.y+height > bottom || height > at.height && (!last || size != trim && height > at.height+trim.H) {
				continue
			}
			p.add(s, size, at.x, at.y+labelHeight, size != trim)
			at.x, at.height = at.x+size.W, max(at.height, height)
			return
		}
	}
	room := measure.Size{W: right - paperMargin, H: bottom - paperMargin - labelHeight}
	size := trim
	if !trim.Within(room) && trim.Turn().Within(room) {
		size = trim.Turn()
	}
	if !size.Within(room) {
		p.pages = append(p.pages, sheetOfBlocks{size: measure.Size{W: size.W + 2*paperMargin, H: size.H + 2*paperMargin + labelHeight}})
		p.add(s, size, paperMargin, paperMargin+labelHeight, false)
		p.shelves = nil
		return
	}
	y := paperMargin
	if n := len(p.shelves); n > 0 {
		y = p.shelves[n-1].y + p.shelves[n-1].height + paperGap
	}
	if len(p.shelves) == 0 || y+labelHeight+size.H > bottom {
		p.pages = append(p.pages, sheetOfBlocks{size: p.paper})
		p.shelves, y = nil, paperMargin
	}
	p.add(s, size, paperMargin, y+labelHeight, size != trim)
	p.shelves = append(p.shelves, shelf{paperMargin + size.W, y, labelHeight + size.H})
}

func (p *plainPaper) add(s *typeset.Setting, size measure.Size, x, y measure.Length, turned bool) {
	last := &p.pages[len(p.pages)-1]
	last.blocks = append(last.blocks, placed{s, size.At(x, y), turned})
}

// draw has the blocks drawn by the same hand as the print, and adds outlines and labels.
func (p *plainPaper) draw() []press.Page {
	var out []press.Page
	d := &draw.Drawer{}
	for _, s := range p.pages {
		page := press.Page{Title: s.blocks[0].set.Block.Code, Size: s.size}
		if n := len(s.blocks); n > 1 {
			page.Title += " to " + s.blocks[n-1].set.Block.Code
		}
		for _, b := range s.blocks {
			page.Texts = append(page.Texts, d.Block(b.set, b.rect, b.turned)...)
		}
		for _, b := range s.blocks {
			p.outline(&page, b)
			p.drawLabel(&page, d, b)
		}
		out = append(out, page)
	}
	return out
}

// outline draws the edges of a block and, dashed, where its tuck begins.
func (p *plainPaper) outline(page *press.Page, b placed) {
	r, grey := b.rect, config.Colour{R: 0x60, G: 0x60, B: 0x60}
	line := func(x1, y1, x2, y2, dash measure.Length) {
		page.Lines = append(page.Lines, press.Line{X1: x1, Y1: y1, X2: x2, Y2: y2, Weight: hairline, Colour: grey, Dash: dash})
	}
	line(r.X, r.Y, r.Right(), r.Y, 0)
	line(r.X, r.Bottom(), r.Right(), r.Bottom(), 0)
	line(r.X, r.Y, r.X, r.Bottom(), 0)
	line(r.Right(), r.Y, r.Right(), r.Bottom(), 0)
	tuck := b.set.Block.Tuck
	if b.turned {
		tuck = tuck.Turn()
	}
	space := r.Inset(tuck)
	const dash = 3 * measure.Point
	if tuck.Top > 0 {
		line(r.X, space.Y, r.Right(), space.Y, dash)
	}
	if tuck.Bottom > 0 {
		line(r.X, space.Bottom(), r.Right(), space.Bottom(), dash)
	}
	if tuck.Left > 0 {
		line(space.X, r.Y, space.X, r.Bottom(), dash)
	}
	if tuck.Right > 0 {
		line(space.Right(), r.Y, space.Right(), r.Bottom(), dash)
	}
}

// drawLabel writes code, owner and page above a block, as much of it as is no wider than the block.
func (p *plainPaper) drawLabel(page *press.Page, d *draw.Drawer, b placed) {
	block := b.set.Block
	tries := []string{block.Code + "  " + block.Owner + "  " + block.Page, block.Code + "  " + block.Owner, block.Code}
	for i, text := range tries {
		spans, width := p.in.Fonts.Label(p.face, labelSize, strings.TrimSpace(text))
		if width > b.rect.W && i < len(tries)-1 {
			continue
		}
		for _, span := range spans {
			t := press.Text{Font: d.Font(span.Face), Size: span.Size, Glyphs: make([]press.Glyph, len(span.Glyphs))}
			for k, g := range span.Glyphs {
				t.Glyphs[k] = press.Glyph{ID: g.ID, X: b.rect.X + g.X, Y: b.rect.Y - 3*measure.Point + g.Y, Text: g.Text}
			}
			page.Texts = append(page.Texts, t)
		}
		return
	}
}
