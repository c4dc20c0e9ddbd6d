//go:build race

package impose

const raced = true // under the race detector, which makes all work some ten times as long
