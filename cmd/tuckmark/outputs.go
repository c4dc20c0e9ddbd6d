package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"unicode"

	"tuckmark/config/problem"
)

// outputs are files in the making. Each is written aside, in the folder that it is meant for, and all are renamed to
// their places when all are complete: whatever happens before, what was there stays as it was.
type outputs struct {
	files []*output
}

type output struct {
	path  string
	aside string
}

// pending are the files to remove when the run is broken off.
var pending struct {
	sync.Mutex
	paths map[string]bool
}

func discardAll() {
	pending.Lock()
	defer pending.Unlock()
	for p := range pending.paths {
		os.Remove(p)
	}
	pending.paths = nil
}

// write makes one file of the set. The error is a problem that a person can mend.
func (o *outputs) write(path string, data []byte) *problem.Problem {
	if info, err := os.Stat(path); err == nil && info.IsDir() {
		return unwritable(path, "a folder of that name is there", "give another name with -o")
	}
	f, err := os.CreateTemp(filepath.Dir(path), "."+filepath.Base(path)+".*.part")
	if err != nil {
		return unwritable(path, reason(err), "choose another folder with -o")
	}
	pending.Lock()
	if pending.paths == nil {
		pending.paths = map[string]bool{}
	}
	pending.paths[f.Name()] = true
	pending.Unlock()
	o.files = append(o.files, &output{path, f.Name()})
	_, err = f.Write(data)
	if err == nil {
		err = f.Chmod(0o644)
	}
	if err == nil {
		err = f.Sync()
	}
	err = errors.Join(err, f.Close())
	if err != nil {
		return unwritable(path, reason(err), "make room on the disk or choose another folder with -o")
	}
	return nil
}

// commit renames all files to their places.
func (o *outputs) commit() *problem.Problem {
	for _, f := range o.files {
		if err := os.Rename(f.aside, f.path); err != nil {
			return unwritable(f.path, reason(err), "close the file in other programs, or give another name with -o")
		}
		pending.Lock()
		delete(pending.paths, f.aside)
		pending.Unlock()
	}
	o.files = nil
	return nil
}

// writeOne writes the one output of a command that reads no more than the configuration.
func (u *ui) writeOne(config, path string, data []byte) error {
	if config != "" {
		if err := sameFile([]string{config}, []string{path}); err != nil {
			return err
		}
	}
	var out outputs
	defer out.discard()
	if p := out.write(path, data); p != nil {
		return u.disk(*p)
	}
	if p := out.commit(); p != nil {
		return u.disk(*p)
	}
	return nil
}

// discard removes what was written aside.
func (o *outputs) discard() {
	for _, f := range o.files {
		os.Remove(f.aside)
		pending.Lock()
		delete(pending.paths, f.aside)
		pending.Unlock()
	}
}

func unwritable(path, cause, hint string) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: path}, What: "the file cannot be written", Cause: cause, Hint: hint, Disk: true}
}

// reason says in plain words what the system objected to.
func reason(err error) string {
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "this user may not write there"
	case errors.Is(err, fs.ErrNotExist):
		return "the folder does not exist"
	case full(err):
		return "the disk is full"
	}
	return "the system refused it"
}

// sameFile finds an output that is one of the inputs, or two outputs that are one file.
func sameFile(inputs, outs []string) error {
	for i, o := range outs {
		for _, in := range inputs {
			a, err1 := os.Stat(o)
			b, err2 := os.Stat(in)
			if err1 == nil && err2 == nil && (os.SameFile(a, b) || b.IsDir() && spreadsheet(o) && inside(o, in)) {
				return fmt.Errorf("%s is an input and would be overwritten; give another name with -o", o)
			}
		}
		for _, p := range outs[:i] {
			if filepath.Clean(o) == filepath.Clean(p) {
				return fmt.Errorf("two outputs are to be written to %s; give each its own name", o)
			}
		}
	}
	return nil
}

// spreadsheet reports whether a file in an input folder may be one of the inputs, by its name; reports are not read.
func spreadsheet(path string) bool {
	ext := strings.ToLower(filepath.Ext(path))
	return (ext == ".xlsx" || ext == ".csv") && !strings.HasSuffix(strings.ToLower(path), "-report.xlsx")
}

// inside reports whether a file lies in a folder or below it.
func inside(path, folder string) bool {
	p, err1 := filepath.Abs(path)
	f, err2 := filepath.Abs(folder)
	rel, err3 := filepath.Rel(f, p)
	return err1 == nil && err2 == nil && err3 == nil && rel != ".." && !strings.HasPrefix(rel, ".."+string(filepath.Separator))
}

// safeName is a name as it can stand in a file's name on every system: letters and digits, small, all else as hyphens.
func safeName(name string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(name) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('-')
		}
		gap = false
		b.WriteRune(r)
		if b.Len() > 60 {
			break
		}
	}
	if b.Len() == 0 {
		return "unnamed"
	}
	return b.String()
}
