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

// rooms are the folders of the house from the top to the bottom; a folder imports only what stands below its row. Whoever wants
// an arrow that goes up has to move a room, and mean it.
var rooms = [][]string{
	{"cmd/tuckmark", "cmd/packbench", "cmd/release", "cmd/release/starter"},
	{"cmd/tuckmark/desk"},
	{"cmd/internal/findings", "cmd/internal/jobbook", "cmd/internal/printjob", "cmd/internal/summary"},
	{"cmd/internal/journal"},
	{"cmd/internal/save", "cmd/internal/host", "cmd/internal/about", "cmd/internal/ipp"},
	{"cmd/internal/naming"},
	{"impose"},
	{"impose/guide", "impose/report", "impose/proof"},
	{"impose/account"},
	{"impose/draw"},
	{"impose/layout"},
	{"impose/plan"},
	{"impose/typeset", "impose/press"},
	{"impose/press/subset", "impose/typeset/weigh"},
	{"impose/pack"},
	{"intake/form"},
	{"intake"},
	{"intake/longsheet"},
	{"intake/table"},
	{"config"},
	{"config/measure"},
	{"config/problem", "config/settled"},
}

// known says of folders with few friends who may import them, wherever those stand: the packer is the layout's alone, so that
// nobody else, the plan's checker least of all, can share its mistakes.
var known = map[string][]string{
	"impose/pack":         {"impose/layout", "cmd/packbench"},
	"impose/press/subset": {"impose/press", "impose/proof", "impose/typeset"},
}

// forTests are imported by tests only: an independent reader of PDFs, plans put together by hand, and tables.
var forTests = []string{"impose/press/readback", "impose/plan/made", "intake/intaketest", "cmd/internal/printjob/rig", "cmd/internal/save/fakedisk", "impose/proof/chromium", "config/longtests"}

const root = "../.."

func TestArrows(t *testing.T) {
	row := map[string]int{}
	for i, r := range rooms {
		for _, folder := range r {
			row[folder] = i
		}
	}
	seen := map[string]bool{}
	err := filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && d.Name() != "../.." && strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return filepath.SkipDir
		}
		if !strings.HasSuffix(file, ".go") || strings.HasSuffix(file, "_test.go") {
			return nil
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		folder := path.Dir(filepath.ToSlash(rel))
		if slices.Contains(forTests, folder) {
			return nil
		}
		from, housed := row[folder]
		if !housed {
			t.Errorf("%s: the folder %s has no place in the house", rel, folder)
			return nil
		}
		seen[folder] = true
		packages, err := imported(file)
		for _, p := range packages {
			to, own := strings.CutPrefix(p, "tuckmark/")
			if !own {
				continue
			}
			if below, housed := row[to]; !housed || below <= from {
				t.Errorf("%s imports %s, which does not stand below %s", rel, to, folder)
			}
			if friends, few := known[to]; few && !slices.Contains(friends, folder) {
				t.Errorf("%s imports %s, which is known to %v only", rel, to, friends)
			}
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	for folder := range row {
		if !seen[folder] {
			t.Errorf("%s is in the list of rooms but not in the tree", folder)
		}
	}
}

// imported names the packages that a file of Go imports.
func imported(file string) ([]string, error) {
	f, err := parser.ParseFile(token.NewFileSet(), file, nil, parser.ImportsOnly)
	if err != nil {
		return nil, err
	}
	var names []string
	for _, im := range f.Imports {
		name, err := strconv.Unquote(im.Path.Value)
		if err != nil {
			return nil, err
		}
		names = append(names, name)
	}
	return names, nil
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
