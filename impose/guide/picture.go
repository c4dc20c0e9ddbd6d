package guide

import (
	"slices"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// picture is a piece, or a sheet to be cut into panels, to scale, with the numbers of its cuts around it. All is measured from the upper
// left corner of its rim.
type picture struct {
	way     *account.Cutting
	steps   []*account.Step // that are numbered
	wording func(*account.Part) wording
	num     int64 // the scale is num/den
	den     int64
	size    measure.Size // with the rim
	rim     measure.Sides
	outline measure.Rect // of the piece
	labels  []label
	badges  []badge
	leaders []cutLine // from numbers to their cuts

	untold  []*account.Part // blocks whose labels do not say all that they should
	crowded bool            // a block has no label at all, or numbers touch
}

// The numbers of cuts are white on black, so that they are not taken for what is written on the blocks.
var badgeStyle = style{true, 9 * measure.Point, white}

const badgeH = 10 * measure.Point

// badge is the number of a cut.
type badge struct {
	text string
	rect measure.Rect
}

// draw draws a number in its box.
func (b badge) draw(p *pageWriter) {
	p.fill(b.rect, black)
	p.cell(b.rect.X, b.rect.Y+badgeH*83/100, b.rect.W, badgeStyle, b.text, toCentre)
}

// badgeWidth is the width of the box of a number.
func badgeWidth(p *pageWriter, text string) measure.Length {
	return p.advance(badgeStyle, text) + 4*measure.Point
}

// newPicture fits the picture of a way of cutting into a box, in no more than true size, with the numbers of those lines.
func newPicture(hand *hand, way *account.Cutting, lines []account.Line, words func(*account.Part) wording, w, h measure.Length) *picture {
	p := &pageWriter{hand: hand}
	pic := &picture{way: way, wording: words}
	for i := range lines {
		pic.steps = append(pic.steps, lines[i].Step)
	}
	rim := pic.rims(p)
	pic.rim = rim
	s := way.Whole.Rect.Size()
	pic.num, pic.den = scaled(s, rim, w, h)
	pic.outline = measure.Rect{X: rim.Left, Y: rim.Top, W: pic.scale(s.W), H: pic.scale(s.H)}
	pic.size = measure.Size{W: pic.outline.Right() + rim.Right, H: pic.outline.Bottom() + rim.Bottom}

	for q := range way.Whole.Leaves {
		if !q.Rest() || q.Keep {
			pic.labels = append(pic.labels, fit(p, q, pic.rect(q.Rect), words(q)))
		}
	}
	pic.placeNumbers(p)
	for i := range pic.labels {
		l := &pic.labels[i]
		pic.clear(p, l)
		if !l.of.Rest() && !l.full {
			pic.untold = append(pic.untold, l.of)
		}
		pic.crowded = pic.crowded || !l.of.Rest() && len(l.lines) == 0
	}
	for i, b := range pic.badges {
		pic.crowded = pic.crowded || slices.ContainsFunc(pic.badges[:i], func(o badge) bool { return o.rect.Overlaps(b.rect) })
	}
	return pic
}

// scaled is the scale with which a piece and its rim fit a box, the smaller of both factors, and no more than true size.
func scaled(s measure.Size, rim measure.Sides, w, h measure.Length) (num, den int64) {
	room := measure.Size{W: w - rim.Left - rim.Right, H: h - rim.Top - rim.Bottom}
	switch {
	case s.Within(room):
		return 1, 1
	case int64(room.H)*int64(s.W) < int64(room.W)*int64(s.H):
		return int64(room.H), int64(s.H)
	}
	return int64(room.W), int64(s.W)
}

// rims is what numbers take around the piece.
func (pic *picture) rims(p *pageWriter) measure.Sides {
	const leader, none = measure.Inch * 9 / 100, measure.Inch / 24
	rim := measure.Same(none)
	for _, s := range pic.steps {
		w := leader + pic.widestNumber(p)
		switch pic.side(s) {
		case above:
			rim.Top = leader + badgeH
		case below:
			rim.Bottom = leader + badgeH
		case before:
			rim.Left = w
		case behind:
			rim.Right = w
		}
	}
	return rim
}

// widestNumber is the width of the boxes of numbers.
func (pic *picture) widestNumber(p *pageWriter) measure.Length {
	return badgeWidth(p, strconv.Itoa(len(pic.way.Lines)))
}

// clear keeps a label free of numbers: it goes aside in its part, says less, or is left out.
func (pic *picture) clear(p *pageWriter, l *label) {
	free := func(l *label) bool {
		return !slices.ContainsFunc(pic.badges, func(b badge) bool { return b.rect.Overlaps(l.box) })
	}
	r := pic.rect(l.of.Rect)
	words := pic.wording(l.of)
	for {
		centred := l.box
		for _, at := range [][2]measure.Length{{1, 1}, {1, 0}, {1, 2}, {0, 1}, {2, 1}, {0, 0}, {2, 0}, {0, 2}, {2, 2}} { // halves of the room across and down
			l.box = centred
			if at != [2]measure.Length{1, 1} {
				l.box.X = r.X + labelInset + (r.W-2*labelInset-l.box.W)*at[0]/2
				l.box.Y = r.Y + labelInset + (r.H-2*labelInset-l.box.H)*at[1]/2
			}
			if free(l) {
				return
			}
		}
		if words.begins == "" {
			words.full, words.each, words.tries = false, nil, words.tries[1:]
		}
		words.begins = ""
		*l = fit(p, l.of, r, words)
	}
}

const labelInset = measure.Inch / 24 // from a part's edge to a label that is not in its middle

// scale is a length of the piece in the picture. Neither factor is more than a sheet, so the product stays an int64.
func (pic *picture) scale(l measure.Length) measure.Length {
	return measure.Length(int64(l) * pic.num / pic.den)
}

// rect is a rectangle of the piece in the picture.
func (pic *picture) rect(r measure.Rect) measure.Rect {
	x, y := pic.scale(r.X), pic.scale(r.Y)
	return measure.Rect{X: pic.outline.X + x, Y: pic.outline.Y + y, W: pic.scale(r.Right()) - x, H: pic.scale(r.Bottom()) - y}
}

// draw draws the picture with its rim's corner at left, top.
func (pic *picture) draw(p *pageWriter, left, top measure.Length) {
	for q := range pic.way.Whole.Leaves {
		if q.Rest() && !q.Keep {
			p.fill(pic.rect(q.Rect).Move(left, top), pale)
		}
	}
	o := pic.outline
	lines := []cutLine{
		{o.X, o.Y, o.Right(), o.Y, false},
		{o.X, o.Bottom(), o.Right(), o.Bottom(), false},
		{o.X, o.Y, o.X, o.Bottom(), false},
		{o.Right(), o.Y, o.Right(), o.Bottom(), false},
	}
	if pic.way.Outlined {
		lines = append(lines, pic.outlines()...)
	}
	for i := range pic.way.Steps {
		lines = append(lines, pic.line(&pic.way.Steps[i]))
	}
	stroke := func(l cutLine, weight measure.Length) {
		dash := measure.Length(0)
		if l.dashed {
			dash = 3 * measure.Point
		}
		p.stroke(l.x1+left, l.y1+top, l.x2+left, l.y2+top, weight, black, dash)
	}
	for _, l := range lines {
		stroke(l, 3*measure.Point/4)
	}
	for _, l := range pic.leaders {
		stroke(l, hairline)
	}
	for _, b := range pic.badges {
		b.rect = b.rect.Move(left, top)
		b.draw(p)
	}
	for _, l := range pic.labels {
		l.drawOn(p, left, top)
	}
}

// cutLine is the line of a cut in the picture.
type cutLine struct {
	x1, y1, x2, y2 measure.Length
	dashed         bool
}

func (pic *picture) line(s *account.Step) cutLine {
	r := pic.rect(s.Of.Rect)
	if s.Of.Cut.Axis == plan.Down {
		x := pic.outline.X + pic.scale(s.Of.Cut.At)
		return cutLine{x, r.Y, x, r.Bottom(), s.Measured()}
	}
	y := pic.outline.Y + pic.scale(s.Of.Cut.At)
	return cutLine{r.X, y, r.Right(), y, s.Measured()}
}
