package config

import (
	"slices"
	"strings"
	"testing"
)

// TestMirror: a stock that is asked for mirrored is marked and says how to load it, once; no other is.
func TestMirror(t *testing.T) {
	file := write(t, t.TempDir(), "stocks:\n- name: vellum\n  caution: Handle it by its edges.\n")
	s, problems := Load(Source{File: file, Home: t.TempDir(), Mirror: []string{" Vellum", "vellum", "clear  sticker"}})
	if len(problems) > 0 {
		t.Fatal(problems)
	}
	for _, stock := range s.Stocks {
		mirrored := stock.Name == "vellum" || stock.Name == "clear sticker"
		said := 0
		if mirrored {
			said = 1
		}
		if stock.Mirror != mirrored || strings.Count(stock.Caution, "Printed mirrored") != said {
			t.Errorf("%s: mirrored %v, “%s”", stock.Name, stock.Mirror, stock.Caution)
		}
	}
	if vellum, _ := s.Stock("vellum"); vellum.Caution != "Printed mirrored, to read right from the other side: load it so that its back is printed, and cut it with the printed side down. Handle it by its edges." {
		t.Errorf("vellum says “%s”", vellum.Caution)
	}
}

// TestMirrorUnknown: every stock that is not there is told, with the name that was probably meant or all there are.
func TestMirrorUnknown(t *testing.T) {
	s, problems := Load(Source{Home: t.TempDir(), Mirror: []string{"velum", "granite"}})
	if s != nil || len(problems) != 2 {
		t.Fatal(s, problems)
	}
	for i, want := range [][2]string{
		{"there is no stock “velum” to print mirrored", "did you mean “vellum”?"},
		{"there is no stock “granite” to print mirrored", "the stocks are “vellum”, “clear sticker”, “cardstock”, “plain paper”"},
	} {
		if p := problems[i]; p.What != want[0] || p.Hint != want[1] {
			t.Errorf("%s: %s", p.What, p.Hint)
		}
	}
}

// TestLeftoversElsewhere: where the folder's paper is listed elsewhere, the leftovers of the configuration are not in the
// settings, and its sheets are.
func TestLeftoversElsewhere(t *testing.T) {
	file := write(t, t.TempDir(), "stocks:\n- name: vellum\n  sheets: [{size: 12 x 12, count: 3}]\n  leftovers: [4 x 7, 5 x 9]\n")
	for _, elsewhere := range []bool{false, true} {
		s, problems := Load(Source{File: file, Home: t.TempDir(), PaperElsewhere: elsewhere})
		if len(problems) > 0 {
			t.Fatal(problems)
		}
		vellum, _ := s.Stock("vellum")
		if kept := slices.ContainsFunc(vellum.Sheets, func(s Sheet) bool { return s.Leftover }); kept == elsewhere {
			t.Errorf("listed elsewhere %v: %+v", elsewhere, vellum.Sheets)
		}
		if !slices.ContainsFunc(vellum.Sheets, func(s Sheet) bool { return s.Count == 3 }) {
			t.Errorf("the sheets are gone: %+v", vellum.Sheets)
		}
	}
}

// TestTakers: both the printer and the stock have to allow it; who says nothing allows all.
func TestTakers(t *testing.T) {
	s := &Settings{Printers: []Printer{{Name: "wide"}, {Name: "photo", Takes: []string{"vellum"}}, {Name: "office", Takes: []string{"cardstock", "vellum"}}}}
	for _, c := range []struct {
		stock Stock
		want  []int
	}{
		{Stock{Name: "vellum"}, []int{0, 1, 2}},
		{Stock{Name: "cardstock"}, []int{0, 2}},
		{Stock{Name: "plain paper"}, []int{0}},
		{Stock{Name: "vellum", Printers: []string{"office", "photo"}}, []int{1, 2}},
		{Stock{Name: "plain paper", Printers: []string{"office"}}, nil},
	} {
		if got := s.PrintersFor(c.stock); !slices.Equal(got, c.want) {
			t.Errorf("%s with %v: %v, want %v", c.stock.Name, c.stock.Printers, got, c.want)
		}
	}
}

// TestDrying: minutes or hours, up to a week; more is a slip, in whatever unit.
func TestDrying(t *testing.T) {
	for text, want := range map[string]int{"15": 15, "90 min": 90, "2 h": 120, "168 h": 7 * 24 * 60, "10080": 7 * 24 * 60,
		"169 h": -1, "10000 h": -1, "10081": -1, "99999999999999999999 min": -1, "99999999999999999999 h": -1} {
		s, problems := Load(Source{File: write(t, t.TempDir(), "stocks:\n- name: vellum\n  drying: "+text+"\n"), Home: t.TempDir()})
		if want < 0 {
			if len(problems) != 1 || problems[0].What != "drying: “"+text+"” is longer than a week" || problems[0].Hint != "check the number; at most 10080 minutes or 168 hours can be asked for" {
				t.Errorf("%s: %v", text, problems)
			}
			continue
		}
		if len(problems) > 0 {
			t.Errorf("%s: %v", text, problems)
			continue
		}
		if vellum, _ := s.Stock("vellum"); vellum.Drying != want {
			t.Errorf("%s: %d minutes, want %d", text, vellum.Drying, want)
		}
	}
}

// TestWhiteInk: an ink that leaves no trace is told once, where it is set, and not of every text.
func TestWhiteInk(t *testing.T) {
	s, problems := Load(Source{Home: t.TempDir(), Flags: map[string]string{"type.ink": "white"}})
	if s != nil || len(problems) != 1 || problems[0].What != "type.ink (flag): white ink cannot be printed" || problems[0].Hint == "" {
		t.Errorf("%v", problems)
	}
}
