package proof

import (
	"fmt"
	"strings"
	"testing"
)

// TestUnreadLinesAreShown: of lines one below another that are no answers, each is shown; of very many the first, and where the others are.
func TestUnreadLinesAreShown(t *testing.T) {
	for text, want := range map[string]string{
		"Hello all\nthe plums were red\nand so was I\n\nAM-1 ok": "AM-1 ✓#not read as answers: lines 1 to 3 “Hello all”, “the plums were red”, “and so was I”",
		"Hello all\n\nplums\n\nAM-1 ok\n\nsee you":               "AM-1 ✓#not read as answers: line 1 “Hello all”, line 3 “plums”, line 7 “see you”",
		strings.Repeat("é", 500) + "\nplums\n\nAM-1 ok":          "AM-1 ✓#not read as answers: lines 1 to 2 “" + strings.Repeat("é", mostShown-1) + "…”, “plums”",
	} {
		if got := whole(text); got != want {
			t.Errorf("%q:\n%s\nnot\n%s", text, got, want)
		}
	}
	var long strings.Builder
	for i := range 100 {
		fmt.Fprintf(&long, "plum %d,\n", i+1)
	}
	got := whole(long.String() + "\nAM-1 ok")
	for i := range 100 {
		if strings.Contains(got, fmt.Sprintf("“plum %d,”", i+1)) != (i < mostUnread) {
			t.Errorf("line %d: %s", i+1, got)
		}
	}
	if want := fmt.Sprintf("lines 1 to %d “plum 1,”", mostUnread); !strings.Contains(got, want) || !strings.HasSuffix(got, fmt.Sprintf(", and %d more, lines %d to 100", 100-mostUnread, mostUnread+1)) {
		t.Errorf("%s", got)
	}
	if got := whole("a\n\n" + strings.Repeat("b\n\n", mostUnread) + "AM-1 ok"); !strings.HasSuffix(got, fmt.Sprintf(", and 1 more, line %d", 2*mostUnread+1)) {
		t.Errorf("%s", got)
	}
}
