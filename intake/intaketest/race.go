//go:build race

package intaketest

// Raced is how much smaller hostile inputs are, and how much longer they have: the race detector makes everything several
// times slower.
const Raced = 8
