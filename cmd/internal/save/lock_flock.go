//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package save

import (
	"errors"
	"os"
	"syscall"
)

// lock takes the lock of a file for this process. The system gives it back when the process ends, however that is.
func lock(path string) (unlock func(), err error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, ErrLocked
		}
		if errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOLCK) || errors.Is(err, syscall.ENOSYS) { // a disk that knows no locks
			return func() {}, nil
		}
		return nil, err
	}
	return func() { f.Close() }, nil
}
