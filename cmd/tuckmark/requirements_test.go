package main

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// TestRequirements keeps what only tests ask for in a block of its own in go.mod, so that it can be seen what a program that is
// built consists of: the block is told by its comment. Which is which is read off the imports.
func TestRequirements(t *testing.T) {
	program, tests := map[string]bool{}, map[string]bool{}
	must(t, filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(file, ".go") {
			return err
		}
		rel, err := filepath.Rel(root, file)
		if err != nil {
			return err
		}
		into := program
		if strings.HasSuffix(file, "_test.go") || slices.Contains(forTests, path.Dir(filepath.ToSlash(rel))) {
			into = tests
		}
		names, err := imported(file)
		for _, name := range names {
			into[name] = true
		}
		return err
	}))
	mod, err := os.ReadFile(filepath.Join(root, "go.mod"))
	must(t, err)
	asked := func(module string, by map[string]bool) bool {
		for name := range by {
			if name == module || strings.HasPrefix(name, module+"/") {
				return true
			}
		}
		return false
	}
	blocks := 0
	for _, block := range regexp.MustCompile(`(?ms)^(// Tests alone[^\n]*\n)?require \((.*?)^\)`).FindAllStringSubmatch(string(mod), -1) {
		alone := block[1] != ""
		if alone {
			blocks++
		}
		for _, m := range regexp.MustCompile(`(?m)^\t(\S+) v\S+$`).FindAllStringSubmatch(block[2], -1) { // those of others end in a comment
			switch module := m[1]; {
			case alone && asked(module, program):
				t.Errorf("%s stands among what only tests ask for, and a program asks for it", module)
			case !alone && !asked(module, program):
				t.Errorf("%s is asked for by tests only, and stands elsewhere than these", module)
			case alone && !asked(module, tests):
				t.Errorf("no test asks for %s", module)
			}
		}
	}
	if blocks != 1 {
		t.Errorf("go.mod has %d blocks of what tests alone ask for", blocks)
	}
}
