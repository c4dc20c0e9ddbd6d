//go:build !unix

package main

import "time"

// worked is the time since the start.
func worked() time.Duration { return time.Since(began) }
