package jobbook

import (
	"crypto/rand"
	"encoding/base32"
	"fmt"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/form"
	"tuckmark/intake/table"
)

// Sheet is one of the two sheets of a book.
type Sheet uint8

// The sheets: one row for each block, and one for each line of what lies in the folder.
const (
	Journaling Sheet = iota
	Paper
	sheets
)

func (s Sheet) String() string {
	if s == Paper {
		return "Paper"
	}
	return "Journaling"
}

// Row is one block, or one line of paper, as it was typed.
type Row struct {
	ID    string            `json:"id"` // stays with the row, wherever it is moved
	Code  string            `json:"-"`  // stays with the row once it was given; "" before. The journal keeps codes by themselves
	Cells map[string]string `json:"c"`  // by heading; an empty cell has no entry. Bold and italic of the journaling are *bold* and _italic_
}

// size is about how many bytes the row has.
func (r *Row) size() int {
	n := 20
	for _, text := range r.Cells {
		n += len(text)
	}
	return n
}

func (r Row) clone() Row {
	r.Cells = maps.Clone(r.Cells)
	return r
}

// Kind is what a change does.
type Kind uint8

// The kinds of changes.
const (
	Set    Kind = iota // the cell of the row ID in the column Column becomes Text
	Insert             // a new, empty row ID stands behind the row After
	Remove             // the row ID goes
	Move               // the row ID stands behind the row After
	head               // the sheet has a column more, Column
)

// Places for After that are no row.
const (
	Last  = ""  // behind all others
	First = "^" // before all others
)

// Change is one step of what somebody did to the rows.
type Change struct {
	Kind   Kind   `json:"k"`
	Sheet  Sheet  `json:"s,omitempty"`
	ID     string `json:"id"`
	Column string `json:"c,omitempty"`
	Text   string `json:"t,omitempty"`
	After  string `json:"a,omitempty"`
	Was    string `json:"w,omitempty"` // in the answer to a question about a column, of a cell that is to be emptied: what it asks about
	came   string // of a row that is taken in: the table that it comes from, as the book knows it
}

// NewID is an id that no row has: 50 bits of chance.
func NewID() string {
	b := make([]byte, 10)
	_, _ = rand.Read(b) // never fails
	return strings.ToLower(base32.StdEncoding.EncodeToString(b))[:10]
}

// isID reports whether a text has the form of an id.
func isID(s string) bool {
	if len(s) != 10 {
		return false
	}
	for i := range len(s) {
		if c := s[i]; (c < 'a' || c > 'z') && (c < '2' || c > '7') {
			return false
		}
	}
	return true
}

// Columns are the headings that a sheet of every book has, in their order.
func Columns(s Sheet) []string { return slices.Clip(columns[s]) }

var columns = func() (c [sheets][]string) {
	c[Journaling], c[Paper] = form.DeskColumns()
	return c
}()

// What a book holds at most.
const (
	MostText = 32_767   // units of UTF-16 in a cell (the limit of workbooks)
	MostRows = 10_000   // of a sheet
	mostSize = 32 << 20 // bytes of all cells: what a workbook may unpack to (see intake/table) holds twice as much
	mostHead = 100      // characters of a column's heading
)

// tidy is a text as it stands in a cell of a column.
func tidy(column, text string) string {
	if column != "Journaling" {
		return table.Clean(text)
	}
	const joiner = "\u2060" // parts markup from the letters beside it (see intake.Markup)
	parts := strings.Split(text, joiner)
	for i := range parts {
		parts[i] = table.Clean(parts[i])
	}
	return strings.Join(parts, joiner)
}

// units is the length of a text in UTF-16.
func units(s string) int {
	n := 0
	for _, r := range s {
		if n++; r > 0xffff {
			n++
		}
	}
	return n
}

// state is what can be undone, saved and compared: the rows, without their codes. A state never changes; apply gives another.
type state struct {
	Rows    [sheets][]Row
	Columns [sheets][]string // that came with imported tables, beside those of every book; they stay
	size    int              // about how many bytes the rows have
}

// find is the index of a row, or -1. Most looked for is the last one: rows are taken in cell by cell.
func find(rows []Row, id string) int {
	if n := len(rows) - 1; n >= 0 && rows[n].ID == id {
		return n
	}
	return slices.IndexFunc(rows, func(r Row) bool { return r.ID == id })
}

func refused(what, cause, hint string) *problem.Problem {
	return &problem.Problem{What: what, Cause: cause, Hint: hint}
}

// check looks whether a change can be made, and puts its text in order.
func (s *state) check(c *Change) *problem.Problem {
	if c.Sheet >= sheets || c.Kind > head {
		return refused("that is no change that can be made to a book", "", "")
	}
	if c.Kind == head {
		if !isHeading(c.Column) {
			return refused(measure.Quote(c.Column)+" can be no heading", "", "")
		}
		return nil
	}
	rows := s.Rows[c.Sheet]
	at := find(rows, c.ID)
	switch {
	case c.Kind == Insert && at >= 0:
		return refused("the row is there already", "", "")
	case c.Kind == Insert && !isID(c.ID):
		return refused("a new row needs an id", "", "")
	case c.Kind == Insert && len(rows) >= MostRows:
		return refused("the sheet is full", fmt.Sprintf("it holds %d rows", MostRows), "begin another job")
	case c.Kind != Insert && at < 0:
		return refused("the row is no longer there", "it was removed", "look at the rows as they are now")
	case (c.Kind == Insert || c.Kind == Move) && c.After != Last && c.After != First && (c.After == c.ID || find(rows, c.After) < 0):
		return refused("the row that it should stand behind is no longer there", "it was removed", "look at the rows as they are now")
	}
	if c.Kind != Set {
		return nil
	}
	c.Text = tidy(c.Column, c.Text)
	switch {
	case !s.has(c.Sheet, c.Column):
		return refused("there is no column "+measure.Quote(c.Column), "", "")
	case s.size+len(c.Text) > mostSize:
		return refused("the job is as large as a workbook can be", "all its texts together are longer than a book", "begin another job, or shorten texts")
	case units(c.Text) > MostText:
		return refused("the text is longer than a cell can hold", fmt.Sprintf("a cell of a workbook holds %d characters", MostText), "shorten it, or part it over several blocks")
	}
	return nil
}

// has reports whether a sheet has a column, or is given it with its first cell.
func (s *state) has(sheet Sheet, heading string) bool {
	return slices.Contains(Columns(sheet), heading) || heading == spaceColumn || sheet == Journaling && heading == "Surname" || slices.Contains(s.Columns[sheet], heading)
}

// isHeading reports a text that can head a column.
func isHeading(s string) bool {
	return s != "" && strings.Join(strings.Fields(s), " ") == s && utf8.RuneCountInString(s) <= mostHead && tidy("", s) == s
}
