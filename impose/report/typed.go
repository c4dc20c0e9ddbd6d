package report

import (
	"fmt"
	"hash/crc32"
	"slices"
	"strconv"
	"strings"
	"unicode"

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
// copies, by their codes in capitals. A sheet that has no column of sums, as those of older reports, has none.
func (e *Earlier) typed(copies map[string]int) (list problem.List) {
	parts, why := table.OpenParts(e.Name(), e.raw)
	if why != nil {
		return nil // who writes it anew says so
	}
	for _, s := range e.laid {
		if part := parts.Of(s.Name); part == nil || part.UncompressedSize64 > mostTyped {
			continue
		}
		remarks := map[int]bool{}
		for _, r := range s.Remarks {
			remarks[r.Row] = true
		}
		var strangers []int // rows of no block
		heads := map[int]string{}
		code, written := -1, -1
		parts.EachRow(s.Name, func(r table.Row) {
			if written < 0 {
				clear(heads)
				for _, c := range r.Cells {
					if heads[c.Col] = c.Text; c.Text == headWritten {
						written = c.Col
					} else if c.Text == headCode {
						code = c.Col
					}
				}
				return
			}
			was, of := textAt(&r, written), textAt(&r, code)
			if upper := strings.ToUpper(of); was == "" || e.rows[upper] == nil && e.Held[upper] == "" {
				if r.HasOwnCells() {
					strangers = append(strangers, r.N)
				}
				return
			} else if copies[upper] == 0 {
				return
			}
			var now sum
			for _, c := range r.Cells {
				if c.Col != written {
					now.add(heads[c.Col], c.Text)
				}
			}
			if now.String() != was || remarks[r.N] {
				list.Note(problem.Place{File: e.Name(), Sheet: s.Name, Row: r.N}, "the row of "+of+" was changed here, where it is not read",
					"a block is printed again as the sheet "+Texts+" says", "type what is not there yet into the block's row there")
			}
		})
		if len(strangers) > 0 {
			list.Note(problem.Place{File: e.Name(), Sheet: s.Name, Row: strangers[0]}, problem.Count(len(strangers), "row")+" of no block of the report, not read", "the report has no such code", "to print something else, put it into a spreadsheet of its own")
		}
	}
	return list
}
