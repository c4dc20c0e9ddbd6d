package intake

import (
	"cmp"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"golang.org/x/text/unicode/norm"

	"tuckmark/config/measure"
)

// What counts the blocks of a row stands in its headings, in figures, letters or words: Text 2, Width B, Third height. Numbers may also count the columns, as a web form
// counts its questions: then they say nothing of blocks.

// unitBehind is how a unit stands behind the count of a heading: Width 2 (cm), Width 2 [cm], Width 2 in cm.
const unitBehind = `\([^()]{2,}\)|\([^()\pL\d]?\)|\[[^\[\]]*\]|(?:in\s+)?(?:cm|mm|in|inch|inches|centimet(?:re|er)s?|millimet(?:re|er)s?)\b`

var (
	numberLast  = regexp.MustCompile(`^(.*?[^\d\s#._:()\[\]-])[\s#._:()\[\]-]*(\d{1,2})[)\]]?\s*(?:[\s,_*-]*(` + unitBehind + `))?\s*[?:*]*$`)
	numberFirst = regexp.MustCompile(`(?i)^(?:block|text|no\.?|number|entry|question|q|#)?\s*(\d{1,2})\s*[.:)_-]+\s*(\D.*)$`)
	letterLast  = regexp.MustCompile(`^(.*?[^\s#._:()\[\]-])(\))?[\s#._:()\[\]-]+([A-HJ-Za-hj-z])[)\]]?\s*(?:[\s,_*-]*(` + unitBehind + `))?\s*[?:*]*$`)                                                                                                                                                 // Width B (in), Width (in) B
	wordLast    = regexp.MustCompile(`(?i)^(\pL.*\S)\s+(?:for|of)\s+(?:the\s+|your\s+)?(first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|(\d{1,2})(?:st|nd|rd|th))(?:\s+(?:block|text|story|entry|note|one|journaling|journalling|space))?(?:[\s,_*-]*(` + unitBehind + `))?\s*[?:*]*$`) // Paper for the second
	wordFirst   = regexp.MustCompile(`(?i)^(?:the\s+|your\s+)?(first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|(\d{1,2})(?:st|nd|rd|th))\s+(\pL.*)$`)
	blockFirst  = regexp.MustCompile(`(?i)^(?:block|photo|picture|spot|box|story|entry|text|journaling|journalling)\s*#?(\d{1,2})\s+(\D.*)$`) // Block 2 width
	signFirst   = regexp.MustCompile(`^#\s?(\d{1,2})\s+(\pL.*)$`)                                                                             // #1 Story
	blockLetter = regexp.MustCompile(`(?i)^(?:block|photo|picture|spot|box|story|entry|text|journaling|journalling)\s+([A-HJ-Z])\s+(\pL.*)$`) // Text B width
)

var ordinals = []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}

// ofBlock is what stands before the number in headings as "Text of block 2", "Width for photo 2 (in)".
var ofBlock = regexp.MustCompile(`(?i)^(.*\S)\s+(?:of|for|on|in)\s+(?:the\s+|your\s+)?(?:block|text|story|entry|note|journaling|journalling|photo|picture|spot|space|box)\s*$`)

// counts is how headings are counted: a heading without its number, and the number, 0 where it has none; the heading is whole then.
type counts struct {
	base [3]string // by figures, letters, words
	n    [3]int
}

var countsKept remembered[counts]

func countsOf(heading string) counts {
	if len(heading) > longestSaying || Made(heading) {
		return counts{base: [3]string{heading, heading, heading}}
	}
	return countsKept.of(heading, func(heading string) (c counts) {
		plain := withoutAside(heading)
		for i, of := range [...]func(string) (string, int){byFigures, byLetters, byWords} {
			if c.base[i], c.n[i] = of(plain); c.n[i] == 0 {
				c.base[i] = heading
			}
		}
		return c
	})
}

// aside matches what a heading says by the way of what to type: its numbers count no blocks. Copies 2 (leave blank for 1), Paper 2, if not as 1.
var aside = regexp.MustCompile(`(?i)\s*[(\[][^()\[\]]*\b(?:blank|empty|defaults?|same|different|differs|unless|if|e\.?\s?g|for example|like|max|maximum|min|minimum|up to|at most|at least|usually|optional|required)\b[^()\[\]]*[)\]]|\s*[,;:–—-]\s*(?:or\s+|only\s+)?(?:leave|blank|empty|defaults?|if|same as|unless|optional|max|min|up to|at most|at least|e\.?\s?g)\b.*$`)

// ofAnother matches such words that begin with another count: it is the heading's as well.
var ofAnother = regexp.MustCompile(`(?i)^\W*(?:and|also|und|&|\+)\W*(?:for\W+)?(?:\d|one|two|first|second|[A-H]\b)`)

// condition matches what follows a count without a sign: Title 2 if not as 1.
var condition = regexp.MustCompile(`(?i)^(.*\b\d{1,2}(?:st|nd|rd|th)?)\s+(?:only )?(?:if|unless)\b.*$`)

// outOf matches how many there are behind a count: Stock 1 of 3.
var outOf = regexp.MustCompile(`(?i)\b(\d{1,2}) (?:of|out of) \d{1,2}\b`)

// withoutAside is a heading without what it says by the way.
func withoutAside(heading string) string {
	plain := aside.ReplaceAllStringFunc(heading, func(aside string) string {
		if ofAnother.MatchString(aside) { // Paper 1 (and 2 if same)
			return aside
		}
		return ""
	})
	plain = outOf.ReplaceAllString(condition.ReplaceAllString(plain, "$1"), "$1")
	return cmp.Or(strings.TrimSpace(plain), heading)
}

// numbered takes a heading and its number apart; n is 0 where it has none.
func numbered(heading string) (base string, n int) {
	c := countsOf(heading)
	return c.base[0], c.n[0]
}

// lettered is numbered for headings that letters count: Text A, Width B (in).
func lettered(heading string) (base string, n int) {
	c := countsOf(heading)
	return c.base[1], c.n[1]
}

// worded is numbered for headings that words count: Second text, 3rd width.
func worded(heading string) (base string, n int) {
	c := countsOf(heading)
	return c.base[2], c.n[2]
}

// beforeCount matches what stands before a count and says no more: Stock for 2, Text no. 2.
var beforeCount = regexp.MustCompile(`(?i)[\s,]+(?:for|of|no|nr|num|number)$`)

func byFigures(heading string) (base string, n int) {
	if ofAll.MatchString(heading) {
		return heading, 0
	}
	if base, n = atEitherEnd(heading); n > 0 {
		if as, _, guess := recognise(base); as != asUnknown && guess == "" {
			return base, n
		}
	}
	if plain, k := byOneToken(heading, "1w"); k > 0 { // Copies - block 1
		return plain, k
	}
	return base, n
}

// ofAll matches a count that says how many there are, or which is left out: Stock for all 3, Stock (not 2).
var ofAll = regexp.MustCompile(`(?i)\b(?:all|not|except|but|without|both|every)\W+(?:(?:of|for|in|the|text|block|photo|no)\W+)*(?:\d|two|three|four|five|first|second|third|last|[A-H]\b)`)

// atEitherEnd takes a heading and the figures before or behind it apart.
func atEitherEnd(heading string) (base string, n int) {
	if m := numberLast.FindStringSubmatch(heading); m != nil {
		n, _ = strconv.Atoi(m[2])
		if of := ofBlock.FindStringSubmatch(m[1]); of != nil {
			m[1] = of[1]
		}
		return strings.TrimSpace(beforeCount.ReplaceAllString(m[1], "") + " " + m[3]), n
	}
	for _, first := range []*regexp.Regexp{numberFirst, blockFirst, signFirst} {
		if m := first.FindStringSubmatch(heading); m != nil {
			n, _ = strconv.Atoi(m[1])
			return m[2], n
		}
	}
	return heading, 0
}

var (
	cardinals = []string{"one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}
	beforeOne = wordsOf("t text block story entry photo picture spot box journaling journalling only no nr num number for of on in the # ( [ { - – — , . : / _")
	behindOne = wordsOf("text block story entry photo picture spot box journaling journalling one only please s ) ] } - – — , . : / _ ? *")
	// oneText are headings of a text that a count makes one of several: Text two, 1 Story; not Two words, nor One entry.
	oneText = map[string]bool{"text": true, "journaling": true, "journalling": true, "journal": true, "journaling text": true, "story": true, "caption": true, "message": true}
	romans  = []string{"I", "II", "III", "IV", "", "VI", "VII", "VIII"} // V and X may be anything
)

// anyCount is countToken for cardinals and Roman figures, too.
func anyCount(token string) (n int, kind byte) {
	for _, words := range [][]string{cardinals, romans} {
		if i := slices.IndexFunc(words, func(w string) bool { return w != "" && (w == token || w == strings.ToLower(token)) }); i >= 0 {
			return i + 1, 'w'
		}
	}
	return countToken(token)
}

// byOneToken finds the one count of a heading wherever it stands, of some kinds, where the rest says plainly what the column is: 1 Stock, Stock (first), Text 2's stock, Stock two, and
// where letters count, Stock (text B).
func byOneToken(heading, kinds string) (base string, n int) {
	if synonyms[plainLetters(heading)] != asUnknown { // First name
		return heading, 0
	}
	words := tokens.FindAllString(strings.NewReplacer("'", " ", "’", " ", "_", " ").Replace(norm.NFKC.String(heading)), -1)
	at := -1
	for i, w := range words {
		k, kind := anyCount(w)
		if kind == 0 || !strings.ContainsRune(kinds, rune(kind)) || kind == 'A' && k > 8 { // not W x H
			continue
		}
		switch {
		case at >= 0 && i == at+1 && strings.EqualFold(w, "one"): // the second one's
			continue
		case at >= 0:
			return heading, 0
		}
		at, n = i, k
	}
	if at < 0 {
		return heading, 0
	}
	return withoutToken(heading, words, at, n)
}

// withoutToken is a heading without its count, and that, where the rest is plain.
func withoutToken(heading string, words []string, at, n int) (string, int) {
	front, end := at, at+1
	for front > 0 && beforeOne[strings.ToLower(words[front-1])] {
		front--
	}
	for end < len(words) && behindOne[strings.ToLower(words[end])] {
		end++
	}
	for _, part := range [][2]int{{front, end}, {at, end}, {front, at + 1}, {at, at + 1}} { // The text itself may be what is counted
		base := strings.Join(slices.Concat(words[:part[0]], words[part[1]:]), " ")
		switch as, _, guess := recognise(base); {
		case as == asUnknown || guess != "" || as == asName || as == asSurname:
		case as == asJournaling && !oneText[plainLetters(base)]:
		default:
			return base, n
		}
	}
	return heading, 0
}

// letterInBrackets matches a heading with a letter in brackets behind another letter: W x H (B).
var letterInBrackets = regexp.MustCompile(`^(.*\s[WHwh])\s*[(\[]([A-H])[)\]]$`)

// crossed matches what stands before the letter of another side.
var crossed = regexp.MustCompile(`(?i)(^|\W)(w|h|width|height)\s*(x|×|by)$`)

func byLetters(heading string) (base string, n int) {
	if m := blockLetter.FindStringSubmatch(heading); m != nil {
		return m[2], int(m[1][0]&^0x20-'A') + 1
	}
	if m := letterInBrackets.FindStringSubmatch(heading); m != nil {
		return m[1], int(m[2][0]-'A') + 1
	}
	if m := letterLast.FindStringSubmatch(heading); m != nil && strings.Count(m[1]+m[2], "(") == strings.Count(m[1]+m[2], ")") && !crossed.MatchString(m[1]) { // not Space (w x h), nor W x H
		return strings.TrimSpace(beforeCount.ReplaceAllString(m[1]+m[2], "") + " " + m[4]), int(m[3][0]&^0x20-'A') + 1
	}
	if ofAll.MatchString(heading) {
		return heading, 0
	}
	return byOneToken(heading, "A")
}

func byWords(heading string) (base string, n int) {
	count := func(word, figures string) int {
		n, _ = strconv.Atoi(figures)
		return cmp.Or(n, 1+slices.Index(ordinals, strings.ToLower(word)))
	}
	if m := wordFirst.FindStringSubmatch(heading); m != nil {
		return m[3], count(m[1], m[2])
	}
	if m := wordLast.FindStringSubmatch(heading); m != nil {
		return strings.TrimSpace(m[1] + " " + m[4]), count(m[2], m[3])
	}
	return heading, 0
}

// withoutNumber is a heading without what counts it, if anything does.
func withoutNumber(heading string) string {
	for _, of := range []func(string) (string, int){numbered, lettered, worded} {
		if base, n := of(heading); n > 0 {
			return base
		}
	}
	return heading
}

// counted takes a heading and its number apart, as the texts of the table are counted, or else by figures.
func (s *Sheet) counted(heading string) (base string, n int) {
	switch s.countedBy {
	case 'A':
		base, n = lettered(heading)
	case 'w':
		base, n = worded(heading)
	}
	if n == 0 {
		base, n = numbered(heading)
	}
	if n == 0 && s.countedBy != 'w' { // Text 1, Text 2, First space, Second space
		if of, k := worded(heading); k > 0 {
			if as, _, guess := recognise(of); guess == "" && (as.measured() || as == asStock || as == asCopies || as == asTitle || as == asPage) {
				return of, k
			}
		}
	}
	return base, n
}

// countsTexts reports a text that has a letter or a word for its count, as the table is tried to be counted by.
func (s *Sheet) countsTexts() bool {
	return slices.ContainsFunc(s.Columns, func(c Column) bool {
		base, n := lettered(c.Heading)
		if s.countedBy == 'w' {
			base, n = worded(c.Heading)
		}
		as, _, guess := s.recognise(base)
		return n > 0 && as == asJournaling && guess != "contains"
	})
}

// number is counted, but that several counts are none, and that a first and a second name are one person's, where they do not stand each with its text.
func (s *Sheet) number(heading string) (base string, n int) {
	if _, of := s.countsTogether(heading); of != nil {
		return heading, 0
	}
	base, n = s.counted(heading)
	if n == 0 || s.countedBy != 'w' || s.namesApart {
		return base, n
	}
	if _, figures := numbered(heading); figures > 0 {
		return base, n
	}
	if as, _, _ := recognise(base); as == asName || as == asSurname || synonyms[plainLetters(heading)] != asUnknown {
		return heading, 0
	}
	return base, n
}

// onePersons are headings of names that words count as they count texts, and that are taken for the names of one person: First name, Second name.
func (s *Sheet) onePersons() (headings []string) {
	if s.countedBy != 'w' || s.namesApart || len(s.sets) < 2 {
		return nil
	}
	for i := range s.Columns {
		c := &s.Columns[i]
		base, n := worded(c.Heading)
		if as, _, guess := recognise(base); as == asName && guess == "" && slices.Contains(s.sets, n) && !c.told && c.set == 0 {
			headings = append(headings, measure.Quote(c.Heading))
		}
	}
	return headings
}

// oneName reports that one column alone may be names.
func (s *Sheet) oneName() bool {
	names := 0
	for i := range s.Columns {
		c := &s.Columns[i]
		base, n := s.counted(c.Heading)
		if as, _, _ := s.recognise(base); n > 0 && as == asName || c.as == asName {
			names++
		}
	}
	return names == 1
}

// eachWithName reports that each text of a row has a name: the texts stand between the names, as in First name, First text, Second name, Second text, or there are as
// many of both, and more than the two names that a person has.
func (s *Sheet) eachWithName() bool {
	all := map[meaning]int{}
	for i := range s.Columns {
		base, n := s.counted(s.Columns[i].Heading)
		if as, _, guess := s.recognise(base); n > 0 && guess == "" {
			all[as]++
		}
	}
	if all[asName] > 2 && all[asName] == all[asJournaling] {
		return true
	}
	names, last := 0, asUnknown
	for i := range s.Columns {
		base, _ := s.counted(s.Columns[i].Heading)
		switch as, _, guess := s.recognise(base); {
		case guess != "" || as != asName && as != asJournaling:
		case as == asName && as == last:
			return false
		default:
			if last = as; as == asName {
				names++
			}
		}
	}
	return names > 1
}

// countedThrough reports headings whose numbers count columns and not blocks: 1. Name, 2. Text, 3. Space, 4. Text, 5. Space, as a web form writes
// its questions, or Name, Text, Space, Text2, Space3, as spreadsheet programs tell headings apart that are the same.
func (s *Sheet) countedThrough() bool {
	last, of := 0, map[meaning]bool{}
	for i := range s.Columns {
		base, n := numbered(s.Columns[i].Heading)
		if n == 0 {
			continue
		}
		if n <= last {
			return false
		}
		as, _, _ := s.recognise(base)
		last, of[as] = n, true
	}
	delete(of, asUnknown)
	return of[asJournaling] && len(of) > 1
}
