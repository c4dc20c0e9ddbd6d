package save

import (
	"errors"
	"path/filepath"
	"syscall"
)

// lock takes the lock of a file for this process: it is opened so that nobody else can open it. The system closes it when the process
// ends, however that is. Nobody can take its name away either.
func lock(path string) (Lock, error) {
	unlock, err := exclusive(path, syscall.FILE_ATTRIBUTE_NORMAL)
	return Lock{unlock, always}, err
}

const deleteOnClose = 0x04000000

// lockFolder takes the lock of a file in a folder, which goes with the lock.
func lockFolder(path string) (unlock func(), err error) {
	return exclusive(filepath.Join(path, roomPrefix+"lock"), syscall.FILE_ATTRIBUTE_NORMAL|deleteOnClose)
}

// LockInput takes the lock of a file that is only read, for one piece of work that must not be done with it twice at once: that of a file beside it, which goes
// with the lock, for a file that is open for one alone cannot be read by others. ErrLocked: somebody else has it, of this process or of another.
func LockInput(path string) (unlock func(), err error) {
	folder, name := filepath.Split(path)
	return exclusive(filepath.Join(folder, roomPrefix+name+".lock"), syscall.FILE_ATTRIBUTE_NORMAL|deleteOnClose)
}

func exclusive(path string, attributes uint32) (unlock func(), err error) {
	name, err := syscall.UTF16PtrFromString(path)
	if err != nil {
		return nil, err
	}
	h, err := syscall.CreateFile(name, syscall.GENERIC_READ|syscall.GENERIC_WRITE, 0, nil, syscall.OPEN_ALWAYS, attributes, 0)
	if errors.Is(err, syscall.Errno(32)) { // ERROR_SHARING_VIOLATION
		return nil, ErrLocked
	}
	if err != nil {
		return nil, err
	}
	return func() { syscall.CloseHandle(h) }, nil
}
