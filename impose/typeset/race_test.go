//go:build race

package typeset

// slower is by how much the race detector slows the tests down; the long ones do so much less under it.
const slower = 12
