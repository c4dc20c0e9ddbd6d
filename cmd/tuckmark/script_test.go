package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// The scripts in testdata/script are the command's contract: each holds commands, their input and their answer.
// `go test ./cmd/tuckmark -run Scripts -update` writes the answers anew.

func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){
		"tuckmark": main,
	})
}

func TestScripts(t *testing.T) {
	samples, err := filepath.Abs(filepath.Join(root, "samples"))
	if err != nil {
		t.Fatal(err)
	}
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join(root, "testdata", "script"),
		UpdateScripts:       os.Getenv("UPDATE_SCRIPTS") != "",
		RequireExplicitExec: true,
		Setup: func(e *testscript.Env) error {
			e.Setenv("SAMPLES", samples)
			e.Setenv("HOME", filepath.Join(e.WorkDir, "home")) // no configuration of this machine's user, and nothing written to it
			e.Setenv("XDG_CONFIG_HOME", filepath.Join(e.WorkDir, "home", "config"))
			e.Setenv("XDG_CACHE_HOME", filepath.Join(e.WorkDir, "home", "cache"))
			return nil
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits,
			"none":  none,
			"grow":  grow,
		},
	})
}

// exits runs a command and demands its exit status: exits 2 tuckmark make
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits STATUS COMMAND...")
	}
	want, err := strconv.Atoi(args[0])
	if err != nil {
		ts.Fatalf("exits: %v", err)
	}
	got := 0
	var exit *exec.ExitError
	switch err := ts.Exec(args[1], args[2:]...); {
	case errors.As(err, &exit):
		got = exit.ExitCode()
	case err != nil:
		ts.Fatalf("%v", err)
	}
	if got != want {
		ts.Fatalf("exit status %d, not %d", got, want)
	}
}

// grow puts a line at the end of a file: grow a.pdf
func grow(ts *testscript.TestScript, neg bool, args []string) {
	f, err := os.OpenFile(ts.MkAbs(args[0]), os.O_APPEND|os.O_WRONLY, 0)
	ts.Check(err)
	_, err = f.WriteString("%\n")
	ts.Check(err)
	ts.Check(f.Close())
}

// none demands that nothing matches the patterns, hidden files included: none out/* .*.part
func none(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) == 0 {
		ts.Fatalf("usage: none PATTERN...")
	}
	for _, p := range args {
		found, err := filepath.Glob(ts.MkAbs(p))
		if err != nil {
			ts.Fatalf("none: %v", err)
		}
		if len(found) > 0 {
			ts.Fatalf("there are %v", found)
		}
	}
}
