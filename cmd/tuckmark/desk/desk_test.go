package desk

import (
	"context"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync/atomic"
	"testing"
	"time"

	"tuckmark/config"
	"tuckmark/config/problem"
)

// running is a desk that a test has started.
type running struct {
	pid     int // of a child
	folder  string
	address string // with the secret
	host    string
	end     func() error
	handler func() http.Handler // all that a request meets
}

// load gives the settings that hold in a folder, and no others: tests are the same on every machine. What no file says otherwise is laid with little
// effort: how well is for the packer's own tests.
func load(near string) (*config.Settings, problem.List) {
	s, found := config.Load(config.Source{Near: filepath.Dir(near), Home: filepath.Join(filepath.Dir(near), "none")})
	if s != nil && s.File == "" {
		s.Effort = 2
	}
	return s, found
}

// begin starts a desk in a folder, on files in it.
func begin(t testing.TB, folder string, o Options, files ...string) *running {
	t.Helper()
	said := make(chan string, 10)
	o.NoBrowser, o.Work = o.Browser == nil, folder
	if o.Settings == nil {
		o.Settings = load
	}
	o.Say = func(line string) { said <- line }
	for _, f := range files {
		o.Files = append(o.Files, filepath.Join(folder, f))
	}
	var serves atomic.Pointer[http.Handler]
	o.handler = func(h http.Handler) { serves.Store(&h) }
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- Run(ctx, o) }()
	r := &running{folder: folder, handler: func() http.Handler { return *serves.Load() }}
	var ended bool
	r.end = func() error {
		if ended {
			return nil
		}
		ended = true
		stop()
		select {
		case err := <-done:
			return err
		case <-time.After(20 * time.Second):
			t.Error("the desk does not end")
			return nil
		}
	}
	t.Cleanup(func() {
		if err := r.end(); err != nil {
			t.Error(err)
		}
	})
	select {
	case r.address = <-said:
	case err := <-done:
		t.Fatalf("the desk does not start: %v", err)
	case <-time.After(20 * time.Second):
		t.Fatal("the desk does not start")
	}
	r.host, _, _ = strings.Cut(strings.TrimPrefix(r.address, "http://"), "/")
	return r
}

// copyOf puts copies of files into a folder of the test's own.
func copyOf(t testing.TB, files ...string) string {
	t.Helper()
	folder := t.TempDir()
	for _, f := range files {
		data, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(folder, filepath.Base(f)), data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	return folder
}

// sample is the retreat that everybody can try.
const sample = "../../../samples/retreat.xlsx"

// TestWorkbookTakenAway: the job of a workbook that was deleted while no desk had it open is there again, and the page says so.
func TestWorkbookTakenAway(t *testing.T) {
	folder := t.TempDir()
	if err := os.WriteFile(filepath.Join(folder, "crop.csv"), []byte("Name,Journaling,Width,Height\nMia Kerr,We rowed out.,4,2\n"), 0o600); err != nil {
		t.Fatal(err)
	}
	r := begin(t, folder, Options{}, "crop.csv")
	c := enter(t, r)
	c.press("/change", fmt.Sprintf(`{"id":%q,"cells":{"Title":"At sea"}}`, r.rows(t, c)[0]))
	if err := errors.Join(r.end(), os.Remove(filepath.Join(folder, "crop-desk.xlsx"))); err != nil {
		t.Fatal(err)
	}
	r = begin(t, folder, Options{}, "crop.csv")
	c = enter(t, r)
	c.says("/part/blocks?who=all", "At sea", "he workbook was not there", "remove the folder .crop-desk")
}
