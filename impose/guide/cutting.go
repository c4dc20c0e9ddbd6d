package guide

import (
	"fmt"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/press"
)

// The picture of a piece is as large as fits a box of pictureW x pictureH, higher where the list of cuts to its right is.
// A piece of many small blocks gets a page, with the list behind it.
const (
	pictureW = 27 * measure.Inch / 10
	pictureH = 5 * measure.Inch / 2
	mostH    = 5 * measure.Inch
	toldH    = 7 * measure.Inch / 2 // where it tells several pieces apart

	mostBeside = 45               // cuts in a picture beside its list
	leastShown = measure.Inch / 9 // side of a block that a letter can stand in
)

// cuttingGuide shows every piece with its cuts, those that are cut alike once.
func (j *job) cuttingGuide(p *pageWriter) {
	p.y -= measure.Inch / 16
	p.para(p.left(), p.width(), body, "Pictures are to scale, the printed side up, the edge that entered the printer first on top. "+
		"Cut in the order of the numbers. Lay the edge that is named under “Fence” against the fence, set the measure, cut from edge to edge. "+
		"Where it says mark, cut along the printed mark so that it stays on the waste, and take the measure as a check. "+
		"Dashed lines carry no mark: measure. Skip a cut that says so: the part is to size but for a hair. "+
		"Where a line says how often, cut so many times, one after the other, with one setting; where it says how many parts are alike, cut each so. Grey is scrap.")
	p.space(measure.Inch / 8)
	j.bands, j.begins = nil, map[string]int{} // it is written twice where it does not fit below the run sheet
	// The texts of the pictures, some of which run down, stand behind the rows of their page in its reading order.
	type picked struct {
		at    int
		texts []press.Text
	}
	var pictures []picked
	for i := range j.Groups {
		if j.stopped() {
			return
		}
		g := &j.Groups[i]
		j.band(p, i, g, func(drawn *press.Page) {
			on := p.page()
			on.Fills, on.Lines = append(on.Fills, drawn.Fills...), append(on.Lines, drawn.Lines...)
			pictures = append(pictures, picked{len(p.pages) - 1, drawn.Texts})
		})
		if _, ok := j.begins[g.Pieces[0].Stock]; !ok {
			j.begins[g.Pieces[0].Stock] = j.bands[i]
		}
	}
	for _, pic := range pictures {
		on := &p.pages[pic.at]
		on.Texts = append(on.Texts, pic.texts...)
	}
}

// band is one group: heading, picture, the list of cuts, and who is where if the picture does not say. The picture is given
// to late.
func (j *job) band(p *pageWriter, i int, g *account.Group, late func(*press.Page)) {
	first := g.Pieces[0]
	w := first.Cutting
	title, room := "Page "+account.Ranges(g.Pages()), p.width()*55/100
	if len(g.Pieces) > 1 {
		title = "Pages " + account.Ranges(g.Pages())
	}
	lines := p.breakLines(heading, title, room)
	head := heading.line()*measure.Length(max(len(lines), len(p.breakLines(heading, widest(title), room)))) + measure.Inch/12
	var remarks []string
	if len(g.Pieces) > 1 {
		remarks = append(remarks, "Cut alike: stack them if your trimmer allows, marks exactly over each other.")
		if n := j.Settings.Trimmer.Stack; n > 1 {
			remarks[0] = fmt.Sprintf("Cut alike: up to %d in a stack, marks exactly over each other; then parts that are alike in stacks as well.", n)
		}
	}
	if stock, _ := j.Settings.Stock(first.Stock); stock.Mirror {
		remarks = append(remarks, "Printed mirrored: lay it with the printed side down.")
	}
	head += small.line() * measure.Length(len(remarks))
	list := measure.Length(len(w.Lines)) * (strong.line() + 2*measure.Point)
	words := func(q *account.Part) wording { return j.wording(g, q) }
	high := measure.Length(pictureH)
	if n := len(g.Pieces); n > 1 && n <= mostTold {
		high = toldH
	}
	pic := newPicture(p.hand, w, words, pictureW, min(max(list, high), mostH))
	alone := len(w.Lines) > mostBeside || pic.smallest() < leastShown
	need := max(pic.height, min(list, 4*measure.Inch)+measure.Inch/3)
	if alone {
		room := p.bottom() - p.y - measure.Inch/4 - head
		if room < p.size.H/2 { // on a page of its own
			room = p.bottom() - margin - measure.Inch*3/4 - head
		}
		pic = newPicture(p.hand, w, words, p.width(), room)
		need = pic.height
	}
	if begun := p.y; !p.need(head+need+measure.Inch/4) && i > 0 && begun > margin+measure.Inch {
		p.rule(p.left(), p.right(), p.y, 3*measure.Point/4)
		p.space(measure.Inch / 8)
	}
	j.bands = append(j.bands, len(p.pages)-1)

	noun, which := j.source(first.Piece)
	p.cell(p.left()+room, p.y+heading.size, p.width()-room, body, first.Stock+", "+noun+" "+which, toRight)
	top := p.y + head
	for _, l := range lines {
		p.text(p.left(), p.y+heading.size, heading, l)
		p.y += heading.line()
	}
	for i, r := range remarks {
		y := top - measure.Inch/12 - small.line()*measure.Length(len(remarks)-i)
		p.text(p.left(), y+small.size, small, r)
	}
	p.y = top
	onPage := len(p.pages)
	drawing := &pageWriter{hand: p.hand, size: p.size, pages: make([]press.Page, 1)}
	pic.draw(drawing, p.left(), top)
	late(drawing.page())
	x := p.left() + pictureW + measure.Inch/5
	if alone {
		p.y += pic.height
		x, onPage = p.left(), 0
	}
	if len(w.Steps) == 0 {
		p.text(x, p.y+body.size, body, "No cut: the piece is the block.")
		p.y += body.line()
	} else {
		j.cuts(p, w, x)
	}
	listed := pic.complete
	if len(p.pages) == onPage {
		under := top + pic.height + measure.Inch/12
		end := under + measure.Length(len(w.Spots))*small.line()
		if !listed && len(g.Pieces) == 1 && end <= p.bottom() { // beside the list of cuts there is room for it
			j.legend(p, first, under)
			under, listed = end, true
		}
		p.y = max(p.y, under)
	}
	if !listed {
		p.space(measure.Inch / 12)
		j.places(p, g)
	}
	p.space(measure.Inch / 8)
}

// mostTold is how many pieces a picture tells apart within one place; the list below it has all.
const mostTold = 5

// wording is a block's label: its place, code, owner and first words; where the picture is of pieces with different blocks there, the first words of
// each, in the order of the pages. Page numbers are not among it, for the guides are as long whatever these are; the list below has them, and the codes.
func (j *job) wording(g *account.Group, q *account.Part) wording {
	if q.Block == nil {
		return leftoverWording(q.Rect.Size().Down(j.unit))
	}
	place, b := account.Letter(q.First), q.Block
	var each, codes []string
	for _, p := range g.Pieces {
		if there := p.Spots[q.First-p.Spots[0].First].Block; !slices.Contains(codes, there.Code) {
			codes, each = append(codes, there.Code), append(each, account.Begins(there.Block))
		}
	}
	if len(each) > mostTold {
		return wording{tries: [][]string{{place}}, turned: b.Turned, style: smallB}
	} else if len(each) > 1 {
		return wording{tries: [][]string{append([]string{place}, each...), {place}}, least: leastBegins, turned: b.Turned, style: smallB}
	}
	return wording{tries: [][]string{{place + " " + b.Code, b.Owner}, {place + " " + b.Code}, {place}}, begins: account.Begins(b.Block), full: true, turned: b.Turned, style: smallB}
}

func leftoverWording(size string) wording {
	return wording{tries: [][]string{{"leftover", size}, {size}, {"keep"}}, full: true, style: small}
}

// cuts is the list of a piece's cuts, from x to the right margin.
func (j *job) cuts(p *pageWriter, w *account.Cutting, x measure.Length) {
	t := &table{x: x, w: p.right() - x, pad: measure.Point, columns: []column{
		{head: "Cut", w: measure.Inch * 27 / 100, style: smallB, one: true},
		{head: "Take", w: measure.Inch * 73 / 100, style: small, one: true},
		{head: "Fence", w: measure.Inch * 44 / 100, style: small, one: true},
		{head: "Set to", w: measure.Inch * 85 / 100, style: strong, one: true},
		{head: "", w: measure.Inch * 44 / 100, style: smallB, one: true},
		{head: "Line", w: measure.Inch * 50 / 100, style: small, one: true},
		{head: "Gives", style: small, one: true},
	}}
	t.start(p)
	for i := range w.Lines {
		l := &w.Lines[i]
		t.row(p, strconv.Itoa(l.N), w.Take(l), l.Step.Side(), l.Step.Set.About(j.unit.Ruler()), l.Often(), l.Step.FoundBy(), l.Gives())
	}
}

// legend says under a picture which block lies in which place, and how it begins.
func (j *job) legend(p *pageWriter, q *account.Piece, y measure.Length) {
	x, code := p.left()+measure.Inch/4, measure.Length(0)
	for i := range q.Spots {
		code = max(code, p.advance(small, q.Spots[i].Block.Code))
	}
	code = min(code, measure.Inch)
	for i := range q.Spots {
		b := q.Spots[i].Block
		base := y + small.size
		p.cell(p.left(), base, x-p.left(), smallB, account.Letter(q.Spots[i].First), toLeft)
		p.cell(x, base, code+measure.Point, small, b.Code, toLeft)
		p.cell(x+code+gutter, base, p.left()+pictureW-x-code-gutter, small, b.Owner+": "+account.Begins(b.Block), toLeft)
		y += small.line()
	}
}

// places says which block lies in which place on each page of a group.
func (j *job) places(p *pageWriter, g *account.Group) {
	t := &table{x: p.left(), w: p.width(), pad: 3 * measure.Point / 2, columns: []column{
		{head: "Page", w: measure.Inch / 2, style: smallB, one: true},
		{head: "Blocks by place", style: small},
	}}
	t.start(p)
	for _, q := range g.Pieces {
		var texts []string
		for _, run := range account.Runs(q.ByPlace()) {
			place, b := run[0].Place(), run[0].Block
			if len(run) > 1 {
				place += "–" + run[len(run)-1].Place()
			}
			texts = append(texts, place+"\u00a0"+b.Code+" "+b.Owner+": "+beginning(account.Begins(b.Block)))
		}
		t.row(p, strconv.Itoa(q.Page), strings.Join(texts, ";  "))
	}
}

// beginning is enough of a text to know it again.
func beginning(text string) string {
	const enough = 28
	if r := []rune(text); len(r) > enough {
		return strings.TrimRight(string(r[:enough-1]), " ") + "…"
	}
	return text
}
