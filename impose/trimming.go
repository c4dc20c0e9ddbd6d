package impose

import (
	"fmt"

	"tuckmark/config/problem"
	"tuckmark/impose/account"
	"tuckmark/impose/plan"
)

// Trimming says in a line how much there is to cut, and what the other way to find the cuts would give.
func (j *Job) Trimming() string {
	now, other := j.Plan.Trimming(), j.Plan.Other
	by, way := "marks", "measure"
	if j.Settings.Trimmer.Measure {
		by, way = way, by
	}
	count := func(t plan.Trimming) string {
		return fmt.Sprintf("%s, %d of them without a mark", problem.Count(t.Cuts, "cut"), t.Unmarked)
	}
	line := "To cut: " + count(now)
	if j.Settings.Trimmer.Stack > 1 {
		if strokes := account.Of(j.Plan, j.Settings, nil).Strokes(); strokes > 0 {
			line += " in " + problem.Count(strokes, "stroke")
		}
	}
	if other != (plan.Trimming{}) && other != now {
		line += fmt.Sprintf("; with trimmer.by=%s instead of %s %s", way, by, count(other))
	}
	return line
}
