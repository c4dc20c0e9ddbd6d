package typeset

import (
	"slices"
	"strings"
	"unicode"

	"github.com/go-text/typesetting/language"
)

// What is typed on a keyboard is set as type: quotation marks, apostrophes, primes, dashes, the ellipsis, fractions and the sign
// of multiplication. The letters that the glyphs stand for remain those that were typed.

// quotes are the marks of quotation for what is typed as " and as '.
type quotes struct{ open, close, innerOpen, innerClose rune }

// quotesOf are the delimiters of CLDR 47 (common/main: quotationStart, quotationEnd and the alternate ones), but for Dutch, where
// CLDR has ‘ ’ for both and " stays a double mark here, and for the inner marks of French, “ ” (Imprimerie nationale).
var quotesOf = [langs]quotes{
	rootLang: {'“', '”', '‘', '’'},
	langEn:   {'“', '”', '‘', '’'},
	langDe:   {'„', '“', '‚', '‘'},
	langFr:   {'«', '»', '“', '”'},
	langEs:   {'“', '”', '‘', '’'},
	langIt:   {'«', '»', '“', '”'},
	langPt:   {'“', '”', '‘', '’'},
	langNl:   {'“', '”', '‘', '’'},
	langSv:   {'”', '”', '’', '’'},
	langDa:   {'“', '”', '‘', '’'},
	langNo:   {'«', '»', '‘', '’'},
	langFi:   {'”', '”', '’', '’'},
	langPl:   {'„', '”', '«', '»'},
	langRu:   {'«', '»', '„', '“'},
	langEl:   {'«', '»', '“', '”'},
}

const (
	apostrophe  = '’'
	prime       = '′'
	doublePrime = '″'
	narrowSpace = 0x202F // does not break; French sets it beside its marks
	noBreak     = 0xA0
)

var fractions = map[string]rune{"1/2": '½', "1/4": '¼', "3/4": '¾', "1/3": '⅓', "2/3": '⅔', "1/8": '⅛', "3/8": '⅜', "5/8": '⅝', "7/8": '⅞'}

// elided are English words that begin with an apostrophe.
var elided = wordSet(`tis twas twere em til till cause round bout n nuff`)

// marksetter turns the keyboard's marks of one paragraph into type.
type marksetter struct {
	in     typed
	fs     *faces
	lang   lang
	text   []rune
	styles []uint8
	at     []int32
	double bool // a double quotation mark is open
	single bool // a single one is
	done   bool // something was changed
}

// setMarks sets the marks of a paragraph as the language has them. Letters of scripts that have marks of their own, and marks that the face
// does not have, stay as they were typed.
func (p *typed) setMarks(l lang, fs *faces) {
	if !slices.ContainsFunc(p.text, func(r rune) bool { return r < 0x80 && markable[r] }) {
		return
	}
	switch leadingScript(p.text) {
	case language.Latin, language.Cyrillic, language.Greek:
	default:
		return
	}
	n := len(p.text)
	m := &marksetter{in: *p, fs: fs, lang: l, text: make([]rune, 0, n+4), styles: make([]uint8, 0, n+4), at: make([]int32, 0, n+5)}
	for i := 0; i < n; {
		i += max(1, m.next(i))
	}
	if m.done {
		p.source, p.text, p.styles, p.at = p.text, m.text, m.styles, append(m.at, int32(n))
	}
}

// markable are the keyboard's characters that may have to be set as others.
var markable = func() (m [0x80]bool) {
	for _, c := range `"'-./xX*;:!?` {
		m[c] = true
	}
	return m
}()

// typedAt is the character at i of what was typed, or a space beyond its ends.
func (m *marksetter) typedAt(i int) rune {
	if i < 0 || i >= len(m.in.text) {
		return ' '
	}
	return m.in.text[i]
}

// put sets characters for the n that were typed at i, the first of them for all; it reports n, or 0 where the face lacks one.
func (m *marksetter) put(i, n int, as ...rune) int {
	style := m.in.styles[i]
	if !m.fs[style].hasAll(as) {
		return 0
	}
	for k, r := range as {
		m.text, m.styles = append(m.text, r), append(m.styles, style)
		if k == 0 {
			m.at = append(m.at, int32(i))
		} else {
			m.at = append(m.at, int32(i+n))
		}
	}
	m.done = true
	return n
}

// asTyped sets the character at i as it was typed.
func (m *marksetter) asTyped(i int) int {
	m.text, m.styles, m.at = append(m.text, m.in.text[i]), append(m.styles, m.in.styles[i]), append(m.at, int32(i))
	return 1
}

// next sets what begins at i and says how much of what was typed that was.
func (m *marksetter) next(i int) (n int) {
	r := m.in.text[i]
	if r < 0x80 && markable[r] || unicode.IsDigit(r) || r == ' ' || r == '«' {
		switch {
		case r == '"':
			n = m.doubleQuote(i)
		case r == '\'':
			n = m.singleQuote(i)
		case r == '-':
			n = m.dash(i)
		case r == '.':
			n = m.dots(i)
		case r == 'x' || r == 'X' || r == '*':
			n = m.times(i)
		case r == ' ':
			if n = m.fraction(i); n == 0 {
				n = m.space(i)
			}
		case unicode.IsDigit(r):
			n = m.fraction(i)
		case m.lang == langFr:
			n = m.french(i)
		}
	}
	if n == 0 {
		return m.asTyped(i)
	}
	return n
}

// opens reports whether a quotation mark at i may be an opening one: it stands at the beginning of a word.
func (m *marksetter) opens(i int) bool {
	return strings.ContainsRune(" ([{«“‘„‚—–-/\"'", m.typedAt(i-1)) && !unicode.IsSpace(m.typedAt(i+1)) && (m.typedAt(i-1) != '"' && m.typedAt(i-1) != '\'' || m.openBefore())
}

// openBefore reports whether the mark that was set last is an opening one.
func (m *marksetter) openBefore() bool {
	q := quotesOf[m.lang]
	for n := len(m.text) - 1; n >= 0; n-- {
		if m.text[n] != narrowSpace && m.text[n] != noBreak {
			return m.text[n] == q.open && (m.double || q.open != q.close) || m.text[n] == q.innerOpen && (m.single || q.innerOpen != q.innerClose)
		}
	}
	return true
}

func (m *marksetter) doubleQuote(i int) int {
	q := quotesOf[m.lang]
	before := m.typedAt(i - 1)
	switch {
	case !m.double && unicode.IsDigit(before):
		return m.put(i, 1, doublePrime)
	case !m.double && m.opens(i):
		m.double = true
		if m.lang == langFr {
			if n := m.put(i, 1, q.open, m.thin(i)); n > 0 {
				return n
			}
		}
		return m.put(i, 1, q.open)
	case before != ' ':
		m.double = false
		if m.lang == langFr {
			if n := m.putLast(i, m.thin(i), q.close); n > 0 {
				return n
			}
		}
		return m.put(i, 1, q.close)
	}
	return 0
}

// putLast is put of one character that was typed as two, the second of which stands for it.
func (m *marksetter) putLast(i int, as ...rune) int {
	n := m.put(i, 1, as...)
	if n > 0 {
		m.at[len(m.at)-1] = int32(i)
	}
	return n
}

func (m *marksetter) singleQuote(i int) int {
	q := quotesOf[m.lang]
	before, after := m.typedAt(i-1), m.typedAt(i+1)
	letter := func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
	switch {
	case unicode.IsDigit(before) && !m.single && !unicode.IsLetter(after):
		return m.put(i, 1, prime)
	case letter(before) && letter(after):
		return m.put(i, 1, apostrophe)
	case m.opens(i) && !m.elides(i) && m.closes(i):
		m.single = true
		return m.put(i, 1, q.innerOpen)
	case m.single && before != ' ':
		m.single = false
		return m.put(i, 1, q.innerClose)
	case letter(before) || letter(after) || before == '.':
		return m.put(i, 1, apostrophe)
	}
	return 0
}

// elides reports whether the mark at i stands for letters that are left out at the beginning of a word or a year: 'tis, '90s.
func (m *marksetter) elides(i int) bool {
	j := i + 1
	for j < len(m.in.text) && (unicode.IsLetter(m.in.text[j]) || unicode.IsDigit(m.in.text[j])) {
		j++
	}
	word := m.in.text[i+1 : j]
	if len(word) >= 2 && unicode.IsDigit(word[0]) && unicode.IsDigit(word[1]) && (len(word) == 2 || len(word) == 3 && word[2] == 's') {
		return true
	}
	if string(word) == "n" { // rock 'n' roll, in any language
		return true
	}
	return (m.lang == langEn || m.lang == rootLang) && elided[strings.ToLower(string(word))]
}

// closes reports whether a mark follows that may close a quotation that is opened at i.
func (m *marksetter) closes(i int) bool {
	for j := i + 2; j < len(m.in.text); j++ {
		if m.in.text[j] == '\'' && m.typedAt(j-1) != ' ' && !unicode.IsLetter(m.typedAt(j+1)) && !unicode.IsDigit(m.typedAt(j+1)) {
			return true
		}
	}
	return false
}

// dash sets two hyphens, or three, or one between spaces or numbers.
func (m *marksetter) dash(i int) int {
	n := 1
	for m.typedAt(i+n) == '-' {
		n++
	}
	spaced := m.typedAt(i-1) == ' ' && m.typedAt(i+n) == ' '
	switch {
	case i > 0 && m.typedAt(i-1) == '-' || n > 3:
		return 0
	case n == 3, n == 2 && !spaced && i > 0:
		return m.put(i, n, '—')
	case spaced, n == 2:
		return m.put(i, n, '–')
	case m.rangeOf(i):
		return m.put(i, 1, '–')
	}
	return 0
}

// rangeOf reports whether the hyphen at i stands between the first and the last of a range of numbers: 10-12, 2019-24; and not in a
// telephone number, a date or a score.
func (m *marksetter) rangeOf(i int) bool {
	from, to := i, i+1
	for unicode.IsDigit(m.typedAt(from - 1)) {
		from--
	}
	for unicode.IsDigit(m.typedAt(to)) {
		to++
	}
	a, b := i-from, to-i-1
	alone := func(r rune) bool { return !unicode.IsLetter(r) && !strings.ContainsRune("-/+.,:'’_", r) }
	after := m.typedAt(to)
	if strings.ContainsRune(".,:", after) && !unicode.IsDigit(m.typedAt(to+1)) {
		after = ' '
	}
	if a == 0 || b == 0 || a > 4 || b > 4 || a == 3 && b == 4 || !alone(m.typedAt(from-1)) || !alone(after) {
		return false
	}
	return b < a && a == 4 || b >= a && number64(m.in.text[from:i]) < number64(m.in.text[i+1:to])
}

// number64 is the value of a few digits.
func number64(digits []rune) (n int) {
	for _, d := range digits {
		n = 10*n + int(d-'0')
	}
	return n
}

func (m *marksetter) dots(i int) int {
	if m.typedAt(i+1) == '.' && m.typedAt(i+2) == '.' && m.typedAt(i+3) != '.' && m.typedAt(i-1) != '.' {
		return m.put(i, 3, '…')
	}
	return 0
}

// times sets the sign of multiplication between two numbers: 20 x 30, 4x6, 3" x 5".
func (m *marksetter) times(i int) int {
	before, after := i-1, i+1
	if m.typedAt(before) == ' ' && m.typedAt(after) == ' ' {
		before, after = before-1, after+1
	}
	if r := m.typedAt(before); r == '"' || r == '\'' {
		before--
	}
	if !unicode.IsDigit(m.typedAt(after)) || !unicode.IsDigit(m.typedAt(before)) && !strings.ContainsRune("½¼¾", m.typedAt(before)) {
		return 0
	}
	if m.typedAt(before) == '0' && before == i-1 && !unicode.IsDigit(m.typedAt(before-1)) { // 0x41
		return 0
	}
	return m.put(i, 1, '×')
}

// fraction sets 1/2 as one sign, and 2 1/2 without the space; in 2026 1/2 it may belong to what follows the year.
func (m *marksetter) fraction(i int) int {
	from := i
	if m.typedAt(i) == ' ' {
		if !unicode.IsDigit(m.typedAt(i-1)) || m.typedAt(i-2) == '/' {
			return 0
		}
		if unicode.IsDigit(m.typedAt(i-2)) && unicode.IsDigit(m.typedAt(i-3)) && unicode.IsDigit(m.typedAt(i-4)) {
			return 0
		}
		from++
	} else if r := m.typedAt(i - 1); unicode.IsDigit(r) || unicode.IsLetter(r) || strings.ContainsRune("/.,-", r) {
		return 0
	}
	if m.typedAt(from+1) != '/' || from+3 > len(m.in.text) {
		return 0
	}
	sign, known := fractions[string(m.in.text[from:from+3])]
	if after := m.typedAt(from + 3); !known || unicode.IsDigit(after) || after == '/' || after == '.' && unicode.IsDigit(m.typedAt(from+4)) {
		return 0
	}
	return m.put(i, from+3-i, sign)
}

// thin is the space that French sets beside its marks, if the face has it.
func (m *marksetter) thin(i int) rune {
	if m.fs[m.in.styles[i]].hasAll([]rune{narrowSpace}) {
		return narrowSpace
	}
	return noBreak
}

// french sets a space before a sign of two parts, where none was typed.
func (m *marksetter) french(i int) int {
	r, before := m.typedAt(i), m.typedAt(i-1)
	after := m.typedAt(i + 1)
	switch {
	case !strings.ContainsRune(";:!?", r), !unicode.IsLetter(before) && !strings.ContainsRune(`)"»…`, before):
		return 0
	case r == ':' && (unicode.IsDigit(after) || after == '/'): // a time, an address of the web
		return 0
	case r == ':':
		return m.putLast(i, noBreak, r)
	}
	return m.putLast(i, m.thin(i), r)
}

// space makes the space that was typed before such a sign, or within « », one that does not break.
func (m *marksetter) space(i int) int {
	if m.lang != langFr {
		return 0
	}
	switch before, after := m.typedAt(i-1), m.typedAt(i+1); {
	case after == ':' && (m.typedAt(i+2) == ' '):
		return m.put(i, 1, noBreak)
	case before == '«', strings.ContainsRune(";!?»", after) && before != ' ':
		return m.put(i, 1, m.thin(i))
	}
	return 0
}
