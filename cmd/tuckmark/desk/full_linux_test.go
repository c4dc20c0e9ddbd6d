package desk

import (
	"encoding/json"
	"strings"
	"testing"
	"time"

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

// TestBegunOnAFullDisk: a job into which rows were pasted, and for which the disk has no room, is open all the same, with its rows, and is saved once there is
// room: were it refused, it would come up later by itself, and nobody could open it.
func TestBegunOnAFullDisk(t *testing.T) {
	t.Parallel()
	r, _ := child(t, copyOf(t, sample), "retreat.xlsx")
	c := enter(t, r)
	full := unix.Rlimit{Cur: 60_000, Max: unix.RLIM_INFINITY} // an empty workbook has room, and the journal of the rows has none
	if err := unix.Prlimit(r.pid, unix.RLIMIT_FSIZE, &full, nil); err != nil {
		t.Skip(err)
	}
	rows := `Name\tJournaling\tWidth\tHeight\n` + strings.Repeat(`Eve Marsh\t`+strings.Repeat("We rowed out. ", 400)+`\t3\t2\n`, 20)
	begun := `{"name":"begun","text":"` + rows + `"}`
	if status, said := c.post("/start/paste", begun); status != 200 {
		t.Errorf("%d %s", status, said)
	}
	var now struct {
		Book struct {
			Said string
			Stop bool
		}
	}
	said := func(stop bool) bool {
		for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(20 * time.Millisecond) {
			if err := json.Unmarshal([]byte(c.page("/now")), &now); err == nil && now.Book.Stop == stop && (stop || now.Book.Said == "saved") {
				return true
			}
		}
		return false
	}
	if !said(true) {
		t.Errorf("it is not said that the disk is full, but %q", now.Book.Said)
	}
	full.Cur = unix.RLIM_INFINITY
	if err := unix.Prlimit(r.pid, unix.RLIMIT_FSIZE, &full, nil); err != nil {
		t.Fatal(err)
	}
	if !said(false) {
		t.Errorf("with room it is %q", now.Book.Said)
	}
	for _, job := range []string{"retreat", "begun"} {
		if status, said := c.post("/start/open", `{"kind":"job","name":"`+job+`"}`); status != 200 {
			t.Errorf("%s cannot be opened: %d %s", job, status, said)
		}
	}
	if n := strings.Count(cellsOf(c), "Eve Marsh"); n != 20 {
		t.Errorf("it has %d rows", n)
	}
}
