package guide

import (
	"slices"

	"tuckmark/config/measure"
	"tuckmark/impose/account"
)

// blockList says which blocks lie in which places, as far as a picture does not: those of one piece, or of several page by page.
type blockList struct {
	t    *table
	rows []blockRow
	h    measure.Length
	at   placement
}

type blockRow struct {
	cells []string
	last  bool // of its page
}

// placement is where a list of blocks stands in its band.
type placement uint8

const (
	underPicture placement = iota
	underCuts
	underBoth
	nowhere // there is nothing to say
)

// listPage is what a list says of a page, or of pages with the same blocks.
type listPage struct {
	page    string
	entries []entry
}

// entry is a block as the list names it.
type entry struct{ name, begins string }

func newEntry(places string, q *account.Part) entry {
	return entry{places + "\u00a0" + q.Block.Code + " " + named(q.Block.Owner) + ":", account.Begins(q.Block.Block)}
}

// listed is what the list that belongs to a picture says.
func (b *band) listed(pic *picture) (out []listPage) {
	if len(b.pieces) == 1 {
		var untold []entry
		for _, q := range pic.untold {
			untold = append(untold, newEntry(account.Letter(q.First), q))
		}
		if len(untold) > 0 {
			out = append(out, listPage{"", untold})
		}
		return out
	}
	var numbers []int
	for i, q := range b.pieces {
		entries := b.entries(q)
		if n := len(out); n > 0 && slices.Equal(out[n-1].entries, entries) {
			numbers = append(numbers, b.pieces[i].Page)
			out[n-1].page = account.Ranges(numbers)
			continue
		}
		numbers = []int{q.Page}
		out = append(out, listPage{account.Ranges(numbers), entries})
	}
	return out
}

// entries are what a list says of one of several pieces. A piece is asked for again with every band that it is tried in.
func (j *job) entries(q *account.Piece) []entry {
	out, known := j.told[q]
	if !known {
		for _, run := range account.Runs(q.ByPlace()) {
			out = append(out, newEntry(account.Named(run), run[0].Part))
		}
		j.told[q] = out
	}
	return out
}

// leastLists is how few rows the list of pieces in a row can have: those of each piece by itself, and those from the first piece up to each,
// where a piece with the blocks of the one before takes none.
type leastLists struct{ own, sum []int }

func (j *job) newLeastLists(p *pageWriter, pieces []*account.Piece) (l leastLists) {
	most := abreast(p.width())
	l.sum = append(l.sum, 0)
	for i, q := range pieces {
		entries := j.entries(q)
		rows := (len(entries) + most - 1) / most
		l.own = append(l.own, rows)
		if i > 0 && slices.Equal(j.entries(pieces[i-1]), entries) {
			rows = 0
		}
		l.sum = append(l.sum, l.sum[i]+rows)
	}
	return l
}

// mayFit reports whether so much room may hold the list of each of n parts of the pieces, as newBands parts them. A large group would
// else be measured for hundreds of ways to part it.
func (l leastLists) mayFit(n int, room measure.Length) bool {
	for k := range n {
		from, to := k*len(l.own)/n, (k+1)*len(l.own)/n
		if to-from < 2 { // what its picture says is not listed
			continue
		}
		rows := l.own[from] + l.sum[to] - l.sum[from+1]
		if listGap+measure.Length(rows)*(small.line()+2*listPad) > room {
			return false
		}
	}
	return true
}

// abreast is how many entries stand in a row of a list so wide.
func abreast(w measure.Length) int { return max(1, int(w/(2*measure.Inch))) }

// newBlockList lays out a list from x, so wide.
func newBlockList(p *pageWriter, at placement, pages []listPage, x, w measure.Length) *blockList {
	l := &blockList{at: at, t: &table{x: x, w: w, pad: listPad}}
	if len(pages) == 0 {
		l.at = nowhere
		return l
	}
	abreast := abreast(w)
	byPage := pages[0].page != ""
	if byPage {
		l.t.columns = append(l.t.columns, column{head: "Page", style: smallB, w: p.advance(smallB, "0000-0000") + measure.Point, numbers: true})
	}
	for i := range abreast {
		c := column{style: small}
		if i == 0 && byPage {
			c.head = "Blocks by place"
		}
		l.t.columns = append(l.t.columns, c)
	}
	l.t.resolve()
	room := l.t.columns[len(l.t.columns)-1].w
	l.h = listGap + l.t.headed()
	for _, page := range pages {
		for rest := page.entries; len(rest) > 0; {
			n := min(abreast, len(rest))
			row := blockRow{cells: make([]string, 0, len(l.t.columns)), last: n == len(rest)}
			if byPage {
				row.cells = append(row.cells, page.page)
				page.page = ""
			}
			for _, e := range rest[:n] {
				row.cells = append(row.cells, p.opening(small, e.name, e.begins, room))
			}
			for len(row.cells) < len(l.t.columns) {
				row.cells = append(row.cells, "")
			}
			l.rows, rest = append(l.rows, row), rest[n:]
			l.h += l.t.height(p, row.cells)
		}
	}
	return l
}

const (
	listGap = measure.Inch / 12
	listPad = measure.Point / 4
)

// write writes the list, or the rows of it that are given.
func (l *blockList) write(p *pageWriter, rows []blockRow) {
	if len(rows) == 0 {
		return
	}
	p.space(listGap)
	l.t.open = false
	l.t.headings(p)
	for _, r := range rows {
		l.t.open = !r.last
		l.t.row(p, r.cells...)
	}
}
