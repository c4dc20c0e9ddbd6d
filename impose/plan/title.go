package plan

import (
	"strconv"

	"tuckmark/config/measure"
)

// Title names a piece for bookmarks and guides: "vellum, sheet 2, panel S2.1".
func (p *Piece) Title(u measure.Unit) string {
	switch title := p.Stock + ", sheet " + strconv.Itoa(p.Source.Sheet); {
	case p.Source.Leftover:
		return p.Stock + ", leftover " + strconv.Itoa(p.Source.Sheet) + " (" + p.Size().About(u) + ")"
	case p.Source.Panel != nil:
		return title + ", panel " + p.Source.Cut.PartName(p.Source.Panel)
	default:
		return title
	}
}
