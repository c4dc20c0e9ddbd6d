package guide

import (
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
)

// sortingList says for each owner which blocks go into the envelope, where they lie and what they are. An owner's blocks stay together in
// one column where they fit one.
func (j *job) sortingList(p *pageWriter) {
	p.y -= measure.Inch / 24
	p.para(p.left(), p.width(), body, "One envelope for each owner; the grey lines are labels for the envelopes. "+
		"A block lies on the page of the PDF that is named, in the place of that letter in the cutting guide's picture.")
	p.space(measure.Inch / 8)
	if p.width() >= wideEnough {
		p.part(2, 0)
	}
	e := j.envelopes(p)
	e.headings(p)
	b := j.Bill()
	pay := b.Pay()
	without := 0 // owners of whom nothing is printed, and for whose rows there is no room
	for i := range j.Owners {
		if j.stopped() {
			break
		}
		o := &j.Owners[i]
		if e.held >= mostHeld && len(o.Blocks) == 0 && pay[o.Name] == 0 {
			without++
			continue
		}
		e.envelope(p, o, pay[o.Name])
	}
	p.unpart()
	if without > 0 {
		p.para(p.left(), p.width(), body, "And "+problem.Count(without, "owner")+" of whom nothing is printed: the report's sheet Held back has what is held back.")
	}
}

// envelopes are the sorting list in the making.
type envelopes struct {
	*job
	columns []column
	held    int // rows that are listed as held back
}

func (j *job) envelopes(p *pageWriter) *envelopes {
	code := p.advance(bold, "XX-00")
	for i := range j.Owners {
		o := &j.Owners[i]
		for k := range o.Blocks {
			code = max(code, p.advance(bold, o.Blocks[k].Block.Code))
		}
		for _, h := range o.Held {
			code = max(code, p.advance(bold, h.Code))
		}
	}
	return &envelopes{job: j, columns: []column{
		{w: measure.Inch / 6, style: body, tick: true},
		{head: "Block", w: min(code, measure.Inch) + measure.Point, style: bold},
		{head: "Page", w: p.advance(bold, "0000"), style: bold, align: toRight},
		{head: "Place", w: measure.Inch * 36 / 100, style: bold},
		{head: "For page: begins", style: body},
	}}
}

// table is one for rows of the column that is written, with its headings or without.
func (e *envelopes) table(p *pageWriter, heads bool) *table {
	t := &table{x: margin, w: p.width(), pad: measure.Point / 2, columns: append([]column(nil), e.columns...)}
	t.resolve()
	if !heads {
		for i := range t.columns {
			t.columns[i].head = ""
		}
	}
	return t
}

// headings stand at the top of each column of the page.
func (e *envelopes) headings(p *pageWriter) {
	e.table(p, true).headings(p)
	p.space(measure.Inch / 24)
}

// envelope is one owner's label and blocks.
func (e *envelopes) envelope(p *pageWriter, o *account.Owner, pay int64) {
	t, where := e.table(p, false), e.table(p, false)
	where.columns[4].numbers = true
	type row struct {
		*table
		cells []string
		goes  bool // on in the next row, without a line between
	}
	var rows []row
	for _, copies := range o.Copied() {
		b, elsewhere := e.block(p, t, copies)
		rows = append(rows, row{t, b, elsewhere != ""})
		if elsewhere != "" {
			rows = append(rows, row{where, []string{"", "", "", "", elsewhere}, false})
		}
	}
	listed := o.Held[:max(0, min(len(o.Held), mostHeld-e.held))]
	e.held += len(listed)
	for _, h := range listed {
		rows = append(rows, row{t, []string{"", h.Code, "", "", "Held back: " + h.Why}, false})
	}
	if more := len(o.Held) - len(listed); more > 0 {
		rows = append(rows, row{t, []string{"", "", "", "", "Held back: " + strconv.Itoa(more) + " more, in the report's sheet Held back"}, false})
	}
	label := e.labelHeight(p, o, pay, "")
	whole, least := label+t.pad, label+t.pad
	for i, r := range rows {
		h := r.height(p, r.cells)
		if whole += h; i < 3 {
			least += h
		}
	}
	if p.top+whole > p.bottom() { // longer than a column: it begins where there is room for some of it
		whole = least
	}
	if p.need(whole) {
		e.headings(p)
	}
	e.label(p, o, pay, "")
	t.again = func() {
		e.headings(p)
		e.label(p, o, pay, ", continued")
	}
	where.again = t.again
	for _, r := range rows {
		r.open = r.goes
		r.row(p, r.cells...)
	}
	p.space(measure.Inch / 16)
}

// block is the row of a block and its copies, and where they lie if that is too long for it.
func (e *envelopes) block(p *pageWriter, t *table, copies []account.Spot) (cells []string, elsewhere string) {
	b := copies[0].Block
	var whole []string
	if n := len(copies); n > 1 {
		whole = append(whole, problem.Count(n, "copy|copies")+".")
	}
	if b.Page != "" {
		whole = append(whole, b.Page+":")
	}
	text := p.opening(body, strings.Join(whole, " "), account.Begins(b.Block), t.columns[4].w)
	where := account.Places(copies)
	if len(where) == 1 && len(where[0].Pages) == 1 && p.advance(bold, where[0].Places) <= t.columns[3].w {
		return []string{"x", b.Code, strconv.Itoa(where[0].Pages[0]), where[0].Places, text}, ""
	}
	var all []string
	for _, w := range where {
		all = append(all, pages(w.Pages)+" "+strings.ReplaceAll(w.Places, ", ", ",\u00a0"))
	}
	return []string{"x", b.Code, "", "", text}, strings.Join(all, "; ")
}

// label is the line to put on the envelope; what is in it stands on a line of its own where the name leaves no room.
func (e *envelopes) label(p *pageWriter, o *account.Owner, pay int64, more string) {
	h := e.labelHeight(p, o, pay, more)
	p.fill(measure.Rect{X: p.left(), Y: p.y, W: p.width(), H: h}, tint)
	y := p.y + labelPad + heading.size
	p.tick(p.left()+labelPad, y-heading.size, heading)
	lines, inside, beside := e.labelled(p, o, pay, more)
	for i, l := range lines {
		p.text(p.left()+labelIndent, y+measure.Length(i)*heading.line(), heading, l)
	}
	if !beside {
		y += measure.Length(len(lines)-1)*heading.line() + body.line() + 2*measure.Point
	}
	p.text(p.right()-labelPad-p.advance(body, inside), y, body, inside)
	p.y += h
}

const (
	labelPad    = measure.Inch / 36
	labelIndent = measure.Inch * 3 / 10
)

// labelled is what a label says: the name in lines, and what is inside, beside the name or below it.
func (e *envelopes) labelled(p *pageWriter, o *account.Owner, pay int64, more string) (lines []string, inside string, beside bool) {
	room := p.width() - labelIndent - labelPad
	lines = p.breakLines(heading, named(o.Name)+more, room)
	inside = problem.Count(len(o.Blocks), "block")
	if pay > 0 {
		inside += ", " + e.Settings.Amount(pay)
	}
	if n := len(o.Held); n > 0 {
		inside += ", " + strconv.Itoa(n) + " held back"
	}
	return lines, inside, len(lines) == 1 && p.advance(heading, lines[0])+measure.Inch/8+p.advance(body, inside) <= room
}

func (e *envelopes) labelHeight(p *pageWriter, o *account.Owner, pay int64, more string) measure.Length {
	lines, _, beside := e.labelled(p, o, pay, more)
	h := measure.Length(len(lines))*heading.line() + 2*labelPad - 2*measure.Point
	if !beside {
		h += body.line()
	}
	return h
}

// named is an owner as the lists show them.
func named(owner string) string {
	if owner == "" {
		return "(no name)"
	}
	return owner
}
