package desk

import (
	"fmt"
	"strings"
	"testing"
	"time"
)

// rowsSay reports what the page of the journaling comes to say; it is laid anew meanwhile.
func (c *caller) rowsSay(ok func(page string) bool) string {
	page := ""
	for end := time.Now().Add(10 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
		if page = c.page("/part/blocks?who=all"); ok(page) {
			return ""
		}
	}
	return page
}

// TestAnsweredAsHeaded: an answered column ends as it would have below the right heading: a bare measure among others with a unit is asked about, or told of.
func TestAnsweredAsHeaded(t *testing.T) {
	const others = "Name,Journaling,Width,Height\nBob,We came home.,4,2\n"
	const odd = "Name,Journaling,Gap\nOdo Fenn,Plums in a sack,7 x 5\nUma Reed,Rain all day,6 x 4 cm\nZia Moss,Sea grey,5 x 5 cm\nIvo Hart,Boat red,5 x 6 cm\n"
	const half = "Name,Journaling,Gap\nOdo Fenn,Plums in a sack,7 x 5\nUma Reed,Rain all day,6 x 4\nZia Moss,Sea grey,5 x 5 cm\nIvo Hart,Boat red,5 x 6 cm\n"
	const two = "Name,Journaling,Xqq,Zyy\nOdo Fenn,Plums in a sack,7,5\nUma Reed,Rain all day,6 cm,4 cm\nZia Moss,Sea grey,5 cm,5 cm\nIvo Hart,Boat red,5 cm,6 cm\n"
	const twoHalf = "Name,Journaling,Xqq,Zyy\nOdo Fenn,Plums in a sack,7,5\nUma Reed,Rain all day,6 cm,4 cm\n"
	const wide = "Name,Journaling,Width,Zyy\nOdo Fenn,Plums in a sack,7,5\nUma Reed,Rain all day,6 cm,4 cm\nZia Moss,Sea grey,7 cm,5 cm\n"
	const bare, cm = "Name,Journaling,Gap\nOdo Fenn,Plums in a sack,7 x 5\nUma Reed,Rain all day,6 x 5\n", "Name,Journaling,Gap\nZia Moss,Sea grey,6 x 4 cm\nIvo Hart,Boat red,5 x 5 cm\nCy Poe,Fog,5 x 6 cm\n"
	gap, both := [][2]string{{"Gap", "Space"}}, [][2]string{{"Xqq", "Width"}, {"Zyy", "Height"}}
	const told = "number without a unit is read in in here, though "
	for _, c := range []struct {
		files      []string
		is         [][2]string
		cell, note string // "": none
	}{
		{[]string{odd}, gap, "7 x 5 ?", ""},
		{[]string{others, odd}, gap, "7 x 5 ?", ""},
		{[]string{half}, gap, "", told + "others are in cm, as in “5 x 5 cm”"},
		{[]string{two}, both, "7 ?", ""},
		{[]string{two}, both, "5 ?", ""},
		{[]string{two}, [][2]string{{"Zyy", "Height"}, {"Xqq", "Width"}}, "7 ?", ""},
		{[]string{twoHalf}, both, "", told + "others are in cm"},
		{[]string{wide}, [][2]string{{"Zyy", "Height"}}, "5 ?", ""},
		{[]string{bare, cm}, gap, "", told + "“later.csv” is in cm"},
		{[]string{cm, bare}, gap, "", told + "“crop.csv” is in cm"},
		{[]string{bare}, gap, "", ""},
		{[]string{cm}, gap, "", ""},
	} {
		t.Run(fmt.Sprint(c.files, c.is), func(t *testing.T) {
			by, general := cameIn(t, c.files[0])
			for _, f := range c.files[1:] {
				by.drop("/take/drop", "later.csv", []byte(f))
			}
			for _, is := range c.is {
				by.is(is[0], is[1])
			}
			if page := by.rowsSay(func(page string) bool {
				return strings.Contains(page, ` ?&#34;`) == (c.cell != "") && (c.cell == "" || strings.Contains(page, "&#34;"+c.cell+"&#34;"))
			}); page != "" {
				t.Errorf("no %q in %s", c.cell, page)
			}
			if got := general(); strings.Contains(got, "without a unit") != (c.note != "") && c.cell == "" || !strings.Contains(got, c.note) {
				t.Errorf("told %s, not %q", got, c.note)
			}
		})
	}
}

// TestToldBySource: what hangs on a column of one file hangs on no other's of the same heading, and what came with an answer stands as long as what that has written.
func TestToldBySource(t *testing.T) {
	const first, later = "Name,Journaling,Width (cm),Height (cm)\nCy,We sang.,7,5\n", "Name,Journaling,Gap\nAnn,We rowed out.,7 x 5\n"
	const none, note = "here is no column Width and Height", "without a unit is read in in here"
	by, general := cameIn(t, first)
	by.drop("/take/drop", "b.csv", []byte(later))
	by.is("Gap", "Space")
	if got := general(); strings.Contains(got, none) || strings.Count(got, note) != 1 {
		t.Fatalf("the first: %s", got)
	}
	by.drop("/take/drop", "c.csv", []byte(strings.Replace(later, "Ann,We rowed out.", "Bob,We came home.", 1)))
	if got := general(); strings.Count(got, none) != 1 || strings.Contains(got, "b.csv") || strings.Count(got, note) != 1 {
		t.Errorf("the second is there: %s", got)
	}
	by.is("Gap", "Space")
	if got := general(); strings.Contains(got, none) || strings.Count(got, note) != 1 {
		t.Errorf("the second is answered: %s", got)
	}
	for i, notes := range []int{1, 1, 0, 0} { // the answer, the drop, the answer, the drop
		by.post("/undo", "{}")
		if got := general(); strings.Count(got, note) != notes {
			t.Errorf("undone %d: %s", i+1, got)
		}
	}
}

// TestRowsSettled: what the rows lack is settled by the answer about its column, whatever else is asked.
func TestRowsSettled(t *testing.T) {
	by, general := cameIn(t, "Name,Scribble,Mood,Width,Height\nAnn,We rowed out to the island and she said that she liked it very much indeed.,glad,4,2\nBob,We came home.,sad,4,2\n")
	const missing = "he journaling is missing"
	if got := general(); !strings.Contains(got, missing) {
		t.Fatal(got)
	}
	by.is("Scribble", "Journaling")
	if got := general(); strings.Contains(got, missing) {
		t.Error(got)
	}
	by.post("/undo", "{}")
	if got := general(); !strings.Contains(got, missing) {
		t.Error(got)
	}
}
