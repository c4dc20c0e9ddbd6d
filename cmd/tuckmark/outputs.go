package main

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"
	"time"
	"unicode"

	"tuckmark/config/problem"
)

// outputs are files in the making. Each is written aside, into a folder of its own beside its place, and all are renamed
// to their places when all are complete: whatever happens before, what was there stays as it was. They take their places in
// the order of writing, and if one cannot, those before it are put back; so what people print is written last, and
// a new print has everything that belongs to it even if the run was killed between two.
type outputs struct {
	files []*output
	rooms map[string]string // the folder aside, by the folder beside it
}

type output struct {
	path  string
	aside string
	flag  string // that names it
	old   string // a second name of what was at its place while the set is renamed; "": nothing was
}

// room is what a folder aside is called, around a number: .tuckmark-4711.part
const roomPrefix, roomSuffix = ".tuckmark-", ".part"

// pending are the folders to remove when the run is broken off. Who holds the lock is not broken off.
var pending struct {
	sync.Mutex
	rooms   map[string]bool
	written bool // a set of outputs is in its place
}

// discardAll removes what is not complete. It keeps the lock, since nothing may be begun after it.
func discardAll() (written bool) {
	pending.Lock()
	for r := range pending.rooms {
		os.RemoveAll(r)
	}
	return pending.written
}

// write makes one file of the set; the flag is the one that names it. The error is a problem that a person can mend.
func (o *outputs) write(flag, path string, data []byte) *problem.Problem {
	path, p := target(path, flag)
	if p != nil {
		return p
	}
	room, err := o.room(filepath.Dir(path))
	if err != nil {
		return unwritable(path, reason(err), "choose another folder with "+flag)
	}
	f := &output{path: path, flag: flag, aside: filepath.Join(room, fmt.Sprint(len(o.files), "-new"))}
	o.files = append(o.files, f)
	pending.Lock() // so that nothing is begun in a folder that is being removed
	file, err := create(f.aside, path)
	pending.Unlock()
	if err == nil {
		err = fill(file, data)
	}
	if err != nil {
		return unwritable(path, reason(err), "make room on the disk or choose another folder with "+flag)
	}
	return nil
}

// target is where a file that is to be called path has to be put: where a link leads, if that is one. What is there and is
// no file that may be replaced is a problem.
func target(path, flag string) (string, *problem.Problem) {
	other := "give another name with " + flag
	if info, err := os.Lstat(path); err == nil && info.Mode()&fs.ModeSymlink != 0 {
		real, err := filepath.EvalSymlinks(path)
		if err != nil {
			return "", unwritable(path, "a link of that name leads to nothing", other)
		}
		path = real
	}
	info, err := os.Stat(path)
	switch {
	case errors.Is(err, fs.ErrNotExist): // nothing there; a folder that is not there is told when the file is made
		return path, nil
	case err != nil: // a name that is too long, a folder that is none
		return "", unwritable(path, reason(err), "give another name or folder with "+flag)
	case info.IsDir():
		return "", unwritable(path, "a folder of that name is there", other)
	case !info.Mode().IsRegular():
		return "", unwritable(path, "what has that name is no file but a device or a pipe", other)
	case info.Mode().Perm()&0o222 == 0:
		return "", unwritable(path, "the file there is protected against writing", other+", or lift the protection")
	}
	f, err := os.OpenFile(path, os.O_WRONLY, 0)
	if err != nil {
		return "", unwritable(path, reason(err), "close the file in other programs, or "+other)
	}
	f.Close()
	return path, nil
}

// room gives the folder aside for files that are to stand in a folder, and clears away those that killed runs left there.
func (o *outputs) room(dir string) (string, error) {
	if r := o.rooms[dir]; r != "" {
		return r, nil
	}
	pending.Lock()
	defer pending.Unlock()
	for n := os.Getpid(); ; n++ {
		r := filepath.Join(dir, fmt.Sprint(roomPrefix, n, roomSuffix))
		err := os.Mkdir(r, 0o700)
		if errors.Is(err, fs.ErrExist) {
			continue
		}
		if err != nil {
			return "", err
		}
		if pending.rooms == nil {
			pending.rooms = map[string]bool{}
		}
		if o.rooms == nil {
			o.rooms = map[string]string{}
		}
		pending.rooms[r], o.rooms[dir] = true, r
		sweep(dir, r)
		return r, nil
	}
}

// sweep removes the folders that killed runs left in a folder: those an hour older than the one just made. Both times
// are the disk's, so that the clock of this machine does not matter, and a run that goes on beside this one keeps its own.
func sweep(dir, mine string) {
	now, err := os.Stat(mine)
	if err != nil {
		return
	}
	entries, _ := os.ReadDir(dir) // a folder that may not be listed is not cleaned
	for _, e := range entries {
		if !e.IsDir() || !strings.HasPrefix(e.Name(), roomPrefix) || !strings.HasSuffix(e.Name(), roomSuffix) {
			continue
		}
		if info, err := e.Info(); err == nil && now.ModTime().Sub(info.ModTime()) > time.Hour {
			os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

// create begins a file with the permissions of what it is to replace.
func create(path, replaces string) (*os.File, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return nil, err
	}
	if info, err := os.Stat(replaces); err == nil {
		_ = f.Chmod(info.Mode().Perm()) // not every disk knows permissions
	}
	return f, nil
}

// fill writes a file through to the disk.
func fill(f *os.File, data []byte) error {
	_, err := f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

// commit renames all files to their places, or none.
func (o *outputs) commit() *problem.Problem {
	pending.Lock()
	defer pending.Unlock()
	for i, f := range o.files {
		if err := f.keep(); err != nil {
			return o.back(i, unwritable(f.path, "what is there cannot be kept safe meanwhile: "+reason(err), "make room on the disk or choose another folder with "+f.flag))
		}
		if err := os.Rename(f.aside, f.path); err != nil {
			return o.back(i, unwritable(f.path, reason(err), "close the file in other programs, or give another name with "+f.flag))
		}
	}
	pending.written = true
	o.clear()
	return nil
}

// keep gives what is at a file's place a second name: a link, or a copy on a disk without links.
func (f *output) keep() error {
	if _, err := os.Lstat(f.path); errors.Is(err, fs.ErrNotExist) {
		return nil
	}
	f.old = strings.TrimSuffix(f.aside, "new") + "old"
	if os.Link(f.path, f.old) == nil {
		return nil
	}
	data, err := os.ReadFile(f.path)
	if err != nil {
		return err
	}
	old, err := create(f.old, f.path)
	if err != nil {
		return err
	}
	return fill(old, data)
}

// halfWritten is told where even putting back failed.
const halfWritten = "only some of the files could be written"

// back puts the first n files back as they were.
func (o *outputs) back(n int, p *problem.Problem) *problem.Problem {
	for _, f := range o.files[:n] {
		var err error
		if f.old == "" {
			err = os.Remove(f.path)
		} else {
			err = os.Rename(f.old, f.path)
		}
		if err != nil {
			p.What, p.Cause = halfWritten, p.Cause+"; "+f.path+" is new already and cannot be put back"
		}
	}
	return p
}

// discard removes what was written aside and did not get to its place.
func (o *outputs) discard() {
	pending.Lock()
	defer pending.Unlock()
	o.clear()
}

func (o *outputs) clear() {
	for _, r := range o.rooms {
		os.RemoveAll(r)
		delete(pending.rooms, r)
	}
	o.files, o.rooms = nil, nil
}

// file is something to write: where, what, and the flag that names it. One without a path is not wanted.
type file struct {
	flag, path string
	data       []byte
}

// save writes files as a set, all or none, in this order.
func (u *ui) save(files ...file) error {
	var out outputs
	defer out.discard()
	for _, f := range files {
		if f.path == "" {
			continue
		}
		if p := out.write(f.flag, f.path, f.data); p != nil {
			return u.disk(*p)
		}
	}
	if p := out.commit(); p != nil {
		return u.disk(*p)
	}
	return nil
}

// saveOne writes the one output of a command that reads no more than the configuration.
func (u *ui) saveOne(config, path string, data []byte) error {
	if config != "" {
		if err := sameFile([]string{config}, []string{path}); err != nil {
			return err
		}
	}
	return u.save(file{"-o", path, data})
}

func unwritable(path, cause, hint string) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: path}, What: "the file cannot be written", Cause: cause, Hint: hint, Disk: true}
}

// reason says in plain words what the system objected to.
func reason(err error) string {
	if why := refusal(err); why != "" {
		return why
	}
	switch {
	case errors.Is(err, fs.ErrPermission):
		return "this user may not write there"
	case errors.Is(err, fs.ErrNotExist):
		return "the folder does not exist"
	}
	return "the system refused it"
}

// sameFile finds an output that is one of the inputs, or two outputs that are one file.
func sameFile(inputs, outs []string) error {
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
