package plan

import (
	"strconv"

	"tuckmark/config/measure"
)

// Title names a piece for bookmarks and guides: "vellum, sheet 2, panel S2.1".
func (p *Piece) Title(u measure.Unit) string {
	title := p.Stock + ", sheet " + strconv.Itoa(p.Source.Sheet)
	switch p.Source.Kind {
	case FromLeftover:
		title = p.Stock + ", leftover " + strconv.Itoa(p.Source.Sheet) + " (" + p.Size().About(u) + ")"
	case FromPanel:
		title += ", panel " + p.Source.Name
	}
	return title
}
