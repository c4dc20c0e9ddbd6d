package jobbook

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// PathFor is the workbook that files and folders are imported to: a book's own among them, else the one beside the first. Where a link has its name, it
// is the workbook that the link leads to: its journal lies beside that.
func PathFor(inputs []string) string {
	path := naming.Beside(inputs[0], Ending)
	if i := slices.IndexFunc(inputs, IsBook); i >= 0 {
		path = inputs[i]
	}
	return cmp.Or(linked(path), path)
}

// Import opens the book of the files and folders at the paths. One of them that is a book's workbook is opened, and else the book that
// stands beside the first, also where only its journal is left; where there is none yet, it is made, with all rows of the files in it. The files are only read. The list
// says what is wrong with the files; what is wrong with a row is said where the book is read.
func Import(ctx context.Context, inputs []string, s *config.Settings) (*Book, []Question, problem.List, error) {
	if len(inputs) == 0 {
		return nil, nil, nil, &problem.Problem{What: "no file was given", Hint: "give the workbooks or CSV files to read"}
	}
	return ImportAs(ctx, PathFor(inputs), inputs, s)
}

// ImportAs is Import where it is known already at which path the book is: somebody may have written there since.
func ImportAs(ctx context.Context, path string, inputs []string, s *config.Settings) (*Book, []Question, problem.List, error) {
	_, err := os.Stat(path)
	if err == nil {
		b, questions, found, err := Open(path, s)
		if err == nil {
			found = append(found, b.untaken(inputs)...)
		}
		return b, questions, found, err
	}
	gone := errors.Is(err, fs.ErrNotExist)
	if gone {
		if b, found := Left(path, s); b != nil {
			return b, b.Questions(), append(found, b.untaken(inputs)...), nil
		}
	}
	if !gone || slices.Contains(inputs, path) {
		return nil, nil, nil, &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the file cannot be read from the disk", Disk: true}
	}
	files := filesAmong(inputs) // before they are read, so that what is changed meanwhile is told the next time
	_, changes, found := gather(ctx, inputs, s, s.Unit, beyond{})
	if err := ctx.Err(); err != nil {
		return nil, nil, nil, err
	}
	if found.Errors() > 0 && len(changes) == 0 {
		return nil, nil, found, &found[slices.IndexFunc(found, func(p problem.Problem) bool { return p.Severity == problem.Error })]
	}
	b, err := New(path, s, changes...)
	if err == nil {
		b.took(files)
	}
	for _, in := range inputs {
		if named(in) && !IsBook(in) {
			found.Note(problem.Place{File: filepath.Base(in)}, "no desk has written this, so it is read like any other file", "the job is kept in "+measure.Quote(filepath.Base(path)), "")
		}
	}
	return b, nil, found, err
}

// Left opens a book whose workbook was moved or deleted while nobody had it open: what was typed is in the journal, and the workbook is written
// anew. There is none where no journal is left, or one without rows.
func Left(path string, s *config.Settings) (*Book, problem.List) {
	if _, err := os.Stat(filepath.Join(Folder(path), journalName)); err != nil {
		return nil, nil
	}
	b, found, err := open(save.System, path, s)
	if err != nil {
		return nil, nil // whoever begins the job anew is told
	}
	if len(b.Rows(Journaling))+len(b.Rows(Paper)) == 0 {
		b.release()
		return nil, nil
	}
	b.start()
	return b, found
}

// source is a file that rows can be taken from.
type source struct {
	name   string
	digest save.Digest
}

// filesAmong are the files among some and in folders, but for the workbooks of books. One that cannot be read is told where it is taken in.
func filesAmong(inputs []string) (out []source) {
	for f, data := range table.Contents(inputs) {
		if !IsBook(f.Path) {
			out = append(out, source{f.Name, save.DigestOf(data)})
		}
	}
	return out
}

// took notes that the rows of files are in the book.
func (b *Book) took(files []source) {
	b.mu.Lock()
	defer b.mu.Unlock()
	var fresh []save.Digest
	for _, f := range files {
		if !slices.Contains(b.taken, f.digest) {
			b.taken, fresh = append(b.taken, f.digest), append(fresh, f.digest)
		}
	}
	if len(fresh) > 0 && !b.closed {
		_ = b.log(record{Taken: fresh}) // it has told what is wrong
	}
}

// untaken tells of files that were given with the book and whose rows, as they are now, it never took. A book that does not know what it was
// made of is looked through for them.
func (b *Book) untaken(inputs []string) (found problem.List) {
	b.mu.Lock()
	known := b.taken
	b.mu.Unlock()
	if len(known) == 0 {
		return b.lacking(inputs)
	}
	for _, f := range filesAmong(inputs) {
		if !slices.Contains(known, f.digest) {
			found.Add(problem.Place{File: f.name}, "what "+measure.Quote(f.name)+" holds now is not in the job", "it was changed after its rows were taken in, or was not given then; the job lives in its own workbook",
				"copy the rows that are new and paste them here with “Add from a file or a paste”, or give the file another name to begin another job")
		}
	}
	return found
}

// mostAnswers is among how many rows of a book one of a file is looked for by what its unknown columns may have been told to be.
const mostAnswers = 1000

// lacking tells of rows of files that were given with the book and that it has not, by what is in them.
func (b *Book) lacking(inputs []string) (found problem.List) {
	key := func(cells map[string]string) string {
		var k strings.Builder
		for _, c := range slices.Sorted(maps.Keys(cells)) {
			if text := strings.TrimSpace(cells[c]); text != "" && c != "Hold" && c != "Kept" { // what was done here
				fmt.Fprintf(&k, "%q%q", c, text)
			}
		}
		return k.String()
	}
	var rows [sheets][]Row
	var has [sheets]map[string][]int
	var met [sheets]map[int]bool // rows of the book that are some of the files'
	for s := range sheets {
		rows[s], has[s], met[s] = b.Rows(s), map[string][]int{}, map[int]bool{}
		for i := range rows[s] {
			r := &rows[s][i]
			r.Cells = unnumbered(r.Cells)
			k := key(r.Cells)
			has[s][k] = append(has[s][k], i)
		}
	}
	var next [sheets]int // where the row of the book is that follows the last one found so
	answers := map[string]string{}
	answered := func(s Sheet, cells map[string]string, unit measure.Unit) bool {
		for k := range min(len(rows[s]), mostAnswers) {
			if i := (next[s] + k) % len(rows[s]); !met[s][i] && fromAnswers(s, rows[s][i].Cells, cells, answers, unit) {
				next[s], met[s][i] = i+1, true
				return true
			}
		}
		return false
	}
	s, unit := b.settings.Load(), b.Unit()
	for _, t := range intake.Tables(inputs, s) {
		if IsBook(t.Path) {
			continue
		}
		all, lacks := 0, 0
		for _, sheet := range intake.Typed([]*table.File{t}, s, unit) {
			of := Journaling
			if sheet.Paper {
				of = Paper
			}
			for _, r := range sheet.Rows {
				cells := map[string]string{}
				for _, c := range apart(r.Cells, unit) {
					cells[c.Heading] = tidy(c.Heading, c.Text)
				}
				cells = unnumbered(cells)
				all++
				if k := key(cells); len(has[of][k]) > 0 {
					met[of][has[of][k][0]], has[of][k] = true, has[of][k][1:]
				} else if lacks >= mostAnswers || !answered(of, cells, unit) {
					lacks++
				}
			}
		}
		if lacks > 0 {
			found.Note(problem.Place{File: t.Name}, fmt.Sprintf("of %d %s of %s, %d are not in the job as they stand there", all, problem.Noun(all, "row"), measure.Quote(t.Name), lacks),
				"the job lives in its own workbook, which was there before; they may have been changed in it", "where they are lacking here, add them with “Add from a file or a paste”, or give the file another name to begin another job")
		}
	}
	return found
}

// fromAnswers reports whether the cells of a row of a book are those of a file's row once columns that were unknown in it have been told to be others; answers says
// which, by heading, as far as rows before have shown it.
func fromAnswers(s Sheet, own, file, answers map[string]string, unit measure.Unit) bool {
	known := append(slices.Clone(Columns(s)), spaceColumn)
	for c, text := range own {
		if text != "" && file[c] == "" && !slices.Contains(known, c) || c == "Unit" && text != file[c] {
			return false
		}
	}
	left, shown := map[string]string{}, map[string]string{} // what the book has beyond the file, and what that is by this row
	for _, c := range known {
		switch text := strings.TrimSpace(own[c]); {
		case c == "Hold" || c == "Kept" || text == file[c]:
		case file[c] == "":
			left[c] = text
		default:
			return false
		}
	}
	for _, heading := range slices.Sorted(maps.Keys(file)) {
		if slices.Contains(known, heading) || own[heading] == file[heading] {
			continue
		}
		at := slices.IndexFunc(known, func(as string) bool {
			if other := answers[heading]; other != "" && other != as {
				return false
			}
			told := []intake.Field{{Heading: as, Text: intake.TakenFor(as, heading, file, unit)}}
			if left[as] == "" { // its space as width and height
				told = apart(told, unit)
			}
			for _, f := range told {
				if text := tidy(f.Heading, f.Text); left[f.Heading] == "" || left[f.Heading] != text && left[f.Heading] != intake.Asked(text) {
					return false
				}
			}
			for _, f := range told {
				delete(left, f.Heading)
			}
			return true
		})
		if at < 0 {
			return false
		}
		shown[heading] = known[at]
	}
	if len(left) > 0 {
		return false
	}
	maps.Copy(answers, shown)
	return true
}

// ErrNothing is that no row of files could be taken over.
var ErrNothing = errors.New("nothing was taken over")

// Take adds the rows of more files and folders below those of the book, as one step; ErrNothing: there was none to add. The files are only read.
func (b *Book) Take(ctx context.Context, inputs []string) (problem.List, error) {
	files := filesAmong(inputs)
	tables, changes, found := gather(ctx, inputs, b.settings.Load(), b.Unit(), b.beyond())
	if err := ctx.Err(); err != nil {
		return found, err
	}
	if len(changes) == 0 {
		return found, ErrNothing
	}
	found = append(found, b.versions(tables)...)
	_, err := b.Do(changes...)
	if err == nil || onDisk(err) {
		b.took(files)
	}
	return found, err
}

// gather reads the rows of files, as changes that add them to a book in whose measures a number alone is in the unit, and which has some columns already.
func gather(ctx context.Context, inputs []string, s *config.Settings, unit measure.Unit, has beyond) ([]*table.File, []Change, problem.List) {
	tables := intake.Tables(inputs, s)
	if ctx.Err() != nil {
		return nil, nil, nil
	}
	changes, found := takenOver(tables, s, unit, has)
	return tables, changes, found
}

// takenOver are the rows of tables as changes that add them to a book, and what there is to say of all that is not taken over with them.
func takenOver(tables []*table.File, s *config.Settings, unit measure.Unit, has beyond) (changes []Change, found problem.List) {
	typed := intake.Typed(tables, s, unit)
	if why := has.with(typed); why != nil { // before the rest, which takes longer
		return nil, problem.List{*why}
	}
	job, all := intake.ReadOpen(tables, s)
	taken, heads := map[problem.Place]bool{}, map[problem.Place]bool{}
	for _, t := range typed {
		for _, r := range t.Rows {
			at := problem.Place{File: r.Place.File, Sheet: r.Place.Sheet, Row: r.Place.Row}
			taken[at] = true
			at.Row = t.Head
			heads[at] = true
		}
	}
	var ofRows problem.List
	for _, p := range all {
		at := problem.Place{File: p.Place.File, Sheet: p.Place.Sheet, Row: p.Place.Row}
		switch {
		case taken[at]:
			ofRows = append(ofRows, p)
		case p.Severity == problem.Note && heads[at] && strings.HasPrefix(p.What, intake.NotRead): // they are taken over all the same
		case p.Severity == problem.Note && at == problem.Place{File: s.File}: // said wherever the settings are used
		default:
			found = append(found, p)
		}
	}
	for _, sh := range job.Unread { // its headings are at fault, and of all else nothing was said
		if rows := sh.Untyped(); len(rows) > 0 {
			found.Add(problem.Place{File: sh.File, Sheet: sh.Name}, "not taken over: "+rowNumbers(rows), "they stand above the headings of the table, or below other headings, and a table has one row of headings",
				"copy them and paste them here with headings of their own, or type them in")
		}
	}
	changes, from := insert(typed, unit, newNames(s, has.made()), &found)
	compared(job, ofRows, changes, from, s, unit, &found)
	asking(found, typed, origins(changes, from))
	return changes, found
}

// rowNumbers names rows in a few words.
func rowNumbers(rows []int) string {
	const most = 12
	runs, others := problem.Ranges(rows, " to "), ""
	if len(runs) > most {
		runs, others = runs[:most], fmt.Sprintf(" and others, up to %d", rows[len(rows)-1])
	}
	return problem.Noun(len(rows), "row") + " " + strings.Join(runs, ", ") + others
}

// insert is the changes that add rows as they were typed, and where the rows came from, by their ids.
func insert(typed []intake.TypedSheet, unit measure.Unit, names *nameGiver, found *problem.List) (changes []Change, from map[string]problem.Place) {
	from = map[string]problem.Place{}
	var heads [sheets]map[string]bool // columns that there are, or that come
	for s := range sheets {
		heads[s] = setOf(append(Columns(s), spaceColumn))
	}
	comes := func(s Sheet, column string) {
		if !heads[s][column] {
			heads[s][column] = true
			changes = append(changes, Change{Kind: head, Sheet: s, Column: column})
		}
	}
	n := 0
	for _, t := range typed {
		n += len(t.Columns)
		for _, r := range t.Rows {
			n += len(r.Cells) + 2 // its space may be two
		}
	}
	changes = make([]Change, 0, n)
	for i := range typed {
		t, s := &typed[i], Journaling
		if t.Paper {
			s = Paper
		}
		numbered(t, s)
		names.apart(t)
		for _, c := range t.Columns {
			if isHeading(c) {
				comes(s, c)
			}
		}
		for _, r := range t.Rows {
			id := NewID()
			from[id] = r.Place
			changes = append(changes, Change{Kind: Insert, Sheet: s, ID: id, After: Last})
			for _, c := range apart(r.Cells, unit) {
				if !slices.Contains(Columns(s), c.Heading) {
					if !isHeading(c.Heading) {
						found.Add(r.Place, "the cell was not taken over", "its column has no heading that a workbook can have", "give the column a short heading")
						continue
					}
					comes(s, c.Heading)
				}
				text := tidy(c.Heading, c.Text)
				if units(text) > MostText {
					found.Add(r.Place, "the text was not taken over", fmt.Sprintf("it is longer than a cell can hold, which is %d characters", MostText), "part it over several rows")
					continue
				}
				changes = append(changes, Change{Kind: Set, Sheet: s, ID: id, Column: c.Heading, Text: text})
			}
		}
	}
	return changes, from
}

// spaceColumn is a column in which people give width and height in one.
const spaceColumn = "Space"

// apart are the cells of a row with its space as width and height, as a book has it, if that can be said exactly. Sides of which nobody has said the unit say none either.
func apart(cells []intake.Field, unit measure.Unit) []intake.Field {
	at := slices.IndexFunc(cells, func(c intake.Field) bool { return c.Heading == spaceColumn })
	if at < 0 || slices.ContainsFunc(cells, func(c intake.Field) bool { return c.Heading == "Width" || c.Heading == "Height" }) {
		return cells
	}
	size, err := measure.ParseSize(cells[at].Text, unit)
	if err != nil {
		return cells
	}
	units := []measure.Unit{unit, measure.In, measure.Mm}
	for _, u := range []measure.Unit{measure.In, measure.Cm, measure.Mm} { // who measures in a unit goes on seeing it
		if strings.HasSuffix(strings.TrimSpace(cells[at].Text), " "+u.String()) {
			units = slices.Insert(units, 0, u)
		}
	}
	for _, u := range units {
		w, h := size.W.Format(u), size.H.Format(u)
		if u == unit && bareMeasure(cells[at].Text) {
			w, h = strings.TrimSuffix(w, " "+u.String()), strings.TrimSuffix(h, " "+u.String())
		}
		back, err1 := measure.Parse(w, unit)
		high, err2 := measure.Parse(h, unit)
		if err1 == nil && err2 == nil && back == size.W && high == size.H {
			return slices.Concat(cells[:at], []intake.Field{{Heading: "Width", Text: w}, {Heading: "Height", Text: h}}, cells[at+1:])
		}
	}
	return cells
}

// Paste makes changes of a table that was copied in a spreadsheet program: lines of cells with tabs, commas or semicolons between them.
// The rows come last, below those that are there. The first line has the headings; where it has none, and three cells or more with tabs between
// them, those are taken in the order of the columns of the form. What is not taken over is told as by Take.
func (b *Book) Paste(text string) ([]Change, problem.List) {
	s, unit := b.settings.Load(), b.Unit()
	f, has := table.Copied(pastedName, text, intake.KnownTo(s)), b.beyond()
	changes, found := takenOver([]*table.File{f}, s, unit, has)
	if len(found) == 1 && found[0].What == tooWide {
		return nil, found
	}
	first, _, _ := strings.Cut(text, "\n")
	if cells := strings.Count(first, "\t") + 1; len(changes) == 0 && cells >= 3 && cells <= len(Columns(Journaling)) {
		headed := table.Copied(pastedName, strings.Join(Columns(Journaling)[:cells], "\t")+"\n"+text, intake.KnownTo(s))
		for _, t := range headed.Sheets {
			for i := range t.Rows {
				t.Rows[i].N-- // as whoever pasted it counts them
			}
		}
		f = headed
		if changes, found = takenOver([]*table.File{f}, s, unit, has); len(changes) > 0 {
			found.Note(problem.Place{File: pastedName}, "the rows have no headings and were taken for "+problem.And(Columns(Journaling)[:cells]), "these are the form's columns in their order",
				"if theirs are others, undo the step, and copy the headings together with the rows")
		}
	}
	if len(changes) > 0 {
		return changes, append(found, b.versions([]*table.File{f})...)
	}
	found = slices.Clone(f.Problems)
	if found.Errors() == 0 {
		found.Add(problem.Place{File: pastedName}, "what was pasted is no table of journaling", "its first line is to have the headings, such as Name, Journaling, Width, Height",
			"copy the headings together with the rows")
	}
	return nil, found
}

const pastedName = "what was pasted"
