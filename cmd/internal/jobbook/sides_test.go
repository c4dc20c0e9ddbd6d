package jobbook

import (
	"bytes"
	"cmp"
	"fmt"
	"maps"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"

	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/intake/form"
)

// sides is a job that a desk and another program work on. Each text that is written is another one, so that it can be told what became of it.
type sides struct {
	t      *testing.T
	chance *rand.Rand
	disk   *fakedisk.Disk
	book   *Book
	file   work            // the workbook as the desk has saved it
	open   work            // as the other program has it open
	texts  int             // that were written
	theirs map[string]bool // texts of the other program which nobody has replaced who had seen them
	log    []string
}

// work is a workbook: its rows, and the trail of the state that it was made of.
type work struct {
	rows  *state
	trail []string
}

func (s *sides) say(form string, args ...any) { s.log = append(s.log, fmt.Sprintf(form, args...)) }

func (s *sides) text(of string) string {
	s.texts++
	return fmt.Sprintf("%s%d", of, s.texts)
}

// any is a row of a state, or nil.
func (s *sides) any(of *state) *Row {
	if n := len(of.Rows[Journaling]); n > 0 {
		return &of.Rows[Journaling][s.chance.IntN(n)]
	}
	return nil
}

func (s *sides) column() string { return []string{"Title", "Page"}[s.chance.IntN(2)] }

// replaced notes that the desk's person has replaced what stands in some cells, knowing it.
func (s *sides) replaced(texts ...string) {
	for _, t := range texts {
		delete(s.theirs, t)
	}
}

func cellsOf(r *Row) (texts []string) {
	for _, t := range r.Cells {
		texts = append(texts, t)
	}
	return texts
}

func (s *sides) save() { s.file = work{s.book.now, s.book.history.trail()} }

// must is a change at the desk that cannot be refused.
func (s *sides) must(changes ...Change) {
	s.t.Helper()
	if _, err := s.book.Do(changes...); err != nil {
		s.t.Fatal(err, s.log)
	}
}

// desk does something at the desk.
func (s *sides) desk() {
	b := s.book
	switch r, what := s.any(b.now), s.chance.IntN(14); {
	case r == nil || what == 0:
		id, text := NewID(), s.text("desk")
		s.say("the desk inserts %s with %s", id, text)
		s.must(Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Title", Text: text})
	case what < 4:
		column, text := s.column(), s.text("desk")
		s.say("the desk writes %s in %s of %s over %q", text, column, r.ID, r.Cells[column])
		s.replaced(r.Cells[column])
		s.must(Change{Kind: Set, ID: r.ID, Column: column, Text: text})
	case what == 4:
		s.say("the desk removes %s", r.ID)
		s.replaced(cellsOf(r)...)
		s.must(Change{Kind: Remove, ID: r.ID})
	case what < 9:
		_, more, err := b.Undo()
		s.say("undo: %v %v", more, err)
	case what < 11:
		_, more, err := b.Redo()
		s.say("redo: %v %v", more, err)
	case what == 11:
		states := b.States()
		to := states[s.chance.IntN(len(states))].Revision
		s.say("the desk goes back to %d", to)
		for i := range b.now.Rows[Journaling] {
			s.replaced(cellsOf(&b.now.Rows[Journaling][i])...)
		}
		if _, err := b.Return(to, 0); err != nil {
			s.t.Fatal(err, s.log)
		}
	default:
		s.answer()
	}
}

// answer answers a question; what the answer replaces or declines is seen in it.
func (s *sides) answer() {
	b := s.book
	asked := b.Questions()
	if len(asked) == 0 {
		return
	}
	q := asked[s.chance.IntN(len(asked))]
	key := q.Choices[s.chance.IntN(len(q.Choices))].Key
	s.say("the answer to %q (%q or %q) is %s", q.What, q.Mine, q.Theirs, key)
	i := find(b.now.Rows[Journaling], q.Row)
	switch {
	case q.Kind == Conflict && key == Keep:
		s.replaced(q.Theirs)
	case q.Kind == Conflict: // that it was taken can be taken back, and is asked about then
		s.replaced(q.Mine)
		s.theirs[q.Theirs] = true
	case key == Drop && i >= 0:
		s.replaced(cellsOf(&b.now.Rows[Journaling][i])...)
	}
	err := b.Answer(q.ID, key, "")
	if q.Kind != Conflict || key != Take {
		if err != nil {
			s.t.Fatal(err, s.log)
		}
		return
	}
	if i >= 0 && b.now.Rows[Journaling][i].Cells[q.Column] != q.Theirs || (err != nil) != (i < 0) {
		s.t.Fatalf("%q was taken and is not there, or it is and was refused: %v\n%v", q.Theirs, err, s.log)
	}
}

// other has the other program change what it has open, or open it anew first, save it, and the desk take over what it did.
func (s *sides) other() {
	if s.open.rows == nil || s.chance.IntN(3) > 0 {
		s.open = s.file
		s.say("the other opens the workbook")
	}
	b := s.book
	base, _ := b.at(b.history.common(s.open.trail))
	before := cmp.Or(base, b.history.start)
	var changes []Change
	for range 1 + s.chance.IntN(2) {
		r := s.any(s.open.rows)
		switch what := s.chance.IntN(8); {
		case r == nil || what == 0:
			id := NewID()
			changes = []Change{{Kind: Insert, ID: id}, {Kind: Set, ID: id, Column: "Title", Text: s.text("other")}}
			s.theirs[changes[1].Text] = true
		case what == 1:
			changes = []Change{{Kind: Remove, ID: r.ID}}
			s.replaced(cellsOf(r)...)
		default:
			c := Change{Kind: Set, ID: r.ID, Column: s.column(), Text: s.text("other")}
			if i := find(s.book.now.Rows[Journaling], c.ID); i >= 0 && what == 2 { // what the desk has typed there, if it has
				c.Text = cmp.Or(s.book.now.Rows[Journaling][i].Cells[c.Column], c.Text)
			}
			if i := find(before.Rows[Journaling], c.ID); c.Text == r.Cells[c.Column] || i >= 0 && c.Text == before.Rows[Journaling][i].Cells[c.Column] {
				continue // nobody could tell that it was typed again
			}
			changes = []Change{c}
			s.replaced(r.Cells[c.Column])
			s.theirs[c.Text] = true
		}
		s.say("the other does %v", changes)
		s.open.rows, _, _ = s.open.rows.apply(changes)
	}
	after, asked := takeOver(begun{base: base}, b.now, s.open.rows.asRead())
	var found problem.List
	b.install(after, asked, seen{mark: s.open.trail[0], agreed: b.agreed(begun{base: base}, s.open.rows.asRead())}, &found)
	if len(found) > 0 {
		s.t.Fatal(found, s.log)
	}
	s.save()
}

// restart opens the job anew from its journal.
func (s *sides) restart() {
	s.say("the desk is started anew")
	s.book.release()
	s.book = blank(s.disk, bookPath, s.book.settings.Load())
	records, _, why := s.book.openJournal()
	if why != nil || s.book.replay(records) < len(records) {
		s.t.Fatal(why, s.log)
	}
}

// alone opens the job anew from its workbook alone: somebody has taken the journal away.
func (s *sides) alone() {
	s.say("the journal is taken away")
	var out bytes.Buffer
	if err := form.WriteDesk(&out, s.book.desk(), s.book.settings.Load()); err != nil {
		s.t.Fatal(err)
	}
	data := save.Sealed(out.Bytes())
	s.book.release()
	old := s.book.Questions()
	if err := s.disk.Remove(filepath.Join(Folder(bookPath), journalName)); err != nil {
		s.t.Fatal(err)
	}
	s.book = blank(s.disk, bookPath, s.book.settings.Load())
	if records, _, why := s.book.openJournal(); why != nil || len(records) > 0 {
		s.t.Fatal(why, len(records))
	}
	f, why := s.book.parse(data)
	if why != nil {
		s.t.Fatal(why)
	}
	var found problem.List
	s.book.first(f, data, &found)
	if len(found) > 0 {
		s.t.Fatal(found, s.log)
	}
	now := s.book.Questions()
	same := func(a, b Question) bool {
		a.ID, b.ID, a.At, b.At = "", "", 0, 0
		return reflect.DeepEqual(a, b)
	}
	if !slices.EqualFunc(slices.DeleteFunc(old, func(q Question) bool { return q.Kind == ColumnGone || q.Kind == Renamed || q.Kind == SheetGone }), now, same) {
		s.t.Fatalf("the questions are %v, and were %v\n%v", now, old, s.log)
	}
	s.save()
}

// lost is a text of the other program that is nowhere, though nobody has replaced it who had seen it; "": none is.
func (s *sides) lost() string {
	there := map[string]bool{}
	for i := range s.book.now.Rows[Journaling] {
		for _, t := range s.book.now.Rows[Journaling][i].Cells {
			there[t] = true
		}
	}
	for _, q := range s.book.Questions() {
		there[q.Theirs] = true
	}
	for _, text := range slices.Sorted(maps.Keys(s.theirs)) {
		if text != "" && !there[text] {
			return text
		}
	}
	return ""
}

// Whatever two sides do in turn, a text that another program wrote is in the book, or in an open question, until somebody replaces it who has seen it: the
// desk's person by typing over it, by removing its row, by going back to an earlier state or by an answer, or the other program itself. Undo and Redo never
// do. 200 jobs, or 5,000 with LONG_TESTS=1.
func TestNothingOfTheOtherSideIsLost(t *testing.T) {
	jobs := longtests.Cases(200, 5000)
	conf := settings(t)
	for job := range jobs {
		d := fakedisk.New()
		b, err := create(d, bookPath, conf)
		if err != nil {
			t.Fatal(err)
		}
		s := &sides{t: t, chance: rand.New(rand.NewPCG(uint64(job), 3)), disk: d, book: b, theirs: map[string]bool{}}
		for range 3 {
			id := NewID()
			s.must(Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"})
		}
		s.save()
		for range 20 + s.chance.IntN(20) {
			switch what := s.chance.IntN(20); {
			case what < 13:
				s.desk()
			case what < 17:
				s.other()
			case what == 17 && s.chance.IntN(8) == 0: // it takes longer
				s.alone()
			case what == 17:
				s.restart()
			default:
				s.save()
			}
			if text := s.lost(); text != "" {
				t.Fatalf("job %d: %s is lost: %s\n%v", job, text, strings.Join(s.log, "\n"), s.book.Questions())
			}
		}
		s.book.release()
	}
}
