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

// The most sides that are kept, and of one mark; of their changes, but for the latest side's, at most so many bytes.
const (
	mostSides     = 200
	mostOfOne     = 8
	mostSideBytes = mostSteps / 2
)

// saw notes what a side had, in place of what it had before. Two programs may have one state open: of a program what was saved with that state stays noted where it
// has not all of that.
func (h *history) saw(s side) {
	kept := []side{s}
	bytes, same := 0, 1
	var own map[Change]bool
	has := func(changes []Change) bool {
		if own == nil {
			own = make(map[Change]bool, len(s.Changes))
			for _, c := range s.Changes {
				own[c] = true
			}
		}
		return !slices.ContainsFunc(changes, func(c Change) bool { return !own[c] })
	}
	for _, old := range slices.Backward(h.sides) {
		if bytes += sizeOf(old.Changes); len(kept) == mostSides || bytes > mostSideBytes {
			break
		}
		if old.Mark == s.Mark && old.Desk == s.Desk {
			if same++; s.Desk || same > mostOfOne || has(old.Changes) {
				continue
			}
		}
		kept = append(kept, old)
	}
	slices.Reverse(kept)
	h.sides = kept
}

// side is what was read last of a side whose trail that is, or nil: of a desk the latest of its states, of programs what was saved last with one of its states open.
// What was read before a revision that the side has from here, it knows.
func (h *history) side(trail []string, desk bool, r Revision) *side {
	kept := h.kept()
	for n, mark := range trail {
		own := kept[mark]
		for i := range slices.Backward(h.sides) {
			switch s := &h.sides[i]; {
			case s.Mark != mark || s.Desk != desk || s.At < r:
			case desk || n == 0 || s.At > r && (own == 0 || own == r): // a program that has an older state from here open is none of that side's
				return s
			}
		}
	}
	return nil
}

// begun is what another side began with, as far as that is known here.
type begun struct {
	base  *state   // that it had open, or has had all of; nil: nobody knows
	saved *state   // that it, or another one which began with the same, had later; nil: nothing is known of that
	older []*state // that were saved before that with the same state open, if another one has saved since
	same  bool     // saved is what was saved with the very state open that is open there now; else the side has seen it if it shows something of it
	then  *state   // the latest state here that it has all of, without anything of its own
}

// began is what a side began with whose trail that is, and which has all of a revision from here. A desk has nothing open: it may have taken over what a program
// has saved in its workbook, and of a later state from here all but what it has asked about.
func (b *Book) began(r Revision, trail []string, desk bool) (out begun) {
	out.then, _ = b.at(r)
	if out.then == nil {
		return begun{}
	}
	h := &b.history
	out.base = out.then
	own := h.side(trail, true, r)
	if own != nil {
		out.base = out.then.with(own.Changes)
	}
	from := out.base
	if p := h.commonInPart(trail); p > r {
		var ours []Change // and not what was taken over here: that is the other side's, which may have changed it since
		for _, s := range h.steps {
			if s.Revision > r && s.Revision <= p && s.Kind != merged {
				ours = append(ours, s.Changes...)
			}
		}
		if from = out.then.with(ours); own != nil {
			from = from.with(own.Changes)
		}
		out.saved = from
	}
	if s := h.side(trail, false, r); s != nil && (!desk || own == nil || s.At > own.At) { // what was read before, it has had
		out.saved = from.with(s.Changes)
		if out.same = !desk && s.Mark == trail[0]; out.same {
			for i := range h.sides {
				if old := &h.sides[i]; old != s && old.Mark == s.Mark && !old.Desk && old.At >= r {
					out.older = append(out.older, from.with(old.Changes))
				}
			}
		}
	}
	return out
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

// putBack are the questions that are none any more: about rows that a program had removed when it saved before, and has again, if it is surely the same.
func putBack(from begun, theirs [sheets]foreign) (moot []Question) {
	if !from.same {
		return nil
	}
	if sure, _ := knows(theirs, from.base, from.saved); !sure {
		return nil
	}
	for s := range sheets {
		was, had := byID(from.base.Rows[s]), byID(from.saved.Rows[s])
		for _, r := range theirs[s].rows {
			if was[r.ID] != nil && had[r.ID] == nil {
				moot = append(moot, Question{Kind: GoneThere, Sheet: s, Row: r.ID})
			}
		}
	}
	return moot
}

// lacks reports that a state has not all of what another side has done since a revision from here, and never had: what was asked about, and left alone since.
func (b *Book) lacks(after *state, theirs [sheets]foreign, then *state, r Revision) bool {
	type written struct {
		cell
		text string
	}
	texts, rows := map[written]bool{}, map[row]bool{} // that this side has had since
	for _, s := range b.history.steps {
		for _, c := range s.Changes {
			switch at := (cell{c.Sheet, c.ID, c.Column}); {
			case s.Revision <= r:
			case c.Kind == Set:
				texts[written{at, as(c.Sheet, c.Column, c.Text)}] = true
			case c.Kind == Insert, c.Kind == Remove:
				rows[row{c.Sheet, c.ID}] = true
			}
		}
	}
	for s := range sheets {
		if !theirs[s].there {
			continue
		}
		m, was, is, have := &merger{sheet: s}, byID(then.Rows[s]), byID(after.Rows[s]), byID(theirs[s].rows)
		for i := range theirs[s].rows {
			r := &theirs[s].rows[i]
			old, now := was[r.ID], is[r.ID]
			if now == nil && old == nil && !rows[row{s, r.ID}] {
				return true
			}
			if now == nil {
				continue
			}
			for _, c := range m.columnsOf(old, r) {
				text := r.Cells[c]
				if (old == nil || !m.alike(c, old.Cells[c], text)) && !m.alike(c, now.Cells[c], text) && !texts[written{cell{s, r.ID, c}, as(s, c, text)}] {
					return true
				}
			}
		}
		for id := range was {
			if have[id] == nil && is[id] != nil && !rows[row{s, id}] {
				return true
			}
		}
	}
	return false
}
