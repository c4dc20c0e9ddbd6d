package measure

import (
	"errors"
	"testing"

	"pgregory.net/rapid"

	"tuckmark/config/problem"
)

const half = Inch / 2

func TestParse(t *testing.T) {
	for _, c := range []struct {
		text string
		unit Unit
		want Length
	}{
		{"4", In, 4 * Inch}, {"4", Mm, 4 * Millimetre}, {"4.5", In, 9 * half}, {"4,5", In, 9 * half}, {"4,5", Cm, 45 * Millimetre},
		{"4 1/2", In, 9 * half}, {"4-1/2", In, 9 * half}, {"4 - 1/2", In, 9 * half}, {"4–1/2", In, 9 * half}, {"4 and 1/2", In, 9 * half},
		{"4½", In, 9 * half}, {"4 ½ in", Mm, 9 * half}, {"½", In, half}, {"4-½", In, 9 * half}, {"3⅛", In, 25 * Inch / 8},
		{`4.5"`, Mm, 9 * half}, {"4 1/2”", Mm, 9 * half}, {"4 1/2“", Mm, 9 * half}, {"4 1/2″", Mm, 9 * half}, {"4.5''", Mm, 9 * half}, {"4.5’’", Mm, 9 * half},
		{"4.5 in.", Mm, 9 * half}, {"4.5in", Mm, 9 * half}, {"4.5 Inches", Mm, 9 * half}, {"1 inch", Mm, Inch}, {"1 INCH", Mm, Inch},
		{"114 mm", In, 114 * Millimetre}, {"11.4 cm", In, 114 * Millimetre}, {"11,4cm", In, 114 * Millimetre}, {"12pt", In, 12 * Point}, {"10.5 points", In, 21 * Point / 2},
		{"3/4", In, 3 * Inch / 4}, {"3 / 4 in", Mm, 3 * Inch / 4}, {"4/2", In, 2 * Inch}, {"1/3", In, Inch / 3}, {"3⁄4", In, 3 * Inch / 4},
		{".5", In, half}, {",5", In, half}, {"0.5", In, half}, {"4.", In, 4 * Inch}, {"  4 \n", In, 4 * Inch}, {"4\u00a01/2", In, 9 * half},
		{"４．５", Mm, 162000}, {"+4.5", In, 9 * half},
		{"４", In, 4 * Inch}, {"0", In, 0}, {"-1", In, -Inch}, {"-1/2 in", In, -half}, {"−2 1/2", In, -5 * half},
		{"4,125", In, 33 * Inch / 8}, {"0,125 mm", In, 4500}, {"1000 in", In, LongestRead},
		{"1/7", In, 130629},      // 914,400 / 7 is 130,628.57
		{"1.0000001", Mm, 36000}, // nearer to 36,000 than to any other
	} {
		got, err := Parse(c.text, c.unit)
		if c.want == 0 && c.text != "0" {
			if err == nil {
				t.Errorf("Parse(%q, %v) = %d, want an error", c.text, c.unit, got)
			}
			continue
		}
		if err != nil || got != c.want {
			t.Errorf("Parse(%q, %v) = %d, %v, want %d", c.text, c.unit, got, err, c.want)
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for text, want := range map[string]string{
		"":               "the measure is empty",
		" \t":            "the measure is empty",
		"four":           "“four” is not a measure",
		"4 yards":        "“4 yards” is not a measure: “yards” is no unit that is known here",
		"4'":             "“4'” is not a measure: “'” is no unit that is known here",
		"4 1/0":          "“4 1/0” has a 0 under its fraction",
		"4 3/2":          "“4 3/2” has a fraction of one or more beside its whole number",
		"4.5 1/2":        "“4.5 1/2” is not a measure",
		"1/2/3":          "“1/2/3” is not a measure",
		"4 x 2":          "“4 x 2” is not a measure",
		"4 2":            "“4 2” is not a measure",
		"4.5.1":          "“4.5.1” is not a measure",
		"about 4":        "“about 4” is not a measure",
		"1e3":            "“1e3” is not a measure",
		"1,200 mm":       "“1,200 mm” can be read in two ways: 1.200 or 1200",
		"1001":           "“1001” is larger than anything that can be printed",
		"99999999999999": "“99999999999999” is larger than anything that can be printed",
		"1.111111111111111111111111111111111111111111111111111111111111": "“1.1111111111111111111111111111111111111…” is too long for a measure",
	} {
		got, err := Parse(text, In)
		if err == nil {
			t.Errorf("Parse(%q) = %d, want an error", text, got)
			continue
		}
		var e *problem.Problem
		if !errors.As(err, &e) || e.Hint == "" || err.Error() != want {
			t.Errorf("Parse(%q): %q (%T), want %q", text, err, err, want)
		}
	}
}

func TestParseSize(t *testing.T) {
	four, two, a4 := 4*Inch, 2*Inch, Size{210 * Millimetre, 297 * Millimetre}
	for _, c := range []struct {
		text string
		unit Unit
		want Size
	}{
		{"4 x 2", In, Size{four, two}}, {"4x2", In, Size{four, two}}, {"4X2", In, Size{four, two}}, {"4×2", In, Size{four, two}}, {"4 * 2", In, Size{four, two}},
		{`4" by 2 1/2"`, Mm, Size{four, 5 * half}}, {"4” x 2”", Mm, Size{four, two}}, {`4" x 2`, Mm, Size{four, two}}, {"4 in x 2 in", Mm, Size{four, two}},
		{"10 x 5 cm", In, Size{100 * Millimetre, 50 * Millimetre}}, {"10 cm x 2 in", Mm, Size{100 * Millimetre, two}}, {"4½×2½", In, Size{9 * half, 5 * half}},
		{"4-1/2 x 2-1/2 in", Mm, Size{9 * half, 5 * half}}, {"4,5 x 2,5", In, Size{9 * half, 5 * half}}, {".5 x .5", In, Size{half, half}},
		{"4 wide x 2 high", In, Size{four, two}}, {`2" high x 4" wide`, Mm, Size{four, two}}, {"4w x 2h", In, Size{four, two}}, {"2h x 4w in", In, Size{}},
		{"A4", In, a4}, {"a4 landscape", In, a4.Turn()}, {"Letter", Mm, Size{17 * half, 11 * Inch}}, {"12 x 12", Cm, Size{120 * Millimetre, 120 * Millimetre}},
		{"4", In, Size{}}, {"4 x", In, Size{}}, {"x 2", In, Size{}}, {"4 x 2 x 1", In, Size{}}, {"4, 2", In, Size{}}, {"", In, Size{}}, {"4 xx 2", In, Size{}}, {"large", In, Size{}},
	} {
		got, err := ParseSize(c.text, c.unit)
		if (err != nil) != (c.want == Size{}) || got != c.want {
			t.Errorf("ParseSize(%q, %v) = %v, %v, want %v", c.text, c.unit, got, err, c.want)
		}
	}
}

// The sizes are those of CSS Paged Media Module Level 3, section "page size", which gives them in ISO 216's millimetres
// and in inches; a point is 1/72 in there, so A4 is 595.2756 x 841.8898 pt.
func TestPaper(t *testing.T) {
	for name, want := range map[string]string{
		"A3": "297 x 420 mm", "A4": "210 x 297 mm", "A5": "148 x 210 mm", "a6": "105 x 148 mm", "B4": "250 x 353 mm", "B5": "176 x 250 mm",
		"JIS-B5": "182 x 257 mm", "JIS-B4": "257 x 364 mm", "letter": "8.5 x 11 in", "US Letter": "8.5 x 11 in", "legal": "8.5 x 14 in", "ledger": "11 x 17 in",
		"12 x 12": "12 x 12 in", "DIN A4": "210 x 297 mm", "A4 (landscape)": "297 x 210 mm",
	} {
		s, err := ParseSize(want, In)
		if got, wrong := ParseSize(name, In); err != nil || wrong != nil || got != s {
			t.Errorf("ParseSize(%q) = %v, %v, want %s", name, got, wrong, want)
		}
	}
	if _, err := ParseSize("vellum", In); err == nil {
		t.Error("vellum is no size")
	}
	a4, _ := ParseSize("A4", In)
	if w, h := a4.W.Points(), a4.H.Points(); w < 595.27555 || w > 595.27565 || h < 841.88975 || h > 841.88985 {
		t.Errorf("A4 is %f x %f pt", w, h)
	}
	// ISO 216: each A size is half of the one before, its sides rounded down to the millimetre.
	for i := 0; i < 7; i++ {
		big, small := papers["a"+string(rune('0'+i))], papers["a"+string(rune('1'+i))]
		if small.H != big.W || small.W != big.H/Millimetre/2*Millimetre {
			t.Errorf("A%d %v is not half of A%d %v", i+1, small, i, big)
		}
	}
}

// An inch is 25.4 mm by the international yard of 1 July 1959; a point is 1/72 in (CSS Values 3). The sizes are
// computed from these: 4 1/2 in = 114.3 mm = 324 pt, 3 1/8 in = 79.375 mm = 225 pt.
func TestFormat(t *testing.T) {
	for _, c := range []struct {
		l    Length
		u    Unit
		want string
	}{
		{9 * half, In, "4 1/2 in"}, {9 * half, Mm, "114.3 mm"}, {9 * half, Pt, "324 pt"}, {9 * half, Cm, "11.43 cm"},
		{25 * Inch / 8, In, "3 1/8 in"}, {25 * Inch / 8, Mm, "79.375 mm"}, {25 * Inch / 8, Pt, "225 pt"}, {Inch / 32, In, "1/32 in"}, {Inch, Mm, "25.4 mm"},
		{0, In, "0 in"}, {-half, In, "-1/2 in"}, {-half, Mm, "-12.7 mm"}, {Inch / 100, In, "0.01 in"}, {1, In, "0.000001 in"}, {1, Mm, "0.00003 mm"},
		{21 * Point / 2, Pt, "10.5 pt"}, {Inch / 3, In, "0.333333 in"}, {210 * Millimetre, In, "8.267717 in"}, {210 * Millimetre, Mm, "210 mm"},
	} {
		if got := c.l.Format(c.u); got != c.want {
			t.Errorf("%d in %v is %q, want %q", c.l, c.u, got, c.want)
		}
	}
	if got := (Size{9 * half, 4 * half}).Format(In); got != "4 1/2 x 2 in" {
		t.Errorf("size: %q", got)
	}
}

// What Format prints, Parse reads as the same length, whatever a bare number would have meant.
func TestFormatRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(int64(-LongestRead), int64(LongestRead)).Draw(t, "l"))
		m := Length(rapid.Int64Range(0, int64(20*Inch)).Draw(t, "m"))
		u, other := Unit(rapid.IntRange(0, 3).Draw(t, "u")), Unit(rapid.IntRange(0, 3).Draw(t, "other"))
		if got, err := Parse(l.Format(u), other); err != nil || got != l {
			t.Fatalf("%d prints as %q, reads as %d, %v", l, l.Format(u), got, err)
		}
		s := Size{m, l}
		if got, err := ParseSize(s.Format(u), other); err != nil || got != s {
			t.Fatalf("%v prints as %q, reads as %v, %v", s, s.Format(u), got, err)
		}
	})
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"4 1/2", "4,5", "4½ in", "4” x 2”", "10 x 5 cm", "-3/4", "A4", "1,200 mm", "4 wide x 2 high", "９"} {
		f.Add(s, uint8(0))
	}
	f.Fuzz(func(t *testing.T, text string, unit uint8) {
		u := Unit(unit % 4)
		if l, err := Parse(text, u); err == nil {
			if l > LongestRead || l < -LongestRead {
				t.Fatalf("%q is %d", text, l)
			}
			if again, err := Parse(l.Format(u), u); err != nil || again != l {
				t.Fatalf("%q is %d, prints as %q, which is %d, %v", text, l, l.Format(u), again, err)
			}
		}
		if s, err := ParseSize(text, u); err == nil {
			if again, err := ParseSize(s.Format(u), u); err != nil || again != s {
				t.Fatalf("%q is %v, prints as %q, which is %v, %v", text, s, s.Format(u), again, err)
			}
		}
	})
}
