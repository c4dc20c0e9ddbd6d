package impose

import (
	"fmt"

	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// Trimming says in a line how much there is to cut, and what the other way to find the cuts would give.
func (j *Job) Trimming() string {
	if j.Settings.Trimmer.Scissors {
		return j.scissors()
	}
	now, other := j.Plan.Trimming(), j.Plan.Other
	by, way := "marks", "measure"
	if j.Settings.Trimmer.Measure {
		by, way = way, by
	}
	line := "To cut: " + now.String()
	if j.Settings.Trimmer.Stack > 1 {
		if strokes := account.Of(j.Plan, j.Settings, nil).Strokes(); strokes > 0 {
			line += " in " + problem.Count(strokes, "stroke")
		}
	}
	if other != (plan.Trimming{}) && other != now {
		line += fmt.Sprintf("; with trimmer.by=%s instead of %s %s", way, by, other)
	}
	return line
}

// scissors says how much there is to cut out, and how many edges have no line.
func (j *Job) scissors() string {
	blocks, bare := 0, 0
	for _, p := range account.Of(j.Plan, j.Settings, nil).Pieces {
		blocks += len(p.Spots)
		for _, q := range p.Spots {
			for _, b := range p.Bare(q) {
				if !b.Straight {
					bare++
				}
			}
		}
	}
	line := "To cut out with scissors: " + problem.Count(blocks, "block") + ", each along its outline"
	if bare > 0 {
		line += fmt.Sprintf("; %s no line, and the guide says what to measure", problem.Count(bare, "edge has|edges have"))
	}
	return line
}
