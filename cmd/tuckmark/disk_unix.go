//go:build unix

package main

import (
	"errors"
	"syscall"
)

func full(err error) bool { return errors.Is(err, syscall.ENOSPC) || errors.Is(err, syscall.EDQUOT) }
