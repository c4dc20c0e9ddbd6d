package weigh

// The tables that are Apple's come as subtables one after the other, each with its length at its head. The library reads some parts of a subtable up to the end of
// the whole table, and trusts a length of nought, with which it would read one subtable over and over.

// morx walks chains of subtables that put glyphs into the place of others.
func (w *scale) morx(glyphs int) {
	at := 8
	for range w.u32(4) {
		if w.take(16); at+16 > len(w.data) {
			return
		}
		features, subtables := w.u32(at+8), w.u32(at+12)
		if at += 16; w.within(at, features, 12) != features {
			return
		}
		at += 12 * features
		w.take(12 * features)
		for range subtables {
			if w.take(16); at+12 > len(w.data) {
				return
			}
			w.metamorphosis(w.u8(at+7), at+12, glyphs)
			if at += w.u32(at); at > len(w.data) {
				return
			}
		}
	}
}

// metamorphosis is a subtable of morx of a kind.
func (w *scale) metamorphosis(kind, at, glyphs int) {
	switch kind {
	case 0: // rearrangement
		w.states(at, glyphs, 0)
	case 1: // contextual
		highest := w.highest(w.states(at, glyphs, 4), 4, 6)
		list := at + w.u32(at+16)
		w.each(list, highest+1, 4, 4, list, func(to int) { w.classes(to, glyphs, 2) })
	case 2: // ligatures
		highest := -1
		for _, e := range w.states(at, glyphs, 2) {
			if w.u16(e+2)&0x2000 != 0 {
				highest = max(highest, w.u16(e+4))
			}
		}
		actions, components, ligatures := at+w.u32(at+16), at+w.u32(at+20), at+w.u32(at+24)
		for i := 0; actions+4*i+4 <= len(w.data); i++ { // up to one that is marked as the last
			if w.take(4); i >= highest && w.u8(actions+4*i)&0x80 != 0 {
				break
			}
		}
		w.flat(components, ligatures-components, 1)
		w.take(2 * (len(w.data) - ligatures))
	case 4: // one for one
		w.classes(at, glyphs, 2)
	case 5: // insertion
		highest := w.highest(w.states(at, glyphs, 4), 4, 6)
		w.take(min(4*(highest+32), 2*len(w.data)))
	}
}

// states walks a state machine and returns where its entries are, each with some bytes of its own: they are as many as the highest number in
// the table of states says.
func (w *scale) states(at, glyphs, own int) (entries []int) {
	w.classes(at+w.u32(at+4), glyphs, 2)
	from, to := at+w.u32(at+8), at+w.u32(at+12)
	if from > to || to > len(w.data) || w.u32(at) < 4 {
		return nil
	}
	w.take(2 * (to - from))
	highest := 0
	for i := from; i+2 <= to; i += 2 {
		highest = max(highest, w.u16(i))
	}
	if to+(highest+1)*(4+own) > len(w.data) {
		return nil
	}
	w.take(8 * (highest + 1))
	for i := range highest + 1 {
		entries = append(entries, to+i*(4+own))
	}
	return entries
}

// classes is a table of values of a size for glyphs.
func (w *scale) classes(at, glyphs, size int) {
	switch w.u16(at) {
	case 0:
		w.flat(at+2, glyphs, size)
	case 2:
		w.flat(at+12, w.u16(at+4), 4+size)
	case 4: // runs with a list each
		n := w.u16(at + 4)
		if size == 2 {
			n = less1(n)
		}
		if at+12+6*n > len(w.data) {
			return
		}
		for i := range n {
			w.take(8)
			run := at + 12 + 6*i
			w.flat(at+w.u16(run+4), w.u16(run)-w.u16(run+2)+1, size)
		}
	case 6:
		w.flat(at+12, w.u16(at+4), 2+size)
	case 8:
		w.flat(at+6, w.u16(at+4), 2)
	case 10:
		w.flat(at+8, w.u16(at+6), size)
	}
}

// kerx walks subtables of distances between glyphs.
func (w *scale) kerx(glyphs int) {
	at := 8
	for range w.u32(4) {
		if w.take(16); at+12 > len(w.data) {
			return
		}
		own := at + 12
		switch w.u8(at + 7) {
		case 0:
			w.flat(own+16, w.u32(own), 6)
		case 1:
			n := w.highest(w.states(own, glyphs, 2), 4) + 1
			w.values(own+w.u32(own+16), n*min(max(w.u32(at+8), 1), len(w.data)/n+1)) // no more than there are, so that it fits an int
		case 2:
			w.classes(at+w.u32(own+4), glyphs, 2)
			w.classes(at+w.u32(own+8), glyphs, 2)
		case 4:
			w.flat(own+int(w.bits32(own+16)&0xFFFFFF), w.highest(w.states(own, glyphs, 2), 4)+1, 4)
			w.take(4 * w.highest(w.states(own, glyphs, 2), 4))
		case 6:
			size := 2
			if w.bits32(own)&1 != 0 {
				size = 4
			}
			w.classes(at+w.u32(own+8), glyphs, size)
			w.classes(at+w.u32(own+12), glyphs, size)
			if n := w.u16(own+4) * w.u16(own+6); w.within(at+w.u32(own+16), n, size) > 0 {
				w.take(6 * n)
			}
		}
		if at += w.u32(at); at > len(w.data) {
			return
		}
	}
}

// highest is the highest number of a value that entries name at some places of theirs.
func (w *scale) highest(entries []int, places ...int) (n int) {
	for _, e := range entries {
		for _, place := range places {
			if index := w.u16(e + place); index != 0xFFFF {
				n = max(n, index)
			}
		}
	}
	return n
}

// values are distances at a place, at least so many, up to one that is marked as the last.
func (w *scale) values(at, least int) {
	for i := 0; at+2*i+2 <= len(w.data); i++ {
		if w.take(2); i+1 >= least && w.u16(at+2*i)&1 != 0 {
			return
		}
	}
}

// kern walks the older subtables of distances, of which there are two heads.
func (w *scale) kern() {
	at, n, head := 4, w.u16(2), 6
	if w.u16(0) == 1 {
		if head = 8; n == 0 {
			at, n = 8, w.u32(4)
		}
	}
	w.take(4 * n) // there is room for all before any is read
	for range n {
		if w.take(8); at+head > len(w.data) {
			return
		}
		own, kind, length := at+head, w.u8(at+5), w.u32(at)
		if head == 6 {
			kind, length = w.u8(at+4), w.u16(at+2)
		}
		switch kind {
		case 0:
			w.flat(own+8, w.u16(own), 6)
		case 1:
			w.flat(own+w.u16(own+2)+4, w.u16(own+w.u16(own+2)+2), 1)
			from, to := w.u16(own+4), w.u16(own+6)
			if from > to || own+to > len(w.data) || w.u16(own) < 4 {
				break
			}
			w.take(4*(to-from) + 4*256) // of a state is known where it begins
			w.values(own+w.u16(own+8), 1<<13)
		case 2:
			for _, place := range [2]int{own + 2, own + 4} {
				list := at + w.u16(place)
				w.flat(list+4, w.u16(list+2), 2)
			}
		case 3:
			w.take(2*w.u16(own) + 2*w.u8(own+2) + w.u8(own+3)*w.u8(own+4))
		}
		if at += length; at > len(w.data) {
			return
		}
	}
}

// feat is the names of features, each with its settings.
func (w *scale) feat() {
	n := w.u16(4)
	if 12+12*n > len(w.data) {
		return
	}
	for i := range n {
		w.take(12)
		w.flat(w.u32(12+12*i+4), w.u16(12+12*i+2), 4)
	}
}
