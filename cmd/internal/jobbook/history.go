package jobbook

import "tuckmark/config/problem"

// Revision numbers the states of a book, from 1. It rises with every change, also with one that takes another back.
type Revision int64

// step is what led from one state to the next: the changes, and those that lead back.
type step struct {
	Revision Revision // that it led to
	Kind     stepKind
	Changes  []Change
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
	first Revision // the earliest state that can be returned to
	last  Revision
	steps []step // from first to last, in their order
	done  []int  // indexes of the steps that can be taken back, the next one last
	taken []int  // indexes of those that were taken back and can be done again, the next one last
}

// add adds a step.
func (h *history) add(kind stepKind, changes, back []Change) step {
	h.last++
	s := step{h.last, kind, changes, back}
	h.steps = append(h.steps, s)
	n := len(h.steps) - 1
	switch kind {
	case undid:
		h.taken = append(h.taken, h.done[len(h.done)-1])
		h.done = h.done[:len(h.done)-1]
	case redid:
		h.done = append(h.done, h.taken[len(h.taken)-1])
		h.taken = h.taken[:len(h.taken)-1]
	case did, returned:
		h.done, h.taken = append(h.done, n), nil
	}
	return s
}

// State is an earlier state of the book.
type State struct {
	Revision Revision
	Changes  []Change // that led to it, for whoever says in words what was done; none of the first
}

// States are the states that can be returned to, the latest first.
func (b *Book) States() []State {
	b.mu.Lock()
	defer b.mu.Unlock()
	var out []State
	for i := len(b.history.steps) - 1; i >= 0; i-- {
		out = append(out, State{b.history.steps[i].Revision, b.history.steps[i].Changes})
	}
	return append(out, State{Revision: b.history.first})
}

// Undo takes back what was done last and still stands; it does so step by step. More tells whether there was anything to take back. What
// other programs did is not taken back.
func (b *Book) Undo() (now Revision, more bool, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	h := &b.history
	if len(h.done) == 0 {
		return h.last, false, nil
	}
	return b.again(undid, h.steps[h.done[len(h.done)-1]].back)
}

// Redo does again what was taken back last, unless something else was done since.
func (b *Book) Redo() (now Revision, more bool, err error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	h := &b.history
	if len(h.taken) == 0 {
		return h.last, false, nil
	}
	return b.again(redid, h.steps[h.taken[len(h.taken)-1]].Changes)
}

func (b *Book) again(kind stepKind, changes []Change) (Revision, bool, error) {
	if why := b.do(kind, changes); why != nil {
		return b.history.last, true, why
	}
	return b.history.last, true, nil
}

// Return makes the rows what they were at an earlier state. That is a step of its own, which can be taken back.
func (b *Book) Return(to Revision) (Revision, error) {
	b.mu.Lock()
	defer b.mu.Unlock()
	then, ok := b.at(to)
	if !ok {
		return b.history.last, &problem.Problem{What: "that state is no longer kept", Hint: "choose one of those that are listed"}
	}
	if changes := difference(b.now, then); len(changes) > 0 {
		if why := b.do(returned, changes); why != nil {
			return b.history.last, why
		}
	}
	return b.history.last, nil
}

// at is the state at a revision that is kept.
func (b *Book) at(r Revision) (*state, bool) {
	h := &b.history
	if r < h.first || r > h.last {
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
