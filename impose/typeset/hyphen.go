package typeset

import (
	"embed"
	"slices"
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

// tableOf names the table of each language whose rules are at hand, but for English.
var tableOf = [langs]string{langDe: "de-1996", langFr: "fr", langEs: "es", langIt: "it", langPt: "pt", langNl: "nl", langSv: "sv", langDa: "da", langNo: "no", langFi: "fi", langPl: "pl"}

// Fewest letters before and after a hyphen, as plain TeX has them for English (\lefthyphenmin, \righthyphenmin); two letters alone on a
// line please in no language (common practice).
const (
	fewestBefore = 2
	fewestAfter  = 3
)

// hyphenator finds where words may be hyphenated, by Frank Liang's method ("Word Hy-phen-a-tion by Com-put-er", 1983): every
// pattern that occurs in the word, with a dot for its ends, puts digits between letters, the highest digit counts, and an odd
// one allows a hyphen.
type hyphenator struct {
	lang       lang
	patterns   map[string][]byte // digit before each letter of the pattern, and after the last
	longest    int               // letters of a pattern
	exceptions map[string][]int
}

// hyphenators are read when the first text wants them; nil where no table is at hand.
var hyphenators = func() (all [langs]func() *hyphenator) {
	for l := range all {
		all[l] = sync.OnceValue(func() *hyphenator {
			if lang(l) == langEn {
				return readTeX(langEn, knuth)
			}
			if tableOf[l] == "" {
				return nil
			}
			table, err := hyphenTables.ReadFile("hyphens/hyph-" + tableOf[l] + ".tex")
			if err != nil {
				panic("typeset: " + err.Error())
			}
			return readTeX(lang(l), string(table))
		})
	}
	return all
}()

// readTeX reads the \patterns and \hyphenation of a table in TeX's form.
func readTeX(l lang, table string) *hyphenator {
	h := &hyphenator{lang: l, patterns: map[string][]byte{}, exceptions: map[string][]int{}}
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
	if length < fewestBefore+fewestAfter {
		return nil
	}
	if p, ok := h.exceptions[word]; ok {
		return slices.DeleteFunc(slices.Clone(p), func(n int) bool { return n < fewestBefore || n > length-fewestAfter })
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
	for n := fewestBefore; n <= length-fewestAfter; n++ {
		if digits[n+1]&1 == 1 {
			out = append(out, n)
		}
	}
	return out
}

// wordIn is the word inside its punctuation, in small letters, and where it starts; "" where it is not to be hyphenated: where it has
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
		for j < len(token) && h.small(token[j]) {
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

// small reports whether a letter is a small one that the language's table may know.
func (h *hyphenator) small(r rune) bool {
	return r >= 'a' && r <= 'z' || h.lang != langEn && r >= 0x80 && unicode.IsLower(r)
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
