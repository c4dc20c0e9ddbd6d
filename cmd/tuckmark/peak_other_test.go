//go:build !unix

package main

import (
	"os"
	"time"
)

// peak is not known here.
func peak(*os.ProcessState) int { return 0 }

// processor is not known here.
func processor() time.Duration { return 0 }
