package intake

import (
	"testing"

	"tuckmark/config/problem"
	"tuckmark/intake/intaketest"
)

// TestOne: a block given field by field is judged as a row of a file is, in the same words.
func TestOne(t *testing.T) {
	for _, c := range []struct{ heading, text, want string }{
		{"Journaling", "Plums on the quay.", ""},
		{"Journaling", "\u00ad", "Journaling: there is no text"},
		{"Journaling", "", "Journaling: the journaling is missing"},
		{"Journaling", "caf\ufffd at noon", "Journaling: a letter of the text was lost and shows as �"},
		{"Ink", "white", "Ink: white ink cannot be printed"},
		{"Ink", "#fbfbfb", "Ink: white ink cannot be printed"},
		{"Space", "4 x 1/4", "Space: nothing of the space is left for the text"},
	} {
		fields := map[string]string{"Name": "Note", "Journaling": "Plums on the quay.", "Space": "4 x 2"}
		fields[c.heading] = c.text
		var given []Field
		for _, h := range []string{"Name", "Journaling", "Space", "Ink"} {
			given = append(given, Field{h, fields[h]})
		}
		b, problems := ReadOne(given, intaketest.Home())
		got := ""
		for _, p := range problems {
			if p.Severity == problem.Error {
				got += p.Place.Column + ": " + p.What
			}
		}
		if got != c.want || (b.Text == nil) != (c.want != "") {
			t.Errorf("%s %q: %q, want %q", c.heading, c.text, got, c.want)
		}
	}
}
