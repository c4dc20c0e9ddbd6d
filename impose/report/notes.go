package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf16"

	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// The first run's notes stand on the sheet Notes, and those of each redo on a sheet of its own: the run sheet has room for a few only, and names the
// sheet that has all.

// noteFields are the columns of a sheet of notes; a later redo knows such a sheet by their headings.
var noteFields = []field{{"What", 60, text}, {"Why", 40, text}, {"What to do", 50, text}, {headFile, 26, text}, {headSheet, 16, text}, {headRow, 7, whole}, {"Column", 14, text}}

// noteRows are the notes of the run as rows of a sheet.
func (b *book) noteRows() (rows [][]any) {
	for _, advice := range []bool{false, true} { // which comes last
		for _, n := range b.problems {
			if n.Severity == problem.Note && (n.Kind == problem.Advice) == advice {
				rows = append(rows, []any{allOf(n.Whole, n.What), n.Cause, n.Hint, n.Place.File, n.Place.Sheet, rowOf(n.Place), n.Place.Column})
			}
		}
	}
	return rows
}

// mostInCell is how many units of UTF-16 a cell may hold (the limit of workbooks).
const mostInCell = 32_767

// allOf is what is said in full, or as it is shown elsewhere where that is all or where a cell has no room for more.
func allOf(whole, shown string) string {
	if whole == "" || len(utf16.Encode([]rune(whole))) > mostInCell {
		return shown
	}
	return whole
}

// allNotes writes the sheet of notes of the first run, which has one even where there are none.
func (b *book) allNotes() { b.longSheet(Notes, noteFields, b.noteRows()) }

// newNotes writes the sheet of notes of a redo, where there are any.
func (b *book) newNotes() {
	if rows := b.noteRows(); len(rows) > 0 {
		b.longSheet(Notes, noteFields, rows)
	}
}

// Added is what stands behind the names of the sheets that a redo of the report adds to it: " 2" for Blocks 2, Notes 2 and the others.
func (e *Earlier) Added() string { return e.add }

// free is what is added to the names of a redo's sheets so that none of them is there already, in a workbook with such tabs.
func (e *Earlier) free(tabs []string) (add string) {
	taken := map[string]bool{}
	for _, name := range tabs {
		if !e.isPaper(name) { // which go
			taken[strings.ToLower(name)] = true
		}
	}
	for n := 2; ; n++ {
		add = fmt.Sprintf(" %d", n)
		if !slices.ContainsFunc([]string{blocksSheet, cutsSheet, accountSheet, Notes}, func(name string) bool { return taken[strings.ToLower(name+add)] }) {
			return add
		}
	}
}

// isRedoNotes reports a sheet of notes that a redo has added. Its name alone would not tell: a sheet of somebody's own may be called Notes 2.
func isRedoNotes(t *table.Sheet) bool {
	if sheetNumber(t.Name, Notes) < 2 || len(t.Rows) == 0 {
		return false
	}
	head := &t.Rows[0]
	for i, f := range noteFields {
		if textAt(head, i) != f.head {
			return false
		}
	}
	return true
}
