package report

import (
	"slices"
	"strings"
	"testing"

	"tuckmark/config/problem"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

// TestWholeWishesStand: what is shown in part elsewhere stands whole in the report, where a cell has room for it.
func TestWholeWishesStand(t *testing.T) {
	for long, stands := range map[string]bool{strings.Repeat("wörds ", 5000): true, strings.Repeat("𝄞", 16_384): false} {
		d := made.Three(made.Settings())
		d.Plan.Held = append(d.Plan.Held, intake.Held{Place: problem.Place{File: "weekend.xlsx", Row: 9}, Code: "MK-9", Owner: "Mia Kay", Why: "short…", Whole: long})
		in := input(d)
		in.Problems.Note(problem.Place{File: "a.txt"}, "short…", "", "")
		in.Problems[0].Whole = long
		want := "short…"
		if stands {
			want = long
		}
		for _, sheet := range []string{heldSheet, Texts, Notes} {
			if !slices.ContainsFunc(writtenRows(t, in, sheet), func(row []string) bool { return slices.Contains(row, want) }) {
				t.Errorf("%s: %.20s… does not stand there", sheet, want)
			}
		}
	}
}
