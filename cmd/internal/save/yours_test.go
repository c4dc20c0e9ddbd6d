package save

import (
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// planFile is a plan's file with a text in it, as Create writes it.
func planFile(text string) []byte {
	return []byte("{\n \"plan\": 1,\n \"pieces\": [],\n \"text\": \"" + text + "\"\n}\n")
}

// A file of an earlier run that somebody has changed gets another name, which no file has and none of the set wants; one that nobody has changed is
// replaced. So it is on a disk without links.
func TestChangedIsKept(t *testing.T) {
	for _, links := range []bool{true, false} {
		if !links {
			defer func(l func(string, string) error) { link = l }(link)
			link = func(string, string) error { return errors.New("no links here") }
		}
		dir := t.TempDir()
		a := filepath.Join(dir, "a.json")
		set := func(text string, more ...string) Outcome {
			t.Helper()
			var files []File
			for _, name := range append([]string{"a.json"}, more...) {
				files = append(files, File{Flag: "--plan", Path: filepath.Join(dir, name), Data: planFile(text)})
			}
			done, p := Create(files, Guard{})
			if p != nil {
				t.Fatal(p)
			}
			return done
		}
		want := map[string]string{}
		is := func(when string) {
			t.Helper()
			if got := contents(t, dir); !maps.Equal(got, want) {
				t.Errorf("links %v, %s: there are %v, not %v", links, when, got, want)
			}
		}
		new := func(name, text string) { want[name] = string(Sealed(planFile(text))) }
		if done := set("one"); len(done.Replaced)+len(done.Yours) > 0 {
			t.Errorf("where nothing was: %v", done)
		}
		new("a.json", "one")
		if done := set("two"); !slices.Equal(done.Replaced, []string{a}) || done.Words() != nil {
			t.Errorf("what nobody changed: %v", done)
		}
		new("a.json", "two")
		is("unchanged")

		want["a-yours.json"] = want["a.json"] + " "
		put(t, a, want["a-yours.json"])
		must(t, os.Chmod(a, 0o640))
		done := set("three")
		new("a.json", "three")
		is("changed")
		if said := strings.Join(done.Words(), "\n"); said != a+" was changed after it was made, so it is kept: it is now "+filepath.Join(dir, "a-yours.json")+"." || !slices.Equal(done.Replaced, []string{a}) {
			t.Errorf("changed: %q, %v", said, done.Replaced)
		}
		if info, err := os.Stat(filepath.Join(dir, "a-yours.json")); err != nil || info.Mode().Perm() != 0o640 {
			t.Errorf("its permissions are %v", info.Mode())
		}

		want["a-yours-2.json"] = string(planFile("from before there were seals"))
		put(t, a, want["a-yours-2.json"])
		set("four")
		new("a.json", "four")
		is("changed again")

		want["a-yours-4.json"] = string(planFile("again"))
		put(t, a, want["a-yours-4.json"])
		set("five", "a-yours-3.json")
		new("a.json", "five")
		new("a-yours-3.json", "five")
		is("with an output of that name")
	}
}

// If a set cannot take its places, what somebody changed is where it was, and under no other name; so it is where it can have none.
func TestChangedIsPutBack(t *testing.T) {
	for _, links := range []bool{true, false} {
		if !links {
			defer func(l func(string, string) error) { link = l }(link)
			link = func(string, string) error { return errors.New("no links here") }
		}
		dir := t.TempDir()
		a, b := filepath.Join(dir, "a.json"), filepath.Join(dir, "b.json")
		for _, blocked := range []string{a, b} {
			put(t, a, string(planFile("mine")))
			put(t, b, string(planFile("mine, too")))
			before := contents(t, dir)
			var out outputs
			for _, path := range []string{a, b} {
				if p := out.write(File{Flag: "--plan", Path: path, Data: Sealed(planFile("new"))}); p != nil {
					t.Fatal(p)
				}
			}
			for _, f := range out.files {
				if f.path == blocked {
					f.aside += "-gone" // so that it cannot take its place
				}
			}
			if _, p := out.commit(); p == nil || p.What == HalfWritten {
				t.Errorf("links %v, %s: %v", links, blocked, p)
			}
			out.discard()
			if got := contents(t, dir); !maps.Equal(got, before) {
				t.Errorf("links %v, %s: there are %v", links, blocked, slices.Sorted(maps.Keys(got)))
			}
		}
		long := filepath.Join(dir, strings.Repeat("x", 248)+".json") // 255 bytes are the most on most disks; -yours is too many
		if os.WriteFile(long, planFile("mine"), 0o644) != nil {
			continue
		}
		before := contents(t, dir)
		_, p := Create([]File{{Flag: "--plan", Path: long, Data: planFile("new")}}, Guard{})
		if p == nil || !strings.Contains(p.Cause, "somebody has changed what is there") || !strings.Contains(p.Hint, "--plan") {
			t.Errorf("links %v, a long name: %v", links, p)
		}
		if got := contents(t, dir); !maps.Equal(got, before) {
			t.Errorf("links %v, a long name: there are %v", links, slices.Sorted(maps.Keys(got)))
		}
	}
}

// A run that was killed when the changed file had its second name already leaves it to the next one, which gives it no third.
func TestKeptOnce(t *testing.T) {
	dir := t.TempDir()
	a := filepath.Join(dir, "a.json")
	put(t, a, string(planFile("mine")))
	if os.Link(a, filepath.Join(dir, "a-yours.json")) != nil {
		t.Skip("no links here")
	}
	if _, p := Create([]File{{Flag: "--plan", Path: a, Data: planFile("new")}}, Guard{}); p != nil {
		t.Fatal(p)
	}
	if got, want := contents(t, dir), map[string]string{"a.json": string(Sealed(planFile("new"))), "a-yours.json": string(planFile("mine"))}; !maps.Equal(got, want) {
		t.Errorf("there are %v", got)
	}
}

// What was kept of one file is not what another of the set replaces, however a name leads there, as on a disk that does not tell large letters from
// small ones; a link stands in for that.
func TestKeptIsNotReplaced(t *testing.T) {
	dir := t.TempDir()
	a, b := filepath.Join(dir, "a.json"), filepath.Join(dir, "b.json")
	put(t, a, string(planFile("mine")))
	if os.Link(a, b) != nil {
		t.Skip("no links here")
	}
	before := contents(t, dir)
	if _, p := Create([]File{{Flag: "--plan", Path: a, Data: planFile("new")}, {Flag: "--plan", Path: b, Data: planFile("new, too")}}, Guard{}); p == nil || p.Disk || p.Hint == "" {
		t.Errorf("%v", p)
	}
	if got := contents(t, dir); !maps.Equal(got, before) {
		t.Errorf("there are %v", got)
	}
}

// What another program saves while the set takes its places, after it was looked at what is there, is kept as well: what somebody has changed only now
// gets another name, and where nothing was, nothing is replaced.
func TestSavedMeanwhile(t *testing.T) {
	defer func(l func(string, string) error) { link = l }(link)
	for _, was := range []string{string(Sealed(planFile("old"))), ""} {
		dir := t.TempDir()
		a, b := filepath.Join(dir, "a.json"), filepath.Join(dir, "b.json")
		put(t, a, string(Sealed(planFile("old"))))
		if was != "" {
			put(t, b, was)
		}
		meanwhile := false
		link = func(from, to string) error {
			if from == a && !meanwhile {
				meanwhile = true
				put(t, b, "mine"+was)
				if was != "" {
					put(t, b, was+" ")
				}
			}
			return errors.New("no links here")
		}
		_, p := Create([]File{{Flag: "--plan", Path: a, Data: planFile("new")}, {Flag: "--plan", Path: b, Data: planFile("new")}}, Guard{})
		want := map[string]string{"a.json": string(Sealed(planFile("new"))), "b.json": string(Sealed(planFile("new"))), "b-yours.json": was + " "}
		if was == "" {
			want = map[string]string{"a.json": string(Sealed(planFile("old"))), "b.json": "mine"}
		}
		if got := contents(t, dir); !meanwhile || (p == nil) != (was != "") || !maps.Equal(got, want) {
			t.Errorf("there was %q: %v, there are %v", was, p, got)
		}
	}
}

// A disk without links that renames nothing over what has the name is told, and no name is tried without end.
func TestKeptNowhere(t *testing.T) {
	defer func(l, r func(string, string) error) { link, rename = l, r }(link, rename)
	link = func(from, to string) error { return &os.LinkError{Op: "link", Old: from, New: to, Err: fs.ErrExist} } // though nothing is there
	tries := 0
	rename = func(from, to string) error {
		if tries++; tries > 100 {
			t.Fatal("it goes on and on")
		}
		return &os.LinkError{Op: "rename", Old: from, New: to, Err: fs.ErrExist}
	}
	dir := t.TempDir()
	a := filepath.Join(dir, "a.json")
	put(t, a, string(planFile("mine")))
	before := contents(t, dir)
	if _, p := Create([]File{{Flag: "--plan", Path: a, Data: planFile("new")}}, Guard{}); p == nil || !strings.Contains(p.Cause, "cannot be kept as a-yours.json") {
		t.Errorf("%v", p)
	}
	if got := contents(t, dir); !maps.Equal(got, before) {
		t.Errorf("there are %v", got)
	}
}

// Of hundreds of files that were changed some are told, and how many more.
func TestManyKeptAreShort(t *testing.T) {
	var o Outcome
	for i := range 300 {
		o.Yours = append(o.Yours, Yours{fmt.Sprint(i, ".html"), fmt.Sprint(i, "-yours.html")})
	}
	words := o.Words()
	if len(words) != mostYours+1 || !strings.Contains(words[mostYours], "290 files more") {
		t.Errorf("%d lines, the last %q", len(words), words[len(words)-1])
	}
}
