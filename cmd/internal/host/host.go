// Package host is what the command needs of the machine that it runs on: memory, file handles, an output that takes what is said.
//
//	host.go       the limit on memory; an output that remembers what it would not take
//	bar.go        how far work is, on a terminal
//	memory_*.go   whether the system lets the program have enough of it
//	end.go        what a signal does that ends the run
//	handles_*.go  file handles, and which signals end a run
package host

import (
	"io"
	"os"
	"runtime/debug"
)

// memoryLimit is the memory, in bytes, beyond which the collector works harder rather than let the program grow: 400 MB are enough for a job of 8,000
// blocks or 100,000 copies, with what the program takes beside its heap. A retreat takes a tenth of it. Where a job needs more than that, the
// collector would work in vain and for as long as the job itself, so LimitMemory gives it more room.
const (
	memoryLimit    = 350 << 20
	blocksWithin   = 8000     // blocks that memoryLimit does for, whatever their copies
	memoryPerBlock = 64 << 10 // bytes for each block beyond
)

// LimitMemory sets the limit for a job of so many blocks, unless the user has set one.
func LimitMemory(blocks int) {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memoryLimit + int64(max(0, blocks-blocksWithin))*memoryPerBlock)
	}
}

// Output passes on what is written, and remembers the first that could not be.
type Output struct {
	To   io.Writer
	Lost error // why something was not taken; nil: all was
}

func (o *Output) Write(p []byte) (int, error) {
	n, err := o.To.Write(p)
	if err != nil && o.Lost == nil {
		o.Lost = err
	}
	return n, err
}
