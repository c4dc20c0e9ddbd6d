package intake

import (
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
)

func TestAlign(t *testing.T) {
	for text, want := range map[string]string{
		"left": "left top", "LEFT": "left top", "center": "centre top", "Centre": "centre top", "centred": "centre top", "centre middle": "centre middle", "middle": "centre middle", "right, bottom": "right bottom",
		"justified": "justified top", "Justify": "justified top", "top left": "left top", "flush right": "right top", "ragged right": "left top", "Ragged left": "right top", "left, vertical centre": "left middle", "vertically centred left": "left middle", "left aligned": "left top", "bottom": "left bottom", "middle left": "left middle", "C": "centre top",
		"left right": "", "sideways": "", "top bottom": "", "flush": "", "": "",
	} {
		var ty config.Type
		ok := parseAlign(text, &ty)
		if got := ty.Align.String() + " " + ty.Vertical.String(); ok != (want != "") || ok && got != want {
			t.Errorf("%q: %v %s, want %s", text, ok, got, want)
		}
	}
	for text, auto := range map[string]bool{"auto": true, "auto, middle": true, "left": false, "middle": false, "bottom": true, "centre top": false} {
		ty := config.Type{AutoAlign: true}
		if ok := parseAlign(text, &ty); !ok || ty.AutoAlign != auto || auto && ty.Align != config.Left {
			t.Errorf("%q: %v, by itself %v, %s", text, ok, ty.AutoAlign, ty.Align)
		}
	}
}

func TestTuck(t *testing.T) {
	in := measure.Inch
	given := measure.Sides{Top: in / 2}
	for text, want := range map[string]measure.Sides{
		"1/2 in": {Top: in / 2}, "1/2": {Top: in / 2}, "0.5": {Top: in / 2}, "1": {Top: in}, "none": {}, "None": {}, "no": {}, "0": {}, "-": {}, "no tuck": {}, "yes": given, "10 mm": {Top: 10 * measure.Millimetre},
		"top 1/2": {Top: in / 2}, "top 1/2 left 1/4": {Top: in / 2, Left: in / 4}, "top: 1/2 in, left: 1/4 in": {Top: in / 2,
			Left: in / 4}, "1/2 in top": {Top: in / 2}, "1/2 top, 1/4 left": {Top: in / 2, Left: in / 4},
		"1/2 in on top and 1/4 in at the left": {Top: in / 2,
			Left: in / 4}, "all sides 1/4": measure.Same(in / 4), "1/4 all around": measure.Same(in / 4), "left and right 1/4": {Left: in / 4, Right: in / 4}, "bottom 3/8\"": {Bottom: 3 * in / 8},
		"both sides 1/4": {Left: in / 4, Right: in / 4}, "top 1/2, each side 1/4": {Top: in / 2, Left: in / 4, Right: in / 4}, "1/4 on all 4 sides": measure.Same(in / 4), `1/4" all four edges`: measure.Same(in / 4), "all 4 sides 1/4": measure.Same(in / 4), "every side 1/4": measure.Same(in / 4),
		"1/2 in on the left side": {Left: in / 2}, "1/2 in top, 1/4 in all around": {Top: in / 2, Left: in / 4, Right: in / 4, Bottom: in / 4}, "left 1/2, sides 1/4": {Left: in / 2, Right: in / 4}, "top 0, all sides 1/4": {Left: in / 4, Right: in / 4, Bottom: in / 4},
		"top 1 sides 2": {Top: in, Left: 2 * in, Right: 2 * in}, "1 left 2 sides": {Left: in, Right: 2 * in},
	} {
		if got, err := parseTuck(text, measure.In, given); err != nil || got != want {
			t.Errorf("%q: %+v, %v, want %+v", text, got, err, want)
		}
	}
	for _, text := range []string{"1/4 each side", "1/4 on each side", "each side: 1/4", "plenty", "top", "top 1/2, top 1/4", "1/2 elsewhere", "top 1/2 left", "1/2 top 1/4", "top 1/2 3/4", "1/4 all 3 sides", "side 1/2", "on the side 1/2", "edges 1/4", "1/4 at the edges", "1/2 one side", "two sides 1/4", "1/4 top and 2 sides", "top and 2 sides 1/4", "2 sides", "3 sides 1/4", "side edges 1/4"} {
		if got, err := parseTuck(text, measure.In, given); err == nil {
			t.Errorf("%q is %+v", text, got)
		}
	}
	// One edge has its unit and another has none.
	for text, open := range map[string]bool{"top 1, left 0.5 cm": true, "top 10 mm, left 5": true, "1/2 top, 5 mm left": true, "top 1/2, left 1/4 in": false, "top 0, left 5 mm": false, "top 1 cm, left 5 mm": false} {
		if _, err := parseTuck(text, measure.In, given); (err == errSomeUnits) != open || !open && err != nil {
			t.Errorf("%q: %v", text, err)
		}
		if desk := withUnit(text, measure.In, measure.Cm); open && !strings.HasSuffix(desk, unitAsked) {
			t.Errorf("%q is typed as %q", text, desk)
		}
	}
}

func TestSmallWishes(t *testing.T) {
	for text, want := range map[string]int{"2": 2, "2x": 2, "x2": 2, "2 copies": 2, "2.0": 2, "two": 2, "twice": 2, "12": 12,
		"1 copy": 1, "0": 0} {
		if n, ok := parseCount(text); !ok || n != want {
			t.Errorf("%q: %d %v", text, n, ok)
		}
	}
	for _, text := range []string{"1,000", "1.000", "2.5", "-1", "some", "", "2 3", "99999999"} {
		if n, ok := parseCount(text); ok {
			t.Errorf("%q is %d", text, n)
		}
	}
	for text, want := range map[string]int64{"3.50": 350, "$3.50": 350, "3,5 €": 350, "2": 200, "€ 0.75": 75, ".75": 75,
		"0.500": 50, ".750": 75, "EUR 2": 200, "0": 0} {
		if n, ok := parseAmount(text); !ok || n != want {
			t.Errorf("%q: %d %v", text, n, ok)
		}
	}
	for _, text := range []string{"", "free", "-1", "1.2.3", "$", "1.500", "1,000", "¥10,000", "2,500 Ft"} {
		if n, ok := parseAmount(text); ok {
			t.Errorf("%q is %d", text, n)
		}
	}
	for text, want := range map[string]bool{"yes": true, "Y": true, "TRUE": true, "x": true, "ok": true, "✓": true, "no": false,
		"N": false, "never": false, "Don't turn": false, "0": false, "-": false} {
		if yes, ok := parseYes(text); !ok || yes != want {
			t.Errorf("%q: %v %v", text, yes, ok)
		}
	}
	// CSS Color 4: darkblue is #00008b, rebeccapurple aside, grey and gray are one.
	for text, want := range map[string]string{"dark blue": "#00008b", "DarkBlue": "#00008b", "#204080": "#204080",
		"204080": "#204080", "#fff0": "", "grey": "#808080", "gray": "#808080", "black ink": "#000000", "#123": "#112233",
		"shiny": ""} {
		c, _, ok := parseInk(text)
		if ok != (want != "") || ok && c.String() != want {
			t.Errorf("%q: %v %v", text, c, ok)
		}
	}
}
