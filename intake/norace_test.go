//go:build !race

package intake

const raced = 1
