//go:build !unix && !windows

package main

// refusal says why the system would not write or read; here nothing is known of its numbers.
func refusal(error) string { return "" }
