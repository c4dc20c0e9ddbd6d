package proof

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Give puts the texts and spaces that answers give into their rows, in the order of the answers. Blocks and held are all rows of
// the job; put types a text or a space ("" leaves what is there) into a row, by its number among them, blocks first, and gives the row back as it is
// then, or says why that cannot be. Two lines about one row name the row as it was before the first: a row is known by all that it has been.
// What is said, at the row's Journaling or Width, is a note for each row that was changed, an error for each that could not be, and a note on answers whose row is not there any more.
func Give(list []Answer, blocks []intake.Block, held []intake.Held, s *config.Settings, put func(row int, text, space string) (*intake.Block, *problem.Problem)) (said problem.List) {
	if !slices.ContainsFunc(list, func(a Answer) bool { return a.gives() }) {
		return nil
	}
	rows := asked(blocks, held)
	where := placesOf(rows, s)
	for i := range list {
		a := &list[i]
		if !a.gives() {
			continue
		}
		at, ok := where.exact[codeAndPrint{a.Code, a.Print}]
		if moved := where.moved[codeAndPrint{letters(a.Code), a.Print}]; !ok && len(moved) > 0 {
			at, ok = moved[0], true
		}
		what, column := "the text", "Journaling"
		if a.Space != "" {
			what, column = "the space", "Width"
		}
		from := fmt.Sprintf("line %d of %s", a.Line, a.File)
		if !ok {
			if at, known := where.byCode[a.Code]; !known {
				said.Note(problem.Place{File: a.File}, fmt.Sprintf("line %d gives %s of %s, which is not among the blocks", a.Line, what, a.Code),
					"the row is gone, or the answers are those of another job", "check that the answers belong to this job")
			} else if place := rows[at].Place.OfRow(); a.stands(rows[at]) {
				a.Taken = &place
			} else {
				said.Note(problem.Place{File: a.File}, fmt.Sprintf("line %d gives %s of %s, which was changed since: %s", a.Line, what, a.Code, measure.Quote(a.Text+a.Space)), "",
					"look whether it is still wanted, and take the line out of the answers")
			}
			continue
		}
		row, wrong := put(at, a.Text, a.Space)
		if wrong != nil {
			place := rows[at].Place.OfRow()
			place.Column = column
			said = append(said, problem.Problem{Place: place, What: fmt.Sprintf("%s that %s gives cannot be taken: %s", what, from, wrong.What), Cause: wrong.Cause,
				Hint: wrong.Hint})
			continue
		}
		place := row.Place.OfRow()
		a.Taken, rows[at] = &place, row
		where.add(at, row, s)
		given := measure.Quote(a.Text)
		if a.Space != "" {
			given = row.Space.Format(row.Unit)
		}
		cell := place
		cell.Column = column
		said.ToOrganiser(cell, fmt.Sprintf("%s of %s is the one that %s gives: %s", what, row.Code, from, given), "",
			"type it into the row, so that it stands there without the answers")
	}
	return said
}

// stands reports whether the row has by now what the answer gives.
func (a *Answer) stands(b *intake.Block) bool {
	if a.Space != "" {
		size, err := measure.ParseSize(a.Space, b.Unit)
		side, bad := measure.Parse(a.Space, b.Unit)
		return err == nil && size == b.Space || bad == nil && (side == b.Space.W || side == b.Space.H)
	}
	flat := func(s string) string { return strings.Join(strings.Fields(s), " ") }
	return flat(a.Text) == flat(b.Markup())
}
