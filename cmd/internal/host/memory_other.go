//go:build !linux

package host

// LittleMemory is the limit that the system sets to the memory of this process where that is too little to work; 0: no such limit is known here.
func LittleMemory() uint64 { return 0 }
