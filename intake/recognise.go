package intake

import (
	"math/bits"
	"regexp"
	"slices"
	"strings"
	"sync"
	"unicode"
	"unicode/utf8"

	"golang.org/x/text/unicode/norm"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// unrelated look like a field by one of their words, or by their letters, and are none.
var unrelated = map[string]bool{"paper size": true, "sheet size": true, "page size": true, "file name": true, "user name": true,
	"table name": true, "paper colour": true, "paper color": true, "line height": true, "page count": true,
	"x height": true, "stock number": true, "stock no": true, "name of event": true, "event name": true,
	"deadline": true, "relation": true, "username": true, "copy of": true, "order": true, "county": true, "store": true, "tests": true, "votes": true, "rates": true, "reader": true}

// fillers are words that a question has and a heading needs not.
var fillers = map[string]bool{"the": true, "a": true, "an": true, "your": true, "my": true, "our": true, "please": true,
	"required": true, "optional": true, "what": true, "is": true, "are": true,
	"do": true, "you": true, "want": true, "would": true, "like": true, "should": true, "it": true, "be": true, "eg": true, "and": true, "type": true, "enter": true, "column": true, "field": true, "of": true}

// KnownHeading reports a text that means one of the form's columns as a heading.
func KnownHeading(heading string) bool {
	as, _, _ := recognise(heading)
	return as != asUnknown
}

// remembered is what was looked up of headings: a table asks for each again and again, and a hostile one has one a hundred thousand times.
type remembered[T any] struct {
	sync.Mutex
	found map[string]T
}

// of is what a heading is, which look looks up where it is not remembered.
func (r *remembered[T]) of(heading string, look func(string) T) T {
	r.Lock()
	defer r.Unlock()
	v, ok := r.found[heading]
	if !ok {
		if r.found == nil || len(r.found) == mostRecognised {
			r.found = map[string]T{}
		}
		v = look(heading)
		r.found[heading] = v
	}
	return v
}

var recognised remembered[recognition]

type recognition struct {
	f           meaning
	unit, guess string
}

// longestSaying is how long a heading may be that is looked through for what it says, in bytes.
const longestSaying = 160

// mostRecognised is how many headings are remembered, more than a sheet has columns.
const mostRecognised = 20_000

// recognise tells what a heading means, the unit that it names, and how it was found where it was not plain.
func recognise(heading string) (f meaning, unit string, guess string) {
	if len(heading) > longestSaying {
		return asUnknown, "", ""
	}
	r := recognised.of(heading, func(heading string) (r recognition) {
		r.f, r.unit, r.guess = lookUp(heading)
		return r
	})
	return r.f, r.unit, r.guess
}

func lookUp(heading string) (f meaning, unit string, guess string) {
	if f, ok := synonyms[plainLetters(heading)]; ok && !strings.ContainsAny(heading, "\"”″“") {
		return f, "", ""
	}
	if unrelated[plainLetters(heading)] || Made(heading) {
		return asUnknown, "", ""
	}
	said := unitSaid(heading)
	rest, unit := said.rest, said.unit
	outside, _, hasBrackets := strings.Cut(heading, "(")
	for _, s := range []string{rest, outside, inBrackets(heading)} {
		key := plainLetters(s)
		if f, ok := synonyms[key]; ok {
			if _, in := bracketed(heading); f == asSize && synonyms[plainLetters(in)] == asSpace { // Size (w x h)
				f = asSpace
			}
			return f, unit, ""
		}
		words := slices.DeleteFunc(strings.Fields(key), func(w string) bool { return fillers[w] })
		if f, ok := synonyms[strings.Join(words, " ")]; ok {
			return f, unit, ""
		}
		if !hasBrackets {
			break
		}
	}
	key := plainLetters(rest)
	if f := near(key); f != asUnknown {
		return f, unit, "near"
	}
	if f := near(plainLetters(outside)); f != asUnknown {
		return f, unit, "near"
	}
	if f := keyword(key); f != asUnknown {
		return f, unit, "contains"
	}
	return asUnknown, "", ""
}

// keyword is what a heading means by a word in it.
func keyword(key string) meaning {
	words := strings.Fields(key)
	for _, k := range keywords {
		if slices.Contains(words, k.word) {
			return k.f
		}
	}
	return asUnknown
}

// ofSomethingElse reports a heading that one word is all there is to find its field by, and that may be that of something else: of what lies beside the
// space or round it, where it is a measure of the space, and of anything where it is a field that a block can do without.
func (m meaning) ofSomethingElse(heading string) bool {
	words := strings.Fields(plainLetters(heading))
	has := func(some ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(some, w) })
	}
	switch m {
	case asName, asSurname, asJournaling, asNote, asUnknown, asFits, asID, asCode, asHold, asKept:
		return false
	case asWidth, asHeight, asSpace:
		return has("photo", "photos", "picture", "image", "mat", "page", "album", "frame", "envelope") && !has("space", "box", "spot", "gap", "block", "journaling")
	}
	return !has("block", "journaling", "text")
}

var within = regexp.MustCompile(`(?i)(\w+\W+)?\b(with|incl|inc|including|includes|plus)\W+(?:the |its |a )?(tuck|allowance|border|overlap|margin|bleed|hem)`)

// wholeWords are words for a measure of all that is cut.
var wholeWords = wordsOf("cut gross total overall outer outside trimmed")

// withTuck reports a measure of the space whose heading says that something round the space is in it.
func withTuck(c *Column) bool {
	switch c.as {
	case asWidth, asHeight, asSpace:
		m := within.FindStringSubmatch(c.Heading)
		return slices.ContainsFunc(strings.Fields(plainLetters(c.Heading)), func(w string) bool { return wholeWords[w] }) || m != nil && !negates(strings.ToLower(strings.TrimRight(m[1], " (")))
	}
	return false
}

// strange reports a measure that names no unit and has one word in brackets that says nothing of a measure, as far as is known here.
func strange(c *Column) bool {
	_, in := bracketed(c.Heading)
	word := plainLetters(in)
	if !c.as.measured() || c.Unit != "" || c.unitOpen != "" || word == "" || strings.Contains(word, " ") || strings.Trim(word, "0123456789") == "" {
		return false
	}
	_, column := synonyms[word]
	return !column && !fillers[word] && !plainlySaid[word]
}

// wordsOf are the words of a list.
func wordsOf(list string) map[string]bool {
	words := map[string]bool{}
	for _, w := range strings.Fields(list) {
		words[w] = true
	}
	return words
}

// plainlySaid are words that people put in brackets behind a measure, and that are no unit.
var plainlySaid = wordsOf("w h wxh wide high tall across down horizontal vertical left right top bottom side sides space opening block box spot gap visible finished trimmed cut final exact approx approximate " +
	"about outside inside outer inner max maximum min minimum only number numbers digits decimal decimals required optional needed measured measurement measurements tuck inset border margin text journaling")

// inBracketsOfSomethingElse reports a heading that is plain but for what stands in its brackets: that may say that it is something else.
func (m meaning) inBracketsOfSomethingElse(heading string) bool {
	outside, in := bracketed(heading)
	if plain := plainLetters(in); plain == "" || strings.Trim(plain, "0123456789 ") == "" || synonyms[plainLetters(outside)] != m {
		return false
	}
	switch m {
	case asWidth, asHeight, asSpace:
		return m.ofSomethingElse(heading)
	case asTitle, asWho, asWhere, asWhen, asInk, asCopies, asStock, asTurn, asPageColour:
	default:
		return false
	}
	return m.ofSomethingElse(heading) && slices.ContainsFunc(strings.Fields(plainLetters(in)), func(w string) bool {
		return !fillers[w] && !plainlySaid[w] && synonyms[w] != m && !saidOfLines[w]
	})
}

// saidOfLines are words that people put in brackets behind the heading of a line.
var saidOfLines = wordsOf("if any none wanted you like want know known and or to be on it with eg e g etc for example blank leave empty default otherwise else yes no y n date dates year month day time when who where " +
	"name names people person place places town city short long one line lines caption headline heading printed colour color how many type paper pieces sheets")

// plainHeading tells what a heading plainly means, and the unit that it names. It is asked of every cell, so it looks no further than a
// bracket, or a unit at the end.
func plainHeading(heading string) (f meaning, unit string) {
	name, _, _ := strings.Cut(heading, "(") // Width (cm)
	switch f = synonyms[plainLetters(name)]; f {
	case asWidth, asHeight, asSpace:
		_, unit, _ = recognise(heading)
		return f, unit
	case asUnknown:
	default:
		return f, ""
	}
	end := strings.TrimRight(heading, " ):")
	last := strings.LastIndexAny(end, " (") + 1
	if last == 0 || len(end)-last > len("centimetres") {
		return asUnknown, ""
	}
	u, ok := measure.ParseUnit(end[last:])
	if !ok {
		return asUnknown, ""
	}
	return synonyms[strings.TrimSuffix(plainLetters(end[:last]), " in")], u.String() // Width cm, Width in cm
}

// synonyms are the headings that are known, folded by plainLetters; longSynonyms those that a near miss may mean.
var (
	synonyms     = map[string]meaning{}
	longSynonyms []longSynonym
)

// longSynonym is a heading that a near miss may mean, with what shows cheaply that a text is none.
type longSynonym struct {
	text    string
	runes   int
	letters uint64 // in it
}

func newLongSynonym(s string) longSynonym {
	return longSynonym{s, utf8.RuneCountInString(s), lettersIn(s)}
}

// lettersIn are the letters of a text, a bit for each; several letters may have one bit.
func lettersIn(s string) (set uint64) {
	for _, r := range s {
		set |= 1 << (r % 64)
	}
	return set
}

// far reports that a text is more than two letters off: it is longer or shorter by more, or has more letters that the other has not.
func (l *longSynonym) far(other *longSynonym) bool {
	return l.runes-other.runes > 2 || other.runes-l.runes > 2 || bits.OnesCount64(l.letters&^other.letters) > 2 || bits.OnesCount64(other.letters&^l.letters) > 2
}

// learn fills them from the table of headings.
func learn() {
	for _, h := range headings {
		if h.desk {
			continue // by its name, in a desk's workbook; everybody else's "Id" and "Code" mean something else
		}
		for _, s := range strings.Split(h.synonyms, ",") {
			s = plainLetters(s)
			synonyms[s] = h.as
			for _, w := range strings.Fields(s) {
				if fieldWords[h.as] == nil {
					fieldWords[h.as] = map[string]bool{}
				}
				fieldWords[h.as][w] = true
			}
			if len(s) >= 5 {
				longSynonyms = append(longSynonyms, newLongSynonym(s))
			}
		}
	}
	slices.SortFunc(longSynonyms, func(a, b longSynonym) int { return strings.Compare(a.text, b.text) })
}

// inBrackets is what a question says in brackets of two words or more: "How large is it? (width x height)". One word is a unit.
func inBrackets(heading string) string {
	_, in := bracketed(heading)
	if len(strings.Fields(in)) < 2 {
		return ""
	}
	return in
}

// bracketed parts a heading into what stands before its brackets and in them.
func bracketed(heading string) (outside, in string) {
	outside, in, _ = strings.Cut(heading, "(")
	in, _, _ = strings.Cut(in, ")")
	return outside, in
}

// near is the meaning of the known heading that is a letter off, or two where it is one long word; where two meanings
// are as near, none.
func near(key string) meaning {
	if len(key) < 5 || len(key) > 30 {
		return asUnknown
	}
	best, least := asUnknown, 2
	if len(key) >= 8 && !strings.Contains(key, " ") {
		least = 3
	}
	asked := newLongSynonym(key)
	for i := range longSynonyms {
		l := &longSynonyms[i]
		if l.far(&asked) {
			continue // a table may have ten thousand columns, each headed otherwise
		}
		switch d := config.EditDistance(key, l.text); {
		case d < least:
			best, least = synonyms[l.text], d
		case d == least && best != synonyms[l.text]:
			best = asUnknown
		}
	}
	return best
}

// plainLetters is a text as headings and names are compared: small letters without accents, and single spaces for all
// that is no letter or digit.
func plainLetters(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFKD.String(strings.ToLower(s)) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r), r == '\'', r == '’':
			// an accent, or the apostrophe of one word
		default:
			gap = true
		}
	}
	return b.String()
}
