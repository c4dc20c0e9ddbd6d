//go:build unix

// Command starter is what is double-clicked on Linux: start.sh as a program. File managers there show a script as a text (that of GNOME does, and
// that of Xfce), and a file of the kind .desktop too, but run a program; one that is linked to a fixed address, at that: others they take for a library.
package main

import (
	_ "embed"
	"os"
	"syscall"
)

//go:embed start.sh
var script string

func main() {
	self, err := os.Executable() // where a link to it leads
	if err != nil {
		self = os.Args[0] // there is no /proc
	}
	err = syscall.Exec("/bin/sh", []string{"sh", "-c", script, self}, os.Environ()) // the script finds the folder by its $0
	os.Stderr.WriteString("tuckmark cannot be started: " + err.Error() + "\n")
	os.Exit(1)
}
