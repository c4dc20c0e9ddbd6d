// Package settled reads files that another program may be saving.
package settled

import (
	"bytes"
	"errors"
	"io"
	"os"
	"time"
)

// RestTime is how long a file that is whole has been left alone.
const RestTime = 50 * time.Millisecond

// What Read answers, besides what the system says.
var (
	ErrChanged = errors.New("the file was changed while it was read")
	ErrLarge   = errors.New("too large")
)

// Read reads a plain file of at most so many bytes. Half of what another program is saving may look like the whole of a
// shorter file, and that program may pause: what was written a moment ago is looked at again when it has been left alone for a little.
func Read(path string, most int64) ([]byte, error) {
	before, err := os.Stat(path)
	if err != nil {
		return nil, err
	}
	data, err := Bounded(path, most)
	if err != nil {
		return nil, err
	}
	if wait := RestTime - time.Since(before.ModTime()); wait > 0 && wait <= RestTime {
		time.Sleep(wait)
	}
	now, err := os.Stat(path)
	if err != nil || now.Size() != int64(len(data)) || now.Size() != before.Size() || now.ModTime() != before.ModTime() {
		return nil, ErrChanged
	}
	return data, nil
}

// Bounded reads a file of at most so many bytes, whoever is saving it.
func Bounded(path string, most int64) ([]byte, error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	info, err := f.Stat()
	if err != nil {
		return nil, err
	}
	if info.Size() > most {
		return nil, ErrLarge
	}
	var data bytes.Buffer
	data.Grow(int(info.Size()) + bytes.MinRead)
	switch _, err = data.ReadFrom(io.LimitReader(f, most+1)); { // it may be longer than it says
	case err != nil:
		return nil, err
	case int64(data.Len()) > most:
		return nil, ErrLarge
	}
	return data.Bytes(), nil
}
