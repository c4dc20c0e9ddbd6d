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
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	var data bytes.Buffer
	data.Grow(int(min(before.Size(), most)) + bytes.MinRead)
	switch _, err = data.ReadFrom(io.LimitReader(f, most+1)); {
	case err != nil:
		return nil, err
	case int64(data.Len()) > most:
		return nil, ErrLarge
	}
	if wait := RestTime - time.Since(before.ModTime()); wait > 0 && wait <= RestTime {
		time.Sleep(wait)
	}
	now, err := os.Stat(path)
	if err != nil || now.Size() != int64(data.Len()) || now.Size() != before.Size() || now.ModTime() != before.ModTime() {
		return nil, ErrChanged
	}
	return data.Bytes(), nil
}
