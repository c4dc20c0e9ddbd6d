package host

import (
	"strconv"
	"syscall"
)

// enoughMemory is the address space, in bytes, that the largest job within memoryLimit asks for, and a tenth more. Go reserves most of it before it
// needs any, and ends a program that does not get it with a trace of itself.
const enoughMemory = 2400 << 20

// LittleMemory is the limit that the system sets to the memory of this process, in bytes, where that is too little to work; else 0. With less than
// 1,700 MB (1,400 where the program is built without C) Go may not even begin, and nothing can be said.
func LittleMemory() uint64 {
	var limit syscall.Rlimit
	if strconv.IntSize < 64 || syscall.Getrlimit(syscall.RLIMIT_AS, &limit) != nil || limit.Cur >= enoughMemory {
		return 0
	}
	return limit.Cur
}
