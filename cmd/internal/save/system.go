package save

import (
	"errors"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"time"

	"tuckmark/config/problem"
)

// Disk is a file system, as far as files need it that are written again and again. Tests let steps of one fail, or the machine stop
// between two.
type Disk interface {
	Target(path string) (string, *problem.Problem) // where a file of that name has to be put: where a link leads
	Read(path string) ([]byte, error)
	Stat(path string) (fs.FileInfo, error)
	MakeFolder(path string) error                   // for this user alone; a link of that name is none
	Create(path, replaces string) (Writable, error) // an empty file, with the permissions of the one that it is to replace
	Open(path string) (Writable, error)             // for writing; what is there stays
	Rename(from, to string) error
	Exchange(a, b string) error // of two files each gets the other's name, in one step; an error where the disk cannot, or one is not there
	Remove(path string) error
	SyncFolder(path string) error   // the names in it, through to the disk
	Lock(path string) (Lock, error) // ErrLocked where another process has it

	// Hold keeps other processes that hold a folder away from it until it is released; where the disk cannot, it does nothing. ErrLocked: another has
	// held it for too long.
	Hold(folder string) (release func(), err error)
}

// Writable is an open file.
type Writable interface {
	io.WriterAt
	Sync() error
	Close() error
}

// Lock is the lock of a file, held by this process.
type Lock struct {
	Unlock func()
	Holds  func() bool // the file has its name still; where it has not, another process may hold the lock of another file of that name
}

// always is the answer of a lock that cannot lose its file, or is none.
func always() bool { return true }

// ErrLocked is that another process holds the lock.
var ErrLocked = errors.New("another process holds the lock")

// System is the disk of the machine.
var System Disk = system{}

type system struct{}

// errLink is a link that stands where a folder of our own has to be. It may lead to what is somebody else's.
var errLink = errors.New("a link has the folder's name")

func (system) MakeFolder(path string) error {
	if isLink(path) {
		return &fs.PathError{Op: "mkdir", Path: path, Err: errLink}
	}
	return os.MkdirAll(path, 0o700)
}

func (system) Target(path string) (string, *problem.Problem) { return target(path, "") }
func (system) Read(path string) ([]byte, error)              { return ReadPlain(path) }
func (system) Stat(path string) (fs.FileInfo, error)         { return os.Stat(path) }
func (system) Rename(from, to string) error                  { return os.Rename(from, to) }
func (system) Exchange(a, b string) error                    { return exchange(a, b) }
func (system) Remove(path string) error                      { return os.Remove(path) }
func (system) Lock(path string) (Lock, error)                { return lock(path) }
func (system) Hold(folder string) (func(), error)            { return hold(folder, time.Now().Add(patience)) }

func (system) Create(path, replaces string) (Writable, error) {
	if err := os.Remove(path); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return nil, err
	}
	f, err := begin(path, replaces)
	if err != nil {
		return nil, err
	}
	return f, nil
}

func (system) Open(path string) (Writable, error) {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	return f, nil
}

func (system) SyncFolder(path string) error {
	f, err := os.Open(path)
	if err != nil {
		return err
	}
	_ = f.Sync() // not every system can
	return f.Close()
}

// asideName is what a file is called until it takes the place of the one at path.
func asideName(path string) string {
	dir, name := filepath.Split(path)
	return filepath.Join(dir, roomPrefix+strings.TrimPrefix(name, ".")+roomSuffix)
}
