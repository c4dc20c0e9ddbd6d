package proof

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode/utf8"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// People take back what they have sent: "forget the text", "I take it back". Letters are full of lines that only look like it - "don't forget the scissors", "please delete this mail" -
// so that it counts where it is short, plain and about a text or an ok, and only for what is of the same sender, or in the same letter.

// mostRetracting is how many letters such a line may have.
const mostRetracting = 80

const (
	whose = `(?:the|my|that|this|these|those|his|her|our|your|their|all)\s(?:(?:the|my|old|new|last|first|second|other|whole|previous)\s){0,2}`
	aText = whose + `(?P<text>texts?|words|wording|space)\b`
	anOk  = whose + `(?P<ok>oks?|okays?|approvals?|ticks?|yes)\b`
	thing = `(?:it|that|this|these|those|them|` + whose + `ones?)`
	// A word for what is meant is all that is said, but for a please: letters are full of it.
	byItself = `(?:,?\s(?:all|again|please|pls|now|then|sorry|thanks|altogether|for\s[a-z]{1,12}-?[0-9]{1,6}))*[\s.!…]*$`
	noMore   = `(?:,?\s(?:all|again|please|pls|now|then|sorry|for\snow|altogether))*\s*(?:$|[.,;!?)…–—]|\s(?:and|but|i|we|above|below|for\s[a-z]{1,12}-?[0-9])(?:\b|[0-9]))`
)

var (
	retraction = regexp.MustCompile(`(?i)\b(?:` +
		`(?:forget|ignore|disregard|cancel|scrap|scratch|never\s?mind|hold|undo|withdraw|leave\sout|drop|delete|remove|wait\swith)\s(?:` + aText + noMore + `|` + anOk + `)|` +
		`(?:forget|ignore|disregard|cancel|scrap|scratch|never\s?mind|hold|undo|withdraw)\s` + thing + byItself + `|` +
		`take\s(?:` + aText + `|` + anOk + `|` + thing + `)\sback` + noMore + `|` +
		`(?:leave|keep|take)\s(?:` + aText + `|(?P<empty>it|that|this))\s(?:out|empty|blank|off)` + noMore + `|` +
		`use\sthe\s(?:old|other|former|first|previous|original)\s(?P<old>one|texts?|words|wording)\b|` +
		`(?:will|['’]ll|shall)\ssend\s(?:you\s)?(?:a\s)?(?:new|better|different|corrected)\s(?P<new>one|texts?|words|wording)` + byItself + `|` +
		`undo[\s.!]*$)`)
	// All that may stand before it: anything else, as "don't" and "I always", makes it another sentence.
	retracting = regexp.MustCompile(`(?i)^(?:(?:please|pls|ps|sorry|just|so|and|but|oh|oops|ok|okay|no|yes|actually|wait|hm+|hi|hello|can|could|may|might|should|must|would|will|you|i|i['’]d|i['’]ll|i['’]m|we|we['’]ll|let['’]s|let\sus|to|better|also|then|now|instead|rather|want|like|have|need|['’]d)\s)*(?:i|we|you)?$`)
	clauseEnd  = regexp.MustCompile(`[.,;:!?()"“”–—]\s*`)
	onlyIf     = regexp.MustCompile(`(?i)\b(?:if|unless|when)\b`)
)

// retracts reports whether a line takes back a text, or an ok; both where it does not say which.
func retracts(said string) (text, ok bool) {
	said = strings.TrimSpace(said)
	if len(said) > 4*mostRetracting || utf8.RuneCountInString(said) > mostRetracting {
		return false, false
	}
	m := retraction.FindStringSubmatchIndex(said)
	if m == nil || onlyIf.MatchString(said) {
		return false, false
	}
	before := said[:m[0]]
	if ends := clauseEnd.FindAllStringIndex(before, -1); len(ends) > 0 {
		before = before[ends[len(ends)-1][1]:]
	}
	if !retracting.MatchString(before) {
		return false, false
	}
	for i, name := range retraction.SubexpNames() {
		if name != "" && m[2*i] >= 0 {
			return name != "ok", name == "ok"
		}
	}
	return true, true
}

// takeBackOf has what somebody says of no block take back the last ok of the same sender, and texts, where it may.
func (r *reading) takeBackOf(who string, number int, said string) {
	text, ok := retracts(said)
	if ok || reservation.MatchString(said) {
		r.takeOkBack(who, number, said)
	}
	if text {
		r.takeTextsBack(who, number, said)
	}
}

// allOks matches words for more oks than the last.
var allOks = regexp.MustCompile(`(?i)\b(?:all|both|oks|okays|ticks|approvals|first|other)\b`)

// takeOkBack makes a wish of what somebody has said ok to last, or to all where it may be about more.
func (r *reading) takeOkBack(who string, number int, said string) {
	oks := r.oks[who]
	if len(oks) > 0 && !allOks.MatchString(said) {
		oks = oks[len(oks)-1:]
	}
	for _, ok := range oks {
		for i := ok.from; i < ok.to; i++ {
			if a := &r.list[i]; a.OK {
				a.OK, a.Change, a.Line, r.last[i] = false, "ok "+said, number, number
			}
		}
	}
	delete(r.oks, who)
}

// takeTextsBack has a wish stand beside each text and space that somebody has given, but for those of some codes.
func (r *reading) takeTextsBack(who string, number int, said string, but ...string) {
	for _, i := range r.gave[who] {
		if a := &r.list[i]; !slices.Contains(but, a.Code) {
			r.mentions = append(r.mentions, mention{Answer{Code: a.Code, Print: a.Print, Change: said, File: r.file, Line: number, letter: a.letter, by: who, retracts: true}, i})
		}
	}
	delete(r.gave, who)
}

// endLetter has what stands below take back nothing that stands above, where no chat says who sends it.
func (r *reading) endLetter() {
	delete(r.gave, "")
	delete(r.oks, "")
}

// settleRetractions takes out what takes back a text where the same sender gives another for the same row below it.
func (r *reading) settleRetractions() {
	type given struct{ code, print, by string }
	better := map[given]int{}
	for i := range r.list {
		if a := &r.list[i]; a.gives() {
			better[given{a.Code, a.Print, a.by}] = a.Line
		}
	}
	n := 0
	for i, a := range r.list {
		if line := better[given{a.Code, a.Print, a.by}]; a.retracts && line > a.Line && r.last[i] == a.Line {
			r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("line %d takes back what was given for %s: %s; what line %d gives comes after it, and counts", a.Line, a.Code, measure.Quote(a.Change), line), "", "")
			continue
		}
		r.list[n], r.last[n] = r.list[i], r.last[i]
		n++
	}
	r.list, r.last = r.list[:n], r.last[:n]
}
