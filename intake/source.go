package intake

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// TextsSheet is the sheet of a report that holds the blocks that were printed.
const TextsSheet = "Texts"

// Source is the blocks of an earlier run, as its report keeps them.
type Source struct {
	Codes []string          // of the blocks that were printed, in the order of the report
	Held  map[string]string // why a block was held back, by its code
	sheet *Sheet
	code  int // column
	rows  map[string]*table.Row
}

// OpenSource reads the blocks of a report.
func OpenSource(path string) (*Source, problem.List) {
	shown := filepath.Base(path)
	const hint = "name the report workbook that an earlier run wrote: its name ends in -report.xlsx"
	var list problem.List
	files := table.Read([]string{path}, Known)
	if len(files) != 1 || files[0].Path != path {
		list.Add(problem.Place{File: shown}, "it is a folder and not a report", "", hint)
		return nil, list
	}
	f := files[0]
	if f.Problems.Errors() > 0 {
		return nil, f.Problems
	}
	s := &Source{Held: map[string]string{}, rows: map[string]*table.Row{}, code: -1}
	for _, t := range f.Sheets {
		if t.Name == TextsSheet {
			s.sheet = AsJournaling(t)
		}
	}
	if s.sheet == nil {
		list.Add(problem.Place{File: shown}, "the file is no report of tuckmark", "it has no sheet "+TextsSheet+" with the blocks that were printed", hint)
		return nil, list
	}
	held := -1
	for i := range s.sheet.Rows[s.sheet.Head].Cells {
		switch c := &s.sheet.Rows[s.sheet.Head].Cells[i]; c.Text {
		case "Code":
			s.code = c.Col
		case "Held back":
			held = c.Col
		}
	}
	for i := s.sheet.Head + 1; i < len(s.sheet.Rows); i++ {
		r := &s.sheet.Rows[i]
		code := strings.ToUpper(textAt(r, s.code))
		if code == "" || s.rows[code] != nil {
			continue
		}
		if why := textAt(r, held); why != "" {
			s.Held[code] = why
			continue
		}
		s.Codes = append(s.Codes, textAt(r, s.code))
		s.rows[code] = r
	}
	return s, list
}

// textAt is what a row has in a column, on one line; none has anything in column -1.
func textAt(r *table.Row, col int) string {
	if c := r.At(col); c != nil {
		return line(c.Text)
	}
	return ""
}

// Known reports whether a block of that code was printed; letter case does not matter.
func (s *Source) Known(code string) bool { return s.rows[strings.ToUpper(code)] != nil }

// Blocks are the blocks of the codes, which must be known, in that order; each has as many copies as its code is named. The
// largest type size of each is the one that it was printed in. Their places are those of the first run.
func (s *Source) Blocks(codes []string, settings *config.Settings) ([]Block, problem.List) {
	copies := map[string]int{}
	var order []*table.Row
	for _, c := range codes {
		c = strings.ToUpper(c)
		if copies[c]++; copies[c] == 1 {
			order = append(order, s.rows[c])
		}
	}
	blocks, found := s.sheet.Blocks(order, settings)
	var list problem.List
	for _, p := range found {
		if p.Severity == problem.Error { // what was only noted has been noted the first time
			list = append(list, p)
		}
	}
	from := map[string]int{}
	for i := range s.sheet.Rows[s.sheet.Head].Cells {
		c := &s.sheet.Rows[s.sheet.Head].Cells[i]
		from[c.Text] = c.Col
	}
	byRow := map[int]*table.Row{}
	for _, r := range order {
		byRow[r.N] = r
	}
	for i := range blocks {
		k := &blocks[i]
		r := byRow[k.Place.Row]
		k.Code = textAt(r, s.code)
		k.Copies = copies[strings.ToUpper(k.Code)]
		at := problem.Place{File: k.Place.File, Sheet: k.Place.Sheet, Row: k.Place.Row}
		if file := textAt(r, column(from, "File")); file != "" {
			at = problem.Place{File: file, Sheet: textAt(r, column(from, "Worksheet"))}
			at.Row, _ = strconv.Atoi(textAt(r, column(from, "Row")))
		}
		k.Place = at
	}
	if len(blocks) < len(order) && list.Errors() == 0 {
		list.Add(problem.Place{File: s.sheet.File, Sheet: s.sheet.Name}, fmt.Sprintf("%d of the blocks cannot be read", len(order)-len(blocks)), "their rows were changed", "name another copy of the report")
	}
	return blocks, list
}

func column(at map[string]int, heading string) int {
	if c, ok := at[heading]; ok {
		return c
	}
	return -1
}
