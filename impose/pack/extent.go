package pack

// An extent is a width and a height in one word, the width above, each below 2^31, so that a single subtraction tells
// whether one rectangle holds another. The search asks that more often than anything else, and a branch on the answer
// would be guessed wrong half of the time.
type extent uint64

const (
	guards      extent = 1<<63 | 1<<31
	fitsNowhere extent = (1<<31-1)<<32 | (1<<31 - 1) // no room holds it
)

func extentOf(w, h int32) extent { return extent(w)<<32 | extent(h) }

func (e extent) sides() (w, h int32) { return int32(e >> 32), int32(e) }

// holds is 1 when b, as it stands, lies within e, else 0: the guard bits survive where no borrow takes them.
func (e extent) holds(b extent) int32 {
	d := (e | guards) - b
	return int32(d & (d << 32) >> 63)
}

// pendingItem is an item that waits for a place.
type pendingItem struct {
	size, turned extent // turned is fitsNowhere where it may not be
	item         int32
	fits         int32 // how many places it fits, each way up counted, times 65536, and its rank
}

func (b box) pending(item, rank int32) pendingItem {
	w := pendingItem{extentOf(b.w, b.h), fitsNowhere, item, rank}
	if b.turn {
		w.turned = extentOf(b.h, b.w)
	}
	return w
}

// orientations is in how many orientations the item fits into room.
func (w *pendingItem) orientations(room extent) int32 {
	n := room.holds(w.size)
	if w.turned != fitsNowhere {
		n += room.holds(w.turned)
	}
	return n
}

// leastSides is w and h, made so low that the box, as it stands or turned, is no narrower and no lower.
func (b box) leastSides(w, h int32) (int32, int32) {
	if b.turn {
		s := min(b.w, b.h)
		return min(w, s), min(h, s)
	}
	return min(w, b.w), min(h, b.h)
}
