package save

import (
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"

	"tuckmark/config/problem"
)

// Digest tells the content of a file from all others; "" is that of a file that is not there.
type Digest string

// DigestOf is the digest of a file's bytes.
func DigestOf(data []byte) Digest { return Digest(fmt.Sprintf("%x", sha256.Sum256(data))) }

// Update writes a file of our own anew, aside and renamed, if it still holds what was read of it; IsChanged tells where it does not. A link stays a
// link, and the file keeps its permissions. The folder is held meanwhile, so that of two that update a file one sees what the other wrote. When Update is back, the file is through to the disk, under its name. Info is that of the file that was written, whatever
// stands in its place since.
func Update(d Disk, path string, data []byte, read Digest) (info fs.FileInfo, p *problem.Problem) {
	path, p = d.Target(path)
	if p != nil {
		return nil, p
	}
	release, err := d.Hold(filepath.Dir(path))
	if err == nil {
		info, err = replace(d, path, data, func(aside, path string) error {
			if err := unchanged(d, path, read); err != nil {
				return err
			}
			return swap(d, aside, path, DigestOf(data), read)
		})
		release()
	}
	switch {
	case err == nil:
		return info, nil
	case errors.Is(err, errChanged):
		return nil, changedProblem(path)
	}
	return nil, Unwritable(path, Reason(err), "make room on the disk, or close the file in other programs")
}

// Replace writes a file anew, aside and renamed, whatever it holds.
func Replace(d Disk, path string, data []byte) error {
	_, err := replace(d, path, data, d.Rename)
	return err
}

// replace writes a file anew: aside, and from there into its place. Info is that of what was written.
func replace(d Disk, path string, data []byte, place func(aside, path string) error) (info fs.FileInfo, err error) {
	aside := asideName(path)
	if err = write(d, aside, path, data); err == nil {
		info, err = d.Stat(aside) // which another name changes nothing of
	}
	if err == nil {
		err = place(aside, path)
	}
	if err == nil {
		return info, d.SyncFolder(filepath.Dir(path))
	}
	if !errors.Is(err, errNotBack) {
		_ = d.Remove(aside)
	}
	return nil, err
}

// write writes a file through to the disk.
func write(d Disk, aside, path string, data []byte) error {
	f, err := d.Create(aside, path)
	if err != nil {
		return err
	}
	_, err = f.WriteAt(data, 0)
	if err == nil {
		err = f.Sync()
	}
	return errors.Join(err, f.Close())
}

var errChanged = errors.New("changed")

// unchanged looks whether a file still has the digest.
func unchanged(d Disk, path string, read Digest) error {
	var now Digest
	switch data, err := d.Read(path); {
	case err == nil:
		now = DigestOf(data)
	case !errors.Is(err, fs.ErrNotExist):
		return err
	}
	if now != read {
		return errChanged
	}
	return nil
}

const changed = "the file was changed by another program"

// changedProblem is that of a file that holds something else than what was read of it.
func changedProblem(path string) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: path}, What: changed, Cause: "what it holds now has not been read here", Hint: "look at both, and keep what counts", Disk: true}
}

// IsChanged reports the problem of a file that Update left alone.
func IsChanged(p *problem.Problem) bool { return p != nil && p.What == changed }
