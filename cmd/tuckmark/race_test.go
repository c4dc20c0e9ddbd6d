//go:build race

package main

// raced is set under the race detector, which makes the command some ten times slower: what is shown by many runs of it is shown without.
const raced = true
