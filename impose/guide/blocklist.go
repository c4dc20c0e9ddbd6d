package guide

import (
	"slices"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// blockList says which blocks lie in which places, as far as a picture does not: of one piece below its picture or, where there are too many, below
// picture and cuts; of several pieces there, page by page.
type blockList struct {
	t             *table
	rows, all     []blockRow // as far as they stand below the cuts, and all
	beside, below measure.Length

	x, w    measure.Length // of what stands below the picture
	entries []entry
}

type blockRow struct {
	cells []string
	last  bool // of its page
}

// entry is a block as the list names it.
type entry struct{ place, whole, begins string }

const abreast = 3 // entries in a row

func (b *band) newBlockList(pic *picture) *blockList {
	p := b.p
	l := &blockList{x: p.left(), w: b.column}
	page := len(b.pieces) > 1
	l.t = &table{x: p.left(), w: p.width(), pad: measure.Point / 4}
	if page {
		l.t.columns = append(l.t.columns, column{head: "Page", w: p.advance(smallB, "0000-0000") + measure.Point, style: smallB, numbers: true})
	}
	for i := range abreast {
		c := column{style: small}
		if i == 0 && page {
			c.head = "Blocks by place"
		}
		l.t.columns = append(l.t.columns, c)
	}
	l.t.resolve()
	if page {
		b.byPage(l)
	} else {
		for _, q := range pic.untold {
			l.entries = append(l.entries, newEntry(account.Letter(q.First), q))
		}
		l.add(p, "", l.entries)
	}
	l.rows = l.all
	for _, r := range l.rows {
		l.below += l.t.height(p, r.cells)
	}
	if len(l.rows) > 0 {
		l.below += l.t.headed() + measure.Inch/12
	}
	if len(l.entries) > 0 {
		beside := measure.Inch / 12
		for _, e := range l.entries {
			beside += measure.Length(len(l.besideLines(p, e))) * small.line()
		}
		if max(pic.size.H+beside, b.cutsH) <= max(pic.size.H, b.cutsH)+l.below {
			l.beside, l.below, l.rows = beside, 0, nil
		}
	}
	return l
}

func newEntry(place string, q *account.Part) entry {
	return entry{place, q.Block.Code + " " + named(q.Block.Owner) + ":", account.Begins(q.Block.Block)}
}

// byPage lists the blocks of several pieces; pages with the same blocks are named together.
func (b *band) byPage(l *blockList) {
	var pagesOf []int
	var same []entry
	flush := func() {
		if len(pagesOf) > 0 {
			l.add(b.p, account.Ranges(pagesOf), same)
		}
	}
	for _, q := range b.pieces {
		var entries []entry
		for _, run := range account.Runs(q.ByPlace()) {
			entries = append(entries, newEntry(account.Named(run), run[0].Part))
		}
		if !slices.Equal(entries, same) {
			flush()
			pagesOf, same = nil, entries
		}
		pagesOf = append(pagesOf, q.Page)
	}
	flush()
}

// add adds the rows of entries under the name of their pages.
func (l *blockList) add(p *pageWriter, page string, entries []entry) {
	for i := 0; i < len(entries); i += abreast {
		row := blockRow{last: i+abreast >= len(entries)}
		if page != "" {
			row.cells = append(row.cells, page)
			page = " "
		}
		for k := i; k < i+abreast; k++ {
			text := ""
			if k < len(entries) {
				e := entries[k]
				text = p.opening(small, e.place+"\u00a0"+e.whole, e.begins, l.t.columns[len(l.t.columns)-1].w)
			}
			row.cells = append(row.cells, text)
		}
		l.all = append(l.all, row)
	}
}

// write writes the rows below the picture and the cuts.
func (l *blockList) write(p *pageWriter) {
	if len(l.rows) == 0 {
		return
	}
	p.space(measure.Inch / 12)
	l.t.open = false
	l.t.headings(p)
	for _, r := range l.rows {
		l.t.open = !r.last
		l.t.row(p, r.cells...)
	}
}

// besideLines are the lines of an entry below the picture, behind its place.
func (l *blockList) besideLines(p *pageWriter, e entry) []string {
	w := l.w - besidePlace
	return p.breakLines(small, p.opening(small, e.whole, e.begins, w), w)
}

const besidePlace = measure.Inch / 4

// writeBeside writes the entries below the picture, from y down.
func (l *blockList) writeBeside(p *pageWriter, y measure.Length) {
	y += measure.Inch / 12
	for _, e := range l.entries {
		p.text(l.x, y+small.size, smallB, e.place)
		for _, line := range l.besideLines(p, e) {
			p.text(l.x+besidePlace, y+small.size, small, line)
			y += small.line()
		}
	}
	p.y = max(p.y, y)
}
