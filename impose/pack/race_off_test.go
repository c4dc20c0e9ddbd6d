//go:build !race

package pack

const slow = 1
