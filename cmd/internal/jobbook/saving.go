package jobbook

import (
	"bytes"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"time"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/intake/form"
	"tuckmark/intake/table"
)

// The book is kept by the clock: what was done is saved within a second, and the workbook is looked at, whether another program has changed it.
const (
	tick    = 100 * time.Millisecond
	settles = 300 * time.Millisecond // from a change to the saving: what is typed meanwhile is saved with it
	looks   = time.Second            // from one look at the workbook to the next
)

// keep keeps the book until it is closed.
func (b *Book) keep() {
	defer b.kept.Done()
	t := time.NewTicker(tick)
	defer t.Stop()
	for {
		select {
		case <-b.quit:
			return
		case <-t.C:
			b.turn()
		}
	}
}

// turn does what is due.
func (b *Book) turn() {
	b.mu.Lock()
	at := now()
	look := at.Sub(b.shown.looked) >= looks
	if (look || !b.touched.IsZero()) && !b.behind && b.missed() { // whose folder somebody has taken away: all that is not in the workbook is only here
		b.behind = true
	}
	waits := at.Before(b.retry)
	journal := b.behind && !waits
	saves := !b.touched.IsZero() && at.Sub(b.touched) >= settles && !waits
	if journal && b.rewrite() == nil && b.touched.IsZero() { // else the saving that is due tells it
		b.overTrouble()
	}
	b.mu.Unlock()
	if look {
		b.look()
	}
	if saves {
		_ = b.Save()
	}
}

// Save saves the workbook now. The error is a *problem.Problem; it is tried again by itself.
func (b *Book) Save() error {
	b.saving.Lock()
	defer b.saving.Unlock()
	for range 3 { // while another program changes it, too
		again, why := b.save()
		if why != nil {
			return why
		}
		if !again {
			return nil
		}
	}
	return nil
}

// save writes the workbook, or, where another program has changed that, takes over what it did: then it is to be saved again.
func (b *Book) save() (again bool, why error) {
	b.mu.Lock()
	if b.touched.IsZero() || b.closed {
		b.mu.Unlock()
		return false, nil
	}
	b.mu.Unlock()
	if p := b.takeLeft(); p != nil {
		b.mu.Lock()
		b.tell(Event{Kind: Noted, Problem: p})
		b.mu.Unlock()
	}
	b.mu.Lock()
	if why := b.payOwed(); why != nil {
		b.mu.Unlock()
		return false, b.unsaved(why)
	}
	d, read, has := b.desk(), b.shown.seen, b.changes
	v := version{Revision: b.history.last, Codes: len(b.codes)}
	b.mu.Unlock()

	var out bytes.Buffer
	if err := form.WriteDesk(&out, d, b.settings.Load()); err != nil {
		return false, b.unsaved(&problem.Problem{Place: problem.Place{File: filepath.Base(b.path)}, What: "the workbook cannot be made", Cause: err.Error(), Hint: "take back what was done last", Disk: true})
	}
	data := save.Sealed(out.Bytes())
	v.Digest = save.DigestOf(data)

	info, p := save.Update(b.disk, b.path, data, read)
	if save.IsChanged(p) && b.fresh() {
		return false, b.unsaved(&problem.Problem{Place: problem.Place{File: filepath.Base(b.path)}, What: isThere, Cause: "it came there after this job was begun, and is left as it is", Hint: "move it to another folder; then the job is saved by itself", Disk: true})
	}
	if save.IsChanged(p) {
		if why := b.compare(); why != nil {
			return false, why
		}
		return true, nil
	}
	if p != nil {
		p.Place.File = filepath.Base(b.path)
		return false, b.unsaved(p)
	}

	b.mu.Lock()
	defer b.mu.Unlock()
	b.shown = shown{version: v, seen: v.Digest}
	b.remember(info)
	err := b.log(record{Saved: &v})
	if b.touched = now(); b.changes == has {
		b.touched = time.Time{}
	}
	if err == nil {
		b.overTrouble()
	}
	return false, nil
}

// overTrouble notes that the disk takes everything, and tells it where it has everything.
func (b *Book) overTrouble() {
	b.trouble, b.wait, b.retry = nil, 0, time.Time{}
	if b.touched.IsZero() {
		b.tell(Event{Kind: Saved})
	}
}

// unsaved notes that the workbook could not be saved.
func (b *Book) unsaved(p *problem.Problem) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.failed(p)
}

// desk is the book as its workbook has it.
func (b *Book) desk() *form.Desk { return b.deskOf(b.now) }

// deskOf is the same for another state of the rows.
func (b *Book) deskOf(now *state) *form.Desk {
	d := &form.Desk{State: append([]string{b.name, strconv.FormatInt(int64(b.history.last), 10), b.unit.String()}, append(b.history.trail(), carry(b.questions)...)...), Unit: b.unit}
	for i, to := range []*form.DeskSheet{&d.Journaling, &d.Paper} {
		to.Columns = now.written(Sheet(i))
		to.Rows = make([]form.DeskRow, len(now.Rows[i]))
		for k, r := range now.Rows[i] {
			to.Rows[k] = form.DeskRow{ID: r.ID, Code: b.codes[r.ID], Cells: r.Cells}
		}
	}
	return d
}

// beforeTrail is how many texts stand before the trail in the state that a workbook says it shows: name, revision, unit.
const beforeTrail = 3

// trailOf is the trail of the state that a workbook says it shows.
func trailOf(f *table.File) []string {
	return slices.DeleteFunc(slices.Clone(f.State[min(beforeTrail, len(f.State)):]), isCarried)
}

// remember notes how the workbook looks from outside, so that a change of it is seen. What it is told was looked at before the workbook was read, or is of the
// very file that the desk wrote: another program may have saved since. Nil is a workbook that was not there.
func (b *Book) remember(info fs.FileInfo) {
	b.shown.looked = now()
	if info != nil {
		b.shown.size, b.shown.changed = info.Size(), info.ModTime()
	}
}

// Close saves the book and closes it. Where it cannot be saved, the error says why, and the book stays open.
func (b *Book) Close() error {
	if err := b.Settle(); err != nil {
		return err
	}
	return b.Leave()
}

// Settle saves the workbook as Save does. Where half of one stands there, which another program may be writing, it waits, no longer than that is taken for
// being written.
func (b *Book) Settle() (err error) {
	for range longPatience/tick + 2 {
		if err = b.Save(); err == nil || !b.halfWritten() {
			return err
		}
		time.Sleep(tick)
	}
	return err
}

// halfWritten reports that something stands in the workbook's place that is none, and has not been settled yet.
func (b *Book) halfWritten() bool {
	b.saving.Lock()
	defer b.saving.Unlock()
	return b.unread != unread{}
}

// Leave closes the book as it is on the disk. What the workbook lacks is in the journal, unless the error says that it is in neither.
func (b *Book) Leave() error {
	b.mu.Lock()
	if b.closed {
		b.mu.Unlock()
		return nil
	}
	b.closed = true
	if b.quit != nil {
		close(b.quit)
	}
	b.mu.Unlock()
	b.kept.Wait()
	b.saving.Lock() // a saving that is under way
	defer b.saving.Unlock()
	b.mu.Lock()
	defer b.mu.Unlock()
	var err error
	if b.retry = (time.Time{}); b.behind {
		err = b.rewrite()
	}
	b.release()
	close(b.events)
	return err
}
