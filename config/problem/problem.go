package problem

import (
	"strconv"
	"strings"
)

// Severity tells whether the job can go on.
type Severity uint8

// An Error keeps a block from being printed; a Note is only said.
const (
	Error Severity = iota
	Note
)

func (s Severity) String() string {
	if s == Note {
		return "note"
	}
	return "error"
}

// Place is where in the input a problem lies, as far as it is known. Row counts as the spreadsheet shows it, from 1; Line is
// that of a text file which is no table, such as the configuration, from 1. Column is the heading's text, Cell the address
// ("D7"). Sheet is empty for CSV.
type Place struct {
	File   string `json:"file"`
	Sheet  string `json:"sheet"`
	Row    int    `json:"row"`
	Column string `json:"column,omitempty"`
	Cell   string `json:"cell,omitempty"`
	Line   int    `json:"line,omitempty"`
	Block  int    `json:"block,omitempty"` // which of the row's blocks, from 1, where a row has several
}

// OfRow is the place of the row, or of the block where the row has several, without the column and the cell.
func (p Place) OfRow() Place { return Place{File: p.File, Sheet: p.Sheet, Row: p.Row, Block: p.Block} }

// String is the place as a person would say it: "retreat.xlsx, sheet Journaling, row 7, column Width (C7)".
func (p Place) String() string {
	var parts []string
	if p.File != "" {
		parts = append(parts, p.File)
	}
	if p.Sheet != "" {
		parts = append(parts, "sheet "+p.Sheet)
	}
	if p.Row > 0 {
		parts = append(parts, "row "+strconv.Itoa(p.Row))
	}
	if p.Block > 0 {
		parts = append(parts, "block "+strconv.Itoa(p.Block))
	}
	if p.Line > 0 {
		parts = append(parts, "line "+strconv.Itoa(p.Line))
	}
	switch {
	case p.Column != "" && p.Cell != "":
		parts = append(parts, "column "+p.Column+" ("+p.Cell+")")
	case p.Column != "":
		parts = append(parts, "column "+p.Column)
	case p.Cell != "":
		parts = append(parts, "cell "+p.Cell)
	}
	return strings.Join(parts, ", ")
}

// Kind tells whose a problem is.
type Kind uint8

// The kinds of problems. A problem without a row is for the organiser, whatever its kind.
const (
	OfRow        Kind = iota // whoever typed the row mends it
	ForOrganiser             // paper, stocks, printers, what somebody tells the organiser: nothing that who typed the row could mend
	Advice                   // nothing has to be mended
	Wish                     // an answer to the proof asks for it: the organiser types it into the row
)

// Problem is one thing wrong. What is a sentence without the place ("the width is missing"); Cause says why it is a problem or
// how it may have come about; Hint says what to do. An error whose place has no row concerns its whole file, which cannot be
// held back.
type Problem struct {
	Severity Severity
	Place    Place
	What     string
	Whole    string // What with all that somebody wants, where What shows a part of it; else ""
	Cause    string
	Hint     string
	OnPage   string // the hint where nobody types commands; "": it is Hint
	Kind     Kind
	Open     *Open // what settles it without another file; nil: nothing does
	Disk     bool  // the system would not read or write the file: exit status 3
}

// Open is what a problem of a table's columns hangs on where somebody is asked what is in those that are not known.
type Open struct {
	Lacks []string // columns of the form that the table has not got, and that one of these may be
	Asks  []string // the headings that are not known
	Of    string   // whose these are, where several tables have such: the table, as who asks knows it
}

// Error makes a problem an error, for functions that find one and know neither its place nor what comes of it: they return
// a *Problem, and who calls them says where it lies. The message is the bare sentence; Cause and Hint go with the problem.
func (p *Problem) Error() string { return p.What }

// Sentences is the problem in whole sentences, for a person who sees no table: what is wrong, why, and what to do. Column is what the form
// calls the column, or ""; it is said where a bare word would not tell where it stands.
func (p *Problem) Sentences(column string) string {
	var out []string
	for _, s := range []string{p.What, p.Cause, p.Hint} {
		if s = Capital(strings.TrimSpace(s)); s != "" {
			if !strings.HasSuffix(s, ".") && !strings.HasSuffix(s, "?") && !strings.HasSuffix(s, "!") {
				s += "."
			}
			out = append(out, s)
		}
	}
	said := strings.Join(out, " ")
	if column != "" && strings.HasPrefix(said, "“") {
		said = column + ": " + said
	}
	return said
}

// List is what a phase found, in the order of the input.
type List []Problem

// Add appends an error.
func (l *List) Add(at Place, what, cause, hint string) {
	*l = append(*l, Problem{Severity: Error, Place: at, What: what, Cause: cause, Hint: hint})
}

// Note appends a note.
func (l *List) Note(at Place, what, cause, hint string) {
	*l = append(*l, Problem{Severity: Note, Place: at, What: what, Cause: cause, Hint: hint})
}

// ToOrganiser appends a note that is for the organiser alone.
func (l *List) ToOrganiser(at Place, what, cause, hint string) {
	*l = append(*l, Problem{Severity: Note, Kind: ForOrganiser, Place: at, What: what, Cause: cause, Hint: hint})
}

// Advise appends a note of which nothing has to come.
func (l *List) Advise(at Place, what, cause, hint string) {
	*l = append(*l, Problem{Severity: Note, Kind: Advice, Place: at, What: what, Cause: cause, Hint: hint})
}

// OnPage gives the last of the list the hint that it has where nobody types commands.
func (l List) OnPage(hint string) { l[len(l)-1].OnPage = hint }

// Errors is the number of errors in the list.
func (l List) Errors() int {
	n := 0
	for _, p := range l {
		if p.Severity == Error {
			n++
		}
	}
	return n
}
