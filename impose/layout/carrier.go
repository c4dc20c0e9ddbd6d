package layout

import (
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// ride is the first printer that pulls the stock's carrier with a piece of that size on it, and the ride; without one the
// printer is -1. The piece lies in the middle, where the carrier can be printed all round it.
func (f feed) ride(size measure.Size) (printer int, r *plan.Carrier) {
	c := f.stock.Carrier
	if c == nil || !c.Smallest.Within(size) && !c.Smallest.Turn().Within(size) {
		return -1, nil
	}
	for _, i := range f.takers {
		at := size.At((c.Size.W-size.W)/2, (c.Size.H-size.H)/2)
		if f.printers[i].Feeds(c.Size) && c.Size.At(0, 0).Inset(margins(f.printers[i], f.stock)).Contains(at) {
			return i, &plan.Carrier{Size: c.Size, X: at.X, Y: at.Y}
		}
	}
	return -1, nil
}
