package save

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"

	"tuckmark/config/problem"
)

// Digest tells the content of a file from all others; "" is that of a file that is not there.
type Digest string

// DigestOf is the digest of a file's bytes.
func DigestOf(data []byte) Digest { return Digest(fmt.Sprintf("%x", sha256.Sum256(data))) }

// Changed is told where a file holds something else than what was read of it.
const Changed = "the file was changed by another program"

// Update writes a file of our own anew, aside and renamed, if it still holds what was read of it. What is changed meanwhile is left
// as it is: the problem's What is then Changed. A link stays a link, and the file keeps its permissions.
func Update(path string, data []byte, read Digest) *problem.Problem {
	path, p := target(path, "another place")
	if p != nil {
		return p
	}
	dir := filepath.Dir(path)
	aside := filepath.Join(dir, fmt.Sprint(roomPrefix, os.Getpid(), "-", filepath.Base(path), roomSuffix))
	os.Remove(aside)
	file, err := begin(aside, path)
	if err == nil {
		err = writeThrough(file, data)
	}
	if err == nil {
		err = place(aside, path, read)
	}
	if err != nil {
		os.Remove(aside)
		if errors.Is(err, errChanged) {
			return &problem.Problem{Place: problem.Place{File: path}, What: Changed, Hint: "look at both, and keep what counts", Disk: true}
		}
		return Unwritable(path, Reason(err), "make room on the disk, or close the file in other programs")
	}
	return nil
}

var errChanged = errors.New("changed")

// place renames a file to its place, if that still has the digest.
func place(aside, path string, read Digest) error {
	now := Digest("")
	old, err := os.ReadFile(path)
	switch {
	case err == nil:
		now = DigestOf(old)
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if now != read {
		return errChanged
	}
	return os.Rename(aside, path)
}
