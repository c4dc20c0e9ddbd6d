package desk

import (
	"errors"
	"maps"
	"net/http"
	"slices"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

// keep keeps a copy of a block where it lies, or lets all copies of a block go. The places of whatever is kept on its sheet already are written as
// they are now, so that all are by the same cuts.
func (s *server) keep(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		Version      string
		Piece, Block int
		Keep         bool
	}
	if !read(w, r, &in) {
		return
	}
	n := j.layer.latest.Load()
	var on *plan.Part
	if n != nil && n.version() == in.Version {
		on = n.blockOn(in.Piece, in.Block)
	}
	if on == nil {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	var changes []jobbook.Change
	if !in.Keep {
		changes = setAll(jobbook.Journaling, n.ids[on.Block.Code], map[string]string{"Kept": ""})
	} else {
		kept := keptPlaces(n, in.Piece, in.Block)
		for _, code := range slices.Sorted(maps.Keys(kept)) {
			changes = append(changes, setAll(jobbook.Journaling, n.ids[code], map[string]string{"Kept": intake.KeptText(kept[code])})...)
		}
	}
	rev, err := j.book.DoAt(n.revision, changes...)
	if errors.Is(err, jobbook.ErrSince) { // another program may have changed the workbook, or somebody a row
		err = errOtherSheets
	}
	did(j, w, rev, err)
}

// blockOn is a block of a piece, by the numbers that a page has sent; nil: there is none.
func (n *laid) blockOn(piece, block int) *plan.Part {
	if n.job.Plan == nil || piece < 0 || piece >= len(n.job.Plan.Pieces) {
		return nil
	}
	blocks := n.job.Plan.Pieces[piece].Blocks()
	if block < 0 || block >= len(blocks) {
		return nil
	}
	return blocks[block]
}

// keptPlaces are the places of all copies that are kept, and of one more, by the codes of the blocks of which some copy is kept on that one's sheet.
func keptPlaces(n *laid, piece, block int) map[string][]intake.Kept {
	pieces := n.job.Plan.Pieces
	on := pieces[piece]
	number, used := 0, map[int]bool{}
	for _, p := range pieces {
		for _, leaf := range p.Blocks() {
			if k := leaf.Block.Kept; k > 0 && p.Stock == on.Stock {
				if used[k] = true; p.Source.Sheet == on.Source.Sheet {
					number = k
				}
			}
		}
	}
	if number == 0 {
		for number = on.Source.Sheet; used[number]; number++ {
		}
	}
	out := map[string][]intake.Kept{}
	wanted := map[string]bool{}
	for i, p := range pieces {
		for k, leaf := range p.Blocks() {
			same := p.Stock == on.Stock && p.Source.Sheet == on.Source.Sheet
			switch own := i == piece && k == block; {
			case own || leaf.Block.Kept > 0 && same:
				out[leaf.Block.Code] = append(out[leaf.Block.Code], layout.KeepAt(p, leaf, number))
				wanted[leaf.Block.Code] = true
			case leaf.Block.Kept > 0:
				out[leaf.Block.Code] = append(out[leaf.Block.Code], layout.KeepAt(p, leaf, leaf.Block.Kept))
			}
		}
	}
	maps.DeleteFunc(out, func(code string, _ []intake.Kept) bool { return !wanted[code] })
	return out
}
