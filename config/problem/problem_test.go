package problem

import (
	"encoding/json"
	"errors"
	"testing"
)

// TestPlace: a place is said as far as it is known, and a line of a text file is no row.
func TestPlace(t *testing.T) {
	for _, c := range []struct {
		at         Place
		said, json string
	}{
		{Place{}, "", `{"file":"","sheet":"","row":0}`},
		{Place{File: "a.csv", Row: 7}, "a.csv, row 7", `{"file":"a.csv","sheet":"","row":7}`},
		{Place{File: "a.xlsx", Sheet: "Journaling", Row: 7, Column: "Breite", Cell: "C7"}, "a.xlsx, sheet Journaling, row 7, column Breite (C7)",
			`{"file":"a.xlsx","sheet":"Journaling","row":7,"column":"Breite","cell":"C7"}`},
		{Place{Column: "Width"}, "column Width", `{"file":"","sheet":"","row":0,"column":"Width"}`},
		{Place{File: "a.xlsx", Cell: "C7"}, "a.xlsx, cell C7", `{"file":"a.xlsx","sheet":"","row":0,"cell":"C7"}`},
		{Place{File: "settings.conf", Line: 3}, "settings.conf, line 3", `{"file":"settings.conf","sheet":"","row":0,"line":3}`},
	} {
		if got := c.at.String(); got != c.said {
			t.Errorf("%q, want %q", got, c.said)
		}
		if got, err := json.Marshal(c.at); err != nil || string(got) != c.json {
			t.Errorf("%s, want %s", got, c.json)
		}
	}
}

// TestError: a problem that went through other hands as an error is the same one.
func TestError(t *testing.T) {
	err := errors.Join(&Problem{What: "the width is missing", Hint: "measure it"})
	var p *Problem
	if !errors.As(err, &p) || p.Hint != "measure it" || p.Error() != "the width is missing" {
		t.Errorf("%v", err)
	}
}

// TestFew: a list that is too long ends with how many more there are, and the words that were given stay as they were.
func TestFew(t *testing.T) {
	words := []string{"a", "b", "c", "d", "e"}
	for most, want := range map[int]string{2: "a and 4 more", 4: "a, b, c and 2 more", 5: "a, b, c, d and e", 6: "a, b, c, d and e"} {
		if got := And(Few(words, most)); got != want {
			t.Errorf("%d at most: %q, want %q", most, got, want)
		}
	}
	if got := And(words); got != "a, b, c, d and e" {
		t.Errorf("the words are now %q", got)
	}
}
