package intake

import (
	"reflect"
	"slices"

	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// A block may be given a space where its row has one column of widths for several blocks: what is given is the block's own, and is kept beside the row.

// with is a row with other cells in it; the row stays.
func with(r table.Row, cells []table.Cell) table.Row {
	r.Cells = slices.Clone(r.Cells)
	for _, c := range cells {
		put(&r, c)
	}
	return r
}

// keepOwn notes what a block was given below columns that other blocks of its row read, too. Each space is given whole.
func (j *Job) keepOwn(of problem.Place, cells []table.Cell) {
	if len(cells) == 0 {
		return
	}
	if j.own == nil {
		j.own = map[problem.Place][]table.Cell{}
	}
	j.own[of] = cells
}

// reread makes the block of a place as if its row were another.
func (j *Job) reread(sh *Sheet, at int, as table.Row, of problem.Place, s *config.Settings) (*builder, problem.List) {
	before := sh.Rows[at]
	sh.Rows[at] = as
	pick := *sh
	pick.problems, pick.insteadIn = nil, nil
	b := j.anew(s)
	b.above[&pick] = j.above[of]
	(&entry{builder: b, sheet: &pick, row: &sh.Rows[at], set: of.Block}).build()
	sh.Rows[at] = before
	return b, pick.problems
}

// mostTried is how many contents are tried for the cells that a row's blocks share. Where answers give more that differ, none does for all of them.
const mostTried = 4

// Settle puts what blocks were given and share a cell for into that cell, for who writes the rows down again, where all blocks of the row stay what they are with it. It says of the first row
// where they would not.
func (j *Job) Settle(s *config.Settings) *problem.Problem {
	for _, sh := range j.Sheets {
		for at := sh.Head + 1; at < len(sh.Rows) && len(j.own) > 0; at++ {
			if p := j.settleRow(sh, at, s); p != nil {
				return p
			}
		}
	}
	return nil
}

func (j *Job) settleRow(sh *Sheet, at int, s *config.Settings) *problem.Problem {
	place := sh.place(&sh.Rows[at], nil)
	tries := [][]table.Cell{nil} // what may stand in the cells: what does, or what a block was given
	var blocks []problem.Place
	for _, set := range sh.sets {
		place.Block = set
		own, given := j.own[place]
		if given && len(tries) < mostTried && !slices.ContainsFunc(tries, func(t []table.Cell) bool { return reflect.DeepEqual(t, own) }) {
			tries = append(tries, own)
		}
		if given || (&entry{sheet: sh, row: &sh.Rows[at], set: set}).filled() {
			blocks = append(blocks, place)
		}
	}
	if len(tries) == 1 {
		return nil
	}
	is := make([]*builder, len(blocks)) // as they are
	for i, of := range blocks {
		is[i], _ = j.reread(sh, at, with(sh.Rows[at], j.own[of]), of, s)
	}
	i := slices.IndexFunc(tries, func(cells []table.Cell) bool {
		for i, of := range blocks {
			as, _ := j.reread(sh, at, with(sh.Rows[at], cells), of, s)
			if !reflect.DeepEqual(is[i].job.Blocks, as.job.Blocks) || !reflect.DeepEqual(is[i].job.Held, as.job.Held) {
				return false
			}
		}
		return true
	})
	if i < 0 {
		k, _ := sh.HeadingAt(tries[1][0].Col)
		return &problem.Problem{Place: sh.place(&sh.Rows[at], &sh.Columns[k]), What: "no workbook with marks was written: what the answers give a block of this row would be another block's, too",
			Cause: "one cell has it for several blocks of the row", Hint: "have it written without the answers, and give them with it to what is done next; or give each block its own column, like Width 1 and Width 2"}
	}
	sh.Rows[at] = with(sh.Rows[at], tries[i])
	for _, of := range blocks {
		delete(j.own, of)
	}
	return nil
}
