package typeset

import (
	_ "embed"
	"strings"
	"sync"
	"unicode"
)

// knuth is Donald Knuth's table of English hyphenation, unchanged, as its licence asks.
//
//go:embed hyphen.tex
var knuth string

// Fewest letters before and after a hyphen, as plain TeX has them for English (\lefthyphenmin, \righthyphenmin).
const (
	fewestBefore = 2
	fewestAfter  = 3
)

// hyphenator finds where words may be hyphenated, by Frank Liang's method ("Word Hy-phen-a-tion by Com-put-er", 1983): every
// pattern that occurs in the word, with a dot for its ends, puts digits between letters, the highest digit counts, and an odd
// one allows a hyphen.
type hyphenator struct {
	patterns   map[string][]byte // digit before each letter of the pattern, and after the last
	longest    int
	exceptions map[string][]int
}

// english is read when the first text wants it.
var english = sync.OnceValue(func() *hyphenator { return readTeX(knuth) })

// readTeX reads the \patterns and \hyphenation of a table in TeX's form.
func readTeX(table string) *hyphenator {
	h := &hyphenator{patterns: map[string][]byte{}, exceptions: map[string][]int{}}
	var plain strings.Builder
	for line := range strings.Lines(table) {
		line, _, _ = strings.Cut(line, "%")
		plain.WriteString(line + "\n")
	}
	group := func(command string) []string {
		_, rest, _ := strings.Cut(plain.String(), command+"{")
		inside, _, _ := strings.Cut(rest, "}")
		return strings.Fields(inside)
	}
	for _, p := range group(`\patterns`) {
		var letters []byte
		digits := []byte{0}
		for _, c := range []byte(p) {
			if c >= '0' && c <= '9' {
				digits[len(digits)-1] = c - '0'
				continue
			}
			letters = append(letters, c)
			digits = append(digits, 0)
		}
		h.patterns[string(letters)] = digits
		h.longest = max(h.longest, len(letters))
	}
	for _, e := range group(`\hyphenation`) {
		points, n := []int{}, 0
		for _, c := range e {
			if c == '-' {
				points = append(points, n)
				continue
			}
			n++
		}
		h.exceptions[strings.ReplaceAll(e, "-", "")] = points
	}
	return h
}

// points are the numbers of letters after which a word of small letters a to z may be hyphenated.
func (h *hyphenator) points(word string) []int {
	if len(word) < fewestBefore+fewestAfter {
		return nil
	}
	if p, ok := h.exceptions[word]; ok {
		return p
	}
	dotted := "." + word + "."
	digits := make([]byte, len(dotted)+1)
	for i := range len(dotted) {
		for j := i + 1; j <= min(len(dotted), i+h.longest); j++ {
			for k, d := range h.patterns[dotted[i:j]] {
				digits[i+k] = max(digits[i+k], d)
			}
		}
	}
	var out []int
	for n := fewestBefore; n <= len(word)-fewestAfter; n++ {
		if digits[n+1]&1 == 1 {
			out = append(out, n)
		}
	}
	return out
}

// Common English words that are rare in the languages it may be mistaken for, and how many words in a hundred must be among
// them for a text to count as English. English journaling has twenty and more, German, Dutch, French, Spanish or Italian
// less than half of the limit (found by trial; see the tests).
var common = func() map[string]bool {
	m := map[string]bool{}
	for _, w := range strings.Fields(`the and of to we my our your with for that this it you she her they their them from were
		had have has been at by but not who when what all are which would there after before us his its out up then into some how`) {
		m[w] = true
	}
	return m
}()

const commonShare = 8

// countCommon counts the words of a text and those that are common in English. Hyphenating a letter to grandmother in Dutch by
// English rules would be wrong in every second word.
func countCommon(text []rune) (words, hits int) {
	var word [longestCommon]byte
	for i := 0; i < len(text); {
		if !unicode.IsLetter(text[i]) {
			i++
			continue
		}
		n := 0
		for ; i < len(text) && unicode.IsLetter(text[i]); i++ {
			if n < len(word) {
				word[n] = byte(min(text[i]|0x20, 0xFF)) // small letters; what is not ASCII matches nothing
			}
			n++
		}
		words++
		if n <= len(word) && common[string(word[:n])] {
			hits++
		}
	}
	return words, hits
}

// longestCommon is the number of letters of the longest of the common words.
const longestCommon = 6
