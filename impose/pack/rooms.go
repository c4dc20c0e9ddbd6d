package pack

import (
	"cmp"
	"slices"

	"tuckmark/config/measure"
)

// Rooms are what the printed pieces of sheets hold, each piece by itself: as many sheets of many sizes, cut in many ways, give few pieces that differ, and
// what fits any of them fits one of even fewer.
type Rooms struct {
	Pieces  []Piece      // each size with its margins once, in the order of the sheets
	Most    []Piece      // of these, without those that hold no item which another does not hold as well
	Largest measure.Size // the largest piece
}

// RoomsOf are the rooms of sheets, however many there are of each.
func RoomsOf(sheets []Sheet) *Rooms {
	r := &Rooms{}
	type room struct {
		size    measure.Size
		margins measure.Sides
	}
	known := map[room]bool{}
	for _, s := range sheets {
		for _, d := range s.Divisions {
			for _, p := range d.Pieces {
				if like := (room{p.Rect.Size(), p.Margins}); p.Printer >= 0 && !known[like] {
					known[like] = true
					r.Pieces = append(r.Pieces, p)
				}
			}
		}
	}
	for _, p := range r.Pieces {
		if p.Rect.Size().Area() > r.Largest.Area() {
			r.Largest = p.Rect.Size()
		}
	}
	r.Most = most(r.Pieces)
	return r
}

// most are pieces without those that hold no more than another.
func most(pieces []Piece) (out []Piece) {
	large := slices.Clone(pieces) // first
	slices.SortStableFunc(large, func(a, b Piece) int { return cmp.Compare(b.Rect.Size().Area(), a.Rect.Size().Area()) })
	for _, p := range large {
		if !slices.ContainsFunc(out, func(o Piece) bool { return o.holdsAll(p) }) {
			out = append(out, p)
		}
	}
	return out
}

// holdsAll reports whether a piece holds whatever another does, however wide its blank border is.
func (p Piece) holdsAll(o Piece) bool { return o.Rect.Size().Within(p.Room(o.Margins)) }

// Room is the largest trim size with that blank border that a piece holds.
func (p Piece) Room(blank measure.Sides) measure.Size {
	m := p.Margins
	return measure.Size{W: p.Rect.W - max(0, m.Left-blank.Left) - max(0, m.Right-blank.Right), H: p.Rect.H - max(0, m.Top-blank.Top) - max(0, m.Bottom-blank.Bottom)}
}

// Fits reports whether an item fits a piece that holds nothing else.
func (r *Rooms) Fits(it Item) bool { return r.Count([]Item{it}) > 0 }

// Count is how many of some items fit a piece that holds nothing else.
func (r *Rooms) Count(items []Item) (n int) {
	var rooms, turned []measure.Size // for the border of the item before, which most have in common
	var blank measure.Sides
	for i, it := range items {
		if i == 0 || it.Blank != blank {
			blank, rooms, turned = it.Blank, rooms[:0], turned[:0]
			for _, p := range r.Most {
				rooms, turned = append(rooms, p.Room(blank)), append(turned, p.Room(blank.Turn()).Turn())
			}
		}
		if slices.ContainsFunc(rooms, it.Size.Within) || it.Turn && slices.ContainsFunc(turned, it.Size.Within) {
			n++
		}
	}
	return n
}
