package main

import (
	"strings"
	"testing"
)

// A column of codes, or of stocks, that is pasted from the report is taken whole, not its first line alone.
func TestPastedColumn(t *testing.T) {
	t.Chdir(t.TempDir())
	put(t, "job.csv", "Name,Journaling,Width,Height\nAnn Lo,In May,2,2\nAnn Lo,In June,2,2\n")
	if code, _, err := tuckmark(t, "make", "job.csv"); code != 0 {
		t.Fatal(err)
	}
	if code, out, err := tuckmark(t, "redo", "job-report.xlsx", "--blocks", "AL-1\nAL-2\n"); code != 0 || !strings.Contains(out, "2 blocks for 1 person") {
		t.Errorf("%d %s%s", code, out, err)
	}
	for stocks, want := range map[string]string{"cardstock\nno such stock\n": "no such stock", ",\n": "say which stocks"} {
		if code, _, err := tuckmark(t, "print", "job.pdf", "--dry-run", "--stock", stocks); code == 0 || !strings.Contains(err, want) {
			t.Errorf("%q: %d %s", stocks, code, err)
		}
	}
}
