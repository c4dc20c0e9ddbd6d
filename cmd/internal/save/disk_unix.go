//go:build unix

package save

import (
	"errors"
	"syscall"
)

// diskReason says in plain words why the system would not write or read; "" where it has none for it.
func diskReason(err error) string {
	var no syscall.Errno
	if !errors.As(err, &no) {
		return ""
	}
	switch no {
	case syscall.ENOSPC, syscall.EDQUOT:
		return "the disk is full"
	case syscall.EROFS:
		return "the disk can only be read"
	case syscall.EFBIG:
		return "the disk takes no files of that size"
	case syscall.ENAMETOOLONG:
		return "the name is too long"
	case syscall.ENOTDIR:
		return "a part of its path is a file and not a folder"
	case syscall.ELOOP:
		return "the links in its path go round in a circle"
	case syscall.EIO:
		return "the disk reports a fault"
	case syscall.EBUSY, syscall.ETXTBSY:
		return "another program uses it"
	case syscall.EMFILE, syscall.ENFILE:
		return "too many files are open"
	}
	return ""
}
