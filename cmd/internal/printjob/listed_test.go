package printjob

import (
	"reflect"
	"testing"
)

// What is pasted from a table is taken whole, not its first line alone.
func TestListed(t *testing.T) {
	for said, want := range map[string][]string{
		"vellum":                          {"vellum"},
		"vellum,cream card":               {"vellum", "cream card"},
		"vellum\ncream card\n":            {"vellum", "cream card"},
		"vellum\r\n\r\ncream card, kraft": {"vellum", "cream card", "kraft"},
		"vellum\tcream card":              {"vellum", "cream card"},
		`"card, cream",vellum`:            {"card, cream", "vellum"},
		`8" card`:                         {`8" card`},
		" ":                               nil,
	} {
		if got := Listed([]string{said}); !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %q, not %q", said, got, want)
		}
	}
	if got := Listed([]string{"a", "b"}); !reflect.DeepEqual(got, []string{"a", "b"}) {
		t.Errorf("repeated: %q", got)
	}
}
