package desk

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"tuckmark/config/longtests"
)

// atOnce posts something eight times at once, with the number of each where the body has a place for it, and says how many were taken.
func (c *caller) atOnce(path, body string) (taken int) {
	var ok atomic.Int32
	var all sync.WaitGroup
	for i := range 8 {
		all.Go(func() {
			if status, _ := c.post(path, strings.ReplaceAll(body, "#", fmt.Sprint(i))); status == 200 {
				ok.Add(1)
			}
		})
	}
	all.Wait()
	return int(ok.Load())
}

// TestTwoPagesAtOnce: what is pressed on several pages at once is done once, by the rows that it was found by; and of what is written into the
// configuration at once, all that is said to be written is there.
func TestTwoPagesAtOnce(t *testing.T) {
	longtests.Only(t)
	r, c := sheetsDesk(t, crowded, Options{})
	rows := cellsOf(c)
	c.says("/part/sheets", "data-way", `class="counts">3 new sheets`)
	_, version, _ := c.sheetsNow(time.Second)
	if n := c.atOnce("/sheets/press", fmt.Sprintf(`{"version":%q,"way":1}`, version)); n != 1 {
		t.Errorf("an advice was pressed %d times", n)
	}
	text := c.says("/part/sheets", "data-back=", `class="counts">2 new sheets`)
	if n := strings.Count(text, "data-back="); n != 1 {
		t.Errorf("%d presses can be taken back", n)
	}
	number, _, _ := strings.Cut(text[strings.Index(text, "data-back=")+11:], `"`)
	if n := c.atOnce("/sheets/back", fmt.Sprintf(`{"press":%s}`, number)); n != 1 {
		t.Errorf("it was taken back %d times", n)
	}
	if now := cellsOf(c); now != rows {
		t.Errorf("the rows are\n%s\nnot\n%s", now, rows)
	}
	c.says("/part/sheets", "data-way", `class="counts">3 new sheets`)
	_, version, _ = c.sheetsNow(time.Second)
	if n := c.atOnce("/sheets/keep", fmt.Sprintf(`{"version":%q,"piece":0,"block":0,"keep":true}`, version)); n != 1 {
		t.Errorf("a block was kept %d times", n)
	}
	written := c.atOnce("/cost", `{"name":"cost #","amount":"3","by":"by person"}`)
	text = ""
	if data, err := os.ReadFile(filepath.Join(r.folder, "tuckmark.yaml")); err != nil {
		t.Error(err)
	} else {
		text = string(data)
	}
	if n := strings.Count(text, "cost "); n != written || n == 0 {
		t.Errorf("%d costs were taken, and the configuration is\n%s", written, text)
	}
}
