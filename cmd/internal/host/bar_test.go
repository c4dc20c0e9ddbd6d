package host

import (
	"bytes"
	"fmt"
	"strings"
	"testing"
	"time"
)

// Work that lasts is shown on a terminal, with how far it is, never going back; elsewhere nothing is drawn.
func TestProgress(t *testing.T) {
	barAfter = 40 * time.Millisecond
	defer func() { barAfter = time.Second }()
	for _, terminal := range []bool{true, false} {
		var b bytes.Buffer
		u := new(Bar)
		if terminal {
			u.Screen = &b
		}
		now := func() string { // the bar is drawn by a timer too
			u.drawing.Lock()
			defer u.drawing.Unlock()
			return b.String()
		}
		began := time.Now()
		u.Tell("packing", 1, 100)
		if at := now(); at != "" && time.Since(began) < barAfter {
			t.Errorf("after no time it shows %q", at)
		}
		for end := began.Add(10 * time.Second); terminal && now() == "" && time.Now().Before(end); {
			time.Sleep(barAfter) // until the timer has drawn it, which a busy machine puts off
		}
		time.Sleep(5 * barAfter)
		if at := now(); strings.Contains(at, "packing") != terminal {
			t.Errorf("after a while in which nothing is told it shows %q", at)
		}
		for _, done := range []int{10, 40, 20, 70, 100} {
			u.Tell("packing", done, 100)
			time.Sleep(110 * time.Millisecond) // it is not drawn more often than ten times a second
		}
		shown := now()
		u.End()
		if !terminal {
			if shown != "" {
				t.Errorf("elsewhere than on a terminal it shows %q", shown)
			}
			continue
		}
		last := 0
		for _, percent := range []int{10, 40, 70, 99} {
			at := strings.LastIndex(shown, fmt.Sprintf("%d%%", percent))
			if at < last {
				t.Errorf("%d%% is not shown in its turn: %q", percent, shown)
			}
			last = at
		}
		if !strings.Contains(shown, "packing") || strings.Contains(shown, "20%") {
			t.Errorf("it shows %q", shown)
		}
		if end := strings.TrimRight(b.String(), " \r"); strings.HasSuffix(end, "%") {
			t.Errorf("the bar is not taken away: %q", end)
		}
	}
}
