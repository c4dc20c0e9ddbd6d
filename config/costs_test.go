package config

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// TestCosts: however costs are written, they are read alike; an amount may carry its sign, and a name anything but =.
func TestCosts(t *testing.T) {
	want := []Cost{{"ink", 350, ByArea}, {"postage, 2nd class", 480, ByPerson}, {"glue", 5, ByBlock}}
	for _, text := range []string{
		"costs: ink = 3.50; postage, 2nd class = 4.80 by person; glue = 0,05 by block",
		"costs:\n  ink: 3.5\n  postage, 2nd class: 4.80 by person\n  glue: 0.05 by block",
		"costs:\n  - ink = 3.50 by area\n  - postage, 2nd class = 4.80 by people\n  - glue: 0.05 by blocks",
		"costs: [ink = €3.50, {\"postage, 2nd class\": 4.80 € by people}, {glue: 0.05 by block}]",
	} {
		if got := load(t, text); !slices.Equal(got.Costs, want) {
			t.Errorf("%s: %v", text, got.Costs)
		}
	}
	// A name stays as it was typed, and two that differ by letter case alone are one.
	want = []Cost{{"Ink", 350, ByArea}, {"Postage 2nd Class", 480, ByPerson}}
	for _, text := range []string{
		"costs: Ink = 3.50; Postage 2nd Class = 4.80 by person",
		"costs:\n  Ink: 3.50\n  Postage  2nd Class: 4.80 by person",
		"costs:\n  - Ink = 3.50\n  - Postage 2nd Class: 4.80 by person",
		"COSTS: {\"Ink\": 3.50, \" Postage 2nd Class\": 4.80 by person}",
	} {
		if got := load(t, text); !slices.Equal(got.Costs, want) {
			t.Errorf("%s: %v", text, got.Costs)
		}
	}
	for _, text := range []string{"costs: Ink = 3.50; ink = 1", "costs:\n  Ink: 3.50\n  ink: 1", "costs: [Ink = 1, {iNK: 2}]"} {
		if s, found := Load(Source{File: "tuckmark.yaml", Data: []byte(text)}); s != nil || !strings.Contains(found[0].What, "given twice") {
			t.Errorf("%s: %v", text, found)
		}
	}
	// What each person pays is no sum: 4.80 for each of twelve is 57.60, and 4.80 by person is 4.80. Nor are words an amount that say who knows what.
	for _, amount := range []string{"4.80 each person", "4.80 for each person", "4.80 per person", "0.05 per block", "3.50 each", "2 ea", "3.50 pp", "3.50 p.p.", "3.50 a person", "50 cents", "50 ct", "50p", "5 %", "3.50 glue and tape"} {
		if s, found := Load(Source{File: "tuckmark.yaml", Data: []byte("costs: {ink: " + amount + "}")}); s != nil || found.Errors() != 1 {
			t.Errorf("%s: %v", amount, found)
		}
	}
	if s := load(t, "costs: {ink: €3.50}"); s.Currency != "€" {
		t.Errorf("the sign of amounts is %q", s.Currency)
	}
	for _, text := range []string{"costs: []", "costs: {}", "costs:\n  {} # none yet"} {
		if s := load(t, text); s.Costs != nil {
			t.Errorf("no costs, %s, are %v", text, s.Costs)
		}
	}
	if s := load(t, "costs: {a = b: 3.50 by person}"); !slices.Equal(s.Costs, []Cost{{"a = b", 350, ByPerson}}) {
		t.Errorf("what is called a = b is %v", s.Costs)
	}
}

// So many costs, printers or leftovers that their account or the packing takes minutes are refused; as many as any job has are not.
func TestMostInLists(t *testing.T) {
	for _, c := range []struct {
		name, item string
		most, far  int // the file itself may be too large for ten times as many
		told       string
	}{{"costs", "  - thing %d = 1\n", mostCosts, 10 * mostCosts, "costs, and 100 are the most"}, {"printers", "  - name: p%d\n", mostPrinters, 10 * mostPrinters, "printers, and 300 are the most"},
		{"stocks:\n - name: vellum\n   leftovers", "   - 3 x %d\n", MostPaper, 3 * MostPaper, "sizes in the list, and 1000 are the most"}} {
		for _, n := range []int{c.most, c.most + 1, c.far} {
			var text strings.Builder
			text.WriteString(c.name + ":\n")
			for i := range n {
				fmt.Fprintf(&text, c.item, i)
			}
			_, problems := Load(Source{File: "tuckmark.yaml", Data: []byte(text.String())})
			if told := strings.Contains(fmt.Sprint(problems), c.told); told != (n > c.most) {
				t.Errorf("%d %s: refused: %v", n, c.name, told)
			}
		}
	}
}
