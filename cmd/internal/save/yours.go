package save

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"tuckmark/cmd/internal/naming"
	"tuckmark/config/problem"
)

// Outcome is what came of a set besides its files.
type Outcome struct {
	Replaced []string // the files of the set in whose place another was, by their paths
	Same     []string // those that were there already, with the same bytes
	Yours    []Yours
}

// Yours is a file of an earlier run that somebody has changed, and that the set did not replace but gave another name.
type Yours struct{ Was, Is string }

// mostYours is how many of them are told one by one: a folder of letters may have hundreds.
const mostYours = 10

// Words tell of the files that got another name.
func (o Outcome) Words() (lines []string) {
	for i, y := range o.Yours {
		if i == mostYours {
			return append(lines, fmt.Sprintf("So it is with %s more, each under its name with -yours.", problem.Count(len(o.Yours)-i, "file")))
		}
		lines = append(lines, fmt.Sprintf("%s was changed after it was made, so it is kept: it is now %s.", y.Was, y.Is))
	}
	return lines
}

// link gives a file a second name, where nothing has it. Tests stand in for a disk that cannot, and for one that renames nothing over what is there.
var link, rename = os.Link, os.Rename

// keep gives a file that somebody has changed a name beside its place, where it stays when the new one takes the place. Each step leaves it
// whole under one name or the other, whenever the run is killed.
func (o *outputs) keep(f *output) error {
	for n := 1; ; n++ {
		name := naming.Yours(f.path, n)
		if o.writes(name) {
			continue
		}
		err := link(f.path, name)
		taken := isTaken(name, err)
		if err != nil && !taken {
			taken, err = f.keepCopy(name) // on a disk without links
		}
		switch {
		case err == nil, taken && sameFile(name, f.path): // a run that was killed here
			f.old = name
			return nil
		case !taken:
			return err
		}
	}
}

// isTaken reports that a name was refused because something has it. A disk that says so of a name that nothing has would say so of all.
func isTaken(name string, err error) bool {
	if !errors.Is(err, fs.ErrExist) {
		return false
	}
	_, err = os.Lstat(name)
	return err == nil
}

// keepCopy makes a copy aside, unless there is one, and gives it the name when it is whole. Nothing that has the name already is replaced: then it is taken.
func (f *output) keepCopy(name string) (taken bool, err error) {
	if f.old == "" {
		if err := f.copyOld(); err != nil {
			return false, err
		}
	}
	reserved, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
	if err != nil {
		return isTaken(name, err), err
	}
	reserved.Close()
	if err := rename(f.old, name); err != nil {
		os.Remove(name)
		return false, err
	}
	return false, nil
}

// writes reports whether a path is that of a file of the set.
func (o *outputs) writes(path string) bool {
	path = canonicalPath(path)
	for _, f := range o.files {
		if canonicalPath(f.path) == path {
			return true
		}
	}
	return false
}

// sameFile reports whether two paths lead to one file that is there.
func sameFile(a, b string) bool {
	one, err := os.Stat(a)
	if err != nil {
		return false
	}
	other, err := os.Stat(b)
	return err == nil && os.SameFile(one, other)
}

// cannotKeep is the problem of a file that cannot be given another name.
func cannotKeep(f *output, err error) *problem.Problem {
	return onPage(Unwritable(f.path, fmt.Sprintf("somebody has changed what is there, and it cannot be kept as %s: %s", filepath.Base(naming.Yours(f.path, 1)), Reason(err)),
		"move the file away, or "+elsewhere("give another name", f.Flag)), "move the file away")
}
