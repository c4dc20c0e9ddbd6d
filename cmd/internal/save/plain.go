package save

import (
	"errors"
	"io/fs"
	"os"

	"tuckmark/config/settled"
)

// mostBytes is the most that is read: more than any PDF, workbook or journal of a job has.
const mostBytes = 1 << 30

var (
	errNoFile = errors.New("no file but a device, a pipe or the like")
	errLarge  = errors.New("larger than any file of a job")
)

// ReadPlain reads a file of the job's folder, where others may put under any name what never ends, or never begins: only a plain file of at most
// mostBytes is read.
func ReadPlain(path string) ([]byte, error) {
	return readPlain(path, mostBytes)
}

func readPlain(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular(): // before it is opened: opening a pipe waits for somebody who writes
		return nil, &fs.PathError{Op: "read", Path: path, Err: errNoFile}
	}
	data, err := settled.Bounded(path, most)
	if errors.Is(err, settled.ErrLarge) {
		err = &fs.PathError{Op: "read", Path: path, Err: errLarge}
	}
	return data, err
}
