package weigh

import "encoding/binary"

// glyf counts the points of outlines: what a point is may be said for 256 of them in two bytes. Real outlines take some three bytes a point.
func (w *scale) glyf(loca []byte, long bool, glyphs int) {
	place := func(g int) int {
		if long {
			return int(binary.BigEndian.Uint32(loca[4*g:]))
		}
		return 2 * int(binary.BigEndian.Uint16(loca[2*g:]))
	}
	width := 2
	if long {
		width = 4
	}
	if len(loca) < width*(glyphs+1) {
		return
	}
	for g := range glyphs {
		w.take(4)
		from, to := place(g), place(g+1)
		if to > len(w.data) || from > to {
			return // where the library stops
		}
		contours := w.u16(from)
		if to-from < 12 || contours >= 0x8000 || contours == 0 {
			w.take(to - from)
			continue
		}
		w.take(4 * (w.u16(from+10+2*(contours-1)) + 1))
	}
}
