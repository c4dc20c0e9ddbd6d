//go:build unix

package main

import (
	"syscall"
	"time"
)

// worked is the processor time that the run has had so far, so that a busy machine does not spoil a record.
func worked() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return time.Since(began)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
