package main

import (
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// fileNames are files of the package itself; those of others are named with their folder.
var fileNames = regexp.MustCompile(`(?:^|[^/\w])([a-z0-9_]+\.go)\b`)

// bySystem are files of which there is one for each kind of system.
var bySystem = regexp.MustCompile(`^(no)?race\.go$|_(unix|flock|linux|windows|darwin|other)\.go$`)

// TestHouseTour: a package comment that names its files names all of them, and none that is gone.
func TestHouseTour(t *testing.T) {
	tours := 0
	for _, top := range []string{"cmd", "config", "impose", "intake"} {
		folders := map[string][]string{}
		err := filepath.WalkDir(filepath.Join(root, top), func(p string, d os.DirEntry, err error) error {
			if err == nil && strings.HasSuffix(p, ".go") && !strings.HasSuffix(p, "_test.go") {
				folders[filepath.Dir(p)] = append(folders[filepath.Dir(p)], d.Name())
			}
			return err
		})
		if err != nil {
			t.Fatal(err)
		}
		for folder, files := range folders {
			var named []string
			for _, f := range files {
				source, err := os.ReadFile(filepath.Join(folder, f))
				if err != nil {
					t.Fatal(err)
				}
				comment, _, _ := strings.Cut("\n"+string(source), "\npackage ")
				for _, m := range fileNames.FindAllStringSubmatch(comment, -1) {
					named = append(named, m[1])
				}
			}
			if len(named) < 2 {
				continue
			}
			tours++
			folder = path.Clean(filepath.ToSlash(folder))
			for _, f := range files {
				if f != "doc.go" && !bySystem.MatchString(f) && !slices.Contains(named, f) {
					t.Errorf("%s: the package comment does not say what %s is for", folder, f)
				}
			}
			for _, f := range named {
				if !slices.Contains(files, f) && !strings.HasSuffix(f, "_test.go") {
					t.Errorf("%s: the package comment names %s, which is not there", folder, f)
				}
			}
		}
	}
	if tours < 12 {
		t.Errorf("%d package comments name their files", tours)
	}
}
