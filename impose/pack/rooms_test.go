package pack

import (
	"math/rand"
	"testing"

	"tuckmark/config/measure"
)

// TestRooms: an item fits the rooms of sheets where it fits any of their pieces, looked at one by one.
func TestRooms(t *testing.T) {
	r := rand.New(rand.NewSource(8))
	side := func(most int) measure.Length { return measure.Length(r.Intn(most+1)) * in / 8 }
	sides := func() measure.Sides {
		return measure.Sides{Left: side(3), Top: side(3), Right: side(3), Bottom: side(3)}
	}
	fit, dropped := 0, 0
	for range 300 {
		var sheets []Sheet
		var largest int64
		for range 1 + r.Intn(12) {
			d := Division{Pieces: []Piece{{Rect: measure.Rect{W: side(8) + in, H: side(8) + in}, Margins: sides(), Printer: r.Intn(4) - 1}}}
			if sheets = append(sheets, Sheet{Divisions: []Division{d}}); d.Pieces[0].Printer >= 0 {
				largest = max(largest, d.Pieces[0].Rect.Size().Area())
			}
		}
		rooms := RoomsOf(sheets)
		dropped += len(rooms.Pieces) - len(rooms.Most)
		var items []Item
		want := 0
		for range 40 {
			it := Item{Size: measure.Size{W: side(16), H: side(16)}, Turn: r.Intn(2) == 0, Blank: sides()}
			if len(items) > 0 && r.Intn(2) == 0 {
				it.Blank = items[len(items)-1].Blank
			}
			items = append(items, it)
			fits := false
			for _, s := range sheets {
				fits = fits || holds(s, it)
			}
			if fits {
				want++
			}
			if rooms.Fits(it) != fits {
				t.Fatalf("%+v on %+v: fits %v", it, sheets, !fits)
			}
		}
		if n := rooms.Count(items); n != want || rooms.Largest.Area() != largest {
			t.Fatalf("%d of the items fit, not %d; the largest is %v", n, want, rooms.Largest)
		}
		fit += want
	}
	if fit < 1000 || dropped < 200 {
		t.Errorf("%d items fit, %d pieces hold no more than others", fit, dropped)
	}
}
