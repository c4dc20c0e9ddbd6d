package printjob

import (
	"errors"
	"os"
	"path/filepath"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
)

// Document is a finished PDF, whole and unchanged, with the plan it carries.
type Document struct {
	Path   string
	Plan   *plan.Plan
	Guides int // pages that it begins with

	finished *press.Finished
	read     save.Digest // of the file
}

// Open reads a PDF that make, redo, note or testpage wrote. What is wrong with it is a problem.
func Open(path string) (*Document, *problem.Problem) {
	bad := func(what, cause, hint string) *problem.Problem {
		return &problem.Problem{Place: problem.Place{File: path}, What: what, Cause: cause, Hint: hint}
	}
	data, err := save.ReadPlain(path)
	if err != nil {
		p := bad("the file cannot be read", "", "check its name; `tuckmark make` says where it writes the PDF")
		p.Disk = true
		if errors.Is(err, os.ErrNotExist) {
			p.What = "there is no such file"
		}
		return nil, p
	}
	f, err := press.Open(data)
	switch {
	case errors.Is(err, press.ErrForeign):
		return nil, bad("this is no PDF of tuckmark's, so it is not known how its pages are to be printed", "", "name the PDF that `tuckmark make` wrote")
	case errors.Is(err, press.ErrNoPlan):
		return nil, bad("this PDF carries no plan", "proofs, single stocks and PDFs of older versions have none", "name the whole PDF that `tuckmark make` wrote, or make it again")
	case err != nil:
		return nil, bad("this PDF is not as it was written", "another program has changed or damaged it, and its pages may not fit their pieces any more", "make it again, and print it without opening and saving it elsewhere")
	}
	p, err := plan.ReadFile(f.Plan)
	switch {
	case errors.Is(err, plan.ErrNewer):
		return nil, bad("a newer tuckmark wrote this PDF", "", "print it with that, or make it again")
	case err != nil:
		return nil, bad("the plan in this PDF cannot be read", err.Error(), "make it again")
	}
	d := &Document{Path: path, Plan: p, finished: f, read: save.DigestOf(data), Guides: len(f.Sizes)}
	for _, piece := range p.Pieces {
		if piece.Page > len(f.Sizes) {
			return nil, bad("the plan in this PDF names pages that are not there", "", "make it again")
		}
		for _, n := range piece.Pages() {
			d.Guides = min(d.Guides, n-1)
		}
	}
	return d, nil
}

// Name is the file's name without its folder, for people.
func (d *Document) Name() string { return filepath.Base(d.Path) }

// hold keeps other sessions, of this program or another, away from the file until it is released. It is a problem where one has it already, and where the
// file is not the one any more that was opened.
func (d *Document) hold() (release func(), p *problem.Problem) {
	refused := func(what, cause, hint string) *problem.Problem {
		return &problem.Problem{Place: problem.Place{File: d.Path}, What: what, Cause: cause, Hint: hint}
	}
	release, err := save.LockInput(d.Path)
	if errors.Is(err, save.ErrLocked) {
		return nil, refused("this PDF is being printed already, from another window", "two at once would print pieces twice", "go on there, or end it there and print again: what is done stays done")
	}
	if err != nil {
		release = func() {} // then the file that says how far the printing is keeps two apart, see progress.write
	}
	if p := d.asOpened(); p != nil {
		release()
		return nil, p
	}
	return release, nil
}

// asOpened is the problem of a file that is not the one any more that was opened: somebody has made the job anew meanwhile, and what is printed now would be its
// old texts.
func (d *Document) asOpened() *problem.Problem {
	if now, err := save.ReadPlain(d.Path); err == nil && save.DigestOf(now) == d.read {
		return nil
	}
	return &problem.Problem{Place: problem.Place{File: d.Path}, What: "this PDF was made anew or taken away since it was opened to be printed", Hint: "print it again"}
}
