package guide

import (
	"fmt"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
)

// sortingList says for each owner which blocks go into the envelope, what they are and where they lie.
func (j *job) sortingList(p *pageWriter) {
	p.y -= measure.Inch / 16
	p.para(p.left(), p.width(), body, "One envelope for each owner. A block's place is its letter in the cutting guide's picture of the page. "+
		"The grey lines are labels for the envelopes.")
	p.space(measure.Inch / 8)
	b := j.Bill()
	pay := b.Pay()
	for i := range j.Owners {
		j.envelope(p, &j.Owners[i], pay[j.Owners[i].Name])
	}
}

// envelope is one owner's label and blocks.
func (j *job) envelope(p *pageWriter, o *account.Owner, pay int64) {
	label := heading.line() + measure.Inch/8
	p.need(label + faint.line() + 3*(body.line()+4*measure.Point))
	name := named(o.Name)
	head := func(text string) {
		p.fill(measure.Rect{X: p.left(), Y: p.y, W: p.width(), H: label}, tint)
		base := p.y + measure.Inch/16 + heading.size
		p.tick(p.left()+measure.Inch/10, base-heading.size, heading)
		x := p.left() + measure.Inch*4/10
		right := problem.Count(len(o.Blocks), "block")
		if pay > 0 {
			right += ", " + j.Settings.Amount(pay)
		}
		if n := len(o.Held); n > 0 {
			right += ", " + strconv.Itoa(n) + " held back"
		}
		if j.Title != "" {
			right += "  ·  " + p.short(body, j.Title, p.width()*4/10)
		}
		w := p.advance(body, right)
		p.cell(x, base, p.right()-measure.Inch/4-w-x, heading, text, toLeft)
		p.cell(p.right()-w-measure.Inch/10, base, w+measure.Point, body, right, toLeft)
		p.y += label
	}
	head(name)
	t := &table{x: p.left(), w: p.width(), pad: 2 * measure.Point, columns: []column{
		{w: measure.Inch / 6, style: body, tick: true},
		{head: "Block", w: measure.Inch * 9 / 10, style: bold},
		{head: "For page", w: measure.Inch * 12 / 10, style: body},
		{head: "Begins", style: body, one: true},
		{head: "Stock", w: measure.Inch * 11 / 10, style: body, one: true},
		{head: "PDF page", w: measure.Inch * 65 / 100, style: body, one: true, align: toRight},
		{head: "Place", w: measure.Inch * 45 / 100, style: bold, align: toCentre},
	}}
	t.again = func() { head(name + ", continued") }
	p.space(measure.Inch / 24)
	t.start(p)
	for _, run := range account.Runs(o.Blocks, true) {
		b, last := &run[0], &run[len(run)-1]
		code, place := b.Block.Code, b.Place()
		switch {
		case b != last:
			code += fmt.Sprintf(", copies %d–%d", b.Block.Copy, last.Block.Copy)
			place += "–" + last.Place()
		case b.Copies > 1:
			code += ", copy " + strconv.Itoa(b.Block.Copy)
		}
		t.row(p, "x", code, b.Block.Page, account.Begins(b.Block.Block), b.Piece.Stock, strconv.Itoa(b.Piece.Page), place)
	}
	for _, h := range o.Held {
		t.row(p, "", h.Code, "", "Held back: "+h.Why, "", "", "")
	}
	p.space(measure.Inch / 5)
}

// named is an owner as the lists show them.
func named(owner string) string {
	if owner == "" {
		return "(no name)"
	}
	return owner
}
