//go:build unix

package intaketest

import (
	"syscall"
	"time"
)

// Processor is the processor time that this process has spent, which what else the machine does hardly changes; 0 where that is not told.
func Processor() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
