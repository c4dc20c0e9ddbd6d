package main

import (
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// arrows are the imports that each folder may have of the project's own. Data flows one way; whoever wants a new arrow
// has to write it here and mean it.
var arrows = map[string][]string{
	"config/measure":        {},
	"config/problem":        {},
	"config":                {"config/measure", "config/problem"},
	"intake/table":          {"config/measure", "config/problem"},
	"intake":                {"config", "config/measure", "config/problem", "intake/table"},
	"intake/form":           {"config", "config/measure", "config/problem", "intake", "intake/table"},
	"intake/intaketest":     {"config", "config/measure", "config/problem"},
	"impose/pack":           {"config/measure"},
	"impose/typeset":        {"config", "config/measure", "config/problem", "intake"},
	"impose/press":          {"config/measure", "impose/press/subset"},
	"impose/press/subset":   {},
	"impose/press/readback": {"config/measure"},
	"impose":                {"config", "config/measure", "config/problem", "intake", "impose/pack", "impose/typeset", "impose/press"},
	"impose/guide":          {"config", "config/measure", "config/problem", "intake", "impose", "impose/typeset", "impose/press"},
	"impose/guide/proof":    {"config", "config/measure", "config/problem", "intake", "impose", "impose/typeset", "impose/press", "impose/press/subset"},
	"cmd/packbench":         {"config/measure", "impose/pack"},
	"cmd/tuckmark":          {"config", "config/measure", "config/problem", "intake", "intake/form", "impose", "impose/guide", "impose/guide/proof", "impose/press", "impose/typeset"},
}

// forTests are imported by tests alone: an independent reader of PDFs, and what the tests of intake share.
var forTests = []string{"impose/press/readback", "intake/intaketest"}

const root = "../.."

func TestArrows(t *testing.T) {
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && d.Name() != "../.." && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(file, ".go") {
			return nil
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		folder := path.Dir(filepath.ToSlash(rel))
		isTest := strings.HasSuffix(file, "_test.go")
		allowed, known := arrows[folder]
		if !known && !isTest {
			t.Errorf("%s: the folder %s has no place in the house", rel, folder)
			return nil
		}
		seen[folder] = true
		f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
		if err != nil {
			return err
		}
		for _, im := range f.Imports {
			p, err := strconv.Unquote(im.Path.Value)
			if err != nil {
				return err
			}
			to, own := strings.CutPrefix(p, "tuckmark/")
			if !own || slices.Contains(allowed, to) {
				continue
			}
			if isTest { // tests may look further, but not up the stream into a command
				if slices.Contains(forTests, to) || to == folder || !strings.HasPrefix(to, "cmd/") {
					continue
				}
			}
			t.Errorf("%s imports %s: no arrow from %s to there", rel, to, folder)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for folder := range arrows {
		if !seen[folder] {
			t.Errorf("%s is in the table but not in the tree", folder)
		}
	}
}

// TestTopLevel keeps the first page of the house as it is: a stray file there is somebody's leftover.
func TestTopLevel(t *testing.T) {
	want := []string{"DEVELOPERS.md", "LICENSE", "README.md", "cmd", "config", "go.mod", "go.sum", "impose", "intake", "samples", "testdata"}
	entries, err := os.ReadDir(root)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), ".") {
			got = append(got, e.Name())
		}
	}
	for _, name := range got {
		if !slices.Contains(want, name) {
			t.Errorf("%s does not belong at the top level", name)
		}
	}
	for _, name := range want {
		if !slices.Contains(got, name) {
			t.Errorf("%s is missing at the top level", name)
		}
	}
}
