package form

import (
	"bytes"
	"cmp"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/longsheet"
	"tuckmark/intake/table"
)

// What a marked workbook holds at most; what is beyond is in no job that people send round.
const (
	mostComments = 400
	mostMarked   = 100_000   // the last row
	mostCells    = 4_000_000 // up to the last cell of each row: the library makes those before it, too
	mostCounted  = 2_000     // rows with a count of words that fit
	mostInCell   = 32_767    // UTF-16 units of a text (the limits of Excel)
)

// copied are the tables that a marked workbook has.
func copied(j *intake.Job) []*intake.Sheet { return slices.Concat(j.Sheets, j.Unread, j.PaperSheets) }

// unwritable is why the rows of a job cannot all be written down again, or nil. A copy that lacks something must not be sent round.
func unwritable(j *intake.Job, problems problem.List) *problem.Problem {
	if len(j.Sheets)+len(j.Unread) == 0 { // an earlier one is not replaced by nothing
		return &problem.Problem{What: "no workbook with marks was written", Cause: "no table was read whose cells could be marked", Hint: "mend what else is said, and check again"}
	}
	read, input := map[problem.Place]bool{}, map[problem.Place]bool{}
	for _, s := range copied(j) {
		read[problem.Place{File: s.File}], read[problem.Place{File: s.File, Sheet: s.Name}] = true, true
	}
	for _, at := range j.Tables {
		input[at] = true
	}
	headings := map[string]bool{} // files that are at fault in their headings, which the copy is, too
	for _, s := range j.Unread {
		headings[s.File] = true
	}
	for _, p := range problems {
		at := problem.Place{File: p.Place.File, Sheet: p.Place.Sheet}
		if p.Severity != problem.Error || !input[problem.Place{File: at.File}] {
			continue
		}
		if whole := p.Place == (problem.Place{File: at.File}); !read[at] || whole && !headings[at.File] { // what is said of a whole file would not be said of the copy
			return &problem.Problem{Place: at, What: "no workbook with marks was written", Cause: "something stands in the way that would not show in it: " + p.What,
				Hint: "mend this first, or leave it out, and check again"}
		}
	}
	cells := 0
	for _, s := range copied(j) {
		if at := s.FirstOnHold(); at != (problem.Place{}) {
			return &problem.Problem{Place: at, What: "no workbook with marks was written", Cause: "this block is on hold at the desk, and would be printed from a copy, which no desk has made",
				Hint: "mend what is marked at the desk, or take the block off hold first"}
		}
		for i := range s.Rows {
			r := &s.Rows[i]
			if n := len(r.Cells); n > 0 {
				cells += r.Cells[n-1].Col + 1
			}
			if r.N > mostMarked || cells > mostCells {
				return &problem.Problem{Place: problem.Place{File: s.File, Sheet: s.Name, Row: r.N}, What: "the workbook with the cells to mend would lack this row and what follows",
					Cause: fmt.Sprintf("it is made of tables of up to %d rows", mostMarked), Hint: "move the rows together, delete what is not journaling, and check again"}
			}
			if s.Overflows(i) {
				return &problem.Problem{Place: problem.Place{File: s.File, Sheet: s.Name, Row: r.N}, What: "no workbook with marks was written",
					Cause: "a comma in a text has parted this row, which would look whole in it", Hint: "put the text into quotation marks, and check again"}
			}
			for k := range r.Cells {
				if c := &r.Cells[k]; len(c.Text) > mostInCell && len(utf16.Encode([]rune(c.Text))) > mostInCell {
					return &problem.Problem{Place: problem.Place{File: s.File, Sheet: s.Name, Row: r.N, Cell: table.Address(c.Col, r.N)},
						What:  "the workbook with the cells to mend would lack a part of this text",
						Cause: fmt.Sprintf("a cell of a workbook holds %d characters", mostInCell), Hint: "shorten it, or part it over several rows, and check again"}
				}
			}
		}
	}
	return nil
}

// WriteMarked writes the rows of the job and its lists of paper as a workbook to be sent round: the cells as they were read, those with
// problems coloured, with a comment that says what to mend, and a sheet that lists the problems by person. Rows keep
// their numbers. The workbook can be mended and read again. The error is a problem where the workbook would not be whole.
func WriteMarked(w io.Writer, j *intake.Job, problems problem.List, s *config.Settings) error {
	if p := cmp.Or(unwritable(j, problems), j.Settle(s)); p != nil {
		return p
	}
	m := &copyist{writer: writer{file: excelize.NewFile(), settings: s, styles: map[string]int{}}, job: j,
		taken: map[string]bool{strings.ToLower(table.ProblemsSheet): true, "lists": true}, later: longsheet.Rows{}, at: map[problem.Place][]problem.Problem{}, columns: map[problem.Place][]int{}}
	defer m.file.Close()
	for _, p := range problems {
		if p.Kind == problem.Advice {
			continue // nothing has to come of it: it colours no cell
		}
		p.Place = j.Locate(p.Place)
		m.all = append(m.all, p)
		key := p.Place
		key.Column, key.Block = "", 0 // one cell, whichever block of the row it is of
		m.at[key] = append(m.at[key], p)
		if col, _, err := excelize.CellNameToCoordinates(key.Cell); err == nil {
			m.columns[key.OfRow()] = append(m.columns[key.OfRow()], col-1)
		}
	}
	m.do(m.file.SetSheetName("Sheet1", table.ProblemsSheet))
	m.list()
	for _, s := range slices.Concat(j.Sheets, j.Unread) {
		m.sheet(s, m.name(s))
	}
	for _, s := range j.PaperSheets {
		m.sheet(s, m.paperName(s))
	}
	var sources []string
	for _, s := range copied(j) {
		sources = append(sources, s.File)
	}
	sources = append(sources, j.CopiesOf...) // and so on, where copies are checked and marked again
	slices.Sort(sources)
	_, err := m.file.NewSheet("Lists")
	m.do(err)
	m.lists()
	m.do(m.file.SetSheetVisible("Lists", false))
	m.properties("Journaling to mend", table.CopyOf(slices.Compact(sources)))
	m.file.SetActiveSheet(1)
	if m.err != nil {
		return m.err
	}
	return m.later.Write(w, m.file)
}

type copyist struct {
	writer
	job      *intake.Job
	all      problem.List
	at       map[problem.Place][]problem.Problem // by cell, or by row where the problem names no cell
	columns  map[problem.Place][]int             // by row: those of such cells, from 0
	taken    map[string]bool                     // names of sheets, folded
	later    longsheet.Rows                      // that are made when the workbook is packed
	comments int
}

// list fills the sheet of problems, a line each.
func (m *copyist) list() {
	const sheet = table.ProblemsSheet
	heads := []string{"Whose", "File", "Sheet", "Row", "Cell", "Kind", "What is wrong", "Why", "What to do", table.AsWritten}
	widths := []float64{18, 18, 14, 7, 8, 8, 50, 50, 50, 10}
	for i, h := range heads {
		m.text(sheet, table.Address(i, 1), h)
		m.do(m.file.SetColWidth(sheet, table.Letters(i), table.Letters(i), widths[i]))
	}
	m.do(m.file.SetCellStyle(sheet, "A1", table.Address(len(heads)-1, 1), m.headingStyle()))
	m.do(m.file.SetColVisible(sheet, table.Letters(len(heads)-1), false))
	last := table.Address(len(heads)-1, max(len(m.all), 1)+1)
	style := m.typed()
	m.later[m.part(sheet)] = func(w io.Writer) error {
		var row bytes.Buffer
		cells := make([]longsheet.Cell, len(heads))
		for i, p := range m.all {
			lines, number := 1, ""
			if n := max(p.Place.Row, p.Place.Line); n > 0 {
				number = strconv.Itoa(n)
			}
			said := []string{m.job.Person(p.Place), p.Place.File, p.Place.Sheet, number, p.Place.Cell, p.Severity.String(), p.What, p.Cause, p.Hint}
			for col, s := range append(said, table.Sign(strings.Join(said, " "))) {
				cells[col] = longsheet.Cell{Col: col, Style: style, Value: s}
				lines = max(lines, wrapped(s, widths[col]))
			}
			if number != "" {
				cells[3].Value = max(p.Place.Row, p.Place.Line)
			}
			row.Reset()
			longsheet.WriteRow(&row, i+2, height(lines), cells)
			if _, err := w.Write(row.Bytes()); err != nil {
				return err
			}
		}
		return nil
	}
	if len(m.all) > 0 {
		m.do(m.file.AutoFilter(sheet, "A1:"+last, nil))
	}
	m.do(m.file.SetSheetDimension(sheet, "A1:"+last))
	m.freeze(sheet, 1)
	m.print(sheet, "", 1)
}

// name makes a name for a sheet: the file's and the sheet's, as far as a name of 31 characters holds them.
func (m *copyist) name(s *intake.Sheet) string {
	base := s.File[strings.LastIndexAny(s.File, `/\`)+1:]
	if dot := strings.LastIndexByte(base, '.'); dot > 0 {
		base = base[:dot]
	}
	plain := func(text string) string {
		return strings.Trim(strings.Map(func(r rune) rune {
			if strings.ContainsRune(`[]:*?/\'`, r) || r < ' ' {
				return ' '
			}
			return r
		}, text), " ")
	}
	first, last := plain(base), s.Name // either may say in what all is measured
	if last == "" || strings.EqualFold(last, "Journaling") {
		first, last = cmp.Or(first, "Journaling"), ""
	}
	if u, ok := measure.ParseUnit(s.Name); ok { // "in" says it alone, and "retreat in" does not
		last = "in " + u.Name()
	}
	switch unit := s.UnitOfFile(); {
	case unit != "" && tooLong(strings.TrimSpace(first+" "+plain(last))):
		last += " in " + unit
	case m.saysUnit(s):
		last += " in " + m.settings.Unit.Name()
	}
	return m.free(first, plain(last))
}

// saysUnit reports that the name of a sheet's copy has to say the unit of its measures: only the settings said it, and the copy may be read with others.
func (m *copyist) saysUnit(s *intake.Sheet) bool {
	return (m.settings.Unit != measure.In || m.settings.File != "") && s.UnitUnsaid()
}

// paperName makes a name for a list of paper, by which it is read as one again.
func (m *copyist) paperName(s *intake.Sheet) string {
	base := "Paper"
	if strings.Contains(strings.ToLower(s.Name), "leftover") {
		base = "Leftovers" // the name alone says so
	}
	switch unit := s.UnitOfFile(); {
	case unit != "":
		base += " in " + unit
	case m.saysUnit(s):
		base += " in " + m.settings.Unit.Name()
	}
	named := *s.Sheet
	if named.Name = m.free(base, ""); !intake.IsPaper(&named) {
		m.do(&problem.Problem{Place: problem.Place{File: s.File, Sheet: s.Name}, What: "the workbook with the cells to mend would lack this list of paper",
			Cause: "a workbook has one sheet Paper, and this list is known for one by that name only", Hint: "put both lists into one sheet, and check again"})
	}
	return named.Name
}

// tooLong reports a text that no sheet can be called.
func tooLong(text string) bool { return len(utf16.Encode([]rune(text))) > 31 }

// free is a name that no other sheet has, made of a wished one, of which the last part stays whole if it can.
func (m *copyist) free(base, last string) string {
	for n := 1; ; n++ {
		end := ""
		if n > 1 {
			end = fmt.Sprintf(" %d", n)
		}
		if last != "" {
			end = " " + last + end
		}
		for tooLong(end) {
			end = string([]rune(end)[1:])
		}
		try := base
		for tooLong(try + end) {
			try = string([]rune(try)[:len([]rune(try))-1])
		}
		try = strings.TrimSpace(strings.TrimSpace(try) + end)
		if folded := strings.ToLower(try); !m.taken[folded] {
			m.taken[folded] = true
			return try
		}
	}
}

// sheet copies a table and marks it. A merged cell is copied into each row that reads it: people sort these rows.
func (m *copyist) sheet(s *intake.Sheet, name string) {
	_, err := m.file.NewSheet(name)
	m.do(err)
	widths := map[int]float64{}
	for i := range s.Columns {
		c := &s.Columns[i]
		widths[c.Index] = 15
		if at := m.index(c.Meaning()); at >= 0 {
			widths[c.Index] = columns[at].Form.Width
		}
	}
	m.widen(name, widths)
	head := s.Rows[s.Head].N
	end := min(s.Rows[len(s.Rows)-1].N, head+mostCounted)
	if hasCount(s) && end > head { // the rows that nobody has filled yet
		m.do(m.file.SetCellStyle(name, table.Address(s.Columns[0].Index, head+1), table.Address(s.Columns[len(s.Columns)-1].Index, end), m.typed()))
	}
	held := head // the last row that is given to excelize: those below a table's heading are made as the workbook is packed,
	if hasCount(s) {
		held = max(head, end) // but where formulas are to stand among their cells
	}
	late := len(s.Rows)    // the first of those that are made then
	last, typed := 0, head // column and row in which something stands
	for i := range s.Rows {
		r := &s.Rows[i]
		lines := 1
		for k := range r.Cells {
			c := &r.Cells[k]
			if !s.Counts(i, c) || m.live(s, c, i) {
				continue
			}
			last, typed = max(last, c.Col), max(typed, r.N)
			if r.N <= held {
				lines = max(lines, wrapped(c.Text, max(9, widths[c.Col])))
				m.copy(name, table.Address(c.Col, r.N), s, i, c)
			}
		}
		if r.N <= held {
			m.tall(name, r.N, lines)
		} else {
			late = min(late, i)
		}
	}
	m.do(m.file.SetCellStyle(name, table.Address(0, head), table.Address(last, head), m.headingStyle()))
	m.freeze(name, head)
	m.print(name, "", 1)
	m.choices(name, s)
	if hasCount(s) && end > head {
		m.count(name, s, end, max(intake.FormSteps, last+2))
		m.do(m.file.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Area", RefersTo: fmt.Sprintf("'%s'!$A$1:$%s$%d", name, table.Letters(last), typed), Scope: name}))
	}
	remarked := map[table.Spot][]string{}
	for _, remark := range s.Remarks {
		remarked[remark.Spot] = append(remarked[remark.Spot], remark.Text)
	}
	for i := range s.Rows {
		r := &s.Rows[i]
		m.marks(s, r, func(col int, found []problem.Problem) {
			at := table.Address(col, r.N)
			if style := m.markStyle(found); r.N <= held {
				m.do(m.file.SetCellStyle(name, at, at, style))
			}
			spot := table.Spot{Col: col, Row: r.N}
			m.comment(name, problem.Place{File: s.File, Sheet: s.Name, Cell: at}, found, remarked[spot])
			delete(remarked, spot)
		})
	}
	for _, remark := range s.Remarks { // on cells where nothing is wrong, as in a table that was not read
		if texts := remarked[remark.Spot]; texts != nil {
			m.comment(name, problem.Place{File: s.File, Sheet: s.Name, Cell: table.Address(remark.Spot.Col, remark.Spot.Row)}, nil, texts)
			delete(remarked, remark.Spot)
		}
	}
	if late == len(s.Rows) {
		return
	}
	m.typed() // as all styles, before the workbook is packed
	m.do(m.file.SetSheetDimension(name, "A1:"+table.Address(max(last, s.Columns[len(s.Columns)-1].Index), s.Rows[len(s.Rows)-1].N)))
	m.later[m.part(name)] = func(w io.Writer) error {
		var row bytes.Buffer
		for i := late; i < len(s.Rows); i++ {
			cells, lines := m.lateRow(s, i, widths)
			row.Reset()
			longsheet.WriteRow(&row, s.Rows[i].N, height(lines), cells)
			if _, err := w.Write(row.Bytes()); err != nil {
				return err
			}
		}
		return nil
	}
}

// marks hands on what is to be marked in a row: what is wrong at a column's cell, and in its first cell what is wrong with the whole row.
func (m *copyist) marks(s *intake.Sheet, r *table.Row, f func(col int, found []problem.Problem)) {
	row := problem.Place{File: s.File, Sheet: s.Name, Row: r.N}
	columns := slices.Clone(m.columns[row])
	if len(m.at[row]) > 0 {
		columns = append(columns, s.Columns[0].Index)
	}
	slices.Sort(columns)
	for _, col := range slices.Compact(columns) {
		k, headed := s.HeadingAt(col)
		if !headed {
			continue
		}
		cell := row
		cell.Cell = table.Address(col, r.N)
		found := m.at[cell]
		if k == 0 { // a cell has one comment
			found = slices.Concat(m.at[row], found)
		}
		f(col, found)
	}
}

// lateRow is the row Rows[i] as it is packed, and how many lines it takes.
func (m *copyist) lateRow(s *intake.Sheet, i int, widths map[int]float64) (cells []longsheet.Cell, lines int) {
	r := &s.Rows[i]
	lines = 1
	for k := range r.Cells {
		c := &r.Cells[k]
		if !s.Counts(i, c) || m.live(s, c, i) {
			continue
		}
		lines = max(lines, wrapped(c.Text, max(9, widths[c.Col])))
		plain, rich := inCell(s, i, c)
		cell := longsheet.Cell{Col: c.Col, Style: m.typed(), Value: plain}
		if rich != nil {
			cell.Value = rich
		}
		cells = append(cells, cell)
	}
	m.marks(s, r, func(col int, found []problem.Problem) {
		at, there := slices.BinarySearchFunc(cells, col, func(c longsheet.Cell, col int) int { return c.Col - col })
		if !there {
			cells = slices.Insert(cells, at, longsheet.Cell{Col: col})
		}
		cells[at].Style = m.markStyle(found)
	})
	return cells, lines
}

// hasCount reports a table with the form's live column.
func hasCount(s *intake.Sheet) bool {
	return slices.ContainsFunc(s.Columns, func(c intake.Column) bool { return c.As == "Fits" })
}

// live reports a cell that the form fills in itself: its count of words and the steps to it, which would be out of date.
func (m *copyist) live(s *intake.Sheet, cell *table.Cell, row int) bool {
	if k, headed := s.HeadingAt(cell.Col); headed {
		return s.Columns[k].As == "Fits" && row > s.Head
	}
	return s.Step(&s.Rows[row], cell)
}

// count keeps the live column of a form alive, down to a row. From is the column of its first step.
func (m *copyist) count(name string, s *intake.Sheet, end, from int) {
	c := &counter{writer: &m.writer, columns: map[string]int{}, units: [2]measure.Unit{m.settings.Unit, m.settings.Unit}, from: from}
	for i := range s.Columns {
		col := &s.Columns[i]
		if _, twice := c.columns[col.As]; col.As == "" || col.Double || twice {
			continue
		}
		c.columns[col.As] = col.Index
		if u, ok := measure.ParseUnit(col.Unit); ok && (col.As == "Width" || col.As == "Height") {
			at := 0
			if col.As == "Height" {
				at = 1
			}
			c.units[at] = u
		}
	}
	for _, needed := range []string{"Fits", "Journaling", "Width", "Height"} {
		if _, ok := c.columns[needed]; !ok {
			return
		}
	}
	first := s.Rows[s.Head].N + 1
	fits := table.Letters(c.columns["Fits"])
	m.do(m.file.SetCellStyle(name, fmt.Sprintf("%s%d", fits, first), fmt.Sprintf("%s%d", fits, end), m.liveStyle()))
	c.rows(name, first, end)
	m.fold(name, m.idle(s))
	now := true
	m.do(m.file.SetCalcProps(&excelize.CalcPropsOptions{FullCalcOnLoad: &now}))
}

// idle are the columns that the form folds away and in which nobody typed.
func (m *copyist) idle(s *intake.Sheet) []int {
	var out []int
	for i := range s.Columns {
		c := &s.Columns[i]
		at := m.index(c.As)
		typed := slices.ContainsFunc(s.Rows[s.Head+1:], func(r table.Row) bool {
			cell := r.At(c.Index)
			return cell != nil && strings.TrimSpace(cell.Text) != ""
		})
		if at >= 0 && !columns[at].Form.Short && !typed {
			out = append(out, c.Index)
		}
	}
	return out
}

// choices gives the columns of a copied sheet the drop-downs of the form.
func (m *copyist) choices(name string, s *intake.Sheet) {
	for i := range s.Columns {
		c := &s.Columns[i]
		at := m.index(c.As)
		if at < 0 || c.Double {
			continue
		}
		if list, n := m.listOf(c.As); n > 0 {
			m.choose(name, c.Index, s.Rows[s.Head].N+1, max(s.Rows[len(s.Rows)-1].N, s.Rows[s.Head].N+1), columns[at], list, n)
		}
	}
}

// wrapped is about how many lines a text takes in a column so many characters wide.
func wrapped(s string, width float64) int {
	n := 0
	for _, l := range strings.Split(s, "\n") {
		n += 1 + int(float64(utf8.RuneCountInString(l))*1.05/width)
	}
	return n
}

// tall makes a row high enough for its lines: not every program does so by itself.
func (m *copyist) tall(sheet string, row, lines int) {
	if high := height(lines); high > 0 {
		m.do(m.file.SetRowHeight(sheet, row, high))
	}
}

// height is the height of a row of so many lines, in points; 0 where it is that of all others.
func height(lines int) float64 {
	if lines <= 1 {
		return 0
	}
	return float64(min(lines*15, 400))
}

// copy writes a cell as text, so that nothing in it can become a formula or a date.
func (m *copyist) copy(name, at string, s *intake.Sheet, i int, c *table.Cell) {
	m.do(m.file.SetCellStyle(name, at, at, m.typed()))
	if plain, rich := inCell(s, i, c); rich != nil {
		m.rich(name, at, rich)
	} else {
		m.text(name, at, plain)
	}
}

// inCell is what a cell of the row Rows[i] holds in the copy: rich text, or a plain one.
func inCell(s *intake.Sheet, i int, c *table.Cell) (plain string, rich []table.Run) {
	var runs []table.Run
	for _, r := range intake.Join(s.Journaling(i, c)) {
		runs = append(runs, table.Run(r))
	}
	switch plain, rich = intake.InCell(runs); {
	case rich != nil && len(c.Text) < 30_000:
		return "", rich
	case rich == nil && runs != nil:
		return plain, nil
	}
	return s.Written(i, c), nil
}

// markStyle is that of a cell with problems: red for an error, yellow for a note.
func (m *copyist) markStyle(found []problem.Problem) int {
	colour, name := "FFF2CC", "note"
	if slices.ContainsFunc(found, func(p problem.Problem) bool { return p.Severity == problem.Error }) {
		colour, name = "F8CBAD", "error"
	}
	return m.style(name, func() *excelize.Style {
		return &excelize.Style{NumFmt: textFormat, Border: thin, Alignment: &excelize.Alignment{Vertical: "top", WrapText: true},
			Fill: excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{colour}}}
	})
}

// comment says at a cell what is wrong there, and below it what somebody had remarked on it. The sheet is that of the copy, and at where the cell was.
func (m *copyist) comment(sheet string, at problem.Place, found []problem.Problem, remarks []string) {
	if m.comments++; m.comments > mostComments {
		listed := slices.ContainsFunc(found, func(p problem.Problem) bool { return strings.HasPrefix(p.What, intake.RemarkOn) })
		if len(remarks) > 0 && !listed { // else the list of problems has it
			m.do(&problem.Problem{Place: at, What: "the workbook with the cells to mend would lack what is remarked on its cells", Cause: fmt.Sprintf("it has comments on %d cells already", mostComments), Hint: "mend the headings in the table itself, and check again"})
		}
		return
	}
	var lines []string
	for _, p := range found {
		if strings.HasPrefix(p.What, intake.RemarkOn) && len(remarks) > 0 {
			continue
		}
		l := p.What + "."
		if p.Hint != "" {
			l += " To do: " + p.Hint + "."
		}
		lines = append(lines, l)
	}
	text := table.Ours + ": " + strings.Join(lines, "\n") // which is known for ours where a program leaves the author out
	if len(text) > 2000 {
		text = quoteEnd(text, 1900)
	}
	if text = table.Signed(text); len(lines) == 0 {
		text = ""
	}
	text = strings.TrimSpace(text + "\n" + strings.Join(remarks, "\n"))
	m.do(m.file.AddComment(sheet, excelize.Comment{Cell: at.Cell, Author: table.Ours, Text: text, Width: 280,
		Height: uint(40 + 20*(len(text)/38))}))
}

// quoteEnd cuts a text short, at a whole character.
func quoteEnd(s string, n int) string { return strings.ToValidUTF8(s[:n], "") + " …" }
