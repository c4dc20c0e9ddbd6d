package proof

import (
	"fmt"
	"regexp"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// What chats write before a message. A name may be any words there, which makes an ok behind it doubtful, but where day and time stand in front as in no sentence.
const (
	stamp    = `(?:` + day + at + `\s` + hour + `|` + hour + `,?\s` + day + `)`
	instant  = `(?:` + stamp + `|` + hour + `)`
	anyone   = `[^\s:][^:]{0,39}:`
	exported = `(?:[\[(<]` + stamp + `[\])>]\s?|` + stamp + `\s[-–—]\s)` + anyone + `|[\[(<]?` + instant + `[\])>]?\sFrom\s[^:]{1,40}\sto\s` + anyone
	anyChat  = `(?:[\[(<]` + instant + `[\])>]\s?|` + instant + `\s[-–—]\s)` + anyone + `|From\s[^:]{1,40}\sto\sEveryone\s?:`
	quoting  = `^[\s>|*` + unseen + `-]*`
)

var (
	// A message of a chat begins what is said anew, whatever stands above it.
	message = regexp.MustCompile(`(?i)` + quoting + `(?:` + sender + `|` + exported + `|` + anyChat + `)(?:\s|$)`)
	// Those before which an ok is clear.
	surely = regexp.MustCompile(`(?i)` + quoting + `(?:` + sender + `|` + exported + `)(?:\s|$)`)
	// What is no name.
	hedge = regexp.MustCompile(`(?i)\b(?:almost|nearly|maybe|perhaps|hardly|never|unsure|sure|think|thought|guess|hope|if|when|once|until|till|after|before|is|are|was|were|yet|still|question|all)\b|\?`)
	times = regexp.MustCompile(`(?i)` + moment)
)

// saidIn is what somebody says in a line: which answers.
type saidIn struct{ line, from, to int }

// heading is what a chat writes before a message, and who sent it; both are "" where the line begins none.
func (r *reading) heading(line string) (head, who string) {
	head = message.FindString(line)
	if m := codeForm.FindStringSubmatch(head); m != nil && (r.known == nil || r.known[codeOf(m[1], m[2])]) {
		return "", "" // a code is nobody's name
	}
	return head, strings.ToLower(strings.TrimFunc(times.ReplaceAllString(head, ""), func(c rune) bool { return !letter(c) }))
}

// vouched reports whether an ok behind such a heading is clear.
func vouched(head string) bool {
	return surely.MatchString(head) && !hedge.MatchString(head) && !reservation.MatchString(head)
}

// mostStray is how many messages are told one by one that say something of no block.
const mostStray = 12

// stray reads a message that no answer begins in, of another sender than that of the answer above, which it does not go on with. It may take back
// what its own sender said further up.
func (r *reading) stray(number int, who, said, line string) {
	r.open, r.near = false, false
	ok := r.oks[who]
	if r.strays++; r.strays > mostStray || politeLine.MatchString(said) && !reservation.MatchString(said) {
		r.unread = append(r.unread, unreadLine{number, line})
	} else {
		cause, hint := "", "if it asks for a change, write it behind the block’s code, as in MK-2: change: the date"
		if ok.line > 0 {
			cause = fmt.Sprintf("the same sender says ok in line %d", ok.line)
		}
		r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("line %d says something of no block: %s", number, measure.Quote(said)), cause, hint)
	}
	if ok.line > 0 && reservation.MatchString(said) {
		for i := ok.from; i < ok.to; i++ {
			if a := &r.list[i]; a.OK {
				a.OK, a.Change, a.Line, r.last[i] = false, "ok "+said, number, number
			}
		}
		delete(r.oks, who)
	}
}
