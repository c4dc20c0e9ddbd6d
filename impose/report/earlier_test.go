package report

import (
	"slices"
	"testing"
)

func TestNearCodes(t *testing.T) {
	codes := []string{"MK-1", "MK-2", "MK-12", "AO-1"}
	for typed, want := range map[string][]string{
		"MK-22": {"MK-2", "MK-12"}, "mk2": {"MK-2", "MK-1", "MK-12"}, "A0-1": {"AO-1"}, "nothing like it": nil,
	} {
		if got := nearCodes(typed, codes); !slices.Equal(got, want) {
			t.Errorf("%s: %q, want %q", typed, got, want)
		}
	}
}
