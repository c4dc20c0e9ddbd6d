package main

import (
	"bufio"
	"go/build"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"unicode"
)

// licences are told by sentences that their texts have and the others have not. All of them let a program under the MIT
// licence use the module; MPL only does as long as its own files stay as they are.
var licences = []struct {
	name string
	text *regexp.Regexp
}{
	{"Apache-2.0", regexp.MustCompile(`Apache License\s+Version 2\.0`)},
	{"MPL-2.0", regexp.MustCompile(`Mozilla Public License Version 2\.0`)},
	{"FTL or GPL-2.0", regexp.MustCompile(`(?s)exactly\s+one\s+of\s+the\s+following.*FreeType\s+License`)},
	{"Unlicense or BSD-3-Clause", regexp.MustCompile(`UNLICENSE\s+or\s+the\s+BSD\s+license`)},
	{"MIT and Apache-2.0", regexp.MustCompile(`two different licenses: MIT and Apache`)},
	{"BSD-3-Clause", regexp.MustCompile(`(?s)Redistribution and use in source and binary forms.*[Nn]either the name`)},
	{"BSD-2-Clause", regexp.MustCompile(`(?s)under the Simplified BSD License.*Redistribution and use`)},
	{"Knuth License", regexp.MustCompile(`(?s)^.{0,300}Knuth License`)},
	{"OFL-1.1", regexp.MustCompile(`SIL OPEN FONT LICENSE Version 1\.1`)},
	{"GUST Font License", regexp.MustCompile(`GUST Font License`)},
	{"Bitstream Vera", regexp.MustCompile(`Bitstream Vera Fonts Copyright`)},
	{"MIT", regexp.MustCompile(`Permission is hereby granted, free of charge`)},
}

// modules are the requirements of go.mod, by their folder in the cache of modules.
func modules(t *testing.T) map[string]string {
	t.Helper()
	f, err := os.Open(filepath.Join(root, "go.mod"))
	must(t, err)
	defer f.Close()
	out := map[string]string{}
	in := false
	for s := bufio.NewScanner(f); s.Scan(); {
		words := strings.Fields(s.Text())
		switch {
		case len(words) > 1 && words[0] == "require":
			in = true
		case len(words) > 0 && words[0] == ")":
			in = false
		case in && len(words) > 1:
			var dir strings.Builder // the cache writes capitals as ! and the small letter
			for _, r := range words[0] {
				if unicode.IsUpper(r) {
					dir.WriteByte('!')
				}
				dir.WriteRune(unicode.ToLower(r))
			}
			out[words[0]] = dir.String() + "@" + words[1]
		}
	}
	return out
}

// Every module that the project needs has a licence that goes with the project's, which testdata/licences.md lists.
func TestLicences(t *testing.T) {
	cache := os.Getenv("GOMODCACHE")
	if cache == "" {
		cache = filepath.Join(filepath.SplitList(build.Default.GOPATH)[0], "pkg", "mod")
	}
	doc, err := os.ReadFile(filepath.Join(root, "testdata", "licences.md"))
	must(t, err)
	listed := map[string]string{}
	for _, row := range regexp.MustCompile(`(?m)^\| ([^|]+) \| ([^|]+) \|$`).FindAllStringSubmatch(string(doc), -1) {
		for _, m := range regexp.MustCompile("`([^`]+)`").FindAllStringSubmatch(row[2], -1) {
			listed[m[1]] = strings.TrimSpace(row[1])
		}
	}
	needed := modules(t)
	for module := range listed {
		if needed[module] == "" {
			t.Errorf("testdata/licences.md lists %s, which is not needed", module)
		}
	}
	for module, dir := range needed {
		if listed[module] == "" {
			t.Errorf("testdata/licences.md does not list the licence of %s", module)
		}
		files, _ := filepath.Glob(filepath.Join(cache, dir, "*LICENSE*"))
		if len(files) == 0 {
			t.Logf("%s is not in the cache of modules, its licence is not read", module)
			continue
		}
		var found []string
		for _, f := range files {
			text, err := os.ReadFile(f)
			must(t, err)
			name := "unknown"
			for _, l := range licences {
				if l.text.Match(text) {
					name = l.name
					break
				}
			}
			if name == "unknown" {
				t.Errorf("%s is under a licence that is not known here: %s", module, f)
			}
			if !slices.Contains(found, name) {
				found = append(found, name)
			}
		}
		if is := strings.Join(found, ", "); listed[module] != is {
			t.Errorf("the licence of %s is %q, testdata/licences.md says %q", module, is, listed[module])
		}
	}
}
