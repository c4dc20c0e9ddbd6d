package proof

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"tuckmark/config/problem"
)

// What stands around codes in letters: signs that nobody sees, what pages of a browser are made of, the hyphens there are.
const (
	unseen  = `\x{ad}\x{200b}-\x{200f}\x{202a}-\x{202e}\x{2060}-\x{2069}\x{feff}`
	tag     = `</?(?i:` + elements + `)(?:\s+[A-Za-z][A-Za-z:-]*=(?:"[^"<>]*"|'[^'<>]*'|[^\s"'<>=]+))*\s*/?>`
	hyphens = `-‐‑‒–—−－`
	// Those that mail and pages are made of: anything else in angle brackets is words.
	elements = `a|b|i|u|s|p|br|hr|em|li|ul|ol|dl|dt|dd|td|th|tr|h[1-6]|div|pre|del|ins|sub|sup|img|font|span|strong|strike|table|tbody|thead|tfoot|blockquote|html|body|[ovw]:[a-z]+`
)

// What a chat, or a mail that quotes one, puts before what somebody says: when, and who.
const (
	month   = `(?:jan|feb|mar|apr|may|june?|july?|aug|sep|oct|nov|dec)[a-z]*\.?`
	day     = `(?:(?:mon|tue|wed|thu|fri|sat|sun)[a-z]*,?\s)?(?:[0-9]{1,4}[./-][0-9]{1,2}[./-][0-9]{1,4}|[0-9]{1,2}\.?\s` + month + `(?:,?\s[0-9]{4})?|` + month + `\s[0-9]{1,2}(?:,?\s[0-9]{4})?|today|yesterday)`
	hour    = `[0-9]{1,2}[:.][0-9]{2}(?::[0-9]{2})?(?:\s?[ap]\.?m\b\.?)?`
	at      = `(?:,|,?\s(?:at|à|um|om|kl\.?|a\slas|alle|às))?`
	moment  = `[\[(<]?(?:` + day + at + `\s)?` + hour + `(?:,?\s` + day + `)?[\])>]?`
	capital = `\p{Lu}[\p{L}.'’-]*`
	someone = `(?-i:(?:~\s?)?` + capital + `(?:\s(?:(?:van|von|de|der|den|da|di|del|la|le|al|bin|ter|ten)\s)*` + capital + `){0,3}|\+[0-9][0-9\s-]{5,18})`
	sender  = `(?:` + moment + `(?:\s[-–—])?\s` + someone + `:|` + someone + `,?(?:\s[-–—])?\s` + moment + `:)`
)

var (
	// A block's code, wherever it stands; what follows must be neither a letter nor a digit.
	codeForm = regexp.MustCompile(`(?i)(?:^|[^\p{L}\p{N}])([a-z]{1,12})[` + unseen + `]*[` + hyphens + `][` + unseen + `]*([0-9]{1,6})`)
	// A code without its hyphen, which is taken for one where an answer begins so.
	looseForm = regexp.MustCompile(`(?i)^([\s>|*•·–—\[(-]*)([a-z]{1,12})[\s` + unseen + `]?([0-9]{1,6})([\s:,;\])*]*(?:[:]|\b(?:ok|okay|change|text|space)\b))`)
	// Several of them.
	looseCode  = regexp.MustCompile(`(?i)([a-z]{1,12})\s?([0-9]{1,6})`)
	looseStart = regexp.MustCompile(`(?i)^([\s>|*•·–—\[(-]*)([a-z]{1,12})[\s` + unseen + `]?([0-9]{1,6})`)
	// Words that a number often follows: "No 2, 3 and 4 ok" names no blocks of Nora Olm.
	beforeNumbers = regexp.MustCompile(`(?i)^[\s>|*•·–—\[(-]*(?:(?:no|at|in|so|by|if|to|on|or|of|us|we|my|he|is|it|do|go|up|be|all|row|not|the|and|but|are|who|you|pg|nr|may)\s[0-9]|(?:at|in|by|to|on|or|of)[0-9]{1,6}\s(?:[^\s:]+\s)*[^\s:]*[^\s:ok.!]+$)`)
	looseForms    = regexp.MustCompile(`(?i)^([\s>|*•·–—\[(-]*)([a-z]{1,12}\s?[0-9]{1,6}(?:\s?(?:[` + hyphens + `,;&/+…]|\.{2,3}|\b(?:and|to|through|thru)\s)\s?(?:and\s)?[a-z]{1,12}\s?[0-9]{1,6})+)([\s:,;\])*]*(?::|\b(?:ok|okay|change)\b))`)
	// One that is written as a word, and anything said behind it; several.
	looseWish    = regexp.MustCompile(`(?i)^([\s>|*•·–—\[(-]*)([a-z]{1,12}[0-9]{1,6}(?:(?:\s?[,;&/+]\s?(?:and\s)?|\sand\s)[a-z]{1,12}[0-9]{1,6})*)([\s,;\])*.!?–—-].*)$`)
	wordsBehind  = regexp.MustCompile(`^[^\p{L}\p{N}]*\p{L}`)
	numberBehind = regexp.MustCompile(`(?i)^[^\p{L}\p{N}]*(?:and|or|up\sto|to|through|thru|until|till)\s[0-9]`)
	// What people and their programs put before a code without meaning anything by it: signs of quoting, bullets, numbers of a list, brackets,
	// elements of a page, the time and who wrote in a chat, "Block".
	plainBefore = regexp.MustCompile(`(?i)^(?:[\s>|*•·–—\[("“#_` + unseen + `-]|` + tag + `|[0-9]{1,3}[.)]\s|(?:block|re:?)\s|` +
		`(?-i:\p{Lu}\p{L}{0,11}>)|` + // who is quoted
		`(?:` + sender + `|` + moment + `(?:\s[-–—])?)\s)*$`)
	// A name alone may be any word: "Anna: AN-2 larger", "Never: AN-2 ok".
	nameBefore = regexp.MustCompile(`^[\s>|*` + unseen + `-]*(?:~\s?)?[^\s:;,.!?]+(?:\s[^\s:;,.!?]+){0,3}\s?:\s*$`)

	// What stands between two codes that mean those between them as well.
	upTo = regexp.MustCompile(`(?i)^[` + unseen + `]*\s?(?:(?:up\s)?to|through|thru|until|till|[` + hyphens + `]|\.{2,3}|…)\s?[` + unseen + `]*$`)
	// The second of them as a number alone: "AN-1-3", "AN-1 through 3", and "AN-1 to 3: larger" - but not "AN-1 to 4 in wide".
	upToNumber = regexp.MustCompile(`(?i)^(?:([` + hyphens + `]|\s(?:through|thru)\s)([0-9]{1,6})|(\s(?:(?:up\s)?to|until|till|[` + hyphens + `])\s)([0-9]{1,6})(?:\s?:|\s(?:ok|okay|change)\b))`)
	// A number that is joined to a code at once, or to another number: "AN-1, 2 and 3"; what is said behind the last of them; and an ok behind numbers that are not.
	joinedNumber = regexp.MustCompile(`(?i)^` + joint + `([0-9]{1,6})`)
	saidBehind   = regexp.MustCompile(`(?i)^(?:\s?:(?:[^0-9]|$)|[\s,]+(?:not\s)?(?:ok|okay|change)\b)`)
	leftNumbers  = regexp.MustCompile(`(?i)(?:^\s?|,\s?|[^\s.x×*/]\s)([0-9]{1,6}(?:` + joint + `[0-9]{1,6})*)[\s,:]+(?:not\s)?(?:ok|okay)[^\p{L}\p{N}]*$`)
	numeral      = regexp.MustCompile(`[0-9]+`)
	// What may not follow such a number: it is a date, a size or another number.
	goesOn = regexp.MustCompile(`^(?:[\p{L}\p{N}%″"]|[` + hyphens + `./,:×][0-9])`)
)

// What counts or measures: a number before it is none of a block. So is one before a word that ends as many things do.
var (
	counted = regexp.MustCompile(`(?i)^\s?(?:[″"'’%°]|(?:in|inch|cm|mm|m|pt|px|per\s?cent|deg|x|×|by|of|or|to|more|less|extra|other|few|additional|times?|cop(?:y|ies)|words?|lines?|prints?|days?|years?|weeks?|months?|hours?|minutes?|` +
		`o['’]clock|am|pm|a\.m|p\.m|st|nd|rd|th|photos?|pictures?|pages?|letters?|columns?|points?|pieces?|people|persons?|sheets?|rows?|half|halves|thirds?|quarters?|` + month + `)\b)`)
	plural   = regexp.MustCompile(`^\s(?:\p{L}+\s)?(\p{L}{3,}s)\b`)
	verbs    = regexp.MustCompile(`(?i)^(?:is|was|has|does|needs|looks|seems|wants|lacks|misses|says|shows|goes|comes|reads|this|yes|less|as|plus|minus|perhaps|always|please|was|its|colours|colors)$`)
	slashed  = regexp.MustCompile(`^/([0-9]{1,6})`)
	upToWish = regexp.MustCompile(`(?i)^\s(?:(?:up\s)?to|until|till|[` + hyphens + `])\s([0-9]{1,6})`)
)

// beside are the codes that the numbers behind a code may mean, whatever is said of them, where they are joined to it and count or measure nothing: "AM-1 and 2 need the date", "AM-1 to 3 larger".
// They are never approved so.
func (r *reading) beside(number int, line string, first named) (out []named) {
	met, at := map[string]bool{first.code: true}, first.to
	add := func(m []int) bool {
		n := named{code: codeOf(letters(first.code), line[at+m[2]:at+m[3]]), from: at + m[2], to: at + m[3], beside: true}
		if !r.known[n.code] || met[n.code] || len(out) == mostJoined || len(out) > 0 && out[len(out)-1].ranged {
			return false
		}
		if at == first.to && upToWish.MatchString(line[at:n.to]) {
			if r.span(number, first.code, &n); !n.ranged {
				return false
			}
		}
		out, met[n.code], at = append(out, n), true, n.to
		return true
	}
	for {
		next := line[at:min(len(line), at+40)]
		m := joinedNumber.FindStringSubmatchIndex(next)
		if m == nil && len(out) == 0 {
			m = upToWish.FindStringSubmatchIndex(next)
		}
		if m == nil && (len(out) == 0 || line[out[0].from-1] == '/') {
			m = slashed.FindStringSubmatchIndex(next)
		}
		if m == nil {
			break
		}
		if !add(m) {
			return nil
		}
	}
	behind := line[at:min(len(line), at+60)]
	if len(out) == 0 || goesOn.MatchString(behind) || counted.MatchString(behind) {
		return nil
	}
	if m := plural.FindStringSubmatch(behind); m != nil && !verbs.MatchString(m[1]) && !verbs.MatchString(strings.Fields(behind)[0]) {
		return nil
	}
	return out
}

// joint is what joins such numbers.
const joint = `(?:\s?[,&+]\s?(?:(?:and|&)\s)?|\sand\s)`

// mostBetween is how far the codes of a range may be from each other, mostRanged how many rows a file may mean without naming them: more is a slip, or no letter of a person.
// mostJoined is how many numbers may be joined to a code: nobody types a longer list, and what stands below it would be held for each.
const (
	mostBetween = 999
	mostJoined  = 999
	mostRanged  = 20_000
)

// named is a block's code in a line: where it begins and where what is said behind it does.
type named struct {
	code     string
	from, to int
	between  []string // the codes of the rows between it and the one before it, where both are named as a range
	ranged   bool
	doubt    bool // it may be meant otherwise
	joined   bool // it is a number, joined to the code before it
	beside   bool // it is a number of which something is said in other words than our own
}

// all are the codes that are meant.
func (n *named) all() []string { return append(n.between, n.code) }

// hyphened is a line that begins with codes, with the hyphens that they lack. Within a text that is given, "at 2 and 3: we woke" is of the text.
func (r *reading) hyphened(line string) string {
	if beforeNumbers.MatchString(line) {
		return line
	}
	if m := looseForm.FindStringSubmatch(line); m != nil && r.known[codeOf(m[2], m[3])] {
		return m[1] + codeOf(m[2], m[3]) + m[4] + line[len(m[0]):]
	}
	m := looseForms.FindStringSubmatch(line)
	if m == nil && r.within {
		return line
	} else if m == nil {
		if with := r.hyphenedFirst(line); with != line {
			return with
		}
		return r.hyphenedWish(line)
	}
	return r.hyphenedAll(line, m)
}

// hyphenedWish is a line, or a message, that begins with codes without their hyphens, each a word, with them: of what is said behind, only what is no ok is read.
func (r *reading) hyphenedWish(line string) string {
	m := looseWish.FindStringSubmatch(line)
	if m == nil || politeLine.MatchString(strings.TrimSpace(m[3])) {
		if head, _ := r.heading(line); head != "" && m == nil {
			if said := line[len(head):]; looseWish.MatchString(said) {
				return head + r.hyphenedWish(said)
			}
		}
		return line
	}
	with := r.hyphenedAll(line, m)
	if with == line {
		return line
	}
	if wordsBehind.MatchString(m[3]) && !numberBehind.MatchString(m[3]) && !okForm(" "+m[3]) {
		r.loosely = true
		return with
	}
	at, ranged, told := codeForm.FindStringSubmatchIndex(with), r.ranged, len(r.problems)
	r.loosely = at != nil && len(r.beside(0, with, named{code: codeOf(with[at[2]:at[3]], with[at[4]:at[5]]), from: at[2], to: at[5]})) > 0 // "am1, 2 too small"
	r.ranged, r.problems = ranged, r.problems[:told]
	if r.loosely {
		return with
	}
	return line
}

// hyphenedAll is a line with the hyphens of the codes in its second part, if all are known.
func (r *reading) hyphenedAll(line string, m []string) string {
	all := true
	codes := looseCode.ReplaceAllStringFunc(m[2], func(s string) string {
		c := looseCode.FindStringSubmatch(s)
		all = all && r.known[codeOf(c[1], c[2])]
		return codeOf(c[1], c[2])
	})
	if !all {
		return line
	}
	return m[1] + codes + m[3] + line[len(m[0]):]
}

// hyphenedFirst is a line with the hyphen of its first code, where others are meant by their numbers.
func (r *reading) hyphenedFirst(line string) string {
	m := looseStart.FindStringSubmatch(line)
	if m == nil || !r.known[codeOf(m[2], m[3])] {
		return line
	}
	n := named{code: codeOf(m[2], m[3]), from: len(m[1])}
	n.to = n.from + len(n.code)
	with := m[1] + n.code + line[len(m[0]):]
	if end, ok := bareEnd(with, n); ok && r.known[end.code] && saidBehind.MatchString(with[end.to:]) {
		_, from := split(n.code)
		if _, to := split(end.code); from < to {
			return with
		}
	}
	if len(r.joined(with, n)) > 0 {
		return with
	}
	return line
}

// joined are the codes that the numbers behind a code mean, where all of them do, and where an answer or another code comes next: else they are numbers.
func (r *reading) joined(line string, first named) (out []named) {
	met, at := map[string]bool{first.code: true}, first.to
	for {
		m := joinedNumber.FindStringSubmatchIndex(line[at:min(len(line), at+40)])
		if m == nil {
			break
		}
		n := named{code: codeOf(letters(first.code), line[at+m[2]:at+m[3]]), from: at + m[2], to: at + m[3], joined: true}
		if !r.known[n.code] || met[n.code] || len(out) == mostJoined {
			return nil
		}
		out, met[n.code], at = append(out, n), true, n.to
	}
	if len(out) == 0 || saidBehind.MatchString(line[at:]) {
		return out
	}
	if _, ok := bareEnd(line, out[len(out)-1]); ok {
		return out
	}
	next := line[at:min(len(line), at+40)]
	if m := codeForm.FindStringSubmatchIndex(next); m != nil && joins.MatchString(next[:m[2]]) && r.known[codeOf(next[m[2]:m[3]], next[m[4]:m[5]])] {
		return out
	}
	return nil
}

// tellLeft tells an ok behind numbers that may be blocks, but that are not joined to the code before them.
func (r *reading) tellLeft(number int, line, body string, codes []string) {
	m := leftNumbers.FindStringSubmatch(body)
	if m == nil {
		return
	}
	numbers := numeral.FindAllString(m[1], -1)
	var left []string
	for _, n := range numbers {
		if code := codeOf(letters(codes[len(codes)-1]), n); r.known[code] && !slices.Contains(codes, code) && !slices.Contains(left, code) {
			left = append(left, code)
		}
	}
	if len(left) == 0 {
		return
	}
	if r.left++; r.left > mostStray {
		return
	}
	what := "a number, which may be a block"
	if len(numbers) > 1 {
		what = "numbers, which may be blocks"
	}
	r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("line %d says ok behind %s: %s in %s", number, what, problem.And(problem.Few(left, mostStray)), quoted(line)), "",
		fmt.Sprintf("if they are right as they are, write “%s ok” in a line of its own, and so for each", left[0]))
}

// codes are those in a line that are known, and any other that it begins with.
func (r *reading) codes(number int, line string) (out []named) {
	for _, m := range codeForm.FindAllStringSubmatchIndex(line, -1) {
		after := strings.TrimLeft(line[m[5]:], "\u00ad\u200b\u200c\u200d\u2060\ufeff")
		if strings.IndexFunc(after, letter) == 0 {
			continue
		}
		n := named{code: codeOf(line[m[2]:m[3]], line[m[4]:m[5]]), from: m[2], to: m[5]}
		// What is meant without meaning anything is short: a line of nothing but codes that nobody has is looked through once, not once for each.
		if r.known[n.code] || len(out) == 0 && m[2] <= maxAnswer && plainBefore.MatchString(line[:m[2]]) {
			if len(out) > 0 {
				last := out[len(out)-1]
				if n.from >= last.to && n.from-last.to < 40 && upTo.MatchString(line[last.to:n.from]) {
					n.doubt = last.ranged || last.beside // "AN-1 - AN-3 - AN-5" may be a list
					r.span(number, last.code, &n)
				}
			}
			out = append(out, n)
			for r.known[n.code] { // "AN-1-3, 5 and 7"
				many, last := len(out), out[len(out)-1]
				if end, ok := bareEnd(line, last); ok {
					if r.span(number, last.code, &end); end.ranged {
						out = append(out, end)
					}
				}
				if out = append(out, r.joined(line, out[len(out)-1])...); len(out) == many {
					if !r.within {
						out = append(out, r.beside(number, line, out[len(out)-1])...)
					}
					break
				}
			}
		}
	}
	return out
}

// bareEnd is the end of a range that is a number alone, behind its first code.
func bareEnd(line string, first named) (n named, ok bool) {
	m := upToNumber.FindStringSubmatchIndex(line[first.to:min(len(line), first.to+40)])
	if m == nil {
		return n, false
	}
	from, to := m[4], m[5]
	if from < 0 {
		from, to = m[8], m[9]
	}
	n = named{from: first.to + from, to: first.to + to, doubt: true}
	n.code = codeOf(letters(first.code), line[n.from:n.to])
	return n, !goesOn.MatchString(line[n.to:])
}

// span has a code mean those between it and the one before it as well.
func (r *reading) span(number int, from string, n *named) {
	a, first := split(from)
	b, last := split(n.code)
	if a != b || first >= last || last-first > mostBetween || !r.known[from] || !r.known[n.code] {
		return
	}
	n.ranged = true
	for k := first + 1; k < last; k++ {
		code := fmt.Sprintf("%s-%d", a, k)
		if !r.known[code] {
			continue
		}
		if r.ranged++; r.ranged > mostRanged {
			if r.ranged == mostRanged+1 {
				r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("rows between two codes, as between %s and %s, are left out from line %d on", from, n.code, number), "the file asks for too many so",
					"write a line for each of them, with its code")
			}
			return
		}
		n.between = append(n.between, code)
	}
}

// mayMean counts a row that is meant by a number alone, and reports whether the file may mean one more so.
func (r *reading) mayMean(number int) bool {
	if r.ranged++; r.ranged == mostRanged+1 {
		r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("numbers behind codes are left out from line %d on", number), "the file asks for too many so", "write a line for each of them, with its code")
	}
	return r.ranged <= mostRanged
}

// part is what a line says of a block.
type part struct {
	named
	body  string
	aside []named // that it names
}

// alone reports whether there is nothing in a line but codes.
func alone(line string, codes []named) bool {
	at := 0
	for i, n := range codes {
		if words := line[at:max(at, n.from)]; i == 0 && !plainBefore.MatchString(words) || i > 0 && !n.ranged && !joins.MatchString(words) {
			return false
		}
		at = n.to
	}
	return !strings.ContainsFunc(line[at:], letter)
}

// parts cuts a line before each code that begins an answer, follows another at once, or follows one that is plainly an ok.
func parts(line string, codes []named) (out []part) {
	for i, n := range codes {
		if i > 0 {
			p := &out[len(out)-1]
			body, behind := line[p.to:n.from], line[n.to:]
			if i+1 < len(codes) { // so that a line of many codes takes no longer than many lines
				behind = line[n.to:codes[i+1].from]
			}
			begins := answerForm.MatchString(behind) || colon.MatchString(behind) || otherForm.FindStringSubmatch(behind)[1] != ""
			if n.beside || !begins && (len(p.aside) > 0 || !n.ranged && !joins.MatchString(body) && !okForm(body)) {
				p.aside = append(p.aside, n)
				continue
			}
			p.body = body
		}
		out = append(out, part{named: n})
	}
	p := &out[len(out)-1]
	p.body = line[p.to:]
	return out
}

// split are the letters of a code and its number.
func split(code string) (who string, n int) {
	who, number, _ := strings.Cut(code, "-")
	n, _ = strconv.Atoi(number)
	return who, n
}

// codeOf is a block's code as it is written here: large, with a plain hyphen, whose number begins with no nought.
func codeOf(letters, number string) string {
	if number = strings.TrimLeft(number, "0"); number == "" {
		number = "0"
	}
	return strings.ToUpper(letters) + "-" + number
}

func letter(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }
