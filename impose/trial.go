package impose

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/layout"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Trial is one row of a job by itself, while it is typed. The places of problems have the form's heading as their column.
type Trial struct {
	Block *intake.Block // nil: the row cannot be read
	typeset.Trial
}

// Try reads and sets one row as Read and Set would, but for what holds it against other rows. Fonts are loaded once for all trials; paper is
// what the job lists.
func Try(fields []intake.Field, fonts *typeset.Library, paper []intake.Paper, s *config.Settings) (t Trial) {
	var sizes []measure.Size
	for _, p := range paper {
		sizes = append(sizes, p.Size)
	}
	block, found := intake.ReadOne(fields, s, sizes...)
	if found.Errors() > 0 {
		t.Problems = found
		return t
	}
	one := []intake.Block{block}
	found = append(found, layout.GiveWay(one, func(stock config.Stock) []config.Sheet { return intake.AtHand(stock, paper) }, s)...)
	t.Block = &one[0]
	t.Trial = typeset.Try(fonts, t.Block, s)
	t.Problems = append(found, t.Problems...)
	return t
}
