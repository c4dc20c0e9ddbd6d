package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"syscall"
	"testing"

	"tuckmark/config/longtests"
)

// A full disk: a small one in memory, larger in steps until everything fits, so that it is full at each output once.
func TestDiskFull(t *testing.T) {
	longtests.Only(t)
	if os.Getuid() != 0 {
		t.Skip("only root can mount a small disk")
	}
	for _, c := range faultCommands(t)[:often(7, 7)] {
		dir := faultPlace(t)
		fresh := filepath.Join(t.TempDir(), "fresh")
		must(t, os.Mkdir(fresh, 0o755))
		if code, _, err := tuckmark(t, c.args(dir, fresh)...); code != exitDone {
			t.Fatal(err)
		}
		want := contents(t, fresh)
		const page = 4 << 10
		need := 0
		var steps []int // sizes at which one output more fits
		for _, name := range c.outs {
			steps = append(steps, need, need+len(want[name])/2/page*page)
			need += (len(want[name]) + page - 1) / page * page
		}
		steps = append(steps, need-page, need+64*page)
		for _, size := range steps {
			disk := filepath.Join(dir, "disk")
			must(t, os.MkdirAll(disk, 0o755))
			small := max(size, page) + len(c.outs)*page
			if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, fmt.Sprintf("size=%d,nr_inodes=100", small)); err != nil {
				t.Skip("a small disk cannot be mounted here:", err)
			}
			func() {
				defer func() { must(t, syscall.Unmount(disk, syscall.MNT_DETACH)) }()
				for _, name := range c.replaces() {
					put(t, filepath.Join(disk, name), earlier(t, name))
				}
				before := contents(t, disk)
				code, said, err := tuckmark(t, c.args(dir, disk)...)
				now := contents(t, disk)
				switch code {
				case exitDone:
					if d := differ(want, now); d != "" {
						t.Errorf("%s, %d bytes: wrong is %s", c.name, size, d)
					}
					if size < need-page {
						t.Errorf("%s: %d bytes were enough for %d", c.name, size, need)
					}
				case exitFile:
					if d := differ(before, now); d != "" {
						t.Errorf("%s, %d bytes: changed is %s", c.name, size, d)
					}
					if !strings.Contains(err, "the disk is full") || !strings.Contains(err, "to do: make room") || !strings.Contains(said, "Nothing was written.") {
						t.Errorf("%s: %s%s", c.name, said, err)
					}
					if size > need {
						t.Errorf("%s: %d bytes were not enough for %d", c.name, size, need)
					}
				default:
					t.Errorf("%s, %d bytes: exit status %d, %s", c.name, size, code, err)
				}
			}()
		}
	}
}

// No right to write: as another user, in a folder of root's, over a file of root's, and with a home that is root's.
func TestNoRightToWrite(t *testing.T) {
	longtests.Only(t)
	if os.Getuid() != 0 {
		t.Skip("only root can become another user")
	}
	if raced {
		t.Skip("shown without the race detector")
	}
	dir := faultPlace(t)
	program := filepath.Join(dir, "tuckmark")
	data, err := os.ReadFile(subprocess(t).Path)
	must(t, err)
	must(t, os.WriteFile(program, data, 0o755))
	as := func(args ...string) (int, string) {
		c := subprocess(t, args...)
		c.Path, c.Dir = program, dir
		c.Env = []string{"HOME=" + dir, "TMPDIR=/tmp"}
		c.SysProcAttr = &syscall.SysProcAttr{Credential: &syscall.Credential{Uid: 65534, Gid: 65534}}
		said, err := c.CombinedOutput()
		if c.ProcessState == nil {
			t.Skip("another user cannot be become here:", err)
		}
		return c.ProcessState.ExitCode(), string(said)
	}
	for _, c := range faultCommands(t) {
		if c.name == "redo" || c.name == "marked" {
			continue // their input is out of the other user's reach
		}
		out := filepath.Join(dir, "out")
		must(t, os.RemoveAll(out))
		must(t, os.Mkdir(out, 0o755))
		for _, name := range c.replaces() {
			put(t, filepath.Join(out, name), earlier(t, name))
		}
		before := contents(t, out)
		code, said := as(c.args(dir, out)...)
		if d := differ(before, contents(t, out)); d != "" || code != exitFile || !strings.Contains(said, "this user may not write there") || !strings.Contains(said, "to do: ") {
			t.Errorf("%s over files of root's: exit status %d, changed is %s, %s", c.name, code, d, said)
		}
		for _, name := range c.replaces() {
			must(t, os.Remove(filepath.Join(out, name)))
		}
		if code, said = as(c.args(dir, out)...); code != exitFile || !strings.Contains(said, "this user may not write there") || len(contents(t, out)) > 0 {
			t.Errorf("%s into a folder of root's: exit status %d, %s", c.name, code, said)
		}
		must(t, os.Chmod(out, 0o777)) // anybody may write into the folder, but not over root's file
		last := c.outs[len(c.outs)-1]
		put(t, filepath.Join(out, last), earlier(t, last))
		before = contents(t, out)
		if code, said = as(c.args(dir, out)...); code != exitFile || differ(before, contents(t, out)) != "" {
			t.Errorf("%s over a file of root's in a folder of everybody's: exit status %d, %s", c.name, code, said)
		}
		must(t, os.Remove(filepath.Join(out, last)))
		if code, said = as(c.args(dir, out)...); code != exitDone || len(contents(t, out)) != len(c.outs) {
			t.Errorf("%s with a home that is root's: exit status %d, %s", c.name, code, said)
		}
	}
	must(t, os.Chmod(filepath.Join(dir, "job.csv"), 0o600))
	if code, said := as("make", "job.csv"); code != exitFile || !strings.Contains(said, "may not be read") || !strings.Contains(said, "to do: ") {
		t.Errorf("an input that may not be read: exit status %d, %s", code, said)
	}
}
