//go:build !unix

package host

import (
	"os"
	"os/signal"
	"syscall"
)

// FewHandles reports whether the system lets this process open too few files to work; here it has no such limit.
func FewHandles() bool { return false }

// notifyEnd passes on the signals by which somebody ends a run.
func notifyEnd(c chan<- os.Signal) { signal.Notify(c, os.Interrupt, syscall.SIGTERM) }
