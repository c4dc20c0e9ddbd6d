//go:build darwin || dragonfly || freebsd || linux || netbsd || openbsd

package save

import (
	"errors"
	"io/fs"
	"os"
	"syscall"
)

// lock takes the lock of a file for this process. The system gives it back when the process ends, however that is.
func lock(path string) (Lock, error) {
	f, err := os.OpenFile(path, os.O_RDWR|os.O_CREATE, 0o600)
	unlock, knows, err := lockOpen(f, err)
	if err != nil {
		return Lock{}, err
	}
	holds := func() bool {
		there, err := os.Stat(path)
		if err != nil {
			return !errors.Is(err, fs.ErrNotExist)
		}
		mine, err := f.Stat()
		return err != nil || os.SameFile(mine, there)
	}
	if !knows {
		holds = always
	}
	return Lock{unlock, holds}, nil
}

// lockFolder takes the lock of a folder itself, so that nothing is left in it.
func lockFolder(path string) (unlock func(), err error) {
	unlock, _, err = lockOpen(os.Open(path))
	return unlock, err
}

// LockInput takes the lock of a file that is only read, for one piece of work that must not be done with it twice at once. Others can read the file, and put
// another in its place, meanwhile. On a disk that knows no locks everybody gets it. ErrLocked: somebody else has it, of this process or of another.
func LockInput(path string) (unlock func(), err error) {
	unlock, _, err = lockOpen(os.Open(path))
	return unlock, err
}

// lockOpen takes the lock of an open file. Knows is false on a disk that knows no locks.
func lockOpen(f *os.File, err error) (unlock func(), knows bool, _ error) {
	if err != nil {
		return nil, false, err
	}
	if err := syscall.Flock(int(f.Fd()), syscall.LOCK_EX|syscall.LOCK_NB); err != nil {
		f.Close()
		if errors.Is(err, syscall.EWOULDBLOCK) {
			return nil, true, ErrLocked
		}
		if errors.Is(err, syscall.ENOTSUP) || errors.Is(err, syscall.ENOLCK) || errors.Is(err, syscall.ENOSYS) || errors.Is(err, syscall.EBADF) || errors.Is(err, syscall.EINVAL) {
			f.Close()
			return func() {}, false, nil
		}
		return nil, false, err
	}
	return func() { f.Close() }, true, nil
}
