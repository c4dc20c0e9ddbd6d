package intake

import (
	"fmt"
	"slices"
	"sync"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// What lies on the cells of a sheet is not printed, and not dropped without a word: a picture may be all that somebody gave for a block, and a
// remark what they wanted to say with it.

// pictured reports whether a picture lies on a cell of the row.
func (e *entry) pictured(col *Column) bool {
	return col != nil && slices.Contains(e.sheet.Pictures, table.Spot{Col: col.Index, Row: e.row.N})
}

// noText says that the text of the row is missing, or that it is a picture.
func (e *entry) noText(col *Column) {
	if e.pictured(col) {
		e.fail(col, "there is no text but a picture", "only what is typed in the cell can be printed", "type the text itself")
		return
	}
	e.fail(col, "the journaling is missing", "", "type the text, or leave the block out")
}

// RemarkOn begins the note of a remark.
const RemarkOn = "a remark on the cell: "

// attached tells of what lies on the cells of the sheet, where no row has told it.
func (s *Sheet) attached() {
	var pictures []table.Spot
	text := s.column(asJournaling)
	wrong := map[string]bool{} // cells with an error
	for i := range s.problems {
		if p := &s.problems[i]; p.Severity == problem.Error && len(s.Pictures) > 0 {
			wrong[p.Place.Cell] = true
		}
	}
	for _, at := range s.Pictures {
		if text == nil || at.Col != text.Index || !wrong[table.Address(at.Col, at.Row)] {
			pictures = append(pictures, at)
		}
	}
	slices.SortFunc(pictures, func(a, b table.Spot) int { return slices.Compare([]int{a.Row, a.Col}, []int{b.Row, b.Col}) })
	s.unread("pictures", slices.Compact(pictures), "only what is typed can be printed", "type what they say, if it is to be printed")
	outside := func(what, hint string) {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, what, "only what is typed in cells can be printed", hint)
	}
	for _, r := range s.Boxes {
		outside(fmt.Sprintf("a text box at %s was not read: %s", table.Address(r.Col, r.Row), measure.Quote(r.Text)), "type it into a cell, if it is to be printed")
	}
	for _, text := range s.RunningHeads {
		outside("what stands above or below the pages of the sheet was not read: "+measure.Quote(text), "type it into a cell, if it is to be printed")
	}
	if s.Embedded > 0 {
		outside(problem.Count(s.Embedded, "document")+" of another program on the sheet, not read", "type what they say, if it is to be printed")
	}
	for _, r := range s.Remarks {
		if isFormNote(r.Text) && len(s.Rows) > 0 && r.Row <= s.Rows[s.Head].N {
			continue // what the columns are for, in a form without marks
		}
		at := problem.Place{File: s.File, Sheet: s.Name, Row: r.Row, Cell: table.Address(r.Col, r.Row)}
		if k, ok := s.HeadingAt(r.Col); ok {
			at.Column = s.Columns[k].Heading
		}
		s.problems.ToOrganiser(at, RemarkOn+measure.Quote(line(r.Text)), "it is for you and is not printed", "")
	}
	if s.Unseen {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, "pictures or remarks on the sheet could not be read", "", "look at the sheet for what they say")
	}
}

// isFormNote reports a remark that is one of the form's own and no more, which says what its column takes. Of those that name a setting only those with the built-in
// ones are known without their mark: in place of another anything may stand.
func isFormNote(text string) bool { return formNotes()[text] }

var formNotes = sync.OnceValue(func() map[string]bool {
	builtIn, _ := config.Load(config.Source{File: "none", Data: []byte{}})
	notes := map[string]bool{}
	for _, h := range headings {
		if h.Form != nil {
			notes[h.Form.Note(builtIn)] = true
		}
	}
	for _, text := range PaperTakes {
		notes[text] = true
	}
	return notes
})
