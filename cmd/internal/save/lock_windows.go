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

// lockFolder takes the lock of a file in a folder, which goes with the lock.
func lockFolder(path string) (unlock func(), err error) {
	const deleteOnClose = 0x04000000
	return exclusive(filepath.Join(path, roomPrefix+"lock"), syscall.FILE_ATTRIBUTE_NORMAL|deleteOnClose)
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
