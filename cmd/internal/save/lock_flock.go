//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package save

import (
	"errors"
	"os"
	"syscall"
)

// lock takes the lock of a file for this process. The system gives it back when the process ends, however that is.
func lock(path string) (unlock func(), err error) {
	return lockOpen(os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600))
}

// lockFolder takes the lock of a folder itself, so that nothing is left in it.
func lockFolder(path string) (unlock func(), err error) { return lockOpen(os.Open(path)) }

func lockOpen(f *os.File, err error) (unlock func(), _ error) {
	if err != nil {
		return nil, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, ErrLocked
		}
		if errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOLCK) || errors.Is(err, syscall.ENOSYS) || errors.Is(err, syscall.EBADF) || errors.Is(err, syscall.EINVAL) { // a disk that knows no locks
			return func() {}, nil
		}
		return nil, err
	}
	return func() { f.Close() }, nil
}
