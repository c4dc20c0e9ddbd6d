package measure

import (
	"slices"
	"testing"
)

// TestWithout: what is taken out of stretches is gone and nothing else is, by asking for each place along the line.
func TestWithout(t *testing.T) {
	open := []Stretch{{0, 10}, {12, 15}, {20, 30}}
	in := func(all []Stretch, at Length) bool {
		return slices.ContainsFunc(all, func(s Stretch) bool { return s.From <= at && at < s.To })
	}
	for from := Length(-2); from < 33; from++ {
		for to := from + 1; to < 34; to++ {
			left := Without(open, Stretch{from, to})
			for at := Length(-3); at < 35; at++ {
				if in(left, at) != (in(open, at) && (at < from || at >= to)) {
					t.Fatalf("without %d to %d there is %v", from, to, left)
				}
			}
			for i, s := range left {
				if s.Length() != s.To-s.From || s.Length() <= 0 || i > 0 && s.From < left[i-1].To {
					t.Fatalf("without %d to %d there is %v, which has an empty stretch or is out of order", from, to, left)
				}
			}
			if to <= 0 || from >= 30 || from >= 10 && to <= 12 || from >= 15 && to <= 20 { // nothing was there
				if !slices.Equal(left, open) {
					t.Fatalf("without %d to %d there is %v", from, to, left)
				}
			}
		}
	}
}

// TestSides: only sides with a length are named, in words that say where.
func TestSides(t *testing.T) {
	for want, s := range map[string]Sides{
		"": {},
		"1/2 in on top, 1/4 in at the bottom, 1 in at the left, 2 in at the right": {Left: Inch, Top: Inch / 2, Right: 2 * Inch, Bottom: Inch / 4},
		"1 1/2 in at the right": {Right: 3 * Inch / 2},
	} {
		if got := s.About(In); got != want {
			t.Errorf("%q, want %q", got, want)
		}
	}
	if got := (Sides{Top: 12 * Millimetre}).About(Mm); got != "12 mm on top" {
		t.Error(got)
	}
}

// TestRuler: who measures in inches has an inch rule with sixteenths, who measures in mm or cm one with millimetres.
func TestRuler(t *testing.T) {
	for u, want := range map[Unit]struct {
		ruler      Unit
		graduation Length
		down       Length // of an inch and two thirds
	}{
		In: {In, Inch / 16, Inch + 10*Inch/16},
		Pt: {In, Inch / 16, Inch + 10*Inch/16},
		Mm: {Mm, Millimetre, 42 * Millimetre},
		Cm: {Mm, Millimetre, 42 * Millimetre},
	} {
		if got := u.Ruler(); got != want.ruler || u.Metric() != (want.ruler == Mm) || u.Graduation() != want.graduation || u.Down(5*Inch/3) != want.down {
			t.Errorf("%s: %s, %v, %d", u, got, u.Metric(), u.Down(5*Inch/3))
		}
	}
}
