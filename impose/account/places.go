package account

import (
	"cmp"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

// Runs parts the blocks of a piece into those that a list names together: copies of one block in places that follow each other.
func Runs(blocks []Spot) [][]Spot {
	return chunks(blocks, func(a, b *Spot) bool { return a.Block.Block == b.Block.Block && a.First+1 == b.First })
}

// Copied are the owner's blocks, each with its copies.
func (o *Owner) Copied() [][]Spot {
	return chunks(o.Blocks, func(a, b *Spot) bool { return a.Block.Block == b.Block.Block })
}

// chunks parts a list where one does not go with the one before it.
func chunks(list []Spot, together func(a, b *Spot) bool) (out [][]Spot) {
	for len(list) > 0 {
		n := 1
		for n < len(list) && together(&list[n-1], &list[n]) {
			n++
		}
		out, list = append(out, list[:n]), list[n:]
	}
	return out
}

// Where is pages on which copies of a block lie in the same places.
type Where struct {
	Pages  []int
	Places string // "A-D, F"
}

// Places says where the copies of a block lie, page by page.
func Places(copies []Spot) (out []Where) {
	sorted := slices.Clone(copies)
	slices.SortFunc(sorted, func(a, b Spot) int {
		return cmp.Or(cmp.Compare(a.Piece.Page, b.Piece.Page), cmp.Compare(a.First, b.First))
	})
	for _, page := range chunks(sorted, func(a, b *Spot) bool { return a.Piece.Page == b.Piece.Page }) {
		var names []string
		for _, run := range Runs(page) {
			names = append(names, Named(run))
		}
		places := strings.Join(names, ", ")
		if n := len(out); n > 0 && out[n-1].Places == places {
			out[n-1].Pages = append(out[n-1].Pages, page[0].Piece.Page)
		} else {
			out = append(out, Where{[]int{page[0].Piece.Page}, places})
		}
	}
	return out
}

// Named names the places of a run: "A-D".
func Named(run []Spot) string { return placesOf(run[0].First, run[len(run)-1].First) }

// placesOf names places from one to another: "A-D", or "A".
func placesOf(first, last int) string {
	if first == last {
		return Letter(first)
	}
	return Letter(first) + "-" + Letter(last)
}

// Ranges writes ascending numbers as a print dialogue takes them: "3-7, 9".
func Ranges(pages []int) string { return strings.Join(problem.Ranges(pages, "-"), ", ") }
