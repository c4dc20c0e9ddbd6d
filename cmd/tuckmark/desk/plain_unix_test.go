//go:build unix

package desk

import (
	"os"
	"path/filepath"
	"syscall"
	"testing"
	"time"

	"tuckmark/config/longtests"
)

// TestOnlyPlainFiles: whatever of the desk's own files is a pipe, which would be waited at for ever, or leads to a device without an end, put there
// while it runs or before, the desk starts, answers, and ends.
func TestOnlyPlainFiles(t *testing.T) {
	longtests.Only(t)
	t.Parallel()
	folder := quickly(t)
	r := begin(t, folder, Options{printer: (&standIn{}).printer()}, "retreat.xlsx")
	c := enter(t, r)
	c.press("/print/make", "{}")
	c.press("/cost", `{"name":"tea","amount":"2","by":"by area"}`)
	notes := []string{".retreat-desk/made.json", ".retreat-desk/cuts.json", ".retreat-desk/pressed.json", ".retreat-desk/lock"}
	groups := [][]string{notes, {"retreat-desk-report.xlsx"}, {"retreat-desk.pdf"}, {"tuckmark.yaml"}} // what is looked for first hides the others
	within := func(part string, ask func()) {
		t.Helper()
		started := time.Now()
		if ask(); time.Since(started) > 2*time.Second {
			t.Errorf("%s is answered after %v", part, time.Since(started))
		}
	}
	put := func(name string, odd func(path string) error) {
		path := filepath.Join(folder, name)
		os.Remove(path)
		if err := odd(path); err != nil {
			t.Fatal(err)
		}
	}
	for _, odd := range []func(path string) error{
		func(path string) error { return syscall.Mkfifo(path, 0o600) },
		func(path string) error { return os.Symlink("/dev/zero", path) },
	} {
		for _, names := range groups {
			for _, name := range names {
				put(name, odd)
			}
			for _, part := range []string{"/print", "/part/prints", "/cutting", "/part/cuts", "/reprint", "/share", "/part/costs", "/paper", "/part/questions", "/download/report"} {
				within(part, func() { c.do("GET", part, "", nil) })
			}
			within("/cost", func() { c.post("/cost", `{"was":"tea","amount":"3"}`) })
			within("/cutting/done", func() { c.post("/cutting/done", `{"done":{"a":1},"at":"a"}`) })
			put(names[0], func(string) error { return nil })
		}
	}
	if err := r.end(); err != nil {
		t.Fatal(err)
	}
	for _, name := range append(notes, "retreat-desk.pdf") {
		put(name, func(path string) error { return os.Symlink("/dev/zero", path) })
	}
	begin(t, folder, Options{printer: (&standIn{}).printer()}, "retreat-desk.xlsx")
}
