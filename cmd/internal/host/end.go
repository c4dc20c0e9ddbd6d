package host

import (
	"os"
	"sync/atomic"
)

// unwinding is what a first signal does where a command has something to do before it ends.
type unwinding struct {
	end    func()
	atOnce string
}

var unwinds atomic.Pointer[unwinding]

// Unwind has a first signal that ends the run call end, and leave the rest to the command, until done is called. A second one ends the run at once; what
// that means is told by atOnce.
func Unwind(end func(), atOnce string) (done func()) {
	unwinds.Store(&unwinding{end, atOnce})
	return func() { unwinds.Store(nil) }
}

// WhenEnded calls ended when a signal ends the run, with what Unwind was told where that was a second one.
func WhenEnded(ended func(atOnce string)) {
	gone := make(chan os.Signal, 1)
	notifyEnd(gone)
	go func() {
		<-gone
		u := unwinds.Load()
		if u == nil {
			ended("")
			return
		}
		u.end()
		<-gone
		ended(u.atOnce)
	}()
}
