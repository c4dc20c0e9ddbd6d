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
	"runtime"
	"runtime/debug"
	"runtime/metrics"
	"sync/atomic"
)

// memoryLimit is the memory, in bytes, beyond which the collector works harder rather than let the program grow: 400 MB are enough for a job of 8,000
// blocks or 100,000 copies, with what the program takes beside its heap, and for three times as many blocks of a few words. A retreat takes a tenth of it.
// Where a job needs more than that, the collector would work in vain and for as long as the job itself, so LimitMemory gives it more room.
const (
	memoryLimit    = 350 << 20
	blocksWithin   = 8000     // blocks that memoryLimit does for, whatever their texts and copies
	memoryPerBlock = 64 << 10 // bytes for each block beyond
	crowded        = memoryLimit / 4 * 3
)

// most is the limit of the job, in bytes, once it has shown that it needs more than memoryLimit.
var most atomic.Int64

// LimitMemory sets the limit for a job of so many blocks, unless the user has set one. A larger job has more room as soon as what the collector
// leaves crowds memoryLimit.
func LimitMemory(blocks int) {
	if os.Getenv("GOMEMLIMIT") != "" {
		return
	}
	debug.SetMemoryLimit(memoryLimit)
	if blocks <= blocksWithin {
		most.Store(memoryLimit)
		return
	}
	most.Store(memoryLimit + int64(blocks-blocksWithin)*memoryPerBlock)
	afterCollection(new([1]*byte))
}

// afterCollection looks, with every collection from now on, whether the job needs the room that it may have. It does not hold the marker, so that each
// collection finds it unused.
func afterCollection(marker *[1]*byte) {
	live := []metrics.Sample{{Name: "/gc/heap/live:bytes"}}
	if metrics.Read(live); live[0].Value.Uint64() > crowded {
		debug.SetMemoryLimit(most.Load())
		return
	}
	runtime.SetFinalizer(marker, afterCollection)
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
