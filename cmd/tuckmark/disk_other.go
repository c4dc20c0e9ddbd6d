//go:build !unix

package main

import "strings"

func full(err error) bool { return strings.Contains(err.Error(), "space on the disk") }
