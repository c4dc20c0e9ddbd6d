package desk

import (
	"fmt"
	"html"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
)

// openBrowser opens an address through a file that only the user can read: what stands in a program's arguments every user of the machine can
// see. It returns the file, which is to be removed once somebody has entered. On Linux it lies near the job: browsers that come in a sandbox (the snap
// of Ubuntu is one) see the user's folders, but not the temporary ones.
func openBrowser(near, address string) (file string, err error) {
	if runtime.GOOS != "linux" {
		near = ""
	}
	dir, err := os.MkdirTemp(near, "tuckmark-desk-*") // for its user alone
	if err != nil {
		return "", err
	}
	file = filepath.Join(dir, "open.html")
	page := fmt.Sprintf("<!DOCTYPE html>\n<html lang=\"en\"><meta charset=\"utf-8\"><meta name=\"referrer\" content=\"no-referrer\"><title>tuckmark desk</title>\n"+
		"<meta http-equiv=\"refresh\" content=\"0;url=%[1]s\">\n<p><a href=\"%[1]s\">Open the desk</a></p></html>\n", html.EscapeString(address))
	if err := os.WriteFile(file, []byte(page), 0o600); err != nil {
		os.RemoveAll(dir)
		return "", err
	}
	name, args := opener(file)
	c := exec.Command(name, args...)
	if err := c.Start(); err != nil {
		return file, err
	}
	go func() { _ = c.Wait() }() // its answer says nothing: browsers go on in other processes
	return file, nil
}

// opener is the system's program that opens a file as a double click does.
func opener(file string) (string, []string) {
	switch runtime.GOOS {
	case "darwin":
		return "open", []string{file}
	case "windows":
		return "rundll32", []string{"url.dll,FileProtocolHandler", file}
	}
	return "xdg-open", []string{file}
}
