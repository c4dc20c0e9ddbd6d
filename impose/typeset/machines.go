package typeset

import (
	"slices"

	"github.com/go-text/typesetting/font/opentype"
	"github.com/go-text/typesetting/font/opentype/tables"
)

// Apple's tables morx, kerx and kern have each letter of a text go through every subtable, which may be a state machine (Apple, "TrueType Reference Manual"). An entry
// of a machine may say that it stays at its letter. The shaper ends a machine that stays there for ever only after thousands of steps, each of which may insert a
// glyph and move all that stand behind it: here it is found when the font is read. (Of 90 fonts with machines seven may stay or insert where they stay, which were
// made as tests of that.)

// stays is the flag of an entry that does not go on to the next letter, in machines of all kinds.
const stays = 0x4000

// machine is a state machine: its entries by states, and in these by classes of glyphs.
type machine struct {
	states  [][]uint16
	entries []tables.AATStateEntry
	changes func(tables.AATStateEntry) bool // another glyph may stand where it stays; nil: none does
}

// ends reports that a machine goes on from each letter, whatever it does before.
func (m *machine) ends() bool {
	if len(m.states) == 0 {
		return true
	}
	// The steps are those from a state at a class of glyphs; behind them, for each state, stands one that is at any class. A step is done once all that lead to it
	// are, and what stays for ever never is.
	classes := len(m.states[0])
	anyOf := len(m.states) * classes
	before := make([]int32, anyOf+len(m.states)) // so many steps lead there that are not done yet
	next := func(step int, to func(int)) {
		if step >= anyOf {
			for c := range classes {
				to((step-anyOf)*classes + c)
			}
			return
		}
		e := m.entries[m.states[step/classes][step%classes]]
		switch state := int(e.NewState); {
		case e.Flags&stays == 0 || state >= len(m.states):
		case m.changes != nil && m.changes(e):
			to(anyOf + state)
		default:
			to(state*classes + step%classes)
		}
	}
	for step := range before {
		next(step, func(to int) { before[to]++ })
	}
	var ready []int
	for step, n := range before {
		if n == 0 {
			ready = append(ready, step)
		}
	}
	done := 0
	for ; len(ready) > 0; done++ {
		step := ready[len(ready)-1]
		ready = ready[:len(ready)-1]
		next(step, func(to int) {
			if before[to]--; before[to] == 0 {
				ready = append(ready, to)
			}
		})
	}
	return done == len(before)
}

// machines reckons what each subtable of a font's tables of Apple's does at a letter, and whether there are machines among them. It reports false where one may
// never go on, or inserts too much.
func machines(ld *opentype.Loader) (all []reckoned, some, ok bool) {
	ok = true
	add := func(m *machine) *reckoned {
		r := reckoned{compares: aTurn}
		if m != nil {
			r.compares = 2 * aTurn
			if m.changes != nil && slices.ContainsFunc(m.entries, m.changes) { // it may work on a glyph far behind, as far as the shaper is given letters
				r.compares = 10 * aTurn
			}
			some, ok = true, ok && m.ends()
		}
		all = append(all, r)
		return &all[len(all)-1]
	}
	extended := func(t tables.AATStateTableExt) *machine { return &machine{states: t.States, entries: t.Entries} }
	raw := func(tag string) []byte {
		data, _ := ld.RawTable(opentype.MustNewTag(tag))
		return data
	}
	maxp, _, _ := tables.ParseMaxp(raw("maxp"))
	glyphs := int(maxp.NumGlyphs)
	morx, _, _ := tables.ParseMorx(raw("morx"), glyphs) // as far as it can be read, as the library does
	for _, chain := range morx.Chains {
		for _, s := range chain.Subtables {
			switch t := s.Data.(type) {
			case tables.MorxSubtableRearrangement:
				m := extended(t.AATStateTableExt)
				m.changes = func(e tables.AATStateEntry) bool { return e.Flags&0xF != 0 }
				add(m)
			case tables.MorxSubtableContextual:
				m := extended(t.AATStateTableExt)
				m.changes = func(e tables.AATStateEntry) bool {
					mark, current := e.AsMorxContextual()
					return mark != 0xFFFF || current != 0xFFFF
				}
				add(m)
			case tables.MorxSubtableLigature:
				m := extended(t.AATStateTableExt)
				m.changes = func(e tables.AATStateEntry) bool { return e.Flags&0x2000 != 0 }
				add(m)
			case tables.MorxSubtableInsertion:
				r := add(extended(t.AATStateTableExt))
				for _, e := range t.Entries {
					n := inserted(e)
					r.adds = max(r.adds, n)
					ok = ok && n <= mostAdded && (n == 0 || e.Flags&stays == 0) // it would come to what it has inserted, and insert again
				}
			default:
				add(nil)
			}
		}
	}
	kerx, _, _ := tables.ParseKerx(raw("kerx"), glyphs)
	for _, s := range kerx.Tables {
		switch t := s.Data.(type) {
		case tables.KerxData1:
			add(extended(t.AATStateTableExt))
		case tables.KerxData4:
			add(extended(t.AATStateTableExt))
		default:
			add(nil)
		}
	}
	kern, _, _ := tables.ParseKern(raw("kern"))
	for _, s := range kern.Tables {
		t, is := s.Data().(tables.KernData1)
		if !is {
			add(nil)
			continue
		}
		m := &machine{entries: t.Entries}
		for _, row := range t.States {
			state := make([]uint16, len(row))
			for c, e := range row {
				state[c] = uint16(e)
			}
			m.states = append(m.states, state)
		}
		add(m)
	}
	return all, some, ok
}

// inserted is how many glyphs an entry of an insertion subtable inserts.
func inserted(e tables.AATStateEntry) (n int) {
	current, marked := e.AsMorxInsertion()
	if current != 0xFFFF {
		n += int(e.Flags >> 5 & 0x1F)
	}
	if marked != 0xFFFF {
		n += int(e.Flags & 0x1F)
	}
	return n
}
