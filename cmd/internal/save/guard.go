package save

import (
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// Guard knows what a run reads, so that none of it is written over. The zero Guard knows of nothing.
type Guard struct {
	inputs []string
}

// Protect adds files that are read, and folders whose files are; "" is none.
func (g *Guard) Protect(paths ...string) {
	g.inputs = append(slices.Clip(g.inputs), paths...) // a copy of the guard does not see them
}

// Check finds an output that is one of the inputs, or two outputs that are one file; "" is none. Create asks it in any case. A
// command asks before long work, so that nobody waits for what is refused. The problem is one of the call, not of the disk.
func (g Guard) Check(outputs ...string) *problem.Problem {
	for i, o := range outputs {
		if o == "" {
			continue
		}
		if g.input(o) {
			return &problem.Problem{What: o + " is an input and would be overwritten", Hint: "give another name with -o"}
		}
		for _, p := range outputs[:i] {
			if p != "" && canonicalPath(o) == canonicalPath(p) {
				return twoOutputs(o)
			}
		}
	}
	return nil
}

func twoOutputs(path string) *problem.Problem {
	return &problem.Problem{What: "two outputs are to be written to " + path, Hint: "give each its own name"}
}

// input reports whether a file is there and is one of the inputs. They are known by being the file, not by their names, since links
// lead to it, too.
func (g Guard) input(path string) bool {
	file, err := os.Stat(path)
	if err != nil || !file.Mode().IsRegular() { // what is no file cannot be replaced either
		return false
	}
	same := func(other string) bool {
		info, err := os.Stat(other)
		return err == nil && os.SameFile(file, info)
	}
	for _, in := range g.inputs {
		info, err := os.Stat(in)
		if err != nil {
			continue
		}
		if !info.IsDir() {
			if os.SameFile(file, info) {
				return true
			}
			continue
		}
		read, others := table.FilesIn(in)
		if slices.ContainsFunc(read, same) || slices.ContainsFunc(others, func(o string) bool { return !ofRun(o) && same(o) }) {
			return true
		}
	}
	return false
}

// ofRun reports whether a file in a folder of inputs may be one that an earlier run has written there.
func ofRun(path string) bool {
	switch strings.ToLower(filepath.Ext(path)) {
	case ".pdf", ".html", ".json":
		return true
	}
	return false
}

// canonicalPath is where a name leads, the same for all ways to write it.
func canonicalPath(path string) string {
	if abs, err := filepath.Abs(path); err == nil {
		path = abs
	}
	dir, name := filepath.Split(path)
	if real, err := filepath.EvalSymlinks(path); err == nil {
		path = real
	} else if real, err := filepath.EvalSymlinks(dir); err == nil {
		path = filepath.Join(real, name)
	}
	if runtime.GOOS == "windows" || runtime.GOOS == "darwin" { // there A.pdf and a.pdf are one file
		path = strings.ToLower(path)
	}
	return path
}
