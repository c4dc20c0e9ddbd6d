package intake

import (
	"strings"
	"testing"

	"tuckmark/config"
	. "tuckmark/intake/intaketest"
)

// amendable is a job of a CSV file with these lines, and what was read of its last held row.
func amendable(t *testing.T, lines string) (*Job, *Block, *config.Settings) {
	t.Helper()
	s := Home()
	j, _ := Read(Write(t, "a.csv", lines), s)
	if len(j.Held) == 0 || j.Held[len(j.Held)-1].Read == nil {
		t.Fatal("nothing is held")
	}
	return j, j.Held[len(j.Held)-1].Read, s
}

// TestAmend: a row that is read again with what it lacked is the block that it would be if that had been typed there.
func TestAmend(t *testing.T) {
	for _, c := range []struct{ name, lines, text, space, want string }{
		{"text", "Name,Journaling,Width,Height\nAda Lind,,4,2\n", "In *May*", "", "AL-1 4 x 2 in In *May*"},
		{"lines", "Name,Journaling,Width,Height\nAda Lind,,4,2\n", "In\n\nMay", "", "AL-1 4 x 2 in In\n\nMay"},
		{"space", "Name,Journaling,Width (cm),Height (cm)\nAda Lind,In May,,\n", "", "10 x 5", "AL-1 10 x 5 cm In May"},
		{"in another unit", "Name,Journaling,Width (cm),Height (cm)\nAda Lind,In May,,\n", "", "4 x 2 in", "AL-1 4 x 2 in In May"},
		{"one side", "Name,Journaling,Width,Height\nAda Lind,In May,four,2\n", "", "4 1/2", "AL-1 4 1/2 x 2 in In May"},
		{"the other side", "Name,Journaling,Width,Height\nAda Lind,In May,4 1/2,\n", "", "2", "AL-1 4 1/2 x 2 in In May"},
		{"one column", "Name,Journaling,Space\nAda Lind,In May,?\n", "", "4 x 2", "AL-1 4 x 2 in In May"},
		{"the height first", "Name,Journaling,Space (h x w)\nAda Lind,In May,?\n", "", "4 x 2", "AL-1 4 x 2 in In May"},
		{"the other way round", "Name,Journaling,Space (w x h)\nAda Lind,In May,?\n", "", "4 x 2", "AL-1 4 x 2 in In May"},
		{"widths that are whole sizes", "Name,Journaling,Height x Width (cm)\nAda Lind,In April,5 x 8\nAda Lind,In May,\n", "", "8 x 5", "AL-2 8 x 5 cm In May"},
		{"a width alone", "Name,Journaling,Width\nAda Lind,In April,4 x 2\nAda Lind,In May,\n", "", "8 x 5 cm", "AL-2 8 x 5 cm In May"},
		{"a name from above", "Name,Journaling,Width,Height\nAda Lind,In April,4,2\ndo.,,4,2\n", "In May", "", "AL-2 4 x 2 in In May"},
		{"a line from above", "Name,Journaling,Width,Height,Page\nAda Lind,In April,4,2,Lakes\nAda Lind,,4,2,ditto\n", "In May", "", "AL-2 4 x 2 in In May"},
		{"the unit in a row above", "Name,Journaling,Width,Height,Unit\nAda Lind,In April,10,8,cm\nAda Lind,,10,8,\n", "In May", "", "held: it cannot be told in what unit “10” is"},
		{"a row of units", "Name,Journaling,Width,Height\n,,cm,cm\nAda Lind,,10,8\n", "In May", "", "held: it cannot be told in what unit “10” is"},
		{"a line about all", "Name,Journaling,Width,Height\nAda Lind,In April,4 in,2 in\nAll measures in cm,,,\nAda Lind,,10,8\n", "In May", "", "held: it cannot be told in what unit “10” is"},
		{"a unit that is open, and the space", "Name,Journaling,Width,Height\n,,cm,cm\nAda Lind,,10,8\n", "In May", "10 x 8 cm", "AL-1 10 x 8 cm In May"},
		{"two names", "First name,Last name,Journaling,Width,Height\nAda,Lind,,4,2\n", "In May", "", "AL-1 4 x 2 in In May"},
		{"the second of a row", "Name,Journaling 1,Space 1,Journaling 2,Space 2\nAda Lind,In April,4 x 2,In May,\n", "", "3 x 1", "AL-2 3 x 1 in In May"},
		{"another fault stays", "Name,Journaling,Width,Height,Stock\nAda Lind,,4,2,birch\n", "In May", "", "held: there is no stock “birch”"},
		{"still to be filled in", "Name,Journaling,Width,Height\nAda Lind,,4,2\n", "TBD", "", "no: “TBD” is still to be filled in"},
		{"no measure", "Name,Journaling,Width,Height\nAda Lind,In May,,\n", "", "four by two", "no: “four by two” is not a width and a height"},
		{"one side of two", "Name,Journaling,Width,Height\nAda Lind,In May,,\n", "", "4", "no: “4” is not a width and a height"},
		{"nothing", "Name,Journaling,Width,Height\nAda Lind,In May,,\n", "", "0 x 2", "no: the width is "},
		{"larger than any sheet", "Name,Journaling,Width,Height\nAda Lind,In May,,\n", "", "40 x 20", "no: the space 40 x 20 in is larger than any sheet"},
	} {
		j, was, s := amendable(t, c.lines)
		again, wrong := j.Amend(was, c.text, c.space, s)
		got := ""
		switch {
		case wrong != nil:
			got = "no: " + wrong.What
		case again.Block == nil:
			got = "held: " + again.Held.Why
		default:
			got = again.Block.Code + " " + again.Block.Space.Format(again.Block.Unit) + " " + again.Block.Markup()
		}
		if !strings.HasPrefix(got, c.want) {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
		// A second time it finds what was typed, or the row as it was.
		once, bad := j.Amend(was, "", "", s)
		if bad != nil || (once.Block == nil) != (again == nil || again.Block == nil) {
			t.Errorf("%s: read once more it is %+v, %v", c.name, once, bad)
		}
	}
}
