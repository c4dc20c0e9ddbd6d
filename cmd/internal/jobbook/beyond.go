package jobbook

import (
	"fmt"
	"slices"

	"tuckmark/config/problem"
	"tuckmark/intake"
)

// What a job takes in of columns that the form has not got. Somebody is asked about each; what stands in them is read with every change, and each row of the workbook has
// a cell in each, also an empty one. A few are taken with any number of rows.
const (
	mostBeyond = 1000    // such columns of a sheet
	fewBeyond  = 20      // columns
	mostWide   = 300_000 // what stands in such columns, and half of all cells that the sheet has then
)

// beyond is what a book has of such columns, and of rows.
type beyond struct {
	columns [sheets][]string
	rows    [sheets]int
	cells   [sheets]int // in which something stands
}

// isBeyond reports a heading that the form has not got.
func isBeyond(s Sheet, heading string) bool {
	return heading != spaceColumn && !slices.Contains(Columns(s), heading)
}

// beyond is what the book has.
func (b *Book) beyond() (has beyond) {
	b.mu.Lock()
	defer b.mu.Unlock()
	has.columns = b.now.Columns
	for s := range sheets {
		of := setOf(slices.DeleteFunc(slices.Clone(b.now.Columns[s]), func(c string) bool { return !isBeyond(s, c) }))
		has.rows[s] = len(b.now.Rows[s])
		for i := range b.now.Rows[s] {
			for c := range b.now.Rows[s][i].Cells {
				if of[c] {
					has.cells[s]++
				}
			}
		}
	}
	return has
}

const tooWide = "nothing was taken over: too much stands in columns that the form does not know"

// with is why tables are more than a book can take that has that much already; nil: it can take them.
func (has beyond) with(typed []intake.TypedSheet) *problem.Problem {
	var columns [sheets]map[string]bool
	for s := range sheets {
		columns[s] = setOf(slices.DeleteFunc(slices.Clone(has.columns[s]), func(c string) bool { return !isBeyond(s, c) }))
	}
	for _, t := range typed {
		if len(t.Rows) == 0 {
			continue
		}
		s := Journaling
		if t.Paper {
			s = Paper
		}
		of := map[string]bool{}
		for _, c := range t.Columns {
			if of[c] = isBeyond(s, c); of[c] && intake.Made(c) && columns[s][c] { // which gets a number
				c += fmt.Sprint(" ", len(columns[s]))
			}
			if isBeyond(s, c) {
				columns[s][c] = true
			}
		}
		has.rows[s] += len(t.Rows)
		for _, r := range t.Rows {
			for _, c := range r.Cells {
				if of[c.Heading] {
					has.cells[s]++
				}
			}
		}
		n, rows := len(columns[s]), has.rows[s]
		all := (len(Columns(s)) + n) / 2
		cause := ""
		switch {
		case n > mostBeyond:
			cause = fmt.Sprintf("the job would have %d such columns, and %d are the most: somebody is asked about each", n, mostBeyond)
		case n > fewBeyond && has.cells[s]+rows*all > mostWide:
			cause = fmt.Sprintf("the job would have %d rows and %d such columns; if they are filled, %d rows are the most that it takes with so many", rows, n, mostWide/(n+all))
		default:
			continue
		}
		return &problem.Problem{Place: problem.Place{File: t.Rows[0].Place.File, Sheet: t.Name}, What: tooWide, Cause: cause,
			Hint: "delete the columns that are not to be printed, or give them headings of the form, and take it over again; or begin another job with some of the rows"}
	}
	return nil
}
