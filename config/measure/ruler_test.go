package measure

import (
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestAbout(t *testing.T) {
	const mm = Millimetre
	for _, c := range []struct {
		l    Length
		u    Unit
		want string
	}{
		{814 * Inch / 100, In, "a little over 8 1/8 in"}, {40 * mm, In, "a little over 1 9/16 in"}, {100 * mm, In, "a little under 3 15/16 in"},
		{33 * Inch / 32, In, "1 1/32 in"}, {33*Inch/32 + 1, In, "a little over 1 1/32 in"}, {33*Inch/32 - 1, In, "a little under 1 1/32 in"},
		{0, In, "0 in"}, {1, In, "less than 1/32 in"}, {Inch/64 - 1, In, "less than 1/32 in"}, {Inch/64 + 1, In, "a little under 1/32 in"},
		{4*Inch + Inch/2, Mm, "a little under 114.5 mm"}, {4*Inch + Inch/2, Cm, "a little under 11.45 cm"}, {Inch, Mm, "a little under 25.5 mm"},
		{114 * mm, Mm, "114 mm"}, {229 * mm / 2, Mm, "114.5 mm"}, {1142 * mm / 10, Mm, "a little over 114 mm"}, {1, Mm, "less than 0.5 mm"},
		{21 * Point / 2, Pt, "10.5 pt"}, {-Inch / 3, In, "-0.333333 in"},
	} {
		if got := c.l.About(c.u); got != c.want {
			t.Errorf("%d: %q, want %q", c.l, got, c.want)
		}
	}
	for _, c := range []struct {
		s    Size
		u    Unit
		want string
	}{
		{Size{4 * Inch, 5 * Inch / 2}, In, "4 x 2 1/2 in"}, {Size{814 * Inch / 100, 2 * Inch}, In, "a little over 8 1/8 in x 2 in"},
		{Size{2 * Inch, 40 * mm}, In, "2 in x a little over 1 9/16 in"}, {Size{100 * mm, 229 * mm / 2}, Mm, "100 x 114.5 mm"},
	} {
		if got := c.s.About(c.u); got != c.want {
			t.Errorf("%v: %q, want %q", c.s, got, c.want)
		}
	}
	if got := (Size{814 * Inch / 100, 2*Inch - 1}).Down(In); got != "8 1/8 x 1 15/16 in" {
		t.Errorf("rounded down: %q", got)
	}
}

// Whatever the length and the rule: what is told is a mark of the rule or the middle between two, no more than half of their distance away, on the
// side that is told; a length that such a mark shows is told without words. What is told is read back by Parse, so that the words can be
// looked at as a person would.
func TestAboutIsTrue(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		u := rapid.SampledFrom([]Unit{In, Mm, Cm}).Draw(t, "unit")
		half := u.Graduation() / 2
		l := Length(rapid.Int64Range(0, int64(100*Inch)).Draw(t, "length"))
		if rapid.IntRange(0, 3).Draw(t, "exact") == 0 {
			l = l / half * half
		}
		l += Length(rapid.IntRange(0, 1).Draw(t, "more"))
		said := l.About(u)
		number, under := strings.CutPrefix(said, "a little under ")
		number, over := strings.CutPrefix(number, "a little over ")
		if n, less := strings.CutPrefix(said, "less than "); less {
			if at, err := Parse(n, u); err != nil || at != half || l <= 0 || l >= half {
				t.Fatalf("%d is told as %q: %v", l, said, err)
			}
			return
		}
		told, err := Parse(number, u)
		if err != nil || told%half != 0 {
			t.Fatalf("%d is told as %q, which no rule shows (%v)", l, said, err)
		}
		if under && over || under != (l < told) || over != (l > told) || 2*max(l-told, told-l) > half {
			t.Errorf("%d EMU is told as %q, which is %d", l, said, told)
		}
		if l%half == 0 && (under || over) {
			t.Errorf("%d EMU lies at a mark and is told as %q", l, said)
		}
	})
}
