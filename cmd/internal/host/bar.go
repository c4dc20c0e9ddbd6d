package host

import (
	"io"
	"sync"
	"time"

	"github.com/schollz/progressbar/v3"
)

// barAfter is how long work takes that is not worth a bar.
var barAfter = time.Second

// Bar shows on a terminal how far work is that lasts. The zero Bar shows nothing.
type Bar struct {
	Screen io.Writer // nil: no terminal

	drawing  sync.Mutex // over what follows
	bar      *progressbar.ProgressBar
	late     *time.Timer // until the bar is drawn
	stage    string
	furthest int // of the stage's work
	of       int
}

// Tell tells how far a stage of work is. Once the stage has lasted for barAfter the bar is there, whether or not more is told by then.
func (b *Bar) Tell(stage string, done, of int) {
	if b.Screen == nil {
		return
	}
	b.drawing.Lock()
	defer b.drawing.Unlock()
	if stage != b.stage {
		b.clear()
		b.stage, b.furthest = stage, 0
		var late *time.Timer
		late = time.AfterFunc(barAfter, func() {
			b.drawing.Lock()
			defer b.drawing.Unlock()
			if b.late == late { // else the stage is over
				b.bar = progressbar.NewOptions(b.of, progressbar.OptionSetWriter(b.Screen), progressbar.OptionSetDescription(b.stage),
					progressbar.OptionSetWidth(30), progressbar.OptionSetPredictTime(false), progressbar.OptionSetElapsedTime(false),
					progressbar.OptionClearOnFinish(), progressbar.OptionThrottle(100*time.Millisecond))
				b.draw()
			}
		})
		b.late = late
	}
	b.of = max(of, 1)
	b.furthest = max(b.furthest, min(done, of)) // a phase that begins anew does not go back
	b.draw()
}

// draw draws the bar, if it is there yet.
func (b *Bar) draw() {
	if b.bar != nil {
		b.bar.ChangeMax(b.of)
		_ = b.bar.Set(min(b.furthest, b.of-1)) // a full bar takes itself away before the stage is over; one that cannot be drawn is no reason to stop
		if b.furthest == 0 {
			_ = b.bar.RenderBlank()
		}
	}
}

// End takes the bar away.
func (b *Bar) End() {
	b.drawing.Lock()
	defer b.drawing.Unlock()
	b.clear()
}

func (b *Bar) clear() {
	if b.late != nil {
		b.late.Stop()
	}
	if b.bar != nil {
		_ = b.bar.Finish()
	}
	b.late, b.bar, b.stage = nil, nil, ""
}
