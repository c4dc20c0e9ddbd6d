package intake

import (
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// Field is one cell by itself, under a heading of the form.
type Field struct{ Heading, Text string }

// ReadOne makes a block of fields that were given one by one, as a row of a CSV file would be: with the same checks and the
// same markup. A problem's place has the heading as its column and nothing else. The block may be as large as the sizes
// in hand, whatever sheets its stock is bought in.
func ReadOne(fields []Field, s *config.Settings, hand ...measure.Size) (Block, problem.List) {
	var headings, texts []string
	for _, f := range fields {
		headings, texts = append(headings, f.Heading), append(texts, f.Text)
	}
	sh := newSheet(table.New([][]string{headings, texts}), nil)
	b := newBuilder(s)
	for _, t := range s.Stocks {
		b.stockSizes[t.Name] = slices.Concat(b.stockSizes[t.Name], hand)
	}
	sh.classify()
	if sh.reportColumns(s.Unit) {
		b.sheet(sh)
	}
	for i := range sh.problems {
		sh.problems[i].Place = problem.Place{Column: sh.problems[i].Place.Column}
	}
	if len(b.job.Blocks) == 0 {
		if sh.problems.Errors() == 0 {
			sh.problems.Add(problem.Place{}, "there is nothing to print", "", "give a text and the space for it")
		}
		return Block{}, sh.problems
	}
	return b.job.Blocks[0], sh.problems
}
