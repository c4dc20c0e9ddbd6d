package proof

import (
	"fmt"
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// What chats write before a message. A name may be any words there: they stay in what is said, and make an ok behind them doubtful, but where they are the name of somebody
// who has rows in the job, or written as names are.
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
	// Those in which nothing but a name can be meant.
	surely = regexp.MustCompile(`(?i)` + quoting + sender + `(?:\s|$)`)
	toAll  = regexp.MustCompile(`(?i)^from\s(.+)\sto\s(?:everyone|.*\(direct message)$`)
	// What a chat's program writes in a message's place.
	deleted = regexp.MustCompile(`(?i)^(?:this message was deleted|you deleted this message)\.?$`)
	// What is no name.
	hedge = regexp.MustCompile(`(?i)\b(?:almost|nearly|maybe|perhaps|hardly|never|unsure|sure|think|thought|guess|hope|if|when|once|until|till|after|before|is|are|was|were|yet|still|question|all)\b|\?`)
	// What a wish says of size, colour, number or place: no part of a name, or none that it begins with.
	wanting = regexp.MustCompile(`(?i)\b(?:bigger|biggest|smaller|smallest|larger|largest|wider|narrower|taller|shorter|longer|higher|lower|darker|lighter|bolder|thinner|thicker|italics?|underlined?|cent(?:re|er)(?:ed)?|twice|thrice|double|` +
		`two|three|four|five|six|seven|eight|nine|ten|more|less|fewer|another|nope|nah|none|nothing|neither|nor|without|too|much|many|bad|worse|make|fix|remove|delete|add|move|swap|replace|spell|same|font|colour|color|cop(?:y|ies)|wants?|typos?|enlarge|shrink|rotate|redo|stop|reprint|falsch|größer|kleiner|plus\s(?:grand|petit)e?|más\s(?:grande|peque[ñn][oa]))\b`)
	wantingFirst = regexp.MustCompile(`(?i)^(?:big|small|little|large|tall|short|long|wide|narrow|bold|thin|thick|red|blue|green|black|white|gr[ae]y|brown|yellow|pink|purple|orange|gold|silver|dark|light|high|low|left|right|middle|top|bottom|` +
		`date|year|title|text|page|ink|paper|size|the|this|that|my|his|her|our|their)\b`)
	tags  = regexp.MustCompile(tag)
	times = regexp.MustCompile(`(?i)` + moment)
)

// saidIn is what somebody says in a line: which answers.
type saidIn struct{ line, from, to int }

// heading is what a chat writes before a message, and who sent it; both are "" where the line begins none.
func (r *reading) heading(line string) (head, who string) {
	if found, ok := r.heads[line]; ok {
		return found.head, found.who
	}
	head = message.FindString(line)
	if codeForm.MatchString(head) {
		head = "" // a code is nobody's name, whoever has it
	}
	who = strings.TrimFunc(times.ReplaceAllString(head, ""), func(c rune) bool { return !letter(c) })
	if m := toAll.FindStringSubmatch(who); m != nil {
		who = strings.TrimFunc(m[1], func(c rune) bool { return !letter(c) })
	}
	who = strings.ToLower(who)
	if len(r.heads) >= mostRemembered {
		clear(r.heads)
	}
	r.heads[line], r.heads[head] = heading{head, who}, heading{head, who} // it is asked for again, for the line and for what stands before its code
	return head, who
}

// heading is what was found of a line, or of its beginning.
type heading struct{ head, who string }

// mostRemembered is how many lines what was found of is kept of.
const mostRemembered = 64

// vouched reports whether such a heading is surely one, and no words of a wish.
func (r *reading) vouched(head, who string) bool {
	return head != "" && (surely.MatchString(head) || r.owners[who]) && !r.doubtful(head)
}

// doubtful reports whether what begins a line says something, as a wish does, whatever it looks like: a sender may be called anything. The name of somebody who has rows says nothing.
func (r *reading) doubtful(before string) bool {
	is, known := r.doubts[before]
	if !known {
		if is = r.doubt(before); len(r.doubts) >= mostRemembered {
			clear(r.doubts)
		}
		r.doubts[before] = is
	}
	return is
}

func (r *reading) doubt(before string) bool {
	before = tags.ReplaceAllString(before, "")
	if head, who := r.heading(before); r.owners[who] && !strings.Contains(head, "?") {
		before = before[len(head):]
	}
	if !strings.ContainsFunc(before, letter) {
		return strings.Contains(before, "?")
	}
	words := strings.TrimLeftFunc(times.ReplaceAllString(before, ""), func(c rune) bool { return !letter(c) })
	return hedge.MatchString(before) || reservation.MatchString(before) || wanting.MatchString(before) || wantingFirst.MatchString(words)
}

// plainly reports whether nothing is meant by what begins a line.
func (r *reading) plainly(before string) bool {
	return plainBefore.MatchString(before) && !r.doubtful(before)
}

// tellLone tells the senders of one word whom nobody in the job is called and of whom there is but one message, or two that say nothing but ok: what is taken for a name may have been a wish.
func (r *reading) tellLone() {
	oks := map[string]int{}
	for _, s := range r.strangers {
		if s.ok {
			oks[s.who]++
		}
	}
	lone := slices.DeleteFunc(r.strangers, func(s stranger) bool { return r.sent[s.who] > 1 && !(r.sent[s.who] == 2 && oks[s.who] == 2) })
	var said []string
	for _, s := range lone[:min(len(lone), mostStray)] {
		said = append(said, fmt.Sprintf("line %d %s", s.number, quoted(strings.TrimSpace(s.text))))
	}
	if more := lone[len(said):]; len(more) > 0 {
		said = append(said, fmt.Sprintf("and %d more, %s", len(more), lines(more[0].number, more[len(more)-1].number)))
	}
	if len(said) > 0 {
		r.problems.Note(problem.Place{File: r.file}, "taken for the sender of a message: "+strings.Join(said, ", "), "nobody who has rows in the job is called so, and has sent anything else",
			"if it asks for a change, write it behind the block’s code, as in MK-2: change: the date")
	}
}

// stranger is a message of somebody whom nobody in the job is called.
type stranger struct {
	unreadLine
	who string
	ok  bool // it says nothing but ok
}

// strange reports a sender whom nobody in the job is called, as far as is known.
func (r *reading) strange(who string) bool { return len(r.owners) > 0 && !r.owners[who] }

// meet notes a sender of one word whom nobody in the job is called: most of several words are names, and a number of a telephone is no wish.
func (r *reading) meet(number int, head, who string, ok bool) {
	if r.strange(who) && !strings.Contains(who, " ") && strings.IndexFunc(who, unicode.IsDigit) != 0 {
		r.strangers = append(r.strangers, stranger{unreadLine{number, head}, who, ok})
	}
}

// words are what somebody says in a line: all of it, but for what is surely a time and a name.
func (r *reading) words(line string) string {
	if head, who := r.heading(line); r.vouched(head, who) {
		return line[len(head):]
	}
	return line
}

// mostStray is how many messages are told one by one that say something of no block.
const mostStray = 12

// stray reads a message that no answer begins in, of another sender than that of the answer above, which it does not go on with. It may take back
// what its own sender said further up.
func (r *reading) stray(number int, who, said, line string) {
	r.open, r.near, r.away = false, false, who
	r.headed = r.headed || heads(said)
	if len(r.owners) > 0 && !r.owners[who] { // it may be no name
		said = line
	}
	var ok saidIn
	if oks := r.oks[who]; len(oks) > 0 {
		ok = oks[len(oks)-1]
	}
	if r.strays++; r.strays > mostStray || politeLine.MatchString(said) && !reservation.MatchString(said) {
		r.unread = append(r.unread, unreadLine{number, line})
	} else {
		cause, hint := "", "if it asks for a change, write it behind the block’s code, as in MK-2: change: the date"
		if gave := r.gave[who]; ok.line > 0 {
			cause = fmt.Sprintf("the same sender says ok in line %d", ok.line)
		} else if len(gave) > 0 {
			cause = fmt.Sprintf("the same sender gives a text in %s", lines(r.list[gave[0]].Line, r.list[gave[len(gave)-1]].Line))
		}
		r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("line %d says something of no block: %s", number, measure.Quote(said)), cause, hint)
	}
	r.takeBackOf(who, number, said)
}
