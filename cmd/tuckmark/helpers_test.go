package main

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
)

// long is set for the runs that take minutes: LONG_TESTS=1 go test ./... -timeout 1h
func long() bool { return os.Getenv("LONG_TESTS") != "" }

func often(usually, atLength int) int {
	switch {
	case long():
		return atLength
	case testing.Short() || raced:
		return max(1, usually/10)
	}
	return usually
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

func put(t testing.TB, path, text string) {
	t.Helper()
	must(t, os.WriteFile(path, []byte(text), 0o644))
}

// tuckmark runs the command in this process.
func tuckmark(t testing.TB, args ...string) (code int, out, err string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(args, &o, &e)
	return code, o.String(), e.String()
}

// contents are the files of a folder; what is no file is there by its kind.
func contents(t testing.TB, dir string) map[string]string {
	t.Helper()
	entries, err := os.ReadDir(dir)
	must(t, err)
	all := map[string]string{}
	for _, e := range entries {
		if !e.Type().IsRegular() {
			all[e.Name()] = e.Type().String()
			continue
		}
		data, err := os.ReadFile(filepath.Join(dir, e.Name()))
		must(t, err)
		all[e.Name()] = string(data)
	}
	return all
}

// subprocess is the built command, with signals and all.
func subprocess(t testing.TB, args ...string) *exec.Cmd {
	t.Helper()
	program, err := exec.LookPath("tuckmark") // the test binary under another name
	must(t, err)
	c := exec.Command(program, args...)
	return c
}
