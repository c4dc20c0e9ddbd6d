package weigh

import "math/bits"

// layout walks GSUB or GPOS; lookup walks a subtable of a lookup of a kind.
func (w *scale) layout(lookup func(kind, at int)) {
	w.at(4, 0, func(scripts int) {
		w.every(scripts+2, w.u16(scripts), 6, scripts, func(script int) {
			language := func(at int) { w.flat(at+6, w.u16(at+4), 2) }
			w.at(script, script, language)
			w.every(script+4, w.u16(script+2), 6, script, language)
		})
	})
	feature := func(at int) { w.flat(at+4, w.u16(at+2), 2) }
	w.at(6, 0, func(features int) {
		w.every(features+2, w.u16(features), 6, features, feature)
	})
	w.at(8, 0, func(list int) {
		w.offsets16(list, list, func(at int) {
			kind := w.u16(at)
			w.every(at+6, w.u16(at+4), 2, at, func(subtable int) { lookup(kind, subtable) })
		})
	})
	if w.u16(2) != 1 {
		return
	}
	w.each(10, 1, 4, 4, 0, func(variations int) { // in each record the offset of conditions, then that of features
		n := w.u32(variations + 4)
		w.each(variations+8, n, 8, 4, variations, func(at int) {
			w.each(at+6, w.u16(at+4), 6, 4, at, feature)
		})
		if n > 0 {
			w.each(variations+4, n, 8, 4, variations, func(at int) {
				w.each(at+2, w.u16(at), 4, 4, at, func(int) { w.take(8) })
			})
		}
	})
}

// coverage is a list of glyphs, or of runs of them.
func (w *scale) coverage(at int) { w.oneByOneOrRuns(at, at+2) }

// classDefinition is classes of glyphs, or of runs of them; before the former stands the first glyph.
func (w *scale) classDefinition(at int) { w.oneByOneOrRuns(at, at+4) }

// oneByOneOrRuns is what is said of glyphs: in one format a list at a place of its own, in the other runs.
func (w *scale) oneByOneOrRuns(at, list int) {
	switch w.u16(at) {
	case 1:
		w.list(list)
	case 2:
		w.flat(at+4, w.u16(at+2), 6)
	}
}

// list is a list of numbers after its length.
func (w *scale) list(at int) { w.flat(at+2, w.u16(at), 2) }

func (w *scale) substitution(kind, at int) {
	switch kind {
	case 1:
		w.at(at+2, at, w.coverage)
		if w.u16(at) == 2 {
			w.list(at + 4)
		}
	case 2, 3: // one into several, or one of several
		w.at(at+2, at, w.coverage)
		w.offsets16(at+4, at, w.list)
	case 4: // ligatures
		w.at(at+2, at, w.coverage)
		w.offsets16(at+4, at, func(set int) {
			w.offsets16(set, set, func(ligature int) { w.flat(ligature+4, less1(w.u16(ligature+2)), 2) })
		})
	case 5:
		w.context(at)
	case 6:
		w.chained(at)
	case 7:
		if to := w.u16(at + 2); to != 7 && w.u32(at+4) <= len(w.data)-at {
			w.substitution(to, at+w.u32(at+4))
		}
	case 8:
		w.at(at+2, at, w.coverage)
		w.offsets16(at+4, at, w.coverage)
		ahead := at + 6 + 2*w.u16(at+4)
		w.offsets16(ahead, at, w.coverage)
		w.list(ahead + 2 + 2*w.u16(ahead))
	}
}

// context is a contextual lookup, of substitutions or of places.
func (w *scale) context(at int) {
	sets := func(count int) {
		w.offsets16(count, at, func(set int) {
			w.offsets16(set, set, func(rule int) {
				w.take(2*w.within(rule+4, less1(w.u16(rule)), 2) + 4*w.within(rule+4, w.u16(rule+2), 4))
			})
		})
	}
	switch w.u16(at) {
	case 1:
		w.at(at+2, at, w.coverage)
		sets(at + 4)
	case 2:
		w.at(at+2, at, w.coverage)
		w.at(at+4, at, w.classDefinition)
		sets(at + 6)
	case 3:
		w.each(at+6, w.u16(at+2), 2, 2, at, w.coverage)
		w.flat(at+6+2*w.u16(at+2), w.u16(at+4), 4)
	}
}

// less1 is a count less one, as the library reckons it.
func less1(n int) int { return (n - 1) & 0xFFFF }

// within is n, or nought where that many items of a size at a place reach beyond the table.
func (w *scale) within(at, n, size int) int {
	if at < 0 || at > len(w.data) || n < 0 || size > 0 && n > (len(w.data)-at)/size {
		return 0
	}
	return n
}

// rows counts a list of rows of a size: each takes room even where it holds nothing.
func (w *scale) rows(at, n, size int) { w.take(w.within(at, n, size) * (8 + size)) }

// chained is a contextual lookup that also looks at what stands before and after.
func (w *scale) chained(at int) {
	sets := func(count int) {
		w.offsets16(count, at, func(set int) {
			w.offsets16(set, set, func(rule int) {
				w.list(rule)
				rule += 2 + 2*w.u16(rule)
				w.flat(rule+2, less1(w.u16(rule)), 2)
				rule += 2 + 2*less1(w.u16(rule))
				w.list(rule)
				rule += 2 + 2*w.u16(rule)
				w.flat(rule+2, w.u16(rule), 4)
			})
		})
	}
	switch w.u16(at) {
	case 1:
		w.at(at+2, at, w.coverage)
		sets(at + 4)
	case 2:
		w.at(at+2, at, w.coverage)
		w.each(at+4, 3, 2, 2, at, w.classDefinition)
		sets(at + 10)
	case 3:
		list := at + 2
		for range 3 {
			w.offsets16(list, at, w.coverage)
			list += 2 + 2*w.u16(list)
		}
		w.flat(list+2, w.u16(list), 4)
	}
}

func (w *scale) position(kind, at int) {
	switch kind {
	case 1:
		w.at(at+2, at, w.coverage)
		format := w.u16(at + 4)
		if w.u16(at) == 1 {
			w.value(format, at+6, at)
			return
		}
		size := 2 * bits.OnesCount16(uint16(format))
		for i := range w.within(at+8, w.u16(at+6), size) {
			w.take(8) // in memory it is larger than here
			w.value(format, at+8+i*size, at)
		}
	case 2:
		w.at(at+2, at, w.coverage)
		if w.u16(at) == 1 {
			w.offsets16(at+8, at, func(int) { w.take(8) }) // the pairs are looked at when they are met
			return
		}
		w.at(at+8, at, w.classDefinition)
		w.at(at+10, at, w.classDefinition)
	case 3:
		w.at(at+2, at, w.coverage)
		w.each(at+6, 2*w.u16(at+4), 2, 2, at, w.anchor)
	case 4, 5, 6: // marks on letters, ligatures, marks
		w.at(at+2, at, w.coverage)
		w.at(at+4, at, w.coverage)
		w.at(at+8, at, func(marks int) { w.every(marks+2, w.u16(marks), 4, marks, w.anchor) })
		places := func(list int) { w.rows(list+2, w.u16(list), 2*w.u16(at+6)) }
		w.at(at+10, at, func(list int) {
			if kind == 5 {
				w.offsets16(list, list, places)
				return
			}
			places(list)
		})
	case 7:
		w.context(at)
	case 8:
		w.chained(at)
	case 9:
		if to := w.u16(at + 2); to != 9 && w.u32(at+4) <= len(w.data)-at {
			w.position(to, at+w.u32(at+4))
		}
	}
}

// value is how a glyph is moved: the last four of the eight bits of its format stand for devices.
func (w *scale) value(format, at, base int) {
	for bit := 1; bit < 1<<16; bit <<= 1 {
		if format&bit == 0 {
			continue
		}
		w.take(2)
		if bit&0xF0 != 0 {
			w.at(at, base, w.device)
		}
		at += 2
	}
}

// anchor is a place on a glyph.
func (w *scale) anchor(at int) {
	w.take(8)
	if w.u16(at) == 3 {
		w.each(at+6, 2, 2, 2, at, w.device)
	}
}

// device is what is added at sizes of a screen.
func (w *scale) device(at int) {
	w.take(8)
	if format := w.u16(at + 4); format >= 1 && format <= 3 {
		w.take(max(w.u16(at+2)-w.u16(at)+1, 0)) // each of some bits
	}
}

// gdef walks GDEF: classes of glyphs, points of attachment, carets in ligatures, sets of marks, how all vary.
func (w *scale) gdef() {
	w.at(4, 0, w.classDefinition)
	w.at(6, 0, func(at int) {
		w.at(at, at, w.coverage)
		w.offsets16(at+2, at, w.list)
	})
	w.at(8, 0, func(at int) {
		w.at(at, at, w.coverage)
		w.offsets16(at+2, at, func(ligature int) {
			w.offsets16(ligature, ligature, func(caret int) {
				if w.take(8); w.u16(caret) == 3 {
					w.at(caret+4, caret, w.device)
				}
			})
		})
	})
	w.at(10, 0, w.classDefinition)
	if w.u16(2) >= 2 {
		w.at(12, 0, func(at int) { w.each(at+4, w.u16(at+2), 4, 4, at, w.coverage) })
	}
	if w.u16(2) >= 3 {
		w.each(14, 1, 4, 4, 0, func(at int) {
			w.each(at+2, 1, 4, 4, at, func(regions int) { w.rows(regions+4, w.u16(regions+2), 6*w.u16(regions)) })
			w.each(at+8, w.u16(at+6), 4, 4, at, func(deltas int) {
				n := w.u16(deltas + 4)
				w.flat(deltas+6, n, 2)
				if row := n + w.u16(deltas+2)&0x7FFF; deltas+6+2*n+row*w.u16(deltas) <= len(w.data) {
					w.take(w.u16(deltas) * (8 + 2*n))
				}
			})
		})
	}
}
