package table

import (
	"archive/zip"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"iter"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/config/settled"
)

const mostBytes = 64 << 20 // of one file

// input is a file to read, or what is wrong with a path that was given.
type input struct {
	path  string
	shown string       // how its place is named
	found problem.List // why it is not read, where there is anything
	told  problem.List // of a file that is read all the same
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
			w := walk{above: foldersAbove(p)}
			w.folder(p)
			w.notePassed(p)
			inside, found := w.tables, w.found
			if len(inside) == 0 && found.Errors() == 0 {
				found.Add(problem.Place{File: p}, "the folder has no workbook and no CSV file in it", "",
					"give the folder that the filled forms are in")
			}
			out = append(out, input{path: p, found: found})
			for _, f := range inside {
				out = append(out, input{path: f})
			}
		default:
			out = append(out, input{path: p, told: deskHas(p, paths)})
		}
	}
	steps := make(map[string][]string, len(out))
	for _, in := range out {
		if in.path == "" { // filepath would take it for the folder that we are in; it comes first, wherever that is
			continue
		}
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
				if among(seen, info) {
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
	giveNames(kept)
	return kept
}

// giveNames gives every file its base name to be shown by, and where files share it as many of their folders' names as tell them apart:
// where the folders lie is nobody's business, and the job is the same wherever it stands.
func giveNames(sources []input) {
	alike := map[string][]*input{}
	for i := range sources {
		if s := &sources[i]; s.path != "" { // filepath would call it "."
			alike[filepath.Base(s.path)] = append(alike[filepath.Base(s.path)], s)
		}
	}
	for _, same := range alike {
		for steps := 1; len(same) > 0; steps++ {
			count := map[string]int{}
			more := false
			for _, s := range same {
				var whole bool
				s.shown, whole = lastSteps(s.path, steps)
				count[s.shown]++
				more = more || !whole
			}
			same = slices.DeleteFunc(same, func(s *input) bool { return !more || count[s.shown] == 1 })
		}
	}
	for i := range sources {
		s := &sources[i]
		s.shown = problem.Line(s.shown)
		for _, said := range []problem.List{s.found, s.told} {
			for j := range said {
				said[j].Place.File = s.shown
			}
		}
	}
}

// lastSteps is the end of a path, and whether that is all of it.
func lastSteps(path string, n int) (end string, whole bool) {
	steps := strings.Split(strings.TrimPrefix(filepath.ToSlash(filepath.Clean(path)), "/"), "/")
	return strings.Join(steps[max(0, len(steps)-n):], "/"), n >= len(steps)
}

// mostEntries is how many files and folders are looked at where a folder is given.
const mostEntries = 20_000

// walk goes through a folder and the folders in it, however deep. Each is looked into once, whatever links lead to it, and none that the folder itself
// stands in: that would be half the disk.
type walk struct {
	tables  []string // to be read, or refused by name: what may be somebody's journaling in a format that cannot be read
	passed  []string // pictures and the like
	reports []string // of earlier runs
	found   problem.List
	seen    []fs.FileInfo // folders
	above   []fs.FileInfo // folders that the first one stands in
	entries int
}

// foldersAbove are the folders that one stands in, up to the root, wherever links lead to it.
func foldersAbove(dir string) (above []fs.FileInfo) {
	at, err := filepath.Abs(dir)
	if err == nil {
		at, err = filepath.EvalSymlinks(at)
	}
	for up := filepath.Dir(at); err == nil && up != at; up = filepath.Dir(up) {
		at = up
		if info, err := os.Stat(up); err == nil {
			above = append(above, info)
		}
	}
	return above
}

func among(files []fs.FileInfo, info fs.FileInfo) bool {
	return slices.ContainsFunc(files, func(f fs.FileInfo) bool { return os.SameFile(f, info) })
}

func (w *walk) folder(dir string) {
	info, err := os.Stat(dir)
	if err == nil && among(w.seen, info) {
		return
	}
	w.seen = append(w.seen, info)
	entries, err := os.ReadDir(dir)
	if err != nil {
		w.found = append(w.found, diskProblem(dir, err))
		return
	}
	for _, e := range entries {
		if w.entries++; w.entries > mostEntries {
			if w.entries == mostEntries+1 {
				w.found.Add(problem.Place{File: dir}, fmt.Sprintf("there are more than %d files in the folder", mostEntries),
					"not all of them were looked at", "give the folder that the filled forms are in")
			}
			return
		}
		w.entry(e.Name(), filepath.Join(dir, e.Name()))
	}
}

func (w *walk) entry(name, path string) {
	if strings.HasPrefix(name, "._") || strings.HasPrefix(name, "~$") || strings.HasPrefix(name, ".~lock") { // of office programs and of Macs
		return
	}
	info, err := os.Stat(path)
	named := isTable(name)
	switch {
	case strings.HasPrefix(name, "."):
		inner := strings.TrimSuffix(name, filepath.Ext(name)) // of what a program that fetches files keeps until they are there
		switch {
		case filepath.Ext(name) == inTheCloud && isTable(inner):
			w.found.Add(problem.Place{File: path}, fmt.Sprintf("the file %s is not on this computer", measure.Quote(inner[1:])), "it lies in the cloud, and only its place is here",
				"open its folder and let it be fetched; or give the other files by their names")
		case named, isTable(inner):
			w.passed = append(w.passed, path)
		}
	case err == nil && info.IsDir() && among(w.above, info):
		w.passed = append(w.passed, path)
	case err == nil && info.IsDir():
		w.folder(path)
	case err == nil && !info.Mode().IsRegular() && !named: // a pipe would never end
		w.passed = append(w.passed, path)
	case DeskCopyOf(path) != "": // its rows are those of the other, and would be printed twice
		w.passed = append(w.passed, path)
	case strings.Contains(strings.ToLower(name), "-report") && isReport(path):
		w.reports = append(w.reports, path)
	case named, isWorkbook(path):
		w.tables = append(w.tables, path)
	default:
		w.passed = append(w.passed, path)
	}
}

// inTheCloud ends the name, which begins with a dot, of what older Macs leave of a file that they have put away (from memory).
const inTheCloud = ".icloud"

// isTable reports a name of a workbook or a CSV file, or of a table that has to be saved in another format first.
func isTable(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".xlsx", ".xlsm", ".csv", ".tsv", ".xls", ".xlsb", ".ods", ".numbers":
		return true
	}
	return false
}

// holdsNoText reports a picture, a sound or a font, in which nobody types anything.
func holdsNoText(name string) bool {
	switch strings.ToLower(filepath.Ext(name)) {
	case ".jpg", ".jpeg", ".png", ".gif", ".heic", ".webp", ".tif", ".tiff", ".svg", ".mov", ".mp4", ".m4a", ".mp3", ".ttf", ".otf":
		return true
	}
	return false
}

// mostNamed is how many files of a folder that are not read are named.
const mostNamed = 100

var deskCopy = regexp.MustCompile(`(?i)^(.+-desk)-yours(?:-[0-9]{1,6})?(\.xlsx)$`)

// DeskCopyOf is the workbook beside a file that is a copy of it by its name: one which a desk kept when it wrote the workbook anew. "": it is none, or there is no
// such workbook.
func DeskCopyOf(path string) string {
	dir, name := filepath.Split(path)
	m := deskCopy.FindStringSubmatch(name)
	if m == nil {
		return ""
	}
	of := dir + m[1] + m[2]
	if info, err := os.Stat(of); err != nil || !info.Mode().IsRegular() {
		return ""
	}
	return of
}

// deskHas tells of the workbook that a desk has made of a file and that is not given with it: what was typed at the desk is there alone.
func deskHas(path string, given []string) (found problem.List) {
	desk := strings.TrimSuffix(path, filepath.Ext(path)) + "-desk.xlsx"
	info, err := os.Stat(desk)
	if err != nil || !info.Mode().IsRegular() || slices.ContainsFunc(given, func(p string) bool {
		other, err := os.Stat(p)
		return err == nil && os.SameFile(info, other)
	}) {
		return nil
	}
	journal := filepath.Join(filepath.Dir(desk), "."+strings.TrimSuffix(filepath.Base(desk), ".xlsx"), "journal")
	if _, err := os.Stat(journal); err != nil { // else it is the desk's, whatever another program has made of it
		data, why := readWhole(desk)
		if wrote, sure := DeskWrote(data); why == nil && sure && !wrote {
			return nil
		}
	}
	found.ToOrganiser(problem.Place{File: filepath.Base(path)}, fmt.Sprintf("the desk has made %s of this file, and what was typed there is not in it", measure.Quote(filepath.Base(desk))), "", "give that workbook, if its texts are to be printed")
	return found
}

// notePassed says which files are not read. Configurations are read elsewhere.
func (w *walk) notePassed(dir string) {
	var names []string
	for _, p := range w.reports {
		names = append(names, measure.Quote(filepath.Base(p))+" (a report of an earlier run)")
	}
	n, more := 0, false
	for _, p := range w.passed {
		if ext := strings.ToLower(filepath.Ext(p)); ext == ".yaml" || ext == ".yml" {
			continue
		}
		if of := DeskCopyOf(p); of != "" {
			w.found.Note(problem.Place{File: dir}, fmt.Sprintf("%s is a copy that the desk kept of %s, and is not read", measure.Quote(filepath.Base(p)), measure.Quote(filepath.Base(of))),
				"its rows would be printed twice: they are in that one, as they are now", "take what is wanted out of the copy, and move it to another folder")
			continue
		}
		if n++; n <= 5 || isTable(p) || !holdsNoText(p) && len(names) < mostNamed {
			names = append(names, measure.Quote(filepath.Base(p)))
		} else {
			more = true
		}
	}
	if more {
		names = append(names, "and others")
	}
	if len(names) > 0 {
		w.found.Note(problem.Place{File: dir}, "files of the folder that are not read: "+strings.Join(names, ", "),
			"they are no tables of journaling by their kind", "give a file by its own name to have it read")
	}
}

// FilesIn lists the files in a folder: those that are read where the folder is given, and all others. Reports of earlier runs are
// neither.
func FilesIn(folder string) (read, others []string) {
	var w walk
	w.folder(folder)
	return w.tables, w.passed
}

// Contents are the files that Read reads where those paths are given, without their tables, and what each holds. One that cannot be read is left out.
func Contents(paths []string) iter.Seq2[*File, []byte] {
	return func(yield func(*File, []byte) bool) {
		for _, in := range gather(paths) {
			if len(in.found) > 0 {
				continue
			}
			if data, why := readWhole(in.path); why == nil && !yield(&File{Path: in.path, Name: in.shown}, data) {
				return
			}
		}
	}
}

// isPlain reports a file that can be looked into: opening a pipe would wait for ever.
func isPlain(path string) bool {
	info, err := os.Stat(path)
	return err == nil && info.Mode().IsRegular()
}

// isReport looks whether a file is a report of ours, by the names of its sheets.
func isReport(path string) bool {
	if !isPlain(path) {
		return false
	}
	z, err := zip.OpenReader(path)
	if err != nil {
		return false
	}
	defer z.Close()
	return reportNames(smallParts(&z.Reader).sheetNames())
}

// isWorkbook looks into a file whose name does not say what it is.
func isWorkbook(path string) bool {
	if !isPlain(path) {
		return false
	}
	f, err := os.Open(path)
	if err != nil {
		return false
	}
	defer f.Close()
	var head [2]byte
	if _, err := io.ReadFull(f, head[:]); err != nil || string(head[:]) != "PK" { // before a folder of photographs is read through
		return false
	}
	data, why := readWhole(path)
	if why != nil {
		return false
	}
	kind, _ := sniff(data)
	return kind == formatWorkbook
}

// readWhole reads a file, as long as it can be a table.
func readWhole(path string) ([]byte, *problem.Problem) {
	info, err := os.Stat(path)
	if err == nil && !info.Mode().IsRegular() {
		return nil, &problem.Problem{What: "this is no file", Cause: "it is a device, a pipe or the like", Hint: "give a workbook, a CSV file or a folder of them", Disk: true}
	}
	if err == nil && info.Size() > mostBytes {
		return nil, &problem.Problem{What: fmt.Sprintf("the file is larger than %d MB", mostBytes>>20),
			Cause: "a table of journaling is far smaller",
			Hint:  "copy the cells into a new workbook, without the pictures, and save that"}
	}
	data, err := settled.Read(path, mostBytes)
	switch {
	case errors.Is(err, settled.ErrChanged):
		return nil, &problem.Problem{What: err.Error(), Hint: "wait until the other program has saved it and try again", Disk: true}
	case err != nil:
		p := diskProblem(path, err)
		return nil, &p
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
