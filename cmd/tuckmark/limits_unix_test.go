//go:build unix

package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
	"syscall"
	"testing"
	"time"

	"tuckmark/config/longtests"
)

// A table of so many rows under a heading.
func rows(t *testing.T, name, head string, n int, row func(r *rand.Rand, i int) string) string {
	t.Helper()
	r := rand.New(rand.NewPCG(7, uint64(n)))
	var b strings.Builder
	b.WriteString(head + "\n")
	for i := range n {
		b.WriteString(row(r, i) + "\n")
	}
	path := filepath.Join(t.TempDir(), strings.ReplaceAll(name, " ", "-")+".csv")
	put(t, path, b.String())
	return path
}

// configured is a table with a configuration beside it.
func configured(t *testing.T, path, lines string) string {
	t.Helper()
	put(t, filepath.Join(filepath.Dir(path), "tuckmark.yaml"), lines)
	return path
}

// prose is about so many bytes of words.
func prose(r *rand.Rand, n int, words ...string) string {
	var b strings.Builder
	for b.Len() < n {
		b.WriteString(words[r.IntN(len(words))] + " ")
	}
	return strings.TrimSpace(b.String())
}

var (
	latin = []string{"plums", "ferry", "Sunday", "Anna", "harvest", "quiet", "a", "we", "stone", "bread", "letters"}
	mixed = append([]string{"שלום", "ספר", "كتاب", "ليل", "12", "3.5", "(", ")"}, latin...)
)

// Nothing of less than a megabyte takes more than ten seconds of two processors, or 400 MB, to be checked or refused, nor as many copies to be made
// as a run makes; nor do 20 MB take more than 500 MB (with LONG_TESTS=1).
func TestSmallFilesCostLittle(t *testing.T) {
	longtests.Only(t)
	if raced {
		t.Skip("the race detector takes memory and time of its own")
	}
	heading := func(n int) string {
		head := "Name,Journaling,Width,Height"
		for i := range n {
			head += fmt.Sprintf(",Thoughts %d", i)
		}
		return head
	}
	wide := func(r *rand.Rand, i int) string {
		return fmt.Sprintf("P,Plum %d,%.4f,%.4f", i, 0.5+5.5*r.Float64(), 0.5+5.5*r.Float64())
	}
	tucked := func(_ *rand.Rand, i int) string {
		return fmt.Sprintf("P,Plum %d,%.4f,%.4f,left %d/16 right %d/16 top %d/16 bottom %d/16", i, 1+float64(i%300)/300, 1+float64(i%101)/100, i%31, i%29, i%37, i%23)
	}
	type costly struct {
		name, path string
		mb         int
	}
	cases := []costly{
		{"copies", rows(t, "copies", "Name,Journaling,Width,Height,Copies", 100, func(_ *rand.Rand, i int) string {
			return fmt.Sprintf("P,Plums in Larvik 1987. %d,1,1,999", i)
		}), 400},
		{"copies for many", rows(t, "many", "Name,Journaling,Width,Height,Copies", often(40, 100), func(_ *rand.Rand, i int) string {
			return fmt.Sprintf("P%d,Plums in Larvik 1987. %d,1,1,999", i, i)
		}), 400},
		{"copies of all sizes", rows(t, "sizes", "Name,Journaling,Width,Height,Copies", often(20, 100), func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P%d,Plums in Larvik 1987. %d,%d 1/8,%d 3/8,999", i, i, 1+r.IntN(2), 1+r.IntN(2))
		}), 400},
		{"spaces of all sizes", rows(t, "spaces", "Name,Journaling,Width,Height", often(2000, 4000), func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P,Plum %d,%.4f,%.4f", i, 1+3*r.Float64(), 1+3*r.Float64())
		}), 400},
		{"spaces far apart", configured(t, rows(t, "apart", "Name,Journaling,Width,Height", often(200, 8000), wide), "gap: 2 in\n"), 400},
		{"more effort than there is time", configured(t, rows(t, "effort", "Name,Journaling,Width,Height", often(60, 3000), wide), "effort: 1000000\n"), 400},
		{"tucks of all sizes", rows(t, "tucks", "Name,Journaling,Width,Height,Tuck", often(100, 8000), tucked), 400},
		{"fonts that nobody has", rows(t, "fonts", "Name,Journaling,Width,Height,Font", often(3000, 46000), func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P,Plums,4,2,Nobody %x", r.Uint32())
		}), 400},
		{"long texts", rows(t, "long", "Name,Journaling,Width,Height", often(10, 40), func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P,%s,8,%d", prose(r, 18000, latin...), 1+i%10)
		}), 400},
		{"a text without a space", rows(t, "one", "Name,Journaling,Width,Height", 10, func(_ *rand.Rand, i int) string {
			return fmt.Sprintf("P,%s,8,10", strings.Repeat("plum", 4900))
		}), 400},
		{"mixed directions", rows(t, "mixed", "Name,Journaling,Width,Height", 40, func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P,%s,8,10", prose(r, 5000, mixed...))
		}), 400},
		{"marks upon marks", rows(t, "marks", "Name,Journaling,Width,Height", 10, func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P,%s,8,10", strings.Repeat("a\u0301\u0323\u200d", 2000))
		}), 400},
		{"headings", rows(t, "headings", heading(often(1500, 9000)), 3, func(_ *rand.Rand, i int) string { return "P,Plums,4,2" + strings.Repeat(",x", often(1500, 9000)) }), 400},
	}
	if longtests.Many() {
		cases = append(cases, costly{"20 MB", rows(t, "large", "Name,Journaling,Width,Height", 40000, func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P%d,%s %d,4,2", i%50, prose(r, 490, latin...), i)
		}), 500}, costly{"mark: fonts that nobody has", rows(t, "marked", "Name,Journaling,Width,Height,Font", 46000, func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P,Plums,4,2,Nobody %x", r.Uint32())
		}), 400})
	}
	cases = append(cases, costly{"make: copies", rows(t, "made", "Name,Journaling,Width,Height,Copies", often(20, 100), func(_ *rand.Rand, i int) string {
		return fmt.Sprintf("P,Plums in Larvik 1987. %d,1,1,999", i)
	}), often(200, 400)},
		costly{"make: spaces far apart", configured(t, rows(t, "made-apart", "Name,Journaling,Width,Height", often(50, 1500), wide), "gap: 2 in\n"), 400},
		costly{"make: tucks of all sizes", rows(t, "made-tucks", "Name,Journaling,Width,Height,Tuck", often(50, 1500), tucked), 400},
		costly{"more copies than a run makes", rows(t, "beyond", "Name,Journaling,Width,Height,Copies", often(1000, 30_000), func(_ *rand.Rand, i int) string {
			return fmt.Sprintf("P,Plums %d,1,1,999", i)
		}), 400})
	for _, c := range cases {
		command := []string{"check", c.path}
		if strings.HasPrefix(c.name, "make: ") {
			command = []string{"make", c.path, "--hold-back", "-o", filepath.Join(t.TempDir(), "x.pdf")}
		}
		if strings.HasPrefix(c.name, "mark: ") {
			command = append(command, "-o", filepath.Join(t.TempDir(), "x.xlsx"))
		}
		found := filepath.Join(filepath.Dir(c.path), "tuckmark.yaml")
		if _, err := os.Stat(found); err == nil {
			command = append(command, "--config", found)
		}
		cmd := subprocess(t, command...)
		out, err := cmd.CombinedOutput()
		s := cmd.ProcessState
		if code := s.ExitCode(); code != exitDone && code != exitInput {
			t.Errorf("%s: %v: %.500s", c.name, err, out)
		}
		work := s.UserTime() + s.SystemTime()
		t.Logf("%s: %v of the processors, %d MB", c.name, work.Round(10*time.Millisecond), peak(s))
		if mb := peak(s); mb > c.mb {
			t.Errorf("%s: %d MB", c.name, mb)
		}
		if info, err := os.Stat(c.path); err == nil && info.Size() < 1<<20 && work > 20*time.Second {
			t.Errorf("%s: %v of the processors", c.name, work)
		}
	}
}

// Whenever somebody ends a run by the keyboard or by kill, it is over within a fifth of a second, in one line, and nothing is left.
func TestEndsAtOnce(t *testing.T) {
	longtests.Only(t)
	const most = 200 * time.Millisecond
	dir := t.TempDir()
	var up time.Duration // after which the program is there to hear a signal, also where the machine is slow: until then the system ends it
	for range 3 {
		began := time.Now()
		must(t, subprocess(t, "--version").Run())
		up = max(up, 2*time.Since(began))
	}
	for _, in := range []string{
		rows(t, "copies", "Name,Journaling,Width,Height,Copies", 60, func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P%d,Plums in Larvik 1987. %d,%d 1/8,%d 3/8,20", i, i, 1+r.IntN(2), 1+r.IntN(2))
		}),
		rows(t, "long", "Name,Journaling,Width,Height", 80, func(r *rand.Rand, i int) string {
			return fmt.Sprintf("P,%s,8,%d", prose(r, 900, latin...), 5+i%5)
		}),
	} {
		c := subprocess(t, "make", in, "-o", filepath.Join(t.TempDir(), "x.pdf"))
		began := time.Now()
		if said, err := c.CombinedOutput(); err != nil {
			t.Fatalf("%v: %s", err, said)
		}
		whole := time.Since(began)
		r := rand.New(rand.NewPCG(4, uint64(len(in))))
		for n := range often(3, 100) {
			signal := []os.Signal{syscall.SIGINT, syscall.SIGQUIT, syscall.SIGTERM}[n%3]
			moment := up + time.Duration(r.Int64N(int64(whole)))
			for try := 0; ; try++ {
				c := subprocess(t, "make", in, "-o", filepath.Join(dir, "x.pdf"))
				var said bytes.Buffer
				c.Stdout, c.Stderr = &said, &said
				must(t, c.Start())
				over := make(chan time.Time, 1)
				go func() { _ = c.Wait(); over <- time.Now() }()
				time.Sleep(moment)
				asked := time.Now()
				_ = c.Process.Signal(signal)
				took := (<-over).Sub(asked)
				if strings.Contains(said.String(), "goroutine") || c.ProcessState.ExitCode() != exitStopped && c.ProcessState.ExitCode() != exitDone {
					t.Fatalf("%v after %v: exit status %d, %s", signal, moment, c.ProcessState.ExitCode(), said.String())
				}
				now := contents(t, dir)
				if len(now) > 0 && (len(now) != 2 || now["x.pdf"] == "" || now["x-report.xlsx"] == "") {
					t.Fatalf("%v after %v left %d files", signal, moment, len(now))
				}
				if took <= most {
					break
				}
				if try == 4 { // the machine was busy with something else each time
					t.Errorf("%v after %v: it went on for %v", signal, moment, took)
					break
				}
			}
		}
	}
}

// What the system does not give is said in words, and the exit status tells.
func TestLittleRoom(t *testing.T) {
	longtests.Only(t)
	dir := t.TempDir()
	in := filepath.Join(dir, "a.csv")
	put(t, in, "Name,Journaling,Width,Height\nPim,Plums in Larvik 1987,4,2\n")
	program := subprocess(t).Path
	for _, n := range []int{6, 8, 10, 20, 64} { // with fewer the system cannot even start a program
		c := exec.Command("sh", "-c", fmt.Sprintf(`ulimit -n %d && exec "$0" "$@"`, n), program, "make", in, "-o", filepath.Join(dir, "x.pdf"))
		said, _ := c.CombinedOutput()
		text, code := string(said), c.ProcessState.ExitCode()
		if strings.Contains(text, "goroutine") || strings.Contains(text, "fatal error") || strings.Contains(text, "should not happen") ||
			code != exitDone && (code != exitFile || !strings.Contains(text, "too few files") && !strings.Contains(text, "too many files are open")) || n == 64 && code != exitDone {
			t.Errorf("with %d files: exit status %d, %s", n, code, text)
		}
	}
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip("there is no /dev/full here")
	}
	defer full.Close()
	for _, args := range [][]string{{"check", in}, {"check", "--json", in}, {"check", "--columns", in}, {"make", in, "-o", filepath.Join(dir, "y.pdf")}, {"fonts"}, {"--help"}, {"note", "--space", "4 x 2", "Plums", "-o", filepath.Join(dir, "n.pdf")}} {
		c := subprocess(t, args...)
		var said bytes.Buffer
		c.Stdout, c.Stderr = full, &said
		_ = c.Run()
		if text := said.String(); c.ProcessState.ExitCode() != exitFile || !strings.Contains(text, "standard output: the disk is full") {
			t.Errorf("%q: exit status %d, %s", args, c.ProcessState.ExitCode(), text)
		}
		if made := slices.Contains(args, "make") || args[0] == "note"; made != strings.Contains(said.String(), "the files are complete") {
			t.Errorf("%q: %s", args, said.String())
		}
	}
	// Go and the system's threads take up to 1,700 MB of addresses before the program begins.
	for _, mb := range []int{1900, 2100, 2300, 2500, 4000} {
		c := exec.Command("sh", "-c", fmt.Sprintf(`ulimit -v %d && exec "$0" "$@"`, mb<<10), program, "make", in, "-o", filepath.Join(dir, "y.pdf"))
		said, _ := c.CombinedOutput()
		text, code := string(said), c.ProcessState.ExitCode()
		little := code == exitFile && strings.Contains(text, "too little") && strings.Contains(text, "ulimit -v unlimited")
		if runtime.GOOS == "linux" && !raced && (mb < 2400 && !little || mb > 2400 && code != exitDone) {
			t.Errorf("with %d MB: exit status %d, %.1000s", mb, code, text)
		}
	}
}
