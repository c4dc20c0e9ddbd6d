package jobbook

import (
	"errors"
	"io/fs"
	"path/filepath"
	"slices"

	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// New makes a book that begins with what some changes make of an empty one; there is none unless all can be made. There must be nothing at
// the path yet, whose name ends in -desk.xlsx. The workbook is there only once the journal has all.
func New(path string, s *config.Settings, changes ...Change) (*Book, error) {
	b, err := create(save.System, path, s, changes...)
	if err != nil {
		return nil, err
	}
	b.start()
	return b, nil
}

// create makes a book that nobody keeps by the clock.
func create(d save.Disk, path string, s *config.Settings, changes ...Change) (*Book, error) {
	at := problem.Place{File: filepath.Base(path)}
	if !named(path) {
		return nil, &problem.Problem{Place: at, What: "the name of a job's workbook ends in " + Ending, Hint: "choose another name"}
	}
	there := &problem.Problem{Place: at, What: isThere, Hint: "open it, or choose another name"}
	if _, err := d.Stat(path); !errors.Is(err, fs.ErrNotExist) {
		return nil, there
	}
	b := blank(d, path, s)
	start, _, why := (&state{}).apply(changes)
	if why != nil {
		return nil, why
	}
	b.begin(start, s.Unit, NewID())
	b.comes(changes)
	if err := b.rewrite(); err != nil { // and what a job of the same name has left is kept aside
		b.release()
		return nil, err
	}
	b.touched = now()
	if err := b.Save(); err != nil {
		if b.fresh() && b.trouble != nil && b.trouble.What == isThere { // it came there meanwhile, and no job is begun beside it
			_, err = d.Remove(filepath.Join(Folder(path), journalName)), there
		}
		b.release()
		return nil, err
	}
	return b, nil
}

// blank is a book with nothing in it.
func blank(d save.Disk, path string, s *config.Settings) *Book {
	b := &Book{path: path, disk: d, codes: map[string]string{}, events: make(chan Event, 100)}
	b.settings.Store(s)
	return b
}

// begin lets a book begin with a state.
func (b *Book) begin(s *state, unit measure.Unit, name string) {
	b.now, b.unit, b.name = s, unit, name
	b.history = history{first: 1, last: 1, start: s, marks: []string{NewID()}}
}

// start has the book kept by the clock.
func (b *Book) start() {
	for len(b.events) > 0 { // nobody could watch so far
		<-b.events
	}
	b.quit = make(chan struct{})
	b.kept.Add(1)
	go b.keep()
	go b.listen()
}

// Open opens a book: the journal is played again, and what another program has changed in the workbook meanwhile is taken over. The
// questions are all that are open; the list says what else there is to say. The error is a *problem.Problem, also where another process
// has the book open.
func Open(path string, s *config.Settings) (*Book, []Question, problem.List, error) {
	b, found, err := open(save.System, path, s)
	if err != nil {
		return nil, nil, found, err
	}
	b.start()
	return b, b.Questions(), found, nil
}

const busyWhat = "the job is open already"

func busy(path string) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: filepath.Base(path)}, What: busyWhat, Cause: "another desk works on it", Hint: "go on there, or close it first", Disk: true}
}

// open opens a book that nobody keeps by the clock.
func open(d save.Disk, path string, s *config.Settings) (b *Book, found problem.List, err error) {
	at := problem.Place{File: filepath.Base(path)}
	if !named(path) {
		return nil, nil, &problem.Problem{Place: at, What: "the file is no job's workbook", Cause: "the name of one ends in " + Ending, Hint: "have it imported"}
	}
	if strange(d, path) { // before its folder is made
		return nil, nil, somebodys(path)
	}
	b = blank(d, path, s)
	defer func(b *Book) {
		if err != nil {
			b.release()
		}
	}(b)
	records, spoilt, why := b.openJournal()
	if why != nil && why.What == busyWhat {
		return nil, nil, why
	}
	if why != nil {
		b.behind = true
		_ = b.failed(why)
		found = append(found, *why)
	}
	if spoilt != nil {
		found = append(found, *spoilt)
	}
	known := b.recall(records, &found)
	if known {
		if why := b.takeLeft(); why != nil {
			found = append(found, *why)
		}
	}
	info, _ := b.disk.Stat(b.path) // before it is read
	data, why := b.readWorkbook()
	var f *table.File
	if data != nil && !(known && b.own(save.DigestOf(data))) {
		f, why = b.parse(data)
	}
	switch {
	case why != nil && !known:
		return nil, found, why
	case data != nil && b.fresh() && (f == nil || !f.Desk):
		return nil, found, somebodys(path)
	case !known:
		if cause := (&state{}).tooWide(intake.Typed([]*table.File{f}, s, s.Unit)); cause != "" {
			return nil, found, &problem.Problem{Place: at, What: "the job was not opened: " + wideColumns, Cause: cause + "; the workbook is left as it is", Hint: wideMending + "save the workbook, and open it again"}
		}
		b.first(f, data, &found)
	case data == nil:
		found.Note(at, "the workbook was not there, and is written anew", "it was moved or deleted, and the folder beside it has all of the job", "to begin the job anew instead, close it, and remove the folder "+filepath.Base(Folder(b.path))+" together with the workbook")
		b.shown.seen, b.touched = "", now()
	case b.shown.seen == save.DigestOf(data):
	case b.another(f):
		found = append(found, *b.strange(data))
	default:
		if why := b.compared(f, data); why != nil {
			found = append(found, *why)
		}
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.now == nil {
		return nil, found, why
	}
	b.remember(info)
	return b, found, nil
}

// recall plays the journal again. It reports whether that has a book.
func (b *Book) recall(records [][]byte, found *problem.List) bool {
	if used := b.replay(records); used < len(records) {
		if data, err := b.disk.Read(filepath.Join(Folder(b.path), journalName)); err == nil {
			*found = append(*found, *b.keepAside(data))
		}
		b.behind = true
	}
	return b.now != nil
}

// readWorkbook reads the bytes of the workbook; where there are none, why says so.
func (b *Book) readWorkbook() (data []byte, why *problem.Problem) {
	at := problem.Place{File: filepath.Base(b.path)}
	data, err := b.disk.Read(b.path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, &problem.Problem{Place: at, What: "there is no such file", Hint: "check its name, or begin a new job", Disk: true}
	case err != nil:
		return nil, &problem.Problem{Place: at, What: "the file cannot be read from the disk", Cause: save.Reason(err), Hint: "close it in other programs, or change its permissions", Disk: true}
	}
	return data, nil
}

// parse reads the tables of a workbook; nil where it is none that can be read, and why says so.
func (b *Book) parse(data []byte) (f *table.File, why *problem.Problem) {
	f = table.Parse(filepath.Base(b.path), data, intake.KnownHeading)
	if i := slices.IndexFunc(f.Problems, func(p problem.Problem) bool { return p.Severity == problem.Error }); i >= 0 {
		return nil, &f.Problems[i]
	}
	if len(f.State) == 0 && len(intake.Typed([]*table.File{f}, b.settings.Load(), b.settings.Load().Unit)) == 0 {
		return nil, &problem.Problem{Place: problem.Place{File: filepath.Base(b.path)}, What: "the file holds no table of a job", Hint: "give it another name, and open the job's own workbook"}
	}
	return f, nil
}

// own reports a workbook that the book has written, and takes it for what is on the disk.
func (b *Book) own(digest save.Digest) bool {
	b.mu.Lock()
	defer b.mu.Unlock()
	if digest == b.shown.seen {
		return true
	}
	if digest != b.shown.Digest {
		return false
	}
	b.shown.seen = digest
	if (b.shown.Lacks || b.shown.Revision != b.history.last || b.shown.Codes != len(b.codes)) && b.touched.IsZero() {
		b.touch()
	}
	return true
}

// first makes the book what its workbook says, where there is no journal: it came from elsewhere, or the journal was taken away. A workbook that is as a
// desk has written it shows the very state whose mark it bears, which that desk may still have.
func (b *Book) first(f *table.File, data []byte, found *problem.List) {
	name, unit := NewID(), b.settings.Load().Unit
	if len(f.State) >= beforeTrail {
		if u, ok := measure.ParseUnit(f.State[2]); ok && isID(f.State[0]) {
			name, unit = f.State[0], u
		}
	}
	typed := intake.Typed([]*table.File{f}, b.settings.Load(), unit)
	theirs := readSheets(typed)
	after, asked := takeOver(begun{base: &state{}}, &state{}, theirs)
	open, aside := carriedBy(f)
	asked, b.aside = append(open, asked...), aside
	b.begin(&state{}, unit, name)
	for s := range sheets {
		for _, r := range theirs[s].rows {
			if r.Code != "" {
				b.give(map[string]string{r.ID: r.Code})
			}
		}
	}
	of := seen{digest: save.DigestOf(data)}
	if !save.IsUntouched(data) {
		of.read = &reading{file: f, data: data, typed: typed, theirs: theirs}
		crossed := crossedOut(f, typed)
		*found, of.lost = append(*found, crossed...), lost(crossed)
	}
	b.install(after, asked, of, found)
	b.history.start, b.history.first, b.history.steps, b.history.done = b.now, b.history.last, nil, nil
	marks := trailOf(f)
	if len(marks) == 0 || !save.IsUntouched(data) {
		marks = append([]string{NewID()}, marks...)
	}
	b.history.comesFrom(marks)
	b.behind = true
	_ = b.rewrite() // it has told what is wrong
	b.touched = now()
}
