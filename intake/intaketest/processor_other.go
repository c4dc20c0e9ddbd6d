//go:build !unix

package intaketest

import "time"

// Processor is not known here.
func Processor() time.Duration { return 0 }
