package desk

import (
	"context"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config"
	"tuckmark/config/problem"
)

// TestFaultWhileLaying: where the program itself has a fault, so that a job cannot be laid, the pages are told, and the desk goes on: once there is something
// else to lay, it is laid.
func TestFaultWhileLaying(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lake-desk.xlsx")
	s, found := load(path)
	if found.Errors() > 0 {
		t.Fatal(found)
	}
	book, err := jobbook.New(path, s)
	if err != nil {
		t.Fatal(err)
	}
	told := make(chan *laid, 10)
	l := newLayer(book, s, "", func(n *laid) {
		n.foot()
		told <- n
	})
	l.settings.Store(nil) // which makes any laying panic
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan struct{})
	go func() {
		defer close(done)
		l.run(ctx)
	}()
	until := func(how string) *laid {
		t.Helper()
		for {
			select {
			case n := <-told:
				if strings.Contains(n.foot().How, how) {
					return n
				}
			case <-time.After(10 * time.Second):
				t.Fatalf("it is not told that the job is %s", how)
			}
		}
	}
	n := until("by a fault of tuckmark")
	if len(n.general) != 1 || !strings.Contains(n.general[0].What, "this should not happen") || !strings.Contains(n.general[0].Hint, "what was typed is kept") {
		t.Errorf("the page of the journaling says %v", n.general)
	}
	l.use(s, "", nil)
	l.change()
	if n = until("laid"); n.fault || strings.Contains(n.general[0].What, "should not happen") {
		t.Errorf("the fault is told for good: %v", n.general)
	}
	stop()
	<-done
	if err := book.Close(); err != nil {
		t.Fatal(err)
	}
}

// TestFaultWhileAsked: what is asked of the desk when it has a fault is answered in words, and the desk goes on.
func TestFaultWhileAsked(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "j.csv"), []byte("Name,Page,Journaling,Width,Height\nAnn,1,text one,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	spoilt := func(near string) (*config.Settings, problem.List) {
		s, found := load(near)
		s.Costs = []config.Cost{{Name: "postage", Cents: 100, By: 99}} // shared by nothing that there is
		return s, found
	}
	c := enter(t, begin(t, folder, Options{Settings: spoilt, printer: (&standIn{}).printer(), limits: unlimited, atOnce: true}, "j.csv"))
	waitLaid(t, c)
	if status, said := c.post("/print/make", "{}"); status < 400 || !strings.Contains(said, "a fault of tuckmark") {
		t.Errorf("making is answered with %d %s", status, said)
	}
	c.page("/print")

	g := newGuard("127.0.0.1:1", "1")
	answer := httptest.NewRecorder()
	r := httptest.NewRequest(http.MethodGet, "http://127.0.0.1:1/odd", nil)
	g.handler(map[string]route{"GET /odd": {open: true, serve: func(http.ResponseWriter, *http.Request) { panic("odd") }}}).ServeHTTP(answer, r)
	if said := answer.Body.String(); answer.Code != http.StatusInternalServerError || !strings.Contains(said, "a fault of tuckmark, not yours: odd") {
		t.Errorf("a page is answered with %d %s", answer.Code, said)
	}
}
