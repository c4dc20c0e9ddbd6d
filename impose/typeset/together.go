package typeset

import (
	"slices"
	"strings"
	"unicode"
)

// together reports whether what stands before and after a break of UAX #14 belongs on one line all the same: a dash and the
// word before it, a number and its unit or month, the two measures of a size (20 × 30), a title or initial and its name; in
// Polish a word of one letter and the word after it; and marks that somebody sets off with spaces, as the French do, and what
// they belong to.
func together(text []rune, k int, l lang) bool {
	if text[k-1] == 0x2013 && k > 1 && unicode.IsDigit(text[k-2]) && unicode.IsDigit(text[k]) { // 8–14
		return true
	}
	if text[k-1] != ' ' {
		return text[k] == 0x2014 || text[k] == 0x2E3A || text[k] == 0x2E3B
	}
	before, after := tokenBefore(text, k-1), tokenAfter(text, k)
	if onlyOf(after, "-–—.,:;!?»›”)") || onlyOf(before, "«‹(") && (k < 3 || text[k-3] == ' ') || l == langPl && len(before) == 1 && unicode.IsLetter(before[0]) {
		return true
	}
	first := after[0]
	switch {
	case string(after) == "×":
		return startsAsNumber(before)
	case string(before) == "×" && k >= 4:
		return startsAsNumber(tokenBefore(text, k-3)) && startsAsNumber(after)
	case isNumber(before):
		word := strings.ToLower(string(unpunctuated(after)))
		return units[word] || units[strings.ToLower(string(after))] || months[word] || len(after) >= 3 && len(before) <= 3 && unicode.IsDigit(first) && thousands(after)
	case isNumber(unpunctuated(after)) && months[strings.ToLower(strings.TrimRight(string(before), "."))]:
		return len(unpunctuated(after)) <= 2 // a day; a year may stand apart
	case isNumber(unpunctuated(after)) && counters[strings.ToLower(string(before))]:
		return true
	case unicode.IsUpper(first):
		return titles[string(before)] || initials(before)
	}
	return false
}

func tokenBefore(text []rune, end int) []rune {
	i := end
	for i > 0 && text[i-1] != ' ' && end-i < 24 {
		i--
	}
	for i < end && (text[i] == '(' || text[i] == '“' || text[i] == '"' || text[i] == '‘') {
		i++
	}
	return text[i:end]
}

func tokenAfter(text []rune, from int) []rune {
	j := from
	for j < len(text) && text[j] != ' ' && j-from < 24 {
		j++
	}
	return text[from:j]
}

// onlyOf reports whether a token is made of the given marks.
func onlyOf(token []rune, marks string) bool {
	return len(token) > 0 && !slices.ContainsFunc(token, func(r rune) bool { return !strings.ContainsRune(marks, r) })
}

// unpunctuated is a token without the punctuation after it.
func unpunctuated(token []rune) []rune {
	for len(token) > 0 && strings.ContainsRune(".,;:!?)”’\"'", token[len(token)-1]) {
		token = token[:len(token)-1]
	}
	return token
}

func isNumber(token []rune) bool {
	for _, r := range token {
		if !unicode.IsDigit(r) && !strings.ContainsRune(".,:/½¼¾⅓⅔⅛", r) && !(len(token) > 1 && (r == '$' || r == '€' || r == '£' || r == '-' || r == '–')) {
			return false
		}
	}
	return len(token) > 0 && token[len(token)-1] != '.' && token[len(token)-1] != ','
}

// startsAsNumber reports whether a token is a number, or a measure as 4″ and 2½ are.
func startsAsNumber(token []rune) bool { return len(token) > 0 && isNumber(token[:1]) }

// thousands reports whether a token is a group of three digits, as in 12 000.
func thousands(token []rune) bool {
	token = unpunctuated(token)
	return len(token) == 3 && isNumber(token)
}

// initials reports whether a token is made of initials: K. or J.R.
func initials(token []rune) bool {
	if len(token) == 0 || len(token)%2 != 0 {
		return false
	}
	for i, r := range token {
		if i%2 == 0 && !unicode.IsUpper(r) || i%2 == 1 && r != '.' {
			return false
		}
	}
	return true
}

func wordSet(list string) map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(list) {
		m[w] = true
	}
	return m
}

var (
	months = wordSet(`january february march april may june july august september october november december
		jan feb mar apr jun jul aug sep sept oct nov dec`)
	units = wordSet(`mm cm m km mi ft in yd mg g kg oz lb lbs l ml dl s sec min h hr hrs mph km/h am pm a.m p.m % ° °c °f c f k
		p.m. a.m. o'clock o’clock € $ £ kr chf`)
	titles   = wordSet(`Dr. Mr. Mrs. Ms. Prof. St. Mt. Rev. Sr. Jr. Capt. Sgt. Lt. Fr. Hr. Uncle Aunt Auntie Onkel Tante Oncle Tío Tía Tio Tia Zio Zia Oom`)
	counters = wordSet(`no. nr. p. pp. page pages chapter ch. fig. day week room gate mile year`)
)
