//go:build unix

package host

import (
	"os"
	"os/signal"
	"syscall"
)

// enough is how many files the program has open at once at most, and some for libraries and the system's fonts.
const enough = 12

// FewHandles reports whether the system lets this process open too few files to work. It has to be asked before the first file is
// opened in the usual way: Go ends a program that has no handle left for its own needs with a trace of itself.
func FewHandles() bool {
	var taken []int
	defer func() {
		for _, h := range taken {
			_ = syscall.Close(h)
		}
	}()
	for range enough {
		h, err := syscall.Open("/", syscall.O_RDONLY|syscall.O_CLOEXEC, 0)
		if err == syscall.EMFILE || err == syscall.ENFILE {
			return true
		}
		if err == nil {
			taken = append(taken, h)
		}
	}
	return false
}

// notifyEnd passes on the signals by which somebody ends a run: those of the keyboard, Ctrl-C and Ctrl-\, that of `kill`, and that of a
// terminal that is closed, unless the run was meant to outlive it.
func notifyEnd(c chan<- os.Signal) {
	signal.Notify(c, os.Interrupt, syscall.SIGTERM, syscall.SIGQUIT)
	if !signal.Ignored(syscall.SIGHUP) {
		signal.Notify(c, syscall.SIGHUP)
	}
}
