package intake

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// TypedRow is what somebody typed for one block, or for one line of paper, before anything is made of it: for who keeps a job to go on
// typing.
type TypedRow struct {
	Place    problem.Place
	Paper    bool
	ID, Code string  // in a desk's workbook
	Cells    []Field // in the order of the columns; only those with something in them
	At       []int   // the column that each of them stands in, from 0; besideAll: none
}

// besideAll is where what is typed of a row stands that none of its cells says, beside all columns of a sheet.
const besideAll = 1 << 15

// TypedSheet is a table of such rows, and the columns that it has, by the headings of the cells.
type TypedSheet struct {
	Name    string
	Paper   bool
	Head    int // the row of the headings, as the spreadsheet shows it
	Columns []string
	Rows    []TypedRow
}

// Typed are the rows of tables as they were typed. A row that holds several blocks is several rows. The heading of a cell is the form's
// for what its column was taken for; else the column's own, or, where that would be taken for another, "Unknown column F". Bold and italic
// of the journaling stand in it as Markup has them. A measure without a unit is in the unit given: one of a table with another unit
// has it written behind it. A name taken from above is the name itself. Of cells that do not say what
// a person sees, such as formulas without a result, it is said so, as of a formula that does not work out.
func Typed(tables []*table.File, s *config.Settings, unit measure.Unit) []TypedSheet {
	said, _ := readTold(s)
	var of []*scribe
	var asked asked
	var units across
	for _, t := range tables {
		if t.IsReport() {
			continue
		}
		for _, tab := range t.Sheets {
			sh := newSheet(tab, said)
			if u := sh.classify(); !sh.IsOurs() && !sh.Hidden && u != nothing {
				if u == paper {
					sh.use = u // for what stands above it to say its unit
				}
				sh.reportColumns(s.Unit) // and what its measures are in
				if sh.mixed || asked.beyond(sh) {
					continue
				}
				if u == journaling {
					units.add(sh)
				}
				of = append(of, &scribe{builder: newBuilder(s), sheet: sh, unit: unit, of: u, has: map[string]bool{}, names: map[int]string{}})
			}
		}
	}
	var out []TypedSheet
	for _, t := range of { // what is said of all tables is known now
		if t.of == paper {
			units.openPaper(t.sheet)
		}
		out = append(out, t.table())
	}
	return out
}

// scribe takes down the rows of a sheet.
type scribe struct {
	*builder
	sheet   *Sheet
	unit    measure.Unit
	of      use
	has     map[string]bool       // headings that are noted
	names   map[int]string        // of columns that have no heading of their own
	unasked bool                  // it may have measures in columns that nobody has said so of yet
	unitToo string                // what TakenFor has to know of the unit then, of rows that do not say it; "": nothing
	perhaps map[int]content       // of columns, from 0, of texts, of which one may be told to be the journaling
	long    map[sharedText]string // how long texts are typed: a thousand cells may share one
}

// sharedText is what cells that share a text have in common.
type sharedText struct {
	text string
	runs *table.Run // the first; nil: the text is not rich
}

// longText is how long a text is, in bytes, whose markup is worth keeping.
const longText = 1 << 12

// markup is the cell's text with its styles.
func (t *scribe) markup(c *table.Cell) string {
	if len(c.Text) < longText {
		return Markup(c)
	}
	key := sharedText{text: c.Text}
	if runs := c.Runs(); len(runs) > 0 {
		key.runs = &runs[0]
	}
	text, known := t.long[key]
	if !known {
		if t.long == nil {
			t.long = map[sharedText]string{}
		}
		text = Markup(c)
		t.long[key] = text
	}
	return text
}

func (t *scribe) table() TypedSheet {
	s := t.sheet
	out := TypedSheet{Name: s.Name, Paper: t.of == paper, Head: s.Rows[s.Head].N}
	if !s.Desk && t.of != paper {
		t.openUnits()
	}
	if s.column(asJournaling) == nil && !s.CSV && !s.Desk && t.of != paper {
		t.perhaps = s.contents()
	}
	for i := range s.Columns {
		t.column(&out, t.heading(&s.Columns[i]))
	}
	for i := s.Head + 1; i < len(s.Rows); i++ {
		e := &entry{builder: t.builder, sheet: s, row: &s.Rows[i]}
		id, _ := e.cell(asID)
		if len(s.sets) > 0 {
			e.set = s.sets[0]
		}
		if id == nil && t.of != paper {
			switch s.headsAgain(e.row) {
			case sameHeadings:
				continue
			case otherHeadings: // what is below them is held, since nothing is known of it
				i = s.lastBelowOthers(i)
				continue
			}
		}
		if len(s.own(e.row)) == 0 && id == nil || t.of == paper && e.bought() && !s.ofLeftovers() && id == nil {
			continue
		}
		e.unitsAbove()
		filled := map[int]bool{}
		for _, set := range s.sets {
			filled[set] = (&entry{builder: t.builder, sheet: s, row: e.row, set: set}).filled()
		}
		any := false
		for _, set := range s.sets {
			if filled[set] {
				any = true
				out.Rows = append(out.Rows, t.row(&entry{builder: t.builder, sheet: s, row: e.row, set: set}, filled))
			}
		}
		if !any {
			out.Rows = append(out.Rows, t.row(e, nil))
		}
	}
	for i := range out.Rows { // of cells that stand under no heading
		for _, c := range out.Rows[i].Cells {
			t.column(&out, c.Heading)
		}
	}
	return out
}

// openUnits looks for columns of measures that nobody has said so of yet. Their unit may have to be known then, and may be that of others.
func (t *scribe) openUnits() {
	s := t.sheet
	others, silent := s.unit, false // a unit that one of their headings says, and whether another says nothing
	for _, c := range s.unknownMeasures() {
		t.unasked = true
		said := unitSaid(c.Heading)
		silent = silent || said.unit == ""
		u, ok := measure.ParseUnit(said.unit)
		if ok && u != s.unit {
			others = u
		}
		for k := range s.Columns {
			if o := &s.Columns[k]; ok && u != s.unit && len(s.missing()) > 0 && o.as.measured() && o.Unit == "" && o.unitOpen == "" {
				o.unitOpen = fmt.Sprintf("the heading %s says %s, and the heading %s says nothing", measure.Quote(c.Heading), u, measure.Quote(o.Heading))
			}
		}
	}
	if u, who := s.unitElsewhere(); t.unasked && who != "" && u != s.unit && s.stated == nil {
		t.unitToo = u.String() + unitAsked + unitOfOthers
	} else if silent && others != s.unit && s.stated == nil && len(s.missing()) > 0 { // which may be what their sizes are in
		t.unitToo = others.String() + unitAsked + unitOfOthers
	} else if t.unasked && s.unit != t.unit {
		t.unitToo = s.unit.String() + unitOfOthers
	}
}

// unitOfOthers is behind the unit of a whole sheet below Unit: what a heading says counts before it.
const unitOfOthers = ", where no heading says so"

// Untyped are the rows, as numbered in the file, that hold something and that Typed leaves out: those above the headings of a table and those from other headings on.
func (s *Sheet) Untyped() (rows []int) {
	for i := 0; i < len(s.Rows); i++ {
		last := i
		switch {
		case i == s.Head:
			continue
		case i > s.Head && s.headsAgain(&s.Rows[i]) == otherHeadings:
			last = s.lastBelowOthers(i)
		case i > s.Head:
			continue
		}
		for ; i <= last; i++ {
			if len(s.own(&s.Rows[i])) > 0 {
				rows = append(rows, s.Rows[i].N)
			}
		}
		i = last
	}
	return rows
}

// column notes a heading; "" is none.
func (t *scribe) column(to *TypedSheet, heading string) {
	if heading != "" && !t.has[heading] {
		t.has[heading] = true
		to.Columns = append(to.Columns, heading)
	}
}

// row takes down one block of a row, or one line of paper. What stands below unknown headings for a block that is not among those that are filled stays with the
// others, below the letter of its column: it is nothing of theirs.
func (t *scribe) row(e *entry, filled map[int]bool) TypedRow {
	r := TypedRow{Place: e.place(nil), Paper: t.of == paper}
	blank := e.blank()
	name, surname, same := e.names()
	switch owner := strings.TrimSpace(name + " " + surname); {
	case e.tooLong():
		e.unreadAbove()
	case owner != "":
		e.isAbove(owner, name, surname, same)
	default:
		e.nobodyAbove()
	}
	for i := range e.row.Cells {
		c := &e.row.Cells[i]
		col := Column{Index: c.Col}
		if k, headed := e.sheet.HeadingAt(c.Col); headed {
			col = e.sheet.Columns[k]
		}
		if col.set != 0 && col.set != e.set && (col.as != asUnknown || filled[col.set]) || c.Covered && blank {
			continue
		}
		if e.set != 0 && col.set == 0 && !col.notRead() {
			if of := e.sheet.columnOf(col.as, e.set); of != nil && of.set != 0 || !slices.Contains(col.some, e.set) && col.some != nil { // the block has a column of its own for it
				continue
			}
		}
		text := t.text(e, c, &col)
		switch {
		case same && !e.sheet.Desk && !col.Double && col.as == asName:
			text = name
		case same && !e.sheet.Desk && !col.Double && col.as == asSurname:
			text = surname
		}
		switch {
		case col.as == asID:
			r.ID = text
		case col.as == asCode:
			r.Code = text
		case strings.TrimSpace(text) != "":
			heading := t.heading(&col)
			if col.set != 0 && col.set != e.set {
				heading = t.letter(&col)
			}
			if heading == "" && col.as == asUnit && e.unitStray() != "" {
				heading = asUnit.String()
			}
			if heading == "" && col.Heading == "" && !e.sheet.Step(e.row, c) { // somebody's words beside the steps of a form
				heading = t.letter(&col)
			}
			if heading != "" {
				at := c.Col
				switch { // each block may have its own
				case col.as == asUnit && !col.Double:
					at = besideAll
				case col.as == asUnknown && col.set == e.set && col.set != 0:
					at = e.sheet.Columns[e.sheet.headed[col.Heading]].Index
				}
				r.Cells, r.At = append(r.Cells, Field{heading, text}), append(r.At, at)
			}
		}
	}
	if !blank {
		t.insteadOfEmpties(e, &r)
	}
	too := t.unitToo
	for _, above := range []string{e.unitAbove(), e.unitWithin()} { // as unitOpen has it
		if t.unasked && above != "" && above != e.sheet.unit.String() {
			too = above + unitAsked + unitOfOthers
		}
	}
	if c, _ := e.cell(asUnit); too != "" && c == nil && len(r.Cells) > 0 {
		r.Cells, r.At = append(r.Cells, Field{asUnit.String(), too}), append(r.At, besideAll)
	}
	if c, _ := e.cell(asLeftover); r.Paper && c == nil && e.sheet.ofLeftovers() && len(r.Cells) > 0 { // which only the sheet's name says
		r.Cells, r.At = append(r.Cells, Field{asLeftover.String(), "yes"}), append(r.At, besideAll)
	}
	return r
}

// insteadOfEmpties takes down what empty cells mean whose headings say it: a desk's own headings say nothing of that.
func (t *scribe) insteadOfEmpties(e *entry, r *TypedRow) {
	for col := range e.saidEmpty() {
		if c, from := e.insteadOfEmpty(col); c != nil {
			r.Cells, r.At = append(r.Cells, Field{t.heading(from), t.text(e, c, from)}), append(r.At, col.Index)
		}
	}
}

// heading is what the cells of a column stand under; "" where they are not typed.
func (t *scribe) heading(c *Column) string {
	switch {
	case c.as == asFits || c.as == asID || c.as == asCode:
		return ""
	case c.as == asUnit && !c.Double && !t.unasked: // it stands beside each measure; else it is for TakenFor
		return ""
	case !c.Double && c.as != asUnknown:
		return c.as.String()
	case t.sheet.forSteps(c.Index) && c.Heading == "":
		return ""
	case c.Heading == "" || c.as != asUnknown || deskHeading(c.Heading) != asUnknown:
		return t.letter(c)
	}
	return c.Heading
}

// Made reports a heading that Typed made for a column without one of its own.
func Made(heading string) bool { return strings.HasPrefix(heading, noHeading) }

// PlainHeading is a heading as it is compared: what is said of one heading is said of all that are the same so.
func PlainHeading(heading string) string { return plainLetters(heading) }

// noHeading begins what the cells of a column stand under that has no heading of its own. Whatever follows, it means nothing as a heading.
const noHeading = "Unknown column "

// letter is what the cells of a column stand under that has no heading of its own: its letter, what it said, and where it comes from, so that what somebody answers about
// it is said of no other column; and where another column is headed so, as in the workbook of a desk that has taken such cells before, a number. "Column W" would be taken for the width.
func (t *scribe) letter(c *Column) string {
	if name, known := t.names[c.Index]; known {
		return name
	}
	own := noHeading + c.Letter()
	says := c.Heading
	if t.sheet.Copied {
		for _, cell := range t.sheet.below(c) {
			if says == "" && !blank(cell) {
				says = line(cell.Text)
			}
		}
	}
	if says != "" {
		own += " " + measure.Quote(inShort(says, 24))
	}
	if file, _ := t.sheet.fileName(); file != "" {
		own += " of " + inShort(file, 28)
	}
	if t.sheet.Name != "" {
		own += ", " + inShort(t.sheet.Name, 16)
	}
	name := own
	for n := 2; slices.ContainsFunc(t.sheet.Columns, func(o Column) bool { return o.Index != c.Index && o.Heading == name }); n++ {
		name = fmt.Sprintf("%s (%d)", own, n)
	}
	t.names[c.Index] = name
	return name
}

// inShort is a text of at most so many characters: its beginning and its end.
func inShort(text string, most int) string {
	all := []rune(strings.Join(strings.Fields(text), " "))
	if len(all) <= most {
		return string(all)
	}
	return strings.TrimSpace(string(all[:most/2-2])) + "..." + strings.TrimSpace(string(all[len(all)-most/2+1:]))
}

// unitAsked is behind a measure of which it cannot be told in what it is, so that it is asked about where it was written down, too.
const unitAsked = " ?"

// notThere stands for what cannot be told, so that the row is held in what is written of it, too: it is one of faults.
const notThere = "#N/A"

// shows is what a cell shows.
func shows(c *table.Cell) string {
	if c.Kind == table.Uncomputed {
		return notThere
	}
	return c.Text
}

// Written is what a cell of the row Rows[i] says where the table is written down again as it stands, in cells of text: of what is printed what a person
// sees, of a measure or a count what is stored. What cannot be told is said so, as in Typed.
func (s *Sheet) Written(i int, c *table.Cell) string {
	k, headed := s.HeadingAt(c.Col)
	if i <= s.Head || !headed || s.Columns[k].as == asUnknown { // what it is for may be said yet
		switch exact := c.ExactText() + c.OtherUnit(); {
		case c.Kind == table.Uncomputed && i > s.Head:
			return notThere
		case c.Kind == table.Number && besideNumber(c.Text) != besideNumber(exact): // 4 1/2, stored as 4
			return c.Text
		default:
			return exact
		}
	}
	col := &s.Columns[k]
	if e := (&entry{sheet: s, row: &s.Rows[i]}); c.Kind == table.Uncomputed || e.unseen(c, col) {
		return notThere
	}
	if col.as == asPrice {
		return pricedAs(c, col)
	}
	return s.says(c, col)
}

// besideNumber is what stands in a text besides the digits of a number.
func besideNumber(text string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsDigit(r) || unicode.IsSpace(r) || strings.ContainsRune(".,-", r) {
			return -1
		}
		return r
	}, text)
}

// says is what a cell of a column says: of a measure or a count what is stored, of all else what a person sees, of a title without its markup.
func (s *Sheet) says(c *table.Cell, col *Column) string {
	switch col.as {
	case asWidth, asHeight, asSpace, asTuck, asInset, asSize:
		return c.ExactText() + c.OtherUnit()
	case asCopies, asCount:
		if _, known := countIn(c); known {
			return c.ExactText()
		}
		return c.Text
	case asTitle:
		if s.CSV {
			return flat([]Paragraph{parseMarkup(line(c.Text))})
		}
	}
	return c.Text
}

// text is what the cell says, as it would be typed.
func (t *scribe) text(e *entry, c *table.Cell, col *Column) string {
	own := likeAbove(col.as) && !col.Double && !t.sheet.Desk && !e.tooLong() // what the rows below it may take
	if c.Kind == table.Uncomputed || e.unseen(c, col) {
		if own {
			e.unread(col)
		}
		return notThere
	}
	text := e.sheet.says(c, col)
	switch col.as {
	case asPage, asTitle, asWho, asWhere, asWhen:
		switch {
		case !own:
		case len(text) > longestLine:
			e.unread(col)
		case absent(line(text)):
			e.aboveIt().lines[col.Index] = ""
		default:
			if line, same, ok := e.orAbove(col, line(text)); same && ok {
				return line
			}
		}
	case asJournaling:
		if c.Kind == table.Text && !e.sheet.CSV {
			text = t.markup(c)
		}
	case asWidth, asHeight, asSpace, asTuck, asInset:
		from := e.unit(col)
		if c.Kind == table.Date {
			from = t.unit
		}
		return col.plainly(text, from, t.unit, e.unitOpen(c, col) != "")
	case asPrice:
		text = pricedAs(c, col)
	case asUnknown: // it may be told to be a measure, of which what is stored counts, or the journaling, with its bold and italic
		if t.perhaps[col.Index]&hasLong != 0 && c.Kind == table.Text {
			return t.markup(c)
		}
		stored := c.ExactText() + c.OtherUnit()
		shown, err := measure.Parse(c.Text, measure.In)
		if exact, bad := measure.Parse(stored, measure.In); c.Kind == table.Number && err == nil && bad == nil && shown != exact {
			text = stored
		}
	}
	return text
}

// TakenFor is what a row's cell below a heading that no rule knows says once that is told to be another column: a measure is in the unit that the
// heading names, else the row's cell Unit, and is written for where a number alone is in unit, and where the width comes first.
func TakenFor(as, heading string, row map[string]string, unit measure.Unit) string {
	text, col := row[heading], Column{Heading: heading, as: synonyms[plainLetters(as)]}
	col.heightFirst, _ = heightFirst(heading)
	if !col.as.measured() {
		return text
	}
	from, said := unit, unitSaid(heading)
	named, byHeading := measure.ParseUnit(said.unit)
	if byHeading {
		from = named
	}
	open := said.doubtful
	if cell, ofOthers := strings.CutSuffix(row[asUnit.String()], unitOfOthers); strings.TrimSpace(cell) != "" && !(ofOthers && (byHeading || open)) {
		u, ok := aUnit(cell)
		if open = !ok || byHeading && u != named; !open {
			from = u
		}
	}
	return col.plainly(text, from, unit, open && bare(&table.Cell{Text: text}))
}

// plainly is what a measure of the column says where no heading says that the height comes first, and a number alone is in the unit to; from is its unit, which is
// asked about there, too, where it is open. One that cannot be read has behind it what the heading says: whoever mends it goes on from there.
func (c *Column) plainly(text string, from, to measure.Unit, open bool) string {
	if left, doubted := strings.CutSuffix(strings.TrimSpace(text), "?"); doubted && bare(&table.Cell{Text: left}) { // 5 ?
		text, open = strings.TrimSpace(left), true
	}
	if open {
		from = measure.Cm // in which no number is written otherwise than it was typed
	}
	unread := false
	if c.swaps(text) {
		if size, err := c.size(text, from); err == nil {
			text = size.Format(from)
		} else {
			_, err = measure.Parse(text, from)
			unread = err != nil // nor is it one side: 4 1/2
		}
	}
	switch {
	case open:
		text = strings.TrimSuffix(text, " "+from.String()) + unitAsked
	case from != to:
		text = withUnit(text, from, to)
	}
	if unread {
		text += sidesSwapped
	}
	return text
}

// withUnit is a measure, a size or a tuck that was typed where the unit from is understood, for where the unit to is. One that cannot be read has its
// unit, too: whoever mends it goes on from there.
func withUnit(text string, from, to measure.Unit) string {
	text = bareMeasure(text)
	if a, err := measure.Parse(text, from); err == nil {
		if b, _ := measure.Parse(text, to); a != b {
			return text + " " + from.String()
		}
		return text
	}
	if m := sideSaid.FindStringSubmatch(text); m != nil { // 8 wide
		if a, err := measure.Parse(m[1], from); err == nil {
			if b, _ := measure.Parse(m[1], to); a != b {
				return strings.TrimSpace(m[1]) + " " + from.String() + " " + text[len(m[1]):]
			}
			return text
		}
	}
	if a, err := measure.ParseSize(text, from); err == nil {
		if b, _ := measure.ParseSize(text, to); a != b {
			return a.Format(from)
		}
		return text
	}
	if a, err := parseTuck(text, from, measure.Sides{}); err == errSomeUnits {
		return text + unitAsked
	} else if err == nil {
		if b, _ := parseTuck(text, to, measure.Sides{}); a != b {
			return sidesAsTyped(a, from)
		}
		return text
	}
	if _, date := table.ParseDate(text); !date && strings.ContainsFunc(text, unicode.IsNumber) && namedUnit(&table.Cell{Text: text}) == "" {
		return text + " " + from.String()
	}
	return text
}
