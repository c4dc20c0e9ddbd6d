package desk

import (
	"net/http"
	"strconv"

	"tuckmark/config/problem"
)

// sheetsView is every piece as it will be printed and cut.
type sheetsView struct {
	frame
	Pieces piecesView
}

type piecesView struct {
	Laid bool
	List []pieceView
}

type pieceView struct {
	Title         string
	Picture       string
	Width, Height int64
	Blocks        []string
	Facts         []string
}

func (j *openJob) pieces() (v piecesView) {
	n := j.layer.latest.Load()
	if n == nil || n.job.Plan == nil {
		return v
	}
	v.Laid = true
	unit := n.job.Settings.Unit
	for i, p := range n.job.Plan.Pieces {
		size := p.Size()
		one := pieceView{Title: problem.Capital(p.Title(unit)), Width: pixels(size.W) / 2, Height: pixels(size.H) / 2,
			Picture: "/piece/" + strconv.Itoa(i) + "." + n.version() + ".svg"}
		for _, b := range p.Blocks() {
			one.Blocks = append(one.Blocks, b.Block.Code)
		}
		one.Facts = append(one.Facts, problem.Count(p.Whole.CutCount(), "cut"))
		for leaf := range p.Whole.Leaves {
			if leaf.Keep {
				one.Facts = append(one.Facts, "keep "+leaf.Rect.Size().Down(unit))
			}
		}
		v.List = append(v.List, one)
	}
	return v
}

func (s *server) sheetsPage(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "sheets", &sheetsView{s.frame(j, "/sheets", "/paper.js"), j.pieces()})
}

func (s *server) sheetsPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "pieces", j.pieces())
}
