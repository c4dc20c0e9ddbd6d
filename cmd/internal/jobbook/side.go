package jobbook

import "slices"

// side is what another side had when it was read last: a program that has a state open still and may save again, or another desk. Who comes back has changed
// what is otherwise than there, and nothing else, whatever was made of it here meanwhile.
type side struct {
	Mark    string   `json:"m"`           // of the state that the program has open, or of what the desk had
	Desk    bool     `json:"d,omitempty"` // it is that state itself, as another desk has written it
	At      Revision `json:"r"`           // of the book once it was taken over
	Changes []Change `json:"c"`           // that lead there from the latest state that both had
}

// The most sides that are kept; of their changes, but for the latest side's, at most so many bytes.
const (
	mostSides     = 20
	mostSideBytes = mostSteps / 2
)

// saw notes what a side had, in place of what it had before.
func (h *history) saw(s side) {
	kept := []side{s}
	bytes := 0
	for _, old := range slices.Backward(h.sides) {
		if bytes += sizeOf(old.Changes); len(kept) == mostSides || bytes > mostSideBytes {
			break
		}
		if old.Mark != s.Mark || old.Desk != s.Desk {
			kept = append(kept, old)
		}
	}
	slices.Reverse(kept)
	h.sides = kept
}

// side is what was read last of a side whose trail that is, or nil: of a desk the latest of its states, of a program what it has saved with that state open.
// Of a revision that the side has from here it knows what was taken over before.
func (h *history) side(trail []string, desk bool, r Revision) *side {
	for _, mark := range trail {
		for i := range h.sides {
			if s := &h.sides[i]; s.Mark == mark && s.Desk == desk && s.At >= r {
				return s
			}
		}
		if !desk {
			break
		}
	}
	return nil
}

// began is what another side began with, whose trail that is and which has a revision from here: base is the state that it had open, and saved what it has saved since with
// that open, or nil. Another desk has nothing open. Then is the state at that revision, of which both are known; nil, as the others: it is not kept.
func (b *Book) began(r Revision, trail []string, desk bool) (base, saved, then *state) {
	if then, _ = b.at(r); then == nil {
		return nil, nil, nil
	}
	base = then
	if s := b.history.side(trail, true, r); s != nil {
		base = then.with(s.Changes)
	}
	if s := b.history.side(trail, false, r); s != nil && !desk {
		saved = then.with(s.Changes)
	}
	return base, saved, then
}

// with is a state with those of some changes that can be made: some are of rows that only the other side had.
func (s *state) with(changes []Change) *state {
	after, _, _, _ := s.make(changes, true)
	return after
}

// has is what a side has, whose rows have ids by now, as that is noted: then is a state that both had. A sheet that it has not got says nothing.
func has(theirs [sheets]foreign, then *state) []Change {
	is := &state{Rows: then.Rows}
	for s := range sheets {
		if theirs[s].there {
			is.Rows[s] = theirs[s].rows
		}
	}
	return difference(then, is)
}

// putBack are the questions that are none any more: about rows that a program had removed when it saved before, and has again.
func putBack(base, saved *state, theirs [sheets]foreign) (moot []Question) {
	if saved == nil {
		return nil
	}
	for s := range sheets {
		was, had := byID(base.Rows[s]), byID(saved.Rows[s])
		for _, r := range theirs[s].rows {
			if was[r.ID] != nil && had[r.ID] == nil {
				moot = append(moot, Question{Kind: GoneThere, Sheet: s, Row: r.ID})
			}
		}
	}
	return moot
}
