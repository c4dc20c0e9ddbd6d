package jobbook

import (
	"errors"
	"maps"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

// Revision numbers the states of a book, from 1. It rises with every step, also with one that takes another back.
type Revision int64

// step is what led from one state to the next: the changes, and those that lead back.
type step struct {
	Revision Revision   `json:"r"` // that it led to
	Kind     stepKind   `json:"k,omitempty"`
	Of       Revision   `json:"o,omitempty"` // the step that it takes back or does again
	Mark     string     `json:"m,omitempty"` // of the state that it led to: no other has it, also not one of the same number in a copy of the job
	Changes  []Change   `json:"c"`
	Settled  []Question `json:"q,omitempty"` // by the answer that it is: they are open again when it is taken back
	back     []Change
}

// stepKind is how a step came about.
type stepKind uint8

const (
	did      stepKind = iota // somebody did it
	undid                    // it takes back the last step that stands
	redid                    // it does once more what was taken back last
	returned                 // it goes back to an earlier state
	merged                   // another program did it
)

// history is what led to the state that a book is in.
type history struct {
	first, last Revision
	start       *state     // that of the first revision
	marks       []string   // of the first state, and of some that it comes from and that are no longer kept, the latest first
	from        []origin   // states elsewhere of which a state here has all, in the order of the latter
	sides       []side     // what other sides had when they were read last, the latest last
	steps       []step     // from the first revision to the last, in their order
	done        []Revision // steps that can be taken back, the next one last
	taken       []Revision // steps that were taken back and can be done again, the next one last
	bytes       int        // about what the steps take
}

// add adds a step, with the next revision and a mark of its own.
func (h *history) add(s step) step {
	s.Revision, s.Mark = h.last+1, NewID()
	h.put(s)
	return s
}

func (h *history) put(s step) {
	h.last = s.Revision
	h.steps = append(h.steps, s)
	h.bytes += s.size()
	switch s.Kind {
	case undid:
		move(s.Of, &h.done, &h.taken)
	case redid:
		move(s.Of, &h.taken, &h.done)
	case did, returned:
		h.done, h.taken = append(h.done, s.Revision), nil
	}
}

// move takes a revision from one list to the end of another.
func move(r Revision, from, to *[]Revision) {
	if i := slices.Index(*from, r); i >= 0 {
		*from = slices.Delete(*from, i, i+1)
		*to = append(*to, r)
	}
}

// size is about how many bytes a step takes.
func (s *step) size() int {
	n := 100
	for _, q := range s.Settled {
		n += 400 + 2*len(q.Mine) + 4*len(q.Theirs)
	}
	return n + sizeOf(s.Changes) + sizeOf(s.back)
}

func sizeOf(changes []Change) (n int) {
	for _, c := range changes {
		n += 60 + len(c.Text)
	}
	return n
}

// mostMarks is the most marks of states that are no longer kept.
const mostMarks = 40

// comesFrom notes the marks of the first state and of those before it.
func (h *history) comesFrom(marks []string) {
	h.marks = slices.Clip(marks[:min(len(marks), mostMarks)])
}

// origin is the mark of a state elsewhere, such as of another desk, and the first state here that has all of it, or all but what is asked about.
type origin struct {
	Revision Revision `json:"r"`
	Mark     string   `json:"m"`
	Part     bool     `json:"p,omitempty"`
}

// mostFrom is the most marks of states elsewhere, and mostBrought of those the most that come with one of them.
const (
	mostFrom    = 150
	mostBrought = 50
)

// has notes that the last state has all of those elsewhere that a trail tells of, or all but what is asked, so that whoever has one of them knows what came since.
func (h *history) has(trail []string, part bool) {
	known := map[string]bool{} // what was lacked when a state was taken over is lacked for ever
	for _, o := range h.from {
		known[o.Mark] = true
	}
	for _, m := range slices.Backward(trail) {
		mark, some := strings.CutPrefix(m, inPart)
		if mark == "" || known[mark] {
			continue
		}
		known[mark] = true
		h.from = append(slices.Clip(h.from), origin{h.last, mark, part || some})
	}
	h.from = h.from[max(0, len(h.from)-mostFrom):]
}

// elsewhere are the marks of a trail that are of states elsewhere and younger than all that are from here, the latest first.
func (h *history) elsewhere(trail []string) (out []string) {
	own := h.kept()
	for _, m := range trail {
		mark, part := strings.CutPrefix(m, inPart)
		switch _, is := own[mark]; {
		case is && !part || len(out) == mostBrought:
			return out
		case !is:
			out = append(out, m)
		}
	}
	return out
}

// inPart stands in a trail before the mark of a state of which not all was taken over.
const inPart = "?"

// allMarks is of how many of the last states a trail has all marks.
const allMarks = 100

// trail is marks of the last state and of some before it, the latest first: of the last ones all, and the wider apart the further back. By it a job knows
// which of its states a workbook comes from, also one that was worked on in a copy of the job, and which of that copy's it has taken over before.
func (h *history) trail() (marks []string) {
	from := h.from
	since := func(r Revision) {
		for n := len(from); n > 0 && from[n-1].Revision >= r; n-- {
			mark := from[n-1].Mark
			if from[n-1].Part {
				mark = inPart + mark
			}
			marks, from = append(marks, mark), from[:n-1]
		}
	}
	for back := 0; back < len(h.steps); {
		s := &h.steps[len(h.steps)-1-back]
		marks = append(marks, s.Mark)
		since(s.Revision)
		if back++; back > allMarks {
			back = back * 5 / 4
		}
	}
	since(0)
	return append(marks, h.marks...)
}

// kept are the revisions of the states that are kept, by their marks.
func (h *history) kept() map[string]Revision {
	kept := map[string]Revision{}
	if len(h.marks) > 0 {
		kept[h.marks[0]] = h.first
	}
	for _, s := range h.steps {
		kept[s.Mark] = s.Revision
	}
	return kept
}

// common is the revision of the latest state of a trail that is kept here; 0: none is.
func (h *history) common(trail []string) Revision {
	kept := h.kept()
	for _, m := range trail {
		if r, ok := kept[m]; ok && m != "" {
			return r
		}
	}
	return 0
}

// commonInPart is the revision of the latest state kept here that a trail's side has taken over but for what it has asked about; 0: none is.
func (h *history) commonInPart(trail []string) Revision {
	var parts []string
	for _, m := range trail {
		if mark, part := strings.CutPrefix(m, inPart); part {
			parts = append(parts, mark)
		}
	}
	return h.common(parts)
}

// step is the step that led to a revision, or nil.
func (h *history) step(r Revision) *step {
	i, ok := slices.BinarySearchFunc(h.steps, r, func(s step, r Revision) int { return int(s.Revision - r) })
	if !ok {
		return nil
	}
	return &h.steps[i]
}

// thin makes the steps take less than so many bytes: of those that typed on in one cell only the last stays, but for the newest; then the
// oldest go. The state of the revision until stays in any case.
func (h *history) thin(most int, until Revision) {
	const newest = 100
	standing := map[Revision]bool{}
	for _, r := range h.done {
		standing[r] = true
	}
	gone := map[Revision]bool{}
	var kept []step
	for i, s := range h.steps {
		if n := len(kept) - 1; n >= 0 && i < len(h.steps)-newest && kept[n].Revision != until && standing[s.Revision] && standing[kept[n].Revision] && s.typesOn(&kept[n]) {
			gone[kept[n].Revision] = true
			s.back, s.Settled = kept[n].back, slices.Concat(kept[n].Settled, s.Settled)
			kept = kept[:n]
		}
		kept = append(kept, s)
	}
	sizes := 0
	for i := range kept {
		sizes += kept[i].size()
	}
	drop := 0
	for drop < len(kept) && sizes > most && kept[drop].Revision <= until {
		after, _, why := h.start.apply(kept[drop].Changes)
		if why != nil {
			break // cannot happen
		}
		h.start, h.first = after, kept[drop].Revision
		h.comesFrom(append([]string{kept[drop].Mark}, h.marks...))
		gone[h.first] = true
		sizes -= kept[drop].size()
		drop++
	}
	h.steps, h.bytes = slices.Clone(kept[drop:]), sizes
	h.sides = slices.DeleteFunc(slices.Clone(h.sides), func(s side) bool { return s.At < h.first })
	left := func(r Revision) bool { return gone[r] }
	h.done, h.taken = slices.DeleteFunc(h.done, left), slices.DeleteFunc(h.taken, left)
}

// typesOn reports a step that only sets the cell anew which the step before has set.
func (s *step) typesOn(before *step) bool {
	if s.Kind != did || before.Kind != did || len(s.Changes) != 1 || len(before.Changes) != 1 {
		return false
	}
	a, b := s.Changes[0], before.Changes[0]
	return a.Kind == Set && b.Kind == Set && a.Sheet == b.Sheet && a.ID == b.ID && a.Column == b.Column
}

// State is an earlier state of the book.
type State struct {
	Revision Revision
	Changes  []Change // that led to it, for whoever says in words what was done; none of the first, nor of an answer that left all as it was
	Foreign  bool     // another program made them
	Answered bool     // an answer led to it, or what was done with one by Undo or Redo
}

// States are the states that can be returned to, the latest first.
func (b *Book) States() []State {
	b.mu.Lock()
	defer b.mu.Unlock()
	h := &b.history
	var out []State
	for i := len(h.steps) - 1; i >= 0; i-- {
		s := &h.steps[i]
		of := h.step(s.Of)
		out = append(out, State{s.Revision, s.Changes, s.Kind == merged, len(s.Settled) > 0 || of != nil && len(of.Settled) > 0})
	}
	return append(out, State{Revision: h.first})
}

// Undo takes back what was done last and still stands. More is false where there is nothing that could be taken back; what other
// programs did is not, nor a cell that one has changed since. Errors are as with Do.
func (b *Book) Undo() (now Revision, more bool, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.doLast(&b.history.done, undid, b.wayBack)
}

// wayBack is the way back of a step, without the cells that are no longer as it has set them, those in which another program has written since, were it the
// same, and the rows in which something else was written since; left is what stays of it.
func (b *Book) wayBack(s *step) (way, left []Change) {
	set, theirs := map[cell]string{}, b.foreignSince(s.Revision)
	for _, c := range s.Changes {
		if c.Kind == Set {
			set[cell{c.Sheet, c.ID, c.Column}] = tidy(c.Column, c.Text)
		}
	}
	stay := b.writtenSince(s, theirs)
	for _, c := range s.back {
		text, was := set[cell{c.Sheet, c.ID, c.Column}]
		at := find(b.now.Rows[c.Sheet], c.ID)
		other := c.Kind == Set && was && at >= 0 && b.now.Rows[c.Sheet][at].Cells[c.Column] != text
		if other || stay[row{c.Sheet, c.ID}] || c.Kind == Set && theirs[cell{c.Sheet, c.ID, c.Column}] {
			left = append(left, c)
		} else {
			way = append(way, c)
		}
	}
	return way, left
}

// cell is where a cell stands, by its row's id and its heading.
type cell struct {
	sheet      Sheet
	id, column string
}

// foreignSince are the cells that other programs have written after a revision.
func (b *Book) foreignSince(r Revision) map[cell]bool {
	out := map[cell]bool{}
	for _, s := range slices.Backward(b.history.steps) {
		if s.Revision <= r {
			break
		}
		for _, c := range s.Changes {
			if s.Kind == merged && c.Kind == Set {
				out[cell{c.Sheet, c.ID, c.Column}] = true
			}
		}
	}
	return out
}

// row is where a row stands, by its id.
type row struct {
	sheet Sheet
	id    string
}

// writtenSince are the rows that the way back of a step would remove and that are no longer as it left them, or have one of the cells that other
// programs have written since.
func (b *Book) writtenSince(s *step, theirs map[cell]bool) map[row]bool {
	var then *state
	since, foreign := map[row]bool{}, map[row]bool{}
	for c := range theirs {
		foreign[row{c.sheet, c.id}] = true
	}
	for _, c := range s.back {
		if c.Kind != Remove {
			continue
		}
		if then == nil {
			if then, _ = b.at(s.Revision); then == nil {
				return since // cannot happen: its step is kept
			}
		}
		was, is := find(then.Rows[c.Sheet], c.ID), find(b.now.Rows[c.Sheet], c.ID)
		if was >= 0 && is >= 0 && (foreign[row{c.Sheet, c.ID}] || !maps.Equal(then.Rows[c.Sheet][was].Cells, b.now.Rows[c.Sheet][is].Cells)) {
			since[row{c.Sheet, c.ID}] = true
		}
	}
	return since
}

// changedSince tells what stays of a step that is taken back, or done again.
func (b *Book) changedSince(left []Change) *problem.Problem {
	const most = 3 // rows that are named
	columns := map[string][]string{}
	var rows []string
	for _, c := range left {
		name := b.called(c.Sheet, c.ID)
		if _, ok := columns[name]; !ok {
			rows, columns[name] = append(rows, name), nil
		}
		if c.Kind == Set && !slices.Contains(columns[name], c.Column) {
			columns[name] = append(columns[name], c.Column)
		}
	}
	var said []string
	for i, name := range rows {
		if i == most {
			said = append(said, problem.Count(len(rows)-i, "row")+" more")
			break
		}
		if of := columns[name]; len(of) > 0 {
			name = problem.And(of) + " of " + name
		}
		said = append(said, name)
	}
	return &problem.Problem{What: "another program has changed this since, which stays: " + strings.Join(said, "; "), Hint: "type what it shall be, or go back to an earlier state"}
}

// Redo does again what was taken back last, unless something else was done at the desk since. What other programs wrote meanwhile stays, as with
// Undo. It returns what Undo does.
func (b *Book) Redo() (now Revision, more bool, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	return b.doLast(&b.history.taken, redid, func(s *step) (way, left []Change) {
		for _, u := range slices.Backward(b.history.steps) {
			if u.Kind == undid && u.Of == s.Revision {
				return b.wayBack(&u)
			}
		}
		return s.Changes, nil
	})
}

// doLast makes what the last step of a list says; what is left of it is told. Where nothing of it can be made, it leaves the list and the error says so: what
// was done before is another thing, which nobody asked for.
func (b *Book) doLast(list *[]Revision, kind stepKind, says func(*step) (way, left []Change)) (now Revision, more bool, err error) {
	h := &b.history
	for len(*list) > 0 {
		n := len(*list) - 1
		if s := h.step((*list)[n]); s != nil {
			way, left := says(s)
			why := b.changedSince(left) // in the words of before
			if len(way) > 0 || len(s.Changes) == 0 {
				if err = b.do(kind, s.Revision, way); err == nil || onDisk(err) {
					if len(left) > 0 {
						b.tell(Event{Kind: Noted, Problem: why})
					}
					return h.last, true, err
				}
				why = b.changedSince(way)
			}
			*list = (*list)[:n]
			return h.last, true, why
		}
		*list = (*list)[:n] // it is no longer kept
	}
	return h.last, false, nil
}

// Return makes the rows what they were at an earlier state. That is a step of its own, which can be taken back. Where anything was done since the states were
// listed, the last of them seen, nothing is done, and the error is ErrSince; seen may be 0, for nobody has looked. Other errors are as with Do.
func (b *Book) Return(to, seen Revision) (Revision, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if seen != 0 && seen != b.history.last {
		return b.history.last, ErrSince
	}
	then, ok := b.at(to)
	if !ok {
		return b.history.last, &problem.Problem{What: "that state is no longer kept", Hint: "choose one of those that are listed"}
	}
	if changes := difference(b.now, then); len(changes) > 0 {
		if err := b.do(returned, 0, changes); err != nil {
			return b.history.last, err
		}
	}
	return b.history.last, nil
}

// onDisk reports the problem of a disk, which keeps no change from being made.
func onDisk(err error) bool {
	var p *problem.Problem
	return errors.As(err, &p) && p.Disk
}

// at is the state at a revision that is kept.
func (b *Book) at(r Revision) (*state, bool) {
	h := &b.history
	if r != h.first && h.step(r) == nil {
		return nil, false
	}
	s := b.now
	for i := len(h.steps) - 1; i >= 0 && h.steps[i].Revision > r; i-- {
		before, _, why := s.apply(h.steps[i].back)
		if why != nil {
			return nil, false // cannot happen: the way back was taken down on the way here
		}
		s = before
	}
	return s, true
}
