package impose

import (
	"cmp"
	"slices"

	"tuckmark/config/problem"
	"tuckmark/intake"
)

// inOrder sorts what the steps found and held into the order of the input, for a reader who goes through the rows. What lies
// in no table that was read, such as a line of the configuration, stands first, in the order in which it was found.
func (j *Job) inOrder() {
	order := j.order()
	slices.SortStableFunc(j.Problems, func(a, b problem.Problem) int { return order(a.Place, b.Place) })
	slices.SortStableFunc(j.Held, func(a, b intake.Held) int { return order(a.Place, b.Place) })
}

// order compares places by that.
func (j *Job) order() func(a, b problem.Place) int {
	read, found := map[problem.Place]int{}, map[problem.Place]int{}
	if j.Input != nil {
		for i, p := range j.Input.Tables {
			read[p] = i + 1
		}
	}
	table := func(p problem.Place) problem.Place { return problem.Place{File: p.File, Sheet: p.Sheet} }
	see := func(p problem.Place) {
		if t := table(p); found[t] == 0 {
			found[t] = len(found) + 1
		}
	}
	for _, p := range j.Problems {
		see(p.Place)
	}
	for _, h := range j.Held {
		see(h.Place)
	}
	return func(a, b problem.Place) int {
		ta, tb := table(a), table(b)
		return cmp.Or(cmp.Compare(read[ta], read[tb]), cmp.Compare(found[ta], found[tb]), cmp.Compare(a.Row, b.Row), cmp.Compare(a.Block, b.Block), cmp.Compare(a.Line, b.Line))
	}
}

// CanHoldBack reports whether every error belongs to a row, so that the rest can be made without it.
func (j *Job) CanHoldBack() bool {
	return !slices.ContainsFunc(j.Problems, func(p problem.Problem) bool { return p.Severity == problem.Error && p.Place.Row == 0 })
}

// Ready is the number of blocks that would be printed, each counted once whatever its copies.
func (j *Job) Ready() int {
	held := map[problem.Place]bool{}
	for _, h := range j.Held {
		held[h.Place.OfRow()] = true
	}
	n := 0
	for _, b := range j.Blocks {
		if !held[b.Place.OfRow()] {
			n++
		}
	}
	return n
}
