package save

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"
)

// A file of our own is written anew where it holds what was read of it, and left alone where it does not.
func TestUpdate(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "own")
	if p := Update(System, path, []byte("one"), ""); p != nil {
		t.Fatal(p)
	}
	if p := Update(System, path, []byte("two"), DigestOf([]byte("one"))); p != nil {
		t.Fatal(p)
	}
	for _, read := range []Digest{"", DigestOf([]byte("one"))} {
		if p := Update(System, path, []byte("three"), read); !IsChanged(p) || p.Hint == "" || !p.Disk {
			t.Errorf("%v", p)
		}
	}
	if p := Update(System, filepath.Join(dir, "none"), []byte("x"), DigestOf([]byte("one"))); !IsChanged(p) {
		t.Errorf("what was taken away: %v", p)
	}
	if p := Update(System, filepath.Join(dir, "no", "folder"), []byte("x"), ""); p == nil || IsChanged(p) || p.Cause != "the folder does not exist" {
		t.Errorf("%v", p)
	}
	if got := contents(t, dir); len(got) != 1 || got["own"] != "two" {
		t.Errorf("there are %v", got)
	}
}

// A link stays a link, and the file keeps its permissions.
func TestUpdateThroughLink(t *testing.T) {
	if runtime.GOOS == "windows" {
		t.Skip("links need a right there, and permissions are not these")
	}
	dir := t.TempDir()
	real, link := filepath.Join(dir, "real"), filepath.Join(dir, "link")
	put(t, real, "old")
	must(t, os.Chmod(real, 0o640))
	must(t, os.Symlink("real", link))
	if p := Update(System, link, []byte("new"), DigestOf([]byte("old"))); p != nil {
		t.Fatal(p)
	}
	data, err := os.ReadFile(real)
	must(t, err)
	info, err := os.Stat(real)
	must(t, err)
	if to, err := os.Readlink(link); err != nil || to != "real" || string(data) != "new" || info.Mode().Perm() != 0o640 {
		t.Errorf("the link leads to %q, the file has %q, its permissions are %v", to, data, info.Mode())
	}
}

// What a killed Update left is written over by the next, and swept away by other runs.
func TestUpdateAfterAKill(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "own")
	put(t, asideName(path), "half, and longer than what is written next")
	if p := Update(System, path, []byte("new"), ""); p != nil {
		t.Fatal(p)
	}
	if got := contents(t, dir); len(got) != 1 || got["own"] != "new" {
		t.Errorf("there are %v", got)
	}
	put(t, asideName(path), "half")
	hours := time.Now().Add(-2 * time.Hour)
	must(t, os.Chtimes(asideName(path), hours, hours))
	if p := Create(files(filepath.Join(dir, "a")), Guard{}); p != nil {
		t.Fatal(p)
	}
	if _, err := os.Stat(asideName(path)); !errors.Is(err, fs.ErrNotExist) {
		t.Error("what a killed Update left is there yet")
	}
}

// A lock is held once, until it is given back.
func TestLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	unlock, err := System.Lock(path)
	must(t, err)
	if _, err := System.Lock(path); !errors.Is(err, ErrLocked) {
		t.Errorf("it is held twice: %v", err)
	}
	unlock()
	unlock, err = System.Lock(path)
	must(t, err)
	unlock()
}
