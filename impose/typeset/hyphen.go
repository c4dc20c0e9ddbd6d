package typeset

import (
	"embed"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"
)

// knuth is Donald Knuth's table of English hyphenation, unchanged, as its licence asks.
//
//go:embed hyphen.tex
var knuth string

// hyphenTables are those of other languages, unchanged as the package hyph-utf8 of TeX has them; each names its makers and its licence.
//
//go:embed hyphens
var hyphenTables embed.FS

// A table says how few letters may stand before and after a hyphen, as those of TeX's collection do ("left: 2"); what it does not
// say is as plain TeX has it for English (\lefthyphenmin, \righthyphenmin). Two letters alone on a line please in no language (common
// practice).
const (
	fewestBefore = 2
	fewestAfter  = 3
)

var leastLetters = regexp.MustCompile(`(?m)^% +(left|right): +(\d)\s*$`)

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

// hyphenators are functions that give those that were asked for, by the code of their language.
var hyphenators sync.Map

// hyphenatorOf is the hyphenator of a language by its code, or nil where no table is at hand. It is read when the first text wants it, and
// once, however many do.
func hyphenatorOf(code string) *hyphenator {
	h, ok := hyphenators.Load(code)
	if !ok {
		h, _ = hyphenators.LoadOrStore(code, sync.OnceValue(func() *hyphenator { return readHyphenator(code) }))
	}
	return h.(func() *hyphenator)()
}

func readHyphenator(code string) *hyphenator {
	table := knuth
	if code != codes[langEn] {
		data, _ := hyphenTables.ReadFile("hyphens/hyph-" + code + ".tex")
		table = string(data)
	}
	if table == "" {
		return nil
	}
	h := readTeX(table)
	h.lang = langOf(code)
	return h
}

// readTeX reads the \patterns and \hyphenation of a table in TeX's form.
func readTeX(table string) *hyphenator {
	h := &hyphenator{patterns: map[string][]byte{}, letters: map[rune]bool{}, exceptions: map[string][]int{}, before: fewestBefore, after: fewestAfter}
	for _, m := range leastLetters.FindAllStringSubmatch(table, -1) { // those to set by come after those that the table was made by
		n, _ := strconv.Atoi(m[2])
		if m[1] == "left" {
			h.before = n
		} else {
			h.after = max(n, fewestAfter)
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
			if unicode.IsLetter(c) {
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

// points are the numbers of letters after which a word of small letters may be hyphenated.
func (h *hyphenator) points(word string) []int {
	length := utf8.RuneCountInString(word)
	if length < h.before+h.after {
		return nil
	}
	if p, ok := h.exceptions[word]; ok {
		return slices.DeleteFunc(slices.Clone(p), func(n int) bool { return n < h.before || n > length-h.after })
	}
	dotted := "." + word + "."
	at := make([]int, 0, length+3) // where its letters begin
	for i := range dotted {
		at = append(at, i)
	}
	at = append(at, len(dotted))
	digits := make([]byte, length+3)
	for i := range length + 2 {
		for j := i + 1; j <= min(length+2, i+h.longest); j++ {
			for k, d := range h.patterns[dotted[at[i]:at[j]]] {
				digits[i+k] = max(digits[i+k], d)
			}
		}
	}
	var out []int
	for n := h.before; n <= length-h.after; n++ {
		if digits[n+1]&1 == 1 {
			out = append(out, n)
		}
	}
	return out
}

// wordIn is the word of the language inside its punctuation, in small letters, and where it starts; "" where it is not to be hyphenated: where it has
// digits, letters of other scripts or a capital, which is mostly a name; but German nouns have one. Of what an apostrophe parts, as in
// grandmother's and l’anniversaire, it is the longest.
func (h *hyphenator) wordIn(token []rune) (int, string) {
	best, from := 0, 0
	for i := 0; i < len(token); {
		if !unicode.IsLetter(token[i]) && !unicode.IsDigit(token[i]) {
			i++
			continue
		}
		j := i
		if h.lang == langDe && unicode.IsUpper(token[j]) {
			j++
		}
		for j < len(token) && h.letters[token[j]] {
			j++
		}
		if j < len(token) && (unicode.IsLetter(token[j]) || unicode.IsDigit(token[j]) || unicode.Is(unicode.M, token[j])) {
			return 0, ""
		}
		if j-i > best {
			best, from = j-i, i
		}
		if j == len(token) || token[j] != '\'' && token[j] != '’' { // only punctuation may follow
			if slices.ContainsFunc(token[j:], func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) || unicode.Is(unicode.M, r) }) {
				return 0, ""
			}
			break
		}
		i = j
	}
	return from, strings.ToLower(string(token[from : from+best]))
}
