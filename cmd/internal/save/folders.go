package save

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"tuckmark/config/problem"
)

// patience is how long a set waits for another run that puts its files into the same folder, which takes that run no longer than it
// takes to rename them.
var patience = 10 * time.Second

// mostFiles is the most that one run puts into a folder: a letter or a page for each of more people than any retreat has. More come of a column that
// was taken for the names and has none, and nobody wants to clear them away.
const mostFiles = 1000

// TooMany is the problem of more files than one run puts into a folder. A command asks before long work.
func TooMany(folder string, files int) *problem.Problem {
	if files <= mostFiles {
		return nil
	}
	return &problem.Problem{Place: problem.Place{File: folder}, What: fmt.Sprintf("%d files would come into this folder, and %d are the most", files, mostFiles), Cause: "there is one for each person",
		Hint: "see with `tuckmark check --columns` what was taken for the names; if so many people are there, divide the table", Disk: true}
}

// Folder makes the folder for so many files, if it is not there.
func Folder(folder, flag string, files int) *problem.Problem {
	if p := TooMany(folder, files); p != nil {
		return p
	}
	if err := os.MkdirAll(folder, 0o777); err != nil {
		return Unwritable(folder, Reason(err), "name another folder after "+flag)
	}
	return nil
}

// lockFolders takes the locks of all folders that the set's files go to.
func (o *outputs) lockFolders() (unlock func(), p *problem.Problem) {
	var held []func()
	unlock = func() {
		for _, u := range held {
			u()
		}
	}
	var folders []string
	var known []fs.FileInfo
	for _, f := range o.files {
		folder := filepath.Dir(f.path)
		info, err := os.Stat(folder)
		if err != nil || slices.ContainsFunc(known, func(k fs.FileInfo) bool { return os.SameFile(k, info) }) {
			continue // a folder that is gone is told when the file is renamed
		}
		known, folders = append(known, info), append(folders, folder)
	}
	slices.Sort(folders) // so that two runs do not wait for each other
	until := time.Now().Add(patience)
	for _, folder := range folders {
		release, err := hold(folder, until)
		if err != nil {
			unlock()
			return nil, &problem.Problem{Place: problem.Place{File: folder}, What: "another run is writing into this folder", Cause: "its files and these would be mixed",
				Hint: "wait until it is done and try again, or choose another folder", Disk: true}
		}
		held = append(held, release)
	}
	return unlock, nil
}

// hold takes the lock of a folder, and waits for it. One that may not be read cannot be locked, and is not.
func hold(folder string, until time.Time) (release func(), err error) {
	for {
		switch release, err := lockFolder(folder); {
		case err == nil:
			return release, nil
		case !errors.Is(err, ErrLocked):
			return func() {}, nil
		case time.Now().After(until):
			return nil, err
		}
		time.Sleep(10 * time.Millisecond)
	}
}
