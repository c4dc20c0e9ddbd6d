package guide

import (
	"slices"
	"strconv"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
)

// sizes are the heights that a picture is tried in, unless the list of cuts beside it is higher.
var sizes = []measure.Length{measure.Inch * 5 / 2, measure.Inch * 11 / 4, measure.Inch * 3, measure.Inch * 13 / 4, measure.Inch * 7 / 2, measure.Inch * 4,
	measure.Inch * 9 / 2, measure.Inch * 5, measure.Inch * 6, measure.Inch * 7, measure.Inch * 8}

const bandGap = measure.Inch * 18 / 100

// band is pieces that are cut alike: a heading, the picture with the list of the cuts to its right, and below, as far as the picture does not
// say it, which block lies where.
type band struct {
	*job
	p      *pageWriter // to measure with
	pieces []*account.Piece
	words  func(*account.Part) wording
	paper  []string       // the second line of the heading, or the end of the first
	beside bool           // it stands on the first
	head   measure.Length // of the heading, which is as wide as the picture's column
	cuts   *table
	rows   [][]string // of the cuts
	cutsH  measure.Length
	column measure.Length // width of the picture's
	room   measure.Length // of a page of its own

	chosen   int // of the sizes
	pictures map[measure.Length]*picture
	lists    map[*picture]*blockList
	places   []*blockList // the list in every place, if it is the same for every picture
}

// newBands makes a band of every group of pieces, or several where one page does not hold the list of its blocks.
func (j *job) newBands(p *pageWriter) (out []*band) {
	for i := range j.Groups {
		all := j.Groups[i].Pieces
		var least leastLists
		for n := 1; ; n++ {
			if j.stopped() {
				return out
			}
			if n == 2 {
				least = j.newLeastLists(p, all)
			}
			if n > 1 && n < len(all) && !least.mayFit(n, bandRoom(p)) {
				continue
			}
			var parts []*band
			fit := true
			for k := range n {
				if j.stopped() {
					return out
				}
				b := j.newBand(p, all[k*len(all)/n:(k+1)*len(all)/n])
				b.shrink()
				parts = append(parts, b)
				if fit = b.height(b.chosen) <= b.room; !fit {
					break
				}
			}
			if fit || n == len(all) || parts[0].cutsH > parts[0].room*2/3 {
				out = append(out, parts...)
				break
			}
		}
	}
	return out
}

// bandRoom is what a band that stands alone has of a page.
func bandRoom(p *pageWriter) measure.Length { return p.bottom() - margin - measure.Inch/2 }

func (j *job) newBand(p *pageWriter, pieces []*account.Piece) *band {
	b := &band{job: j, p: p, pieces: pieces, pictures: map[measure.Length]*picture{}, lists: map[*picture]*blockList{}}
	b.room = bandRoom(p)
	known := map[*account.Part]wording{}
	b.words = func(q *account.Part) wording {
		w, ok := known[q]
		if !ok {
			w = j.wording(pieces, q)
			known[q] = w
		}
		return w
	}
	first := pieces[0]
	noun, which := j.source(first.Piece)

	w := first.Cutting
	if w.Outlined {
		b.cuts, b.rows = j.cutOut(w)
	} else {
		b.cuts, b.rows = j.cutRows(w)
	}
	b.cuts.fit(p, b.rows, p.width()*6/10)
	b.cuts.x = p.right() - b.cuts.w
	b.column = b.cuts.x - measure.Inch/6 - p.left()
	b.paper = p.breakLines(body, first.Stock+", "+noun+" "+which, b.column)
	b.beside = len(b.paper) == 1 && p.advance(heading, widest(b.title("")))+gutter+p.advance(body, b.paper[0]) <= b.column
	b.head = b.headingHeight("")
	b.cutsH = b.cuts.headed()
	for _, r := range b.rows {
		b.cutsH += b.cuts.height(p, r)
	}
	return b
}

// cutRows is the list of the cuts on a trimmer.
func (j *job) cutRows(w *account.Cutting) (*table, [][]string) {
	often := slices.ContainsFunc(w.Lines, func(l account.Line) bool { return l.Times > 1 })
	t := &table{pad: measure.Point / 2, columns: []column{{head: "Cut", style: badgeStyle, badge: true}, {head: "Take", style: small, whole: true},
		{head: "Fence", style: small}, {head: "Set to", style: strong}, {style: smallB}, {head: "Line", style: small}, {head: "Gives", style: small}}}
	var rows [][]string
	for i := range w.Lines {
		l := &w.Lines[i]
		row := []string{strconv.Itoa(l.N), w.Take(l), l.Step.Side(), l.Step.Set.About(j.unit.Ruler()), l.Often(), l.Step.FoundBy(), l.Gives()}
		if !often {
			row = slices.Delete(row, 4, 5)
		}
		rows = append(rows, row)
	}
	if !often {
		t.columns = slices.Delete(t.columns, 4, 5)
	}
	return t, rows
}

func (b *band) title(more string) string {
	alike := account.Group{Pieces: b.pieces}
	return problem.Capital(pages(alike.Pages())) + more
}

// mirrored reports whether the pieces are printed to be read from their other side.
func (b *band) mirrored() bool {
	stock, _ := b.Settings.Stock(b.pieces[0].Stock)
	return stock.Mirror
}

// picture is the picture in one of the sizes, or as high as the list of cuts.
func (b *band) picture(size int) *picture {
	h := b.box(size)
	pic, ok := b.pictures[h]
	if !ok {
		pic = newPicture(b.p.hand, b.pieces[0].Cutting, b.pieces[0].Lines, b.words, b.column, h)
		b.pictures[h] = pic
	}
	return pic
}

// tall is how high the picture is in one of the sizes, without drawing it.
func (b *band) tall(size int) measure.Length {
	drawn := b.picture(b.chosen)
	s := b.pieces[0].Cutting.Whole.Rect.Size()
	num, den := scaled(s, drawn.rim, b.column, b.box(size))
	return measure.Length(int64(s.H)*num/den) + drawn.rim.Top + drawn.rim.Bottom
}

// box is the height that the picture is fitted into.
func (b *band) box(size int) measure.Length {
	return min(max(sizes[size], b.cutsH-b.head), b.room-b.head)
}

// list is the list of blocks that belongs to a picture, where it takes least room.
func (b *band) list(pic *picture) *blockList {
	l, ok := b.lists[pic]
	if !ok {
		places := b.places
		if places == nil {
			places = b.everyPlace(b.listed(pic))
			if len(b.pieces) > 1 {
				b.places = places
			}
		}
		l = places[0]
		for _, other := range places[1:] {
			if b.with(pic.size.H, other) < b.with(pic.size.H, l) {
				l = other
			}
		}
		b.lists[pic] = l
	}
	return l
}

// everyPlace is a list in every place where it can stand.
func (b *band) everyPlace(pages []listPage) []*blockList {
	out := []*blockList{newBlockList(b.p, underPicture, pages, margin, b.column)}
	if len(pages) > 0 {
		out = append(out, newBlockList(b.p, underCuts, pages, b.cuts.x, b.cuts.w), newBlockList(b.p, underBoth, pages, margin, b.p.width()))
	}
	return out
}

// with is what the band takes with a picture so high and a list.
func (b *band) with(high measure.Length, l *blockList) measure.Length {
	left, right := b.head+high, b.cutsH
	switch l.at {
	case underPicture:
		left += l.h
	case underCuts:
		right += l.h
	case underBoth:
		return max(left, right) + l.h
	}
	return max(left, right)
}

// height is what the band takes with the picture in one of the sizes.
func (b *band) height(size int) measure.Length {
	pic := b.picture(size)
	return b.with(pic.size.H, b.list(pic))
}

// shrink chooses the size with which the band takes least room; every block in it has its letter.
func (b *band) shrink() {
	least := measure.Length(-1)
	for i := range sizes {
		pic := b.picture(i)
		if h := b.height(i); (least < 0 || h <= least) && !pic.crowded {
			b.chosen, least = i, h
		}
		if least >= 0 && (len(pic.untold) == 0 || pic.size.H < sizes[i]) { // a larger one says no more
			return
		}
	}
	if least < 0 {
		b.chosen = len(sizes) - 1
	}
}

// splits is how many of the band's pieces fit so much room as a band of their own, if not all; nought: none.
func (b *band) splits(room measure.Length) int {
	for k := len(b.pieces) - 1; k > 0 && !b.stopped(); k-- {
		part := b.newBand(b.p, b.pieces[:k])
		if part.shrink(); part.height(part.chosen) <= room {
			return k
		}
	}
	return 0
}

// alone reports whether the picture is so full that it needs a page's width.
func (b *band) alone() bool { return b.picture(b.chosen).crowded }

// write writes the band, for which there is room.
func (b *band) write(p *pageWriter, drawn *pending) {
	start := p.y
	b.heading(p, "")
	pic := b.picture(b.chosen)
	l := b.list(pic)
	top := p.y
	drawn.draw(p, pic, p.left()+(b.column-pic.size.W)/2, top)
	p.y = start
	b.writeCuts(p, b.rows)
	left, right := top+pic.size.H, p.y
	switch l.at {
	case underPicture:
		p.y = left
		l.write(p, l.rows)
		left = p.y
	case underCuts:
		l.write(p, l.rows)
		right = p.y
	case underBoth:
		p.y = max(left, right)
		l.write(p, l.rows)
		left = p.y
	}
	p.y = max(left, right)
	p.space(bandGap)
}

// headingHeight is what the heading takes, whatever the numbers of the pages are.
func (b *band) headingHeight(more string) measure.Length {
	h := measure.Length(len(b.p.breakLines(heading, widest(b.title(more)), b.column)))*heading.line() + measure.Inch/24
	if !b.beside || more != "" {
		h += measure.Length(len(b.paper)) * body.line()
	}
	if b.mirrored() {
		h += 2 * small.line()
	}
	return h
}

// heading stands above the picture: which pages, of what paper.
func (b *band) heading(p *pageWriter, more string) {
	y := p.y
	for _, l := range p.breakLines(heading, b.title(more), b.column) {
		p.text(p.left(), y+heading.size, heading, l)
		y += heading.line()
	}
	if b.beside && more == "" {
		p.text(p.left()+b.column-p.advance(body, b.paper[0]), y-heading.line()+heading.size, body, b.paper[0])
	} else {
		for _, l := range b.paper {
			p.text(p.left(), y+body.size, body, l)
			y += body.line()
		}
	}
	if b.mirrored() {
		for _, l := range p.breakLines(small, "Printed mirrored: lay it with the printed side down.", b.column) {
			p.text(p.left(), y+small.size, small, l)
			y += small.line()
		}
	}
	p.y += b.headingHeight(more)
}

// writeCuts writes rows of cuts to the right of the picture.
func (b *band) writeCuts(p *pageWriter, rows [][]string) {
	if len(rows) == 0 {
		p.text(b.cuts.x, p.y+body.size, body, "No cut: the piece is the block.")
		p.y += body.line()
		return
	}
	b.cuts.headings(p)
	for _, r := range rows {
		b.cuts.row(p, r...)
	}
}

// linesOf are the cuts of some of the rows, for the numbers in a picture; what is cut out with scissors has none.
func (b *band) linesOf(from, n int) []account.Line {
	if w := b.pieces[0].Cutting; !w.Outlined {
		return w.Lines[from : from+n]
	}
	return nil
}

// writeLong writes a band that no page holds, from the top of one on: the picture is repeated on every page. One that is too full to stand
// beside the list has a page's width at first.
func (b *band) writeLong(p *pageWriter, drawn *pending) {
	rows, more := b.rows, ""
	if b.alone() {
		b.heading(p, more)
		room, list := p.bottom()-p.y, b.cutsH+measure.Inch/8
		below := list < room*4/10 // the list of cuts is on the same page
		if below {
			room -= list
		}
		pic := newPicture(p.hand, b.pieces[0].Cutting, b.pieces[0].Lines, b.words, p.width(), room)
		drawn.draw(p, pic, p.left()+(p.width()-pic.size.W)/2, p.y)
		if below {
			p.space(pic.size.H + measure.Inch/8)
			b.writeCuts(p, rows)
			rows = nil
		} else {
			p.open()
			more = ", continued"
		}
	}
	var pic *picture
	for len(rows) > 0 {
		start := p.y
		b.heading(p, more)
		more = ", continued"
		room, n := p.bottom()-start-hairline, 0
		for h := b.cuts.headed(); n < len(rows); n++ {
			if h += b.cuts.height(p, rows[n]); h > room && n > 0 {
				break
			}
		}
		from := len(b.rows) - len(rows) // a page's picture has its numbers only
		pic = newPicture(p.hand, b.pieces[0].Cutting, b.linesOf(from, n), b.words, b.column, start+room-p.y)
		top := p.y
		drawn.draw(p, pic, p.left()+(b.column-pic.size.W)/2, top)
		p.y = start
		b.writeCuts(p, rows[:n])
		p.y = max(p.y, top+pic.size.H)
		if rows = rows[n:]; len(rows) > 0 {
			p.open()
		}
	}
	if pic == nil {
		pic = b.picture(b.chosen)
	}
	l := newBlockList(p, underBoth, b.listed(pic), margin, p.width())
	for left := l.rows; len(left) > 0; {
		room, n := p.bottom()-p.y-hairline, 0
		for h := l.t.headed() + listGap; n < len(left); n++ {
			if h += l.t.height(p, left[n].cells); h > room {
				break
			}
		}
		if n == 0 && p.y > p.top+b.headingHeight(", continued")+b.picture(0).size.H {
			p.open()
			b.heading(p, ", continued")
			again := newPicture(p.hand, b.pieces[0].Cutting, nil, b.words, b.column, b.picture(0).size.H)
			drawn.draw(p, again, p.left()+(b.column-again.size.W)/2, p.y)
			p.space(again.size.H)
			continue
		}
		n = max(n, 1)
		l.write(p, left[:n])
		left = left[n:]
	}
	p.space(bandGap)
}
