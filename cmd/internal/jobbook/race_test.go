package jobbook

import (
	"math/rand/v2"
	"path/filepath"
	"slices"
	"syscall"
	"testing"

	"github.com/xuri/excelize/v2"

	"tuckmark/cmd/internal/save/fakedisk"
)

// racing is a disk on which another program saves in the very moment of a step: when is called with it, before the step or, of a reading, after it.
type racing struct {
	*fakedisk.Disk
	when func(op, path string)
}

func (d *racing) Read(path string) ([]byte, error) {
	data, err := d.Disk.Read(path)
	d.when("read", path)
	return data, err
}

func (d *racing) SyncFolder(path string) error {
	d.when("syncfolder", path)
	return d.Disk.SyncFolder(path)
}

// once lets something happen at the next step of a kind, and at no other.
func (d *racing) once(op, path string, what func()) {
	d.when = func(o, p string) {
		if o == op && p == path {
			d.when = func(string, string) {}
			what()
		}
	}
}

// What another program saves in the moment in which the desk writes the workbook, or looks at it, is taken over when it looks the next time.
func TestSavedInTheMoment(t *testing.T) {
	for name, race := range map[string]struct {
		op, path string
		at       func(t *testing.T, b *Book, ids []string) *Book // does what has the step in it
	}{
		"after the desk's own": {"syncfolder", filepath.Dir(bookPath), func(t *testing.T, b *Book, ids []string) *Book {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"})
			must(t, b.Save())
			return b
		}},
		"while it is looked at": {"read", bookPath, func(t *testing.T, b *Book, _ []string) *Book {
			edit(t, b.disk.(*racing).Disk, func(f *excelize.File) { set(t, f, 1, "Width", "9") })
			b.look()
			return b
		}},
		"while one of the desk's own is looked at": {"read", bookPath, func(t *testing.T, b *Book, ids []string) *Book {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"})
			d := b.disk.(*racing)
			race := d.when
			d.when = func(string, string) {}
			must(t, b.Save())
			data, err := d.Read(bookPath)
			must(t, err)
			d.Put(bookPath, data) // as a program does that keeps folders alike
			d.when = race
			b.look()
			return b
		}},
		"while the job is opened": {"read", bookPath, func(t *testing.T, b *Book, ids []string) *Book {
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"})
			must(t, b.Leave())
			b, _, err := open(b.disk, bookPath, settings(t))
			must(t, err)
			return b
		}},
	} {
		t.Run(name, func(t *testing.T) {
			d := &racing{fakedisk.New(), func(string, string) {}}
			b, ids := three(t, d.Disk)
			b.disk = d
			saved := false
			d.once(race.op, race.path, func() {
				saved = true
				edit(t, d.Disk, func(f *excelize.File) { set(t, f, 2, "Name", "Mia Vane") })
			})
			b = race.at(t, b, ids)
			if !saved {
				t.Fatal("nothing was saved meanwhile")
			}
			b.look()
			if got, want := told(b), []string{"Odile Hart/9/2", "Mia Vane/4/2", "Sunil Rao/4/2"}; !slices.Equal(got, want) || len(b.Questions()) > 0 {
				t.Errorf("the rows are %q, want %q; %v", got, want, b.Questions())
			}
			must(t, b.Close())
		})
	}
}

func (d *racing) Exchange(a, b string) error {
	d.when("exchange", b)
	return d.Disk.Exchange(a, b)
}

// What another program saves between the last look at the workbook and the step that puts the desk's own in its place is taken over, and it is as well where the machine stops, or the disk fails, at any step of that.
func TestSavedBeforeTheRename(t *testing.T) {
	const steps = 3 // the exchange, and back, and what is removed
	s := settings(t)
	for stop := range steps + 1 {
		for _, fails := range []bool{true, false} { // the step, and not the machine
			d := &racing{fakedisk.New(), func(string, string) {}}
			b, ids := three(t, d.Disk)
			b.disk = d
			do(t, b, Change{Kind: Set, ID: ids[0], Column: "Width", Text: "9"})
			at := 0
			d.once("exchange", bookPath, func() {
				edit(t, d.Disk, func(f *excelize.File) { set(t, f, 2, "Name", "Mia Vane") })
				at = d.Steps() + stop
				if !fails && stop > 0 {
					d.StopAt(at, rand.New(rand.NewPCG(1, uint64(stop))))
				}
			})
			d.Before = func(step int, _, _ string) error {
				if fails && stop > 0 && at > 0 && step == at {
					return syscall.ENOSPC
				}
				return nil
			}
			_ = b.Save()
			if at == 0 {
				t.Fatal("nothing was saved meanwhile")
			}
			books := []*Book{b}
			if fails {
				b.mu.Lock()
				b.retry = now()
				b.mu.Unlock()
				b.turn()
				must(t, b.Save())
			} else if books = nil; stop > 0 {
				for _, chance := range []*rand.Rand{nil, rand.New(rand.NewPCG(1, 1)), rand.New(rand.NewPCG(2, 2))} {
					b, _, err := open(d.Restart(chance), bookPath, s)
					must(t, err)
					books = append(books, b)
				}
			}
			for i, b := range books {
				if got, want := told(b), []string{"Odile Hart/9/2", "Mia Vane/4/2", "Sunil Rao/4/2"}; !slices.Equal(got, want) || len(b.Questions()) > 0 {
					t.Errorf("step %d, fails %v, %d: the rows are %q, want %q; %v", stop, fails, i, got, want, b.Questions())
				}
			}
		}
	}
}
