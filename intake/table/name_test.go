package table

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// Files of one name are told apart by their folders, and nothing says where these lie.
func TestNamesWithoutPlaces(t *testing.T) {
	dir := t.TempDir()
	for _, f := range []string{"jan/a/x.csv", "jan/b/x.csv", "feb/b/x.csv", "y.csv"} {
		path := filepath.Join(dir, filepath.FromSlash(f))
		if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(f), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	names := func(paths ...string) (out []string) {
		for _, in := range gather(paths) {
			out = append(out, in.shown)
		}
		return out
	}
	want := []string{"feb/b/x.csv", "a/x.csv", "jan/b/x.csv", "y.csv"}
	if got := names(dir); !slices.Equal(got, want) {
		t.Errorf("by its whole path: %v", got)
	}
	t.Chdir(dir)
	if got := names("."); !slices.Equal(got, want) {
		t.Errorf("from within: %v", got)
	}
	t.Chdir("jan")
	if got := names("a", "../jan/b"); !slices.Equal(got, []string{"a/x.csv", "b/x.csv"}) {
		t.Errorf("one by one: %v", got)
	}
	if got := names(filepath.Join(dir, "y.csv")); len(got) != 1 || strings.Contains(got[0], "/") {
		t.Errorf("alone: %v", got)
	}
}
