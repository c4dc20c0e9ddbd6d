package save

import (
	"maps"
	"os"
	"path/filepath"
	"runtime"
	"testing"
	"time"
)

// While another run has a folder nothing there is renamed; it is waited for, and in the end told. Its lock goes with it, and nothing stays.
func TestOtherRunHasTheFolder(t *testing.T) {
	if runtime.GOOS == "js" || runtime.GOOS == "wasip1" {
		t.Skip("there are no locks here")
	}
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a"), filepath.Join(dir, "b")
	put(t, a, "old a")
	put(t, b, "old b")
	before := contents(t, dir)
	defer func(p time.Duration) { patience = p }(patience)
	patience = 50 * time.Millisecond
	release, err := lockFolder(dir)
	must(t, err)
	if _, p := Create(files(a, b), Guard{}); p == nil || p.What != "another run is writing into this folder" || p.Hint == "" || !p.Disk {
		t.Errorf("with the folder taken: %v", p)
	}
	release()
	if now := contents(t, dir); !maps.Equal(now, before) {
		t.Errorf("there are %v", now)
	}
	patience = time.Minute
	release, err = lockFolder(dir)
	must(t, err)
	done := make(chan bool)
	go func() {
		_, p := Create(files(a, b), Guard{})
		done <- p == nil
	}()
	time.Sleep(100 * time.Millisecond)
	if data, _ := os.ReadFile(a); string(data) != "old a" {
		t.Error("written while another run had the folder")
	}
	release()
	if !<-done {
		t.Error("not written once the other run was done")
	}
	if now := contents(t, dir); !maps.Equal(now, map[string]string{"a": "new a", "b": "new b"}) {
		t.Errorf("there are %v", now)
	}
}

// One folder under two names is no other run.
func TestFolderUnderTwoNames(t *testing.T) {
	dir := t.TempDir()
	must(t, os.Mkdir(filepath.Join(dir, "real"), 0o755))
	if os.Symlink("real", filepath.Join(dir, "link")) != nil {
		t.Skip("no links here")
	}
	defer func(p time.Duration) { patience = p }(patience)
	patience = 50 * time.Millisecond
	if _, p := Create(files(filepath.Join(dir, "real", "a"), filepath.Join(dir, "link", "b")), Guard{}); p != nil {
		t.Error(p)
	}
}
