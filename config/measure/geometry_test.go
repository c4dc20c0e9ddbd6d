package measure

import (
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// cells is the rectangle as the set of the unit squares that it covers.
func cells(r Rect) map[[2]Length]bool {
	set := map[[2]Length]bool{}
	for x := r.X; x < r.X+r.W; x++ {
		for y := r.Y; y < r.Y+r.H; y++ {
			set[[2]Length{x, y}] = true
		}
	}
	return set
}

// small calls f with every rectangle that has its corner within 5 units of the origin and sides of up to 4 units, or none.
func small(f func(Rect)) {
	for x := Length(-1); x < 5; x++ {
		for y := Length(-1); y < 5; y++ {
			for w := Length(0); w < 5; w++ {
				for h := Length(0); h < 5; h++ {
					f(Rect{x, y, w, h})
				}
			}
		}
	}
}

// TestRectIsItsCells: what rectangles say of one another is what the squares say that they cover.
func TestRectIsItsCells(t *testing.T) {
	small(func(o Rect) {
		is := cells(o)
		if o.Empty() != (len(is) == 0) || o.Size().Area() != int64(len(is)) {
			t.Errorf("%v: empty %v, area %d, covers %d squares", o, o.Empty(), o.Size().Area(), len(is))
		}
		if len(is) == 0 {
			return
		}
		for _, r := range []Rect{{1, 1, 2, 2}, {0, 1, 3, 1}, {2, 0, 1, 4}} {
			shared := 0
			for c := range cells(r) {
				if is[c] {
					shared++
				}
			}
			if got := r.Overlaps(o); got != (shared > 0) {
				t.Errorf("%v overlaps %v: %v, they share %d squares", r, o, got, shared)
			}
			if got := r.Contains(o); got != (shared == len(is)) {
				t.Errorf("%v contains %v: %v, they share %d of %d squares", r, o, got, shared, len(is))
			}
			// Within asks the same of rectangles laid corner on corner.
			if got, want := o.Size().Within(r.Size()), r.Contains(o.Size().At(r.X, r.Y)); got != want {
				t.Errorf("%v within %v: %v, want %v", o.Size(), r.Size(), got, want)
			}
		}
	})
}

// TestEmpty: a side that is less than nothing, as Inset leaves it, has no area either.
func TestEmpty(t *testing.T) {
	for _, r := range []Rect{{W: -1, H: 1}, {W: 1, H: -1}, {W: -1, H: -1}, Rect{W: 1, H: 9}.Inset(Same(1))} {
		if !r.Empty() {
			t.Errorf("%v is not empty", r)
		}
	}
}

func TestEdges(t *testing.T) {
	r := Size{7, 5}.At(2, 3)
	if (r != Rect{2, 3, 7, 5}) || r.Right() != 9 || r.Bottom() != 8 || r.Size() != (Size{7, 5}) {
		t.Errorf("%v: right %d, bottom %d, size %v", r, r.Right(), r.Bottom(), r.Size())
	}
	if got := r.Move(10, -4); got != (Rect{12, -1, 7, 5}) {
		t.Errorf("moved: %v", got)
	}
	s := Sides{Left: 1, Top: 2, Right: 3, Bottom: 10}
	if got := r.Inset(s); got != (Rect{3, 5, 3, -7}) {
		t.Errorf("inset: %v", got)
	}
	if got := s.Plus(Same(5)); got != (Sides{6, 7, 8, 15}) {
		t.Errorf("plus: %v", got)
	}
}

// TestTurnWithin: a frame inside a sheet turns with the sheet. Turning by a quarter clockwise takes the point x, y of a sheet of
// height h to h - y, x.
func TestTurnWithin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		side := rapid.Int64Range(0, 1000)
		draw := func(name string) Length { return Length(side.Draw(t, name)) }
		sheet := Size{draw("w"), draw("h")}
		a := Sides{draw("left"), draw("top"), draw("right"), draw("bottom")}
		b := Sides{draw("left2"), draw("top2"), draw("right2"), draw("bottom2")}

		r := sheet.At(0, 0).Inset(a)
		turned := Rect{X: sheet.H - r.Bottom(), Y: r.X, W: r.H, H: r.W}
		if got := sheet.Turn().At(0, 0).Inset(a.Turn()); got != turned {
			t.Fatalf("%v in %v, turned: %v, want %v", a, sheet, got, turned)
		}
		if got, want := r.Inset(b), sheet.At(0, 0).Inset(a.Plus(b)); got != want {
			t.Fatalf("%v and then %v: %v, together %v", a, b, got, want)
		}
	})
}

// TestAreaOfTheMost: the area of the largest size that is read is an int64.
func TestAreaOfTheMost(t *testing.T) {
	want := new(big.Int).Mul(big.NewInt(int64(LongestRead)), big.NewInt(int64(LongestRead)))
	if got := (Size{LongestRead, LongestRead}).Area(); !want.IsInt64() || got != want.Int64() {
		t.Errorf("the area is %d, want %v", got, want)
	}
}

// TestUnits: an inch is 25.4 mm by the international yard of 1 July 1959 (36 in = 0.9144 m), a centimetre 10 mm, and a point
// 1/72 in (CSS Values 3). An EMU is 1/914400 in (ECMA-376 part 1, 20.1.2.1).
func TestUnits(t *testing.T) {
	for _, c := range []struct{ got, want Length }{
		{Inch, 914400}, {36 * Inch * 10, 9144 * Millimetre}, {Centimetre, 10 * Millimetre}, {72 * Point, Inch},
	} {
		if c.got != c.want {
			t.Errorf("%d EMU, want %d", c.got, c.want)
		}
	}
	for u, want := range map[Unit]Length{In: Inch, Mm: Millimetre, Cm: Centimetre, Pt: Point} {
		if u.Length() != want {
			t.Errorf("one %v is %d, want %d", u, u.Length(), want)
		}
	}
	if got := Inch.Points(); got != 72 {
		t.Errorf("an inch is %v pt", got)
	}
}

// TestEitherWay: a quarter turn changes neither whether two sizes are the same nor what lies within what; it is no free choice of sides.
func TestEitherWay(t *testing.T) {
	page := Size{4 * Inch, 6 * Inch}
	for _, c := range []struct {
		o            Size
		same, within bool
	}{{page, true, true}, {page.Turn(), true, true}, {Size{4 * Inch, 4 * Inch}, false, false}, {Size{7 * Inch, 4 * Inch}, false, true}, {Size{5 * Inch, 5 * Inch}, false, false}} {
		if page.SameEitherWay(c.o) != c.same || c.o.SameEitherWay(page) != c.same || page.WithinEitherWay(c.o) != c.within {
			t.Errorf("%v and %v: the same %v, within %v", page, c.o, page.SameEitherWay(c.o), page.WithinEitherWay(c.o))
		}
	}
}
