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
	if j.Settings.Trimmer.Stack > 1 {
		strokes := account.Of(j.Plan, j.Settings, nil).Strokes()
		whole := count
		count = func(t plan.Trimming) string {
			if t == now && strokes > 0 {
				return fmt.Sprintf("%s in %s", whole(t), problem.Count(strokes, "stroke"))
			}
			return whole(t)
		}
	}
	if other == (plan.Trimming{}) || other == now {
		return "To cut: " + count(now)
	}
	return fmt.Sprintf("To cut: %s; with trimmer.by=%s instead of %s %s", count(now), way, by, count(other))
}
