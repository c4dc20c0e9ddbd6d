package table

import (
	"testing"
)

// Both epochs, by the day numbers of ECMA-376 part 1, 18.17.4.1: 1 is 1 January 1900, and with date1904 0 is 1 January
// 1904; 60 is the 29 February 1900 that never was, shown here as the day before.
func TestSerial(t *testing.T) {
	for _, c := range []struct {
		n    float64
		d04  bool
		want string
	}{
		{1, false, "1900-01-01 00:00"}, {59, false, "1900-02-28 00:00"}, {60, false, "1900-02-28 00:00"}, {61, false,
			"1900-03-01 00:00"}, {46114, false, "2026-04-02 00:00"},
		{46114.5625, false, "2026-04-02 13:30"}, {0, true, "1904-01-01 00:00"}, {44652, true, "2026-04-02 00:00"}, {2958465,
			false, "9999-12-31 00:00"},
	} {
		m, ok := serial(c.n, c.d04)
		if got := m.time.Format("2006-01-02 15:04"); !ok || got != c.want {
			t.Errorf("%v (1904: %v) is %s, want %s", c.n, c.d04, got, c.want)
		}
	}
	for _, n := range []float64{-1, 2958466} {
		if m, ok := serial(n, false); ok {
			t.Errorf("%v is %v", n, m)
		}
	}
}

// A time of day is written as its format shows it.
func TestTimeOfDay(t *testing.T) {
	for code, want := range map[string]string{"h:mm": "18:05", "hh:mm:ss": "18:05:09", "h:mm AM/PM": "6:05 PM", "[$-409]h:mm:ss AM/PM;@": "6:05:09 PM", "hh:mm a/p": "6:05 PM", "d mmm yyyy h:mmam/pm": "4 May 2026 6:05 PM", "AM/PM h:mm": "6:05 PM"} {
		m, ok := serial(46146+float64(18*3600+5*60+9)/86400, false)
		if m.look = parseFormat(code)[0]; !ok || !m.look.date || m.look.odd || m.String() != want {
			t.Errorf("%s: %s (odd: %v), want %s", code, m, m.look.odd, want)
		}
	}
}

// What only looks like the halves of the day in a text of a format is none.
func TestNoTimeOfDay(t *testing.T) {
	for code, want := range map[string]string{`0" lemons a pizza/person"`: " lemons a pizza/person", `0 "AM/PM"`: " AM/PM", `0\a\/\p`: "a/p"} {
		if s := parseFormat(code)[0]; s.date || s.suffix != want {
			t.Errorf("%s: a date %v, %q", code, s.date, s.suffix)
		}
	}
}

// A date whose format says more than the date is not read as the date alone; what languages write between its parts is no such thing.
func TestWordsInDates(t *testing.T) {
	for code, adds := range map[string]bool{
		"d mmmm yyyy": false, `[$-409]mmmm\ d\,\ yyyy;@`: false, `d" de "mmmm" de "yyyy`: false, `dddd", den "d. mmmm yyyy`: false, `yyyy"年"m"月"d"日"`: false,
		"yyyy年m月d日": false, `d"th of "mmmm`: false, `d\t\h mmmm`: false, `h:mm" Uhr"`: false, `h:mm AM/PM`: false, `yyyy-mm-dd"T"hh:mm:ss"Z"`: false, `(d mmmm) | dddd`: false,
		`d mmmm yyyy "r."`: false, `_-d mmmm* `: false,
		`d mmmm" at the mill"`: true, `"Since "yyyy`: true, `"Week of "d mmmm`: true, `d\ mmmm\ \m\i\l\l`: true, `d mmmm" 2026"`: true, `d mmmm"♥"`: true, `"~"yyyy`: true, `d mmm" (pm)"`: true, `dddd" soup"`: true,
	} {
		if s := parseFormat(code)[0]; !s.date || s.odd != adds {
			t.Errorf("%s: a date %v, odd %v", code, s.date, s.odd)
		}
	}
}
