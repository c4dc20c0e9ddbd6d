//go:build !race

package impose

const raced = false
