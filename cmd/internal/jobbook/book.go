package jobbook

import (
	"errors"
	"maps"
	"path/filepath"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"tuckmark/cmd/internal/journal"
	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/form"
	"tuckmark/intake/table"
)

// Book is an open book. Its methods may be called by several goroutines at once.
type Book struct {
	path     string
	disk     save.Disk
	settings atomic.Pointer[config.Settings]
	before   []*config.Settings // that were there before, the latest last; whose is mu
	lock     save.Lock          // of the folder that the journal lies in; its functions are nil where it is not held
	quit     chan struct{}      // closed when the book is; nil where nobody keeps the book by the clock
	kept     sync.WaitGroup

	saving sync.Mutex  // held by who writes the workbook, or compares it; taken before mu
	unread unread      // what was there last and is no workbook; whose is saving
	left   save.Digest // of what lay aside when it was looked at; whose is saving

	mu        sync.Mutex
	name      string            // by which a workbook is known as this book's
	unit      measure.Unit      // of measures without one
	now       *state            // the rows as they are
	codes     map[string]string // that were given, by the ids of their rows, those that are gone included; replaced, not changed
	history   history
	questions []Question
	answered  []save.Digest     // questions that a person has settled here, as Question.digest has them
	taken     []save.Digest     // of the files whose rows were taken in
	came      map[string]string // the tables that rows came from since the book was opened, by the rows' ids; one has its first row's id, and the file's name on a second line
	aside     []string          // copies of workbooks beside this one that were told of
	owed      *reading          // a workbook of which no copy could be made, which is not replaced before there is one

	journal *journal.Journal // nil: it could not be opened
	behind  bool             // the journal lacks something, and is to be written whole
	shown   shown            // what the workbook shows
	touched time.Time        // since when something is not in the workbook; zero: it has all
	changes int              // how often the workbook has come to lack something
	retry   time.Time        // when what failed is tried again
	wait    time.Duration    // until then, the next time it fails
	trouble *problem.Problem // why not all is on the disk; nil: it is, or soon will be
	closed  bool

	watch  []func(Event)
	events chan Event
}

// Path is where the book's workbook is.
func (b *Book) Path() string { return b.path }

// Use gives the book other settings, for what is read and written from now on. Where the workbook offers something else by them, as other stocks, it is
// written anew.
func (b *Book) Use(s *config.Settings) {
	b.mu.Lock()
	defer b.mu.Unlock()
	was := b.settings.Swap(s)
	if slices.Equal(heldBy(&form.Desk{Unit: b.unit}, was), heldBy(&form.Desk{Unit: b.unit}, s)) {
		return
	}
	b.before = append(b.before[max(0, len(b.before)+1-mostBefore):], was)
	b.touch()
}

// mostBefore is how many settings are kept that the workbook was written by before.
const mostBefore = 8

// Unit is what a measure without a unit is in, for all of the book.
func (b *Book) Unit() measure.Unit { return b.unit }

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

// Columns are the headings of a sheet: those of every book, then those that came with imported tables.
func (b *Book) Columns(s Sheet) []string {
	b.mu.Lock()
	defer b.mu.Unlock()
	return slices.Concat(Columns(s), b.now.Columns[s])
}

// Revision is that of the rows as they are now.
func (b *Book) Revision() Revision {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.history.last
}

// Do makes changes, all or none, as one step. When it returns without an error they are in the journal, through to the disk; the
// workbook has them within a second. The error is a *problem.Problem. If it is one of the disk, the changes are made, and are tried to
// be kept again and again; of any other none is made.
func (b *Book) Do(changes ...Change) (Revision, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if err := b.do(did, 0, slices.Clone(changes)); err != nil {
		return b.history.last, err
	}
	return b.history.last, nil
}

// DoAt is Do of changes that were found by the rows of a revision. Where anything was done since, none is made, and the error is ErrSince.
func (b *Book) DoAt(at Revision, changes ...Change) (Revision, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if at != b.history.last {
		return b.history.last, ErrSince
	}
	err := b.do(did, 0, slices.Clone(changes))
	return b.history.last, err
}

// ErrSince is that something was done since the rows were looked at.
var ErrSince = errors.New("something else was done meanwhile")

// Typed is what somebody typed into cells of a row, by their headings, and what may have stood in each where it was typed: what was seen there, and what
// was sent before without an answer. A cell of which Seen says nothing is set whatever stands in it.
type Typed struct {
	Sheet Sheet
	ID    string
	Cells map[string]string
	Seen  map[string][]string
}

// Type does what was typed as one step, as Do does. Where a cell holds neither what was seen there nor what was typed, somebody else wrote it since: then
// nothing is done, and others has those cells as they are. The error of a row that is not there is ErrGone.
func (b *Book) Type(t Typed) (rev Revision, others map[string]string, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	i := find(b.now.Rows[t.Sheet], t.ID)
	if i < 0 {
		return b.history.last, nil, ErrGone
	}
	var changes []Change
	for _, column := range slices.Sorted(maps.Keys(t.Cells)) {
		has := b.now.Rows[t.Sheet][i].Cells[column]
		same := func(text string) bool { return tidy(column, text) == has }
		seen, says := t.Seen[column]
		if says && !same(t.Cells[column]) && !slices.ContainsFunc(seen, same) {
			if others == nil {
				others = map[string]string{}
			}
			others[column] = has
		}
		changes = append(changes, Change{Kind: Set, Sheet: t.Sheet, ID: t.ID, Column: column, Text: t.Cells[column]})
	}
	if others != nil {
		return b.history.last, others, nil
	}
	err = b.do(did, 0, changes)
	return b.history.last, nil, err
}

// Remove removes a row as one step, as Do does. Where one of its cells holds nothing that was seen there, somebody else wrote it since: then nothing is done,
// and others has those cells as they are. Of the journaling whoever removes a row sees all its cells, of paper those that Seen names; where Seen is nil nobody
// has looked. The error of a row that is not there is ErrGone.
func (b *Book) Remove(t Typed) (rev Revision, others map[string]string, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	i := find(b.now.Rows[t.Sheet], t.ID)
	if i < 0 {
		return b.history.last, nil, ErrGone
	}
	for column, has := range b.now.Rows[t.Sheet][i].Cells {
		seen, says := t.Seen[column]
		if t.Seen == nil || !says && t.Sheet == Paper || slices.ContainsFunc(seen, func(text string) bool { return tidy(column, text) == has }) {
			continue
		}
		if others == nil {
			others = map[string]string{}
		}
		others[column] = has
	}
	if others != nil {
		return b.history.last, others, nil
	}
	err = b.do(did, 0, []Change{{Kind: Remove, Sheet: t.Sheet, ID: t.ID}})
	return b.history.last, nil, err
}

// ErrGone is that a row was removed since it was looked at.
var ErrGone = errors.New("the row is no longer there: it was removed meanwhile")

// do makes changes as one step, and takes it down.
func (b *Book) do(kind stepKind, of Revision, changes []Change) error {
	if b.closed {
		return closed()
	}
	after, back, why := b.now.apply(changes)
	if why != nil {
		return why
	}
	b.now = after
	b.comes(changes)
	s := b.history.add(step{Kind: kind, Of: of, Changes: changes, back: back})
	r := record{Step: &s}
	if answered := b.history.step(of); answered != nil && len(answered.Settled) > 0 {
		if kind == undid {
			r.Asked, r.Closed = b.ask(answered.Settled)
		} else {
			r.Closed = b.close(answered.Settled)
		}
		b.tell(Event{Kind: Asked})
	}
	b.tell(Event{Kind: Modified})
	return b.log(r)
}

func closed() *problem.Problem {
	return &problem.Problem{What: "the job is closed", Hint: "open it again"}
}

// Input is a book as the job reads it.
type Input struct {
	Tables   []*table.File // for impose.Job.ReadTables
	Revision Revision
	ids      map[problem.Place]string
}

// Row is the row that a place, of a problem or of a block, is in; ok is false where that is none of the book's.
func (in *Input) Row(at problem.Place) (s Sheet, id string, ok bool) {
	id, ok = in.ids[problem.Place{Sheet: at.Sheet, Row: at.Row}]
	if at.Sheet == Paper.String() {
		s = Paper
	}
	return s, id, ok
}

// Input is what a job reads of the book: what it would read of the saved workbook, without a file between.
func (b *Book) Input() *Input {
	in, _ := b.With() // nothing is changed that could be wrong
	return in
}

// With is what a job would read if changes were made, which they are not. The error is that of Do.
func (b *Book) With(changes ...Change) (*Input, error) {
	b.mu.Lock()
	now := b.now
	if len(changes) > 0 {
		after, _, why := now.apply(slices.Clone(changes))
		if why != nil {
			b.mu.Unlock()
			return nil, why
		}
		now = after
	}
	d, in := b.deskOf(now), &Input{Revision: b.history.last, ids: map[problem.Place]string{}}
	b.mu.Unlock()
	in.Tables = []*table.File{d.Tables(filepath.Base(b.path))}
	for s, sheet := range []form.DeskSheet{d.Journaling, d.Paper} {
		for i, r := range sheet.Rows {
			in.ids[problem.Place{Sheet: Sheet(s).String(), Row: i + 2}] = r.ID
		}
	}
	return in, nil
}

// Keep gives rows the codes that a job which read the input has given their blocks, for good: they were shown to somebody. Errors are
// those of the disk, as with Do.
func (b *Book) Keep(in *Input, j *intake.Job) error {
	given := map[string]string{}
	keep := func(at problem.Place, code string) {
		if s, id, ok := in.Row(at); ok && code != "" && s == Journaling {
			given[id] = code
		}
	}
	for i := range j.Blocks {
		keep(j.Blocks[i].Place, j.Blocks[i].Code)
	}
	for _, h := range j.Held {
		keep(h.Place, h.Code)
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if given = b.give(given); len(given) == 0 || b.closed {
		return nil
	}
	return b.log(record{Codes: given})
}

// give takes codes over, and returns those that are new: a row that has one keeps it, and no two rows have the same.
func (b *Book) give(given map[string]string) map[string]string {
	all := make(map[string]string, len(b.codes)+len(given))
	taken := map[string]bool{}
	for id, code := range b.codes {
		all[id], taken[code] = code, true
	}
	fresh := map[string]string{}
	for id, code := range given {
		if all[id] == "" && !taken[code] {
			all[id], fresh[id], taken[code] = code, code, true
		}
	}
	b.codes = all
	return fresh
}

// Event is something that happened to a book by itself.
type Event struct {
	Kind     EventKind
	Revision Revision         // of the book then
	Problem  *problem.Problem // of Unsaved and Noted: what there is to say
}

// EventKind is what happened.
type EventKind uint8

// The kinds of events.
const (
	Saved    EventKind = iota // the workbook shows all that was done
	Unsaved                   // something is not on the disk; it is tried again
	Merged                    // another program changed the workbook, and what it changed is in the book
	Asked                     // there are other questions than before
	Noted                     // there is something to say that does not keep anything from being saved
	Modified                  // somebody has done something, and it is not in the workbook yet
)

// Watch has a function called with what happens to the book by itself, one call after the other. It is told at once what trouble there
// is already.
func (b *Book) Watch(f func(Event)) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.watch = append(b.watch, f)
	if b.trouble != nil {
		b.tell(Event{Kind: Unsaved, Problem: b.trouble})
	}
}

// tell tells everybody who watches; where something is not on the disk it tells that once more, so that nothing that happens makes it forgotten. Who does not
// listen for long misses the oldest.
func (b *Book) tell(e Event) {
	if b.closed {
		return
	}
	if p := b.trouble; p != nil && (e.Kind == Merged || e.Kind == Asked || e.Kind == Modified) {
		defer b.tell(Event{Kind: Unsaved, Problem: p})
	}
	e.Revision = b.history.last
	for {
		select {
		case b.events <- e:
			return
		default:
			select {
			case <-b.events:
			default:
			}
		}
	}
}

// listen passes events on until the book is closed and all are told.
func (b *Book) listen() {
	for e := range b.events {
		b.mu.Lock()
		watch := slices.Clone(b.watch)
		b.mu.Unlock()
		for _, f := range watch {
			f(e)
		}
	}
}
