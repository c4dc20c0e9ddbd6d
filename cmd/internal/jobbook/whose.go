package jobbook

import (
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"tuckmark/cmd/internal/journal"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// A name says nothing of who made a file: people have a front-desk.xlsx. What lies at a book's path is a book's if a desk has written it, which shows on its sheet of
// lists, or if the journal of a book lies beside it, whatever another program has made of the workbook meanwhile. All else is somebody's, and is only read.

// Ending is how the name of a book's workbook ends.
const Ending = "-desk.xlsx"

// named reports a name that the workbook of a book has.
func named(path string) bool {
	name := filepath.Base(path)
	return strings.HasSuffix(strings.ToLower(name), Ending) && len(name) > len(Ending)
}

// IsBook reports a path at which the workbook of a book is, or may be made. What is there and cannot be read may be one: who opens it is told.
func IsBook(path string) bool { return named(path) && !strange(save.System, path) }

// strange reports what lies at a path that has the name of a book's workbook, and is somebody's.
func strange(d save.Disk, path string) bool {
	if j, err := d.Stat(filepath.Join(Folder(path), journalName)); err == nil && j.Size() > journal.Empty {
		return false
	}
	if info, err := d.Stat(path); err == nil && info.IsDir() {
		return true
	}
	data, err := d.Read(path)
	if err != nil {
		return false
	}
	wrote, sure := table.DeskWrote(data)
	return sure && !wrote
}

// Folder is where the journal of a book lies: .NAME-desk beside NAME-desk.xlsx. The path is one that is named so.
func Folder(path string) string {
	dir, name := filepath.Split(path)
	return filepath.Join(dir, "."+name[:len(name)-len(".xlsx")])
}

// somebodys is the problem of a workbook at a book's path that no desk has written.
func somebodys(path string) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "this is somebody's own file: no desk has written it", Cause: "the job would be kept under that name, in its place",
		Hint: "rename the file, so that its name does not end in " + Ending + ", or move it to another folder, and try again"}
}

// isThere is what is wrong where a new book is to have the name of a file.
const isThere = "there is a file of that name already"

// fresh reports a book whose workbook has not been in its place yet, nor been read. What stands there is none of the book's, and is never written over.
func (b *Book) fresh() bool { return b.shown.Digest == "" && b.shown.seen == "" }

// another reports what stands in the workbook's place and is no workbook of this book: another job's, what cannot be read, which is nil, or what a link leads to and does
// not say whose it is.
func (b *Book) another(f *table.File) bool {
	if f == nil || len(f.State) > 0 {
		return f == nil || f.State[0] != b.name
	}
	to, refused := b.disk.Target(b.path)
	return refused == nil && to != b.path
}

// linked is where a link of a name leads that a book's workbook has, if a book is there; "" where it is no such link.
func linked(path string) string {
	if info, err := os.Lstat(path); err != nil || info.Mode()&fs.ModeSymlink == 0 {
		return ""
	}
	if real, err := filepath.EvalSymlinks(path); err == nil && IsBook(real) {
		return real
	}
	return ""
}
