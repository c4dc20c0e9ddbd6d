package jobbook

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"tuckmark/intake"
	"tuckmark/intake/form"
)

// foreign is a sheet of a workbook that another program has written.
type foreign struct {
	there   bool // the sheet was found
	columns []string
	rows    []Row              // an id that is missing is ""
	from    []*intake.TypedRow // that they were read from, in the same order; nil: from no workbook
}

// takeOver is the state that keeps what both sides have done since base: ours is that of the desk, theirs that of a workbook which
// another program made of base. Cells that one side alone has changed are that side's. What both changed, and what the desk had and the
// workbook lacks, stays as the desk has it, and is asked about. Base is nil where nobody knows what the other program began with.
//
// Saved is what a program that had base open has saved before, or nil. It may be this one, which saves again: then it has changed what is otherwise than that.
// Or it is another one that has the same open: then it has changed what is otherwise than base. What shows the same as in saved was left alone; where else the
// two would come to different ends, it is asked about. But a text typed anew is taken from a program that is surely the
// same, see knows, and where it shows base again somewhere, what is as in saved may have been typed by another one.
func takeOver(from begun, ours *state, theirs [sheets]foreign) (after *state, asked []Question) {
	base, saved := from.base, from.saved
	if saved != nil && !from.same && !hasSeen(theirs, base, saved) {
		saved = nil
	}
	again, doubt := false, false
	if from.same {
		again, doubt = knows(theirs, base, saved)
	}
	after = &state{Columns: ours.Columns}
	for s := range sheets {
		if !theirs[s].there {
			after.Rows[s] = ours.Rows[s]
			if len(ours.Rows[s]) > 0 {
				asked = append(asked, Question{Kind: SheetGone, Sheet: s, Choices: []Choice{{Key: Keep}}})
			}
			continue
		}
		m := merger{sheet: s, ours: byID(ours.Rows[s]), theirs: theirs[s], again: again, doubt: doubt, own: map[string]bool{}}
		if base != nil {
			m.base, m.baseRows = byID(base.Rows[s]), base.Rows[s]
		}
		if saved != nil {
			m.saved, m.savedRows = byID(saved.Rows[s]), saved.Rows[s]
		}
		if !again {
			for _, old := range from.older {
				m.older, m.olderRows = append(m.older, byID(old.Rows[s])), append(m.olderRows, old.Rows[s])
			}
		}
		m.headings()
		m.recognise(ours.Rows[s])
		m.apart()
		m.rows(ours.Rows[s])
		after.Rows[s] = m.order(ours.Rows[s])
		for _, c := range m.fresh {
			if !after.has(s, c) {
				after.Columns[s] = append(slices.Clip(after.Columns[s]), c)
			}
		}
		asked = append(asked, m.asked...)
	}
	return after, asked
}

// knows reports sheets of a program that has surely saved before what saved is: they show a long text of the journaling that saved has and base has not, and
// where that differs from base they show base's nowhere. Two people may well choose the same stock or name, but do not type the same text into one row.
// Where they show base's somewhere, they are not surely what was saved and more, which is in doubt then.
func knows(theirs [sheets]foreign, base, saved *state) (sure, doubt bool) {
	const long = 20
	for s := range sheets {
		m, was, is := &merger{sheet: s}, byID(base.Rows[s]), byID(theirs[s].rows)
		for i := range saved.Rows[s] {
			had := &saved.Rows[s][i]
			old, now := was[had.ID], is[had.ID]
			text := had.Cells["Journaling"]
			telling := s == Journaling && len(text) >= long
			if old == nil { // its rows of its own have no ids there
				sure = sure || telling && slices.ContainsFunc(theirs[s].rows, func(r Row) bool { return m.alike("Journaling", r.Cells["Journaling"], text) })
				continue
			}
			for _, c := range m.columnsOf(old, had) {
				switch {
				case m.alike(c, old.Cells[c], had.Cells[c]):
				case now == nil || m.alike(c, now.Cells[c], old.Cells[c]):
					return false, true
				case c == "Journaling" && telling && m.alike(c, now.Cells[c], text):
					sure = true
				}
			}
		}
	}
	return sure, false
}

// hasSeen reports sheets that show something that saved has and base has not: a text in its cell, or a row.
func hasSeen(theirs [sheets]foreign, base, saved *state) bool {
	for s := range sheets {
		m, was, had := &merger{sheet: s}, byID(base.Rows[s]), byID(saved.Rows[s])
		for i := range theirs[s].rows {
			r := &theirs[s].rows[i]
			then := had[r.ID]
			if then == nil {
				continue
			}
			old := was[r.ID]
			if old == nil {
				return true
			}
			for _, c := range m.columnsOf(old, then) {
				if text := then.Cells[c]; !m.alike(c, old.Cells[c], text) && m.alike(c, r.Cells[c], text) {
					return true
				}
			}
		}
	}
	return false
}

// showsAll reports whether sheets that were read show all rows of a state.
func showsAll(read [sheets]foreign, s *state) bool {
	for sheet := range sheets {
		m := merger{sheet: sheet}
		if !slices.EqualFunc(read[sheet].rows, s.Rows[sheet], func(a, b Row) bool { return a.ID == b.ID && m.equal(&a, &b) }) {
			return false
		}
	}
	return true
}

// asRead is a state as another side that has it.
func (s *state) asRead() (out [sheets]foreign) {
	for sheet := range sheets {
		out[sheet] = foreign{there: true, columns: slices.Concat(Columns(sheet), s.Columns[sheet])}
		for _, r := range s.Rows[sheet] {
			out[sheet].rows = append(out[sheet].rows, r.clone())
		}
	}
	return out
}

// agreed are the cells that the other side, whose rows have ids by now, has written since base as the desk has: they are noted as its own, too, so
// that the desk does not take them back. Those that are noted already are left out.
func (b *Book) agreed(from begun, theirs [sheets]foreign) (out []Change) {
	base := from.base
	if base == nil { // what the other began with is older than all that is kept, so it has typed itself what came since
		base = b.history.start
	}
	var noted map[cell]bool
	for s := range sheets {
		was, is := byID(base.Rows[s]), byID(b.now.Rows[s])
		var had map[string]*Row
		if from.saved != nil {
			had = byID(from.saved.Rows[s])
		}
		for i := range theirs[s].rows {
			r := &theirs[s].rows[i]
			old, now := cmp.Or(was[r.ID], &Row{}), is[r.ID] // a row that the other has put in itself
			if now == nil {
				continue
			}
			m := &merger{sheet: s}
			for _, c := range m.columnsOf(old, r) {
				if text := now.Cells[c]; !m.alike(c, r.Cells[c], text) || m.alike(c, old.Cells[c], text) || had[r.ID] != nil && m.alike(c, had[r.ID].Cells[c], text) {
					continue
				}
				if noted == nil {
					noted = b.lastByOthers()
				}
				if !noted[cell{s, r.ID, c}] {
					out = append(out, Change{Kind: Set, Sheet: s, ID: r.ID, Column: c, Text: now.Cells[c]})
				}
			}
		}
	}
	return out
}

// lastByOthers are the cells that another program was the last to write.
func (b *Book) lastByOthers() map[cell]bool {
	out := map[cell]bool{}
	for _, s := range b.history.steps {
		for _, c := range s.Changes {
			if c.Kind == Set {
				out[cell{c.Sheet, c.ID, c.Column}] = s.Kind == merged
			}
		}
	}
	return out
}

// merger brings one sheet together.
type merger struct {
	sheet               Sheet
	base, saved, ours   map[string]*Row
	baseRows, savedRows []Row
	older               []map[string]*Row // of what another program may have saved before with the same state open
	olderRows           [][]Row
	again               bool // the program that has saved before saves again, and no other
	doubt               bool // it may well be another one
	theirs              foreign
	own                 map[string]bool // ids that rows of theirs have brought
	lacks               map[string]bool // columns of the base that the workbook has no more
	fresh               []string        // columns that it has more
	moved               []moved         // columns that have another name there
	merged              map[string]Row
	asked               []Question
}

func byID(rows []Row) map[string]*Row {
	m := make(map[string]*Row, len(rows))
	for i := range rows {
		m[rows[i].ID] = &rows[i]
	}
	return m
}

// as is a text as a workbook gives it back.
func as(s Sheet, column, text string) string {
	if strings.TrimSpace(text) == "" {
		return ""
	}
	if s == Journaling {
		return form.DeskText(column, text)
	}
	return text
}

// alike reports cells that show the same.
func (m *merger) alike(column, a, b string) bool {
	return a == b || as(m.sheet, column, a) == as(m.sheet, column, b)
}

// equal reports rows that show the same.
func (m *merger) equal(a, b *Row) bool {
	for c := range a.Cells {
		if !m.alike(c, a.Cells[c], b.Cells[c]) {
			return false
		}
	}
	for c := range b.Cells {
		if !m.alike(c, a.Cells[c], b.Cells[c]) {
			return false
		}
	}
	return true
}

// shows is what a row shows: rows that are equal show the same, and no others.
func (m *merger) shows(r *Row) string {
	var out strings.Builder
	for _, c := range slices.Sorted(maps.Keys(r.Cells)) {
		if text := as(m.sheet, c, r.Cells[c]); text != "" {
			fmt.Fprintf(&out, "%q%q", c, text)
		}
	}
	return out.String()
}

// headings finds the columns that the workbook has no more. One whose cells stand under a heading that is new was given another name,
// and is read as what it was.
func (m *merger) headings() {
	m.lacks = map[string]bool{}
	var columns []string
	for i := range m.baseRows {
		for _, c := range slices.Sorted(maps.Keys(m.baseRows[i].Cells)) {
			if !slices.Contains(columns, c) {
				columns = append(columns, c)
			}
		}
	}
	var fresh []string
	for _, c := range m.theirs.columns {
		if !slices.Contains(columns, c) && !slices.Contains(Columns(m.sheet), c) {
			fresh = append(fresh, c)
		}
	}
	for _, c := range columns {
		if slices.Contains(m.theirs.columns, c) {
			continue
		}
		name := m.renamed(c, fresh)
		if name == "" {
			if m.lacks[c] = true; m.saved != nil && !slices.ContainsFunc(m.savedRows, func(r Row) bool { return r.Cells[c] != "" }) {
				continue // it was asked before
			}
			m.asked = append(m.asked, Question{Kind: ColumnGone, Sheet: m.sheet, Column: c, Choices: []Choice{{Key: Keep}, {Key: Drop, Changes: m.clear(c)}}})
			continue
		}
		fresh = slices.DeleteFunc(fresh, func(f string) bool { return f == name })
		m.moved = append(m.moved, moved{len(m.asked), name, map[int]string{}})
		for i := range m.theirs.rows {
			r := &m.theirs.rows[i]
			if text := r.Cells[name]; text != "" {
				r.Cells[c] = intake.WithHeading(c, name, r.Cells)
				delete(r.Cells, name)
				m.moved[len(m.moved)-1].texts[i] = text
			}
		}
		m.asked = append(m.asked, Question{Kind: Renamed, Sheet: m.sheet, Column: c, Mine: c, Theirs: name, Choices: []Choice{{Key: Keep}, {Key: Apart}}})
	}
	m.fresh = fresh
}

// moved is the texts of a column that was given another name, by the rows of theirs, and the question about it.
type moved struct {
	asked int
	name  string
	texts map[int]string
}

// apart says what the answers are that read columns apart, once every row has an id that no other has.
func (m *merger) apart() {
	for _, v := range m.moved {
		q := &m.asked[v.asked]
		changes := []Change{{Kind: head, Sheet: m.sheet, Column: v.name}}
		for _, i := range slices.Sorted(maps.Keys(v.texts)) {
			id := m.theirs.rows[i].ID
			changes = append(changes, Change{Kind: Set, Sheet: m.sheet, ID: id, Column: v.name, Text: v.texts[i]}, Change{Kind: Set, Sheet: m.sheet, ID: id, Column: q.Column, Was: m.theirs.rows[i].Cells[q.Column]})
		}
		q.Choices[1].Changes = changes
	}
}

// renamed is the new heading under which most of a column's cells stand, or "".
func (m *merger) renamed(column string, fresh []string) (name string) {
	most, cells := 0, 0
	for _, f := range fresh {
		same := 0
		cells = 0
		for i := range m.theirs.rows {
			r := &m.theirs.rows[i]
			was := m.base[r.ID]
			if was == nil || was.Cells[column] == "" {
				continue
			}
			cells++
			if m.alike(column, was.Cells[column], r.Cells[f]) {
				same++
			}
		}
		if same > most && 2*same >= cells {
			name, most = f, same
		}
	}
	return name
}

// clear is the changes that empty a column.
func (m *merger) clear(column string) (changes []Change) {
	for i := range m.baseRows {
		if r := &m.baseRows[i]; r.Cells[column] != "" {
			changes = append(changes, Change{Kind: Set, Sheet: m.sheet, ID: r.ID, Column: column, Was: r.Cells[column]})
		}
	}
	return changes
}

// recognise gives every row of theirs an id that no other has. Of two rows with one id the one on the desk's own sheet, of those the one that is as it was, else the first,
// keeps it: the other is a copy. Whether a row that was copied and changed is a new one is clear on one sheet only: who copies a sheet keeps it for later. A row without one is known again by all its cells, else by its text.
func (m *merger) recognise(ours []Row) {
	rows := m.theirs.rows
	owner := map[string]int{}
	for i := range rows {
		id := rows[i].ID
		if !isID(id) {
			rows[i].ID = ""
			continue
		}
		first, twice := owner[id]
		switch {
		case twice && m.sheetOf(first) != m.sheetOf(i):
			if m.sheetOf(i) == m.sheet.String() {
				owner[id] = i
			}
		case !twice || m.base[id] != nil && !m.equal(m.base[id], &rows[first]) && m.equal(m.base[id], &rows[i]):
			owner[id] = i
		}
	}
	copied := map[int]int{} // to the row that it is a copy of
	for i := range rows {
		if id := rows[i].ID; id != "" && owner[id] != i {
			copied[i], rows[i].ID = owner[id], ""
		}
	}
	for id := range owner {
		m.own[id] = true
	}
	var lost []*Row           // rows that none of theirs is known as, each in all the states in which one may be known
	free := map[string]bool{} // by their ids, those of them that none has been known as yet
	for _, list := range append([][]Row{m.baseRows, m.savedRows, ours}, m.olderRows...) {
		for i := range list {
			if _, found := owner[list[i].ID]; !found {
				lost, free[list[i].ID] = append(lost, &list[i]), true
			}
		}
	}
	has := func(in map[string]*Row, id string) bool { return in[id] != nil }
	// know gives rows the ids of those that are lost and show the same, the first of these first. A copy is known only as a row that such a program has put in
	// itself: as the copy that it has saved before.
	know := func(shows func(r *Row) string, may func(id string) bool) {
		var by [2]map[string][]*Row // for all rows, and for copies
		for of := range by {
			by[of] = map[string][]*Row{}
			for _, r := range lost {
				if free[r.ID] && may(r.ID) && (of == 0 || has(m.saved, r.ID) && !has(m.base, r.ID)) {
					key := shows(r)
					by[of][key] = append(by[of][key], r)
				}
			}
		}
		for i := range rows {
			if rows[i].ID != "" {
				continue
			}
			of := 0
			if _, is := copied[i]; is {
				of = 1
			}
			key := shows(&rows[i])
			same := by[of][key]
			for len(same) > 0 && !free[same[0].ID] { // known by another of its states
				same = same[1:]
			}
			if len(same) > 0 {
				rows[i].ID, same = same[0].ID, same[1:]
				delete(free, rows[i].ID)
			}
			by[of][key] = same
		}
	}
	know(m.shows, func(string) bool { return true })
	if m.sheet == Journaling { // two people type one caption, so a text alone tells nothing of a row that the other program has never seen
		know(func(r *Row) string {
			if text := as(m.sheet, "Journaling", r.Cells["Journaling"]); text != "" {
				return text
			}
			return "\x00" + r.ID // no text has that: a row without one is known by nothing
		}, func(id string) bool { return m.base == nil || has(m.base, id) || has(m.saved, id) })
	}
	for i := range rows {
		if rows[i].ID != "" {
			continue
		}
		rows[i].ID = NewID()
		if of, is := copied[i]; is && (m.equal(&rows[i], &rows[of]) || m.sheetOf(i) != m.sheetOf(of)) {
			m.askToDrop(Copied, rows[i].ID)
		}
	}
}

// sheetOf is the sheet that a row of theirs was read from.
func (m *merger) sheetOf(i int) string {
	if m.theirs.from == nil {
		return ""
	}
	return m.theirs.from[i].Place.Sheet
}

// rows brings the rows together that both sides may have.
func (m *merger) rows(ours []Row) {
	m.merged = map[string]Row{}
	last := m.base // what the program had last
	if m.saved != nil {
		last = m.saved
	}
	have := map[string]bool{}
	for i := range m.theirs.rows {
		their := &m.theirs.rows[i]
		have[their.ID] = true
		mine, was, saved := m.ours[their.ID], m.base[their.ID], m.saved[their.ID]
		had := cmp.Or(saved, was)
		switch {
		case mine == nil && last[their.ID] != nil && m.unchanged(last[their.ID], their) && (!m.doubt || was == nil || m.unchanged(was, their)):
			// the desk has removed it, and nobody has touched it since
		case mine == nil && had != nil: // changed since, or put back by who had removed it
			m.merged[their.ID] = m.cells(had, nil, had, their)
			m.askToDrop(GoneHere, their.ID)
		case mine == nil:
			m.merged[their.ID] = *their
			before := func(old map[string]*Row) bool { return old[their.ID] != nil }
			if m.base == nil && m.own[their.ID] || slices.ContainsFunc(m.older, before) { // it had an id, or it came before, and may have been removed
				m.askToDrop(GoneHere, their.ID)
			}
		default:
			m.merged[their.ID] = m.cells(was, saved, mine, their)
		}
	}
	for i := range ours {
		mine := &ours[i]
		if have[mine.ID] {
			continue
		}
		m.merged[mine.ID] = *mine
		if m.base == nil || last[mine.ID] != nil || m.doubt && m.base[mine.ID] != nil {
			m.askToDrop(GoneThere, mine.ID)
		}
	}
}

// askToDrop asks whether a row that is kept is to go.
func (m *merger) askToDrop(kind QuestionKind, id string) {
	m.asked = append(m.asked, Question{Kind: kind, Sheet: m.sheet, Row: id, Choices: []Choice{{Key: Keep}, {Key: Drop, Changes: []Change{{Kind: Remove, Sheet: m.sheet, ID: id}}}}})
}

// unchanged reports a row that the other program has left as it was.
func (m *merger) unchanged(was, their *Row) bool {
	for _, c := range m.columnsOf(was, their) {
		if !m.lacks[c] && !m.alike(c, was.Cells[c], their.Cells[c]) {
			return false
		}
	}
	return true
}

func (m *merger) columnsOf(rows ...*Row) []string {
	all := map[string]bool{}
	for _, r := range rows {
		if r != nil {
			for c := range r.Cells {
				all[c] = true
			}
		}
	}
	return slices.Sorted(maps.Keys(all))
}

// cells brings the cells of a row together. Was is the row in base, and saved what the program has saved of it before; nil: it was not there, or nobody knows.
func (m *merger) cells(was, saved, mine, their *Row) Row {
	out := mine.clone()
	if out.Cells == nil {
		out.Cells = map[string]string{}
	}
	last := cmp.Or(saved, was)
	back := m.saved != nil && saved == nil && was != nil // the program had removed the row, and shows what it once was
	for _, c := range m.columnsOf(was, saved, mine, their) {
		if m.lacks[c] {
			continue
		}
		a, b := mine.Cells[c], their.Cells[c]
		as := func(r *Row, text string) bool { return m.alike(c, r.Cells[c], text) }
		before := func(old map[string]*Row) bool { r := old[mine.ID]; return r != nil && as(r, b) }
		switch {
		case m.alike(c, a, b), last != nil && as(last, b) && !back && (!m.doubt || was == nil || as(was, b)): // the other program has left it alone
		case slices.ContainsFunc(m.older, before) && !(was != nil && as(was, b)): // it may have left alone what it saved before another one did
			m.askConflict(mine.ID, c, a, b)
		case last != nil && as(last, a) && (as(cmp.Or(was, saved), a) || m.again && !as(was, b)): // the desk has
			if out.Cells[c] = b; b == "" {
				delete(out.Cells, c)
			}
		default:
			m.askConflict(mine.ID, c, a, b)
		}
	}
	return out
}

// askConflict asks which of two texts of a cell is to stand.
func (m *merger) askConflict(id, column, mine, theirs string) {
	m.asked = append(m.asked, Question{Kind: Conflict, Sheet: m.sheet, Row: id, Column: column, Mine: mine, Theirs: theirs,
		Choices: []Choice{{Key: Keep}, {Key: Take, Changes: []Change{{Kind: Set, Sheet: m.sheet, ID: id, Column: column, Text: theirs}}}}})
}

// order puts the rows in the desk's order, or, where the other program has sorted them, in its order. What the other side does not have
// stands behind the row that it stood behind.
func (m *merger) order(ours []Row) []Row {
	ids := func(rows []Row) (out []string) {
		for i := range rows {
			if _, stays := m.merged[rows[i].ID]; stays {
				out = append(out, rows[i].ID)
			}
		}
		return out
	}
	mine, their := ids(ours), ids(m.theirs.rows)
	common := func(list []string, in map[string]bool) (out []string) {
		for _, id := range list {
			if in[id] {
				out = append(out, id)
			}
		}
		return out
	}
	inTheirs := setOf(their)
	lead, more := mine, their
	sorted := func(before []Row) bool { // otherwise than they were
		return !slices.Equal(common(their, setOf(ids(before))), common(ids(before), inTheirs))
	}
	if m.base != nil && sorted(m.baseRows) && (m.saved == nil || sorted(m.savedRows)) {
		lead, more = their, mine
	}
	follow := map[string][]string{} // what stands behind a row of the leading side; "" is the start
	leads := setOf(lead)
	at := ""
	for _, id := range more {
		if leads[id] {
			at = id
			continue
		}
		follow[at] = append(follow[at], id)
	}
	var out []Row
	put := func(list []string) {
		for _, id := range list {
			out = append(out, m.merged[id])
		}
	}
	put(follow[""])
	for _, id := range lead {
		put([]string{id})
		put(follow[id])
	}
	return out
}

func setOf(list []string) map[string]bool {
	m := make(map[string]bool, len(list))
	for _, id := range list {
		m[id] = true
	}
	return m
}

// readSheets are the rows of a workbook as another program has left them.
func readSheets(typed []intake.TypedSheet) (out [sheets]foreign) {
	for i := range typed {
		t := &typed[i]
		s := Journaling
		if t.Paper {
			s = Paper
		}
		f := &out[s]
		f.there = true
		numbered(t, s)
		heading := shortHeadings(t.Columns)
		for _, c := range t.Columns {
			if c := heading[c]; !slices.Contains(f.columns, c) {
				f.columns = append(f.columns, c)
			}
		}
		for k := range t.Rows {
			r := &t.Rows[k]
			row := Row{ID: r.ID, Code: r.Code, Cells: map[string]string{}}
			for _, c := range r.Cells {
				if text := tidy(c.Heading, c.Text); text != "" {
					row.Cells[heading[c.Heading]] = text
				}
			}
			f.rows, f.from = append(f.rows, row), append(f.from, r)
		}
	}
	return out
}

// numbered gives columns of a table that have one heading, of which a row of a book would have one cell, a number from the second on: "Mood (2)".
func numbered(t *intake.TypedSheet, s Sheet) {
	at := map[string][]int{} // the columns with something in them, by heading
	for i := range t.Rows {
		for k, c := range t.Rows[i].Cells {
			if col := t.Rows[i].At[k]; !slices.Contains(at[c.Heading], col) {
				at[c.Heading] = append(at[c.Heading], col)
			}
		}
	}
	type column struct {
		heading string
		at      int
	}
	called := map[column]string{}
	for _, heading := range slices.Clone(t.Columns) {
		cols := at[heading]
		if len(cols) < 2 || (&state{}).has(s, heading) { // a row of several blocks has some columns for each of them
			continue
		}
		slices.Sort(cols)
		n := 2
		for _, at := range cols[1:] {
			col := column{heading, at}
			for called[col] == "" || slices.Contains(t.Columns, called[col]) {
				called[col] = fmt.Sprintf("%s (%d)", heading, n)
				n++
			}
			t.Columns = append(t.Columns, called[col])
		}
	}
	for i := range t.Rows {
		for k := range t.Rows[i].Cells {
			if name := called[column{t.Rows[i].Cells[k].Heading, t.Rows[i].At[k]}]; name != "" {
				t.Rows[i].Cells[k].Heading = name
			}
		}
	}
}

// shortHeadings are headings as a book can have them, by those of a table: without what cannot be printed, and with no more than their first characters where they are
// too long, each its own.
func shortHeadings(headings []string) map[string]string {
	out := map[string]string{}
	taken := map[string]bool{}
	for _, h := range headings {
		if isHeading(h) {
			out[h], taken[h] = h, true
		}
	}
	for _, h := range headings {
		if isHeading(h) {
			continue
		}
		plain := []rune(strings.Join(strings.Fields(tidy("", h)), " "))
		name := "Unknown column"
		for n := 1; ; n++ {
			number := ""
			if n > 1 {
				number = fmt.Sprintf(" (%d)", n)
			}
			if len(plain) > 0 {
				name = strings.TrimSpace(string(plain[:min(len(plain), mostHead-len(number))]))
			}
			if name += number; !taken[name] {
				break
			}
		}
		out[h], taken[name] = name, true
	}
	return out
}
