package press

import (
	"errors"
	"fmt"
	"io"
)

// ErrStopped says that the document was no longer wanted.
var ErrStopped = errors.New("press: stopped")

// ErrEmpty says that a document has no page.
var ErrEmpty = errors.New("press: the document has no pages")

// Write writes the document as one PDF (1.7). Every section is made a PDF of its own, pdfcpu merges them, and the result
// is put in an order that depends on the document alone: the same document gives the same bytes. tick, if not nil, is
// called after each page with the number of pages done. The error is ErrStopped where d.Stop said so, a *FontError where a font is at fault, w's where it
// would not take the bytes; any other is a mistake of this program.
func Write(w io.Writer, d Document, tick func(pages int)) error {
	var sections []*Section
	for i := range d.Sections {
		s := &d.Sections[i]
		if len(s.Pages) == 0 {
			continue
		}
		sections = append(sections, s)
		for j := range s.Pages {
			if s.Pages[j].Size.W <= 0 || s.Pages[j].Size.H <= 0 {
				return fmt.Errorf("press: page %d of section %q has no size", j+1, s.Title)
			}
		}
	}
	if len(sections) == 0 {
		return ErrEmpty
	}
	if d.Stop == nil {
		d.Stop = func() bool { return false }
	}
	fonts, err := gather(&d)
	if err != nil {
		return err
	}
	programs := make([]*program, len(fonts.faces))
	for i, f := range fonts.faces {
		if programs[i], err = f.subset(); err != nil {
			return err
		}
	}
	pages := 0
	done := func() {
		if d.Stop() {
			panic(ErrStopped) // merge passes it on
		}
		pages++
		if tick != nil {
			tick(pages)
		}
	}
	all, err := merge(func(i int) []byte { return writeSection(sections[i], fonts, programs, done) }, len(sections), &d)
	if err != nil {
		return fmt.Errorf("press: merging the sections: %w", err)
	}
	if d.Stop() {
		return ErrStopped
	}
	return canonical(w, all)
}
