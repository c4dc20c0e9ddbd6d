package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every test that the table of promises names is there.
func TestPromises(t *testing.T) {
	table, err := os.ReadFile(filepath.Join(root, "testdata", "promises.md"))
	must(t, err)
	there := map[string]bool{}
	declared := regexp.MustCompile(`(?m)^func ((?:Test|Fuzz|Benchmark)\w+)\(`)
	must(t, filepath.WalkDir(root, func(file string, d fs.DirEntry, err error) error {
		if err != nil || !strings.HasSuffix(file, "_test.go") {
			return err
		}
		source, err := os.ReadFile(file)
		for _, m := range declared.FindAllSubmatch(source, -1) {
			there[string(m[1])] = true
		}
		return err
	}))
	named := regexp.MustCompile("`((?:Test|Fuzz|Benchmark)[A-Z]\\w*)").FindAllSubmatch(table, -1)
	if len(named) < 50 {
		t.Errorf("only %d tests are named in the table", len(named))
	}
	for _, m := range named {
		if !there[string(m[1])] {
			t.Errorf("the table of promises names %s, which is gone", m[1])
		}
	}
}
