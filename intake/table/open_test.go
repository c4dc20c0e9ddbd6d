package table

import (
	"os"
	"runtime"
	"testing"

	"tuckmark/intake/intaketest"
)

// A file that is far too large is refused before it is read.
func TestLargestFile(t *testing.T) {
	path := intaketest.Write(t, "a.csv", "Name,Journaling,Width,Height\n")[0]
	if err := os.Truncate(path, mostBytes+1); err != nil { // holes take no room on the disk
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f := Read([]string{path}, known)[0]
	runtime.ReadMemStats(&after)
	if got := intaketest.Say(f.Problems); len(f.Sheets) > 0 || got != "error a.csv: the file is larger than 64 MB\n" {
		t.Errorf("%d sheets, %s", len(f.Sheets), got)
	}
	if taken := (after.TotalAlloc - before.TotalAlloc) >> 20; taken > 10 {
		t.Errorf("%d MB were taken for it", taken)
	}
}
