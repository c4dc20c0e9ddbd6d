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

// cell is what answers are put into: a row's text or its space.
type cell struct {
	row   int
	space bool
}

// Give puts the texts and spaces that answers give into their rows, in the order of the answers. Blocks and held are all rows of
// the job; put types a text or a space ("" leaves what is there) into a row, by its number among them, blocks first, and gives the row back as it is
// then, or says why that cannot be. Answers about one row name it as it was before the first of them, or as another proof showed it in between: a row
// is known by all that it has been. What is said, at the row's Journaling or Width, is a note for each row that was changed, an error for each
// that could not be, and a note on each answer that is in no row: whose row is not there any more, or in doubt, or that a later one has replaced.
func Give(list []Answer, blocks []intake.Block, held []intake.Held, s *config.Settings, put func(row int, text, space string) (*intake.Block, *problem.Problem)) (said problem.List) {
	if !slices.ContainsFunc(list, func(a Answer) bool { return a.gives() }) {
		return nil
	}
	rows := asked(blocks, held)
	were := slices.Clone(rows) // before any answer
	where := placesOf(rows, s)
	keys := keysOf(list)
	refused := make([]*problem.Problem, len(list))
	seen := make([]bool, len(list))
	from := map[cell]int{} // the answer that a cell is from
	for {
		settled := where.settle(keys)
		if !where.settleTyped(keys, list, from) && !settled { // before anything else is put into those rows
			break
		}
		for i := range list {
			a := &list[i]
			at, ok := where.at[a.key()]
			if !ok || seen[i] || !a.gives() {
				continue
			}
			seen[i] = true
			if !where.sure(a.key()) || a.stands(rows[at], were[at]) || where.byHand[given{a.key(), a.Space != ""}] {
				continue
			}
			row, wrong := put(at, a.Text, a.Space)
			if wrong != nil {
				refused[i] = wrong
				continue
			}
			rows[at], from[cell{at, a.Space != ""}] = row, i
			where.add(at, row)
		}
	}
	for i := range list {
		a := &list[i]
		at, ok := where.at[a.key()]
		if ok {
			place := rows[at].Place.OfRow()
			a.Row = &place
		}
		if !a.gives() {
			continue
		}
		what, column, given := "the text", "Journaling", measure.Quote(a.Text)
		if a.Space != "" {
			what, column, given = "the space", "Width", quoted(a.Space)
		}
		it := fmt.Sprintf("line %d gives %s of %s", a.Line, what, a.Code)
		var last *Answer // that the cell is from
		if n, put := from[cell{at, a.Space != ""}]; ok && put {
			last = &list[n]
		}
		byCode, known := where.byCode[a.Code]
		file := problem.Place{File: a.File}
		switch {
		case refused[i] != nil:
			place := *a.Row
			place.Column = column
			said = append(said, problem.Problem{Place: place, What: fmt.Sprintf("%s that line %d of %s gives cannot be taken: %s", what, a.Line, a.File, strings.Replace(refused[i].What, measure.Quote(a.Space), given, 1)),
				Cause: refused[i].Cause, Hint: refused[i].Hint})
		case last == a:
			a.Taken = a.Row
			if a.Space != "" {
				given = rows[at].Space.Format(rows[at].Unit)
			}
			place := *a.Row
			place.Column = column
			said.ToOrganiser(place, fmt.Sprintf("%s of %s is the one that line %d of %s gives: %s", what, rows[at].Code, a.Line, a.File, given), "",
				"type it into the row, so that it stands there without the answers")
		case ok && where.sure(a.key()) && a.stands(rows[at], were[at]):
			a.Taken = a.Row
		case last != nil:
			said.Note(file, fmt.Sprintf("%s: %s; line %d of %s gives another, which counts", it, given, last.Line, last.File), "", "if it is the right one, take the other line out of the answers")
		case ok && !where.sure(a.key()):
			said.Note(file, fmt.Sprintf("%s, and it is not sure whose row that is by now: %s", it, given), "people with the same initials have rows that say the same, and codes move when rows are put in or taken out",
				"type it into the row that it is for, and take the line out of the answers")
		case !ok && !known:
			said.Note(file, fmt.Sprintf("%s, which is not among the blocks: %s", it, given), "the row is gone, or the answers are those of another job", "check that the answers belong to this job")
		case !ok && a.stands(rows[byCode], were[byCode]) && !where.moved[byCode] && where.person[kin(a.Code)] != "":
			place := rows[byCode].Place.OfRow()
			a.Taken = &place
		default:
			said.Note(file, fmt.Sprintf("%s, which was changed since: %s", it, given), "", "look whether it is still wanted, and take the line out of the answers")
		}
	}
	return said
}
