package desk

import (
	"maps"
	"net/http"
	"slices"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/impose/layout"
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
	if n == nil || n.job.Plan == nil || n.version() != in.Version || in.Piece < 0 || in.Piece >= len(n.job.Plan.Pieces) {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	blocks := n.job.Plan.Pieces[in.Piece].Blocks()
	if in.Block < 0 || in.Block >= len(blocks) {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	var changes []jobbook.Change
	code := blocks[in.Block].Block.Code
	if !in.Keep {
		changes = setAll(jobbook.Journaling, n.ids[code], map[string]string{"Kept": ""})
	} else {
		kept := keptPlaces(n, in.Piece, in.Block)
		for _, code := range slices.Sorted(maps.Keys(kept)) {
			changes = append(changes, setAll(jobbook.Journaling, n.ids[code], map[string]string{"Kept": intake.KeptText(kept[code])})...)
		}
	}
	rev, err := j.book.Do(changes...)
	did(j, w, rev, err)
}

// keptPlaces are the places of all copies that are kept, and of one more, by the codes of the blocks of which some copy is kept on that one's sheet.
func keptPlaces(n *laid, piece, block int) map[string][]intake.Kept {
	plan := n.job.Plan
	on := plan.Pieces[piece]
	number, used := 0, map[int]bool{}
	for _, p := range plan.Pieces {
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
	for i, p := range plan.Pieces {
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
