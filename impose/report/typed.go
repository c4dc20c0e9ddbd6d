package report

import (
	"fmt"
	"hash/crc32"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// A redo reads the sheet Texts. Who types a correction into the sheet Blocks, which shows the same first words, would wait for it in vain; so each row
// of that sheet keeps a sum of what was written into it, in a hidden column, and a row that no longer has it was changed by somebody. Blocks and Texts
// cannot be compared instead: they differ where a text was rightly corrected, too.

// headWritten is the heading of the column of sums.
const headWritten = "As written"

// sums adds the column of sums to columns of the sheet Blocks. An outcome is none of what is summed, since a redo changes it.
func sums(columns []column[outcome]) []column[outcome] {
	return append(columns, column[outcome]{field{headWritten, hidden, text}, func(o outcome) any {
		var s sum
		for _, c := range columns {
			switch v := c.of(o).(type) {
			case string:
				s.add(c.head, v)
			case int:
				s.add(c.head, strconv.Itoa(v))
			case float64:
				s.add(c.head, strconv.FormatFloat(v, 'f', -1, 64))
			}
		}
		return s.String()
	}})
}

// sum is one of the cells of a row.
type sum uint32

// add adds a cell. Only what a person sees in it counts, and of a number four places, as the columns show: another program may write the rest in other ways.
func (s *sum) add(heading, cell string) {
	if n, err := strconv.ParseFloat(strings.TrimSpace(cell), 64); err == nil {
		cell = strconv.FormatFloat(n, 'f', 4, 64)
	}
	cell = strings.Map(func(r rune) rune {
		if unicode.IsGraphic(r) && !unicode.IsSpace(r) {
			return r
		}
		return -1
	}, cell)
	if cell != "" && !(heading == headOutcome && isOutcome(cell)) {
		*s += sum(crc32.ChecksumIEEE([]byte(heading + "\x00" + cell))) // in whatever order the columns stand
	}
}

// isOutcome reports an outcome as it is written, and not as somebody has typed it over.
func isOutcome(cell string) bool {
	return slices.ContainsFunc([]string{printed, printedAgain, heldBack}, func(o string) bool {
		return strings.EqualFold(strings.Join(strings.Fields(o), ""), strings.Join(strings.Fields(cell), ""))
	})
}

func (s sum) String() string { return fmt.Sprintf("%08x", uint32(s)) }

// mostTyped is up to which size a sheet of blocks is looked through, in bytes: some 20,000 rows, which take a second or two, and nobody types in more by hand.
const mostTyped = 20 << 20

// typed are notes of the rows in the sheets of blocks that are no longer as they were written, or have a remark, where their blocks are among those with
// copies, by their codes in capitals; and of what is of no block there.
func (e *Earlier) typed(copies map[string]int) (list problem.List) {
	parts, why := table.OpenParts(e.Name(), e.raw)
	if why != nil {
		return nil // who writes it anew says so
	}
	met, all := map[string]bool{}, len(e.laid) > 0
	for _, s := range e.laid {
		if part := parts.Of(s.Name); part == nil || part.UncompressedSize64 > mostTyped {
			all = false
			continue
		}
		l := &laidRows{met: met, Earlier: e, sheet: s, copies: copies, code: -1, written: -1, heads: map[int]string{}, remarked: map[int]bool{}, ofBlock: map[int]bool{}, told: map[int]bool{}}
		for _, r := range s.Remarks {
			l.remarked[r.Row] = true
		}
		parts.EachRow(s.Name, func(r table.Row) { l.read(&r) })
		list = append(list, l.all()...)
		all = all && l.headed
	}
	for _, code := range e.Codes {
		if upper := strings.ToUpper(code); all && !met[upper] && copies[upper] == 0 {
			list.Note(problem.Place{File: e.Name(), Sheet: e.texts.Name, Row: e.rows[upper].N}, "the row has the code "+measure.Quote(code)+", and nothing of it was printed yet", "no sheet of blocks has it",
				"to print it, name its code; if it is no block, put it into a spreadsheet of its own")
		}
	}
	return list
}

// laidRows is a sheet of blocks while it is looked through.
type laidRows struct {
	*Earlier
	sheet         *table.Sheet
	met           map[string]bool // codes in capitals that any sheet has
	copies        map[string]int  // of the blocks that are printed again, by their codes in capitals
	heads         map[int]string  // headings by their columns; of a row above them as long as there are none
	code, written int             // columns; written is -1 where there are no sums, as in older reports

	remarked map[int]bool // rows with a remark
	ofBlock  map[int]bool // those of them that are of blocks of the report
	headed   bool         // the headings were met
	above    problem.List // what stands above them
	beside   []table.Cell // what stands among them and is none
	headRow  int
	told     map[int]bool // columns in which a row has something that is told of
	changed  problem.List
	strange  []int // rows of no block
}

// read looks at a row.
func (l *laidRows) read(r *table.Row) {
	if !l.headed {
		l.seekHeadings(r)
		return
	}
	was, code := textAt(r, l.written), textAt(r, l.code)
	upper := strings.ToUpper(code)
	l.met[upper] = true
	known := l.rows[upper] != nil || l.Held[upper] != "" || code == "" && was != "" && l.sumOf(r) == was // a row that was held back may have no code
	if !known || was == "" && l.written >= 0 {
		if r.HasOwnCells() {
			l.strange = append(l.strange, r.N)
			l.tells(r)
		}
		return
	}
	if l.remarked[r.N] {
		l.ofBlock[r.N] = true
	}
	if l.copies[upper] > 0 && (l.remarked[r.N] || l.written >= 0 && l.sumOf(r) != was) {
		l.changed.Note(problem.Place{File: l.Name(), Sheet: l.sheet.Name, Row: r.N}, "the row of "+code+" was changed here, where it is not read",
			"a block is printed again as the sheet "+Texts+" says", "type what is not there yet into the block's row there")
		l.tells(r)
	}
}

// tells keeps in which columns a row has something that is told of.
func (l *laidRows) tells(r *table.Row) {
	for i := range r.Cells {
		if c := &r.Cells[i]; isOwn(c) {
			l.told[c.Col] = true
		}
	}
}

// mostAbove is up to how many things above the headings are told: a sheet whose headings are gone has only rows that might be above some.
const mostAbove = 1000

// seekHeadings looks for the headings in a row.
func (l *laidRows) seekHeadings(r *table.Row) {
	clear(l.heads)
	code, written, outcome := -1, -1, false
	for _, c := range r.Cells {
		switch l.heads[c.Col] = c.Text; c.Text {
		case headWritten:
			written = c.Col
		case headCode:
			code = c.Col
		case headOutcome:
			outcome = true
		}
	}
	if l.headed = written >= 0 || code >= 0 && outcome; l.headed {
		l.code, l.written = code, written
		l.beside, l.headRow = besideHeadings(r, blocksHeads), r.N
	} else if len(l.above) < mostAbove {
		l.above = append(l.above, l.Earlier.above(l.sheet.Name, r)...)
	}
}

// sumOf is the sum of a row as it is now.
func (l *laidRows) sumOf(r *table.Row) string {
	var now sum
	for _, c := range r.Cells {
		if c.Col != l.written {
			now.add(l.heads[c.Col], c.Text)
		}
	}
	return now.String()
}

// all is what there is to say of the sheet once it is read.
func (l *laidRows) all() (list problem.List) {
	if !l.headed { // what its rows are is not known
		return nil
	}
	list = l.above
	for i := range l.beside {
		if c := &l.beside[i]; !l.told[c.Col] { // else it is the heading of what is told of below it
			list = append(list, l.stray(l.sheet.Name, l.headRow, c, besideThem))
		}
	}
	list = append(list, l.changed...)
	for _, r := range l.sheet.Remarks {
		if !l.ofBlock[r.Row] {
			list = append(list, l.remark(l.sheet.Name, r, intoTexts))
		}
	}
	if n := len(l.strange); n > 0 {
		what := problem.Count(n, "row") + " of no block of the report, not read"
		if n > 1 {
			what += ": " + problem.And(problem.Few(problem.Ranges(l.strange, "-"), mostRanges))
		}
		list.Note(problem.Place{File: l.Name(), Sheet: l.sheet.Name, Row: l.strange[0]}, what, "the report has no such code", "to print something else, put it into a spreadsheet of its own")
	}
	return list
}

// mostRanges is how many rows, or rows that follow each other, are named in one note.
const mostRanges = 12
