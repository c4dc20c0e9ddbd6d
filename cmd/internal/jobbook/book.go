package jobbook

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"time"

	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/form"
	"tuckmark/intake/table"
)

// Book is an open book. Its methods may be called by several goroutines.
type Book struct {
	path     string
	settings *config.Settings

	mu      sync.Mutex
	unit    measure.Unit // of measures without one
	now     *state
	codes   map[string]string // that were given, by the ids of their rows, those that are gone included
	history history
	watch   []func(Event)
	saved   Revision    // that the workbook shows
	digest  save.Digest // of the workbook as the book last wrote or read it
	later   *time.Timer // when the next saving is due; nil: there is nothing to save
	closed  bool
}

// Event is something that happened to a book by itself.
type Event struct {
	Kind     EventKind
	Revision Revision         // of the book then
	Problem  *problem.Problem // why it is not saved; nil for other kinds
}

// EventKind is what happened.
type EventKind uint8

// The kinds of events.
const (
	Saved    EventKind = iota // the workbook shows the revision
	Unsaved                   // it could not be saved; it is tried again
	Merged                    // another program changed the workbook, and what it changed is taken over
	Asked                     // there are questions, or fewer than before
	Modified                  // the book was changed
)

// Path is where the book's workbook is.
func (b *Book) Path() string { return b.path }

// Unit is what a measure without a unit is in, for all of the book.
func (b *Book) Unit() measure.Unit { return b.unit }

// deskEnding is how the name of a book's workbook ends.
const deskEnding = "-desk.xlsx"

// New makes an empty book. There must be no file at the path yet, which ends in -desk.xlsx.
func New(path string, s *config.Settings) (*Book, error) {
	if !strings.HasSuffix(path, deskEnding) {
		return nil, &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the name of a job's workbook ends in " + deskEnding, Hint: "choose another name"}
	}
	if _, err := os.Lstat(path); !errors.Is(err, fs.ErrNotExist) {
		return nil, &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "there is a file of that name already", Hint: "open it, or choose another name"}
	}
	b := &Book{path: path, settings: s, unit: s.Unit, now: &state{}, codes: map[string]string{}}
	b.history.first, b.history.last = 1, 1
	if p := b.save(); p != nil {
		return nil, p
	}
	return b, nil
}

// Open opens a book.
func Open(path string, s *config.Settings) (*Book, []Question, problem.List, error) {
	data, err := os.ReadFile(path)
	if err != nil {
		return nil, nil, nil, &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the file cannot be read from the disk", Disk: true}
	}
	f := table.Parse(filepath.Base(path), data, intake.Known)
	if f.Problems.Errors() > 0 {
		return nil, nil, f.Problems, &f.Problems[0]
	}
	if !f.Desk {
		return nil, nil, nil, &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: "the file is no job's workbook", Hint: "have it imported"}
	}
	b := &Book{path: path, settings: s, unit: s.Unit, now: &state{}, codes: map[string]string{}, digest: save.DigestOf(data)}
	b.now = b.read(f)
	b.history.first, b.history.last = 1, 1
	b.saved = 1
	return b, nil, nil, nil
}

// read is the state that a workbook shows.
func (b *Book) read(f *table.File) *state {
	s := &state{}
	for _, t := range intake.Typed([]*table.File{f}, b.settings, b.unit) {
		at := Journaling
		if t.Paper {
			at = Paper
		}
		for _, r := range t.Rows {
			row := Row{ID: r.ID, Cells: map[string]string{}}
			if !isID(row.ID) {
				row.ID = NewID()
			}
			if r.Code != "" {
				b.codes[row.ID] = r.Code
			}
			for _, c := range r.Cells {
				row.Cells[c.Heading] = tidy(c.Text)
			}
			s.Rows[at] = append(s.Rows[at], row)
		}
	}
	return s
}

// Rows are the rows of a sheet, in their order: a copy.
func (b *Book) Rows(s Sheet) []Row {
	b.mu.Lock()
	defer b.mu.Unlock()
	out := make([]Row, len(b.now.Rows[s]))
	for i, r := range b.now.Rows[s] {
		out[i] = r.clone()
		out[i].Code = b.codes[r.ID]
	}
	return out
}

// Revision is that of the rows as they are now.
func (b *Book) Revision() Revision {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.history.last
}

// Do makes changes, all or none. What is refused is a *problem.Problem.
func (b *Book) Do(changes ...Change) (Revision, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if why := b.do(did, slices.Clone(changes)); why != nil {
		return b.history.last, why
	}
	return b.history.last, nil
}

// do makes changes as one step.
func (b *Book) do(kind stepKind, changes []Change) *problem.Problem {
	after, back, why := b.now.apply(changes)
	if why != nil {
		return why
	}
	b.now = after
	b.history.add(kind, changes, back)
	b.due()
	return nil
}

// saveWithin is how long a change may wait to be in the workbook.
const saveWithin = 500 * time.Millisecond

// due has the workbook saved in a little while.
func (b *Book) due() {
	if b.later == nil && !b.closed {
		b.later = time.AfterFunc(saveWithin, func() {
			b.mu.Lock()
			defer b.mu.Unlock()
			b.later = nil
			e := Event{Kind: Saved}
			if e.Problem = b.save(); e.Problem != nil {
				e.Kind = Unsaved
			}
			b.tell(e)
		})
	}
}

// tell tells everybody who watches of an event.
func (b *Book) tell(e Event) {
	e.Revision = b.history.last
	for _, f := range b.watch {
		go f(e)
	}
}

// Watch has a function called with what happens to the book by itself, until it is closed.
func (b *Book) Watch(f func(Event)) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.watch = append(b.watch, f)
}

// save writes the workbook.
func (b *Book) save() *problem.Problem {
	var out bytes.Buffer
	if err := form.WriteDesk(&out, b.desk(), b.settings); err != nil {
		return &problem.Problem{What: "the workbook cannot be made", Cause: err.Error()}
	}
	if p := save.Update(b.path, out.Bytes(), b.digest); p != nil {
		return p
	}
	b.digest, b.saved = save.DigestOf(out.Bytes()), b.history.last
	return nil
}

// desk is the book as its workbook has it.
func (b *Book) desk() *form.Desk {
	d := &form.Desk{State: []string{strconv.FormatInt(int64(b.history.last), 10)}, Unit: b.unit}
	for i, to := range []*form.DeskSheet{&d.Journaling, &d.Paper} {
		to.Columns = b.now.Columns[i]
		for _, r := range b.now.Rows[i] {
			to.Rows = append(to.Rows, form.DeskRow{ID: r.ID, Code: b.codes[r.ID], Cells: r.Cells})
		}
	}
	return d
}

// Input is a book as the job reads it.
type Input struct {
	Tables   []*table.File // for impose.Job.ReadTables
	Revision Revision
	ids      map[problem.Place]string
}

// Row is the row that a place of a problem or of a block is in; ok is false where it is none of the book's.
func (in *Input) Row(at problem.Place) (s Sheet, id string, ok bool) {
	id, ok = in.ids[problem.Place{Sheet: at.Sheet, Row: at.Row}]
	if at.Sheet == Paper.String() {
		s = Paper
	}
	return s, id, ok
}

// Input is what a job reads of the book: what it would read of the saved workbook, without a file between.
func (b *Book) Input() *Input {
	b.mu.Lock()
	defer b.mu.Unlock()
	in := &Input{Tables: []*table.File{b.desk().Tables(filepath.Base(b.path))}, Revision: b.history.last, ids: map[problem.Place]string{}}
	for s := range sheets {
		for i, r := range b.now.Rows[s] {
			in.ids[problem.Place{Sheet: s.String(), Row: i + 2}] = r.ID
		}
	}
	return in
}

// Keep gives rows the codes that a job which read the input has given their blocks, for good: they were shown to somebody.
func (b *Book) Keep(in *Input, j *intake.Job) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	given := false
	keep := func(at problem.Place, code string) {
		if _, id, ok := in.Row(at); ok && code != "" && b.codes[id] == "" {
			b.codes[id], given = code, true
		}
	}
	for i := range j.Blocks {
		keep(j.Blocks[i].Place, j.Blocks[i].Code)
	}
	for _, h := range j.Held {
		keep(h.Place, h.Code)
	}
	if given {
		b.due()
	}
	return nil
}

// Close saves the book and closes it.
func (b *Book) Close() error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return nil
	}
	b.closed = true
	if b.later != nil {
		b.later.Stop()
		b.later = nil
	}
	if b.saved != b.history.last {
		if p := b.save(); p != nil {
			return p
		}
	}
	return nil
}

// Question is what only a person can settle.
type Question struct {
	ID      string // of the question
	What    string // a sentence
	Sheet   Sheet
	Row     string // the row's id, where it is about one
	Column  string // the heading, where it is about a cell or a column
	Mine    string // what the desk has
	Theirs  string // what the workbook has that another program wrote
	Choices []Choice
}

// Choice is an answer to a question, and in words what it does.
type Choice struct{ Key, Says string }

// Questions are those that are open.
func (b *Book) Questions() []Question { return nil }

// Answer settles a question; key is that of one of its choices.
func (b *Book) Answer(question, key string) error { return nil }
