package table

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

const mostBytes = 64 << 20 // of one file

// input is a file to read, or what is wrong with a path that was given.
type input struct {
	path  string
	shown string // how its place is named
	found problem.List
}

// gather turns paths into files, in the order of their names: that of the whole path, folder by folder, as a folder lists
// what is in it. Files and folders that were named in another order, or in another form, are the same job.
func gather(paths []string) []input {
	var out []input
	var seen []fs.FileInfo
	for _, p := range paths {
		info, err := os.Stat(p)
		switch {
		case err != nil:
			out = append(out, input{path: p, found: problem.List{diskProblem(p, err)}})
		case info.IsDir():
			inside, found := folder(p, 0)
			if len(inside) == 0 && found.Errors() == 0 {
				found.Add(problem.Place{File: p}, "the folder has no workbook and no CSV file in it", "",
					"give the folder that the filled forms are in")
			}
			out = append(out, input{path: p, found: found})
			for _, f := range inside {
				out = append(out, input{path: f})
			}
		default:
			out = append(out, input{path: p})
		}
	}
	steps := make(map[string][]string, len(out))
	for _, in := range out {
		whole, err := filepath.Abs(in.path)
		if err != nil { // the folder that we are in is gone
			whole = in.path
		}
		steps[in.path] = strings.Split(whole, string(filepath.Separator))
	}
	slices.SortStableFunc(out, func(a, b input) int { return slices.Compare(steps[a.path], steps[b.path]) })
	kept := out[:0]
	for _, s := range out {
		if len(s.found) == 0 {
			if info, err := os.Stat(s.path); err == nil {
				twice := false
				for _, before := range seen {
					twice = twice || os.SameFile(before, info)
				}
				if twice {
					s.found.Note(problem.Place{File: filepath.Base(s.path)}, "the file was given twice and is read once", "", "")
				}
				if info.Mode().IsDir() {
					continue // a folder without problems has only its files to show
				}
				seen = append(seen, info)
			}
		}
		kept = append(kept, s)
	}
	name(kept)
	return kept
}

// name gives every file its base name to be shown by, or its path where two files share a base name.
func name(sources []input) {
	count := map[string]int{}
	for _, s := range sources {
		count[filepath.Base(s.path)]++
	}
	for i := range sources {
		s := &sources[i]
		if s.path == "" {
			continue // filepath would call it "."
		}
		if s.shown = filepath.Base(s.path); count[s.shown] > 1 {
			s.shown = filepath.ToSlash(filepath.Clean(s.path))
		}
		for j := range s.found {
			s.found[j].Place.File = s.shown
		}
	}
}

// folder lists the tables in a folder and the folders in it. Pictures and the like are passed over with a note; what
// may be somebody's journaling in a format that cannot be read is listed, to be refused by name.
func folder(dir string, depth int) (files []string, found problem.List) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return nil, problem.List{diskProblem(dir, err)}
	}
	var passed []string
	for _, e := range entries {
		name, path := e.Name(), filepath.Join(dir, e.Name())
		if strings.HasPrefix(name, ".") || strings.HasPrefix(name, "~$") { // lock files of office programs
			continue
		}
		if info, err := os.Stat(path); err == nil && info.IsDir() {
			if depth < 5 {
				inside, more := folder(path, depth+1)
				files, found = append(files, inside...), append(found, more...)
			}
			continue
		}
		switch ext := strings.ToLower(filepath.Ext(name)); {
		case strings.HasSuffix(strings.ToLower(name), "-report.xlsx"):
			passed = append(passed, measure.Quote(name)+" (a report of an earlier run)")
		case ext == ".xlsx", ext == ".xlsm", ext == ".csv", ext == ".tsv", ext == ".xls", ext == ".xlsb", ext == ".ods", ext == ".numbers":
			files = append(files, path)
		case ext == ".yaml", ext == ".yml":
		case isWorkbook(path):
			files = append(files, path)
		default:
			passed = append(passed, measure.Quote(name))
		}
	}
	if n := len(passed); n > 0 {
		if n > 5 {
			passed = append(passed[:5], fmt.Sprintf("and %d others", n-5))
		}
		found.Note(problem.Place{File: dir}, "files of the folder that are not read: "+strings.Join(passed, ", "),
			"they are no tables of journaling by their kind", "give a file by its own name to have it read")
	}
	return files, found
}

// isWorkbook looks into a file whose name does not say what it is.
func isWorkbook(path string) bool {
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var head [2]byte
	if _, err := io.ReadFull(f, head[:]); err != nil || string(head[:]) != "PK" { // before a folder of photographs is read through
		return false
	}
	data, why := load(path)
	if why != nil {
		return false
	}
	kind, _ := sniff(data)
	return kind == formatWorkbook
}

// settles is how long a file that is whole has been left alone.
const settles = 50 * time.Millisecond

// load reads a file, as long as it can be a table.
func load(path string) ([]byte, *problem.Problem) {
	info, err := os.Stat(path)
	if err == nil && info.Size() > mostBytes {
		return nil, &problem.Problem{What: fmt.Sprintf("the file is larger than %d MB", mostBytes>>20),
			Cause: "a table of journaling is far smaller",
			Hint:  "copy the cells into a new workbook, without the pictures, and save that"}
	}
	if err == nil && !info.Mode().IsRegular() {
		return nil, &problem.Problem{What: "this is no file", Hint: "give a workbook, a CSV file or a folder of them", Disk: true}
	}
	data, err := os.ReadFile(path)
	if err != nil {
		p := diskProblem(path, err)
		return nil, &p
	}
	// Half of what another program is saving may look like the whole of a shorter table, and that program may pause: what was
	// written a moment ago is looked at again when it has been left alone for a little.
	if info != nil {
		if wait := settles - time.Since(info.ModTime()); wait > 0 && wait <= settles {
			time.Sleep(wait)
		}
	}
	if now, err := os.Stat(path); err != nil || info == nil || now.Size() != int64(len(data)) || now.Size() != info.Size() || now.ModTime() != info.ModTime() {
		return nil, &problem.Problem{What: "the file was changed while it was read", Hint: "wait until the other program has saved it and try again", Disk: true}
	}
	return data, nil
}

// diskProblem is what the system says, in plain words.
func diskProblem(path string, err error) problem.Problem {
	p := problem.Problem{Place: problem.Place{File: filepath.Base(path)}, Disk: true}
	switch {
	case path == "":
		p.Place.File, p.What, p.Hint = "", "an input has no name", "give the name of a workbook, a CSV file or a folder of them"
	case errors.Is(err, fs.ErrNotExist):
		p.What, p.Hint = "there is no such file or folder", fmt.Sprintf("check the spelling of %s and the folder that you are in",
			measure.Quote(path))
	case errors.Is(err, fs.ErrPermission):
		p.What, p.Hint = "the file may not be read", "close it in other programs, or change its permissions"
	default:
		p.What, p.Hint = "the file cannot be read from the disk", "copy it to another place and try again"
	}
	return p
}
