//go:build unix

package main

import (
	"os"
	"runtime"
	"syscall"
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
