package jobbook

import (
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/form"
	"tuckmark/intake/table"
)

// reading is a workbook of another program as it was read: what its cells and parts hold, and what became of its rows.
type reading struct {
	file   *table.File
	data   []byte
	typed  []intake.TypedSheet
	theirs [sheets]foreign // with the ids that its rows were known by, or given
	from   begun
	wide   string // why nothing of it was taken over; then the rest is not there
}

// outside is what a workbook holds that would be gone if the desk wrote its own in the place: what is neither in the book, nor in a question that is open, nor
// what the desk writes itself, nor what the other program began with. It looks at what is there, and not at how it was read, so that nothing is lost that
// nobody thought of. Where a part cannot be read, that is said by a holding of the kind HeldPart.
func (b *Book) outside(r *reading) (out []table.Holding) {
	all, ok := r.file.Holdings(r.data)
	if !ok {
		out = append(out, table.Holding{Kind: table.HeldPart, At: "a part that cannot be read", Text: "?"})
	}
	taken := b.takenCells(r)
	ours := b.oursAnyway(r)
	for _, h := range all {
		if h.Kind == table.HeldCell && taken[spot{h.Sheet, h.At}] || ours[plainly(h)] {
			continue
		}
		out = append(out, h)
	}
	return out
}

// spot is a cell of a worksheet.
type spot struct{ sheet, at string }

// takenCells are the cells of rows, and of headings, that the book has, or did have.
func (b *Book) takenCells(r *reading) map[spot]bool {
	taken, rows := map[spot]bool{}, map[problem.Place]*intake.TypedRow{}
	codes := map[string]bool{}
	for _, code := range b.codes {
		codes[code] = true
	}
	texts := b.texts(r.from.base, r.from.saved)
	for s := range sheets {
		for i, from := range r.theirs[s].from {
			known := texts[s][r.theirs[s].rows[i].ID]
			rows[problem.Place{Sheet: from.Place.Sheet, Row: from.Place.Row}] = from
			for k, c := range from.Cells {
				text := tidy(c.Heading, c.Text)
				if text == "" || known[text] || known[as(s, c.Heading, text)] {
					taken[spot{from.Place.Sheet, table.Address(from.At[k], from.Place.Row)}] = true
				}
			}
		}
	}
	heads := map[problem.Place]Sheet{} // rows of headings
	for _, t := range r.typed {
		s := Journaling
		if t.Paper {
			s = Paper
		}
		heads[problem.Place{Sheet: t.Name, Row: t.Head}] = s
	}
	for _, sheet := range r.file.Sheets {
		for i := range sheet.Rows {
			row := &sheet.Rows[i]
			at := problem.Place{Sheet: sheet.Name, Row: row.N}
			s, head := heads[at]
			from := rows[at]
			for k := range row.Cells {
				c := &row.Cells[k]
				text := c.ExactText()
				at := spot{sheet.Name, table.Address(c.Col, row.N)}
				switch {
				case head && b.heads(s, text):
					taken[at] = true
				case from != nil && (text == from.ID && isID(text) || text == from.Code && codes[text]):
					taken[at] = true
				case taken[at] && text != notShown && unshown(from, c):
					delete(taken, at) // a value that nobody can tell, for which another text stands in the book
				}
			}
		}
	}
	return taken
}

// notShown is what a cell is read as whose value cannot be told.
const notShown = "#N/A"

// unshown reports a cell that was read as one whose value cannot be told.
func unshown(from *intake.TypedRow, c *table.Cell) bool {
	if from == nil {
		return false
	}
	k := slices.Index(from.At, c.Col)
	return k >= 0 && from.Cells[k].Text == notShown
}

// texts are those that the rows of the book have, by their ids, and had in some states, and those that are asked about.
func (b *Book) texts(states ...*state) (out [sheets]map[string]map[string]bool) {
	add := func(s Sheet, id, column, text string) {
		if out[s][id] == nil {
			out[s][id] = map[string]bool{}
		}
		out[s][id][text] = true
		out[s][id][as(s, column, text)] = true
	}
	for s := range sheets {
		out[s] = map[string]map[string]bool{}
		for _, from := range append(states, b.now) {
			if from == nil {
				continue
			}
			for _, r := range from.Rows[s] {
				for column, text := range r.Cells {
					add(s, r.ID, column, text)
				}
			}
		}
	}
	for _, q := range b.questions {
		if q.Sheet >= sheets || q.Kind == SetAside || q.Kind == Lost {
			continue
		}
		add(q.Sheet, q.Row, q.Column, q.Mine)
		add(q.Sheet, q.Row, q.Column, q.Theirs)
		for _, choice := range q.Choices {
			for _, c := range choice.Changes {
				if c.Kind == Set {
					add(c.Sheet, c.ID, c.Column, c.Text)
				}
			}
		}
	}
	return out
}

// heads reports a text that heads a column of the book, or one that is asked about.
func (b *Book) heads(s Sheet, text string) bool {
	text = strings.Join(strings.Fields(text), " ")
	return intake.KnownTo(b.settings.Load())(text) || b.now.has(s, text) || slices.Contains([]string{"Id", "Code", "Kept", "Hold"}, text) ||
		slices.ContainsFunc(b.questions, func(q Question) bool { return q.Sheet == s && (q.Theirs == text || q.Mine == text) })
}

// plainly is a holding without what programs change of what they have read, so that ours is known again: the cells that it stands in, and how its lines are broken.
func plainly(h table.Holding) table.Holding {
	h.Text = strings.Join(strings.Fields(h.Text), " ")
	switch h.Kind {
	case table.HeldCell:
		h.At = ""
	case table.HeldComment, table.HeldRunningHead: // on a sheet that was given another name, too
		h.At, h.Sheet = "", ""
	}
	return h
}

// oursAnyway are the holdings of a desk's workbook without rows, by the settings that it was written by since the desk began, and the state that the workbook says it
// shows.
func (b *Book) oursAnyway(r *reading) map[table.Holding]bool {
	ours := map[table.Holding]bool{}
	add := func(s *config.Settings) {
		for _, h := range heldBy(&form.Desk{Unit: b.unit}, s) {
			ours[plainly(h)] = true
		}
	}
	for _, s := range b.before {
		add(s)
	}
	add(b.settings.Load())
	for i, text := range r.file.State {
		_, isUnit := measure.ParseUnit(text)
		if isID(text) || isCarried(text) || i == 1 && strings.Trim(text, "0123456789") == "" || i == 2 && isUnit {
			ours[table.Holding{Kind: table.HeldCell, Sheet: "Lists", Text: text}] = true
		}
	}
	return ours
}

// heldBy is what a desk's workbook holds as it is written.
func heldBy(d *form.Desk, s *config.Settings) []table.Holding {
	var out strings.Builder
	if form.WriteDesk(&out, d, s) != nil {
		return nil // then the book cannot be saved either, which is told
	}
	data := []byte(out.String())
	all, _ := table.Parse("", data, intake.KnownHeading).Holdings(data)
	return all
}
