package typeset

import (
	"embed"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"unicode"
)

// patterns are the languages whose words may be broken, in TeX's form: hyphen.tex is Donald Knuth's table for English, unchanged, as
// its licence asks; hyphen-de.tex would be one for German.
//
//go:embed hyphen*.tex
var patterns embed.FS

// A table says how few letters may stand before and after a hyphen, as those of TeX's collection do ("left: 2"); what it does not
// say is as plain TeX has it for English (\lefthyphenmin, \righthyphenmin).
const (
	fewestBefore = 2
	fewestAfter  = 3
)

var leastLetters = regexp.MustCompile(`(?m)^% +(left|right): (\d)\s*$`)

// hyphenator finds where words may be hyphenated, by Frank Liang's method ("Word Hy-phen-a-tion by Com-put-er", 1983): every
// pattern that occurs in the word, with a dot for its ends, puts digits between letters, the highest digit counts, and an odd
// one allows a hyphen.
type hyphenator struct {
	lang          lang              // whose words it knows; rootLang: not one that is told by its common words
	patterns      map[string][]byte // digit before each letter of the pattern, and after the last
	letters       map[rune]bool     // that patterns have
	longest       int               // pattern, in letters
	exceptions    map[string][]int
	before, after int // fewest letters
}

// hyphenators are those that were asked for, by the code of their language.
var hyphenators sync.Map

// hyphenatorOf is the hyphenator of a language by its code, or nil where no table is at hand. It is read when the first text wants it.
func hyphenatorOf(code string) *hyphenator {
	if h, ok := hyphenators.Load(code); ok {
		return h.(*hyphenator)
	}
	name := "hyphen-" + code + ".tex"
	if code == codes[langEn] {
		name = "hyphen.tex"
	}
	var h *hyphenator
	if table, err := patterns.ReadFile(name); err == nil {
		h = readTeX(string(table))
		h.lang = langOf(code)
	}
	hyphenators.Store(code, h)
	return h
}

// readTeX reads the \patterns and \hyphenation of a table in TeX's form.
func readTeX(table string) *hyphenator {
	h := &hyphenator{patterns: map[string][]byte{}, letters: map[rune]bool{}, exceptions: map[string][]int{}, before: fewestBefore, after: fewestAfter}
	for _, m := range leastLetters.FindAllStringSubmatch(table, -1) {
		n, _ := strconv.Atoi(m[2])
		if m[1] == "left" {
			h.before = n
		} else {
			h.after = n
		}
	}
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
		var letters []rune
		digits := []byte{0}
		for _, c := range p {
			if c >= '0' && c <= '9' {
				digits[len(digits)-1] = byte(c - '0')
				continue
			}
			if c != '.' {
				h.letters[c] = true
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

// points are the numbers of letters after which a word of small letters of the language may be hyphenated.
func (h *hyphenator) points(word string) []int {
	if p, ok := h.exceptions[word]; ok {
		return p
	}
	dotted := []rune("." + word + ".")
	n := len(dotted) - 2
	if n < h.before+h.after {
		return nil
	}
	digits := make([]byte, len(dotted)+1)
	for i := range dotted {
		for j := i + 1; j <= min(len(dotted), i+h.longest); j++ {
			for k, d := range h.patterns[string(dotted[i:j])] {
				digits[i+k] = max(digits[i+k], d)
			}
		}
	}
	var out []int
	for at := h.before; at <= n-h.after; at++ {
		if digits[at+1]&1 == 1 {
			out = append(out, at)
		}
	}
	return out
}

// core is the word of the language inside its punctuation, and where it starts; "" where it is not to be hyphenated.
func (h *hyphenator) core(token []rune) (int, string) {
	i := 0
	for i < len(token) && !unicode.IsLetter(token[i]) && !unicode.IsDigit(token[i]) {
		i++
	}
	j := i
	for j < len(token) && h.letters[token[j]] {
		j++
	}
	rest := token[j:]
	if len(rest) > 1 && (rest[0] == '\'' || rest[0] == '’') { // grandmother's
		rest = rest[1:]
		for len(rest) > 0 && h.letters[rest[0]] {
			rest = rest[1:]
		}
	}
	for _, r := range rest {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.M, r) {
			return 0, ""
		}
	}
	return i, string(token[i:j])
}
