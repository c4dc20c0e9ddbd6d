package intake

import (
	"fmt"
	"strings"

	"tuckmark/config"
	"tuckmark/config/problem"
)

// Read reads the files and folders at the paths and makes blocks of their rows. It reports everything that is wrong, in
// the order of the files, sheets and rows: an error with a row holds that row back (it is in Held); one without
// concerns the whole file.
func Read(paths []string, s *config.Settings) (*Job, problem.List) {
	var files []*fileRead
	for _, src := range gather(paths) {
		files = append(files, readFile(src, s))
	}
	b := newBuilder(s)
	for _, f := range files {
		for _, sh := range f.sheets {
			if f.uses[sh] == paper {
				b.paper(sh)
			}
		}
	}
	for _, f := range files {
		for _, sh := range f.sheets {
			if f.uses[sh] == journaling {
				b.sheet(sh)
				b.job.sheets = append(b.job.sheets, sh)
			}
			b.job.Columns = append(b.job.Columns, sh.columns...)
		}
	}
	var all problem.List
	for _, f := range files {
		all = append(all, f.problems...)
		for _, sh := range f.sheets {
			all = append(all, sh.problems...)
		}
	}
	if len(paths) == 0 {
		all.Add(problem.Place{}, "no file was given", "", "give the workbooks or CSV files to read")
	}
	return b.job, all
}

// ReadPaper reads only the paper that a file lists: its Paper and Leftovers sheets, or the file itself where it is a
// CSV of that kind.
func ReadPaper(path string, s *config.Settings) ([]Paper, problem.List) {
	b := newBuilder(s)
	var all problem.List
	found := false
	for _, src := range gather([]string{path}) {
		f := readSheets(src)
		all = append(all, f.problems...)
		for _, sh := range f.sheets {
			if sh.judge() == paper {
				found = true
				b.paper(sh)
				all = append(all, sh.problems...)
			}
		}
		if !found && len(all) == 0 {
			all.Add(filePlace(src.shown), "there is no list of paper in the file",
				"no sheet has the headings Stock, Width, Height and Count", "fill in the Paper sheet of the form")
		}
	}
	return b.job.Paper, all
}

// fileRead is a file's sheets and what was wrong with the file as a whole.
type fileRead struct {
	sheets   []*sheet
	uses     map[*sheet]use
	problems problem.List
}

// readSheets reads a file's tables, whatever they hold.
func readSheets(src source) *fileRead {
	f := &fileRead{problems: src.found}
	if len(src.found) > 0 {
		return f
	}
	data, bad := load(src.path)
	if bad != nil {
		bad.Place.File = src.shown
		f.problems = append(f.problems, *bad)
		return f
	}
	kind, why := sniff(data)
	var refused *refusal
	switch kind {
	case workbook:
		f.sheets, refused = readWorkbook(src.shown, data)
	case text:
		var sh *sheet
		if sh, refused = readCSV(src.shown, data); refused == nil {
			f.sheets = []*sheet{sh}
		}
	default:
		refused = &why
	}
	if refused != nil {
		f.sheets = nil
		f.problems.Add(filePlace(src.shown), refused.what, refused.cause, refused.hint)
	}
	return f
}

// readFile reads a file's tables and judges what each of them is.
func readFile(src source, s *config.Settings) *fileRead {
	f := readSheets(src)
	f.uses = map[*sheet]use{}
	if f.report() {
		f.problems.Note(filePlace(src.shown), "the file is the report of an earlier run and was not read",
			"its blocks are printed already, and its leftovers are not taken without being asked for",
			"give it with --paper to use its leftovers")
		f.sheets = nil
		return f
	}
	any := len(f.problems) > 0 && len(f.sheets) == 0
	for _, sh := range f.sheets {
		u := sh.judge()
		switch {
		case u == nothing:
			continue
		case sh.unseen:
			sh.problems.Note(problem.Place{File: sh.file, Sheet: sh.name}, "the sheet is hidden and was not read",
				"what nobody sees nobody has checked", "show the sheet if it belongs to the job")
			continue
		}
		any = true
		if u == paper || sh.reportColumns(s.Unit) {
			f.uses[sh] = u
		}
	}
	if !any {
		f.problems.Add(filePlace(src.shown), "no table of journaling was found in it", firstWords(f.sheets),
			"give the columns headings as the form has them: Name, Journaling, Width, Height")
		return f
	}
	for _, sh := range f.sheets {
		if _, used := f.uses[sh]; !used && len(sh.problems) == 0 && len(sh.rows) > 0 && !sh.unseen && !quiet[plainLetters(sh.name)] {
			sh.problems.Note(problem.Place{File: sh.file, Sheet: sh.name}, "the sheet is not journaling and was not read",
				firstWords([]*sheet{sh}),
				"if it is, give its columns headings as the form has them: Name, Journaling, Width, Height")
		}
	}
	return f
}

// report reports whether the file is a report workbook of ours.
func (f *fileRead) report() bool {
	found := 0
	for _, sh := range f.sheets {
		if sh.name == "Blocks" || sh.name == "Leftovers" || sh.name == "Cuts" {
			found++
		}
	}
	return found == 3
}

// quiet are the sheets that nobody expects to be read.
var quiet = map[string]bool{"problems": true, "export summary": true, "help": true, "lists": true, "instructions": true,
	"read me": true, "readme": true}

// firstWords quotes the first row that could have been a heading.
func firstWords(sheets []*sheet) string {
	for _, sh := range sheets {
		for i := range sh.rows {
			var out []string
			for j := range sh.rows[i].cells {
				if t := line(sh.rows[i].cells[j].text); t != "" && len(out) < 6 {
					out = append(out, quote(t))
				}
			}
			if len(out) > 0 {
				return fmt.Sprintf("its first row is %s", strings.Join(out, ", "))
			}
		}
	}
	return "there is nothing in its cells"
}
