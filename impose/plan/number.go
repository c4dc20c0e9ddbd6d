package plan

import (
	"fmt"
	"strings"

	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Money prints hundredths as people write amounts.
func Money(cents int64) string { return fmt.Sprintf("%d.%02d", cents/100, cents%100) }

// Number gives the pieces their pages in the PDF, the first being page first, and names their parts after them.
func (p *Plan) Number(first int) {
	for i := range p.Pieces {
		piece := &p.Pieces[i]
		if piece.Carrier != nil {
			first++
		}
		piece.Page = first
		first++
		name := func(s string) string {
			_, rest, cut := strings.Cut(s, ".")
			if !cut {
				return piece.Name()
			}
			return piece.Name() + "." + rest
		}
		for j := range piece.Cuts {
			c := &piece.Cuts[j]
			c.Of, c.Makes[0], c.Makes[1] = name(c.Of), name(c.Makes[0]), name(c.Makes[1])
		}
		for j := range piece.Blocks {
			piece.Blocks[j].Leaf = name(piece.Blocks[j].Leaf)
		}
		for j := range piece.Leftovers {
			piece.Leftovers[j].Name = name(piece.Leftovers[j].Name)
		}
	}
}

// Hold lists the rows that are not printed.
func (p *Plan) Hold(held []intake.Held) {
	for _, h := range held {
		p.Held = append(p.Held, Held{Place: problem.Place{File: h.Place.File, Sheet: h.Place.Sheet, Row: h.Place.Row}, Code: h.Code, Why: h.Why, Owner: h.Owner})
	}
}
