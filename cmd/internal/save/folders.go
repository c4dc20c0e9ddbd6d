package save

import (
	"errors"
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
