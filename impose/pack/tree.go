package pack

import "slices"

// kind is what a cell of a tree holds.
type kind uint8

const (
	rest   kind = iota // nothing yet
	placed             // an item, exactly
	split              // children in a row
	unused             // unused memory
)

// A cell is a rectangle of a sheet during the search. The children of a split cell stand side by side (along 0) or one
// below the other (along 1) and together fill it. The order among siblings means nothing until the cuts are made out
// of it, so at most one of them is a rest: what is taken out joins it. The root of each piece is a split cell that is
// never taken out.
type cell struct {
	w, h  int32
	item  int32
	up    int16
	first int16
	next  int16
	prev  int16
	kind  kind
	along uint8 // how this cell and its siblings are lined up
}

// A tree is one sheet: a root for each printable piece, in the first cells, and all below.
type tree struct {
	cells  []cell
	free   []int16
	layout int
	used   int64 // area of its items
	count  int   // of its items

	// What the search asks for most, kept until the tree changes.
	listed bool
	rooms  []extent // rests that the smallest item may fit into
	rests  []int16  // their cells
	cuts   int      // that it takes; 0: not counted; uncuttable: none take it apart
}

// uncuttable stands for the number of cuts of a tree that margins and trimmer do not let be cut.
const uncuttable = -1

// changed forgets what was kept of the tree as it was.
func (t *tree) changed() { t.listed, t.cuts = false, 0 }

// listRests lists the rests that hold least.
func (t *tree) listRests(least extent) {
	t.listed = true
	t.rooms = slices.Grow(t.rooms[:0], len(t.cells))[:len(t.cells)]
	t.rests = slices.Grow(t.rests[:0], len(t.cells))[:len(t.cells)]
	n := 0
	for i := range t.cells { // without a branch, as in extent
		c := &t.cells[i]
		room := extentOf(c.w, c.h)
		t.rooms[n], t.rests[n] = room, int16(i)
		n += int(room.holds(least)) & ((int(c.kind) - 1) >> 8) // a rest is nought
	}
	t.rooms, t.rests = t.rooms[:n], t.rests[:n]
}

func (t *tree) copyFrom(o *tree) {
	t.cells = append(t.cells[:0], o.cells...)
	t.free = append(t.free[:0], o.free...)
	t.layout, t.used, t.count = o.layout, o.used, o.count
	t.listed, t.cuts = false, o.cuts
}

// reset makes t an empty sheet of layout l; bit p of along is how root p is lined up.
func (t *tree) reset(l *layout, n int, along uint64) {
	t.cells, t.free = t.cells[:0], t.free[:0]
	t.layout, t.used, t.count = n, 0, 0
	t.changed()
	k := int16(len(l.roots))
	for p, g := range l.roots {
		a := uint8(along >> (p & 63) & 1)
		if g.only != both {
			a = g.only
		}
		t.cells = append(t.cells, cell{w: g.w, h: g.h, item: -1, up: -1, first: k + int16(p), next: -1, prev: -1, kind: split, along: 1 - a})
	}
	for p, g := range l.roots {
		t.cells = append(t.cells, cell{w: g.w, h: g.h, item: -1, up: int16(p), first: -1, next: -1, prev: -1, along: 1 - t.cells[p].along})
	}
}

func (t *tree) newCell(c cell) int16 {
	if k := len(t.free); k > 0 {
		i := t.free[k-1]
		t.free = t.free[:k-1]
		t.cells[i] = c
		return i
	}
	t.cells = append(t.cells, c)
	return int16(len(t.cells) - 1)
}

func (t *tree) freeCell(x int16) {
	t.cells[x].kind = unused
	t.free = append(t.free, x)
}

// after makes x the next sibling of y.
func (t *tree) after(y, x int16) {
	n := t.cells[y].next
	t.cells[x].prev, t.cells[x].next, t.cells[x].up = y, n, t.cells[y].up
	t.cells[y].next = x
	if n >= 0 {
		t.cells[n].prev = x
	}
}

func (t *tree) unlink(x int16) {
	c := &t.cells[x]
	if c.prev >= 0 {
		t.cells[c.prev].next = c.next
	} else {
		t.cells[c.up].first = c.next
	}
	if c.next >= 0 {
		t.cells[c.next].prev = c.prev
	}
}

// deepen makes the rest x a row of its own, which crosses the row that x stands in, and returns the rest in it.
func (t *tree) deepen(x int16) int16 {
	c := t.cells[x]
	y := t.newCell(cell{w: c.w, h: c.h, item: -1, up: x, first: -1, next: -1, prev: -1, along: 1 - c.along})
	t.cells[x].kind, t.cells[x].first = split, y
	return y
}

// shorten leaves the rest x so much along its row, and returns the rest beside it.
func (t *tree) shorten(x int16, size int32) int16 {
	r := t.cells[x]
	r.item, r.first, r.up = -1, -1, 0
	if r.along == 0 {
		r.w -= size
		t.cells[x].w = size
	} else {
		r.h -= size
		t.cells[x].h = size
	}
	y := t.newCell(r)
	t.after(x, y)
	return y
}

// put lays an item of a x c into the rest x. The first cut follows the row that x stands in, or with deeper it
// crosses it, so that x becomes a row of its own. It returns the rests that remain, or -1.
func (t *tree) put(x int16, item, a, c int32, deeper bool) (r1, r2 int16) {
	r1, r2 = -1, -1
	w, h, along := t.cells[x].w, t.cells[x].h, t.cells[x].along
	t.used += int64(a) * int64(c)
	t.count++
	if deeper {
		x = t.deepen(x)
		along = 1 - along
	}
	if along == 0 && w > a {
		r1 = t.shorten(x, a)
	} else if along == 1 && h > c {
		r1 = t.shorten(x, c)
	}
	s := cell{w: a, h: c, item: item, up: x, first: -1, next: -1, prev: -1, kind: placed, along: 1 - along}
	q := cell{w: a, h: h - c, item: -1, up: x, first: -1, next: -1, along: 1}
	if along == 1 {
		q.w, q.h, q.along = w-a, c, 0
	}
	if q.w == 0 || q.h == 0 {
		t.cells[x].kind, t.cells[x].item = placed, item
		return
	}
	i := t.newCell(s)
	r2 = t.newCell(q)
	t.cells[x].kind, t.cells[x].first = split, i
	t.cells[i].next, t.cells[r2].prev = r2, i
	return
}

// remove makes the cell x, which is no root, a rest, joins it with the rest beside it, and appends the items that were
// in it to out.
func (t *tree) remove(x int16, out []int32) []int32 {
	t.changed()
	out = t.clear(x, out)
	for {
		up := t.cells[x].up
		for c := t.cells[up].first; c >= 0; {
			n := t.cells[c].next
			if c != x && t.cells[c].kind == rest {
				if t.cells[x].along == 0 {
					t.cells[x].w += t.cells[c].w
				} else {
					t.cells[x].h += t.cells[c].h
				}
				t.unlink(c)
				t.freeCell(c)
			}
			c = n
		}
		if t.cells[x].prev >= 0 || t.cells[x].next >= 0 || t.cells[up].up < 0 {
			return out
		}
		t.freeCell(x)
		x = up
		t.cells[x].kind, t.cells[x].first = rest, -1
	}
}

// clearPiece takes everything out of the piece of root p.
func (t *tree) clearPiece(p int16, out []int32) []int32 {
	t.changed()
	x := t.cells[p].first
	for c := t.cells[x].next; c >= 0; {
		n := t.cells[c].next
		out = t.clear(c, out)
		t.freeCell(c)
		c = n
	}
	out = t.clear(x, out)
	c := &t.cells[x]
	c.w, c.h, c.next = t.cells[p].w, t.cells[p].h, -1
	return out
}

// items appends the items in the cell x to ids.
func (t *tree) items(x int16, ids []int32) []int32 {
	if t.cells[x].kind == placed {
		return append(ids, t.cells[x].item)
	}
	for y := t.cells[x].first; y >= 0; y = t.cells[y].next {
		ids = t.items(y, ids)
	}
	return ids
}

// clear makes x a rest and drops all below it.
func (t *tree) clear(x int16, out []int32) []int32 {
	c := &t.cells[x]
	if c.kind == placed {
		out = append(out, c.item)
		t.used -= int64(c.w) * int64(c.h)
		t.count--
	}
	for y := c.first; y >= 0; {
		n := t.cells[y].next
		out = t.clear(y, out)
		t.freeCell(y)
		y = n
	}
	c = &t.cells[x]
	c.kind, c.item, c.first = rest, -1, -1
	return out
}
