package guide

import "testing"

// Space is kept for every page number, wherever in a text the first one stands.
func TestWidest(t *testing.T) {
	for text, want := range map[string]string{
		"12":                           "0000",
		"8, 14-15":                     "0000, 0000-0000",
		"page 6 A":                     "page 0000 A",
		"pages 6-7 A; page 9 A-C":      "pages 0000-0000 A; page 0000 A-C",
		"Load 2 sheets: print page 8.": "Load 2 sheets: print page 0000.",
		"Dry for 15 minutes. Then cut by the guide, from page 7.": "Dry for 15 minutes. Then cut by the guide, from page 0000.",
	} {
		if got := widest(text); got != want {
			t.Errorf("%q is %q at its widest, want %q", text, got, want)
		}
	}
}
