package printjob

import (
	"bytes"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/impose/press"
)

// TestProgress: what is known of a PDF stays known, is not taken for another's, and a file that cannot be read stops the printing.
func TestProgress(t *testing.T) {
	path := filepath.Join(t.TempDir(), "retreat.pdf")
	of := func(id string) *Document { return &Document{Path: path, finished: &press.Finished{ID: id}} }
	p, bad := readProgress(of(oneID))
	if bad != nil || p.status(3) != "" {
		t.Fatal(bad, p)
	}
	p.Jobs = []*record{sent(1, spoilt, 3, 4), sent(2, done, 4)}
	if bad := p.write(); bad != nil {
		t.Fatal(bad)
	}
	p, bad = readProgress(of(oneID))
	if bad != nil || p.status(3) != spoilt || p.status(4) != done || p.status(5) != "" {
		t.Errorf("%v %+v", bad, p)
	}
	if other, bad := readProgress(of(strings.Repeat("b", 32))); bad != nil || len(other.Jobs) > 0 {
		t.Errorf("of another PDF: %v %+v", bad, other)
	}
	for _, text := range []string{"", "{", `{"printing": 2}`, `{"printing": 1, "jobs": [null]}`, "[]", strings.Replace(string(read(t, p.path)), "spoilt", "spoilT", 1)} {
		if err := os.WriteFile(p.path, []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
		if _, bad := readProgress(of(oneID)); bad == nil || !bad.Disk || !strings.Contains(bad.Hint, "look which pages are printed") {
			t.Errorf("%q: %v", text, bad)
		}
	}
}

const oneID = "0123456789abcdef0123456789abcdef"

func sent(job int, s status, pages ...int) *record {
	return &record{Pages: pages, Queue: "home", Job: job, Name: fmt.Sprintf("retreat.pdf, %s (01234567.%d)", PageWords(pages), job), Status: s}
}

// withoutSeal is the file as it was written before it had a seal.
func withoutSeal(t *testing.T, data []byte) []byte {
	t.Helper()
	at := bytes.LastIndex(data, []byte(",\n \"digest\""))
	if at < 0 {
		t.Fatalf("no seal:\n%s", data)
	}
	return append(bytes.Clone(data[:at]), "\n}\n"...)
}

// TestProgressDamaged: whichever byte of the file is another, it is refused. Of a file without a seal that is so where the byte is no letter of a name and no digit of a
// number; what became of the pages is never read as something else, nor as nothing.
func TestProgressDamaged(t *testing.T) {
	p, bad := readProgress(&Document{Path: filepath.Join(t.TempDir(), "retreat.pdf"), finished: &press.Finished{ID: oneID}})
	if bad != nil {
		t.Fatal(bad)
	}
	p.Jobs = []*record{sent(1, spoilt, 3, 4), sent(2, done, 4), sent(3, left, 5), sent(4, released, 6)}
	p.Jobs[2].Lingers = true
	p.Earlier = []*record{sent(7, waiting, 12)}
	if bad := p.write(); bad != nil {
		t.Fatal(bad)
	}
	sealed := read(t, p.path)
	for _, data := range [][]byte{sealed, withoutSeal(t, sealed)} {
		is := func(p *progress) string {
			var out []string
			for _, r := range slices.Concat(p.Jobs, p.Earlier) {
				out = append(out, fmt.Sprint(len(r.Pages), r.Status, r.Lingers))
			}
			return fmt.Sprint(len(p.Jobs), out)
		}
		whole, err := parseProgress(data)
		if err != nil || is(whole) != is(p) {
			t.Fatalf("%v\n%s", err, data)
		}
		one := bytes.Clone(data)
		for i, was := range data {
			for _, b := range []byte{was ^ 1, was ^ 4, was ^ 32, ' ', '9'} {
				if one[i] = b; b == was {
					continue
				}
				got, err := parseProgress(one)
				if err == nil && (len(data) == len(sealed) || is(got) != is(whole)) {
					t.Fatalf("%q for %q is taken:\n%s", b, was, one)
				}
			}
			one[i] = was
		}
	}
	for _, wrong := range []func(p *progress){
		func(p *progress) { p.PDF = "of another PDF" },
		func(p *progress) { p.PDF = strings.ToUpper(oneID) },
		func(p *progress) { p.Jobs[0].Pages = nil },
		func(p *progress) { p.Jobs[0].Pages = []int{3, 0} },
		func(p *progress) { p.Jobs[0].Job = 0 },
		func(p *progress) { p.Jobs[0].Status = "gone" },
		func(p *progress) { p.Jobs[0].Queue = "" },
		func(p *progress) { p.Earlier[0].Name = "" },
		func(p *progress) { p.Jobs = append(p.Jobs, nil) },
	} {
		other, err := parseProgress(sealed)
		if err != nil {
			t.Fatal(err)
		}
		other.Digest = ""
		wrong(other)
		data, err := json.Marshal(other)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := parseProgress(data); err == nil {
			t.Errorf("taken: %s", data)
		}
	}
}

// TestProgressOfTwo: what one session has written is not written over by another that has not read it, nor the other way round; and a PDF that is made anew
// after it was opened is not begun.
func TestProgressOfTwo(t *testing.T) {
	path := filepath.Join(t.TempDir(), "retreat.pdf")
	d := &Document{Path: path, finished: &press.Finished{ID: oneID}, read: save.DigestOf([]byte("as opened"))}
	one, _ := readProgress(d)
	two, _ := readProgress(d)
	one.Jobs = []*record{sent(1, done, 3)}
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
