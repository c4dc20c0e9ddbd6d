package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"runtime/debug"
	"slices"
	"strings"

	"golang.org/x/image/font/sfnt"
)

// listed is a package as `go list` knows it.
type listed struct {
	ImportPath string
	Dir        string
	Standard   bool
	EmbedFiles []string
	Module     *module
}

type module struct {
	Path, Version, Dir string
	Main               bool
}

// work is what somebody has made and the program has in it: a module, Go itself, or a table.
type work struct {
	name  string
	texts map[string]string   // the licences, by the names of their files
	fonts map[string][]string // the names of the fonts in it, by what they say of themselves
}

// remarks are what is said of works whose licence leaves a choice, or asks for a line, by their modules.
var remarks = map[string]string{
	"github.com/golang/freetype": "Of the two licences that it offers, it is used under the FreeType License (ftl.txt). Portions of this software are copyright © The FreeType Project (www.freetype.org). All rights reserved.",
}

// licence is what files with licences are called. That of a choice that was not taken is left out.
var licence = regexp.MustCompile(`(?i)^((.*-)?licen[cs]e([-.].*)?|unlicense|copying.*|notice.*|patents|copyright.*|ftl\.txt)$`)

// licencesOf is a text with the licences of all that is linked into a program: of each module, of Go, of the fonts and of the tables of hyphens. A module
// without a licence is an error.
func licencesOf(info *debug.BuildInfo, t target, root string) ([]byte, error) {
	packages, err := linked(t, root)
	if err != nil {
		return nil, err
	}
	works, err := worksOf(packages)
	if err != nil {
		return nil, err
	}
	var built, found []string
	for _, m := range info.Deps {
		built = append(built, m.Path+" "+m.Version)
	}
	for _, w := range works[1:] { // all but our own
		found = append(found, w.name)
	}
	slices.Sort(built)
	if !slices.Equal(built, found) {
		return nil, fmt.Errorf("the program is built of %q, its sources ask for %q", built, found)
	}
	language, err := goWork(root, info.GoVersion)
	if err != nil {
		return nil, err
	}
	hyphens, err := tables(root)
	if err != nil {
		return nil, err
	}
	return written(t, slices.Concat(works[:1], []work{language, hyphens}, works[1:])), nil
}

// goSays is what the go command prints.
func goSays(args ...string) ([]byte, error) {
	c := exec.Command("go", args...)
	c.Stderr = os.Stderr
	return c.Output()
}

// linked are the packages that the program of a target is made of.
func linked(t target, root string) (out []listed, err error) {
	c := exec.Command("go", "list", "-deps", "-json=ImportPath,Dir,Standard,EmbedFiles,Module", "./cmd/tuckmark")
	c.Dir, c.Stderr = root, os.Stderr
	c.Env = append(os.Environ(), "GOOS="+t.system, "GOARCH="+t.processor, "CGO_ENABLED=0")
	data, err := c.Output()
	if err != nil {
		return nil, fmt.Errorf("go list: %w", err)
	}
	for d := json.NewDecoder(bytes.NewReader(data)); ; {
		var p listed
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			return out, nil
		} else if err != nil {
			return nil, err
		}
		out = append(out, p)
	}
}

// worksOf are the modules of packages by their names, our own first, each with the licences that stand in the folders from its packages up to its root.
func worksOf(packages []listed) ([]work, error) {
	all := map[string]work{}
	for _, p := range packages {
		if p.Standard {
			continue
		}
		name := p.Module.Path + " " + p.Module.Version
		if p.Module.Main {
			name = "" // the first, whatever others are called
		}
		w, known := all[name]
		if !known {
			w = work{name: name, texts: map[string]string{}, fonts: map[string][]string{}}
			all[name] = w
			if err := w.add(p.Module.Dir, "licenses"); err != nil {
				return nil, err
			}
		}
		for at := "."; ; {
			if err := w.add(p.Module.Dir, at); err != nil {
				return nil, err
			}
			rel, err := filepath.Rel(p.Module.Dir, p.Dir)
			if err != nil {
				return nil, err
			}
			if at == rel {
				break
			}
			rest, _ := filepath.Rel(at, rel)
			at = filepath.Join(at, strings.Split(filepath.ToSlash(rest), "/")[0])
		}
		for _, f := range p.EmbedFiles {
			if err := w.font(filepath.Join(p.Dir, f)); err != nil {
				return nil, err
			}
		}
	}
	out := make([]work, 0, len(all))
	for _, name := range slices.Sorted(maps.Keys(all)) {
		if len(all[name].texts) == 0 {
			return nil, fmt.Errorf("%s has no licence", cmp.Or(name, "tuckmark"))
		}
		out = append(out, all[name])
	}
	return out, nil
}

// add adds the licences that stand in a folder of a work, if there is one.
func (w *work) add(root, folder string) error {
	entries, err := os.ReadDir(filepath.Join(root, folder))
	if err != nil && !errors.Is(err, os.ErrNotExist) && folder != "licenses" {
		return err
	}
	for _, e := range entries {
		name := filepath.ToSlash(filepath.Join(folder, e.Name()))
		if ext := filepath.Ext(e.Name()); !e.Type().IsRegular() || !licence.MatchString(e.Name()) || ext == ".go" || w.texts[name] != "" {
			continue
		}
		text, err := os.ReadFile(filepath.Join(root, folder, e.Name()))
		if err != nil {
			return err
		}
		w.texts[name] = plain(text)
	}
	return nil
}

// plain is a text as it stands in ours: lines that end alike, none with spaces at its end, no empty ones around it.
func plain(text []byte) string {
	lines := strings.Split(strings.ReplaceAll(strings.TrimPrefix(string(text), "\ufeff"), "\r\n", "\n"), "\n")
	for i := range lines {
		lines[i] = strings.TrimRight(lines[i], " \t\f\r")
	}
	return strings.Trim(strings.Join(lines, "\n"), "\n")
}

// font adds what an embedded font says of its makers and its licence (OpenType, table name).
func (w *work) font(path string) error {
	if ext := filepath.Ext(path); ext != ".ttf" && ext != ".otf" {
		return nil
	}
	data, err := os.ReadFile(path)
	if err != nil {
		return err
	}
	f, err := sfnt.Parse(data)
	if err != nil {
		return fmt.Errorf("%s: %w", path, err)
	}
	var said []string
	for _, id := range []sfnt.NameID{sfnt.NameIDCopyright, sfnt.NameIDTrademark, sfnt.NameIDLicense} {
		if text, err := f.Name(nil, id); err == nil && text != "" {
			said = append(said, plain([]byte(strings.ReplaceAll(text, "\r", "\n"))))
		}
	}
	if len(said) == 0 {
		return fmt.Errorf("%s does not say whose it is", path)
	}
	all := strings.Join(said, "\n")
	w.fonts[all] = append(w.fonts[all], filepath.Base(path))
	return nil
}

// goWork is Go itself: its standard library and what runs in every program.
func goWork(root, version string) (work, error) {
	w := work{name: "Go's standard library and runtime " + strings.TrimPrefix(version, "go"), texts: map[string]string{}}
	at, err := goSays("-C", root, "env", "GOROOT")
	if err != nil {
		return w, err
	}
	err = w.add(strings.TrimSpace(string(at)), ".")
	if err == nil && w.texts["LICENSE"] == "" {
		err = errors.New("the folder of Go has no licence")
	}
	return w, err
}

// tables are TeX's tables of hyphens, each with its head, which says its licence, and the licence that some of them only name.
func tables(root string) (work, error) {
	w := work{name: "tables of hyphens, from TeX's collection", texts: map[string]string{}}
	folder := filepath.Join(root, "impose", "typeset")
	files, err := filepath.Glob(filepath.Join(folder, "hyphens", "*.tex"))
	if err != nil || len(files) == 0 {
		return w, errors.Join(err, errors.New("there are no tables of hyphens"))
	}
	for _, f := range append(files, filepath.Join(folder, "hyphen.tex")) {
		data, err := os.ReadFile(f)
		if err != nil {
			return w, err
		}
		var head strings.Builder
		for line := range strings.Lines(string(data)) {
			line, comment := strings.CutPrefix(line, "%")
			if !comment {
				break
			}
			head.WriteString(strings.TrimPrefix(line, " "))
		}
		if head.Len() == 0 {
			return w, fmt.Errorf("%s has no head that says its licence", f)
		}
		w.texts[filepath.Base(f)] = plain([]byte(head.String()))
	}
	named, err := os.ReadFile(filepath.Join(folder, "lppl-1-3c.txt"))
	w.texts["lppl-1-3c.txt"] = plain(named)
	return w, err
}

// written is the text: a list of the works, and then their licences. Works under the very same texts share them.
func written(t target, works []work) []byte {
	type chapter struct {
		works []work
		texts string
	}
	var chapters []chapter
	for _, w := range works {
		var b strings.Builder
		for _, name := range slices.Sorted(maps.Keys(w.texts)) {
			fmt.Fprintf(&b, "\n--- %s ---\n\n%s\n", name, w.texts[name])
		}
		if note := remarks[w.module()]; note != "" {
			fmt.Fprintf(&b, "\n%s\n", note)
		}
		for _, said := range slices.Sorted(maps.Keys(w.fonts)) {
			fmt.Fprintf(&b, "\n--- said in %s ---\n\n%s\n", strings.Join(w.fonts[said], ", "), said)
		}
		i := slices.IndexFunc(chapters, func(c chapter) bool { return c.texts == b.String() })
		if i < 0 {
			i = len(chapters)
			chapters = append(chapters, chapter{texts: b.String()})
		}
		chapters[i].works = append(chapters[i].works, w)
	}
	var out strings.Builder
	fmt.Fprintf(&out, "tuckmark %s for %s (%s/%s): the licences of all that the program is made of\n\n", t.version, names[t.system], t.system, t.processor)
	for i, c := range chapters {
		for _, w := range c.works {
			fmt.Fprintf(&out, "%4d  %s\n", i+1, w)
		}
	}
	for i, c := range chapters {
		fmt.Fprintf(&out, "\n%s\n", strings.Repeat("=", 80))
		for _, w := range c.works {
			fmt.Fprintf(&out, "%4d  %s\n", i+1, w)
		}
		out.WriteString(c.texts)
	}
	return []byte(out.String())
}

// String is what a work is called; ours has no name among the modules.
func (w work) String() string { return cmp.Or(w.name, "tuckmark itself") }

// module is the module's path.
func (w work) module() string {
	path, _, _ := strings.Cut(w.name, " ")
	return path
}
