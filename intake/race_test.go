//go:build race

package intake

// The race detector makes everything several times slower: hostile inputs are smaller then, and have longer.
const raced = 8
