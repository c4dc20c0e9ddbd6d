//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
	"time"
)

// peak is the most memory that a process held, in MB.
func peak(s *os.ProcessState) int {
	u, ok := s.SysUsage().(*syscall.Rusage)
	if !ok {
		return 0
	}
	if runtime.GOOS == "darwin" {
		return int(u.Maxrss) >> 20 // there in bytes
	}
	return int(u.Maxrss) >> 10
}

// processor is the processor time that this process has spent.
func processor() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
