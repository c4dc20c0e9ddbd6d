//go:build unix

package save

import (
	"path/filepath"
	"syscall"
	"testing"
	"time"
)

// A pipe in a folder that is read is no input, and is not waited for.
func TestGuardDoesNotWait(t *testing.T) {
	dir := t.TempDir()
	pipe := filepath.Join(dir, "pipe")
	must(t, syscall.Mkfifo(pipe, 0o644))
	var g Guard
	g.Protect(dir)
	done := make(chan bool)
	go func() { done <- g.Check(pipe) == nil }()
	select {
	case free := <-done:
		if !free {
			t.Error("the pipe is an input")
		}
	case <-time.After(10 * time.Second):
		t.Fatal("the guard waits for the pipe")
	}
}
