package main

import (
	"io"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/cobra/doc"
	"github.com/spf13/pflag"
)

// TestManPages writes a man page for each command out of the texts of its help, into a folder of its own or, for whoever packs the
// program for a system, into the one that MAN_PAGES names:
//
//	MAN_PAGES=/usr/local/share/man/man1 go test -count=1 ./cmd/tuckmark -run ManPages
//
// That the generator is called by a test keeps it out of the program.
func TestManPages(t *testing.T) {
	folder := os.Getenv("MAN_PAGES")
	if folder == "" {
		folder = t.TempDir()
	}
	root := commands(newUI(io.Discard, io.Discard))
	root.InitDefaultHelpCmd()
	day := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC) // the same input gives the same pages
	root.DisableAutoGenTag = true
	must(t, doc.GenManTree(root, &doc.GenManHeader{Section: "1", Date: &day, Source: "tuckmark", Manual: "tuckmark"}, folder))
	for _, c := range append(root.Commands(), root) {
		if c.Hidden {
			continue
		}
		data, err := os.ReadFile(filepath.Join(folder, strings.ReplaceAll(c.CommandPath(), " ", "-")+".1"))
		must(t, err)
		page := strings.ReplaceAll(string(data), `\-`, "-")
		c.LocalFlags().VisitAll(func(f *pflag.Flag) {
			if !strings.Contains(page, "--"+f.Name) {
				t.Errorf("the page of %s does not tell of --%s", c.Name(), f.Name)
			}
		})
		if c.Short == "" || !strings.Contains(page, c.Short) {
			t.Errorf("the page of %s does not say %q", c.Name(), c.Short)
		}
	}
}

// TestHelpInOurWords: the commands stand in the order of the work, each once, and no page has the library's words.
func TestHelpInOurWords(t *testing.T) {
	var out strings.Builder
	if code := run(nil, &out, io.Discard); code != exitDone {
		t.Fatal(code)
	}
	var listed []string
	for _, m := range regexp.MustCompile(`(?m)^  ([a-z]+) {2,}[A-Z]`).FindAllStringSubmatch(out.String(), -1) {
		listed = append(listed, m[1])
	}
	want := []string{"desk", "form", "check", "proof", "make", "print", "redo", "note", "testpage", "printers", "fonts", "completion"}
	if !slices.Equal(listed, want) {
		t.Errorf("listed are %q, want %q", listed, want)
	}
	library := regexp.MustCompile(`Usage:|Flags:|Available Commands|\[flags\]|\[command\]|help for `)
	for _, name := range append(want, "help") {
		out.Reset()
		if code := run([]string{name, "--help"}, &out, io.Discard); code != exitDone || library.MatchString(out.String()) {
			t.Errorf("the page of %s ends with %d:\n%s", name, code, out.String())
		}
	}
	if cobra.MousetrapHelpText != "" {
		t.Error("a double click opens the library's words")
	}
}

// TestCompletion: every shell gets a script, and a shell that asks gets commands and options.
func TestCompletion(t *testing.T) {
	for _, shell := range []string{"bash", "zsh", "fish", "powershell"} {
		var out strings.Builder
		if code := run([]string{"completion", shell}, &out, io.Discard); code != exitDone || !strings.Contains(out.String(), "__complete") {
			t.Errorf("%s: %d, %d bytes", shell, code, out.Len())
		}
	}
	for _, c := range []struct{ typed, wants string }{{"te", "testpage"}, {"make --hol", "--hold-back"}, {"completion f", "fish"}} {
		var out strings.Builder
		if run(append([]string{"__complete"}, strings.Split(c.typed, " ")...), &out, io.Discard); !strings.HasPrefix(out.String(), c.wants) {
			t.Errorf("%q is completed as %q", c.typed, out.String())
		}
	}
}
