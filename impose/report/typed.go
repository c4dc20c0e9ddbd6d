package report

import (
	"fmt"
	"hash/crc32"
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

// sums adds the column of sums to columns of the sheet Blocks; the outcome is none of what is summed, since a redo changes it.
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
	if heading != headOutcome && cell != "" {
		*s += sum(crc32.ChecksumIEEE([]byte(heading + "\x00" + cell))) // in whatever order the columns stand
	}
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
			if was == "" || copies[strings.ToUpper(of)] == 0 {
				return
			}
			var now sum
			for _, c := range r.Cells {
				if c.Col != written {
					now.add(heads[c.Col], c.Text)
				}
			}
			if now.String() != was || remarks[r.N] {
				list.Note(problem.Place{File: e.Name(), Sheet: s.Name, Row: r.N}, "what was changed here for "+of+" is not printed",
					"a block is printed again as the sheet "+Texts+" says", "type it into the block's row there")
			}
		})
	}
	return list
}
