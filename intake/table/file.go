package table

import (
	"context"
	"fmt"

	"tuckmark/config/problem"
)

// File is a file that was given, or a path at which there is none.
type File struct {
	Path    string // as it was given, or found in a folder that was
	Name    string // by which places name it
	Sheets  []*Sheet
	Desk    bool     // the workbook that a desk keeps a job in
	State   []string // of the job, that a desk's workbook says it shows
	Sources []string // of a workbook with the cells to mend marked: the files that its rows are from

	size     int          // bytes, of a workbook
	work     int          // that reading it took, as book.work counts it
	Problems problem.List // of the file as a whole; with an error among them there are no sheets
}

// Called is the file, with its sheets, by another name.
func (f *File) Called(name string) *File {
	other := *f
	other.Name, other.Sheets = name, nil
	for _, s := range f.Sheets {
		sheet := *s
		sheet.File = name
		other.Sheets = append(other.Sheets, &sheet)
	}
	return &other
}

// Read reads the tables of the files and folders at the paths, whatever they hold, in the order of the files' names: a folder
// given, its files named one by one, and some of both in any order are read alike. What is wrong with a file as a whole, or
// with a folder, is in Problems; each sheet has its own. known tells whether a text is the heading of a column that the
// caller knows: the sign that parts the cells of a CSV file is judged by how many of them it makes.
func Read(paths []string, known func(heading string) bool) []*File {
	return ReadContext(context.Background(), paths, known)
}

// ReadContext is Read; once the context is done, what comes back is worth nothing.
func ReadContext(ctx context.Context, paths []string, known func(heading string) bool) []*File {
	var out []*File
	rows, cells, text, size, work := 0, 0, 0, 0, 0
	for _, in := range gather(paths) {
		if ctx.Err() != nil {
			break
		}
		f := in.read(known)
		if !f.IsReport() { // else none of it is journaling
			for _, s := range f.Sheets {
				rows += len(s.Rows)
				text += s.shared()
				for _, r := range s.Rows {
					cells += len(r.Cells)
				}
			}
		}
		size, work = size+f.size, work+f.work
		out = append(out, f)
		room := textRoom(size)
		var why *problem.Problem
		switch {
		case rows > mostRows:
			why = tooLarge(fmt.Sprintf("%d rows", mostRows))
		case cells > mostCells:
			why = tooLarge(fmt.Sprintf("%d cells", mostCells))
		case text > room:
			why = tooLarge(fmt.Sprintf("%d MB of text in workbooks", room>>20))
		case work > elementRoom(size) && len(out) > 1: // else its own limits let it in
			why = refused("with this file the workbooks unpack to far more than journaling needs",
				"they may have thousands of empty cells or merged ones, or have been made to do harm; files after it were not read", "copy the cells with something in them into new workbooks, or give fewer files at a time")
		}
		if why != nil {
			why.Place.File = f.Name
			f.Sheets, f.Problems = nil, append(f.Problems, *why)
			break
		}
	}
	return out
}

// tooLarge is a file with which the job has more than it may.
func tooLarge(most string) *problem.Problem {
	return refused(fmt.Sprintf("with this file the job has more than %s", most),
		"that is more journaling than one job can be; files after it were not read", "give fewer files at a time")
}

// shared is how much text cells show that may share it, as mostText counts it: a table of commas has room for all of its own.
func (s *Sheet) shared() (n int) {
	if s.CSV {
		return 0
	}
	for _, r := range s.Rows {
		for i := range r.Cells {
			n += r.Cells[i].size()
		}
	}
	return n
}

// Parse reads the tables in bytes that came by another way than a file; name is what places call them.
func Parse(name string, data []byte, known func(heading string) bool) *File {
	return parsed(name, data, known, false)
}

// Copied reads a table as it was copied in a spreadsheet program; name is what places call it.
func Copied(name, text string, known func(heading string) bool) *File {
	return parsed(name, []byte(text), known, true)
}

func parsed(name string, data []byte, known func(heading string) bool, copied bool) *File {
	f := &File{Path: name, Name: problem.Line(name)}
	if why := f.tables(data, known, copied); why != nil {
		why.Place.File = f.Name
		f.Problems = append(f.Problems, *why)
	}
	return f
}

func (in input) read(known func(heading string) bool) *File {
	f := &File{Path: in.path, Name: in.shown, Problems: in.found}
	if len(in.found) > 0 {
		return f
	}
	f.Problems = in.told
	data, why := readWhole(in.path)
	if why == nil {
		why = f.tables(data, known, false)
	}
	if why != nil {
		why.Place.File = in.shown
		f.Problems = append(f.Problems, *why)
	}
	return f
}

// tables fills in the tables in the bytes of the file, or says why there are none.
func (f *File) tables(data []byte, known func(heading string) bool, copied bool) (why *problem.Problem) {
	kind, why := sniff(data)
	switch kind {
	case formatWorkbook:
		f.size = len(data)
		f.Sheets, f.Sources, why = readWorkbook(f.Name, data, &f.work)
		f.State, f.Desk = f.desk()
		for _, s := range f.Sheets {
			s.Desk = f.Desk
		}
	case formatText:
		var s *Sheet
		if s, why = readCSV(f.Name, data, known, copied); why == nil {
			f.Sheets = []*Sheet{s}
		}
	}
	return why
}
