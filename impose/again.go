package impose

import (
	"context"
	"fmt"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/report"
)

// ReadAgain takes blocks of an earlier run, each as often as its code is named, and the paper that its report lists. The codes
// must be those of the report. What was printed mirrored is again.
func (j *Job) ReadAgain(ctx context.Context, e *report.Earlier, codes []string) error {
	j.earlier, j.Files = e, []string{e.Name()}
	if note := e.OtherSettings(j.Settings); note != nil {
		j.Unlike = append(j.Unlike, *note)
	}
	blocks, found := e.Blocks(codes, j.Settings)
	j.Blocks = blocks
	j.mirrorAgain()
	j.Problems = append(append(j.Problems, j.Unlike...), found...)
	paper, found := e.Paper(j.Settings)
	j.Paper, j.Problems = paper, append(j.Problems, found...)
	j.currency()
	return ctx.Err()
}

// mirrorAgain has the stocks printed mirrored that were the first time, and notes of which blocks the stock is so now alone.
func (j *Job) mirrorAgain() {
	var stocks, only []string
	for i := range j.Blocks {
		if was, _ := j.earlier.Mirrored(&j.Blocks[i]); was {
			stocks = append(stocks, j.Blocks[i].Stock)
		}
	}
	j.Settings = j.Settings.Mirrored(stocks)
	for i := range j.Blocks {
		k := &j.Blocks[i]
		stock, _ := j.Settings.Stock(k.Stock)
		if was, known := j.earlier.Mirrored(k); known && !was && stock.Mirror {
			only = append(only, k.Code)
		}
	}
	if len(only) > 0 {
		j.Unlike.Note(problem.Place{File: j.earlier.Name()}, fmt.Sprintf("the first run did not print %s mirrored, this one does", problem.And(problem.Few(only, mostNamed))),
			"", "if that is not meant, leave out --mirror")
	}
}

// NotesSheet is the name of the report's sheet that has the notes of this run.
func (j *Job) NotesSheet() string {
	if j.earlier == nil {
		return report.Notes
	}
	return report.Notes + j.earlier.Added()
}

// mostNamed is how many blocks are named in a note.
const mostNamed = 8

// Smaller says of which blocks of an earlier run the text is set smaller than then: because it was changed, or the settings were.
func (j *Job) Smaller() (said []string) {
	known := map[string]bool{}
	for _, p := range j.Plan.Pieces {
		for _, at := range p.Blocks() {
			b := at.Block
			if was := b.Type.Wished; b.Setting.Size < was && !known[b.Code] {
				known[b.Code] = true
				said = append(said, fmt.Sprintf("%s is set in %s, the first time it was %s: its text or the settings have changed.", b.Code, b.Setting.Size.Format(measure.Pt), was.Format(measure.Pt)))
			}
		}
	}
	return said
}
