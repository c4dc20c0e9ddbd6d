package config

import (
	"slices"
	"testing"
)

// TestCosts: however costs are written, they are read alike; an amount may carry its sign, and a name anything but =.
func TestCosts(t *testing.T) {
	want := []Cost{{"ink", 350, ByArea}, {"postage, 2nd class", 480, ByPerson}, {"glue", 5, ByBlock}}
	for _, text := range []string{
		"costs: ink = 3.50; postage, 2nd class = 4.80 by person; glue = 0,05 by block",
		"costs:\n  ink: 3.5\n  postage, 2nd class: 4.80 each person\n  glue: 0.05 per block",
		"costs:\n  - ink = 3.50 by area\n  - postage, 2nd class = 4.80 by people\n  - glue: 0.05 by blocks",
		"costs: [ink = $3.50, {\"postage, 2nd class\": 4.80 for each person}, {glue: 0.05 by block}]",
	} {
		if got := load(t, text); !slices.Equal(got.Costs, want) {
			t.Errorf("%s: %v", text, got.Costs)
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
