package save

import (
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"sync"

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
	inputs := sync.OnceValue(g.files) // thousands of outputs may be asked for
	taken := map[string]bool{}
	for _, o := range outputs {
		if o == "" {
			continue
		}
		// What is no file cannot be replaced either.
		if file, err := os.Stat(o); err == nil && file.Mode().IsRegular() && slices.ContainsFunc(inputs(), func(in fs.FileInfo) bool { return os.SameFile(file, in) }) {
			return &problem.Problem{What: o + " is an input and would be overwritten", Hint: "give another name with -o",
				OnPage: "move what has that name to another folder, or rename it: it is a file that the job is read from"}
		}
		at := canonicalPath(o)
		if taken[at] {
			return twoOutputs(o)
		}
		taken[at] = true
	}
	return nil
}

func twoOutputs(path string) *problem.Problem {
	return &problem.Problem{What: "two outputs are to be written to " + path, Hint: "give each its own name"}
}

// files are the inputs that are there, and what is read in those that are folders. An input is known by being the file, not by its name, since links lead to it,
// too.
func (g Guard) files() (all []fs.FileInfo) {
	add := func(path string) (folder bool) {
		info, err := os.Stat(path)
		if err != nil || info.IsDir() {
			return err == nil
		}
		all = append(all, info)
		return false
	}
	for _, in := range g.inputs {
		if !add(in) {
			continue
		}
		read, others := table.FilesIn(in)
		for _, path := range append(read, slices.DeleteFunc(others, ofRun)...) {
			add(path)
		}
	}
	return all
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
