package config

import (
	"math"
	"strings"
)

// fold is a name as names are compared: without regard to letter case and to how its words are spaced.
func fold(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(name)), " ")
}

// Near is the one of the names that a person who typed word most likely meant, or "" where none is near. Of equally
// near ones the first counts.
func Near(word string, names []string) string {
	typed := squeeze(word)
	best, least := "", 1+max(1, len([]rune(typed))/3)
	for _, name := range names {
		if d := edits([]rune(typed), []rune(squeeze(name))); d < least {
			best, least = name, d
		}
	}
	return best
}

// squeeze drops what people mix up in names: letter case, spaces, dots, hyphens and low lines.
func squeeze(name string) string {
	return strings.NewReplacer(" ", "", "-", "", "_", "", ".", "").Replace(fold(name))
}

// edits is the number of letters to insert, drop, replace or swap with their neighbour to make b of a (the optimal string
// alignment distance); long words are near nothing.
func edits(a, b []rune) int {
	const longest = 60
	if len(a) > longest || len(b) > longest {
		return math.MaxInt
	}
	var before, above []int
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range a {
		before, above, row = above, row, make([]int, len(b)+1)
		row[0] = i + 1
		for j := range b {
			d := above[j]
			if a[i] != b[j] {
				d++
			}
			d = min(d, above[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && a[i] == b[j-1] && a[i-1] == b[j] {
				d = min(d, before[j-1]+1)
			}
			row[j+1] = d
		}
	}
	return row[len(b)]
}
