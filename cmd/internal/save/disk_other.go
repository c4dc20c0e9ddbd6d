//go:build !unix && !windows

package save

// diskReason says why the system would not write or read; here nothing is known of its numbers.
func diskReason(error) string { return "" }
