package intake

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/problem"
)

// The same row in two files is a question about the files, where much of a file stands in the other: they are a copy, or two
// versions of one. Printing both would print each block twice, or an old text beside its new one.

// twin is a row that a row of an earlier file has as well.
type twin struct {
	sheet *Sheet
	at    problem.Place
	first problem.Place
}

const (
	sameText  = "it is for the same person and page; both are printed"
	deleteOne = "delete one if one was meant"
)

// versions asks about files of which at least half the rows stand in another, once for each group of them, and notes what else
// stands twice at its row.
func (b *builder) versions() (asked problem.List) {
	group := map[string]string{} // a file's first version
	root := func(f string) string {
		for group[f] != "" {
			f = group[f]
		}
		return f
	}
	var pairs [][2]string
	for p := range b.alike {
		pairs = append(pairs, p)
	}
	slices.SortFunc(pairs, func(x, y [2]string) int { return slices.Compare(x[:], y[:]) })
	same := map[string]int{}
	for _, p := range pairs {
		if n := b.alike[p]; 2*n >= min(b.rows[p[0]], b.rows[p[1]]) {
			if first, second := root(p[0]), root(p[1]); first != second {
				group[second] = first
				same[first] += same[second]
			}
			same[root(p[0])] += n
		}
	}
	members := map[string][]string{}
	var firsts []string
	for _, t := range b.job.Tables {
		if r := root(t.File); t.Sheet == "" && same[r] > 0 && !slices.Contains(members[r], t.File) {
			if members[r] == nil {
				firsts = append(firsts, r)
			}
			members[r] = append(members[r], t.File)
		}
	}
	for _, r := range firsts {
		asked.Add(problem.Place{File: members[r][len(members[r])-1]}, fmt.Sprintf("%s seem to be versions of one file: %s the same", problem.And(members[r]), problem.Count(same[r], "row is|rows are")),
			"all of them would be printed, some blocks twice and others in an old and a new text", "keep the one that counts, and move the others out of the folder")
	}
	for _, t := range b.twins {
		if root(t.at.File) == root(t.first.File) {
			continue
		}
		where := strings.TrimSpace(fmt.Sprintf("row %d of %s %s", t.first.Row, t.first.File, t.first.Sheet))
		t.sheet.problems.Note(t.at, "the same text stands in "+where, sameText, deleteOne)
	}
	return asked
}
