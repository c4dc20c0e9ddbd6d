package pack

import (
	"testing"

	"tuckmark/config/measure"
)

// The bound is sound because every function is superadditive: f(x) + f(y) <= f(x + y), and nought at nought.
func TestDualsAreSuperadditive(t *testing.T) {
	for c := int64(1); c <= 60; c++ {
		var xs []int64
		for x := int64(1); x <= c; x++ {
			xs = append(xs, x)
		}
		for _, f := range duals(xs, c, 400) {
			if v := f.at(0, c); v != 0 {
				t.Fatalf("%v on %d: %d at nought", f, c, v)
			}
			for x := int64(0); x <= c; x++ {
				for y := x; x+y <= c; y++ {
					if f.at(x, c)+f.at(y, c) > f.at(x+y, c) {
						t.Fatalf("%v on %d: %d at %d and %d at %d, but %d at %d", f, c, f.at(x, c), x, f.at(y, c), y, f.at(x+y, c), x+y)
					}
				}
			}
		}
	}
}

func TestBoundCounts(t *testing.T) {
	two := []Item{{Size: measure.Size{W: 6, H: 6}}, {Size: measure.Size{W: 6, H: 6}}, {Size: measure.Size{W: 6, H: 6}}}
	sheet := func(w, h measure.Length, cost int64, count int) Sheet {
		return Sheet{Size: measure.Size{W: w, H: h}, Cost: cost, Count: count, Divisions: whole(w, h, measure.Sides{})}
	}
	panels := sheet(20, 10, 5, -1)
	panels.Divisions = []Division{{Pieces: []Piece{{Rect: measure.Rect{W: 10, H: 10}}, {Rect: measure.Rect{X: 10, W: 10, H: 10}, Printer: -1}}}}
	for _, c := range []struct {
		name   string
		sheets []Sheet
		want   int
	}{
		{"one a sheet", []Sheet{sheet(10, 10, 5, -1)}, 3},
		{"a leftover takes one", []Sheet{sheet(10, 10, 5, -1), sheet(10, 10, 0, 1)}, 2},
		{"a leftover that is too small takes none", []Sheet{sheet(10, 10, 5, -1), sheet(10, 5, 0, 3)}, 3},
		{"a larger kind takes more", []Sheet{sheet(10, 10, 5, -1), sheet(20, 20, 50, -1)}, 1},
		{"all on leftovers", []Sheet{sheet(10, 10, 5, -1), sheet(10, 10, 0, 3)}, 0},
		{"half of the sheet cannot be printed", []Sheet{panels}, 3},
	} {
		if got := Bound(Job{Items: two, Sheets: c.sheets}); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}
