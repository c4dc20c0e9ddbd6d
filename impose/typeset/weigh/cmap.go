package weigh

import "unicode"

// cmap walks the tables of characters. Besides what is read, the characters that one of them lists are counted: the library lists a character
// as often as groups name it.
func (w *scale) cmap() {
	w.each(4, w.u16(2), 8, 4, 0, func(at int) {
		switch format := w.u16(at); format {
		case 0:
			w.take(4096) // it becomes a map
		case 4:
			w.segments(at, w.u16(at+6)/2)
		case 6:
			w.flat(at+10, w.u16(at+8), 2)
		case 10:
			w.flat(at+20, w.u32(at+16), 2)
		case 12, 13:
			w.groups(at+16, w.u32(at+12))
		case 14:
			w.selectors(at)
		}
	})
}

// segments are those of format 4, each a run of characters, of whose glyphs there may be a list.
func (w *scale) segments(at, n int) {
	ends := at + 14
	starts := ends + 2*n + 2
	lists := starts + 4*n
	w.flat(ends, n, 8)
	listed := 0
	for i := range n {
		if lists+2*i >= len(w.data) {
			return
		}
		run := (w.u16(ends+2*i)-w.u16(starts+2*i))&0xFFFF + 1 // as the library reckons
		if listed += run; listed > 4<<16 {
			panic(heavy{})
		}
		if w.u16(lists+2*i) != 0 && w.u16(starts+2*i) != 0xFFFF {
			w.take(2 * run)
		}
	}
}

// groups are runs of characters beyond 16 bits.
func (w *scale) groups(at, n int) {
	if w.within(at, n, 12) != n {
		return
	}
	listed := int64(0)
	for i := range n {
		w.take(12)
		run := int64(w.bits32(at+12*i+4)-w.bits32(at+12*i)) + 1
		if listed += run; listed > 2*unicode.MaxRune {
			panic(heavy{})
		}
	}
}

// selectors are the variants of characters: each has a list of those that look as always and one of the others.
func (w *scale) selectors(at int) {
	w.each(at+10, w.u32(at+6), 11, 4, at, func(list int) { w.flat(list+4, w.u32(list), 5) })
	n := w.u32(at + 6)
	if w.within(at+10, n, 11) != n {
		return
	}
	for i := range n {
		if offset := w.u32(at + 10 + 11*i + 3); offset != 0 && at+offset <= len(w.data) {
			w.take(4)
			w.flat(at+offset+4, w.u32(at+offset), 4)
		}
	}
}
