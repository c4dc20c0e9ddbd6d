package intake

import (
	"context"
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// Read reads the files and folders at the paths and makes blocks of their rows. Files are read in the order of their names,
// however they were given: in one folder, one by one, or some of both. It reports everything that is wrong, in the order of
// the files, sheets and rows: an error with a row holds that row back (it is in Held); one without
// concerns the whole file.
func Read(paths []string, s *config.Settings) (*Job, problem.List) {
	return ReadContext(context.Background(), paths, s, nil)
}

// ReadContext is Read; once the context is done, what comes back is worth nothing. Tick, which may be nil, is told how many rows are done.
func ReadContext(ctx context.Context, paths []string, s *config.Settings, tick func(done, of int)) (*Job, problem.List) {
	j, all := judgeTables(ctx, table.ReadContext(ctx, paths, KnownTo(s)), s, false, tick)
	if len(paths) == 0 {
		all.Add(problem.Place{}, "no file was given", "", "give the workbooks or CSV files to read")
	}
	return j, all
}

// Tables reads the files and folders at the paths as Read does, up to their tables.
func Tables(paths []string, s *config.Settings) []*table.File { return table.Read(paths, KnownTo(s)) }

// KnownTo tells whether a text is the heading of a column that a rule or the settings know.
func KnownTo(s *config.Settings) func(heading string) bool {
	said, _ := readTold(s)
	return func(heading string) bool {
		_, ok := said.of(heading)
		return ok || KnownHeading(heading)
	}
}

// ReadTables is Read for tables that were read from files, or came by another way.
func ReadTables(tables []*table.File, s *config.Settings) (*Job, problem.List) {
	return judgeTables(context.Background(), tables, s, false, nil)
}

// ReadOpen is ReadTables for who asks what stands under headings that are not known: the rows of a table that lacks a column are read, too.
func ReadOpen(tables []*table.File, s *config.Settings) (*Job, problem.List) {
	return judgeTables(context.Background(), tables, s, true, nil)
}

func judgeTables(ctx context.Context, tables []*table.File, s *config.Settings, open bool, tick func(done, of int)) (*Job, problem.List) {
	said, all := readTold(s)
	var files []*fileRead
	var copiesOf []string
	var asked asked
	for _, t := range tables {
		if ctx.Err() != nil {
			return &Job{}, nil
		}
		copiesOf = append(copiesOf, t.Sources...)
		f := readFile(t, s, said)
		for _, sh := range f.sheets {
			if sh.use == journaling && asked.beyond(sh) {
				sh.use = nothing
			}
		}
		f.beside(t, tables)
		files = append(files, f)
	}
	said.notMet(s, &all)
	b := newBuilder(s)
	b.open = open
	b.job.CopiesOf = copiesOf
	b.stop = func() bool { return ctx.Err() != nil }
	if tick != nil {
		done, of := 0, 0
		for _, f := range files {
			for _, sh := range f.sheets {
				of += len(sh.Rows)
			}
		}
		b.tick = func() { done++; tick(min(done, of), of) }
	}
	for _, f := range files {
		for _, sh := range f.sheets {
			if sh.use == journaling || open && sh.misheaded && !sh.mixed {
				b.across.add(sh)
			}
		}
	}
	for _, f := range files {
		for _, sh := range f.sheets {
			switch {
			case sh.use == paper:
				b.readPaper(sh)
				b.job.PaperSheets = append(b.job.PaperSheets, sh)
			case sh.use == journaling && sh.Desk:
				b.owners.keep(sh)
			}
		}
	}
	for _, f := range files {
		b.job.Tables = append(b.job.Tables, problem.Place{File: f.name})
		for _, sh := range f.sheets {
			if sh.Name != "" {
				b.job.Tables = append(b.job.Tables, problem.Place{File: f.name, Sheet: sh.Name})
			}
			switch {
			case sh.use == journaling:
				b.sheet(sh)
				b.job.Sheets = append(b.job.Sheets, sh)
			case sh.misheaded:
				if open && !sh.mixed {
					b.sheet(sh)
				}
				b.job.Unread = append(b.job.Unread, sh)
			}
			b.job.columns(sh.Columns)
		}
	}
	if b.tick != nil {
		tick(1, 1)
	}
	b.job.Versions, b.job.Compared = b.versions(), b.rows
	all = append(append(all, b.job.Versions...), b.samePaper()...)
	before := len(all)
	b.across.tell(&all)
	b.job.Units = b.across.tellDesks(len(all) > before)
	all = append(all, b.job.Units...)
	for _, f := range files {
		all = append(all, f.problems...)
		for _, sh := range f.sheets {
			all = append(all, sh.problems...)
		}
	}
	return b.job, all
}

// ReadPaper reads only the paper that a file lists: its Paper and Leftovers sheets, or the file itself where it is a
// CSV of that kind.
func ReadPaper(path string, s *config.Settings) ([]Paper, problem.List) {
	b := newBuilder(s)
	var all problem.List
	found := false
	var others problem.List // of sheets that are none
	for _, f := range table.Read([]string{path}, KnownHeading) {
		all = append(all, f.Problems...)
		for _, t := range f.Sheets {
			sh := newSheet(t, nil)
			sh.use = paper
			switch use := sh.classify(); {
			case use == paper && !sh.Hidden:
				found = true
				b.readPaper(sh)
				all = append(all, sh.problems...)
			case f.IsReport():
			case sh.IsOurs() || !sh.Hidden && !slices.ContainsFunc(sh.Rows, func(r table.Row) bool { return r.HasOwnCells() }):
				sh.attached()
				others = append(others, sh.problems...)
			case len(sh.Rows) == 0 && !sh.HasAttached():
			case sh.Hidden:
				sh.noteHiddenSheet(&others)
			default:
				others.Note(problem.Place{File: sh.File, Sheet: sh.Name}, "the sheet is no list of paper and was not read", firstRow([]*Sheet{sh}),
					"if it is one, give its columns the headings Stock, Width, Height and Count, or call it Leftovers; if it is journaling, give the file itself as well")
			}
		}
		if !found && len(all) == 0 {
			all.Add(problem.Place{File: f.Name}, "there is no list of paper in the file",
				"no sheet has the headings Stock, Width, Height and Count", "fill in the Paper sheet that `tuckmark form --paper` makes")
		}
	}
	if found {
		all = append(all, others...)
	}
	return b.job.Paper, all
}

// IsPaper reports a table that ReadPaper reads.
func IsPaper(t *table.Sheet) bool { return newSheet(t, nil).classify() == paper }

// fileRead is a file's sheets and what was wrong with the file as a whole.
type fileRead struct {
	name     string // by which places name it
	sheets   []*Sheet
	problems problem.List
}

// readFile judges what each of a file's tables is.
func readFile(t *table.File, s *config.Settings, said told) *fileRead {
	f := &fileRead{name: t.Name, problems: t.Problems}
	at := problem.Place{File: t.Name}
	if t.IsReport() {
		f.problems.Note(at, "the file is the report of an earlier run and was not read",
			"its blocks are printed already, and its leftovers are not taken without being asked for",
			"give it with --paper to use its leftovers")
		f.problems.OnPage("to use its leftovers, type them on the page Paper, or copy its sheet Leftovers into a workbook of its own and take that in")
		return f
	}
	any := len(f.problems) > 0 && len(t.Sheets) == 0
	var aside []*Sheet // none of the job
	for _, tab := range t.Sheets {
		sh := newSheet(tab, said)
		f.sheets = append(f.sheets, sh)
		u := sh.classify()
		if sh.IsOurs() {
			sh.unread("cells that were typed beside what the sheet says", t.TypedInto(tab), "the sheet goes with the form, and nothing is looked for on it",
				"if they are for the page or the one who prints, type them on the sheet Journaling")
		}
		switch {
		case sh.IsOurs() || u == nothing && !sh.Hidden:
			aside = append(aside, sh)
			continue
		case sh.Hidden && len(sh.Rows) == 0 && !sh.HasAttached():
			continue
		case sh.Hidden:
			sh.noteHiddenSheet(&sh.problems)
			continue
		}
		any = true
		if sh.misheaded = u == journaling && !sh.reportColumns(s.Unit); !sh.misheaded {
			sh.use = u
			sh.noteLaidAside()
		}
	}
	if any {
		f.noteUnread() // which of them have nothing told yet
	}
	for _, sh := range aside {
		sh.attached()
	}
	if !any {
		hint := "give the columns headings as the form has them: Name, Journaling, Width, Height"
		why := firstRow(f.sheets)
		if taken, way := tellFirst(f.sheets); way != "" {
			why, hint = "of its first row, "+taken, way
		}
		f.problems.Add(at, "no table of journaling was found in it", why, hint)
		f.problems.OnPage("give the columns in the file headings as the form has them: Name, Journaling, Width, Height; and take the file in again")
	}
	return f
}

// noteLaidAside tells of a sheet that is read though its name says that it may not be of this print.
func (s *Sheet) noteLaidAside() {
	if s.Desk || !laidAside.MatchString(plainLetters(s.Name)) {
		return
	}
	s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, "the sheet is read like any other, though its name says that it may be laid aside", "", "if it is not for this print, delete it from the file")
	s.problems.OnPage("if it is not for this print, undo the step, delete the sheet from the file, and take the file in again")
}

var laidAside = regexp.MustCompile(`\b(?:done|printed|old|archived?|cancell?ed|cop(?:y|ies) of|backup|trash|bin|drafts?|unused|waiting|template|examples?|samples?|test|obsolete|do not|dont|not for|last year|alt|ignore|skip|held|duplicates|spare|withdrawn|on hold|rejected|not used|later|next time|not yet|nicht|erledigt|gedruckt|kopie von|entwurf|vorlage)\b`)

// noteHiddenSheet tells of a sheet that nobody sees.
func (s *Sheet) noteHiddenSheet(to *problem.List) {
	to.Note(problem.Place{File: s.File, Sheet: s.Name}, "the sheet is hidden and was not read", "what nobody sees nobody has checked", "show the sheet if it belongs to the job")
}

// tellFirst says what the headings of the first table were taken for, if its first row may be headings, and how to tell the others.
func tellFirst(sheets []*Sheet) (taken, way string) {
	for _, sh := range sheets {
		if len(sh.Rows) < 2 || len(sh.Rows[0].Cells) < 3 || sh.Hidden {
			continue
		}
		sh.Head = 0
		sh.takeColumns()
		if missing := sh.missing(); len(missing) > 0 && !sh.headIsRow() {
			if way := sh.howToTell(missing); way != addIt {
				return sh.taken(), way
			}
		}
		sh.Head, sh.Columns = -1, nil
	}
	return "", ""
}

// exported is the sheet that Apple's spreadsheet program puts before the tables that it writes as a workbook: it lists them.
const exported = "export summary"

// beside tells where a workbook with the cells to mend marked lies beside a file that its rows are from: neither is the other's
// better, and the rows would be printed twice. A copy that a desk kept of its workbook is told likewise.
func (f *fileRead) beside(t *table.File, all []*table.File) {
	of := table.DeskCopyOf(t.Path)
	for _, o := range all {
		if of != "" && samePath(o.Path, of) {
			f.problems.Add(problem.Place{File: f.name}, fmt.Sprintf("the file is a copy that the desk kept of %s, and both were given", measure.Quote(o.Name)),
				"its rows would be printed twice", "give one of them: the other has what was done at the desk since")
		}
		if o != t && slices.Contains(t.Sources, o.Name) {
			f.problems.Add(problem.Place{File: f.name}, fmt.Sprintf("the file is a copy of %s with the cells to mend marked, and both were given", measure.Quote(o.Name)),
				"its rows would be printed twice", "give one of them: the copy once it is mended, and else the other")
		}
	}
}

// samePath reports two writings of one path.
func samePath(a, b string) bool {
	one, err1 := filepath.Abs(a)
	two, err2 := filepath.Abs(b)
	return err1 == nil && err2 == nil && one == two
}

// firstRow quotes the first row that could have been a heading.
func firstRow(sheets []*Sheet) string {
	for _, sh := range sheets {
		for i := range sh.Rows {
			var out []string
			for j := range sh.Rows[i].Cells {
				if t := line(sh.Rows[i].Cells[j].Text); t != "" && len(out) < 6 {
					out = append(out, measure.Quote(t))
				}
			}
			if len(out) > 0 {
				return fmt.Sprintf("its first row is %s", strings.Join(out, ", "))
			}
		}
	}
	return "there is nothing in its cells"
}
