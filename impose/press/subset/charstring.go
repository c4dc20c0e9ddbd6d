package subset

// Operators of charstrings (Adobe Technical Note 5177).
const (
	csHStem     = 1
	csVStem     = 3
	csCallLocal = 10
	csReturn    = 11
	csEscape    = 12
	csEndChar   = 14
	csHStemHM   = 18
	csHintMask  = 19
	csCntrMask  = 20
	csVStemHM   = 23
	csShort     = 28
	csCallAll   = 29
	csFixed     = 255
)

// calls is which subroutines of a list are called; all: it cannot be known.
type calls struct {
	used map[int]bool
	all  bool
}

// only is the list with what is not called made as short as may be, so that the others keep their numbers.
func (u *calls) only(list index) [][]byte {
	var out [][]byte
	for i := range list.count {
		if u.all || u.used[i] {
			out = append(out, list.get(i))
		} else {
			out = append(out, []byte{csReturn})
		}
	}
	return out
}

// usage is which subroutines some glyphs call.
type usage struct {
	globals calls
	locals  map[int]*calls // by part
}

// trace follows the charstrings of glyphs as far as it takes to know which subroutines they call. Where that cannot be
// known, all are kept: the font is larger then, and right.
func (c *cff) trace(glyphs []uint16) (usage, error) {
	u := usage{globals: calls{used: map[int]bool{}}, locals: map[int]*calls{}}
	for _, g := range glyphs {
		p := c.partOf(int(g))
		if p >= len(c.parts) {
			return u, ErrDamaged
		}
		if u.locals[p] == nil {
			u.locals[p] = &calls{used: map[int]bool{}}
		}
		if u.globals.all && u.locals[p].all {
			continue
		}
		w := walker{c: c, locals: c.parts[p].locals, globalCalls: &u.globals, localCalls: u.locals[p]}
		w.walk(c.glyphs.get(int(g)), 0)
		if w.accents {
			return u, ErrAccents
		}
		if w.steps > longest { // whatever draws it would take as long
			return u, ErrDamaged
		}
		if w.unsure {
			u.globals.all, u.locals[p].all = true, true
		}
	}
	return u, nil
}

// walker goes through one charstring. It keeps the numbers on the stack, for a call takes its subroutine's number from
// there, and counts the hints, for a mask has a bit for each.
type walker struct {
	c                       *cff
	locals                  index
	globalCalls, localCalls *calls

	stack   []int
	hints   int
	steps   int
	done    bool
	unsure  bool
	accents bool
}

const (
	deepest = 10     // calls within calls that the specification allows
	longest = 200000 // steps; a font that takes more is up to no good
)

func (w *walker) walk(s safeBytes, depth int) {
	for at := 0; at < len(s) && !w.done && !w.unsure; {
		if w.steps++; w.steps > longest || depth > deepest {
			w.unsure = true
			return
		}
		b := s.u8(at)
		at++
		switch {
		case b == csFixed:
			w.stack = append(w.stack, s.i16(at))
			at += 4
		case b == csShort:
			w.stack = append(w.stack, s.i16(at))
			at += 2
		case b >= 32:
			n, size := integerAt(s, at-1)
			w.stack = append(w.stack, n)
			at += size - 1
		case b == csCallLocal:
			w.call(w.locals, w.localCalls, depth)
		case b == csCallAll:
			w.call(w.c.globals, w.globalCalls, depth)
		case b == csReturn:
			return
		case b == csEndChar:
			w.accents = len(w.stack) >= 4 // a base and an accent by their codes
			w.done = true
		case b == csHStem || b == csVStem || b == csHStemHM || b == csVStemHM:
			w.hints += len(w.stack) / 2
			w.stack = w.stack[:0]
		case b == csHintMask || b == csCntrMask:
			w.hints += len(w.stack) / 2 // stems may stand here without their operator
			w.stack = w.stack[:0]
			at += (w.hints + 7) / 8
		case b == csEscape:
			if op := s.u8(at); op < 34 { // arithmetic: what lies on the stack after it is not known
				w.unsure = true
			}
			at++
			w.stack = w.stack[:0]
		default:
			w.stack = w.stack[:0]
		}
	}
}

// call follows a call of a subroutine, whose number is kept less a bias that goes by how many there are.
func (w *walker) call(list index, to *calls, depth int) {
	if len(w.stack) == 0 {
		w.unsure = true
		return
	}
	n := w.stack[len(w.stack)-1]
	w.stack = w.stack[:len(w.stack)-1]
	switch {
	case list.count < 1240:
		n += 107
	case list.count < 33900:
		n += 1131
	default:
		n += 32768
	}
	if n < 0 || n >= list.count {
		w.unsure = true
		return
	}
	to.used[n] = true
	w.walk(list.get(n), depth+1)
}
