package main

import (
	"bufio"
	"go/build"
	"os"
	"path/filepath"
	"regexp"
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

// Every module that the project needs has a licence that goes with the project's, which DEVELOPERS.md lists.
func TestLicences(t *testing.T) {
	cache := os.Getenv("GOMODCACHE")
	if cache == "" {
		cache = filepath.Join(filepath.SplitList(build.Default.GOPATH)[0], "pkg", "mod")
	}
	doc, err := os.ReadFile(filepath.Join(root, "DEVELOPERS.md"))
	must(t, err)
	listed := map[string]string{}
	for _, m := range regexp.MustCompile("(?m)^\\| `([^`]+)` \\| ([^|]+) \\|").FindAllStringSubmatch(string(doc), -1) {
		listed[m[1]] = strings.TrimSpace(m[2])
	}
	if !strings.Contains(string(doc), "Licences") {
		t.Skip("DEVELOPERS.md does not list licences")
	}
	for module, dir := range modules(t) {
		files, _ := filepath.Glob(filepath.Join(cache, dir, "LICENSE*"))
		if len(files) == 0 {
			t.Logf("%s is not in the cache of modules, its licence is not read", module)
			if listed[module] == "" {
				t.Errorf("DEVELOPERS.md does not list the licence of %s", module)
			}
			continue
		}
		text, err := os.ReadFile(files[0])
		must(t, err)
		found := ""
		for _, l := range licences {
			if l.text.Match(text) {
				found = l.name
				break
			}
		}
		if found == "" || listed[module] != found {
			t.Errorf("| `%s` | %s |: this is what its licence is, DEVELOPERS.md says %q", module, found, listed[module])
		}
	}
}
