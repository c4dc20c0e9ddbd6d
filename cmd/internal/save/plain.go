package save

import (
	"errors"
	"io"
	"io/fs"
	"os"
)

// MostBytes is the most that ReadPlain takes: more than any PDF, workbook or journal of a job has.
const MostBytes = 1 << 30

var (
	errNoFile = errors.New("no file but a device, a pipe or the like")
	errLarge  = errors.New("larger than any file of a job")
)

// ReadPlain reads a file of the job's folder, where others may put under any name what never ends, or never begins: only a plain file of at most
// MostBytes is read.
func ReadPlain(path string) ([]byte, error) {
	return readPlain(path, MostBytes)
}

func readPlain(path string, most int64) ([]byte, error) {
	info, err := os.Stat(path)
	switch {
	case err != nil:
		return nil, err
	case !info.Mode().IsRegular(): // before it is opened: opening a pipe waits for somebody who writes
		return nil, &fs.PathError{Op: "read", Path: path, Err: errNoFile}
	case info.Size() > most:
		return nil, &fs.PathError{Op: "read", Path: path, Err: errLarge}
	}
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	data := make([]byte, 0, info.Size()+1) // and one more, so that its end is seen without growing
	for {
		n, err := f.Read(data[len(data):cap(data)])
		data = data[:len(data)+n]
		switch {
		case errors.Is(err, io.EOF):
			return data, nil
		case err != nil:
			return nil, err
		case int64(len(data)) > most:
			return nil, &fs.PathError{Op: "read", Path: path, Err: errLarge}
		case len(data) == cap(data):
			data = append(data, 0)[:len(data)]
		}
	}
}
