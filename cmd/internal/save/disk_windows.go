package save

import (
	"errors"
	"syscall"
)

// diskReason says in plain words why the system would not write or read; "" where it has none for it. The numbers are those of
// winerror.h.
func diskReason(err error) string {
	var no syscall.Errno
	if !errors.As(err, &no) {
		return ""
	}
	switch no {
	case 39, 112: // ERROR_HANDLE_DISK_FULL, ERROR_DISK_FULL
		return "the disk is full"
	case 19: // ERROR_WRITE_PROTECT
		return "the disk can only be read"
	case 32, 33: // ERROR_SHARING_VIOLATION, ERROR_LOCK_VIOLATION
		return "another program has it open"
	case 123: // ERROR_INVALID_NAME
		return "the name has a character that a file's name cannot have"
	case 206: // ERROR_FILENAME_EXCED_RANGE
		return "the name is too long"
	case 267: // ERROR_DIRECTORY
		return "a part of its path is a file and not a folder"
	}
	return ""
}
