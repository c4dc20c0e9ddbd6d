package jobbook

import (
	"fmt"
	"reflect"
	"slices"
	"strings"

	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// A job's workbook has what the cells of a table say, not the table: remarks and strokes on its cells, what a comma has parted, what stands
// beside it. So what was taken over is read once more, as the book will be, and is held against what was read of the table: what the one told of a
// row and the other does not is told where the rows are taken in, and so is a block that would be printed otherwise, and paper that would be taken for other paper.

// compared adds to a list what there was to say of the rows of tables and is not said of what changes make of them. From are the places that the rows
// came from, by their ids.
func compared(job *intake.Job, ofRows problem.List, changes []Change, from map[string]problem.Place, s *config.Settings, unit measure.Unit, found *problem.List) {
	b := blank(save.System, "taken"+Ending, s)
	now, _, why := (&state{}).apply(changes)
	if why != nil {
		return // they will be refused
	}
	b.begin(now, unit, NewID())
	in, _ := b.With()
	again, all := intake.ReadTables(in.Tables, s)
	came := func(at problem.Place) problem.Place {
		_, id, _ := in.Row(at)
		return from[id].OfRow()
	}
	type said struct {
		at   problem.Place
		what string
	}
	told := map[said]bool{}
	for i := range all {
		told[said{came(all[i].Place), all[i].Gist()}] = true
	}
	later := map[said]bool{} // what the book tells once it is said what its columns are
	if len(again.Unread) > 0 {
		_, all = intake.ReadOpen(in.Tables, s)
		for i := range all {
			later[said{came(all[i].Place), all[i].Gist()}] = true
		}
	}
	// A problem of a row that is several blocks may be that of any of them.
	blocks := map[problem.Place][]problem.Place{}
	for i := range changes {
		if at, ok := from[changes[i].ID]; ok && changes[i].Kind == Insert {
			row := at.OfRow()
			row.Block = 0
			blocks[row] = append(blocks[row], at.OfRow())
		}
	}
	for i := range ofRows {
		at := ofRows[i].Place.OfRow()
		places := []problem.Place{at}
		if at.Block == 0 {
			places = blocks[at]
		}
		tells := func(by map[said]bool) bool {
			return slices.ContainsFunc(places, func(at problem.Place) bool { return by[said{at, ofRows[i].Gist()}] })
		}
		if tells(told) {
			continue
		}
		p := ofRows[i]
		if tells(later) {
			p.Open = &problem.Open{}
			if c := lacks(&p); c != "" {
				p.Open.Lacks = []string{c}
			}
		}
		*found = append(*found, p)
	}
	read := map[problem.Place]*intake.Block{}
	for i := range again.Blocks {
		read[came(again.Blocks[i].Place)] = &again.Blocks[i]
	}
	for i := range job.Blocks {
		was := &job.Blocks[i]
		if is := read[was.Place]; is != nil {
			if what := otherwise(was, is); what != "" {
				found.Note(was.Place, what+" is not taken over as the file has it", "it could not be typed so that it is read alike", "look at the row here, and type it")
			}
		}
	}
	paper := map[problem.Place]intake.Paper{}
	for _, p := range again.Paper {
		paper[came(p.Place)] = p
	}
	for _, was := range job.Paper {
		is, there := paper[was.Place.OfRow()]
		is.Place, is.Unsaid = was.Place, was.Unsaid
		if !there || is != was {
			found.Note(was.Place, "the paper of the row is not taken over as the file has it", "it could not be typed so that it is read alike", "look at the row on the page Paper, and type it")
		}
	}
}

// lacks is the column of the form by which a problem of a row is settled: the one that it stands in, or, where the table has none, the one whose cell is missing; "" is none.
func lacks(p *problem.Problem) string {
	known := append(Columns(Journaling), spaceColumn)
	if slices.Contains(known, p.Place.Column) {
		return p.Place.Column
	}
	what, missing := strings.CutSuffix(p.What, " is missing")
	if at := slices.IndexFunc(known, func(c string) bool { return "the "+strings.ToLower(c) == what }); missing && at >= 0 {
		return known[at]
	}
	return ""
}

// otherwise names the first thing in which two blocks of one row are not the same, or is "".
func otherwise(a, b *intake.Block) string {
	for _, f := range []struct {
		name string
		of   func(*intake.Block) any
	}{
		{"the name", func(b *intake.Block) any { return b.Owner }},
		{"the page", func(b *intake.Block) any { return b.Page }},
		{"the title", func(b *intake.Block) any { return b.Title }},
		{"the journaling", func(b *intake.Block) any { return b.Text }},
		{"the closing line", func(b *intake.Block) any { return b.End }},
		{"the space", func(b *intake.Block) any { return b.Space }},
		{"the tuck", func(b *intake.Block) any { return b.Tuck }},
		{"the inset", func(b *intake.Block) any { return b.Inset }},
		{"the stock", func(b *intake.Block) any { return b.Stock }},
		{"the font", func(b *intake.Block) any { return b.Font }},
		{"the type", func(b *intake.Block) any { return b.Type }},
		{"how many copies it has", func(b *intake.Block) any { return b.Copies }},
		{"whether it may be turned", func(b *intake.Block) any { return b.Turn }},
		{"whether it is held back", func(b *intake.Block) any { return b.Hold }},
		{"what shows behind the ink", func(b *intake.Block) any { return b.Back }},
	} {
		if !reflect.DeepEqual(f.of(a), f.of(b)) {
			return f.name
		}
	}
	return ""
}

// versions tells where much of what is taken in stands in the book already: a later version of a file that was taken in before, or a copy of the book
// in which cells to mend are marked, or the book's own workbook.
func (b *Book) versions(tables []*table.File) (found problem.List) {
	in := b.Input()
	if len(b.Rows(Journaling))+len(b.Rows(Paper)) == 0 {
		return nil
	}
	const undo = "undo the step, unless both are meant: what is new in them can be typed or pasted here"
	tables = slices.Clone(tables)
	for i, t := range tables {
		if t.Name == in.Tables[0].Name { // the workbook's own, which somebody was sent
			tables[i] = t.Called(t.Name + " (as taken in)")
		}
	}
	// A column that waits for its answer stops the print, and no comparison: its rows are in the book, and what stands in it may be their text.
	job, _ := intake.ReadOpen(slices.Concat(in.Tables, tables), b.settings.Load())
	fresh := 0
	for _, t := range tables {
		fresh += job.Compared[t.Name]
	}
	for _, p := range job.Versions {
		if fresh < 2 { // of one row its note tells
			break
		}
		p.Cause, p.Hint = "all rows were taken in, so that blocks are printed twice, or in an old and a new text", undo
		found = append(found, p)
	}
	again, lists := paperAgain(job, in.Tables[0].Name)
	ids := map[string]bool{} // of the rows of the book
	for s := range sheets {
		for _, r := range b.Rows(s) {
			ids[r.ID] = true
		}
	}
	for _, t := range tables {
		if n := again[t.Name]; n > 0 && 2*n >= lists[t.Name] {
			found.Note(problem.Place{File: t.Name}, problem.Count(n, "row of the list of paper is|rows of the list of paper are")+" of stocks and sizes that are in the job already",
				"the sheets of both are counted", "undo the step if these are the same sheets, and correct their counts on the page Paper")
		}
		told := slices.ContainsFunc(found, func(p problem.Problem) bool { return p.Place.File == t.Name && p.Severity == problem.Error })
		if !told && (len(t.State) > 0 && t.State[0] == b.name || bears(t, ids)) {
			found.Add(problem.Place{File: t.Name}, "the file is this job's own workbook, or a copy of it", "where its rows are in the job, each block and each sheet of paper is there twice now, as it was and as it was changed", undo)
		}
		if len(found) == 0 && len(t.Sources) > 0 {
			found.Add(problem.Place{File: t.Name}, fmt.Sprintf("the file is a copy of %s with the cells to mend marked", problem.And(t.Sources)),
				"where those rows are in the job, each block is there twice now", undo)
		}
	}
	return append(found, job.Units...) // what is told of the new tables among themselves is found where they are read
}

// paperAgain counts the rows of paper of each file but the book's, and those of them that are of a stock and a size that the book has.
func paperAgain(job *intake.Job, book string) (again, all map[string]int) {
	again, all = map[string]int{}, map[string]int{}
	had := map[intake.Paper]bool{} // nothing but the kind of sheet
	for _, p := range job.Paper {
		kind := intake.Paper{Stock: p.Stock, Size: p.Size, Leftover: p.Leftover}
		if p.Place.File == book {
			had[kind] = true
			continue
		}
		if all[p.Place.File]++; had[kind] {
			again[p.Place.File]++
		}
	}
	return again, all
}

// bears reports tables in which a row of the book is named by its id: its own, however they came back.
func bears(f *table.File, ids map[string]bool) bool {
	for _, s := range f.Sheets {
		for i := range s.Rows {
			if slices.ContainsFunc(s.Rows[i].Cells, func(c table.Cell) bool { return ids[c.Text] }) {
				return true
			}
		}
	}
	return false
}
