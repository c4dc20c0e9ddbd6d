package save

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"testing"
	"time"

	"tuckmark/config/problem"
)

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func put(t *testing.T, path, text string) {
	t.Helper()
	must(t, os.WriteFile(path, []byte(text), 0o644))
}

// contents are the files and folders below a folder, with what is in the files.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	must(t, filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || path == dir {
			return err
		}
		name, _ := filepath.Rel(dir, path)
		all[name] = d.Type().String()
		if d.Type().IsRegular() {
			data, err := os.ReadFile(path)
			all[name] = string(data)
			return err
		}
		return nil
	}))
	return all
}

func files(paths ...string) []File {
	var out []File
	for _, p := range paths {
		out = append(out, File{Flag: "-o", Path: p, Data: []byte("new " + filepath.Base(p)), Own: true})
	}
	return out
}

// A set is there whole, and nothing lies beside it; a file without a path is not wanted.
func TestSetIsWhole(t *testing.T) {
	dir := t.TempDir()
	must(t, os.Mkdir(filepath.Join(dir, "other"), 0o755))
	put(t, filepath.Join(dir, "a"), "old a")
	if _, p := Create(files(filepath.Join(dir, "a"), "", filepath.Join(dir, "other", "b")), Guard{}); p != nil {
		t.Fatal(p)
	}
	want := map[string]string{"a": "new a", "other": "d---------", filepath.Join("other", "b"): "new b"}
	if got := contents(t, dir); !maps.Equal(got, want) {
		t.Errorf("there are %v", got)
	}
}

// If one file of a set cannot be written, or not take its place at the last moment, all is as it was.
func TestSetIsPutBack(t *testing.T) {
	for _, there := range []bool{true, false} {
		dir := t.TempDir()
		a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
		if there {
			put(t, a, "old a")
		}
		before := contents(t, dir)
		if _, p := Create(files(a, filepath.Join(dir, "no", "folder")), Guard{}); p == nil || !p.Disk || p.Hint == "" {
			t.Errorf("into a folder that is not there: %v", p)
		}
		if got := contents(t, dir); !maps.Equal(got, before) {
			t.Errorf("not written: there are %v", got)
		}
		var out outputs
		for _, p := range []string{a, b} {
			if p := out.write(File{Flag: "-o", Path: p, Data: []byte("new")}); p != nil {
				t.Fatal(p)
			}
		}
		must(t, os.MkdirAll(filepath.Join(b, "in the way"), 0o755))
		if _, p := out.commit(); p == nil || p.What == HalfWritten {
			t.Errorf("%v", p)
		}
		out.discard()
		must(t, os.RemoveAll(b))
		if got := contents(t, dir); !maps.Equal(got, before) {
			t.Errorf("put back: there are %v", got)
		}
	}
}

// An output may be a link, which stays one, and keeps the permissions of the file that it replaces.
func TestLinkAndPermissionsStay(t *testing.T) {
	throughLink(t, func(link string) *problem.Problem {
		_, p := Create([]File{{Flag: "-o", Path: link, Data: []byte("new"), Ours: func([]byte) bool { return true }}}, Guard{})
		return p
	})
}

// A link that somebody put in the place of a file of our own is replaced, and what it leads to stays.
func TestOwnFileIsNoLink(t *testing.T) {
	dir := t.TempDir()
	somebodys, note := filepath.Join(dir, "mine.txt"), filepath.Join(dir, "made.json")
	put(t, somebodys, "mine")
	if err := os.Symlink(somebodys, note); err != nil {
		t.Skip("no links here: ", err)
	}
	if _, p := Create([]File{{Path: note, Data: []byte("ours"), Own: true}}, Guard{}); p != nil {
		t.Fatal(p)
	}
	if got := contents(t, dir); got["mine.txt"] != "mine" || got["made.json"] != "ours" {
		t.Errorf("there are %v", got)
	}
}

// throughLink lets a file be written through a link to it, which stays one, and keeps the permissions of the file.
func throughLink(t *testing.T, write func(link string) *problem.Problem) {
	t.Helper()
	if runtime.GOOS == "windows" {
		t.Skip("links need a right there, and permissions are not these")
	}
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real.pdf"), filepath.Join(dir, "job.pdf")
	put(t, real, "old")
	must(t, os.Chmod(real, 0o640))
	must(t, os.Symlink("real.pdf", link))
	if p := write(link); p != nil {
		t.Fatal(p)
	}
	data, err := os.ReadFile(real)
	must(t, err)
	info, err := os.Stat(real)
	must(t, err)
	if to, err := os.Readlink(link); err != nil || to != "real.pdf" || string(data) != "new" || info.Mode().Perm() != 0o640 {
		t.Errorf("the link leads to %q, the file has %q, its permissions are %v", to, data, info.Mode())
	}
}

// What killed runs left is cleared away by the next run into the same folder, unless it may be at work yet.
func TestSweep(t *testing.T) {
	dir := t.TempDir()
	stale, fresh := filepath.Join(dir, roomPrefix+"1"+roomSuffix), filepath.Join(dir, roomPrefix+"2"+roomSuffix)
	for _, d := range []string{stale, fresh} {
		must(t, os.Mkdir(d, 0o700))
		put(t, filepath.Join(d, "0-new"), "half")
	}
	hours := time.Now().Add(-2 * time.Hour)
	must(t, os.Chtimes(stale, hours, hours))
	if _, p := Create(files(filepath.Join(dir, "a")), Guard{}); p != nil {
		t.Fatal(p)
	}
	if _, err := os.Stat(stale); !errors.Is(err, fs.ErrNotExist) {
		t.Error("what a killed run left is there yet")
	}
	if _, err := os.Stat(fresh); err != nil {
		t.Error("what another run writes was removed")
	}
}

// Stop clears away what was begun, says whether a set is in its place, and lets nothing begin.
func TestStop(t *testing.T) {
	t.Cleanup(func() { pending.written = false })
	for _, written := range []bool{false, true} {
		pending.written = false
		dir := t.TempDir()
		want := map[string]string{}
		if written {
			if _, p := Create(files(filepath.Join(dir, "a")), Guard{}); p != nil {
				t.Fatal(p)
			}
			want["a"] = "new a"
		}
		var begun outputs
		if p := begun.write(File{Flag: "-o", Path: filepath.Join(dir, "b"), Data: []byte("half")}); p != nil {
			t.Fatal(p)
		}
		if got := Stop(); got != written {
			t.Errorf("with a set in its place, %v: Stop says %v", written, got)
		}
		if got := contents(t, dir); !maps.Equal(got, want) {
			t.Errorf("after Stop there are %v", slices.Sorted(maps.Keys(got)))
		}
		later := make(chan string)
		go func() {
			_, p := Create(files(filepath.Join(dir, "c")), Guard{})
			later <- fmt.Sprint(p)
		}()
		select {
		case p := <-later:
			t.Errorf("a set was begun after Stop: %s", p)
			continue
		case <-time.After(20 * time.Millisecond):
		}
		pending.Unlock() // as no process goes on after it
		<-later
		begun.discard()
	}
}

// Two names that lead to one place, as where a folder is mounted twice, are told before one output has taken the other's place. The guard, which
// compares names, is passed over here.
func TestTwoNamesOfOnePlace(t *testing.T) {
	for _, there := range []bool{true, false} {
		dir := t.TempDir()
		a := filepath.Join(dir, "a")
		if there {
			put(t, a, "old a")
		}
		before := contents(t, dir)
		var out outputs
		for _, data := range []string{"report", "pdf"} {
			if p := out.write(File{Flag: "-o", Path: a, Data: []byte(data), Own: true}); p != nil {
				t.Fatal(p)
			}
		}
		if _, p := out.commit(); p == nil || p.Disk || p.Hint == "" {
			t.Errorf("one place for two: %v", p)
		}
		out.discard()
		if got := contents(t, dir); !maps.Equal(got, before) {
			t.Errorf("there are %v", got)
		}
	}
}

// A file that is to stay is replaced by nobody, however late it came; one that an earlier run wrote is.
func TestWhatIsThereStays(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	for _, c := range []struct {
		there string
		stays bool
	}{{"", false}, {"new", false}, {"mine", true}, {"run: 1", false}} {
		must(t, os.RemoveAll(a))
		must(t, os.RemoveAll(b))
		var out outputs
		for _, path := range []string{b, a} {
			if p := out.write(File{Flag: "-o", Path: path, Data: []byte("new"), Stays: "a letter", Ours: func(old []byte) bool { return string(old[:3]) == "run" }}); p != nil {
				t.Fatal(p)
			}
		}
		if c.there != "" { // meanwhile
			put(t, a, c.there)
		}
		before := contents(t, dir)
		_, p := out.commit()
		out.discard()
		if (p != nil) != c.stays || p != nil && (!IsThere(p) || !p.Disk || p.Hint == "") {
			t.Errorf("%q: %v", c.there, p)
		}
		if got := contents(t, dir); c.stays && (got["a"] != c.there || got["b"] != "") {
			t.Errorf("%q: there are %v, before %v", c.there, got, before)
		} else if !c.stays && (got["a"] != "new" || got["b"] != "new") {
			t.Errorf("%q: there are %v", c.there, got)
		}
	}
	if _, p := Create([]File{{Flag: "-o", Path: b, Data: []byte("other"), Stays: "a note"}}, Guard{}); !IsThere(p) {
		t.Errorf("nothing of it is ours: %v", p)
	}
}

// TestManyFiles: thousands of files, as letters to as many people, are written in a time that grows as they do, also over those of an earlier run.
func TestManyFiles(t *testing.T) {
	cost := func(n int) time.Duration {
		dir, least := t.TempDir(), time.Hour // the least of several, since others may be at work
		for range 2 {
			var all []File
			for i := range n {
				all = append(all, File{Path: filepath.Join(dir, fmt.Sprint(i)), Data: []byte("to " + fmt.Sprint(i)), Ours: func([]byte) bool { return true }})
			}
			from := time.Now()
			if _, p := Create(all, Guard{}); p != nil {
				t.Fatal(p)
			}
			least = min(least, time.Since(from))
		}
		return least
	}
	if a, b := cost(100), cost(1_000); b > 25*a+100*time.Millisecond { // 10 times, and some 60 where each was looked up for all others
		t.Errorf("%v for 100 files, %v for 1,000", a, b)
	}
}
