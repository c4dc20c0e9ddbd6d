package report

import (
	"cmp"
	"regexp"
	"slices"
	"strings"

	"github.com/xuri/excelize/v2"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// People write into a report what is of none of its blocks: a line above the headings, a row below the blocks, a remark on a heading. A redo reads none of it,
// and tells all of it, whichever blocks are printed again.

// intoTexts is what helps whoever wrote where nothing is read.
const intoTexts = "type what is to be printed otherwise into the block's row in the sheet " + Texts

// uncoded is a note of what a row of the sheet of texts has that is of no block; held is the column that says why one was held back. A row that was held
// back may have no code, and then has only what the report has written.
func (e *Earlier) uncoded(r *table.Row, held int) (list problem.List) {
	said := e.texts.TextOf(r)
	if said != "" {
		said = measure.Quote(said)
	} else {
		var written []int // columns
		if textAt(r, held) != "" && textAt(r, e.column(headFile)) != "" {
			written = []int{held, e.column(nameHeading), e.column(headFile), e.column(headSheet), e.column(headRow)}
		}
		var cells []string
		for i := range r.Cells {
			if c := &r.Cells[i]; isOwn(c) && !slices.Contains(written, c.Col) {
				cells = append(cells, measure.Quote(c.Text))
			}
		}
		said = strings.Join(problem.Few(cells, mostCells), ", ")
	}
	if said != "" {
		list.Note(problem.Place{File: e.Name(), Sheet: e.texts.Name, Row: r.N}, "the row has no code, and is not printed again: "+said, "", "to print it, put it into a spreadsheet of its own")
	}
	return list
}

// mostCells is how many cells of a row are quoted.
const mostCells = 6

// isOwn reports a cell that somebody filled in, and not one that only shows what a merged one has.
func isOwn(c *table.Cell) bool {
	return !c.Covered && (c.Kind != table.Text || strings.TrimSpace(c.Text) != "")
}

// above are notes of what a row above the headings of a sheet says, cell by cell.
func (e *Earlier) above(sheet string, r *table.Row) (list problem.List) {
	for i := range r.Cells {
		if c := &r.Cells[i]; isOwn(c) {
			list = append(list, e.stray(sheet, r.N, c, aboveThem))
		}
	}
	return list
}

// stray is a note of what a cell says that stands where there is nothing to read.
func (e *Earlier) stray(sheet string, row int, c *table.Cell, where whereabouts) problem.Problem {
	cell := table.Address(c.Col, row)
	return problem.Problem{Severity: problem.Note, Place: problem.Place{File: e.Name(), Sheet: sheet, Row: row, Cell: cell}, What: "cell " + cell + where.what + " and is not read: " + measure.Quote(c.Text),
		Cause: where.why, Hint: intoTexts}
}

// whereabouts is where such cells stand, and why nothing is read there.
type whereabouts struct{ what, why string }

var (
	aboveThem  = whereabouts{" stands above the headings", "a table begins with its headings"}
	besideThem = whereabouts{" stands beside the headings", "the report has no such heading"}
)

// blocksHeads and textsHeads are the headings of the sheets of blocks and of texts, in small letters.
var blocksHeads, textsHeads = plainHeads(fields((&book{}).blockColumns())), plainHeads(fields((&book{}).textColumns()))

func plainHeads(fields []field) (heads []string) {
	for _, f := range fields {
		heads = append(heads, plainHead(f.head))
	}
	return heads
}

// besideHeadings are the cells of a row of headings that are none of the sheet's.
func besideHeadings(r *table.Row, heads []string) (beside []table.Cell) {
	for i := range r.Cells {
		if c := &r.Cells[i]; isOwn(c) && !slices.Contains(heads, plainHead(c.Text)) {
			beside = append(beside, *c)
		}
	}
	return beside
}

// remark is a note of a remark that is of no block.
func (e *Earlier) remark(sheet string, r table.Remark, hint string) problem.Problem {
	return problem.Problem{Severity: problem.Note, Place: problem.Place{File: e.Name(), Sheet: sheet, Row: r.Row, Cell: table.Address(r.Col, r.Row)},
		What: intake.RemarkOn + measure.Quote(strings.Join(strings.Fields(r.Text), " ")), Hint: hint}
}

// overPaper are notes of the remarks on the headings of a list of paper and above them, since it is written anew without them. Those on its rows are told where it is read.
func (e *Earlier) overPaper(t *table.Sheet) (list problem.List) {
	head := slices.IndexFunc(t.Rows, func(r table.Row) bool {
		return slices.ContainsFunc(r.Cells, func(c table.Cell) bool { return c.Text == headStock })
	})
	for _, r := range t.Remarks {
		if head >= 0 && r.Row <= t.Rows[head].N {
			list = append(list, e.remark(t.Name, r, "it is not in the new report; the old one keeps it"))
		}
	}
	return list
}

// unreadCells are the beginnings of the notes that name cells of a list of paper which were not read.
var unreadCells = []string{"cells above the headings were not read: ", "cells of the list of paper were not read: "}

// namedCells are cells, or areas of them, as those notes name them; what is "within" an area is only some of it.
var namedCells = regexp.MustCompile(`(within )?\b([A-Z]+[0-9]+)(?::([A-Z]+[0-9]+))?`)

// inWords adds to such a note what the cells say, since the list is written anew without them.
func (e *Earlier) inWords(p *problem.Problem) {
	names := ""
	for _, begins := range unreadCells {
		if rest, ok := strings.CutPrefix(p.What, begins); ok {
			names = rest
		}
	}
	at := slices.IndexFunc(e.lists, func(t *table.Sheet) bool { return t.Name == p.Place.Sheet })
	if names == "" || at < 0 {
		return
	}
	var said []string
	for _, m := range namedCells.FindAllStringSubmatch(names, -1) {
		col, row, err := excelize.CellNameToCoordinates(m[2])
		lastCol, lastRow, err2 := excelize.CellNameToCoordinates(cmp.Or(m[3], m[2]))
		if m[1] != "" || err != nil || err2 != nil {
			continue
		}
		for i := range e.lists[at].Rows {
			r := &e.lists[at].Rows[i]
			for k := range r.Cells {
				if c := &r.Cells[k]; row <= r.N && r.N <= lastRow && col <= c.Col+1 && c.Col < lastCol && isOwn(c) {
					said = append(said, measure.Quote(c.Text))
				}
			}
		}
	}
	if len(said) > 0 {
		p.What += " (" + strings.Join(problem.Few(said, mostCells), ", ") + ")"
	}
}

// overTexts are notes of what stands above the headings of the sheet of texts and beside them, with nothing below it, and of the remarks there and on them.
func (e *Earlier) overTexts() (list problem.List) {
	for i := range e.texts.Rows[:e.texts.Head] {
		list = append(list, e.above(e.texts.Name, &e.texts.Rows[i])...)
	}
	head, filled := &e.texts.Rows[e.texts.Head], map[int]bool{} // columns
	for _, r := range e.texts.Rows[e.texts.Head+1:] {
		for i := range r.Cells {
			if isOwn(&r.Cells[i]) {
				filled[r.Cells[i].Col] = true
			}
		}
	}
	for _, c := range besideHeadings(head, textsHeads) {
		if !filled[c.Col] && !e.reads(c.Col) { // else it is a column that is read, or told of where its blocks are printed again
			list = append(list, e.stray(e.texts.Name, head.N, &c, besideThem))
		}
	}
	for _, r := range e.texts.Remarks {
		if r.Row <= e.texts.Rows[e.texts.Head].N {
			list = append(list, e.remark(e.texts.Name, r, intoTexts))
		}
	}
	return list
}

// reads reports a column of the sheet of texts that has a heading of the form's, also one that somebody has added. What only has a word of such a heading in it may be a sentence.
func (e *Earlier) reads(col int) bool {
	return slices.ContainsFunc(e.texts.Columns, func(c intake.Column) bool { return c.Index == col && c.As != "" && c.Guess == "" && !c.Double })
}

// isOverTexts reports a note of such a remark.
func (e *Earlier) isOverTexts(p *problem.Problem) bool {
	return p.Place.Row > 0 && p.Place.Row <= e.texts.Rows[e.texts.Head].N && strings.HasPrefix(p.What, intake.RemarkOn)
}
