//go:build !race

package main

const slow = 1
