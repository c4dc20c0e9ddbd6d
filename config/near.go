package config

import (
	"math"
	"strings"
	"unicode/utf8"
)

// fold is a name as names are compared: without regard to letter case and to how its words are spaced.
func fold(name string) string {
	return strings.Join(strings.Fields(strings.ToLower(name)), " ")
}

// Near is the one of the names that a person who typed word most likely meant, or "" where none is near. Of equally
// near ones the first counts.
func Near(word string, names []string) string {
	typed := withoutSeparators(word)
	letters := utf8.RuneCountInString(typed)
	best, least := "", 1+max(1, letters/3)
	for _, name := range names {
		bare := withoutSeparators(name)
		if apart := utf8.RuneCountInString(bare) - letters; max(apart, -apart) >= least { // so many letters are to be added or dropped
			continue
		}
		if d := EditDistance(typed, bare); d < least {
			best, least = name, d
		}
	}
	return best
}

// withoutSeparators drops what people mix up in names: letter case, spaces, dots, hyphens and low lines.
func withoutSeparators(name string) string {
	return separators.Replace(fold(name))
}

var separators = strings.NewReplacer(" ", "", "-", "", "_", "", ".", "")

// longest is how many letters a word may have to be near any; nobody mistypes a whole sentence.
const longest = 60

// EditDistance is how many letters have to be added, dropped, replaced or swapped with their neighbour to make b of a (the
// optimal string alignment distance); words of more than 60 letters are as far apart as can be.
func EditDistance(a, b string) int {
	x, y := []rune(a), []rune(b)
	if len(x) > longest || len(y) > longest {
		return math.MaxInt
	}
	var before, above, row [longest + 1]int
	for j := range y {
		row[j+1] = j + 1
	}
	for i := range x {
		before, above = above, row
		row[0] = i + 1
		for j := range y {
			d := above[j]
			if x[i] != y[j] {
				d++
			}
			d = min(d, above[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				d = min(d, before[j-1]+1)
			}
			row[j+1] = d
		}
	}
	return row[len(y)]
}
