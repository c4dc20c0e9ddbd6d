//go:build unix

package save

import (
	"errors"
	"os"
	"path/filepath"
	"syscall"
	"testing"
)

// TestReadPlain: a plain file is read as it is, and nothing else is opened, nor what is larger than it may be.
func TestReadPlain(t *testing.T) {
	in := func(name string) string { return filepath.Join(t.TempDir(), name) }
	pipe, folder, zero, text, empty := in("pipe"), t.TempDir(), in("zero"), in("text"), in("empty")
	must(t, syscall.Mkfifo(pipe, 0o644))
	must(t, os.Symlink("/dev/zero", zero))
	must(t, os.WriteFile(text, []byte("plums"), 0o644))
	must(t, os.WriteFile(empty, nil, 0o644))
	for _, c := range []struct {
		path, want string
		most       int64
		err        error
	}{
		{text, "plums", 5, nil},
		{empty, "", 5, nil},
		{text, "", 4, errLarge},
		{pipe, "", 5, errNoFile},
		{folder, "", 5, errNoFile},
		{zero, "", 5, errNoFile},
		{in("none"), "", 5, os.ErrNotExist},
		{"/proc/self/status", "", 5, errLarge}, // says that it is empty, and is not
	} {
		if data, err := readPlain(c.path, c.most); string(data) != c.want || !errors.Is(err, c.err) {
			t.Errorf("%s: %q, %v", c.path, data, err)
		}
	}
	if why := Reason(errors.Join(errNoFile)); why != "what has that name is no file but a device, a pipe or the like" {
		t.Error(why)
	}
}
