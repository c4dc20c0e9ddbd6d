package desk

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"sync"
	"time"
)

// hub tells open pages what changed by itself, as server-sent events, and knows how many pages are open.
type hub struct {
	mutex   sync.Mutex
	pages   map[chan event]bool
	last    map[string]event // of each name, for pages that come later
	empty   time.Time        // since when no page is open
	clock   func() time.Time
	closing bool
	why     []byte // what pages are told when it closes
}

type event struct {
	name string
	data []byte
}

func newHub(clock func() time.Time) *hub {
	return &hub{pages: map[chan event]bool{}, last: map[string]event{}, empty: clock(), clock: clock}
}

// mostPages is the most pages that may be open at once.
const mostPages = 64

// tell sends an event to every page. A page that does not read what it is told loses the oldest of it: each event says how things stand, not what
// was added.
func (h *hub) tell(name string, what any) {
	data, err := json.Marshal(what)
	if err != nil {
		return // nothing that is told can fail to be written
	}
	h.mutex.Lock()
	defer h.mutex.Unlock()
	e := event{name, data}
	h.last[name] = e
	for page := range h.pages {
		for {
			select {
			case page <- e:
			default:
				select {
				case <-page:
				default:
				}
				continue
			}
			break
		}
	}
}

// idle is how long no page has been open.
func (h *hub) idle() time.Duration {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if len(h.pages) > 0 {
		return 0
	}
	return h.clock().Sub(h.empty)
}

// come adds a page; nil where there are too many.
func (h *hub) come() chan event {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if len(h.pages) >= mostPages || h.closing {
		return nil
	}
	page := make(chan event, 32)
	for _, e := range h.last {
		page <- e
	}
	h.pages[page] = true
	return page
}

// now answers what a page that listens has been told last, of each name: for pages that ask again and again, which are open as those that listen are.
func (h *hub) now(w http.ResponseWriter, _ *http.Request) {
	h.mutex.Lock()
	h.empty = h.clock()
	told := map[string]json.RawMessage{}
	for name, e := range h.last {
		told[name] = e.data
	}
	if h.closing {
		told["closed"] = h.why
	}
	h.mutex.Unlock()
	answer(w, told)
}

func (h *hub) leave(page chan event) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	delete(h.pages, page)
	h.empty = h.clock()
}

// forget drops what was said of the last job.
func (h *hub) forget() {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	clear(h.last)
}

// stop ends what pages listen to, and tells them why not everything is saved; "": it is.
func (h *hub) stop(why string) {
	h.mutex.Lock()
	defer h.mutex.Unlock()
	if !h.closing {
		h.closing = true
		h.why, _ = json.Marshal(map[string]string{"why": why}) // a text can always be written
		for page := range h.pages {
			close(page)
		}
		clear(h.pages)
	}
}

// beat is how often a page is told that the desk is there, so that one that has gone is found out.
const beat = 15 * time.Second

// listen is the way of an open page to what changes by itself.
func (h *hub) listen(w http.ResponseWriter, r *http.Request) {
	page := h.come()
	if page == nil {
		refuse(w, http.StatusTooManyRequests, errors.New("too many pages of the desk are open: close some that you do not need"))
		return
	}
	defer h.leave(page)
	out := http.NewResponseController(w)
	_ = out.SetReadDeadline(time.Time{}) // nothing more is read; else the limit on requests would end it
	w.Header().Set("Content-Type", "text/event-stream")
	tick := time.NewTicker(beat)
	defer tick.Stop()
	write := func(format string, args ...any) bool {
		out.SetWriteDeadline(time.Now().Add(10 * time.Second))
		_, err := fmt.Fprintf(w, format, args...)
		return err == nil && out.Flush() == nil
	}
	for ok := write("retry: 1000\n\n"); ok; {
		select {
		case e, open := <-page:
			if !open {
				write("event: closed\ndata: %s\n\n", h.why)
				return
			}
			ok = write("event: %s\ndata: %s\n\n", e.name, e.data)
		case <-tick.C:
			ok = write(": here\n\n")
		case <-r.Context().Done():
			return
		}
	}
}
