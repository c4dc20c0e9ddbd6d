package save

import (
	"os"
	"path/filepath"
	"testing"
)

// A folder of our own is made, or is there; a link of its name, which may lead to somebody else's, is refused.
func TestFolderIsNoLink(t *testing.T) {
	dir := t.TempDir()
	own, link := filepath.Join(dir, "own"), filepath.Join(dir, "link")
	for range 2 {
		if err := System.MakeFolder(own); err != nil {
			t.Fatal(err)
		}
	}
	if err := os.Symlink(own, link); err != nil {
		t.Skip("no links here:", err)
	}
	err := System.MakeFolder(link)
	if err == nil {
		t.Fatal("a link is taken for a folder of our own")
	}
	if why := Reason(err); why != "a link stands where a folder of our own has to be" {
		t.Error(why)
	}
}

// What cannot be written is told without a flag: who writes again and again has none.
func TestTargetHasNoFlag(t *testing.T) {
	_, p := System.Target(t.TempDir())
	if p == nil || p.Hint != "give another name" {
		t.Errorf("%+v", p)
	}
}
