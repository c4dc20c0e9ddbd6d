package intake

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// asHeadedOn finds the sheet, of some with journaling, in whose columns the rows of a sheet without headings lie: a text below its journaling, and measures below
// those of the space. Somebody has gone on there on another sheet, and left the headings out, or has others. A budget may have such columns, too: below headings of its
// own it counts only with a text of more than a few words. nil: there is none.
func (s *Sheet) asHeadedOn(others []*Sheet) *Sheet {
	if name := strings.ToLower(s.Name); strings.Contains(name, "paper") || strings.Contains(name, "leftover") {
		return nil
	}
	i := slices.IndexFunc(others, func(o *Sheet) bool {
		rows, alike, sure := 0, 0, false
		for i := range s.Rows {
			r := &s.Rows[i]
			if len(r.Cells) < 3 { // a title, or a remark
				continue
			}
			if rows++; o.wouldRead(r) {
				alike++
				sure = sure || rows == 1 || long(o.cellOf(asJournaling, r).Text)
			}
			if rows == 200 { // and so are the others
				break
			}
		}
		return sure && 2*alike >= rows
	})
	if i < 0 {
		return nil
	}
	return others[i]
}

// cellOf is the cell of a row, be it another sheet's, in the column of a field, or nil.
func (s *Sheet) cellOf(m meaning, r *table.Row) *table.Cell {
	if col := s.column(m); col != nil {
		return r.At(col.Index)
	}
	return nil
}

// wouldRead reports a row of another sheet that has a text and the measures of a space in the columns of this one.
func (s *Sheet) wouldRead(r *table.Row) bool {
	holds := func(m meaning, as func(c *table.Cell) bool) bool {
		c := s.cellOf(m, r)
		return c != nil && as(c)
	}
	length := func(c *table.Cell) bool {
		_, err := measure.Parse(c.ExactText(), measure.In)
		return err == nil && c.Kind != table.Date
	}
	size := func(c *table.Cell) bool {
		_, err := measure.ParseSize(c.ExactText(), measure.In)
		return err == nil
	}
	return holds(asJournaling, words) && (holds(asWidth, length) && holds(asHeight, length) || holds(asSpace, size))
}

// noteUnread tells of the sheets of a file that are no journaling. One with rows of journaling and no headings is an error: they would be lost.
func (f *fileRead) noteUnread() {
	var read []*Sheet // some of the file's journaling, which others may go on from: a file may have thousands of sheets
	for _, sh := range f.sheets {
		if sh.use == journaling && !sh.IsOurs() && len(read) < 20 {
			read = append(read, sh)
		}
	}
	for _, sh := range f.sheets {
		if sh.use != nothing || len(sh.problems) > 0 || len(sh.Rows) == 0 || sh.IsOurs() || plainLetters(sh.Name) == exported {
			continue
		}
		at := problem.Place{File: sh.File, Sheet: sh.Name}
		if like := sh.asHeadedOn(read); like != nil {
			sh.problems.Add(at, "the sheet has rows like those of "+measure.Quote(like.Name)+", and no headings that are known: they would not be printed", firstRow([]*Sheet{sh}),
				fmt.Sprintf("give it the headings of %s, above its rows; or hide the sheet, if it is not for the print", measure.Quote(like.Name)))
			continue
		}
		sh.problems.Note(at, "the sheet is not journaling and was not read", firstRow([]*Sheet{sh}),
			"if it is, give its columns headings as the form has them: Name, Journaling, Width, Height")
	}
}
