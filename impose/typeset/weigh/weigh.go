// Package weigh tells before a library reads a font whether that would cost many times what the font holds. A table of a font is a tree of pieces that name
// each other by their places, and nothing keeps it from naming one piece many times: a few kilobytes may stand for gigabytes once they are read. Here the
// tree is walked as the library walks it (OpenType specification; Apple's TrueType Reference Manual for the tables that are Apple's), and what it would read is
// counted; nothing is kept. Fonts that were made for people share pieces, too, but stay far below the limits.
//
// weigh.go has the count, and which tables are weighed; cmap.go goes through the table of characters, glyf.go through outlines, layout.go through GSUB, GPOS
// and GDEF, apple.go through morx, kerx, kern, ankr and feat.
package weigh

import "encoding/binary"

// Table reports whether a table costs no more than it may. What it hangs on besides: the number of glyphs of the font, and for the table glyf the table loca.
func Table(tag string, data []byte, glyphs int, loca []byte, long bool) bool {
	w := &scale{data: data, left: most(len(data))}
	switch tag {
	case "morx", "kerx", "kern":
		w.left = mostStates(len(data))
	}
	return w.bears(tag, glyphs, loca, long)
}

func (w *scale) bears(tag string, glyphs int, loca []byte, long bool) (ok bool) {
	defer func() {
		if r := recover(); r != nil {
			if r != (heavy{}) {
				panic(r)
			}
			ok = false
		}
	}()
	switch tag {
	case "cmap":
		w.cmap()
	case "glyf":
		w.glyf(loca, long, glyphs)
	case "GSUB":
		w.layout(w.substitution)
	case "GPOS":
		w.layout(w.position)
	case "GDEF":
		w.gdef()
	case "morx":
		w.morx(glyphs)
	case "kerx":
		w.kerx(glyphs)
	case "kern":
		w.kern()
	case "ankr":
		w.classes(w.u32(4), glyphs, 2)
	case "feat":
		w.feat()
	}
	return true
}

// most is how many bytes may be read of a table of a size, a piece as often as it is named.
func most(size int) int { return 16*size + 1<<16 }

// mostStates is the same for the tables with state machines, of each of which the library reads parts up to the end of the table.
func mostStates(size int) int { return 32*size + 1<<20 }

// scale counts what is read of a table.
type scale struct {
	data []byte
	left int // bytes
}

// heavy is the panic when too much was read.
type heavy struct{}

// take counts n bytes that become memory.
func (w *scale) take(n int) {
	if w.left -= max(n, 0); w.left < 0 {
		panic(heavy{})
	}
}

// flat counts a list at a place of n items of a size. One that reaches beyond the table is not read at all.
func (w *scale) flat(at, n, size int) {
	w.take(w.within(at, n, size) * size)
}

// u8, u16 and u32 are the numbers at a place; beyond the table nought, and the library stops there.
func (w *scale) u8(at int) int {
	if at < 0 || at >= len(w.data) {
		return 0
	}
	return int(w.data[at])
}

func (w *scale) u16(at int) int {
	if at < 0 || at+2 > len(w.data) {
		return 0
	}
	return int(binary.BigEndian.Uint16(w.data[at:]))
}

// One that is larger than any file may be is the largest: what is reckoned with it fits an int of 32 bits.
func (w *scale) u32(at int) int { return int(min(w.bits32(at), largest)) }

// bits32 is a number of 32 bits as it is.
func (w *scale) bits32(at int) uint32 {
	if at < 0 || at+4 > len(w.data) {
		return 0
	}
	return binary.BigEndian.Uint32(w.data[at:])
}

const largest = 1 << 28 // more than the bytes of a font's file that is read

// piece is about what the library keeps of a piece beside the bytes that it holds: where it lies, and the heads of its lists.
const piece = 32

// each goes to the pieces that n records at a place name, each record of some bytes with the offset (of two or four bytes) at its
// end; those that name nothing are left out. Every piece counts, however small.
func (w *scale) each(list, n, size, width, base int, do func(at int)) {
	if w.within(list, n, size) != n {
		return
	}
	for i := range n {
		w.take(size)
		end := list + (i+1)*size
		offset := w.u16(end - 2)
		if width == 4 {
			offset = w.u32(end - 4)
		}
		if offset != 0 && base+offset <= len(w.data) {
			w.take(piece)
			do(base + offset)
		}
	}
}

// every is each for lists of which the library takes a nought for a place as well.
func (w *scale) every(list, n, size, base int, do func(at int)) {
	if w.within(list, n, size) != n {
		return
	}
	for i := range n {
		w.take(size + piece)
		if at := base + w.u16(list+(i+1)*size-2); at <= len(w.data) {
			do(at)
		}
	}
}

// offsets16 is each for a list of offsets of two bytes, whose length stands before them.
func (w *scale) offsets16(count, base int, do func(at int)) {
	w.each(count+2, w.u16(count), 2, 2, base, do)
}

// at is do for the piece that the offset of two bytes at a place names.
func (w *scale) at(place, base int, do func(at int)) {
	w.each(place, 1, 2, 2, base, do)
}
