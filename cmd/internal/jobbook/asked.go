package jobbook

import (
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// A column whose heading nobody knows waits in the job until somebody says what it is. What was told of it when its file was taken in hangs on that answer, and what was not told
// then, since it was no column of measures, comes with the answer.

// asking gives the problems that hang on columns which are not known the headings that these have in the book.
func asking(found problem.List, typed []intake.TypedSheet) {
	for i := range found {
		p := &found[i]
		if p.Open == nil {
			continue
		}
		open := *p.Open
		for _, t := range typed {
			if t.Paper || len(t.Rows) == 0 || t.Rows[0].Place.File != p.Place.File || t.Name != p.Place.Sheet {
				continue
			}
			var unknown []string
			for _, c := range t.Columns {
				if !intake.KnownHeading(c) {
					unknown = append(unknown, c)
				}
			}
			if len(open.Asks) != 1 || !slices.Contains(unknown, open.Asks[0]) {
				open.Asks = unknown
			}
		}
		p.Open = &open
	}
}

// UnitsOf is what there is to say of units once changes have put measures of some rows of the journaling, which stood below a heading that nobody knew, below one of the form: what Take
// would have told of the file if its heading had been known. What it has told of other measures of these rows is not told again.
func (b *Book) UnitsOf(heading string, changes []Change) problem.List {
	set := map[string]map[string]string{}
	for _, c := range changes {
		if c.Kind == Set && c.Sheet == Journaling {
			if set[c.ID] == nil {
				set[c.ID] = map[string]string{}
			}
			set[c.ID][c.Column] = c.Text
		}
	}
	columns := []string{"Name", "Journaling", "Width", "Height", spaceColumn}
	was, is := [][]string{columns}, [][]string{columns}
	var others []Change
	for _, r := range b.Rows(Journaling) {
		if set[r.ID] == nil {
			continue
		}
		others = append(others, Change{Kind: Remove, Sheet: Journaling, ID: r.ID})
		row := func(cells map[string]string) (out []string) {
			for _, c := range columns {
				text := cells[c]
				if strings.HasSuffix(text, "?") || strings.TrimSpace(cells["Unit"]) != "" && bareMeasure(text) { // the row asks about it itself
					text = ""
				}
				out = append(out, text)
			}
			return out
		}
		was = append(was, row(r.Cells))
		for c, text := range set[r.ID] {
			r.Cells[c] = text
		}
		is = append(is, row(r.Cells))
	}
	in, err := b.With(others...)
	if err != nil {
		return nil // they are gone, and the changes will be refused
	}
	told := func(cells [][]string) problem.List {
		t := table.New(cells)
		t.File = "answered" // a heading may name a unit, and so may a file's name
		job, _ := intake.ReadOpen(append(slices.Clone(in.Tables), &table.File{Name: t.File, Path: t.File, Sheets: []*table.Sheet{t}}), b.settings.Load())
		return job.Units
	}
	if len(told(was)) > 0 {
		return nil
	}
	found := told(is)
	for i := range found {
		found[i].Place = problem.Place{File: "the column " + measure.Quote(heading)}
		if ifSo, _, undo := strings.Cut(found[i].OnPage, ", undo the step"); undo {
			found[i].OnPage = ifSo + ", type the unit beside each measure"
		}
	}
	return found
}

// bareMeasure reports a measure or a size that hangs on the unit in which a number alone is.
func bareMeasure(text string) bool {
	if a, err := measure.Parse(text, measure.In); err == nil {
		b, err := measure.Parse(text, measure.Cm)
		return err != nil || a != b
	}
	a, err1 := measure.ParseSize(text, measure.In)
	b, err2 := measure.ParseSize(text, measure.Cm)
	return err1 == nil && (err2 != nil || a != b)
}
