package proof

import (
	"fmt"
	"strings"
	"testing"
)

// TestWholeWishes: a wish that is shown in part says where all of it stands, and the report gets all of it.
func TestWholeWishes(t *testing.T) {
	row := []string{"One", "Two"}
	for _, n := range []int{100, 4000} {
		var words []string
		for i := range n {
			words = append(words, fmt.Sprint("w", i))
		}
		wish := strings.Join(words, " ")
		for name, text := range map[string]string{
			"held":            "\nMK-1 {One} change: " + wish,
			"in lines":        "\nMK-1 {One} change: " + strings.ReplaceAll(wish, "0 ", "0\n"),
			"for two":         "\nMK-1, MK-2: " + wish,
			"named beside":    "\nMK-2 larger than MK-1 " + wish,
			"outdone":         "\nMK-1 {One} change: " + wish + "\nMK-1 {One} ok",
			"another beside":  "\nMK-1 {One} change: " + wish + "\nMK-1 {One} change: larger",
			"of no row":       "\nMK-9 12345678 change: " + wish,
			"of another time": "\nMK-1 12345678 change: " + wish,
			"settled":         "\nMK-1 12345678 change: " + wish + "\nMK-1 {One} ok",
		} {
			o := tallied(t, row, row, text)
			found := false
			for _, p := range o.Problems {
				if !strings.Contains(p.What, "w0 w1") {
					continue
				}
				found = true
				if !strings.Contains(p.What, "…” (all of it: a.txt, from line 2)") || !strings.Contains(p.Whole, wish+"”") || strings.Contains(p.Whole, "…") || len(p.What) > 600 {
					t.Errorf("%s, %d: %.400s\n%.300s", name, n, p.What, p.Whole)
				}
			}
			for _, h := range o.Held {
				if strings.Contains(h.Why, "w0") && !strings.Contains(h.Why+h.Whole, wish) {
					t.Errorf("%s, %d: %.300s", name, n, h.Why)
				}
			}
			if !found {
				t.Errorf("%s, %d: %v", name, n, o.Problems)
			}
		}
	}
	// Of more than a cell may hold, what the report gets says so at its end.
	o := tallied(t, row, row, "MK-1 {One} change: "+strings.Repeat("é ", 40_000))
	if len(o.Held) != 1 || len(o.Held[0].Whole) > 32_000 || !strings.HasSuffix(o.Held[0].Whole, "…” (all of it: a.txt, from line 1)") {
		t.Errorf("%d held", len(o.Held))
	}
}
