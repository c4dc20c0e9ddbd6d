package save

import (
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
)

// SameFile finds an output that is one of the inputs, or two outputs that are one file.
func SameFile(inputs, outs []string) error {
	for i, o := range outs {
		if a, err := os.Stat(o); err == nil {
			for _, in := range inputs {
				if b, err := os.Stat(in); err == nil && (os.SameFile(a, b) || b.IsDir() && spreadsheet(o) && inside(o, in)) {
					return fmt.Errorf("%s is an input and would be overwritten; give another name with -o", o)
				}
			}
		}
		for _, p := range outs[:i] {
			if spot(o) == spot(p) {
				return fmt.Errorf("two outputs are to be written to %s; give each its own name", o)
			}
		}
	}
	return nil
}

// spreadsheet reports whether a file in an input folder may be one of the inputs, by its name; reports are not read.
func spreadsheet(path string) bool {
	switch name := strings.ToLower(filepath.Base(path)); filepath.Ext(name) {
	case ".xlsx", ".xlsm", ".csv", ".tsv":
		return !strings.HasSuffix(name, "-report.xlsx")
	}
	return false
}

// inside reports whether a file lies in a folder or below it.
func inside(path, folder string) bool {
	rel, err := filepath.Rel(spot(folder), spot(path))
	return err == nil && filepath.IsLocal(rel)
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
