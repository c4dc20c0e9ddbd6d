package jobbook

import (
	"os"
	"path/filepath"
	"testing"

	"tuckmark/cmd/internal/save"
)

// A link in the workbook's place that leads to what is none of this job's gives way to the workbook; what it leads to stays as it is.
func TestLinkToAnotherFile(t *testing.T) {
	dir := t.TempDir()
	path, elsewhere := filepath.Join(dir, "x-desk.xlsx"), filepath.Join(dir, "accounts.xlsx")
	s := settings(t)
	b, err := create(save.System, path, s)
	must(t, err)
	must(t, b.Close())
	must(t, os.Remove(path), os.WriteFile(elsewhere, []byte("accounts"), 0o644))
	if err := os.Symlink(elsewhere, path); err != nil {
		t.Skip("no links here: ", err)
	}
	b, found, err := open(save.System, path, s)
	if err != nil || len(found) != 1 || found.Errors() > 0 {
		t.Fatal(err, found)
	}
	must(t, b.Close())
	info, err := os.Lstat(path)
	if data, why := os.ReadFile(elsewhere); err != nil || why != nil || string(data) != "accounts" || !info.Mode().IsRegular() {
		t.Errorf("elsewhere is %.20q: %v; in the workbook's place is %v: %v", data, why, info, err)
	}
	b, found, err = open(save.System, path, s)
	if err != nil || len(found) > 0 {
		t.Fatal(err, found)
	}
	must(t, b.Close())
}
