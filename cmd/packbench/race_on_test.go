//go:build race

package main

// slow is how many times fewer jobs the tests take: the race detector makes each so much dearer.
const slow = 8
