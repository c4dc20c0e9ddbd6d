//go:build unix

package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestOnlyPlainFiles puts pipes, devices, sockets and links that go round wherever a file may stand: each command ends, in words.
func TestOnlyPlainFiles(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	t.Setenv("HOME", filepath.Join(dir, "home"))
	t.Setenv("XDG_CACHE_HOME", "")
	put(t, "a.csv", "Name,Journaling,Width,Height,Font\nPim,Plums in Larvik 1987,4,2,Nope\n")
	for _, d := range []string{"named", "unnamed", "reports", "fonts", "round", "zero"} {
		must(t, os.Mkdir(d, 0o755))
	}
	must(t, syscall.Mkfifo("pipe", 0o644))
	must(t, syscall.Mkfifo("named/p.csv", 0o644))
	must(t, syscall.Mkfifo("unnamed/p", 0o644))
	must(t, syscall.Mkfifo("reports/p-report.xlsx", 0o644))
	must(t, syscall.Mkfifo("fonts/pipe.ttf", 0o644))
	must(t, os.Symlink("/dev/zero", "fonts/F.ttf"))
	must(t, os.Symlink("/dev/zero", "zero/z.xlsx"))
	put(t, "round/a.csv", "Name,Journaling,Width,Height\nPim,Plums in Larvik 1987,4,2\n")
	for i := range 12 {
		must(t, os.Symlink(".", fmt.Sprintf("round/l%d", i)))
	}
	must(t, os.MkdirAll("above/job/in", 0o755))
	must(t, os.Symlink("job/in", "above/other"))
	put(t, "above/mine.csv", "nobody's business")
	put(t, "above/job/in/a.csv", "Name,Journaling,Width,Height\nPim,Plums in Larvik 1987,4,2\n")
	must(t, os.Symlink("..", "above/job/in/up"))
	must(t, os.Symlink("/", "above/job/in/root"))
	for _, c := range []struct{ args, says string }{
		{"check above/job/in", "that are not read: “root”, “up”"},
		{"check above/other", "that are not read: “root”, “up”"},
		{"check above/job", "that are not read: “root”"},
		{"check pipe", "this is no file"},
		{"check /dev/zero", "this is no file"},
		{"check named", "this is no file"},
		{"check zero", "this is no file"},
		{"check reports", "this is no file"},
		{"check unnamed", "no workbook and no CSV file"},
		{"check round", ""},
		{"make round -o round/pipe.pdf", ""},
		{"check a.csv", "there is no font “Nope”"},
		{"check round/a.csv --answers pipe", "this is a device or a pipe"},
		{"check round/a.csv --answers /dev/zero", "this is a device or a pipe"},
		{"check round/a.csv --config pipe", "it is not a plain file"},
		{"check round/a.csv --paper pipe", "this is no file"},
		{"redo pipe --blocks A-1", "this is no file"},
		{"form -o pipe", "a device or a pipe"},
		{"form -o /dev/zero", "a device or a pipe"},
		{"check round/a.csv -o pipe", "a device or a pipe"},
		{"testpage -o pipe", "a device or a pipe"},
		{"make round/a.csv -o pipe", "a device or a pipe"},
		{"make round/a.csv --plan /dev/zero", "a device or a pipe"},
	} {
		done := make(chan string, 1)
		go func() {
			_, out, err := tuckmark(t, strings.Fields(c.args)...)
			done <- out + err
		}()
		select {
		case said := <-done:
			if !strings.Contains(said, c.says) || strings.Contains(said, "should not happen") {
				t.Errorf("%s: %s", c.args, said)
			}
		case <-time.After(20 * time.Second):
			t.Fatalf("%s: it hangs", c.args)
		}
	}
}

// TestFontIndexIsNobodyElses has links in a folder for temporary files, and among the user's cached files, where the index of the machine's
// fonts could be written to: what they lead to stays as it is.
func TestFontIndexIsNobodyElses(t *testing.T) {
	dir := t.TempDir()
	t.Chdir(dir)
	put(t, "precious", "precious")
	for _, folder := range []string{"tmp", "cache/tuckmark"} {
		must(t, os.MkdirAll(folder, 0o777))
		for n := range 20 { // whichever the library is at
			must(t, os.Symlink(filepath.Join(dir, "precious"), filepath.Join(folder, fmt.Sprintf("font_index_v%d.cache", n))))
		}
	}
	for _, env := range [][]string{
		{"TMPDIR=" + filepath.Join(dir, "tmp")},
		{"TMPDIR=" + filepath.Join(dir, "tmp"), "XDG_CACHE_HOME=" + filepath.Join(dir, "cache")},
	} {
		cmd := subprocess(t, "fonts", "Nope")
		cmd.Env = env
		_ = cmd.Run() // no font is called so
		if got := contents(t, dir)["precious"]; got != "precious" {
			t.Fatalf("%v: %q", env, got[:min(len(got), 20)])
		}
		if left, _ := filepath.Glob("tmp/tuckmark-*"); len(left) > 0 {
			t.Errorf("%v left %v", env, left)
		}
	}
}
