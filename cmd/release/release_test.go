package main

import (
	"archive/zip"
	"bytes"
	"io"
	"os"
	"path/filepath"
	"regexp"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

const root = "../.."

func must(t *testing.T, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// TestPack: the zip does not depend on the order in which files are given; what comes out of it are these files, in one folder, with their rights.
func TestPack(t *testing.T) {
	files := []file{{"b", []byte("two"), 0o644}, {"a c", bytes.Repeat([]byte("one "), 1000), 0o755}, {"é.txt", nil, 0o644}}
	first, err := pack(files)
	must(t, err)
	slices.Reverse(files)
	second, err := pack(files)
	must(t, err)
	if !bytes.Equal(first, second) {
		t.Error("the same files are not the same bytes")
	}
	z, err := zip.NewReader(bytes.NewReader(first), int64(len(first)))
	must(t, err)
	must(t, fstest.TestFS(z, "tuckmark/a c", "tuckmark/b", "tuckmark/é.txt"))
	var names []string
	for _, f := range z.File {
		names = append(names, f.Name)
		i := slices.IndexFunc(files, func(is file) bool { return folder+is.name == f.Name })
		r, err := f.Open()
		must(t, err)
		data, err := io.ReadAll(r)
		must(t, err)
		if !bytes.Equal(data, files[i].data) || f.Mode() != files[i].mode || !f.Modified.Equal(day) {
			t.Errorf("%s: %d bytes, %v, %v", f.Name, len(data), f.Mode(), f.Modified)
		}
	}
	if !slices.IsSorted(names) {
		t.Errorf("the files stand as %q", names)
	}
}

// TestContents: each system gets its program, its starter as it can run it, and a page that speaks of that system only.
func TestContents(t *testing.T) {
	pages := map[string]bool{}
	for _, c := range []struct{ system, processor, program, starter, begins, end, page, other string }{
		{"linux", "amd64", "tuckmark", "Start tuckmark", "starter", "", "Executable as Program", "SmartScreen"},
		{"linux", "arm64", "tuckmark", "Start tuckmark", "starter", "", "64-bit ARM", "Open Anyway"},
		{"darwin", "amd64", "tuckmark", "Start tuckmark.command", "#!/bin/sh\n", "\n", "an Intel processor", "SmartScreen"},
		{"darwin", "arm64", "tuckmark", "Start tuckmark.command", "#!/bin/sh\n", "\n", "Open Anyway", "Executable as Program"},
		{"windows", "amd64", "tuckmark.exe", "Start tuckmark.cmd", "@echo off\r\n", "\r\n", "Extract All", "Open Anyway"},
		{"windows", "arm64", "tuckmark.exe", "Start tuckmark.cmd", "@echo off\r\n", "\r\n", "SmartScreen", "./tuckmark"},
	} {
		var program []byte
		if c.system == "linux" {
			program = []byte("starter of tuckmark desk")
		}
		files, err := target{c.system, c.processor, "v1.2.3"}.contents(root, []byte("program"), program, []byte("licences"))
		must(t, err)
		found := map[string]file{}
		for _, f := range files {
			found[f.name] = f
		}
		start := string(found[c.starter].data)
		if lines := strings.Count(start, "\n"); !strings.HasPrefix(start, c.begins) || c.end != "" && strings.Count(start, c.end) != lines || c.end == "\n" && strings.Contains(start, "\r") {
			t.Errorf("%s: the starter has other ends of lines than its system", c.system)
		}
		if i := strings.IndexFunc(start, func(r rune) bool { return r > '~' }); i >= 0 {
			t.Errorf("%s: the starter says %q, which some windows show as something else", c.system, start[i:i+4])
		}
		if !strings.Contains(start, c.program+" desk") {
			t.Errorf("%s: the starter does not open the desk", c.system)
		}
		for name, mode := range map[string]os.FileMode{c.program: 0o755, c.starter: 0o755, "First steps.html": 0o644, "LICENCES.txt": 0o644, "retreat.xlsx": 0o644} {
			if f, there := found[name]; !there || f.mode != mode {
				t.Errorf("%s: %s is there: %v, with %v", c.system, name, there, f.mode)
			}
		}
		page := string(found["First steps.html"].data)
		for _, want := range []string{c.starter, c.page, "v1.2.3", "retreat-desk.xlsx"} {
			if !strings.Contains(page, want) {
				t.Errorf("%s: the page does not say %q", c.system, want)
			}
		}
		if strings.Contains(page, c.other) || strings.Contains(page, "{{") || regexp.MustCompile(`\shref=|\ssrc=|url\(`).MatchString(page) {
			t.Errorf("%s: the page says %q, or needs something else than itself", c.system, c.other)
		}
		pages[page] = true
	}
	if len(pages) != 6 {
		t.Errorf("there are %d pages for six downloads", len(pages))
	}
	if _, err := (target{"linux", "amd64", "v1"}).contents(root, nil, nil, nil); err == nil {
		t.Error("there is a zip without what is double-clicked")
	}
	if _, err := (target{"plan9", "386", "v1"}).contents(root, nil, nil, nil); err == nil {
		t.Error("a system without a starter gets a zip")
	}
}

// TestLicencesOfAll: a program's list has every module that it is made of, each with a licence, Go, the fonts and the tables.
func TestLicencesOfAll(t *testing.T) {
	_, err := os.ReadFile(filepath.Join(root, "go.sum")) // so that a result that is kept is not of other modules
	must(t, err)
	for _, to := range []target{{"linux", "amd64", "v1"}, {"windows", "arm64", "v1"}} {
		packages, err := linked(to, root)
		must(t, err)
		works, err := worksOf(packages)
		must(t, err)
		info := &debug.BuildInfo{GoVersion: runtime.Version()}
		var modules []string
		for _, w := range works[1:] {
			modules = append(modules, "  "+w.name+"\n")
			path, version, _ := strings.Cut(w.name, " ")
			info.Deps = append(info.Deps, &debug.Module{Path: path, Version: version})
		}
		text, err := licencesOf(info, to, root)
		must(t, err)
		for _, want := range append([]string{"tuckmark itself", "The tuckmark authors", "Go's standard library", "Roboto-Regular.ttf", "DejaVuSans.ttf", "lmroman10-bold.otf", "STIXTwoText-Italic.otf",
			"LiberationMono-Bold.ttf", "SIL OPEN FONT LICENSE", "GUST Font License", "LPPL Version 1.3c", "hyph-nl.tex", "Plain TeX hyphenation", "The FreeType Project LICENSE", "Additional IP Rights Grant"}, modules...) {
			if !bytes.Contains(bytes.ToLower(text), []byte(strings.ToLower(want))) {
				t.Errorf("%s: %q is not there", to.system, want)
			}
		}
		if bytes.Contains(text, []byte("GNU GENERAL PUBLIC LICENSE\n")) {
			t.Error("a licence that was not chosen is there")
		}
		if mousetrap := bytes.Contains(text, []byte("mousetrap")); mousetrap != (to.system == "windows") {
			t.Errorf("%s: what only Windows needs is there: %v", to.system, mousetrap)
		}
		info.Deps = info.Deps[1:]
		if _, err := licencesOf(info, to, root); err == nil {
			t.Errorf("%s: a module is missing, and nobody says so", to.system)
		}
	}
	bare := t.TempDir()
	p := listed{ImportPath: "example.org/bare", Dir: bare, Module: &module{Path: "example.org/bare", Version: "v1.0.0", Dir: bare}}
	if _, err := worksOf([]listed{p}); err == nil || !strings.Contains(err.Error(), "example.org/bare v1.0.0 has no licence") {
		t.Errorf("a module without a licence: %v", err)
	}
	must(t, os.WriteFile(filepath.Join(bare, "face.ttf"), []byte("no font"), 0o644))
	must(t, os.WriteFile(filepath.Join(bare, "LICENSE"), []byte("Do as you like."), 0o644))
	p.EmbedFiles = []string{"face.ttf"}
	if _, err := worksOf([]listed{p}); err == nil || !strings.Contains(err.Error(), "face.ttf") {
		t.Errorf("a font that does not say whose it is: %v", err)
	}
}

// TestNotFit: a program that needs this machine, or tells of it, does not go out; nor does one that would be called something strange.
func TestNotFit(t *testing.T) {
	built := &debug.BuildInfo{Settings: []debug.BuildSetting{{Key: "CGO_ENABLED", Value: "0"}, {Key: "-trimpath", Value: "true"}}}
	must(t, fit(built, []byte("a program"), root))
	here, err := filepath.Abs(root)
	must(t, err)
	if fit(built, []byte("at "+here+"/cmd"), root) == nil {
		t.Error("a path of this machine goes out")
	}
	for i, other := range []debug.BuildSetting{{Key: "CGO_ENABLED", Value: "1"}, {Key: "-trimpath", Value: ""}, {Key: "vcs.revision", Value: "abc"}} {
		set := slices.Clone(built.Settings)
		if i < len(set) {
			set[i] = other
		} else {
			set = append(set, other)
		}
		if fit(&debug.BuildInfo{Settings: set}, nil, root) == nil {
			t.Errorf("a program that was built with %v goes out", other)
		}
	}
	for _, name := range []string{"", "../v1", "v1 beta", "-v1", "v1/2", "v\n1"} {
		if release("no program", "", name, root, "no.zip") == nil {
			t.Errorf("a release is called %q", name)
		}
	}
}
