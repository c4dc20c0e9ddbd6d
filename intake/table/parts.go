package table

import (
	"archive/zip"

	"tuckmark/config/problem"
)

// Parts are the parts of a workbook that hold its worksheets, for a workbook that is written anew and whose rows are too many to be held.
type Parts struct {
	book *book
	tabs []sheetPart
}

// OpenParts opens a workbook, of which no row is read yet. Its limits are those of a workbook that is read.
func OpenParts(name string, data []byte) (*Parts, *problem.Problem) {
	b := newBook(name, data)
	tabs, why := b.open()
	if why != nil {
		return nil, why
	}
	return &Parts{b, tabs}, nil
}

// Of is the part that holds a worksheet, or nil.
func (p *Parts) Of(worksheet string) *zip.File {
	for _, t := range p.tabs {
		if t.name == worksheet {
			return p.book.archive[partName(t.path)]
		}
	}
	return nil
}

// Worksheets are the names of the worksheets, in the order of their tabs.
func (p *Parts) Worksheets() []string {
	var names []string
	for _, t := range p.tabs {
		names = append(names, t.name)
	}
	return names
}

// Tabs are the names of all sheets, with those of charts: no other sheet can have one of these names.
func (p *Parts) Tabs() []string { return p.book.tabNames }

// EachRow hands on a worksheet's rows as they are read, however many. A row is good until the next comes. It is false where the worksheet
// cannot be read to its end.
func (p *Parts) EachRow(worksheet string, f func(Row)) bool {
	return p.Rows(worksheet, func(r Row) bool {
		f(r)
		return true
	})
}

// Rows is EachRow up to the row for which no more are wanted.
func (p *Parts) Rows(worksheet string, f func(Row) (more bool)) bool {
	part := p.Of(worksheet)
	if part == nil {
		return false
	}
	r, err := part.Open()
	if err != nil {
		return false
	}
	defer r.Close()
	x := sheetReader{book: p.book, sheet: &Sheet{}, each: f}
	return x.read(r) == nil
}
