package guide

import (
	"slices"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// picture is a piece, or a sheet to be cut into panels, drawn to scale, with the numbers of its cuts around it.
type picture struct {
	way     *account.Cutting
	wording func(*account.Part) wording
	num     int64 // the scale is num/den
	den     int64
	w       measure.Length // of the box
	rim     measure.Length // for numbers, on three sides
	height  measure.Length // with the rim, and one below where numbers stand there
	badges  []badge
	box     measure.Rect   // on the page
	x, y    measure.Length // of the piece's corner in it

	complete bool // every label says all that it should
}

// wording is what can be written on a part that is kept, from the fullest to the shortest; the first says all if full.
type wording struct {
	tries  [][]string
	begins string // how the block's text begins, below it where there is room; "" for what is no block
	least  int    // so much of each line behind the first must be there, in characters; nought: what an owner is known by
	full   bool
	turned bool
	style  style // of the first line
}

// badge is the number of a cut.
type badge struct {
	text string
	rect measure.Rect
}

var badgeStyle = smallB

// newPicture fits the picture of a way of cutting into a box, in no more than true size.
func newPicture(hand *hand, way *account.Cutting, words func(*account.Part) wording, w, h measure.Length) *picture {
	s := way.Whole.Rect.Size()
	widest := hand.advance(badgeStyle, strconv.Itoa(len(way.Lines)))
	pic := &picture{way: way, wording: words, w: w, rim: measure.Inch*14/100 + max(widest, measure.Inch*8/100), num: 1, den: 1}
	foot := measure.Inch / 24
	if slices.ContainsFunc(way.Steps, func(s account.Step) bool { return s.N > 0 && pic.side(&s) == below }) {
		foot = pic.rim
	}
	w, h = w-2*pic.rim, h-pic.rim-foot
	if s.W > w || s.H > h { // the smaller of w/s.W and h/s.H
		pic.num, pic.den = int64(w), int64(s.W)
		if int64(h)*int64(s.W) < int64(w)*int64(s.H) {
			pic.num, pic.den = int64(h), int64(s.H)
		}
	}
	pic.height = pic.scale(s.H) + pic.rim + foot
	return pic
}

// scale is a length of the piece in the picture. Neither factor is more than a sheet, so the product stays an int64.
func (pic *picture) scale(l measure.Length) measure.Length {
	return measure.Length(int64(l) * pic.num / pic.den)
}

// smallest is the smallest side of a block in the picture.
func (pic *picture) smallest() measure.Length {
	least := pic.w
	for _, s := range pic.way.Spots {
		least = min(least, pic.scale(min(s.Rect.W, s.Rect.H)))
	}
	return least
}

// rect is a rectangle of the piece on the page.
func (pic *picture) rect(r measure.Rect) measure.Rect {
	x, y := pic.scale(r.X), pic.scale(r.Y)
	return measure.Rect{X: pic.x + x, Y: pic.y + y, W: pic.scale(r.Right()) - x, H: pic.scale(r.Bottom()) - y}
}

// draw draws the picture with its rim's corner at left, top.
func (pic *picture) draw(p *pageWriter, left, top measure.Length) {
	w := pic.way
	whole := pic.scale(w.Whole.Rect.W)
	pic.box = measure.Rect{X: left, Y: top, W: pic.w, H: pic.height}
	pic.x, pic.y = left+(pic.w-whole)/2, top+pic.rim
	outline := pic.rect(w.Whole.Rect)

	var labels []label
	for q := range w.Whole.Leaves {
		if q.Rest() && !q.Keep {
			p.fill(pic.rect(q.Rect), pale)
			continue
		}
		labels = append(labels, fit(p, q, pic.rect(q.Rect), pic.wording(q)))
	}
	pic.drawNumbers(p, outline, labels)
	pic.complete = true
	for i, l := range labels {
		if slices.ContainsFunc(pic.badges, func(b badge) bool { return b.rect.Overlaps(l.box) }) { // the shortest will do
			short := pic.wording(l.of)
			short.full = short.full && len(short.tries) == 1
			short.tries = short.tries[len(short.tries)-1:]
			labels[i] = fit(p, l.of, pic.rect(l.of.Rect), short)
		}
		pic.complete = pic.complete && (labels[i].full || l.of.Rest())
	}
	lines := []cutLine{
		{outline.X, outline.Y, outline.Right(), outline.Y, false},
		{outline.X, outline.Bottom(), outline.Right(), outline.Bottom(), false},
		{outline.X, outline.Y, outline.X, outline.Bottom(), false},
		{outline.Right(), outline.Y, outline.Right(), outline.Bottom(), false},
	}
	for i := range w.Steps {
		lines = append(lines, pic.line(&w.Steps[i]))
	}
	for _, l := range lines {
		pic.stroke(p, l)
	}
	for _, b := range pic.badges {
		p.cell(b.rect.X, b.rect.Y+badgeStyle.size, b.rect.W, badgeStyle, b.text, toCentre)
	}
	for _, l := range labels {
		l.drawOn(p)
	}
}

// cutLine is the line of a cut on the page.
type cutLine struct {
	x1, y1, x2, y2 measure.Length
	dashed         bool
}

func (pic *picture) line(s *account.Step) cutLine {
	r := pic.rect(s.Of.Rect)
	if s.Of.Cut.Axis == plan.Down {
		x := pic.x + pic.scale(s.Of.Cut.At)
		return cutLine{x, r.Y, x, r.Bottom(), s.Measured()}
	}
	y := pic.y + pic.scale(s.Of.Cut.At)
	return cutLine{r.X, y, r.Right(), y, s.Measured()}
}

// stroke draws a line, open where a number stands on it.
func (pic *picture) stroke(p *pageWriter, l cutLine) {
	vertical := l.x1 == l.x2
	open := []measure.Stretch{{From: l.x1, To: l.x2}}
	if vertical {
		open[0] = measure.Stretch{From: l.y1, To: l.y2}
	}
	for _, b := range pic.badges {
		r := b.rect
		from, to := r.X, r.Right()
		if vertical {
			from, to = r.Y, r.Bottom()
			if l.x1 <= r.X || l.x1 >= r.Right() {
				continue
			}
		} else if l.y1 <= r.Y || l.y1 >= r.Bottom() {
			continue
		}
		open = measure.Without(open, measure.Stretch{From: from, To: to})
	}
	dash := measure.Length(0)
	if l.dashed {
		dash = 3 * measure.Point
	}
	for _, s := range open {
		if vertical {
			p.stroke(l.x1, s.From, l.x1, s.To, 3*measure.Point/4, black, dash)
		} else {
			p.stroke(s.From, l.y1, s.To, l.y1, 3*measure.Point/4, black, dash)
		}
	}
}
