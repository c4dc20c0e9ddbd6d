//go:build !race

package intaketest

// Raced is how much smaller hostile inputs are, and how much longer they have, under the race detector.
const Raced = 1
