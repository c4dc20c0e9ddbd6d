package main

import (
	"bytes"
	"errors"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"tuckmark/cmd/internal/printjob/rig"
	"tuckmark/config/longtests"
)

// heard is what a program says, for somebody who waits for words in it.
type heard struct {
	writing sync.Mutex
	said    bytes.Buffer // a field: its other ways to be written to would pass the lock by
}

func (h *heard) Write(p []byte) (int, error) {
	h.writing.Lock()
	defer h.writing.Unlock()
	return h.said.Write(p)
}

func (h *heard) String() string {
	h.writing.Lock()
	defer h.writing.Unlock()
	return h.said.String()
}

func (h *heard) says(words string) bool { return strings.Contains(h.String(), words) }

// TestPrintInterrupted: Ctrl-C while a piece is in the printer. What was sent, what is in doubt and how to go on is said, nothing more is printed, and
// the same command goes on from there.
func TestPrintInterrupted(t *testing.T) {
	longtests.Only(t)
	t.Parallel()
	r := rig.Start(t)
	dir := t.TempDir()
	put(t, filepath.Join(dir, "tuckmark.yaml"), "printers:\n  - {name: home, queue: home}\n")
	put(t, filepath.Join(dir, "job.csv"), "Name,Journaling,Width,Height,Stock\nAda Moss,Two herons on the weir.,4,2,vellum\nAda Moss,And then it rained.,4,2,cardstock\n")
	pdf := filepath.Join(dir, "job.pdf")
	do := func(args ...string) *exec.Cmd {
		c := subprocess(t, args...)
		c.Dir, c.Env = dir, append(c.Environ(), "CUPS_SERVER="+r.Socket)
		return c
	}
	if out, err := do("make", "job.csv").CombinedOutput(); err != nil {
		t.Fatalf("%v\n%s", err, out)
	}
	r.Hold("media-jam-error")
	var said heard
	c := do("print", "--yes", pdf)
	c.Stdout, c.Stderr = &said, &said
	must(t, c.Start())
	for end := time.Now().Add(30 * time.Second); !said.says("paper is jammed"); time.Sleep(20 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("nothing is said of the jam:\n%s", said.String())
		}
	}
	must(t, c.Process.Signal(syscall.SIGINT))
	err := c.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.ExitCode() != exitStopped {
		t.Errorf("%v, want exit status %d", err, exitStopped)
	}
	for _, words := range []string{"Stopped.\n", "In doubt: page 4 went to “home” as job 1", "Not printed yet: page 5.", "To go on: look what came out, then give the same command again."} {
		if !said.says(words) {
			t.Errorf("%q is not said:\n%s", words, said.String())
		}
	}
	if said.says("nothing was written") {
		t.Errorf("it says what `make` would:\n%s", said.String())
	}
	r.Release()
	for end := time.Now().Add(20 * time.Second); len(r.Received()) < 1 && time.Now().Before(end); time.Sleep(50 * time.Millisecond) {
	}
	time.Sleep(time.Second) // CUPS learns that the job is done
	if out, err := do("print", "--yes", pdf).CombinedOutput(); err != nil || !strings.Contains(string(out), "Page 4 went to the printer the last time") || !strings.Contains(string(out), "Printed well: pages 4-5.") {
		t.Errorf("the same command again: %v\n%s", err, out)
	}
	if got := len(r.Received()); got != 2 {
		t.Errorf("%d pieces were printed, not 2", got)
	}
}
