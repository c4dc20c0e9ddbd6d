package intake

import (
	"fmt"
	"path/filepath"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/problem"
)

// TextsSheet is the sheet of a report that holds the blocks that were printed.
const TextsSheet = "Texts"

// Source is the blocks of an earlier run, as its report keeps them.
type Source struct {
	Codes []string          // of the blocks that were printed, in the order of the report
	Held  map[string]string // why a block was held back, by its code
	sheet *sheet
	code  int // column
	rows  map[string]*row
}

// OpenSource reads the blocks of a report.
func OpenSource(path string) (*Source, problem.List) {
	shown := filepath.Base(path)
	const hint = "name the report workbook that an earlier run wrote: its name ends in -report.xlsx"
	var list problem.List
	sources := gather([]string{path})
	if len(sources) != 1 || sources[0].path != path {
		list.Add(problem.Place{File: shown}, "it is a folder and not a report", "", hint)
		return nil, list
	}
	f := readSheets(sources[0])
	if f.problems.Errors() > 0 {
		return nil, f.problems
	}
	s := &Source{Held: map[string]string{}, rows: map[string]*row{}, code: -1}
	for _, sh := range f.sheets {
		if sh.name == TextsSheet {
			s.sheet = sh
		}
	}
	if s.sheet == nil || s.sheet.judge() != journaling {
		list.Add(problem.Place{File: shown}, "the file is no report of tuckmark", "it has no sheet "+TextsSheet+" with the blocks that were printed", hint)
		return nil, list
	}
	held := -1
	for i := range s.sheet.rows[s.sheet.head].cells {
		switch c := &s.sheet.rows[s.sheet.head].cells[i]; c.text {
		case "Code":
			s.code = c.col
		case "Held back":
			held = c.col
		}
	}
	for i := s.sheet.head + 1; i < len(s.sheet.rows); i++ {
		r := &s.sheet.rows[i]
		code := strings.ToUpper(r.text(s.code))
		if code == "" || s.rows[code] != nil {
			continue
		}
		if why := r.text(held); why != "" {
			s.Held[code] = why
			continue
		}
		s.Codes = append(s.Codes, r.text(s.code))
		s.rows[code] = r
	}
	return s, list
}

// text is what a row has in a column, on one line; none has anything in column -1.
func (r *row) text(col int) string {
	if c := r.at(col); c != nil {
		return line(c.text)
	}
	return ""
}

// Known reports whether a block of that code was printed; letter case does not matter.
func (s *Source) Known(code string) bool { return s.rows[strings.ToUpper(code)] != nil }

// Blocks are the blocks of the codes, which must be known, in that order; each has as many copies as its code is named. The
// largest type size of each is the one that it was printed in. Their places are those of the first run.
func (s *Source) Blocks(codes []string, settings *config.Settings) ([]Block, problem.List) {
	b := newBuilder(settings)
	for _, t := range settings.Stocks { // what was printed once fits: whether it still does, the layout says
		b.sheets[t.Name] = nil
	}
	pick := *s.sheet
	pick.problems, pick.rows = nil, []row{s.sheet.rows[s.sheet.head]}
	pick.head = 0
	copies := map[string]int{}
	var order []*row
	for _, c := range codes {
		c = strings.ToUpper(c)
		if copies[c]++; copies[c] == 1 {
			order = append(order, s.rows[c])
			pick.rows = append(pick.rows, *s.rows[c])
		}
	}
	pick.unit = settings.Unit
	b.sheet(&pick)
	var list problem.List
	for _, p := range pick.problems {
		if p.Severity == problem.Error { // what was only noted has been noted the first time
			list = append(list, p)
		}
	}
	from := map[string]int{}
	for i := range s.sheet.rows[s.sheet.head].cells {
		c := &s.sheet.rows[s.sheet.head].cells[i]
		from[c.text] = c.col
	}
	byRow := map[int]*row{}
	for _, r := range order {
		byRow[r.n] = r
	}
	for i := range b.job.Blocks {
		k := &b.job.Blocks[i]
		r := byRow[k.Place.Row]
		k.Code = r.text(s.code)
		k.Copies = copies[strings.ToUpper(k.Code)]
		at := problem.Place{File: k.Place.File, Sheet: k.Place.Sheet, Row: k.Place.Row}
		if file := r.text(column(from, "File")); file != "" {
			at = problem.Place{File: file, Sheet: r.text(column(from, "Worksheet"))}
			at.Row, _ = strconv.Atoi(r.text(column(from, "Row")))
		}
		k.Place = at
	}
	if len(b.job.Blocks) < len(order) && list.Errors() == 0 {
		list.Add(problem.Place{File: s.sheet.file, Sheet: s.sheet.name}, fmt.Sprintf("%d of the blocks cannot be read", len(order)-len(b.job.Blocks)), "their rows were changed", "name another copy of the report")
	}
	return b.job.Blocks, list
}

func column(at map[string]int, heading string) int {
	if c, ok := at[heading]; ok {
		return c
	}
	return -1
}
