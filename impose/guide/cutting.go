package guide

import (
	"slices"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
	"tuckmark/impose/press"
)

// cuttingGuide shows every piece with its cuts, those that are cut alike once. As many pieces stand on a page as it holds with pictures of the
// least size; then all pictures grow into the room that is left.
func (j *job) cuttingGuide(p *pageWriter) {
	p.explain(j.terms(), body)
	p.space(measure.Inch / 8)
	p.top = p.y                 // this page is as good as a new one
	j.begins = map[string]int{} // it is written twice where it does not fit below the run sheet
	var pictures pending
	bands := j.newBands(p)
	for len(bands) > 0 && !j.stopped() {
		n := fitting(bands, p.bottom()-p.y)
		switch {
		case n > 0:
			grow(bands[:n], p.bottom()-p.y)
			for i, b := range bands[:n] {
				if i > 0 {
					p.rule(p.left(), p.right(), p.y-bandGap/2, 3*measure.Point/4)
				}
				j.begin(p, b)
				b.write(p, &pictures)
			}
			bands = bands[n:]
		case p.y > p.top:
			p.open()
		default:
			if len(p.pages) == 1 { // below the words there is less room than on other pages
				if k := bands[0].splits(p.bottom() - p.y); k > 0 {
					pieces := bands[0].pieces
					bands = append([]*band{j.newBand(p, pieces[:k]), j.newBand(p, pieces[k:])}, bands[1:]...)
					bands[0].shrink()
					bands[1].shrink()
					continue
				}
			}
			j.begin(p, bands[0])
			bands[0].writeLong(p, &pictures)
			bands = bands[1:]
		}
	}
	pictures.put(p)
}

// begin notes on which page of the section a band begins.
func (j *job) begin(p *pageWriter, b *band) {
	stock := b.pieces[0].Stock
	if _, ok := j.begins[stock]; !ok {
		j.begins[stock] = len(p.pages) - 1
	}
}

// pending are pictures whose texts, some of which run down, stand behind the rows of their page in its reading order.
type pending []pendingTexts

type pendingTexts struct {
	at    int // page, from 0
	texts []press.Text
}

// draw draws a picture on the page that is written.
func (l *pending) draw(p *pageWriter, pic *picture, left, top measure.Length) {
	drawing := &pageWriter{hand: p.hand, size: p.size, pages: make([]press.Page, 1)}
	pic.draw(drawing, left, top)
	on, drawn := p.page(), drawing.page()
	on.Fills, on.Lines = append(on.Fills, drawn.Fills...), append(on.Lines, drawn.Lines...)
	*l = append(*l, pendingTexts{len(p.pages) - 1, drawn.Texts})
}

func (l pending) put(p *pageWriter) {
	for _, pic := range l {
		on := &p.pages[pic.at]
		on.Texts = append(on.Texts, pic.texts...)
	}
}

// fitting is how many of the bands, from the first on, fit so much room one below the other, with the pictures that take least.
func fitting(bands []*band, room measure.Length) (n int) {
	for ; n < len(bands); n++ {
		b := bands[n]
		if b.alone() {
			break
		}
		if room -= b.height(b.chosen); room < 0 {
			break
		}
		room -= bandGap
	}
	return n
}

// grow makes the pictures of bands that fit so much room larger, all alike as far as that goes, then one after the other. A larger picture says no
// less, so that its list is no longer; where it is after all, the picture stays as it is.
func grow(bands []*band, room measure.Length) {
	room += bandGap
	want := make([]int, len(bands))
	for i, b := range bands {
		room -= b.height(b.chosen) + bandGap
		want[i] = b.chosen
	}
	takes := func(b *band, size int) measure.Length { return b.with(b.tall(size), b.list(b.picture(b.chosen))) }
	for size := range sizes {
		for i, b := range bands {
			if size <= want[i] || b.tall(size) <= b.tall(want[i]) {
				continue
			}
			if more := takes(b, size) - takes(b, want[i]); more <= room {
				room -= more
				want[i] = size
			}
		}
	}
	for i, b := range bands {
		if b.height(want[i]) <= takes(b, want[i]) && !b.picture(want[i]).crowded {
			b.chosen = want[i]
		}
	}
}

// wording is a block's label: its place, code, owner and first words; where the picture is of pieces with different blocks there, the first words of
// each, in the order of the pages. Page numbers are not among it, for the guides are as long whatever these are; the list below has them, and the codes.
func (j *job) wording(pieces []*account.Piece, q *account.Part) wording {
	if q.Block == nil {
		return leftoverWording(q.Rect.Size().Down(j.unit))
	}
	place, b := account.Letter(q.First), q.Block
	var each, codes []string
	for _, p := range pieces {
		if len(each) > mostTold {
			break
		}
		if there := p.Spots[q.First-p.Spots[0].First].Block; !slices.Contains(codes, there.Code) {
			codes, each = append(codes, there.Code), append(each, account.Begins(there.Block))
		}
	}
	if len(each) > mostTold {
		return wording{tries: [][]string{{place}}, turned: b.Turned, style: smallB}
	} else if len(each) > 1 {
		return wording{tries: [][]string{{place}, {place}}, each: each, turned: b.Turned, style: smallB}
	}
	return wording{tries: [][]string{{place + " " + b.Code, b.Owner}, {place + " " + b.Code}, {place}}, begins: account.Begins(b.Block), full: true, turned: b.Turned, style: smallB}
}

// mostTold is how many pieces a picture tells apart within one place; the list below it has all.
const mostTold = 5

func leftoverWording(size string) wording {
	return wording{tries: [][]string{{"leftover", size}, {size}, {"keep"}}, full: true, style: small}
}
