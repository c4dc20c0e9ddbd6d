package jobbook

import (
	"fmt"
	"maps"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// A column whose heading nobody knows waits in the job until somebody says what it is. What was told of it when its file was taken in hangs on that answer, and what was not told
// then, since it was no column of measures, comes with the answer.

// asking gives the problems that hang on columns which are not known the headings that these have in the book.
func asking(found problem.List, typed []intake.TypedSheet, tables map[problem.Place]string) {
	for i := range found {
		p := &found[i]
		if p.Open == nil {
			continue
		}
		open := *p.Open
		open.Of = tables[problem.Place{File: p.Place.File, Sheet: p.Place.Sheet}]
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

// Waiting is a heading that nobody knows, of one table that came in, as the book knows it; of "" it is that of any.
type Waiting struct{ Of, Heading string }

// Waits are those of some headings below which something stands.
func (b *Book) Waits(headings []string) map[Waiting]bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	out := map[Waiting]bool{}
	for _, r := range b.now.Rows[Journaling] {
		for _, h := range headings {
			if r.Cells[h] != "" {
				out[Waiting{"", h}] = true
				if of := b.came[r.ID]; of != "" {
					out[Waiting{of, h}] = true
				}
			}
		}
	}
	return out
}

// Stands reports changes of cells of the journaling of which some still hold.
func (b *Book) Stands(changes []Change) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	rows := map[string]int{}
	for i := range b.now.Rows[Journaling] {
		rows[b.now.Rows[Journaling][i].ID] = i
	}
	return slices.ContainsFunc(changes, func(c Change) bool {
		i, there := rows[c.ID]
		return there && b.now.Rows[Journaling][i].Cells[c.Column] == c.Text
	})
}

// cameFrom is the table that a row came from, as the book knows it, or "".
func (b *Book) cameFrom(id string) string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.came[id]
}

// comes notes the tables that rows come from; mu is held.
func (b *Book) comes(changes []Change) {
	for i := range changes {
		if c := &changes[i]; c.Kind == Insert && c.came != "" {
			if b.came == nil {
				b.came = map[string]string{}
			}
			b.came[c.ID] = c.came
		}
	}
}

// origins gives each row that comes in the table that it comes from: what hangs on the columns of one hangs on no other's of the same heading. A table is known by its first row.
func origins(changes []Change, from map[string]problem.Place) map[problem.Place]string {
	tables := map[problem.Place]string{}
	for i := range changes {
		c := &changes[i]
		if c.Kind != Insert {
			continue
		}
		at := problem.Place{File: from[c.ID].File, Sheet: from[c.ID].Sheet}
		if tables[at] == "" {
			tables[at] = c.ID + "\n" + at.File
		}
		c.came = tables[at]
	}
	return tables
}

// Answered are changes that put what stands in rows of the journaling below a heading that nobody knew below those of the form, as they would have been if that heading had been the
// form's: a measure of which it cannot be told in what it is says so. With them comes what Take would have told of the units of the file; what it has told of other measures of these rows is
// not told again.
func (b *Book) Answered(heading string, changes []Change) ([]Change, problem.List) {
	set := map[string]map[string]int{} // of each row the changes of its cells
	for i, c := range changes {
		if c.Kind == Set && c.Sheet == Journaling {
			if set[c.ID] == nil {
				set[c.ID] = map[string]int{}
			}
			set[c.ID][c.Column] = i
		}
	}
	var groups []*answeredTable
	by := map[string]*answeredTable{}
	rows, unit := b.Rows(Journaling), b.Unit()
	desk := [][]string{withUnits(deskColumns, unit)}
	for _, r := range rows {
		if set[r.ID] == nil {
			desk = append(desk, sidesOf(r.Cells, deskColumns))
			continue
		}
		from := b.cameFrom(r.ID)
		g := by[from]
		if g == nil {
			g = &answeredTable{from: from}
			by[from], groups = g, append(groups, g)
		}
		was := maps.Clone(r.Cells)
		for c, i := range set[r.ID] {
			r.Cells[c] = changes[i].Text
		}
		g.rows, g.was, g.is = append(g.rows, r.ID), append(g.was, measures(was)), append(g.is, measures(r.Cells))
	}
	others, paper := table.New(desk), table.New(b.paperSides())
	others.Name, paper.Name = Journaling.String(), Paper.String()
	desks := []*table.Sheet{others, paper}
	for _, t := range desks {
		t.File, t.Desk = filepath.Base(b.path), true
	}
	look := func(columns []string, of func(*answeredTable) [][]string) intake.AnsweredUnits {
		var tables []*table.Sheet
		for i, g := range groups {
			cells := [][]string{columns}
			for _, row := range of(g) {
				cells = append(cells, append([]string{"Ann", "In May"}, row...)) // whoever and whatever it is
			}
			t := table.New(cells)
			t.File = fmt.Sprintf("answered %d", i+1) // a heading may name a unit, and so may a file's name
			tables = append(tables, t)
		}
		return intake.UnitsAnswered(tables, desks, unit)
	}
	columns := slices.Clone(answeredColumns)
	for i, c := range columns { // a heading with another unit than the job's has put that beside each number
		if intake.NamesUnit(heading, unit) && slices.ContainsFunc(changes, func(o Change) bool { return o.Kind == Set && o.Sheet == Journaling && o.Column == c && o.Text != "" }) {
			columns[i] += " (" + unit.String() + ")"
		}
	}
	was, is := look(answeredColumns, func(g *answeredTable) [][]string { return g.was }), look(columns, func(g *answeredTable) [][]string { return g.is })
	var found problem.List
	for i, g := range groups {
		if len(was.Of[i].Notes) == 0 {
			found = append(found, is.Of[i].Notes...)
		}
		for k, id := range g.rows {
			for n, c := range sideColumns {
				text := g.is[k][n]
				at, answered := set[id][c]
				if !is.Of[i].Open[c] || !intake.Bare(text) || !answered && was.Of[i].Open[c] { // that was asked when it came
					continue
				}
				if answered {
					changes[at].Text = intake.Asked(text)
				} else {
					changes = append(changes, Change{Kind: Set, Sheet: Journaling, ID: id, Column: c, Text: intake.Asked(text)})
				}
			}
		}
	}
	if len(was.Across) == 0 {
		found = append(found, is.Across...)
	}
	for i := range found {
		p := &found[i]
		at := slices.IndexFunc(groups, func(g *answeredTable) bool {
			return p.Place.File == fmt.Sprintf("answered %d", 1+slices.Index(groups, g))
		})
		p.Place = problem.Place{File: "the column " + measure.Quote(heading)}
		for k, g := range groups {
			file := "another file"
			if g.file() != "" {
				file = measure.Quote(g.file())
			}
			if k == at && len(groups) > 1 && g.file() != "" {
				p.Place.File += " of " + file
			}
			p.What = strings.ReplaceAll(p.What, measure.Quote(fmt.Sprintf("answered %d", k+1)), file)
		}
		if what, cell, has := strings.Cut(p.What, ", as in "); has && at >= 0 {
			p.What = what + ", as in " + measure.Quote(groups[at].cell(cell))
		}
		const beside = "type the unit beside each measure" // there are no headings to change
		ifSo, _, undo := strings.Cut(p.OnPage, ", undo the step")
		if !undo {
			ifSo, _, undo = strings.Cut(p.Hint, ", name it in the headings")
		}
		switch {
		case undo:
			p.OnPage = ifSo + ", " + beside
		case strings.HasPrefix(p.Hint, beside):
			p.OnPage = beside
		}
	}
	return changes, found
}

// answeredTable is the rows of one table whose column was answered.
type answeredTable struct {
	from    string     // the table, as the book knows it; "": it does not know
	rows    []string   // their ids
	was, is [][]string // their measures before and after
}

// file is the name of the file that the rows came from, or "".
func (g *answeredTable) file() string {
	_, file, _ := strings.Cut(g.from, "\n")
	return file
}

// cell is what stands in a cell of the table that the rows make.
func (g *answeredTable) cell(address string) string {
	letters := strings.TrimRight(address, "0123456789")
	n, _ := strconv.Atoi(address[len(letters):])
	for i := range answeredColumns {
		if k := i - (len(answeredColumns) - len(sideColumns)); table.Letters(i) == letters && k >= 0 && n >= 2 && n-2 < len(g.is) {
			return g.is[n-2][k]
		}
	}
	return address
}

var (
	sideColumns     = []string{"Width", "Height", spaceColumn}
	answeredColumns = append([]string{"Name", "Journaling"}, sideColumns...)
	deskColumns     = append(slices.Clone(answeredColumns), "Unit")
	paperColumns    = []string{"Stock", "Width", "Height", "Count"}
)

// withUnits are headings as a desk's workbook has them: those of sides say the unit.
func withUnits(columns []string, unit measure.Unit) (out []string) {
	for _, c := range columns {
		if c == "Width" || c == "Height" {
			c += " (" + unit.String() + ")"
		}
		out = append(out, c)
	}
	return out
}

// sidesOf are the cells of a row below some columns, with another text for the journaling.
func sidesOf(cells map[string]string, columns []string) (out []string) {
	for _, c := range columns {
		text := cells[c]
		if c == "Journaling" && text != "" {
			text = "In May" // long texts cost time
		}
		out = append(out, text)
	}
	return out
}

// paperSides is the desk's paper as a table.
func (b *Book) paperSides() [][]string {
	out := [][]string{withUnits(paperColumns, b.Unit())}
	for _, r := range b.Rows(Paper) {
		out = append(out, sidesOf(r.Cells, paperColumns))
	}
	return out
}

// measures are those of a row's cells that it does not ask about itself.
func measures(cells map[string]string) []string {
	out := sidesOf(cells, sideColumns)
	for i, text := range out {
		if strings.HasSuffix(text, "?") || strings.TrimSpace(cells["Unit"]) != "" && bareMeasure(text) {
			out[i] = ""
		}
	}
	return out
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
