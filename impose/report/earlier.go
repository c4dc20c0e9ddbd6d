package report

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// Earlier is a report that an earlier run wrote, to print some of its blocks again.
type Earlier struct {
	Codes []string          // of the blocks that were printed, in the order of the report
	Held  map[string]string // why a block was held back, by its code
	path  string
	raw   []byte      // the workbook as it is
	old   *oldRows    // the same, once it was looked through
	found fs.FileInfo // of the file when it was opened
	texts *intake.Sheet
	paper []string       // sheets that list paper
	lists []*table.Sheet // those
	code  int            // column
	back  int            // column that names the stock of what was printed mirrored
	owed  []account.Owed // by the report's accounts, with all that was printed again
	rows  map[string]*table.Row
	known map[int]bool   // rows of the sheet of texts that are of blocks, printed or held back
	laid  []*table.Sheet // the sheets of blocks, without their rows
	add   string         // to the names of the sheets that a redo adds
}

// Open reads the report at a path. It is nil where the problems say that there is none to be read.
func Open(path string) (*Earlier, problem.List) {
	const hint = "name the report workbook that an earlier run wrote: its name ends in -report.xlsx"
	var list problem.List
	e := &Earlier{path: path, Held: map[string]string{}, rows: map[string]*table.Row{}, known: map[int]bool{}, code: -1, back: -1}
	e.found, _ = os.Stat(path) // where it is not there, the next line says so
	files := table.Read([]string{path}, intake.KnownHeading)
	if len(files) != 1 || files[0].Path != path {
		list.Add(problem.Place{File: e.Name()}, "it is a folder and not a report", "", hint)
		return nil, list
	}
	if files[0].Problems.Errors() > 0 {
		return nil, files[0].Problems
	}
	var err error
	if e.raw, err = os.ReadFile(path); err != nil {
		list = append(list, problem.Problem{Place: problem.Place{File: path}, What: "the report cannot be read", Cause: "the system refused it",
			Hint: "close it in other programs and try again", Disk: true})
		return nil, list
	}
	parts, _ := table.OpenParts(e.Name(), e.raw) // where there are none, who writes it anew says so
	ours := ownOf(files[0].Sheets, parts)
	for _, t := range files[0].Sheets {
		if n := sheetNumber(t.Name, blocksSheet); ours.runs[n] {
			e.laid = append(e.laid, t)
		}
		if t.Name == Texts {
			e.texts = intake.AsJournaling(t)
		} else if intake.IsPaper(t) {
			if e.paper = append(e.paper, t.Name); len(e.paper) > 1 {
				list.Note(problem.Place{File: e.Name(), Sheet: t.Name}, "the paper that is listed here counts besides that of the sheet "+e.paper[0], "", "if it is the same paper, delete one of the two sheets")
			}
			e.lists = append(e.lists, t)
			list = append(list, e.overPaper(t)...)
		} else if !ours.is(t) && !ours.isEmpty(t) {
			list.Note(problem.Place{File: e.Name(), Sheet: t.Name}, "the sheet is not read", "the report has no such sheet", "type what is to be printed otherwise into the sheet "+Texts)
		}
	}
	if e.texts == nil {
		list.Add(problem.Place{File: e.Name()}, "the file is no report of tuckmark", "it has no sheet "+Texts+" with the blocks that were printed", hint)
		return nil, list
	}
	if parts != nil {
		e.add = e.free(parts.Tabs())
	}
	e.code, e.back = e.column(headCode), e.column(headMirrored)
	held := e.column(headHeld)
	for i := e.texts.Head + 1; i < len(e.texts.Rows); i++ {
		r := &e.texts.Rows[i]
		code := strings.ToUpper(textAt(r, e.code))
		if code == "" {
			list = append(list, e.uncoded(r, held)...)
			continue
		}
		if first := e.rows[code]; first != nil {
			list.Note(problem.Place{File: e.Name(), Sheet: e.texts.Name, Row: r.N}, fmt.Sprintf("the block %s has a row already, row %d", code, first.N), "a code is one block's",
				"delete the row that does not hold: until then the first counts")
			continue
		}
		if why := textAt(r, held); why != "" {
			e.Held[code], e.known[r.N] = why, true
			continue
		}
		e.Codes = append(e.Codes, textAt(r, e.code))
		e.rows[code], e.known[r.N] = r, true
	}
	list = append(list, e.overTexts()...)
	return e, append(list, e.readOwed(files[0].Sheets, ours.runs)...)
}

// Name is the file's name without its folder.
func (e *Earlier) Name() string { return filepath.Base(e.path) }

// Changed is a problem where the file is no longer what was opened.
func (e *Earlier) Changed() *problem.Problem {
	now, err := os.Stat(e.path)
	if err == nil && e.found != nil && now.Size() == e.found.Size() && now.ModTime().Equal(e.found.ModTime()) {
		return nil
	}
	return &problem.Problem{Place: problem.Place{File: e.path}, What: "the report was changed while it was read",
		Hint: "wait until the other program has saved it and try again", Disk: true}
}

// column is the column under a heading, or -1.
func (e *Earlier) column(heading string) int {
	for _, c := range e.texts.Rows[e.texts.Head].Cells {
		if strings.EqualFold(strings.Join(strings.Fields(c.Text), " "), heading) { // as it is told of one's own columns
			return c.Col
		}
	}
	return -1
}

// textAt is what a row has in a column, on one line; none has anything in column -1.
func textAt(r *table.Row, col int) string {
	if c := r.At(col); c != nil {
		return strings.Join(strings.Fields(c.Text), " ")
	}
	return ""
}

// Spell spells codes as the report does, whatever their letter case; what it does not have is a problem, with the codes that may
// have been meant.
func (e *Earlier) Spell(codes []string) (spelled []string, list problem.List) {
	for _, typed := range codes {
		typed = strings.TrimSpace(typed)
		upper := strings.ToUpper(typed)
		if r := e.rows[upper]; r != nil {
			spelled = append(spelled, textAt(r, e.code))
			continue
		}
		at := problem.Place{File: e.Name()}
		if why, held := e.Held[upper]; held {
			list.Add(at, fmt.Sprintf("the block %s was held back and never printed", upper), why, "mend its row in the spreadsheet and run make again")
			continue
		}
		hint := "the sheet Blocks of the report lists the codes"
		if near := nearCodes(typed, e.Codes, len(list)); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "? " + hint
		}
		list.Add(at, fmt.Sprintf("there is no block “%s” in the report", typed), "", hint)
	}
	return spelled, list
}

// mostNear is for how many codes that a report does not have others are sought that may have been meant: each is compared with all, and who names more has another report.
const mostNear = 50

// nearCodes are up to three codes that may have been meant, the nearest first, where so many were sought before.
func nearCodes(typed string, codes []string, before int) []string {
	if before >= mostNear {
		return nil
	}
	left := slices.Clone(codes)
	var out []string
	for len(out) < 3 {
		near := config.Near(typed, left)
		if near == "" {
			break
		}
		out = append(out, near)
		left = slices.DeleteFunc(left, func(s string) bool { return s == near })
	}
	return out
}

// Blocks are the blocks of the codes, which must be spelled as the report does, in that order; each has as many copies as its code is named. The
// largest type size of each is the one that it was printed in. Their places are those of the first run.
func (e *Earlier) Blocks(codes []string, settings *config.Settings) ([]intake.Block, problem.List) {
	copies := map[string]int{}
	var order []*table.Row
	for _, c := range codes {
		c = strings.ToUpper(c)
		if copies[c]++; copies[c] == 1 {
			order = append(order, e.rows[c])
		}
	}
	blocks, found := e.texts.Blocks(order, settings)
	byRow := map[int]*table.Row{}
	for _, r := range order {
		byRow[r.N] = r
	}
	list := append(e.tooMerged(), e.added(order)...)
	list = append(list, e.typed(copies)...)
	for _, p := range found { // the report is written as it is read: whatever there is to say is of what somebody typed there since
		ofOther := e.known[p.Place.Row] && byRow[p.Place.Row] == nil
		if p.Kind != problem.Advice && !ofOther && !e.isOverTexts(&p) {
			list = append(list, p)
		}
	}
	file, worksheet, number := e.column(headFile), e.column(headSheet), e.column(headRow)
	for i := range blocks {
		k := &blocks[i]
		r := byRow[k.Place.Row]
		if i > 0 && blocks[i-1].Code == textAt(r, e.code) { // the blocks of a row follow each other
			list.Add(k.Place.OfRow(), fmt.Sprintf("the row of %s has two blocks", blocks[i-1].Code), fmt.Sprintf("the sheet %s has one block in a row, and columns for a second one were added to it", e.texts.Name),
				"empty the cells of the second, or make it with a spreadsheet of its own")
		}
		k.Code = textAt(r, e.code)
		if as := textAt(r, e.back); as != "" && !slices.ContainsFunc(settings.Stocks, func(t config.Stock) bool { return strings.EqualFold(t.Name, as) }) {
			list.Note(k.Place.OfRow(), fmt.Sprintf("%s in the column %s is not read", measure.Quote(as), headMirrored), "it names the stock that the block was printed mirrored on", "to print a stock mirrored, use --mirror")
		}
		if n := copies[strings.ToUpper(k.Code)]; k.Copies > 1 && k.Copies != n { // in a column that somebody added
			list.Note(k.Place.OfRow(), fmt.Sprintf("%s is printed %s, and its row says %d", k.Code, problem.Count(n, "time"), k.Copies), "", "name its code once for each copy")
		}
		k.Copies = copies[strings.ToUpper(k.Code)]
		at := k.Place.OfRow()
		if name := textAt(r, file); name != "" {
			at = problem.Place{File: name, Sheet: textAt(r, worksheet)}
			at.Row, _ = strconv.Atoi(textAt(r, number))
		}
		k.Place = at
	}
	if len(blocks) < len(order) && list.Errors() == 0 {
		list.Add(problem.Place{File: e.texts.File, Sheet: e.texts.Name}, fmt.Sprintf("%d of the blocks cannot be read", len(order)-len(blocks)),
			"their rows were changed", "name another copy of the report")
	}
	return blocks, list
}

// added is a note of the columns with other headings that somebody has added to the rows of blocks.
func (e *Earlier) added(rows []*table.Row) (list problem.List) {
	own := []string{headCode, headHeld, headFile, headSheet, headRow, headMirrored}
	var unread []string
	for i := range e.texts.Columns {
		c := &e.texts.Columns[i]
		ours := slices.ContainsFunc(own, func(heading string) bool { return e.column(heading) == c.Index })
		if c.As == "" && !ours && slices.ContainsFunc(rows, func(r *table.Row) bool { return textAt(r, c.Index) != "" }) {
			unread = append(unread, measure.Quote(c.Heading))
		}
	}
	if len(unread) > 0 {
		list.Note(problem.Place{File: e.Name(), Sheet: e.texts.Name}, intake.NotRead+strings.Join(unread, ", "), "the report has no such column", "type what is to be printed into the column "+textHeading)
	}
	return list
}

// Mirrored reports whether a block was printed mirrored, on the stock that it has; known is false where the report has no word on it, as those had
// that were made before it was kept.
func (e *Earlier) Mirrored(k *intake.Block) (mirrored, known bool) {
	return e.back >= 0 && strings.EqualFold(textAt(e.rows[strings.ToUpper(k.Code)], e.back), k.Stock), e.back >= 0
}

// Paper is what the report says lies in the folder.
func (e *Earlier) Paper(s *config.Settings) ([]intake.Paper, problem.List) {
	paper, list := intake.ReadPaper(e.path, s)
	for i := range list {
		e.inWords(&list[i])
	}
	return paper, list
}

// Hint puts into the hints of errors what helps where blocks are printed again: the text is in the sheet Texts of the report, and what lies in the folder in its
// sheet Leftovers, where a hint says morePaper.
func (e *Earlier) Hint(list problem.List, morePaper string) {
	for i := range list {
		p := &list[i]
		switch {
		case p.Severity != problem.Error || p.Place.Row == 0:
		case p.Hint == morePaper:
			p.Hint = fmt.Sprintf("enter what else lies in the folder in the sheet %s of %s, or change the block's Stock in its sheet %s", leftoversSheet, e.Name(), Texts)
		case p.Kind == problem.OfRow && p.Place.Sheet != leftoversSheet:
			p.Hint += fmt.Sprintf(" (in the sheet %s of %s)", Texts, e.Name())
		}
	}
}
