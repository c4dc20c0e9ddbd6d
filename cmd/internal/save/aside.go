package save

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// room is what a folder aside is called, around a number: .tuckmark-4711.part
const roomPrefix, roomSuffix = ".tuckmark-", ".part"

// pending are the folders to remove when the run is broken off. Who holds the lock is not broken off.
var pending struct {
	sync.Mutex
	rooms   map[string]bool
	written bool // a set of outputs is in its place
}

// Stop removes what is not complete. It keeps the lock, since nothing may be begun after it.
func Stop() (written bool) {
	pending.Lock()
	for r := range pending.rooms {
		os.RemoveAll(r)
	}
	return pending.written
}

// folderAside gives the folder aside for files that are to stand in a folder, and clears away those that killed runs left there.
func (o *outputs) folderAside(dir string) (string, error) {
	if r := o.rooms[dir]; r != "" {
		return r, nil
	}
	pending.Lock()
	defer pending.Unlock()
	for n := os.Getpid(); ; n++ {
		r := filepath.Join(dir, fmt.Sprint(roomPrefix, n, roomSuffix))
		err := os.Mkdir(r, 0o700)
		if isTaken(r, err) {
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

// sweep removes the folders, and the files of Update, that killed runs left in a folder: those an hour older than the one just made. Both times
// are the disk's, so that the clock of this machine does not matter, and a run that goes on beside this one keeps its own.
func sweep(dir, mine string) {
	now, err := os.Stat(mine)
	if err != nil {
		return
	}
	entries, _ := os.ReadDir(dir) // a folder that may not be listed is not cleaned
	for _, e := range entries {
		if !strings.HasPrefix(e.Name(), roomPrefix) || !strings.HasSuffix(e.Name(), roomSuffix) {
			continue
		}
		if info, err := e.Info(); err == nil && now.ModTime().Sub(info.ModTime()) > time.Hour {
			os.RemoveAll(filepath.Join(dir, e.Name()))
		}
	}
}

// begin makes a file aside, and nothing in a folder that is being removed.
func begin(path, replaces string) (*os.File, error) {
	pending.Lock()
	defer pending.Unlock()
	return create(path, replaces)
}

// create makes a file with the permissions of what it is to replace.
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

// writeThrough writes a file through to the disk.
func writeThrough(f *os.File, data []byte) error {
	_, err := f.Write(data)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}
