package desk

import (
	"strings"
	"testing"

	"golang.org/x/sys/unix"
)

// TestPastedOnAFullDisk: rows that are in the job, and that the disk has no room for, are not told to be left out: whoever pressed again would have them twice.
func TestPastedOnAFullDisk(t *testing.T) {
	t.Parallel()
	folder := copyOf(t, sample)
	r, _ := child(t, folder, "retreat.xlsx")
	c := enter(t, r)
	full := unix.Rlimit{Cur: 900, Max: unix.RLIM_INFINITY} // for the largest file that may be written
	if err := unix.Prlimit(r.pid, unix.RLIMIT_FSIZE, &full, nil); err != nil {
		t.Skip(err)
	}
	status, said := c.post("/take/paste", `{"text":"Name\tJournaling\tWidth\tHeight\nEve Marsh\tPasted once.\t3\t2"}`)
	if status != 200 || !strings.Contains(said, "not on the disk yet") || strings.Contains(said, `"mend"`) {
		t.Errorf("%d %s", status, said)
	}
	if status, said := c.post("/add", `{"after":"","cells":{"Name":"Eve Marsh","Journaling":"Added once."}}`); status != 200 || !strings.Contains(said, `"id":`) {
		t.Errorf("%d %s", status, said)
	}
	full.Cur = unix.RLIM_INFINITY
	if err := unix.Prlimit(r.pid, unix.RLIMIT_FSIZE, &full, nil); err != nil {
		t.Fatal(err)
	}
	if n := strings.Count(cellsOf(c), "Pasted once."); n != 1 {
		t.Errorf("the row is there %d times", n)
	}
	if n := strings.Count(cellsOf(c), "Added once."); n != 1 {
		t.Errorf("the added row is there %d times", n)
	}
}
