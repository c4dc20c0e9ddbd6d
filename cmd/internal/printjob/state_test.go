package printjob

import (
	"os"
	"path/filepath"
	"testing"

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
