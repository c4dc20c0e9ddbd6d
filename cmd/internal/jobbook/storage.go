package jobbook

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"time"

	"tuckmark/cmd/internal/journal"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// record is an entry of the journal. It is taken down whole or not at all; what of it is empty says nothing.
type record struct {
	Whole  *whole            `json:"whole,omitempty"` // the book as it was at a revision, whatever was before
	Step   *step             `json:"step,omitempty"`
	Stacks *stacks           `json:"stacks,omitempty"`
	Codes  map[string]string `json:"codes,omitempty"`  // that were given
	Asked  []Question        `json:"asked,omitempty"`  // new questions
	Closed []string          `json:"closed,omitempty"` // questions that are settled, by id
	Saved  *version          `json:"saved,omitempty"`  // a workbook that is in its place, or was read
	Taken  []save.Digest     `json:"taken,omitempty"`  // files whose rows were taken in
	Aside  string            `json:"aside,omitempty"`  // a copy beside the workbook that was told of
	From   string            `json:"from,omitempty"`   // mark of a state elsewhere of which the book has all from now on; versions before wrote it

	Brought []string `json:"brought,omitempty"` // marks of states elsewhere, of which the book has all from now on
	Part    bool     `json:"part,omitempty"`    // all but what is asked about

	Side *side `json:"side,omitempty"` // what another side had
}

// version is a workbook: its bytes, and the revision of the rows that it shows.
type version struct {
	Revision Revision    `json:"r"`
	Digest   save.Digest `json:"d"`
	Codes    int         `json:"c,omitempty"` // how many have been given
	Lacks    bool        `json:"l,omitempty"` // another program has saved it, and it does not show all of that revision
}

// stacks are what can be taken back and done again, the next one last.
type stacks struct {
	Done  []Revision `json:"done,omitempty"`
	Taken []Revision `json:"taken,omitempty"`
}

// whole is a book as it was at its first revision that is kept.
type whole struct {
	Name      string            `json:"name"`
	Unit      string            `json:"unit"`
	Revision  Revision          `json:"revision"`
	Marks     []string          `json:"marks,omitempty"`
	From      []origin          `json:"from,omitempty"`
	Sides     []side            `json:"sides,omitempty"`
	Rows      [sheets][]Row     `json:"rows"`
	Columns   [sheets][]string  `json:"columns"`
	Codes     map[string]string `json:"codes,omitempty"`
	Questions []Question        `json:"questions,omitempty"`
	Answered  []save.Digest     `json:"answered,omitempty"`
	Saved     version           `json:"saved"`
	Taken     []save.Digest     `json:"taken,omitempty"`
	Aside     []string          `json:"aside,omitempty"`
}

// shown is what is known of the workbook on the disk.
type shown struct {
	version             // the last one that was in its place, or was read
	looked  time.Time   // when the file was last looked at
	changed time.Time   // when it had last been changed then
	size    int64       // its size then
	seen    save.Digest // of the file when it was last read, whoever wrote it
}

// The journal may take so much before it is written anew with fewer of the states in it; the oldest go first.
const (
	mostJournal = 16 << 20
	mostSteps   = mostJournal / 4
)

// log takes something down, through to the disk. If that fails, it is in the book all the same, and the journal is written whole as
// soon as that is possible.
func (b *Book) log(r record) error {
	if r.Saved == nil && len(r.Taken) == 0 { // which the workbook does not show
		b.touch()
	}
	if b.behind || !b.ours() || b.journal.Size() > mostJournal+2*int64(b.now.size) {
		return b.rewrite()
	}
	if err := b.journal.Append(encode(r)); errors.Is(err, journal.ErrGone) {
		return b.rewrite()
	} else if err != nil {
		b.behind = true
		return b.failed(b.unkept(err))
	}
	return nil
}

// touch notes that the workbook lacks something.
func (b *Book) touch() {
	b.changes++
	if b.touched.IsZero() {
		b.touched = now()
	}
}

func encode(r record) []byte {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	if err := e.Encode(r); err != nil {
		panic(err) // cannot happen: there are only texts and numbers in it
	}
	return out.Bytes()
}

// rewrite writes the journal whole: the first state that is kept, and the steps from there.
func (b *Book) rewrite() error {
	if b.behind && b.trouble != nil && now().Before(b.retry) {
		return b.trouble
	}
	if !b.ours() {
		b.release()
		records, spoilt, why := b.openJournal()
		if why != nil {
			b.behind = true
			return b.failed(why)
		}
		if len(records) > 0 && !b.join(records) {
			if data, err := b.disk.Read(filepath.Join(Folder(b.path), journalName)); err == nil {
				spoilt = b.keepAside(data)
			}
		}
		if spoilt != nil {
			b.tell(Event{Kind: Noted, Problem: spoilt})
		}
	}
	b.history.thin(mostSteps, b.shown.Revision)
	if err := b.journal.Replace(b.records()); err != nil {
		b.behind = true
		return b.failed(b.unkept(err))
	}
	b.behind = false
	return nil
}

// records are the whole journal.
func (b *Book) records() [][]byte {
	h := &b.history
	w := &whole{Name: b.name, Unit: b.unit.String(), Revision: h.first, Marks: h.marks, From: h.from, Sides: h.sides, Rows: h.start.Rows, Columns: h.start.Columns, Codes: b.codes, Questions: b.questions, Answered: b.answered, Saved: b.shown.version, Taken: b.taken, Aside: b.aside}
	out := [][]byte{encode(record{Whole: w})}
	for i := range h.steps {
		out = append(out, encode(record{Step: &h.steps[i]}))
	}
	return append(out, encode(record{Stacks: &stacks{h.done, h.taken}}))
}

// replay makes the book what its journal says. It returns how many of the records it could use.
func (b *Book) replay(records [][]byte) (used int) {
	for _, data := range records {
		var r record
		if json.Unmarshal(data, &r) != nil || !b.replayed(&r) {
			return used
		}
		used++
	}
	return used
}

// replayed takes one record over. It reports false where that says something impossible.
func (b *Book) replayed(r *record) bool {
	h := &b.history
	switch {
	case r.Whole != nil:
		unit, ok := measure.ParseUnit(r.Whole.Unit)
		s, sound := r.Whole.state()
		if !ok || !sound || r.Whole.Revision < 1 {
			return false
		}
		w := r.Whole
		b.name, b.unit, b.now, b.codes, b.questions = w.Name, unit, s, w.Codes, w.Questions
		b.taken, b.aside, b.answered = w.Taken, w.Aside, w.Answered
		b.shown = shown{version: w.Saved}
		*h = history{first: w.Revision, last: w.Revision, start: s, marks: w.Marks, from: w.From, sides: w.Sides}
	case b.now == nil:
		return false // the first record is a whole one
	}
	if r.Step != nil {
		after, back, why := b.now.apply(r.Step.Changes)
		if why != nil || r.Step.Revision <= h.last {
			return false
		}
		b.now, r.Step.back = after, back
		h.put(*r.Step)
	}
	if r.Stacks != nil {
		h.done, h.taken = r.Stacks.Done, r.Stacks.Taken
	}
	if len(r.Brought) > 0 {
		h.has(r.Brought, r.Part)
	}
	if r.From != "" {
		h.has(h.elsewhere([]string{r.From}), false)
	}
	if r.Side != nil {
		h.saw(*r.Side)
	}
	if len(r.Codes) > 0 {
		b.give(r.Codes)
	}
	again, gone := subjects(r.Asked), setOf(r.Closed)
	b.questions = slices.DeleteFunc(b.questions, func(q Question) bool {
		if gone[q.ID] && !again[q.subject()] {
			b.answered = noted(b.answered, q)
		}
		return gone[q.ID]
	})
	b.questions = append(b.questions, r.Asked...)
	if r.Saved != nil {
		b.shown.version = *r.Saved
	}
	b.taken = append(b.taken, r.Taken...)
	if r.Aside != "" {
		b.aside = append(b.aside, r.Aside)
	}
	return true
}

// state is what a whole record holds, if no row of it is there twice.
func (w *whole) state() (*state, bool) {
	s := &state{Columns: w.Columns}
	for sheet := range sheets {
		seen := map[string]bool{}
		for _, r := range w.Rows[sheet] {
			if seen[r.ID] || !isID(r.ID) {
				return nil, false
			}
			seen[r.ID] = true
			if r.Cells == nil {
				r.Cells = map[string]string{}
			}
			s.Rows[sheet] = append(s.Rows[sheet], r)
			s.size += r.size()
		}
		for _, c := range w.Columns[sheet] {
			if !isHeading(c) {
				return nil, false
			}
		}
	}
	return s, true
}

// ours reports whether the journal is open, and nobody else may write it: where its folder is taken away while the book is open, another desk may have begun
// one of the same name.
func (b *Book) ours() bool { return b.journal != nil && b.lock.Holds() }

// missed reports a journal that is no longer the one in its place, beside the workbook. Where that is gone as well, both may have been moved together.
func (b *Book) missed() bool {
	if _, err := b.disk.Stat(b.path); err != nil || b.journal == nil {
		return false
	}
	return !b.ours() || errors.Is(b.journal.Look(), journal.ErrGone)
}

// release gives the folder back, and with it the journal.
func (b *Book) release() {
	if b.lock.Unlock != nil {
		b.lock.Unlock()
	}
	b.lock, b.journal = save.Lock{}, nil
}

// openJournal opens the journal, and the folder that it lies in. What stands there and cannot be read is kept beside it, once; spoilt
// says so.
func (b *Book) openJournal() (records [][]byte, spoilt, why *problem.Problem) {
	dir := Folder(b.path)
	err := b.disk.MakeFolder(dir)
	if err == nil {
		err = b.disk.SyncFolder(filepath.Dir(dir))
	}
	if err == nil && b.lock.Unlock == nil {
		b.lock, err = b.disk.Lock(filepath.Join(dir, "open"))
	}
	if errors.Is(err, save.ErrLocked) {
		return nil, nil, busy(b.path)
	}
	if err != nil {
		return nil, nil, b.unkept(err)
	}
	j, records, strange, err := journal.Open(b.disk, filepath.Join(dir, journalName))
	if err != nil {
		return nil, nil, b.unkept(err)
	}
	if strange != nil {
		spoilt = b.keepAside(strange)
	}
	b.journal = j
	return records, spoilt, nil
}

const journalName = "journal"

// keepAside keeps what stands in the journal's place and is about to be written over, beside what was kept so before, and says where.
func (b *Book) keepAside(data []byte) *problem.Problem {
	aside := b.asideName(journalName+"-before", "", data)
	p := &problem.Problem{Severity: problem.Note, Place: problem.Place{File: filepath.Base(b.path)}, What: "the journal was damaged, or another job's",
		Cause: "it is written anew with what the desk has; a copy of what was there is " + filepath.Base(filepath.Dir(aside)) + "/" + filepath.Base(aside),
		Hint:  "look whether what was done last is there"}
	if err := save.Replace(b.disk, aside, data); err != nil {
		p.Cause = "it is written anew with what the desk has; no copy of what was there could be kept: " + save.Reason(err)
	}
	return p
}

// asideName is a name for data that are kept aside; what was kept before, and is something else or cannot be read, stays.
func (b *Book) asideName(stem, ending string, data []byte) string {
	path := filepath.Join(Folder(b.path), stem+ending)
	for n := 2; n <= mostCopies; n++ {
		if was, err := b.disk.Read(path); errors.Is(err, fs.ErrNotExist) || err == nil && bytes.Equal(was, data) {
			return path
		}
		path = filepath.Join(Folder(b.path), fmt.Sprintf("%s-%d%s", stem, n, ending))
	}
	return path
}

// unkept is the problem of a journal that cannot be written.
func (b *Book) unkept(err error) *problem.Problem {
	return &problem.Problem{Place: problem.Place{File: filepath.Base(b.path)}, What: "what was done last is not on the disk yet",
		Cause: save.Reason(err), Hint: "leave the job open and make room on the disk, or make its folder one that may be written to; it is tried again by itself", Disk: true}
}

// failed notes why something is not on the disk, tells it if it is news, and has it tried again.
func (b *Book) failed(why *problem.Problem) error {
	b.wait = min(max(2*b.wait, 250*time.Millisecond), 2*time.Second)
	b.retry = now().Add(b.wait)
	if b.trouble == nil || *b.trouble != *why {
		b.trouble = why
		b.tell(Event{Kind: Unsaved, Problem: why})
	}
	return b.trouble
}

// now is the time, which has a say in when something is saved, and in nothing else.
var now = time.Now
