package jobbook

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/save/fakedisk"
	"tuckmark/config/longtests"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// watched are the events of a book that was started for it.
type watched struct {
	mu     sync.Mutex
	events []Event
}

func watch(b *Book) *watched {
	w := &watched{}
	b.Watch(func(e Event) {
		w.mu.Lock()
		defer w.mu.Unlock()
		w.events = append(w.events, e)
	})
	return w
}

// wait waits for an event, for twenty seconds at most.
func (w *watched) wait(t *testing.T, kind EventKind, what string) Event {
	t.Helper()
	for range 2000 {
		w.mu.Lock()
		i := slices.IndexFunc(w.events, func(e Event) bool {
			return e.Kind == kind && (what == "" || e.Problem != nil && strings.Contains(e.Problem.What+e.Problem.Cause, what))
		})
		if i >= 0 {
			e := w.events[i]
			w.events = w.events[i+1:]
			w.mu.Unlock()
			return e
		}
		w.mu.Unlock()
		time.Sleep(10 * time.Millisecond)
	}
	t.Fatalf("nothing is told of %q (%d); told was %+v", what, kind, w.events)
	return Event{}
}

// Trouble is why not everything is on the disk; nil, where it is, or will be within a second.
func (b *Book) Trouble() *problem.Problem {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.trouble
}

// IsBusy reports the error that another process has the book open.
func IsBusy(err error) bool {
	var p *problem.Problem
	return errors.As(err, &p) && p.What == busyWhat
}

// While the disk is full, or can only be read, it is said at once, work goes on in memory, and all of it is saved when it can be again.
func TestDiskFull(t *testing.T) {
	for _, c := range []struct {
		no   error
		says string
	}{{syscall.ENOSPC, "the disk is full"}, {syscall.EROFS, "the disk can only be read"}, {os.ErrPermission, "this user may not write there"}} {
		for _, journal := range []bool{true, false} { // whether the journal cannot be written, either
			t.Run(fmt.Sprint(c.says, journal), func(t *testing.T) {
				t.Parallel()
				d := fakedisk.New()
				var full bool
				var mu sync.Mutex
				b, ids := three(t, d)
				d.Before = func(_ int, op, path string) error {
					mu.Lock()
					defer mu.Unlock()
					if full && op != "remove" && (journal || !strings.HasSuffix(path, "journal")) {
						return c.no
					}
					return nil
				}
				b.start()
				w := watch(b)
				mu.Lock()
				full = true
				mu.Unlock()
				_, err := b.Do(Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"})
				var p *problem.Problem
				if journal && (!errors.As(err, &p) || !p.Disk || p.Cause != c.says) || !journal && err != nil {
					t.Fatalf("%v", err)
				}
				e := w.wait(t, Unsaved, c.says)
				if e.Problem.Hint == "" || e.Problem.Place.File != "x-desk.xlsx" || b.Trouble() == nil {
					t.Errorf("%+v", e.Problem)
				}
				if told(b)[0] != "Odile Hart/9/2" {
					t.Errorf("%q", told(b))
				}
				_, _ = b.Do(Change{Kind: Set, ID: ids[0], Column: "Height", Text: "3"})
				w.wait(t, Modified, "")
				w.wait(t, Unsaved, c.says) // it is not forgotten
				if b.Close() == nil {
					t.Fatal("it closed with work that is not saved")
				}
				mu.Lock()
				full = false
				mu.Unlock()
				for range 3000 { // the wait between two tries doubles
					if b.Trouble() == nil {
						break
					}
					time.Sleep(10 * time.Millisecond)
				}
				w.wait(t, Saved, "")
				want := rowsOf(b)
				if err := b.Close(); err != nil {
					t.Fatal(err)
				}
				b, found, err := open(d, bookPath, settings(t))
				if err != nil || len(found) > 0 || !reflect.DeepEqual(rowsOf(b), want) {
					t.Fatal(err, found)
				}
			})
		}
	}
}

// A book that is closed takes nothing any more, and says so.
func TestClosed(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	edit(t, d, func(f *excelize.File) { _ = f.RemoveRow("Journaling", 3) })
	b.look()
	q := b.Questions()
	if err := b.Close(); err != nil || len(q) != 1 {
		t.Fatal(err, q)
	}
	_, did := b.Do(Change{Kind: Remove, ID: ids[0]})
	_, _, undid := b.Undo()
	if err := b.Answer(q[0].ID, Keep, ""); err == nil || did == nil || undid == nil {
		t.Error(err, did, undid)
	}
	if err := errors.Join(b.Save(), b.Close(), b.Leave(), b.Keep(b.Input(), readJob(b))); err != nil {
		t.Error(err)
	}
	if len(b.Rows(Journaling)) != 3 {
		t.Error("its rows cannot be looked at")
	}
}

// The workbook may be saved again before the journal is: then the trouble is over with the journal.
func TestTroubleEndsWithTheJournal(t *testing.T) {
	d := fakedisk.New()
	b, ids := three(t, d)
	full := true
	d.Before = func(_ int, op, path string) error {
		if full && strings.Contains(path, "journal") {
			return syscall.ENOSPC
		}
		return nil
	}
	if _, err := b.Do(Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"}); !onDisk(err) {
		t.Fatal(err)
	}
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	if b.Trouble() == nil {
		t.Error("the journal lacks something, and all is well")
	}
	full = false
	b.mu.Lock()
	b.retry = now()
	b.mu.Unlock()
	b.turn()
	if b.Trouble() != nil {
		t.Error("nothing is lacking, and the trouble stays")
	}
}

// A book in a folder that cannot be written to opens, says so, and is kept once the folder can be written to.
func TestReadOnlyFolder(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	want := told(b)
	for _, n := range d.Names() {
		if n != bookPath {
			if err := d.Remove(n); err != nil {
				t.Fatal(err)
			}
		}
	}
	d.Before = func(int, string, string) error { return syscall.EROFS }
	b, found, err := open(d, bookPath, settings(t))
	if err != nil || found.Errors() != 1 || found[0].Cause != "the disk can only be read" {
		t.Fatal(err, found)
	}
	if !slices.Equal(told(b), want) {
		t.Errorf("%q", told(b))
	}
	if _, err := b.Do(Change{Kind: Set, ID: b.Rows(Journaling)[0].ID, Column: "Width", Text: "9"}); !onDisk(err) {
		t.Errorf("%v", err)
	}
	d.Before = nil
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if b, _, err = open(d, bookPath, settings(t)); err != nil || told(b)[0] != "Odile Hart/9/2" {
		t.Fatal(err, told(b))
	}
}

// A workbook that is moved or deleted is told of and written anew; one that is damaged, or another job's, is kept aside first.
func TestWorkbookGoneOrStrange(t *testing.T) {
	other := fakedisk.New()
	three(t, other)
	foreign, err := other.Read(bookPath)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		name  string
		there []byte // nil: nothing is
		says  string
	}{{"moved", nil, "the workbook was moved or deleted"}, {"damaged", []byte("PK\x03\x04 and no more"), "what stood in the workbook's place"}, {"empty", []byte{}, "what stood in the workbook's place"}, {"another", foreign, "another job's"},
		{"somebody's words", []byte("what Ada told me on the quay"), "what stood in the workbook's place"}} {
		for _, running := range []bool{true, false} {
			t.Run(fmt.Sprint(c.name, running), func(t *testing.T) {
				t.Parallel()
				d := fakedisk.New()
				b, _ := three(t, d)
				want := rowsOf(b)
				if !running {
					if err := b.Leave(); err != nil {
						t.Fatal(err)
					}
				}
				if c.there == nil {
					if err := d.Remove(bookPath); err != nil {
						t.Fatal(err)
					}
				} else {
					d.Put(bookPath, c.there)
				}
				if running {
					b.start()
					w := watch(b)
					w.wait(t, Noted, c.says)
					w.wait(t, Saved, "")
				} else {
					var found problem.List
					var err error // each case's own: they run beside each other
					if b, found, err = open(d, bookPath, settings(t)); err != nil || len(found) != 1 || found.Errors() > 0 {
						t.Fatalf("%s: %v %v", c.name, err, found)
					}
				}
				if err := b.Close(); err != nil {
					t.Fatal(err)
				}
				if kept, err := d.Read("d/.x-desk/strange.xlsx"); c.there != nil && (err != nil || !bytes.Equal(kept, c.there)) {
					t.Errorf("%s: what was there is not kept: %v", c.name, err)
				}
				b, found, err := open(d, bookPath, settings(t))
				asked := b.Questions()
				if len(c.there) > 0 { // somebody may have typed there
					if len(asked) != 1 || asked[0].Kind != SetAside || !strings.Contains(asked[0].What, "cannot be read here") || !strings.Contains(asked[0].What, ".x-desk/strange.xlsx") {
						t.Fatalf("%s: asked is %v", c.name, asked)
					}
					asked = nil
				}
				if err != nil || len(found) > 0 || !reflect.DeepEqual(rowsOf(b), want) || len(asked) > 0 {
					t.Errorf("%s, running %v: %v %v %v", c.name, running, err, found, told(b))
				}
			})
		}
	}
}

// lateClock is a disk whose clock is not the machine's.
type lateClock struct {
	save.Disk
	by time.Duration
}

type shiftedInfo struct {
	fs.FileInfo
	by time.Duration
}

func (i shiftedInfo) ModTime() time.Time { return i.FileInfo.ModTime().Add(i.by) }

func (d lateClock) Stat(path string) (fs.FileInfo, error) {
	info, err := d.Disk.Stat(path)
	if err != nil {
		return nil, err
	}
	return shiftedInfo{info, d.by}, nil
}

// A workbook that another program has written half is left to it until it has written the rest, whatever the clock of the disk says.
func TestHalfWrittenWorkbook(t *testing.T) {
	for _, by := range []time.Duration{0, 2 * time.Hour, -2 * time.Hour} {
		t.Run(by.String(), func(t *testing.T) {
			t.Parallel()
			d := fakedisk.New()
			b, ids := three(t, d)
			if err := b.Close(); err != nil {
				t.Fatal(err)
			}
			b, _, err := open(lateClock{d, by}, bookPath, settings(t))
			if err != nil {
				t.Fatal(err)
			}
			edit(t, d, func(f *excelize.File) { f.SetCellStr("Journaling", "A2", "Odile Vane") })
			whole, err := d.Read(bookPath)
			if err != nil {
				t.Fatal(err)
			}
			for _, half := range [][]byte{{}, whole[:len(whole)/2]} {
				d.Put(bookPath, half)
				b.look()
				do(t, b, Change{Kind: Set, ID: ids[0], Column: "Title", Text: fmt.Sprint(len(half))})
				if b.Save() == nil {
					t.Error("it is not told that the workbook waits")
				}
				if there, err := d.Read(bookPath); err != nil || !bytes.Equal(there, half) {
					t.Fatalf("what the other program writes was replaced: %v", err)
				}
			}
			d.Put(bookPath, whole)
			if err := b.Save(); err != nil {
				t.Fatal(err)
			}
			if r := rowsOf(b)[Journaling][0]; r.Cells["Name"] != "Odile Vane" || r.Cells["Title"] == "" {
				t.Errorf("not both changes are there: %v", r)
			}
		})
	}
}

// What stood in the workbook's place is kept each time.
func TestStrangeTwice(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	theirs, names := []string{"", "what Ada told me", "what Bo told me"}, []string{"strange.xlsx", "strange-2.xlsx", "strange-3.xlsx"}
	for i, there := range theirs {
		d.Put(bookPath, []byte(there))
		b, found, err := open(d, bookPath, settings(t))
		if err != nil || len(found) != 1 {
			t.Fatal(err, found)
		}
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		for n, want := range theirs[:i+1] {
			if kept, err := d.Read("d/.x-desk/" + names[n]); err != nil || string(kept) != want || !strings.HasSuffix(found[0].Cause, "/"+names[i]) {
				t.Errorf("%s holds %q: %v; %v", names[n], kept, err, found)
			}
		}
	}
}

// What was typed is in the workbook when the desk ends, also where another program has left something else in its place a moment before.
func TestClosesOverHalfAWorkbook(t *testing.T) {
	longtests.Only(t)
	t.Parallel()
	d := fakedisk.New()
	b, ids := three(t, d)
	d.Put(bookPath, []byte("half a workbook"))
	do(t, b, Change{Kind: Set, ID: ids[0], Column: "Title", Text: "typed at the end"})
	must(t, b.Close())
	if data, err := d.Read("d/.x-desk/strange.xlsx"); err != nil || string(data) != "half a workbook" {
		t.Errorf("what was there is kept as %q: %v", data, err)
	}
	edit(t, d, func(f *excelize.File) {
		if title, err := f.GetCellValue("Journaling", column(t, f, "Journaling", "Title")+"2"); err != nil || title != "typed at the end" {
			t.Errorf("the workbook has the title %q: %v", title, err)
		}
	})
}

// What another program writes is taken over, also where it empties the workbook first, or writes the beginning, and goes on seconds later.
func TestSlowWriter(t *testing.T) {
	longtests.Only(t)
	for name, begun := range map[string]func(all []byte) []byte{"empty": func([]byte) []byte { return nil }, "begun": func(all []byte) []byte { return all[:len(all)/2] }} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			d := fakedisk.New()
			b, ids := three(t, d)
			edit(t, d, func(f *excelize.File) {
				must(t, f.SetCellValue("Journaling", column(t, f, "Journaling", "Title")+"2", "written slowly"))
			})
			edited, err := d.Read(bookPath)
			must(t, err)
			d.Put(bookPath, begun(edited))
			there, err := d.Read(bookPath)
			must(t, err)
			b.start()
			do(t, b, Change{Kind: Set, ID: ids[1], Column: "Title", Text: "typed meanwhile"})
			time.Sleep(longPatience - time.Second)
			if now, err := d.Read(bookPath); err != nil || !bytes.Equal(now, there) { // the program has that file open, and goes on in it
				t.Errorf("the workbook was exchanged while it was written: %v", err)
			}
			d.Put(bookPath, edited)
			must(t, b.Close())
			b, _, err = open(d, bookPath, settings(t))
			must(t, err)
			for i, want := range []string{"written slowly", "typed meanwhile"} {
				if got := b.Rows(Journaling)[i].Cells["Title"]; got != want {
					t.Errorf("the title %q is not %q; %v", got, want, told(b))
				}
			}
		})
	}
}

// TestOpenedWhileWritten: nor is what a program writes lost that has only begun when the job is opened.
func TestOpenedWhileWritten(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	must(t, b.Close())
	edit(t, d, func(f *excelize.File) {
		must(t, f.SetCellValue("Journaling", column(t, f, "Journaling", "Title")+"2", "written slowly"))
	})
	edited, err := d.Read(bookPath)
	must(t, err)
	d.Put(bookPath, edited[:len(edited)/2])
	info, err := d.Stat(bookPath)
	must(t, err)
	time.AfterFunc(time.Second, func() { d.Put(bookPath, edited) })
	said := 0
	must(t, awaitWritten(t.Context(), lateClock{d, now().Sub(info.ModTime())}, bookPath, func() { said++ }))
	b, found, err := open(d, bookPath, settings(t))
	must(t, err)
	if got := b.Rows(Journaling)[0].Cells["Title"]; got != "written slowly" || len(found) > 0 || said != 1 {
		t.Errorf("the title is %q; %v; it was said %d times", got, found, said)
	}
	ended, end := context.WithCancel(t.Context())
	end()
	d.Put(bookPath, nil)
	info, err = d.Stat(bookPath)
	must(t, err)
	if err := awaitWritten(ended, lateClock{d, now().Sub(info.ModTime())}, bookPath, func() {}); err == nil {
		t.Error("it waits on though it was ended")
	}
	d.Put(bookPath, edited)
	must(t, b.Close())
}

// unreadable is a disk with a file that this user may not read.
type unreadable struct {
	*fakedisk.Disk
	path string
}

func (d unreadable) Read(path string) ([]byte, error) {
	if path == d.path {
		return nil, fs.ErrPermission
	}
	return d.Disk.Read(path)
}

// What was kept before stays, too, while it cannot be read.
func TestStrangeUnread(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	const kept = "d/.x-desk/strange.xlsx"
	d.Put(kept, []byte("what Ada told me"))
	d.Put(bookPath, []byte("what Bo told me"))
	b, found, err := open(unreadable{d, kept}, bookPath, settings(t))
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	for name, want := range map[string]string{kept: "what Ada told me", "d/.x-desk/strange-2.xlsx": "what Bo told me"} {
		if data, err := d.Read(name); err != nil || string(data) != want {
			t.Errorf("%s holds %q: %v; %v", name, data, err, found)
		}
	}
}

// So is each journal that could not be read.
func TestDamagedJournalTwice(t *testing.T) {
	d := fakedisk.New()
	b, _ := three(t, d)
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	theirs, names := []string{"no journal", "nor this"}, []string{"journal-before", "journal-before-2"}
	for i, there := range theirs {
		d.Put("d/.x-desk/journal", []byte(there))
		b, found, err := open(d, bookPath, settings(t))
		if err != nil {
			t.Fatal(err)
		}
		if len(found) != 1 || found.Errors() > 0 || !strings.Contains(found[0].What, "journal") || !strings.HasSuffix(found[0].Cause, ".x-desk/"+names[i]) {
			t.Errorf("nobody is told where what stood in the journal's place is kept: %v", found)
		}
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		for n, want := range theirs[:i+1] {
			if kept, err := d.Read("d/.x-desk/" + names[n]); err != nil || string(kept) != want {
				t.Errorf("%s holds %q: %v", names[n], kept, err)
			}
		}
	}
}

// A journal that is taken away while the desk has it, or replaced by a copy as a program does that keeps folders alike on several machines, is there
// again with what is done next: an open file would go on to take it all, under no name.
func TestJournalTakenAway(t *testing.T) {
	const at = "d/.x-desk/journal"
	for name, take := range map[string]func(d *fakedisk.Disk) error{
		"gone": func(d *fakedisk.Disk) error { return errors.Join(d.Remove(at), d.SyncFolder(filepath.Dir(at))) },
		"copied": func(d *fakedisk.Disk) error {
			data, err := d.Read(at)
			d.Put(at, data)
			return err
		},
		"cut short": func(d *fakedisk.Disk) error {
			data, err := d.Read(at)
			d.Put(at, data[:len(data)-10])
			return err
		},
	} {
		d := fakedisk.New()
		b, ids := three(t, d)
		if err := take(d); err != nil {
			t.Fatal(err)
		}
		do(t, b, Change{Kind: Set, ID: ids[1], Column: "Width", Text: "9"})
		after, found, err := open(d.Restart(nil), bookPath, settings(t))
		if err != nil || len(found) > 0 {
			t.Fatalf("%s: %v %v", name, err, found)
		}
		if got, want := told(after), told(b); !slices.Equal(got, want) {
			t.Errorf("%s: the rows are %q, want %q", name, got, want)
		}
	}
}

// A job whose folder is taken away while a desk has it open can be opened by a second one, which knows nothing of the first. Neither writes into the other's
// journal, and they bring their changes together: what either of them said was done is there when both were killed, whatever they did in turn, also what was
// in the journal alone when that was taken away. One may have ended before.
func TestFolderTakenAway(t *testing.T) {
	longtests.Only(t)
	runs := longtests.Cases(15, 2000)
	refused, kept := 0, 0
	for run := range runs {
		c := rand.New(rand.NewPCG(uint64(run), 17))
		d := fakedisk.New()
		first, ids := three(t, d)
		want := map[string]string{} // names that were said to be done, by row
		change := func(b *Book, id string) {
			text := NewID()
			_, err := b.Do(Change{Kind: Set, ID: id, Column: "Name", Text: text})
			switch {
			case err == nil:
				want[id] = text
				kept++
			case onDisk(err):
				delete(want, id) // it may be there or not
				refused++
			default:
				t.Fatal(err)
			}
		}
		for range c.IntN(4) {
			change(first, ids[c.IntN(2)])
		}
		if c.IntN(2) == 0 {
			if err := first.Save(); err != nil {
				t.Fatal(err)
			}
		}
		for _, name := range d.Names() {
			if filepath.Dir(name) == Folder(bookPath) {
				if err := d.Remove(name); err != nil {
					t.Fatal(err)
				}
			}
		}
		d.Release(filepath.Join(Folder(bookPath), "open"))
		if c.IntN(3) == 0 {
			change(first, ids[0]) // it has the folder again before the second desk comes
		}
		if c.IntN(3) == 0 {
			first.turn()
		}
		second, _, err := open(d, bookPath, settings(t))
		if err != nil {
			if !IsBusy(err) {
				t.Fatal(err)
			}
			second = nil
		}
		for range 2 + c.IntN(12) {
			switch n := c.IntN(8); {
			case n < 2:
				change(first, ids[0])
			case second == nil:
			case n < 4:
				change(second, ids[2])
			case n == 6 && c.IntN(3) == 0:
				first.turn()
			case n == 7 && c.IntN(5) == 0:
				if err := second.Close(); err != nil {
					t.Fatal(err)
				}
				second = nil
			case n == 4:
				_ = first.Save() // it may be said that the journal is not kept
			case n == 5:
				if err := second.Save(); err != nil {
					t.Fatal(err)
				}
			}
		}
		_ = first.Save() // by its clock
		if second != nil && c.IntN(2) == 0 {
			_ = second.Save()
		}
		after, found, err := open(d.Restart(nil), bookPath, settings(t))
		if err != nil {
			t.Fatalf("run %d: %v %v", run, err, found)
		}
		for id, name := range want {
			if i := find(after.now.Rows[Journaling], id); i < 0 || after.now.Rows[Journaling][i].Cells["Name"] != name {
				t.Errorf("run %d: a row lost its name %s: %v %v", run, name, after.now.Rows[Journaling], found)
			}
		}
	}
	if refused < runs/4 || kept < runs {
		t.Errorf("%d changes were refused, %d kept: the runs try too little", refused, kept)
	}
}

// A damaged workbook without a journal is refused in the words of check; and so is what is no book.
func TestRefused(t *testing.T) {
	d := fakedisk.New()
	s := settings(t)
	for _, c := range []struct{ path, data, says string }{
		{"d/a-desk.xlsx", "PK\x03\x04 and no more", "the workbook is damaged"}, {"d/b-desk.xlsx", "", "the file is empty"}, {"d/c.xlsx", "x", "the file is no job's workbook"}, {"d/-desk.xlsx", "x", "the file is no job's workbook"},
	} {
		d.Put(c.path, []byte(c.data))
		_, found, err := open(d, c.path, s)
		var p *problem.Problem
		if !errors.As(err, &p) || !strings.Contains(p.What, c.says) || p.Hint == "" || p.Place.File != filepath.Base(c.path) {
			t.Errorf("%s: %v %v", c.path, err, found)
		}
	}
	if _, _, err := open(d, "d/none-desk.xlsx", s); err == nil {
		t.Error("what is not there was opened")
	}
	b, ids := three(t, d)
	for _, c := range []Change{
		{Kind: Set, ID: ids[0], Column: "Journaling", Text: strings.Repeat("😀", 16_384)}, {Kind: Set, ID: ids[0], Column: "No such", Text: "x"}, {Kind: Set, ID: NewID(), Column: "Name", Text: "x"}, {Kind: Set, Sheet: 2, ID: ids[0]}, {Kind: 9, ID: ids[0]},
		{Kind: Insert, ID: ids[0]}, {Kind: Insert, ID: "x"}, {Kind: Insert, ID: NewID(), After: NewID()}, {Kind: Move, ID: ids[0], After: ids[0]}, {Kind: Remove, ID: ""}, {Kind: Set, Sheet: Paper, ID: ids[0], Column: "Stock", Text: "x"},
	} {
		before := b.Revision()
		id := NewID()
		if _, err := b.Do(Change{Kind: Insert, ID: id}, c); err == nil || onDisk(err) || b.Revision() != before || find(b.now.Rows[0], id) >= 0 {
			t.Errorf("%+v: %v", c, err)
		}
	}
	if !longtests.Many() { // to fill it takes seconds
		b.now.size = mostSize
		if _, err := b.Do(Change{Kind: Set, ID: ids[0], Column: "Name", Text: "x"}); err == nil || !strings.Contains(err.Error(), "as large as a workbook can be") {
			t.Errorf("a full book: %v", err)
		}
		return
	}
	r := rand.New(rand.NewPCG(17, 0))
	for i := 0; ; i++ {
		if i > 3000 {
			t.Fatal("a book without an end")
		}
		id, words := NewID(), make([]byte, 9*3500) // that are not packed into a small file, which may show less
		for at := range words {
			words[at] = "abcdefghijklmno "[r.IntN(16)]
		}
		if _, err := b.Do(Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Journaling", Text: strings.TrimSpace(string(words))}); err != nil {
			if !strings.Contains(err.Error(), "as large as a workbook can be") {
				t.Error(err)
			}
			break
		}
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if b, found, err := open(d, bookPath, s); err != nil || len(found) > 0 || len(b.Rows(Journaling)) < 900 {
		t.Errorf("the largest book: %v %v", err, found)
	}
	data, err := d.Read(bookPath)
	if err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "x-desk.xlsx")
	if err := os.WriteFile(path, data, 0o644); err != nil {
		t.Fatal(err)
	}
	if j, found := intake.Read([]string{path}, s); len(j.Held)+len(j.Blocks) < 900 {
		t.Errorf("the largest book reads as %d rows: %v", len(j.Held), found[:min(3, len(found))])
	}
}

// Two processes do not open one book.
func TestBusy(t *testing.T) {
	dir := t.TempDir()
	s := settings(t)
	path := filepath.Join(dir, "retreat-desk.xlsx")
	p := exec.Command(os.Args[0])
	p.Env = append(os.Environ(), childFolder+"="+dir)
	out, err := p.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := p.Start(); err != nil {
		t.Fatal(err)
	}
	if _, err := out.Read(make([]byte, 1)); err != nil {
		t.Fatal(err)
	}
	if _, _, err := open(save.System, path, s); !IsBusy(err) {
		t.Errorf("another process has it open, and: %v", err)
	}
	if err := p.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	_ = p.Wait()
	b, _, err := open(save.System, path, s)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := open(save.System, path, s); !IsBusy(err) {
		t.Errorf("this process has it open, and: %v", err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if b, _, err = open(save.System, path, s); err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
}

// What was done is in the workbook within a second, and what another program does to that is in the book soon after.
func TestWithinASecond(t *testing.T) {
	path := filepath.Join(t.TempDir(), "x-desk.xlsx")
	s := settings(t)
	b, err := New(path, s)
	if err != nil {
		t.Fatal(err)
	}
	w := watch(b)
	id := NewID()
	start := time.Now()
	do(t, b, Change{Kind: Insert, ID: id}, Change{Kind: Set, ID: id, Column: "Name", Text: "Odile Hart"})
	w.wait(t, Saved, "")
	took := time.Since(start)
	start = time.Now()
	do(t, b, Change{Kind: Set, ID: id, Column: "Width", Text: "4"})
	if err := b.Save(); err != nil {
		t.Fatal(err)
	}
	slow := 10 * time.Since(start) // of a machine that is busy: a saving takes a few hundredths
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if got, _ := f.GetCellValue("Journaling", "A2"); got != "Odile Hart" || took > max(time.Second, slow) {
		t.Errorf("after %v the workbook has %q", took, got)
	}
	if err := f.SetCellValue("Journaling", "B2", "Harbour"); err != nil {
		t.Fatal(err)
	}
	if err := f.Save(); err != nil {
		t.Fatal(err)
	}
	f.Close()
	w.wait(t, Merged, "")
	if got := b.Rows(Journaling)[0].Cells["Page"]; got != "Harbour" {
		t.Errorf("the page is %q", got)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
}
