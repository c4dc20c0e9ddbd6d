package save

import (
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"testing"
	"time"

	"tuckmark/config/problem"
)

// A file of our own is written anew where it holds what was read of it, and left alone where it does not.
func TestUpdate(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "own")
	if _, p := Update(System, path, []byte("one"), ""); p != nil {
		t.Fatal(p)
	}
	if _, p := Update(System, path, []byte("two"), DigestOf([]byte("one"))); p != nil {
		t.Fatal(p)
	}
	for _, read := range []Digest{"", DigestOf([]byte("one"))} {
		if _, p := Update(System, path, []byte("three"), read); !IsChanged(p) || p.Hint == "" || !p.Disk {
			t.Errorf("%v", p)
		}
	}
	if _, p := Update(System, filepath.Join(dir, "none"), []byte("x"), DigestOf([]byte("one"))); !IsChanged(p) {
		t.Errorf("what was taken away: %v", p)
	}
	if _, p := Update(System, filepath.Join(dir, "no", "folder"), []byte("x"), ""); p == nil || IsChanged(p) || p.Cause != "the folder does not exist" {
		t.Errorf("%v", p)
	}
	if got := contents(t, dir); len(got) != 1 || got["own"] != "two" {
		t.Errorf("there are %v", got)
	}
}

// A link stays a link, and the file keeps its permissions.
func TestUpdateThroughLink(t *testing.T) {
	throughLink(t, func(link string) *problem.Problem {
		_, p := Update(System, link, []byte("new"), DigestOf([]byte("old")))
		return p
	})
}

// What a killed Update left is written over by the next, and swept away by other runs.
func TestUpdateAfterAKill(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "own")
	put(t, asideName(path), "half, and longer than what is written next")
	if _, p := Update(System, path, []byte("new"), ""); p != nil {
		t.Fatal(p)
	}
	if got := contents(t, dir); len(got) != 1 || got["own"] != "new" {
		t.Errorf("there are %v", got)
	}
	put(t, asideName(path), "half")
	hours := time.Now().Add(-2 * time.Hour)
	must(t, os.Chtimes(asideName(path), hours, hours))
	if _, p := Create(files(filepath.Join(dir, "a")), Guard{}); p != nil {
		t.Fatal(p)
	}
	if _, err := os.Stat(asideName(path)); !errors.Is(err, fs.ErrNotExist) {
		t.Error("what a killed Update left is there yet")
	}
}

// A lock is held once, until it is given back.
func TestLock(t *testing.T) {
	path := filepath.Join(t.TempDir(), "lock")
	held, err := System.Lock(path)
	must(t, err)
	if _, err := System.Lock(path); !errors.Is(err, ErrLocked) {
		t.Errorf("it is held twice: %v", err)
	}
	held.Unlock()
	held, err = System.Lock(path)
	must(t, err)
	if !held.Holds() {
		t.Error("it is not held")
	}
	if os.Remove(path) != nil {
		held.Unlock()
		return // the system keeps the name of a file that is locked
	}
	if held.Holds() {
		t.Error("it is held by no name")
	}
	other, err := System.Lock(path)
	must(t, err)
	if held.Holds() || !other.Holds() {
		t.Error("who holds it is not who took it last")
	}
	held.Unlock()
	other.Unlock()
}
