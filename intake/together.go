package intake

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
)

// together is how a heading has several counts: Paper for 1 and 2, Stock A-C, First and second page, Photo 1 and 2 stock.
type together struct {
	base    string // the heading without them
	of      []int  // ascending, each once; nil: it has one count, or none
	letters bool   // the counts are letters
}

var togetherKept remembered[together]

// countsTogether takes such a heading apart; none has counts that are letters where the texts of the table are not counted so. That of a text has none: it is one.
func (s *Sheet) countsTogether(heading string) (base string, of []int) {
	if len(heading) > longestHeading || Made(heading) {
		return heading, nil
	}
	t := togetherKept.of(heading, findTogether)
	if t.of == nil || t.letters && s.countedBy != 'A' {
		return heading, nil
	}
	return t.base, t.of
}

// tokens matches the words, numbers and signs of a heading: 2nd is one, what else follows a number is a word of its own.
var tokens = regexp.MustCompile(`\p{Nd}+(?i:st|nd|rd|th)?|[\pL'’]+|[^\s\v\x{85}\p{Z}]`)

// countToken is the count that a token is: a number, a letter or a word; its kind is '1', 'A' or 'w', and 0 where it is none.
func countToken(token string) (n int, kind byte) {
	lower := strings.ToLower(token)
	if i := slices.Index(ordinals, lower); i >= 0 {
		return i + 1, 'w'
	}
	figures := strings.TrimRight(lower, "stndrh")
	switch n, err := strconv.Atoi(figures); {
	case err != nil || n < 1 || n > mostSets:
	case figures != lower:
		return n, 'w'
	default:
		return n, '1'
	}
	if len(token) == 1 && token[0] >= 'A' && token[0] <= 'Z' {
		return int(token[0]-'A') + 1, 'A'
	}
	return 0, 0
}

var (
	// betweenCounts stand between counts, and beforeCounts before the first: they say no more.
	betweenCounts = wordsOf("and or und , & + / ( ) # . [ ] the text texts block blocks photo photos picture pictures spot spots box boxes story stories entry entries no nos number numbers")
	beforeCounts  = wordsOf("for of on in the text texts block blocks photo photos picture pictures no nos number numbers # ( [ - – : . , /")
)

// findTogether looks for the first counts that follow each other.
func findTogether(heading string) (t together) {
	t.base = heading
	words := tokens.FindAllString(withoutAside(heading), -1)
	for i := 0; i < len(words); i++ {
		n, kind := countToken(words[i])
		if kind == 0 {
			continue
		}
		of, end, through := []int{n}, i+1, false
		for k := i + 1; k < len(words); k++ {
			lower := strings.ToLower(words[k])
			next, same := countToken(words[k])
			switch {
			case same == kind:
				if last := of[len(of)-1]; through && last < next {
					for m := last + 1; m < next; m++ {
						of = append(of, m)
					}
				}
				of, end, through = append(of, next), k+1, false
				continue
			case lower == "to" || lower == "-" || lower == "–":
				through = true
				continue
			case betweenCounts[lower], i > 0 && strings.EqualFold(words[i-1], words[k]) && synonyms[lower] != asUnknown, strings.EqualFold(words[i+1], words[k]) && synonyms[lower] != asUnknown: // Page 1 / Page 2, first page and second page
				continue
			}
			break
		}
		slices.Sort(of)
		if of = slices.Compact(of); len(of) < 2 {
			continue
		}
		for end < len(words) && slices.Contains([]string{")", "]", ":", "?", "*", ".", "-", "–"}, words[end]) {
			end++
		}
		for front := i; ; front-- { // Printed on 1 and 2; Stock for texts 1 and 2
			base := strings.Join(slices.Concat(words[:front], words[end:]), " ")
			switch as, _, guess := recognise(base); {
			case as == asJournaling || as.measured() && slices.Contains(words[i:end], "/"):
				return t
			case as != asUnknown && guess == "", as != asUnknown && (front == 0 || !beforeCounts[strings.ToLower(words[front-1])]):
				return together{base, of, kind == 'A'}
			case front == 0 || !beforeCounts[strings.ToLower(words[front-1])]:
				return t
			}
		}
	}
	return t
}
