package jobbook

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// What a job takes in of columns that the form has not got. Somebody is asked about each, and what stands in them is read with every change. A few are taken with any number
// of rows, and rows with nothing in such columns always.
const (
	mostBeyond = 1000    // such columns of a sheet, in which something stands
	fewBeyond  = 20      // columns
	mostWide   = 300_000 // what stands in such columns, and half of it once more, and half of the form's cells in the rows in which it stands
	mostHeads  = 10_000  // such columns of a sheet of the workbook, of which one may have 16,384
)

// beyond is what a book has of such columns, as far as something stands in them.
type beyond struct {
	heads   [sheets][]string // also those in which nothing stands
	columns [sheets]map[string]bool
	rows    [sheets]int
	cells   [sheets]int
}

// isBeyond reports a heading that the form has not got.
func isBeyond(s Sheet, heading string) bool {
	return heading != spaceColumn && !slices.Contains(Columns(s), heading)
}

// beyond is what the book has.
func (b *Book) beyond() beyond {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.now.beyond()
}

func (s *state) beyond() (has beyond) {
	has.heads = s.Columns
	for sheet := range sheets {
		own := setOf(s.Columns[sheet])
		delete(own, spaceColumn)
		has.columns[sheet] = map[string]bool{}
		for i := range s.Rows[sheet] {
			n := 0
			for c := range s.Rows[sheet][i].Cells {
				if own[c] {
					n++
					has.columns[sheet][c] = true
				}
			}
			has.add(sheet, n)
		}
	}
	return has
}

// add counts a row with so many cells in such columns.
func (has *beyond) add(s Sheet, cells int) {
	if cells > 0 {
		has.rows[s]++
		has.cells[s] += cells
	}
}

// over is why this is more than a job takes that had less before; "": it takes it.
func (has *beyond) over(s Sheet, before *beyond) string {
	n, form := len(has.columns[s]), len(Columns(s))/2
	fresh := false
	for c := range has.columns[s] {
		fresh = fresh || !before.columns[s][c]
	}
	switch {
	case n > mostBeyond && fresh:
		return fmt.Sprintf("the job would have %d such columns, and %d are the most: somebody is asked about each", n, mostBeyond)
	case n > fewBeyond && has.cells[s] > before.cells[s] && has.cells[s]*3/2+has.rows[s]*form > mostWide:
		return fmt.Sprintf("the job would have %d such cells, in %d columns and %d rows; if all are filled, %d rows are the most that it takes with so many columns",
			has.cells[s], n, has.rows[s], mostWide/(n*3/2+form))
	}
	return ""
}

// written are the columns that the workbook has beside those of the form: where they would be too many, only those in which something stands.
func (s *state) written(sheet Sheet) []string {
	if len(s.Columns[sheet]) <= mostHeads {
		return s.Columns[sheet]
	}
	filled := s.beyond().columns[sheet]
	return slices.DeleteFunc(slices.Clone(s.Columns[sheet]), func(c string) bool { return !filled[c] })
}

// The words for too much.
const (
	wideColumns = "too much stands in columns that the form does not know"
	tooWide     = "nothing was taken over: " + wideColumns
	wideMending = "delete the columns that are not to be printed, or give them headings of the form, "
)

// with is why tables are more than a book can take that has that much already; nil: it can take them. What is there already is no reason where they bring nothing like it.
func (has beyond) with(typed []intake.TypedSheet) *problem.Problem {
	after := has
	for s := range sheets {
		after.columns[s] = maps.Clone(has.columns[s])
	}
	for i := range typed {
		if t := &typed[i]; len(t.Rows) > 0 {
			if cause := after.take(t, &has); cause != "" {
				return &problem.Problem{Place: problem.Place{File: t.Rows[0].Place.File, Sheet: t.Name}, What: tooWide, Cause: cause,
					Hint: wideMending + "and take it over again; or begin another job with some of the rows"}
			}
		}
	}
	return nil
}

// take adds what a table has, and returns why that is more than a job takes that had less before.
func (has *beyond) take(t *intake.TypedSheet, before *beyond) string {
	s := sheetOf(t)
	numbered(t, s)
	if has.columns[s] == nil {
		has.columns[s] = map[string]bool{}
	}
	called := map[string]string{}
	for _, c := range t.Columns {
		if isBeyond(s, c) {
			called[c] = c
			if intake.Made(c) && before.columns[s][c] { // which gets a number
				called[c] += fmt.Sprint(" ", len(called))
			}
		}
	}
	for _, r := range t.Rows {
		n := 0
		for _, c := range r.Cells {
			if as := called[c.Heading]; as != "" {
				has.columns[s][as] = true
				n++
			}
		}
		has.add(s, n)
	}
	return has.over(s, before)
}

// tooWide is why the tables of the workbook, as another program saved it, are more than the job takes; "": it takes them.
func (s *state) tooWide(typed []intake.TypedSheet) string {
	before, after := s.beyond(), beyond{}
	for i := range typed {
		if cause := after.take(&typed[i], &before); cause != "" {
			return cause
		}
	}
	return ""
}

// leave takes nothing of a workbook that another program saved and that has too much: a copy of it is kept beside the workbook, which is written anew.
func (b *Book) leave(data []byte, cause string) *problem.Problem {
	var r record
	b.shown.seen, b.owed = save.DigestOf(data), &reading{data: data, wide: cause}
	beside := "; the workbook is left as it is until a copy of it can be made"
	if b.keepCopy(&r) == nil { // else the journal does not say that it was read
		b.shown.version = version{b.history.last, b.shown.seen, len(b.codes), true}
		r.Saved = &b.shown.version
		beside = "; it is kept whole beside the workbook, which is written anew with the job"
	}
	_ = b.log(r) // it has told what is wrong
	b.touch()
	if len(r.Asked) > 0 {
		b.tell(Event{Kind: Asked})
	}
	return &problem.Problem{Severity: problem.Note, Place: problem.Place{File: filepath.Base(b.path)}, What: "nothing of what another program saved in the workbook was taken over: " + wideColumns, Cause: cause + beside,
		Hint: "in the copy, " + wideMending + "and save it; then close the desk, and put it in the workbook's place"}
}

// sheetOf is the sheet whose rows a table has.
func sheetOf(t *intake.TypedSheet) Sheet {
	if t.Paper {
		return Paper
	}
	return Journaling
}
