package table

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"

	"tuckmark/intake/intaketest"
)

// A file that is far too large is refused before it is read.
func TestLargestFile(t *testing.T) {
	path := intaketest.Write(t, "a.csv", "Name,Journaling,Width,Height\n")[0]
	if err := os.Truncate(path, mostBytes+1); err != nil { // holes take no room on the disk
		t.Fatal(err)
	}
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f := Read([]string{path}, known)[0]
	runtime.ReadMemStats(&after)
	if got := intaketest.Say(f.Problems); len(f.Sheets) > 0 || got != "error a.csv: the file is larger than 64 MB\n" {
		t.Errorf("%d sheets, %s", len(f.Sheets), got)
	}
	if taken := (after.TotalAlloc - before.TotalAlloc) >> 20; taken > 10 {
		t.Errorf("%d MB were taken for it", taken)
	}
}

// A folder gives the same files in the same order as its files named one by one, whatever the order and the form of the
// paths; what is wrong with one of them stands where the file would.
func TestOrder(t *testing.T) {
	paths := intaketest.Write(t, "in/b.csv", "b\n", "in/a.csv", "a\n", "in/deep/c.csv", "c\n", "in/deep/b.csv", "", "in/e.csv", "e\n")
	dir := filepath.Dir(paths[0])
	t.Chdir(filepath.Dir(dir))
	list := func(paths ...string) string {
		var out []string
		for _, f := range Read(paths, known) {
			out = append(out, fmt.Sprintf("%s(%d)", filepath.ToSlash(f.Path[strings.LastIndex(f.Path, "in"+string(filepath.Separator))+3:]), len(f.Problems)))
		}
		return strings.Join(out, " ")
	}
	const want = "a.csv(0) b.csv(0) deep/b.csv(1) deep/c.csv(0) e.csv(0)"
	for _, given := range [][]string{
		{dir},
		paths,
		{paths[4], paths[2], paths[0], paths[3], paths[1]},
		{filepath.Join("in", "deep"), paths[4], paths[1], filepath.Join("in", "b.csv")},
		{paths[0], filepath.Join("in", "e.csv"), filepath.Join("in", "deep", "..", "a.csv"), filepath.Join(dir, "deep")},
	} {
		if got := list(given...); got != want {
			t.Errorf("%v: %s", given, got)
		}
	}
	if got := list(paths[4], "in/d.csv", paths[1], paths[4]); got != "a.csv(0) d.csv(1) e.csv(0) e.csv(1)" {
		t.Errorf("with one that is not there and one given twice: %s", got)
	}
}

// A file of which a desk has made a workbook is read as it is, and the workbook is named, unless it is given as well.
func TestDeskHasMore(t *testing.T) {
	dir := t.TempDir()
	file, desk := filepath.Join(dir, "crop.csv"), filepath.Join(dir, "crop-desk.xlsx")
	for _, f := range []string{file, desk} {
		if err := os.WriteFile(f, []byte("Name,Journaling,Width,Height\nEve,words,4,2\n"), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	journal := filepath.Join(dir, ".crop-desk", "journal") // else it is somebody's own file
	if err := errors.Join(os.Mkdir(filepath.Dir(journal), 0o700), os.WriteFile(journal, nil, 0o600)); err != nil {
		t.Fatal(err)
	}
	told := func(paths ...string) (n int) {
		for _, f := range Read(paths, func(string) bool { return true }) {
			for _, p := range f.Problems {
				if strings.Contains(p.What, "the desk has made “crop-desk.xlsx” of this file") && p.Place.File == "crop.csv" && len(f.Sheets) == 1 {
					n++
				}
			}
		}
		return n
	}
	if told(file) != 1 || told(file, desk) != 0 || told(dir) != 0 {
		t.Errorf("told %d times of the file alone, %d with the workbook, %d of the folder", told(file), told(file, desk), told(dir))
	}
	if err := os.Remove(journal); err != nil || told(file) != 0 {
		t.Errorf("no desk has made it, and that is told %d times: %v", told(file), err)
	}
}
