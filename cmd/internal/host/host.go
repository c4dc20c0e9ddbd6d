// Package host is what the command needs of the machine that it runs on: memory, file handles, an output that takes what is said.
//
//	host.go       the limit on memory; an output that remembers what it would not take
//	handles_*.go  file handles, and the signals that end a run
package host

import (
	"io"
	"os"
	"runtime/debug"
)

// memoryLimit is the memory, in bytes, beyond which the collector works harder rather than let the program grow. A retreat
// takes a tenth of it; a job of 8,000 blocks would else take twice what it needs. Where a job needs more than that, the
// collector would work in vain and for as long as the job itself, so LimitMemory gives it more room.
const (
	memoryLimit    = 450 << 20
	blocksWithin   = 6000     // blocks that memoryLimit does for
	memoryPerBlock = 64 << 10 // bytes for each block beyond
	memoryPerCopy  = 4 << 10  // and for each more copy of a block, of which there is a row in the report
)

// LimitMemory sets the limit for a job of so many blocks and so many more copies of them, unless the user has set one.
func LimitMemory(blocks, copies int) {
	if os.Getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(memoryLimit + int64(max(0, blocks-blocksWithin))*memoryPerBlock + int64(max(0, copies-blocksWithin))*memoryPerCopy)
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
