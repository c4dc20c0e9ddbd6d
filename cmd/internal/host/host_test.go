package host

import (
	"runtime"
	"runtime/debug"
	"testing"
	"time"
)

// A large job has more room than others only when it needs it.
func TestLimitMemory(t *testing.T) {
	t.Setenv("GOMEMLIMIT", "")
	before := debug.SetMemoryLimit(-1)
	defer debug.SetMemoryLimit(before)
	limit := func() int64 { return debug.SetMemoryLimit(-1) }
	const large, room = blocksWithin + 1000, memoryLimit + 1000*memoryPerBlock
	runtime.GC() // what a test before this one held is no longer counted
	LimitMemory(large)
	for range 3 {
		runtime.GC()
		time.Sleep(5 * time.Millisecond) // finalizers run by themselves
	}
	if limit() != memoryLimit {
		t.Errorf("a job that needs little has %d bytes", limit())
	}
	held := make([]byte, crowded+1<<20) // never touched, so that it takes no memory of the machine
	grown := func() bool {
		for range 500 {
			if runtime.GC(); limit() == room {
				return true
			}
			time.Sleep(time.Millisecond)
		}
		return false
	}
	if !grown() {
		t.Errorf("a job that needs more has %d bytes", limit())
	}
	if LimitMemory(blocksWithin); limit() != memoryLimit {
		t.Errorf("a job of fewer blocks has %d bytes", limit())
	}
	if LimitMemory(large); !grown() {
		t.Errorf("the next job that needs more has %d bytes", limit())
	}
	runtime.KeepAlive(held)
}
