package jobbook

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// compare reads the workbook, which another program has changed, and takes over what it did. Who calls it holds saving.
func (b *Book) compare() error {
	data, why := b.readWorkbook()
	if data == nil {
		if b.missing(why) {
			return nil
		}
		return b.unsaved(why)
	}
	digest := save.DigestOf(data)
	if b.own(digest) {
		b.unread = unread{}
		return nil
	}
	f, _ := b.parse(data)
	switch {
	case b.another(f):
		if b.unread.digest != digest {
			b.unread = unread{digest, now()}
		}
		if now().Sub(b.unread.since) < patienceWith(data) {
			return b.unsaved(&problem.Problem{Place: problem.Place{File: filepath.Base(b.path)}, What: "another program is writing the workbook", Hint: "wait until it has done so", Disk: true})
		}
		b.mu.Lock()
		b.tell(Event{Kind: Noted, Problem: b.strange(data)})
		b.mu.Unlock()
		return nil
	}
	b.unread = unread{}
	if p := b.compared(f, data); p != nil {
		b.mu.Lock()
		b.tell(Event{Kind: Noted, Problem: p})
		b.mu.Unlock()
	}
	return nil
}

// takeLeft takes over what another program saved in the very moment of a saving that ended before that was back in its place. Who calls it holds saving, or has
// the book alone. What it returns is only said.
func (b *Book) takeLeft() *problem.Problem {
	data := save.Left(b.disk, b.path)
	digest := save.DigestOf(data)
	if data == nil || b.left == digest {
		return nil
	}
	b.left = digest
	b.mu.Lock()
	known := digest == b.shown.seen || digest == b.shown.Digest // what was to be replaced
	b.mu.Unlock()
	if f, _ := b.parse(data); !known && f != nil && (len(f.State) == 0 || f.State[0] == b.name) && !(save.IsUntouched(data) && b.shows(f)) {
		found := b.compared(f, data)
		b.mu.Lock()
		defer b.mu.Unlock()
		if !b.behind && b.owed == nil { // else it is not safe yet
			save.RemoveLeft(b.disk, b.path)
		}
		return found
	}
	return nil
}

// shows reports a desk's workbook that shows a state of this book.
func (b *Book) shows(f *table.File) bool {
	trail := trailOf(f)
	b.mu.Lock()
	defer b.mu.Unlock()
	return len(trail) > 0 && b.history.common(trail[:1]) > 0
}

// unread is what stands in the workbook's place and is none, and since when it was seen to be the same. It is timed here, since the clock of the disk
// may be another one, as it often is on a network.
type unread struct {
	digest save.Digest
	since  time.Time
}

// patience is how long another program may leave half a workbook as it is while it writes it. A file that is empty, and an archive without its end, are given
// longer: the program has only begun, and what it writes after the file was exchanged for another would be lost.
const (
	patience     = 3 * time.Second
	longPatience = 8 * time.Second
)

func patienceWith(data []byte) time.Duration {
	const first, last = "PK\x03\x04", "PK\x05\x06" // of a local file header, and of the end of central directory record (APPNOTE.TXT 4.3.7, 4.3.16)
	if len(data) == 0 || bytes.HasPrefix(data, []byte(first)) && !bytes.Contains(data[max(0, len(data)-1<<16):], []byte(last)) {
		return longPatience
	}
	return patience
}

// justWritten reports a file that was written a little while ago, and may be written yet. The clock of the disk may be another one.
func justWritten(info fs.FileInfo, within time.Duration) bool {
	age := now().Sub(info.ModTime())
	return age >= 0 && age < within
}

// AwaitWritten waits while another program has only begun to write the workbook at a path, no longer than such a program is given. Say is called where there is
// something to wait for. The error is the context's.
func AwaitWritten(ctx context.Context, path string, say func()) error {
	return awaitWritten(ctx, save.System, path, say)
}

func awaitWritten(ctx context.Context, d save.Disk, path string, say func()) error {
	for waits := false; ; waits = true {
		info, err := d.Stat(path)
		if err != nil || !justWritten(info, longPatience) {
			return nil
		}
		if data, err := d.Read(path); err != nil || patienceWith(data) != longPatience {
			return nil
		}
		if !waits {
			say()
		}
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(tick):
		}
	}
}

// missing reports a workbook that is not there any more, and has it written anew.
func (b *Book) missing(why *problem.Problem) bool {
	if _, err := b.disk.Stat(b.path); !errors.Is(err, fs.ErrNotExist) {
		return false
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.shown.seen = ""
	b.touch()
	b.tell(Event{Kind: Noted, Problem: &problem.Problem{Severity: problem.Note, Place: why.Place, What: "the workbook was moved or deleted", Cause: "it is written anew, with all of the job", Hint: "if it was moved on purpose, close the desk and open it from its new place"}})
	return true
}

// strange keeps a copy of what stands in the workbook's place and is none, or another job's, has the workbook written anew, and asks a person to look at it:
// somebody may have typed there.
func (b *Book) strange(data []byte) *problem.Problem {
	aside := b.asideName("strange", ".xlsx", data)
	p := &problem.Problem{Severity: problem.Note, Place: problem.Place{File: filepath.Base(b.path)}, What: "what stood in the workbook's place was damaged, or another job's",
		Cause: "the workbook is written anew from the journal; a copy of what was there is " + filepath.Base(filepath.Dir(aside)) + "/" + filepath.Base(aside)}
	if err := save.Replace(b.disk, aside, data); err != nil {
		p.Cause, p.Severity, p.Hint = "no copy of it could be kept: "+save.Reason(err), problem.Error, "move it to another place, so that the workbook can be written"
		return p
	}
	b.shown.seen = save.DigestOf(data)
	b.touch()
	if len(data) > 0 {
		asked, closed := b.ask([]Question{{Kind: SetAside, Column: filepath.Base(filepath.Dir(aside)) + "/" + filepath.Base(aside), Choices: []Choice{{Key: Keep}},
			Says: "all of it, which cannot be read here (it has a password, is of another kind, is damaged, or is another job's)"}})
		_ = b.log(record{Asked: asked, Closed: closed}) // it has told what is wrong
		b.tell(Event{Kind: Asked})
	}
	if to, refused := b.disk.Target(b.path); refused == nil && to != b.path { // a link to what is none of this job's, which stays as it is
		if err := b.disk.Remove(b.path); err != nil {
			p.Cause, p.Severity, p.Hint = "a link to it stands there, and cannot be removed: "+save.Reason(err), problem.Error, "remove the link, so that the workbook can be written"
			return p
		}
		b.shown.seen = ""
	}
	return p
}

// seen is a workbook that was read.
type seen struct {
	digest  save.Digest
	mark    string     // of the state that it comes from
	read    *reading   // nil: it is as a desk has written it, which writes nothing but what it has
	open    []Question // that it carries and that are open in it, and were not asked here
	lost    []Question // what it had that the book does not keep
	brought []string   // marks of states elsewhere that come with it
	agreed  []Change   // cells that both sides have written since, the same in each
	part    bool       // not all of what it has is in the book
	side    *side      // what it had; nil: nobody knows what it began with
	back    []Question // of rows that it lacked and has again
	whole   bool       // another desk has written it, and it shows all that the book has now: it need not be written again
}

// compared takes over what another program has done to the workbook, if it has. What it returns is only said.
func (b *Book) compared(f *table.File, data []byte) *problem.Problem {
	b.mu.Lock()
	defer b.mu.Unlock()
	typed := intake.Typed([]*table.File{f}, b.settings.Load(), b.unit)
	if cause := b.now.tooWide(typed); cause != "" {
		return b.leave(data, cause)
	}
	from, known := Revision(0), false
	if len(f.State) > 1 {
		if r, err := strconv.ParseInt(f.State[1], 10, 64); err == nil && r > 0 {
			from, known = Revision(r), true
			b.history.last = max(b.history.last, min(from, b.history.last+1_000_000)) // a state that the journal has lost; its number is not given again
		}
	}
	file, shown := seen{digest: save.DigestOf(data)}, b.shown.Revision
	trail := trailOf(f)
	if len(trail) > 0 {
		from, known, file.mark, file.brought = b.history.common(trail), true, trail[0], b.history.elsewhere(trail)
	}
	untouched := save.IsUntouched(data)
	var start begun // nothing where nobody knows what the other program began with: it may be older than what stood there last
	if known {
		start = b.began(from, trail, untouched)
	}
	theirs := readSheets(typed)
	after, asked := takeOver(start, b.now, theirs)
	if !untouched {
		file.read = &reading{file: f, data: data, typed: typed, theirs: theirs, from: start}
	}
	if start.then != nil && file.mark != "" {
		file.side = &side{Mark: file.mark, Desk: untouched, Changes: has(theirs, start.then)}
		file.back = putBack(start, theirs)
		file.part = len(file.brought) > 0 && b.lacks(after, theirs, start.then, from)
	}
	file.open = b.unasked(f)
	file.whole = file.mark != "" && len(asked)+len(file.open) == 0 && showsAll(theirs, after) && file.read == nil
	file.agreed = b.agreed(start, theirs)
	var found, crossed problem.List
	if !untouched { // a desk strikes and hides nothing
		crossed = crossedOut(f, typed)
		file.lost = lost(crossed)
	}
	b.install(after, asked, file, &found)
	b.askSeen(found)
	if found = append(found, crossed...); len(found) > 0 {
		return &found[0]
	}
	if untouched && len(trail) > 0 && from < shown && b.history.common(trail[:1]) == from {
		return &problem.Problem{Severity: problem.Note, Place: problem.Place{File: filepath.Base(b.path)}, What: "an earlier state of the workbook was put in its place",
			Cause: "what was done since is kept, and the workbook is written anew with it", Hint: "to go back to that state, choose it under Earlier"}
	}
	return nil
}

// crossedOut tells of rows that another program has struck through or hidden in the tables of a workbook: a book has what cells say, and all its rows alike.
func crossedOut(f *table.File, tables []intake.TypedSheet) (found problem.List) {
	struck := func(c table.Cell) bool { return c.Struck() != "" }
	for _, t := range tables {
		s := f.Sheets[slices.IndexFunc(f.Sheets, func(s *table.Sheet) bool { return s.Name == t.Name })]
		var rows []string
		more := 0
		for i := range s.Rows {
			r := &s.Rows[i]
			if r.N <= t.Head || !r.HasOwnCells() || !r.Hidden && !slices.ContainsFunc(r.Cells, struck) {
				continue
			}
			if len(rows) == mostCrossed {
				more++
				continue
			}
			rows = append(rows, fmt.Sprintf("row %d%s", r.N, whose(&t, r.N)))
		}
		if len(rows) == 0 {
			continue
		}
		if more > 0 {
			rows = append(rows, fmt.Sprintf("%d more", more))
		}
		found.Note(problem.Place{File: f.Name, Sheet: t.Name}, "struck through or hidden in the workbook, and here like the others: "+problem.And(rows),
			"the desk keeps what the cells say, and neither strokes nor filters", "hold back or remove here what is not to be printed")
	}
	return found
}

// mostCrossed is how many such rows are named; a workbook that is written anew has others in their places.
const mostCrossed = 20

// whose is what a row of a table can be told by, behind its number.
func whose(t *intake.TypedSheet, row int) string {
	i := slices.IndexFunc(t.Rows, func(r intake.TypedRow) bool { return r.Place.Row == row })
	if i < 0 {
		return ""
	}
	var parts []string
	for _, c := range t.Rows[i].Cells {
		if slices.Contains([]string{"Name", "Page", "Journaling"}, c.Heading) || t.Paper && slices.Contains([]string{"Stock", "Width", "Height"}, c.Heading) {
			parts = append(parts, measure.Quote(c.Text))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return " (" + strings.Join(parts, ", ") + ")"
}

// askSeen has a person say that they have read what the workbook that another program saved had and the book has not: it is written anew without.
func (b *Book) askSeen(found problem.List) {
	if len(found) == 0 {
		return
	}
	fresh, closed := b.ask(lost(found))
	_ = b.log(record{Asked: fresh, Closed: closed}) // it has told what is wrong
	b.tell(Event{Kind: Asked})
}

// lost are the questions by which a person says so.
func lost(found problem.List) (asked []Question) {
	for _, p := range found {
		asked = append(asked, Question{Kind: Lost, Says: "in " + p.Place.String() + ": " + p.Sentences(""), Choices: []Choice{{Key: Keep}}})
	}
	return asked
}

// install makes the book what came of another program's changes to the workbook.
func (b *Book) install(after *state, asked []Question, of seen, found *problem.List) {
	r := b.take(after, asked, of, found)
	fresh, closed := b.ask(slices.Concat(of.open, of.lost))
	r.Asked, r.Closed = append(r.Asked, fresh...), slices.Concat(r.Closed, closed, b.close(of.back))
	b.shown.seen = of.digest
	if b.owed = of.read; b.keepCopy(&r) == nil { // else the journal does not say that it was read
		b.shown.version = version{b.history.last, of.digest, len(b.codes), !of.whole}
		r.Saved = &b.shown.version
	}
	_ = b.log(r) // it has told what is wrong
	if !of.whole {
		b.touch()
	}
	if r.Step != nil {
		b.tell(Event{Kind: Merged})
	}
	if len(r.Asked) > 0 {
		b.tell(Event{Kind: Asked})
	}
}

// take makes the book what came of what another side did, of which digest and read are of no matter here, and returns what the journal needs to know. Where nothing is asked,
// the book has all of that state, if part does not say otherwise, else all but that. What the side had is noted, if that is known and all of it could be taken over.
func (b *Book) take(after *state, asked []Question, of seen, found *problem.List) (r record) {
	var changes []Change
	for s := range sheets {
		for _, c := range after.Columns[s] {
			if !b.now.has(s, c) {
				changes = append(changes, Change{Kind: head, Sheet: s, Column: c})
			}
		}
	}
	changes = append(changes, difference(b.now, after)...)
	changes = append(changes, of.agreed...)
	next, back, why := b.now.apply(changes)
	if why != nil { // a text that no cell holds, a heading that none can be: all that can be made is made
		found.Note(problem.Place{File: filepath.Base(b.path)}, "not all that another program changed could be taken over", why.What, why.Hint)
		changes = b.now.possible(changes)
		next, back, _ = b.now.apply(changes)
		of.brought, of.side = nil, nil
	}
	if len(changes) > 0 {
		b.now = next
		s := b.history.add(step{Kind: merged, Changes: changes, back: back})
		r.Step = &s
	}
	if len(of.brought) > 0 {
		r.Brought, r.Part = of.brought, of.part || len(asked) > 0
		b.history.has(r.Brought, r.Part)
	}
	if of.side != nil {
		of.side.At = b.history.last
		b.history.saw(*of.side)
		r.Side = of.side
	}
	r.Asked, r.Closed = b.ask(asked)
	return r
}

// join takes over what another desk has done, as its journal says, which stands where this book's was. It reports false where that is no journal of this
// book, or cannot be read to its end.
func (b *Book) join(records [][]byte) bool {
	other := blank(b.disk, b.path, b.settings.Load())
	if other.replay(records) < len(records) || other.now == nil || other.name != b.name {
		return false
	}
	trail := other.history.trail()
	var of seen
	start := b.began(b.history.common(trail), trail, true)
	if start.base == nil {
		start.base, _ = other.at(other.history.common(b.history.trail()))
	} else {
		of.side = &side{Mark: trail[0], Desk: true, Changes: difference(start.then, other.now)}
	}
	after, asked := takeOver(start, b.now, other.now.asRead())
	var found problem.List
	of.brought, of.agreed = b.history.elsewhere(trail), b.agreed(start, other.now.asRead())
	r := b.take(after, append(asked, other.questions...), of, &found)
	b.give(other.codes)
	b.taken = append(b.taken, other.taken...)
	b.touch()
	if r.Step != nil {
		b.tell(Event{Kind: Merged})
	}
	if len(r.Asked) > 0 {
		b.tell(Event{Kind: Asked})
	}
	return len(found) == 0
}

// look looks whether another program has changed the workbook, and takes over what it did.
func (b *Book) look() {
	b.saving.Lock()
	defer b.saving.Unlock()
	info, err := b.disk.Stat(b.path)
	b.mu.Lock()
	b.shown.looked = now()
	same := err == nil && info.Size() == b.shown.size && info.ModTime().Equal(b.shown.changed)
	gone := errors.Is(err, fs.ErrNotExist)
	told := b.shown.seen == ""
	b.mu.Unlock()
	switch {
	case same || err != nil && !gone || gone && told:
		return
	case !gone && justWritten(info, settles):
		return
	}
	if b.compare() == nil {
		b.mu.Lock()
		b.remember(info)
		b.mu.Unlock()
	}
}
