//go:build unix

package main

import (
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
)

// TestStarter runs the starter as a double click without a terminal does: the program beside it is called in its own folder, whatever that is called, and
// what goes wrong is shown in a window.
func TestStarter(t *testing.T) {
	script, err := filepath.Abs("starter/start.sh")
	must(t, err)
	if out, err := exec.Command("sh", "-n", script).CombinedOutput(); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	tools := t.TempDir()
	put := func(path, text string, mode os.FileMode) {
		t.Helper()
		must(t, os.WriteFile(path, []byte(text), mode))
	}
	for _, name := range []string{"sh", "dirname", "chmod", "cat"} {
		at, err := exec.LookPath(name)
		must(t, err)
		must(t, os.Symlink(at, filepath.Join(tools, name)))
	}
	put(filepath.Join(tools, "zenity"), "#!/bin/sh\nfor a; do case $a in --text=*) echo \"shown: ${a#--text=}\";; esac; done\n", 0o755)
	put(filepath.Join(tools, "xdg-open"), "#!/bin/sh\n", 0o755)
	for _, c := range []struct {
		name, program string
		mode          os.FileMode
		without       string // that is not on this computer
		says          string // nothing: that the desk was open, and is ended
	}{
		{"it opens", "echo \"$1 in ${PWD##*/}\" > called", 0o755, "", ""},
		{"unpacked without the right to execute", "echo \"$1 in ${PWD##*/}\" > called", 0o644, "", ""},
		{"ended with the terminal", "echo \"$1 in ${PWD##*/}\" > called; exit 129", 0o755, "", ""},
		{"the folder cannot be written to", "echo 'error: this folder cannot be written to'; echo 'to do: move it' >&2; exit 3", 0o755, "", "ended in trouble. error: this folder cannot be written to\nto do: move it"},
		{"for another processor", "exit 126", 0o755, "", "for another kind of processor"},
		{"killed", "kill -9 $$", 0o755, "", "has ended the program"},
		{"left in the zip", "", 0, "", "Unpack the whole zip"},
		{"no way to a browser", "exit 0", 0o755, "xdg-open", "./tuckmark desk --no-browser"},
	} {
		t.Run(c.name, func(t *testing.T) {
			dir := filepath.Join(t.TempDir(), "-a b's $(c) & é")
			must(t, os.Mkdir(dir, 0o755))
			data, err := os.ReadFile(script)
			must(t, err)
			if c.mode != 0 {
				put(filepath.Join(dir, "tuckmark"), "#!/bin/sh\n"+c.program+"\n", c.mode)
			}
			path := tools
			if c.without != "" {
				path = t.TempDir()
				all, err := os.ReadDir(tools)
				must(t, err)
				for _, e := range all {
					if e.Name() != c.without {
						must(t, os.Symlink(filepath.Join(tools, e.Name()), filepath.Join(path, e.Name())))
					}
				}
			}
			start := filepath.Join(dir, "Start tuckmark")
			put(start, string(data), 0o755)
			for way, cmd := range map[string]*exec.Cmd{"as a script": exec.Command(start), "as starter runs it": exec.Command("/bin/sh", "-c", string(data), start),
				"by a part of its path": exec.Command("/bin/sh", "-c", string(data), filepath.Join(filepath.Base(dir), "Start tuckmark"))} {
				cmd.Dir = filepath.Dir(dir)
				cmd.Env = []string{"PATH=" + path, "CDPATH=" + cmd.Dir} // for which cd says where it went
				out, err := cmd.CombinedOutput()
				if c.says != "" {
					if err == nil || !strings.Contains(string(out), "shown: ") || !strings.Contains(string(out), c.says) {
						t.Errorf("%s: it says %q (%v), not %q", way, out, err, c.says)
					}
					continue
				}
				called, no := os.ReadFile(filepath.Join(dir, "called"))
				if err != nil || no != nil || string(called) != "desk in "+filepath.Base(dir)+"\n" || len(out) > 0 {
					t.Errorf("%s: it says %q (%v), and the program was called so: %q", way, out, err, called)
				}
			}
		})
	}
}
