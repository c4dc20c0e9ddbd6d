package main

import (
	"errors"
	"io"
	"net"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestDeskInterruptedTwice: a desk that a first Ctrl-C does not end at once, because a request is still coming in, is ended by a second; what that
// means is said of a desk, not of the printer.
func TestDeskInterruptedTwice(t *testing.T) {
	t.Parallel()
	var said heard
	c := subprocess(t, "desk", "--no-browser")
	c.Dir, c.Stdout, c.Stderr = t.TempDir(), &said, &said
	must(t, c.Start())
	defer c.Process.Kill() //nolint:errcheck // it has ended, unless the test failed
	soon := func(what string, is func() bool) {
		t.Helper()
		for end := time.Now().Add(30 * time.Second); !is(); time.Sleep(10 * time.Millisecond) {
			if time.Now().After(end) {
				t.Fatalf("%s:\n%s", what, said.String())
			}
		}
	}
	soon("the desk does not start", func() bool { return said.says("\n") })
	host, _, _ := strings.Cut(strings.TrimPrefix(said.String(), "http://"), "/")
	slow, err := net.Dial("tcp", host)
	must(t, err)
	defer slow.Close()
	_, err = io.WriteString(slow, "POST /enter HTTP/1.1\r\nHost: "+host+"\r\nOrigin: http://"+host+"\r\nContent-Type: application/json\r\nContent-Length: 100\r\nExpect: 100-continue\r\n\r\n")
	must(t, err)
	_, err = io.ReadFull(slow, make([]byte, len("HTTP/1.1 100 Continue"))) // now the desk waits for the rest
	must(t, err)
	must(t, c.Process.Signal(syscall.SIGINT))
	soon("it goes on listening", func() bool {
		other, err := net.Dial("tcp", host)
		if err == nil {
			other.Close()
		}
		return err != nil
	})
	must(t, c.Process.Signal(syscall.SIGINT))
	var exit *exec.ExitError
	if err := c.Wait(); !errors.As(err, &exit) || exit.ExitCode() != exitStopped {
		t.Errorf("%v, want exit status %d", err, exitStopped)
	}
	if want := "stopped at once; what was typed is kept, and the same command goes on from there\n"; !strings.HasSuffix(said.String(), want) {
		t.Errorf("it says %q", said.String())
	}
}
