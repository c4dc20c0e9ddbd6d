package jobbook

import (
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"tuckmark/cmd/internal/journal"
	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/intake"
)

// session plays the same session on a disk until an error, and returns the rows after each step that is sure, the rows that the step at
// which it ended would have led to, and how the last of them ended.
func session(s *config.Settings, d *fakedisk.Disk, seed uint64) (sure, next [sheets][]Row, err error) {
	c := chance{rand.New(rand.NewPCG(seed, 9))}
	b, err := create(d, "d/x-desk.xlsx", s)
	if err != nil {
		return sure, next, err
	}
	m := newModel()
	for i := range 12 {
		if i == 8 {
			if err := b.Close(); err != nil {
				return copyRows(m.now), copyRows(m.now), err
			}
			if b, _, err = open(d, "d/x-desk.xlsx", s); err != nil {
				return copyRows(m.now), copyRows(m.now), err
			}
			if err := b.Trouble(); err != nil {
				return copyRows(m.now), copyRows(m.now), err
			}
		}
		sure = copyRows(m.now)
		changes := c.changes(m.now)
		for _, change := range tidied(changes) {
			m.make(change)
		}
		if _, err := b.Do(changes...); err != nil {
			return sure, copyRows(m.now), err
		}
		sure = copyRows(m.now)
		if i%3 == 2 {
			if err := b.Save(); err != nil {
				return sure, sure, err
			}
		}
	}
	if err := b.Close(); err != nil {
		return sure, sure, err
	}
	return sure, sure, nil
}

// At whichever write, sync or rename the machine stops, the next start has all that Do returned for.
func TestStopsAtEveryStep(t *testing.T) {
	longtests.Only(t)
	s := settings(t)
	for seed := range uint64(3) { // each takes another third of the steps
		for stop := 1 + int(seed); ; stop += 3 {
			chance := rand.New(rand.NewPCG(seed, uint64(stop)))
			d := fakedisk.New()
			d.StopAt(stop, chance)
			sure, next, ended := session(s, d, seed)
			for _, after := range []*fakedisk.Disk{d.Restart(chance), d.Restart(nil)} {
				b, found, err := open(after, "d/x-desk.xlsx", s)
				if err != nil {
					if len(sure[0])+len(sure[1]) > 0 {
						t.Fatalf("seed %d, stopped at step %d (%v): %v %v", seed, stop, ended, err, found)
					}
					continue
				}
				if got := rowsOf(b); !reflect.DeepEqual(got, sure) && !reflect.DeepEqual(got, next) {
					t.Fatalf("seed %d, stopped at step %d (%v): the rows are\n%v\nsure were\n%v", seed, stop, ended, got, sure)
				}
				if q := b.Questions(); len(q) > 0 {
					t.Fatalf("seed %d, stopped at step %d: it asks %v", seed, stop, q)
				}
				if err := b.Close(); err != nil {
					t.Fatal(err)
				}
			}
			if ended == nil {
				t.Logf("seed %d: %d steps", seed, stop)
				break
			}
		}
	}
}

// At whichever step the disk fails once, work goes on, and nothing is lost.
func TestFailsAtEveryStep(t *testing.T) {
	longtests.Only(t)
	s := settings(t)
	full := errors.New("full")
	for fails := 1; ; fails++ {
		d := fakedisk.New()
		failed := false
		d.Before = func(step int, _, _ string) error {
			if step == fails {
				failed = true
				return full
			}
			return nil
		}
		b, err := create(d, "d/x-desk.xlsx", s)
		if err != nil {
			if b, err = create(d, "d/x-desk.xlsx", s); err != nil { // it was made all the same
				if b, _, err = open(d, "d/x-desk.xlsx", s); err != nil {
					t.Fatalf("step %d: %v", fails, err)
				}
			}
		}
		c := chance{rand.New(rand.NewPCG(1, 9))}
		m := newModel()
		for i := range 9 {
			changes := c.changes(m.now)
			if _, err := b.Do(changes...); err != nil && !onDisk(err) {
				t.Fatalf("step %d: %v", fails, err)
			}
			for _, change := range tidied(changes) {
				m.make(change)
			}
			if i%3 == 2 {
				_ = b.Save()
			}
		}
		b.mu.Lock()
		b.retry = now()
		b.mu.Unlock()
		b.turn()
		if err := b.Close(); err != nil {
			t.Fatalf("step %d: %v", fails, err)
		}
		b, found, err := open(d, "d/x-desk.xlsx", s)
		if err != nil {
			t.Fatalf("step %d: %v", fails, err)
		}
		if got := rowsOf(b); !reflect.DeepEqual(got, m.now) || len(b.Questions()) > 0 {
			t.Fatalf("step %d: the rows are\n%v\nwant\n%v\n%v %v", fails, got, m.now, b.Questions(), found)
		}
		if !failed {
			t.Logf("%d steps", fails)
			return
		}
	}
}

// FuzzReplay: whatever the records of a journal say, playing them ends, and what comes of them can be worked with.
func FuzzReplay(f *testing.F) {
	s := settings(f)
	d := fakedisk.New()
	if _, _, err := session(s, d, 1); err != nil {
		f.Fatal(err)
	}
	_, records, _, err := journal.Open(d, "d/.x-desk/journal")
	if err != nil || len(records) == 0 {
		f.Fatal(len(records), err)
	}
	f.Add(bytes.Join(records, nil))
	f.Add([]byte(`{"whole":{"unit":"in","revision":1}}` + "\n" + `{"step":{"r":2,"c":[{"k":1,"id":"aaaaaaaaaa"}]},"asked":[{"kind":6,"sheet":9,"choices":[{"key":"keep"}]}],"stacks":{"done":[2,7]}}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		b := blank(fakedisk.New(), bookPath, s)
		if b.replay(bytes.Split(data, []byte("\n"))); b.now == nil {
			return
		}
		for _, q := range b.Questions() {
			for _, c := range q.Choices {
				_ = b.Answer(q.ID, c.Key, "") // whatever it does, it ends
			}
		}
		before := rowsOf(b)
		if _, more, err := b.Undo(); more && err == nil {
			if _, more, err = b.Redo(); !more || err != nil || !reflect.DeepEqual(rowsOf(b), before) {
				t.Fatalf("what was taken back does not come again: %v %v", more, err)
			}
		}
		intake.ReadTables(b.Input().Tables, s)
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
	})
}

// However long somebody types, the folder stays small, the newest states can be returned to, and so can the first as long as there is room.
func TestFolderStaysSmall(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	text := strings.Repeat("all work and no play ", 900)
	most := int64(0)
	for i := range 1500 {
		do(t, b, Change{Kind: Set, ID: ids[i/5%3], Column: "Journaling", Text: fmt.Sprint(i, text)})
		most = max(most, b.journal.Size())
	}
	if limit := int64(mostJournal + 2*b.now.size + 100_000); most > limit || most < mostJournal {
		t.Errorf("the journal had %d bytes, and may have %d", most, limit)
	}
	states := b.States()
	if len(states) < 100 {
		t.Fatalf("there are %d states", len(states))
	}
	then := states[90].Revision
	if _, err := b.Return(then, 0); err != nil {
		t.Fatal(err)
	}
	want := rowsOf(b)
	d = d.Restart(nil)
	b, _, err := open(d, bookPath, settings(t))
	if err != nil || !reflect.DeepEqual(rowsOf(b), want) {
		t.Fatal(err)
	}
	if _, more, err := b.Undo(); !more || err != nil {
		t.Fatal(more, err)
	}
	if got := b.Rows(Journaling)[find(b.now.Rows[0], ids[1499/5%3])].Cells["Journaling"]; got != fmt.Sprint(1499, text) {
		t.Errorf("the newest text begins %.10s", got)
	}
	if _, err := b.Return(b.States()[len(b.States())-1].Revision, 0); err != nil {
		t.Error(err)
	}
}
