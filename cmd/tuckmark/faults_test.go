//go:build unix

package main

import (
	"bytes"
	"context"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"tuckmark/config/longtests"
)

// What can go wrong around the outputs, done for real. After each fault every output is the old file or the new one, whole;
// nothing lies about; and the message says what to do.

// roomPrefix begins the name of a folder in which outputs are made.
const roomPrefix = ".tuckmark-"

const faultJob = `Name,Page,Journaling,Width,Height,Stock,When
Odile Hart,Quay,"Plums on the quay, %[1]s.",4,2,vellum,4 July 2026
Odile Hart,Quay,"The ferry was late again, %[1]s.",3,1 1/2,clear sticker,4 July 2026
Pim Vos,Steps,"We ran laughing up the crooked steps, %[1]s.",4,3,cardstock,5 July 2026
`

// faultPlace is a folder that every user may enter, with a job in it.
func faultPlace(t *testing.T) string {
	t.Helper()
	dir, err := os.MkdirTemp("", "tuckmark")
	must(t, err)
	t.Cleanup(func() { os.RemoveAll(dir) })
	must(t, os.Chmod(dir, 0o755))
	must(t, os.Mkdir(filepath.Join(dir, "out"), 0o755))
	put(t, filepath.Join(dir, "job.csv"), fmt.Sprintf(faultJob, "as ever"))
	put(t, filepath.Join(dir, "other.csv"), fmt.Sprintf(faultJob, "for once"))
	return dir
}

// faultCommand is a command with the outputs that it has, by their names in the folder out.
type faultCommand struct {
	name string
	args func(dir, out string) []string
	outs []string
}

// replaces are the outputs that are written over what is there. A note replaces nothing, for that may still have to be printed.
func (c *faultCommand) replaces() []string {
	if c.name == "note" {
		return nil
	}
	return c.outs
}

func faultCommands(t *testing.T) []faultCommand {
	report := filepath.Join(t.TempDir(), "first-report.xlsx")
	first := filepath.Join(t.TempDir(), "first.csv")
	put(t, first, fmt.Sprintf(faultJob, "as ever"))
	if code, _, said := tuckmark(t, "make", first, "-o", filepath.Join(t.TempDir(), "first.pdf"), "--report", report); code != exitDone {
		t.Fatal(said)
	}
	one := func(name, out string, args ...string) faultCommand {
		return faultCommand{name, func(dir, to string) []string { return append(args, "-o", filepath.Join(to, out)) }, []string{out}}
	}
	return []faultCommand{
		{"make", makeAll("job.csv"), madeAll},
		{"redo", func(_, out string) []string {
			return []string{"redo", report, "--blocks", "OH-1", "-o", filepath.Join(out, "redo.pdf"), "--report", filepath.Join(out, "redo.xlsx"), "--plan", filepath.Join(out, "redo.json")}
		}, []string{"redo.json", "redo.xlsx", "redo.pdf"}},
		{"proof", func(dir, out string) []string {
			return []string{"proof", filepath.Join(dir, "job.csv"), "--print", "-o", filepath.Join(out, "job-proof.html")}
		}, []string{"job-proof-plain.pdf", "job-proof.html"}},
		one("note", "note.pdf", "note", "--space", "4 x 2", "--stock", "vellum", "Plums."),
		one("testpage", "testpage.pdf", "testpage"),
		one("fonts", "fonts.pdf", "fonts", "serif"),
		one("marked", "marked.xlsx", "check", first),
	}
}

// madeAll are the outputs of make with all its flags, in the order in which they take their places.
var madeAll = []string{"plan.json", "job-report.xlsx", "job-vellum.pdf", "job-clear-sticker.pdf", "job-cardstock.pdf", "job.pdf"}

func makeAll(job string) func(dir, out string) []string {
	return func(dir, out string) []string {
		return []string{"make", filepath.Join(dir, job), "--split", "-o", filepath.Join(out, "job.pdf"), "--plan", filepath.Join(out, "plan.json")}
	}
}

// Every output of every command, with something at its place that cannot be replaced: all outputs stay as they were.
func TestWhatStandsInTheWay(t *testing.T) {
	longtests.Only(t)
	obstacles := []struct {
		name string
		make func(path string) error
		says string
	}{
		{"folder", func(p string) error { return os.Mkdir(p, 0o755) }, "a folder of that name"},
		{"protected", func(p string) error { return os.WriteFile(p, nil, 0o444) }, "protected against writing"},
		{"pipe", func(p string) error { return syscall.Mkfifo(p, 0o644) }, "a device or a pipe"},
		{"link to nothing", func(p string) error { return os.Symlink("nowhere", p) }, "leads to nothing"},
	}
	for _, c := range faultCommands(t)[:often(7, 7)] {
		dir := faultPlace(t)
		out := filepath.Join(dir, "out")
		for _, target := range c.outs {
			for _, o := range obstacles {
				if o.name == "protected" && len(c.replaces()) == 0 {
					continue // not even what may be written is
				}
				for _, name := range c.outs {
					os.Remove(filepath.Join(out, name))
					put(t, filepath.Join(out, name), earlier(t, name))
				}
				must(t, os.Remove(filepath.Join(out, target)))
				must(t, o.make(filepath.Join(out, target)))
				before := contents(t, out)
				code, said, err := tuckmark(t, c.args(dir, out)...)
				if code != exitFile || !strings.Contains(err, o.says) || !strings.Contains(err, "to do: ") || !strings.Contains(said, "Nothing was written.") {
					t.Errorf("%s, a %s at %s: exit status %d, %s%s", c.name, o.name, target, code, said, err)
				}
				if d := differ(before, contents(t, out)); d != "" {
					t.Errorf("%s, a %s at %s: changed is %s", c.name, o.name, target, d)
				}
			}
		}
		if code, _, err := tuckmark(t, c.args(dir, filepath.Join(out, "no", "folder"))...); code != exitFile || !strings.Contains(err, "the folder does not exist") {
			t.Errorf("%s into a folder that is not there: exit status %d, %s", c.name, code, err)
		}
		if code, _, err := tuckmark(t, c.args(dir, filepath.Join(dir, "job.csv"))...); code != exitFile || !strings.Contains(err, "a file and not a folder") {
			t.Errorf("%s into a file: exit status %d, %s", c.name, code, err)
		}
	}
}

// A form that somebody filled in is not replaced by a blank one.
func TestFilledFormStays(t *testing.T) {
	form := filepath.Join(t.TempDir(), "journaling-form.xlsx")
	for range 2 {
		if code, _, err := tuckmark(t, "form", "-o", form); code != exitDone {
			t.Fatal(err)
		}
	}
	put(t, form, "filled in")
	code, _, err := tuckmark(t, "form", "-o", form)
	if now, _ := os.ReadFile(form); code != exitFile || string(now) != "filled in" || !strings.Contains(err, "to do: ") {
		t.Errorf("exit status %d, %s", code, err)
	}
}

// reference are the outputs of a job that nothing happens to.
func reference(t *testing.T, dir string, args func(dir, out string) []string) map[string]string {
	t.Helper()
	out := filepath.Join(t.TempDir(), "reference")
	must(t, os.Mkdir(out, 0o755))
	if code, _, err := tuckmark(t, args(dir, out)...); code != exitDone {
		t.Fatal(err)
	}
	return contents(t, out)
}

// whole compares a folder with the old and the new outputs: all of the files must be one or the other, and if set is
// demanded, the last to take its place is new only if all are. It returns how many are new.
func whole(t *testing.T, when string, out string, old, new map[string]string) int {
	t.Helper()
	now, n := contents(t, out), 0
	for _, name := range madeAll {
		switch now[name] {
		case new[name]:
			n++
		case old[name]:
		default:
			t.Errorf("%s: %s is neither the old file nor the new one (%d bytes)", when, name, len(now[name]))
		}
	}
	if now[madeAll[len(madeAll)-1]] == new[madeAll[len(madeAll)-1]] && n < len(madeAll) {
		t.Errorf("%s: the PDF is new, of all %d outputs only %d are", when, len(madeAll), n)
	}
	return n
}

// closed is a place for words that fails as nobody thought of.
type closed struct{}

func (closed) Write([]byte) (int, error) { panic("nobody thought of this") }

// The same after the files are in their places: nobody is told that they are not there.
func TestPanicAfterTheFilesAreWritten(t *testing.T) {
	for _, c := range faultCommands(t) {
		dir := faultPlace(t)
		out := filepath.Join(dir, "out")
		want := reference(t, dir, c.args)
		var said bytes.Buffer
		code := run(c.args(dir, out), closed{}, &said)
		if err := said.String(); code != exitFile || !strings.Contains(err, "a fault of tuckmark, not yours") || !strings.Contains(err, "what was written is complete") || strings.Contains(err, "nothing was written") {
			t.Errorf("%s: exit status %d, %s", c.name, code, err)
		}
		if d := differ(want, contents(t, out)); d != "" {
			t.Errorf("%s: other is %s", c.name, d)
		}
	}
}

// Killed at any moment, most often while the outputs are written. One run in three is interrupted instead, as with
// Ctrl-C, and must leave all or nothing.
func TestKilled(t *testing.T) {
	longtests.Only(t)
	dir := faultPlace(t)
	out := filepath.Join(dir, "out")
	old, new := reference(t, dir, makeAll("other.csv")), reference(t, dir, makeAll("job.csv"))
	r := rand.New(rand.NewPCG(8, 200))
	began := time.Now()
	must(t, subprocess(t, makeAll("job.csv")(dir, filepath.Join(dir, "out"))...).Run())
	takes := time.Since(began)
	times := often(24, 200)
	outcome := map[string]int{}
	for n := range times {
		for name, data := range old {
			put(t, filepath.Join(out, name), data)
		}
		c := subprocess(t, makeAll("job.csv")(dir, out)...)
		sig, how := syscall.SIGKILL, "killed"
		if n%3 == 2 {
			sig, how = syscall.SIGINT, "interrupted"
		}
		var said bytes.Buffer
		c.Stderr = &said
		must(t, c.Start())
		writing := n%4 > 0
		if writing { // wait until it writes
			for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(200 * time.Microsecond) {
				if found, _ := filepath.Glob(filepath.Join(out, roomPrefix+fmt.Sprint(c.Process.Pid)+"*")); len(found) > 0 {
					break
				}
				if c.Process.Signal(syscall.Signal(0)) != nil {
					break
				}
			}
			time.Sleep(time.Duration(r.Int64N(int64(6 * time.Millisecond))))
		} else {
			time.Sleep(time.Duration(r.Int64N(int64(takes))))
		}
		_ = c.Process.Signal(sig)
		err := c.Wait()
		k := whole(t, fmt.Sprintf("run %d, %s", n, how), out, old, new)
		rooms, _ := filepath.Glob(filepath.Join(out, roomPrefix+"*"))
		state := "part"
		switch {
		case k == 0:
			state = "none"
		case k == len(new):
			state = "all"
		case how == "interrupted":
			t.Errorf("run %d, interrupted: %d of %d outputs are new", n, k, len(new))
		}
		if told := said.String(); strings.Contains(told, "nothing was written") && k > 0 || strings.Contains(told, "complete already") && k < len(new) {
			t.Errorf("run %d, %s: %d of %d outputs are new, and it says %s", n, how, k, len(new), told)
		}
		outcome[how+", "+state+" new"]++
		if len(rooms) > 0 {
			outcome["left a folder aside"]++
			if how == "interrupted" {
				t.Errorf("run %d, interrupted (%v): left %v", n, err, rooms)
			}
		}
		if n%10 == 0 { // what was left does not harm the next run
			must(t, subprocess(t, makeAll("job.csv")(dir, out)...).Run())
			if k := whole(t, "the next run", out, old, new); k != len(new) {
				t.Errorf("run %d: the next run made %d of %d outputs", n, k, len(new))
			}
		}
		for _, room := range rooms {
			os.RemoveAll(room)
		}
	}
	t.Logf("%d runs: %v", times, outcome)
	if outcome["left a folder aside"] == 0 && times >= 24 {
		t.Error("no run was killed while it wrote: the test does not test much")
	}
}

// Killed at exactly each step by which an output is prepared or takes its place, with strace where that is at hand.
func TestKilledAtEachStep(t *testing.T) {
	longtests.Only(t)
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace is not at hand")
	}
	dir := faultPlace(t)
	out := filepath.Join(dir, "out")
	if err := exec.Command(strace, "-o", "/dev/null", "true").Run(); err != nil {
		t.Skip("strace may not trace here:", err)
	}
	old, new := reference(t, dir, makeAll("other.csv")), reference(t, dir, makeAll("job.csv"))
	seen := map[int]bool{}
	names := madeAll
	if testing.Short() || raced {
		names = madeAll[2:3]
	}
	for _, target := range names {
		i := slices.Index(madeAll, target)
		for _, call := range []string{"linkat", "?rename,?renameat,?renameat2"} {
			for name, data := range old {
				put(t, filepath.Join(out, name), data)
			}
			program := subprocess(t, makeAll("job.csv")(dir, out)...)
			c := exec.Command(strace, append([]string{"-f", "-qq", "-o", "/dev/null", "-P", filepath.Join(out, target), "-e", "trace=" + call,
				"-e", "inject=" + call + ":signal=SIGKILL", "--", program.Path}, program.Args[1:]...)...)
			err := c.Run()
			k := whole(t, "killed at the "+call+" of "+target, out, old, new)
			seen[k] = true
			if err == nil || k != i && k != i+1 {
				t.Errorf("killed at the %s of %s, %v: %d outputs are new, not %d or %d", call, target, err, k, i, i+1)
			}
			rooms, _ := filepath.Glob(filepath.Join(out, roomPrefix+"*"))
			for _, room := range rooms {
				os.RemoveAll(room)
			}
		}
	}
	if len(seen) < len(names) {
		t.Errorf("only %d different states were seen", len(seen))
	}
}

// The same where somebody has changed what is at the place: killed at any of the steps, it is there whole under one name or the other, and the next
// run gives it no third.
func TestChangedIsKilledNowhere(t *testing.T) {
	strace, err := exec.LookPath("strace")
	if err != nil {
		t.Skip("strace is not at hand")
	}
	if err := exec.Command(strace, "-o", "/dev/null", "true").Run(); err != nil {
		t.Skip("strace may not trace here:", err)
	}
	dir := faultPlace(t)
	out := filepath.Join(dir, "out")
	old, new := reference(t, dir, makeAll("other.csv")), reference(t, dir, makeAll("job.csv"))
	const target = "job-report.xlsx"
	old[target] += "mine"
	for _, call := range []string{"linkat", "?rename,?renameat,?renameat2"} {
		for name, data := range old {
			put(t, filepath.Join(out, name), data)
		}
		program := subprocess(t, makeAll("job.csv")(dir, out)...)
		c := exec.Command(strace, append([]string{"-f", "-qq", "-o", "/dev/null", "-P", filepath.Join(out, target), "-e", "trace=" + call,
			"-e", "inject=" + call + ":signal=SIGKILL", "--", program.Path}, program.Args[1:]...)...)
		if err := c.Run(); err == nil {
			t.Errorf("it was not killed at the %s", call)
		}
		whole(t, "killed at the "+call, out, old, new)
		now := contents(t, out)
		if now[target] != old[target] && now[yoursOf(target)] != old[target] {
			t.Errorf("killed at the %s: what somebody changed is gone", call)
		}
		if code, _, said := tuckmark(t, makeAll("job.csv")(dir, out)...); code != exitDone {
			t.Errorf("the next run: exit status %d, %s", code, said)
		}
		rooms, _ := filepath.Glob(filepath.Join(out, roomPrefix+"*"))
		for _, room := range rooms {
			os.RemoveAll(room)
		}
		want := maps.Clone(new)
		want[yoursOf(target)] = old[target]
		if d := differ(want, contents(t, out)); d != "" {
			t.Errorf("killed at the %s, and run again: other is %s", call, d)
		}
		must(t, os.Remove(filepath.Join(out, yoursOf(target))))
	}
}

// Two kinds of runs at once into the same place: every output is one of theirs, whole, and all say that it went well.
func TestAtOnceIntoOnePlace(t *testing.T) {
	longtests.Only(t)
	dir := faultPlace(t)
	out := filepath.Join(dir, "out")
	one, other := reference(t, dir, makeAll("job.csv")), reference(t, dir, makeAll("other.csv"))
	for range often(2, 20) {
		var wait sync.WaitGroup
		for n := range 6 {
			wait.Go(func() {
				if said, err := subprocess(t, makeAll([]string{"job.csv", "other.csv"}[n%2])(dir, out)...).CombinedOutput(); err != nil {
					t.Errorf("%v: %s", err, said)
				}
			})
		}
		wait.Wait()
		now := contents(t, out)
		of := map[bool]int{}
		for _, name := range madeAll {
			if now[name] != one[name] && now[name] != other[name] {
				t.Errorf("%s is of neither run", name)
			}
			of[now[name] == one[name]]++
		}
		if len(of) != 1 {
			t.Error("files of two runs stand together")
		}
		if len(now) != len(madeAll) {
			t.Errorf("there are %v", slices.Sorted(maps.Keys(now)))
		}
	}
}

// The report that a redo reads is saved by another program meanwhile: what is taken from it would not belong together.
func TestReportChangesWhileRead(t *testing.T) {
	dir := faultPlace(t)
	if code, _, err := tuckmark(t, "make", filepath.Join(dir, "job.csv")); code != exitDone {
		t.Fatal(err)
	}
	report := filepath.Join(dir, "job-report.xlsx")
	ctx, stop := context.WithCancel(context.Background())
	var wait sync.WaitGroup
	wait.Go(func() {
		for n := 0; ctx.Err() == nil; n++ { // slow enough to come between the times that it is opened, and not while
			_ = os.Chtimes(report, time.Unix(int64(n), 0), time.Unix(int64(n), 0))
			time.Sleep(3 * time.Millisecond)
		}
	})
	defer wait.Wait()
	defer stop()
	written := func() []string {
		found, _ := filepath.Glob(filepath.Join(dir, "*redo*"))
		return found
	}
	between := false
	for n := 0; n < 40 && !between; n++ {
		code, _, err := tuckmark(t, "redo", report, "--blocks", "OH-1")
		if code == exitDone { // on a busy machine nobody came to change it in time
			for _, f := range written() {
				must(t, os.Remove(f))
			}
			continue
		}
		if between = strings.Contains(err, "the report was changed while it was read"); code != exitFile || !strings.Contains(err, "was changed while it was read") || !strings.Contains(err, "to do: ") {
			t.Errorf("exit status %d, %s", code, err)
		}
		if found := written(); len(found) > 0 {
			t.Errorf("written was %v", found)
		}
	}
	if !between {
		t.Error("no run met a change between the times that it opens the report")
	}
}

// An odd language, clock, zone or home changes nothing of the outputs, and nothing is written at home.
func TestOddSurroundings(t *testing.T) {
	longtests.Only(t)
	if raced {
		t.Skip("shown without the race detector")
	}
	dir := faultPlace(t)
	want := reference(t, dir, makeAll("job.csv"))
	home := filepath.Join(dir, "home")
	must(t, os.Mkdir(home, 0o555))
	plain := []string{"PATH=" + os.Getenv("PATH")}
	for name, env := range map[string][]string{
		"nothing set":       {},
		"Turkish":           {"HOME=" + home, "LC_ALL=tr_TR.UTF-8", "LANG=tr_TR.UTF-8", "LANGUAGE=tr"},
		"no UTF-8":          {"HOME=" + home, "LC_ALL=C", "LANG=POSIX"},
		"comma":             {"HOME=" + home, "LC_NUMERIC=de_DE.UTF-8"},
		"far zone":          {"HOME=" + home, "TZ=Pacific/Kiritimati", "SOURCE_DATE_EPOCH=1"},
		"zone of nowhere":   {"HOME=" + home, "TZ=Nowhere/Nothing"},
		"home not there":    {"HOME=" + filepath.Join(dir, "nowhere")},
		"home is a file":    {"HOME=" + filepath.Join(dir, "job.csv"), "XDG_CONFIG_HOME=" + filepath.Join(dir, "job.csv")},
		"no temporary room": {"HOME=" + home, "TMPDIR=" + filepath.Join(dir, "nowhere")},
		"one processor":     {"HOME=" + home, "GOMAXPROCS=1"},
	} {
		out := filepath.Join(dir, "out", name)
		must(t, os.MkdirAll(out, 0o755))
		c := subprocess(t, makeAll("job.csv")(dir, out)...)
		c.Env = append(slices.Clone(plain), env...)
		if said, err := c.CombinedOutput(); err != nil {
			t.Errorf("%s: %v: %s", name, err, said)
			continue
		}
		if d := differ(want, contents(t, out)); d != "" {
			t.Errorf("%s: other is %s", name, d)
		}
	}
	if left := contents(t, home); len(left) > 0 {
		t.Errorf("written at home was %v", left)
	}
}

// Notes made at once get a name each: none takes the place of one that is still to be printed.
func TestNotesAtOnce(t *testing.T) {
	dir := t.TempDir()
	var wait sync.WaitGroup
	const notes = 6
	for n := range notes {
		wait.Go(func() {
			c := subprocess(t, "note", "--space", "4 x 2", fmt.Sprint("Plums, basket ", n))
			c.Dir = dir
			if said, err := c.CombinedOutput(); err != nil {
				t.Errorf("%v: %s", err, said)
			}
		})
	}
	wait.Wait()
	if now := contents(t, dir); len(now) != notes {
		t.Errorf("of %d notes there are %v", notes, slices.Sorted(maps.Keys(now)))
	}
}
