//go:build !race

package typeset

const slower = 1
