package printjob

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/impose/press"
)

// TestProgress: what is known of a PDF stays known, is not taken for another's, and a file that cannot be read stops the printing.
func TestProgress(t *testing.T) {
	path := filepath.Join(t.TempDir(), "retreat.pdf")
	of := func(id string) *Document { return &Document{Path: path, finished: &press.Finished{ID: id}} }
	p, bad := readProgress(of("a"))
	if bad != nil || p.status(3) != "" {
		t.Fatal(bad, p)
	}
	p.Jobs = []*record{{Pages: []int{3, 4}, Job: 1, Status: spoilt}, {Pages: []int{4}, Job: 2, Status: done}}
	if bad := p.write(); bad != nil {
		t.Fatal(bad)
	}
	p, bad = readProgress(of("a"))
	if bad != nil || p.status(3) != spoilt || p.status(4) != done || p.status(5) != "" {
		t.Errorf("%v %+v", bad, p)
	}
	if other, bad := readProgress(of("b")); bad != nil || len(other.Jobs) > 0 {
		t.Errorf("of another PDF: %v %+v", bad, other)
	}
	for _, text := range []string{"", "{", `{"printing": 2}`, `{"printing": 1, "jobs": [null]}`, "[]"} {
		if err := os.WriteFile(p.path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, bad := readProgress(of("a")); bad == nil || !bad.Disk {
			t.Errorf("%q: %v", text, bad)
		}
	}
}

// TestProgressOfTwo: what one session has written is not written over by another that has not read it, nor the other way round; and a PDF that is made anew
// after it was opened is not begun.
func TestProgressOfTwo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "retreat.pdf")
	d := &Document{Path: path, finished: &press.Finished{ID: "a"}, read: save.DigestOf([]byte("as opened"))}
	one, _ := readProgress(d)
	two, _ := readProgress(d)
	one.Jobs = []*record{{Pages: []int{3}, Job: 1, Status: done}}
	for range 2 { // a session writes over what it has written itself
		if bad := one.write(); bad != nil {
			t.Fatal(bad)
		}
	}
	if bad := two.write(); bad == nil || !strings.Contains(bad.What, "another window") {
		t.Errorf("written over: %v", bad)
	}
	if now, bad := readProgress(d); bad != nil || now.status(3) != done {
		t.Errorf("%v %+v", bad, now)
	}
	for _, holds := range []string{"as opened", "made anew"} {
		if err := os.WriteFile(path, []byte(holds), 0o600); err != nil {
			t.Fatal(err)
		}
		release, bad := d.hold()
		if (bad == nil) != (holds == "as opened") || bad != nil && !strings.Contains(bad.What, "made anew") {
			t.Fatalf("%s: %v", holds, bad)
		}
		if bad != nil {
			continue
		}
		if _, bad := d.hold(); bad == nil || !strings.Contains(bad.What, "being printed already") {
			t.Errorf("held twice: %v", bad)
		}
		release()
	}
}
