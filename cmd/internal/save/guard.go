package save

import (
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"

	"tuckmark/config/problem"
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
			if p != "" && spot(o) == spot(p) {
				return &problem.Problem{What: "two outputs are to be written to " + o, Hint: "give each its own name"}
			}
		}
	}
	return nil
}

// input reports whether a file is there and is one of the inputs.
func (g Guard) input(path string) bool {
	file, err := os.Stat(path)
	if err != nil {
		return false
	}
	for _, in := range g.inputs {
		if info, err := os.Stat(in); err == nil && (os.SameFile(file, info) || info.IsDir() && holds(in, file, deepest)) {
			return true
		}
	}
	return false
}

// deepest is how many levels of folders are read below one that is given. Links may lead in a circle.
const deepest = 5

// holds reports whether a file is among those that are read where a folder is given. They are known by being the file, not by
// where they lie, since a link in the folder leads out of it.
func holds(folder string, file fs.FileInfo, levels int) bool {
	entries, _ := os.ReadDir(folder) // one that may not be listed is not read either
	return slices.ContainsFunc(entries, func(e fs.DirEntry) bool {
		path := filepath.Join(folder, e.Name())
		info, err := os.Stat(path)
		switch {
		case err != nil:
			return false
		case info.IsDir():
			return levels > 0 && holds(path, file, levels-1)
		}
		return info.Mode().IsRegular() && os.SameFile(info, file) && table(path)
	})
}

// table reports whether a file in a folder may be read as a table, or refused as one that has to be saved in another format:
// by its name, or as a workbook by its first bytes. Reports of earlier runs are not read.
func table(path string) bool {
	name := strings.ToLower(filepath.Base(path))
	if strings.HasSuffix(name, "-report.xlsx") {
		return false
	}
	switch filepath.Ext(name) {
	case ".xlsx", ".xlsm", ".csv", ".tsv", ".xls", ".xlsb", ".ods", ".numbers":
		return true
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var head [2]byte
	_, err = io.ReadFull(f, head[:])
	return err == nil && string(head[:]) == "PK"
}

// spot is where a name leads, the same for all ways to write it.
func spot(path string) string {
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
