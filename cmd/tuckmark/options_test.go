package main

import (
	"io"
	"strings"
	"testing"

	"github.com/spf13/pflag"
)

// No option counts as not given because its value is empty, and of one that is given twice not the last is taken without a word. Every option of every
// command is tried, so one that is new as well.
func TestOptionsAreSaidOnce(t *testing.T) {
	t.Chdir(t.TempDir())
	refused := func(want string, args ...string) {
		t.Helper()
		if code, out, err := tuckmark(t, args...); code != exitUsage || !strings.Contains(err, want) || out != "" {
			t.Errorf("%q: exit status %d, %s%s", args, code, out, err)
		}
	}
	tried := 0
	for _, c := range commands(&ui{out: io.Discard, err: io.Discard}).Commands() {
		if c.Hidden {
			continue
		}
		refused("there is nothing between a pair of quotation marks", c.Name(), "")
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if f.NoOptDefVal != "" {
				return
			}
			tried++
			refused("--"+f.Name+" has nothing after it", c.Name(), "--"+f.Name, "", "x")
			refused("--"+f.Name+" has nothing after it", c.Name(), "x", "--"+f.Name+"= ")
			if f.Shorthand != "" {
				refused("--"+f.Name+" has nothing after it", c.Name(), "-"+f.Shorthand+"=", "x")
				refused("--"+f.Name+" is given twice", c.Name(), "-"+f.Shorthand, "1", "--"+f.Name, "1")
			}
			if several := strings.HasSuffix(f.Value.Type(), "Array") || strings.HasSuffix(f.Value.Type(), "Slice"); !several {
				refused("--"+f.Name+" is given twice", c.Name(), "--"+f.Name, "1", "--"+f.Name+"=1")
			}
		})
	}
	if tried < 50 {
		t.Errorf("%d options were tried", tried)
	}
	for _, args := range [][]string{{"--set", "gap=0", "--set", "gap=0"}, {"--set", "gap=0", "--set", "Gap =1"}, {"--gap", "0", "--set", "gap=0"}} {
		refused("is set twice on the command line", append([]string{"check", "x.csv"}, args...)...)
	}
}

// What comes on standard input is taken whole or not at all, also where what is past the limit comes after nothing but spaces.
func TestNoteTakesAllOfItsText(t *testing.T) {
	dir := t.TempDir()
	for rest, want := range map[string]int{"": exitDone, " world": exitInput} {
		c := subprocess(t, "note", "--space", "4 x 2")
		c.Dir, c.Stdin = dir, strings.NewReader("hello"+strings.Repeat(" ", mostNote-len("hello"))+rest)
		if said, err := c.CombinedOutput(); c.ProcessState.ExitCode() != want || rest != "" && !strings.Contains(string(said), "more than 1 MB") {
			t.Errorf("%q: %v, %s", rest, err, said)
		}
	}
	if made := contents(t, dir); len(made) != 1 {
		t.Errorf("there are %d files", len(made))
	}
}
