package proof

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

var (
	// What stands between a code and what is said of its block.
	between = `(?:[\s:,;.\])*_="”'’/|–—` + unseen + `-]|` + tag + `)*`
	// "1f0c99ab change: spell Marie with ie", "ok"; without its fingerprint it still counts.
	answerForm = regexp.MustCompile(`(?i)^` + between + `(?:([0-9a-f]{8})[\s:]+)?(?:` + tag + `)*(ok|okay|change)\b(.*)$`)
	// What the row lacked: "5b0c99ab text: We rowed out. ¶¶", "77aa01f3 space: 4 x 2 in".
	givenForm = regexp.MustCompile(`(?i)^[\s:]+([0-9a-f]{8})[\s:]+(text|space):\s*(.*)$`)
	// What somebody answers in other words - "MK-2: not ok" - is a wish for a change: only what says ok is approved.
	otherForm = regexp.MustCompile(`(?i)^(?:[\s:]+([0-9a-f]{8})(?:[\s:]|$))?[^\p{L}\p{N}¶]*?(?:` + between + `)(.*)$`)
	// What may stand behind an ok without a doubt about it.
	plainBehind = regexp.MustCompile(`^(?:[\s.!,;:)\]*_"”|✓✔👍🙂😀` + unseen + `\x{fe0f}]|` + tag + `)*$`)
	struckOut   = regexp.MustCompile(`(?i)<(?:s|del|strike)\b`)
	// Several codes with one answer: "AN-1, AN-2 and AN-3 ok".
	joins = regexp.MustCompile(`(?i)^[\s,;&/+]*(?:\band\b)?[\s,;&/+]*$`)
	ends  = regexp.MustCompile(`(?:[;|]|` + tag + `)\s*$`) // an answer, before another in the line
	lead  = regexp.MustCompile(`^(?:[\s:]|\.(?:\s|$))*`)
	// A colon behind a code begins an answer of its own, also below one that may go on.
	colon   = regexp.MustCompile(`^[\])*]*\s*:`)
	refusal = regexp.MustCompile(`(?i)^(not|no|nok|wrong)\b`)
	// What takes an ok back that stands somewhere above - "MK-2 ok", "but please change the date".
	reservation = regexp.MustCompile(`(?i)\b(change[ds]?|but|except|instead|unless|only|not|no|wrong|please|should|must|however|though|rather|actually|wait|don['’]t)\b`)
	polite      = `(?:(?:many|best|kind|warm|with|lots of)\s)*(?:thanks|thank you|thx|bye|goodbye|regards|wishes|cheers|love|see you|greetings|yours|sincerely|hello|hi|dear)`
	politeLine  = regexp.MustCompile(`(?i)^\W*` + polite + `(?:[\s,.!]+(?:` + polite + `|so much|very much|a lot|again|all|everyone|soon|and))*[\s,.!]*(?-i:(?:\p{Lu}[\p{L}.'’-]*[\s,.!]*){0,3})\W*$`)
	headOfMail  = regexp.MustCompile(`(?i)^[\s>|*]*(?:(?:from|sent|date|to|cc|subject|reply-to):|.*\bwrote:\s*$)`) // somebody else's begins
	frameLine   = regexp.MustCompile(`(?i)^[\s>|*]*(?:tuckmark answers(?:\s*:.*|[^\p{L}\p{N}]*)|end of answers[^\p{L}\p{N}]*)$`)
	titleLine   = regexp.MustCompile(`(?i)^[\s>|*]*tuckmark answers\s*:(.*)$`)
	// What stands above a list of codes, and says nothing of the code above it.
	headingLine = regexp.MustCompile(`(?i)^[^\p{L}\p{N}]*(?:(?:to|please|for|all|these|those|needs?|not)\s)*(?:ok|okay|change[ds]?|changing)(?:\s(?:these|those))?[^\p{L}\p{N}]*$`)
	listAbove   = regexp.MustCompile(`\p{L}[^\p{L}\p{N}]*:[^\p{L}\p{N}]*$`)
	emptyLine   = regexp.MustCompile(`^[\s>|_=*~.` + unseen + `-]*$`)
)

// maxAnswer is how much of a wish for a change is kept to be shown, in bytes, maxWish how much for the report: what a cell has room for with what stands around it.
const (
	maxAnswer = 1000
	maxWish   = 30_000
)

// mostLong is for how many blocks at once a wish may go on for more lines than are shown.
const mostLong = 20

// maxText is how long a text that is given may be, in bytes: more than a cell may hold.
const maxText = 100_000

// A text that is given has a sign where a line ends, since mail breaks lines elsewhere, and two at its end: without them a part of it
// may have been left behind.
const (
	lineEnd = "¶"
	textEnd = lineEnd + lineEnd
)

const lostLetter = '\uFFFD' // stands for one

// reading is a file of answers as it is read. Each line that is not empty is an answer, goes on with one, is a frame of our own, or is told.
type reading struct {
	file      string
	known     map[string]bool
	list      []Answer
	problems  problem.List
	part      func(*Answer) *string // of the last answer, which
	grown     *strings.Builder      // what was last put behind something, to be gone on with
	group     int                   // of how many blocks that is said, the last of the list
	unclear   string                // a line of codes with nothing behind them, where an ok below would be none
	asked     bool                  // of the last answer, that it says change
	headed    bool                  // a heading stands above, and no answer since that says something
	mentions  []mention             // what is named beside, until the list is whole
	own       map[string]bool       // the blocks that the last answer is for, once something is named beside it
	open      bool                  // may go on
	closed    bool                  // the last answer is whole: an ok, or a text with its end; what stands below may take it back
	near      bool                  // and no empty line came since
	within    bool                  // a text that is given goes on
	measuring bool                  // the last answer gives a space
	loosely   bool                  // a line's first codes lack their hyphens, and what is behind them is no plain ok: none in the line is approved
	last      []int                 // the line of each answer in which it ends
	unread    []unreadLine
	owners    map[string]bool     // their names in small letters, and their first names
	titles    []string            // of the job
	who       string              // sent the last answer, in a chat
	away      string              // sent the message above, where it says something of no block
	sayer     string              // sent the message that a line is of, in a chat
	oks       map[string][]saidIn // the oks that somebody sent and has not taken back
	sent      map[string]int      // how many messages are of whom
	strangers []stranger          // each with an answer
	gave      map[string][]int    // which texts and spaces somebody has given, by their numbers in the list
	left      int                 // lines with an ok behind numbers that may be blocks
	strays    int                 // messages that say nothing of a block
	letter    int                 // how many lines of our own there were
	long      unreadLine          // the last answer that is longer than is shown
	cut, all  string              // and what is kept of it
	wish      string              // as it was said of the last answer
	plain     string              // and as it counts
	ranged    int                 // rows that were meant and not named
	crowd     int                 // blocks that were named with others or beside them
	numbers   []bool              // of the codes that have the next answer, whether each is a number alone
	uncut     [3]string           // what was cut last for a mention, and what is kept of it
	over      map[string]int      // those of which that is left out, by where the last is among the mentions; nil: none
	heads     map[string]heading
	doubts    map[string]bool
}

// mention is an answer that stands before another in the list.
type mention struct {
	Answer
	before int
}

// Of is what else is known of the job that answers are for.
type Of struct {
	Titles []string // as its proof may be called
	Owners []string // who has rows in it
}

// ReadAnswers reads answers as people send them, from a file with any other text around them; known are the codes of the job's rows.
// A line that follows a wish for a change, up to a blank line or the next answer, belongs to it: mail breaks long lines. A file in an old
// encoding is read as a table of commas in it is, with a note. What is not clearly an ok is a wish: with words before or behind it, with a line below that may take it back.
// A known code has an answer wherever it stands: where it is named in what is said of another block, one that is Aside. A text in which a
// letter was lost on its way is not taken as one, but is a wish for a change. Lines that are none of this are told in notes. The one error
// is that there is no answer at all.
func ReadAnswers(file string, data []byte, known map[string]bool, of ...Of) ([]Answer, problem.List) {
	text, note, ok := table.ReadText(file, data, "UTF-8")
	if !ok {
		return nil, problem.List{{Place: problem.Place{File: file}, What: "the file is no text", Cause: "it may be damaged, or made by a program that writes no plain text",
			Hint: "copy the answers from the proof with its button, paste them into a text file and save it"}}
	}
	r := reading{file: file, known: known, grown: new(strings.Builder), oks: map[string][]saidIn{}, sent: map[string]int{}, gave: map[string][]int{}, owners: map[string]bool{}, heads: map[string]heading{}, doubts: map[string]bool{}}
	for _, o := range of {
		r.titles = append(r.titles, o.Titles...)
		for _, name := range o.Owners {
			if first := strings.Fields(strings.ToLower(name)); len(first) > 0 && !reservation.MatchString(first[0]) { // as in “no name yet”
				r.owners[first[0]], r.owners[strings.Join(first, " ")] = true, true
			}
		}
	}
	if note != nil {
		r.problems = append(r.problems, *note)
	}
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n").Replace(text)
	for i, line := range strings.Split(text, "\n") {
		r.line(i+1, strings.Join(strings.Fields(line), " "))
	}
	r.putMentions()
	for i := range r.list {
		r.finish(&r.list[i], r.last[i])
	}
	r.settleRetractions()
	if len(r.list) == 0 {
		r.problems.Add(problem.Place{File: file}, "there are no answers in this file", "no line begins with a block's code and ok or change",
			"copy the answers from the proof with its button, paste them into a text file and save it")
	} else {
		r.tellLone()
		r.tellUnread()
	}
	return r.list, r.problems
}

// line reads a line, in which white space is single spaces.
func (r *reading) line(number int, line string) {
	typed := line
	r.within = r.open && r.list[len(r.list)-1].Text != ""
	r.loosely = false
	line = r.hyphened(line)
	codes, was := r.codes(number, line), len(r.list)
	head, who := r.heading(line)
	r.sent[who]++
	r.endSpace(line, head, codes)
	if r.within {
	} else if head != "" {
		r.sayer = who
	} else if headOfMail.MatchString(line) {
		r.sayer = ""
		r.endLetter()
	}
	said, same := line, true                                                                                                       // by who sent the answer above, as far as can be told
	if n := len(r.list); r.vouched(head, who) && r.who != "" && !(r.open && r.list[n-1].Print != "" && r.list[n-1].Change == "") { // a text that is given may have a line like it
		if same = who == r.who; same {
			said = line[len(head):]
		}
	}
	if same && who != "" && who == r.who {
		r.away = ""
	}
	switch {
	case emptyLine.MatchString(line):
		r.open, r.near = false, false
	case frameLine.MatchString(line) && !slices.ContainsFunc(codes, func(n named) bool { return r.known[n.code] }):
		r.open, r.closed, r.headed, r.away = false, false, false, ""
		r.letter++
		r.endLetter()
		r.title(number, line)
	case r.open && r.bare() && len(codes) == 0 && same && r.begun(number, said):
	case len(codes) > 0 && r.answers(number, line, head, codes):
		r.who, r.away = who, ""
	case !same && len(r.list) > 0:
		r.stray(number, who, line[len(head):], line)
	case r.away != "":
		r.unread = append(r.unread, unreadLine{number, line})
		r.takeBackOf(r.away, number, line)
		r.headed = r.headed || heads(line)
	case r.open:
		r.headed = r.headed || heads(line)
		last := &r.list[len(r.list)-1]
		if line != typed { // what goes on with a text is the text
			said = typed
		}
		r.goOn(r.part(last), strings.TrimLeft(said, "> |"))
		for i := len(r.list) - r.group; i < len(r.list); i++ {
			r.list[i].Change = last.Change
		}
		r.endsIn(number)
		r.aside(number, line, codes)
	default:
		r.loose(number, line, said)
	}
	if n := len(r.list); n > 0 && r.list[n-1].OK && r.last[n-1] == number {
		r.oks[r.sayer] = append(r.oks[r.sayer], saidIn{r.list[n-1].Line, min(was, n-r.group), n})
	}
	if n, gave := len(r.list), r.gave[r.sayer]; n > 0 && r.list[n-1].gives() && r.last[n-1] == number && (len(gave) == 0 || gave[len(gave)-1] < n-1) {
		r.gave[r.sayer] = append(gave, n-1)
	}
	if r.open {
		a := &r.list[len(r.list)-1]
		most := maxAnswer
		if r.group <= mostLong {
			most = maxWish
		}
		r.open = len(a.Change) <= most && len(a.Space) <= maxAnswer && len(a.Text) <= maxText
		if strings.HasSuffix(a.Text, textEnd) {
			r.open, r.closed, r.near = false, true, true
		}
		r.measured()
	}
}

// goOn puts a line behind what is said already. A text may have thousands of lines, so what stands there is not copied for each.
func (r *reading) goOn(said *string, line string) {
	if r.grown.String() != *said {
		r.grown = new(strings.Builder)
		r.grown.WriteString(strings.TrimSpace(*said))
	}
	if line != "" && r.grown.Len() > 0 {
		r.grown.WriteByte(' ')
	}
	r.grown.WriteString(line)
	*said = r.grown.String()
}

// bare reports whether the last answer is a code behind which nothing is said yet.
func (r *reading) bare() bool {
	a := &r.list[len(r.list)-1]
	return a.Change == "" && !a.gives() && r.last[len(r.last)-1] == a.Line
}

// begun reads the line below a bare code as what is said of it.
func (r *reading) begun(number int, line string) bool {
	a := &r.list[len(r.list)-1]
	said := " " + strings.TrimLeft(line, "> |")
	if a.Print != "" {
		said = " " + a.Print + said
	}
	if answerForm.FindString(said) == "" && givenForm.FindString(said) == "" || headingLine.MatchString(line) && strings.Contains(line, ":") {
		return false
	}
	var codes []string
	from := len(r.list) - r.group
	for i := range r.list[from:] {
		codes = append(codes, r.list[from+i].Code)
	}
	unclear := r.unclear
	if struckOut.MatchString(line) && unclear == "" {
		unclear = a.Code
	}
	if unclear != "" && okForm(said) {
		said = " change: " + unclear + " " + line
	}
	at := a.Line
	r.list, r.last = r.list[:from], r.last[:from]
	r.said(codes, said, at, unclear == "" && (len(codes) == 1 || !givenForm.MatchString(said)))
	r.headed = false
	r.endsIn(number)
	return true
}

// endsIn notes the line in which what was said last ends, for each block that it was said of.
func (r *reading) endsIn(number int) {
	for i := len(r.last) - r.group; i < len(r.last); i++ {
		r.last[i] = number
	}
}

// heads reports whether a line may be a heading above a list of codes: "to change", "too small:".
func heads(line string) bool {
	return headingLine.MatchString(line) || listAbove.MatchString(line) && !politeLine.MatchString(line) && !headOfMail.MatchString(line)
}

// answers reads a line that has codes, as answers of one or several blocks. It is false where no answer begins in it.
func (r *reading) answers(number int, line, head string, codes []named) bool {
	if known := slices.IndexFunc(codes, func(n named) bool { return r.known[n.code] }); known > 0 { // one that nobody has hides none
		if b := line[codes[0].to:]; !answerForm.MatchString(b) && otherForm.FindStringSubmatch(b)[1] == "" && !(r.open && head == "") {
			codes = codes[known:]
		}
	}
	first := codes[0]
	words := line
	if len(head) <= first.from {
		words = r.words(line)
	}
	before, behind := strings.TrimLeft(words[:len(words)-len(line)+first.from], "> |"), line[first.to:]
	sure := r.plainly(line[:first.from]) || len(words) < len(line) && r.plainly(before)
	clear := sure && !r.loosely && !struckOut.MatchString(line) && !reservation.MatchString(line[:first.from]) // whether an ok would be beyond doubt
	other := otherForm.FindStringSubmatch(behind)
	switch {
	case r.open && head == "" && !sure && strings.ContainsFunc(before, letter):
		return false // a wish that goes on names it
	case answerForm.MatchString(behind) || other[1] != "":
	case !r.known[first.code] && (r.known != nil || behind == ""):
		return false // it only looks like a code
	case r.open && head == "" && !refusal.MatchString(other[2]) && !colon.MatchString(behind) && strings.ContainsFunc(before+behind, letter) && !alone(line, codes):
		return false
	}
	sender, were := len(words) < len(line), len(r.list) // whether one stands before it
	_, who := r.heading(line)
	if clear && givenForm.MatchString(behind) {
		r.said([]string{first.code}, behind, number, true)
		r.aside(number, line, slices.DeleteFunc(codes[1:], func(n named) bool { return n.beside }))
		if sender {
			r.meet(number, head, who, false)
		}
		return true
	}
	open := r.open && (!r.bare() || r.asked) // a wish above, of which codes alone may be a part
	var same []string                        // codes that have one answer
	begins := true                           // they are the first of the line
	from, doubt := 0, false
	list := parts(line, codes)
	for i, p := range list {
		if len(same) == 0 {
			from, doubt = p.from, false
		}
		same, doubt = append(same, p.all()...), doubt || p.doubt
		for len(r.numbers) < len(same) {
			r.numbers = append(r.numbers, p.joined)
		}
		if len(p.aside) == 0 && p.to+len(p.body) < len(line) && (joins.MatchString(p.body) || list[i+1].ranged) {
			continue
		}
		said := p.body
		if begins && !sure && strings.ContainsFunc(before, letter) { // the line's first answer, and something is said before it
			said = " change: " + before + line[first.from:p.to] + p.body
		} else if head != "" && !sure && okForm(said) { // it is shown what may be a name
			said = " change: " + strings.TrimLeft(line[:p.to], "> |") + p.body
		} else if doubt && okForm(said) {
			said, clear = " change: "+line[from:p.to]+p.body, false
		}
		r.said(same, said, number, clear)
		if a := &r.list[len(r.list)-1]; begins && sender && r.strange(who) && !a.OK && a.Change != "" { // what was taken for a name may be a part of it
			for i := len(r.list) - r.group; i < len(r.list); i++ {
				r.list[i].Change = strings.TrimLeft(line[:p.to], "> |") + p.body
			}
		}
		if m := answerForm.FindStringSubmatch(said); m != nil && !r.asked { // "BO-1 ok, forget the text"
			if text, _ := retracts(strings.TrimLeft(m[3], ",;:.!- ")); text {
				r.takeTextsBack(r.sayer, number, strings.TrimSpace(r.words(line)), same...)
			}
		}
		if !r.list[len(r.list)-1].OK {
			r.tellLeft(number, line, p.body, same)
		}
		if r.unclear = ""; doubt || !clear || open || r.headed || r.asked {
			r.unclear = line[from:p.to] + p.body
		}
		if !r.open || !r.bare() {
			r.headed = false
		}
		clear = clear && (r.list[len(r.list)-1].OK || ends.MatchString(p.body))
		r.aside(number, line, p.aside)
		same, begins = nil, false
	}
	if sender {
		r.meet(number, head, who, !slices.ContainsFunc(r.list[were:], func(a Answer) bool { return !a.OK }))
	}
	return true
}

// okForm reports whether what is said of a block is ok, and nothing else.
func okForm(body string) bool {
	m := answerForm.FindStringSubmatch(body)
	return m != nil && !strings.EqualFold(m[2], "change") && plainBehind.MatchString(m[3])
}

// said takes what is said of blocks, in a line behind their codes. Only where it is clear is an ok one.
func (r *reading) said(codes []string, said string, number int, clear bool) {
	a := Answer{File: r.file, Line: number, letter: r.letter, by: r.sayer}
	r.asked, r.own, r.measuring = false, nil, false
	r.part = func(a *Answer) *string { return &a.Change }
	if g := givenForm.FindStringSubmatch(said); g != nil && clear {
		a.Print = strings.ToLower(g[1])
		r.part = func(a *Answer) *string { return &a.Space }
		if r.measuring = !strings.EqualFold(g[2], "text"); !r.measuring {
			r.part = func(a *Answer) *string { return &a.Text }
		}
		*r.part(&a) = g[3]
	} else if m := answerForm.FindStringSubmatch(said); m != nil {
		a.Print = strings.ToLower(m[1])
		ok := !strings.EqualFold(m[2], "change")
		a.OK = clear && okForm(said)
		r.asked = !ok
		if a.Change = lead.ReplaceAllString(m[3], ""); ok { // "ok but for the date"
			a.Change = m[2] + " " + strings.TrimSpace(m[3])
		}
		if a.OK {
			a.Change = ""
		}
	} else {
		o := otherForm.FindStringSubmatch(said)
		a.Print, a.Change = strings.ToLower(o[1]), o[2]
	}
	r.open, r.closed, r.near = !a.OK, a.OK, true
	codes = r.bounded(codes, said, number)
	r.group = len(codes)
	for i, code := range codes {
		each := a
		if each.Code = code; i < len(codes)-1 {
			each.Print = "" // it is the last one's
		}
		r.list, r.last = append(r.list, each), append(r.last, number)
	}
}

// aside takes codes that are named in what is said of another block. They come before that one's answer, which may go on.
func (r *reading) aside(number int, line string, codes []named) {
	if len(codes) == 0 {
		return
	}
	before := line[:codes[0].from]
	begins := codes[0].beside || plainBefore.MatchString(before) || nameBefore.MatchString(before) || message.FindString(before) == before // nothing of it is copied: a line may name blocks at every turn
	said, all := r.cutOnce(strings.TrimSpace(r.words(line)))
	at := len(r.list) - r.group
	if r.own == nil {
		r.own = map[string]bool{}
		for i := range r.list[at:] {
			r.own[r.list[at+i].Code] = true
		}
	}
	already := map[string]int{} // named by this line, and where that is among the mentions
	for i, n := range codes {
		begins = begins && (i == 0 || n.ranged || joins.MatchString(line[codes[i-1].to:n.from]))
		for _, code := range n.all() {
			if r.known[code] && !r.own[code] {
				if n.beside && !r.mayMean(number) {
					continue
				}
				if i, again := already[code]; again { // the last naming counts
					r.mentions[i].begins = begins || r.mentions[i].left
					continue
				}
				already[code] = r.mention(mention{Answer{Code: code, Change: said, All: all, File: r.file, Line: number, Aside: true, begins: begins}, at})
			}
		}
	}
}

// putMentions puts what is named beside into its places in the list.
func (r *reading) putMentions() {
	slices.SortStableFunc(r.mentions, func(a, b mention) int { return a.before - b.before })
	if len(r.mentions) == 0 {
		return
	}
	n, next := len(r.list)+len(r.mentions), 0
	list, last := make([]Answer, 0, n), make([]int, 0, n)
	for i := range r.list {
		for ; next < len(r.mentions) && r.mentions[next].before <= i; next++ {
			list, last = append(list, r.mentions[next].Answer), append(last, r.mentions[next].Line)
		}
		list, last = append(list, r.list[i]), append(last, r.last[i])
	}
	r.list, r.last = list, last
}

// loose reads a line that no answer begins in or goes on with.
func (r *reading) loose(number int, line, said string) {
	if headOfMail.MatchString(line) && !r.near {
		r.closed = false
	}
	r.headed = r.headed || heads(line)
	said = strings.TrimLeft(said, "> |")
	words := strings.TrimLeft(r.words(line), "> |")
	text, ok := retracts(words)
	polite := politeLine.MatchString(words) && !reservation.MatchString(words) || deleted.MatchString(words)
	switch {
	case r.closed && !polite && (r.near || reservation.MatchString(line) || text && !r.list[len(r.list)-1].OK || ok && r.list[len(r.list)-1].OK):
		r.takeBack(number, said)
	case r.closed && r.near:
		code, what := r.list[len(r.list)-1].Code, "the ok of"
		if !r.list[len(r.list)-1].OK {
			what = "what is given for"
		}
		r.problems.Note(problem.Place{File: r.file}, fmt.Sprintf("line %d, below %s %s, is not read as an answer: %s", number, what, code, measure.Quote(line)), "",
			"if it asks for a change, write it behind the block’s code, as in "+code+": change: the date")
	case text && len(r.gave[r.sayer]) > 0 || ok && len(r.oks[r.sayer]) > 0: // is told as what is wanted
	default:
		r.unread = append(r.unread, unreadLine{number, line})
	}
	if ok {
		r.takeOkBack(r.sayer, number, said)
	}
	if text {
		r.takeTextsBack(r.sayer, number, said)
	}
}

// takeBack has a line below an ok make a wish of it, or of all that are in one line with it; a text that was given stays, with a wish beside it.
func (r *reading) takeBack(number int, line string) {
	last := &r.list[len(r.list)-1]
	if !last.OK {
		if gave := r.gave[r.sayer]; len(gave) > 0 && gave[len(gave)-1] == len(r.list)-1 {
			r.gave[r.sayer] = gave[:len(gave)-1]
		}
		print := last.Print // it is about the same row
		r.said([]string{last.Code}, " change: "+line, number, false)
		last = &r.list[len(r.list)-1]
		last.Print = print
		last.retracts, _ = retracts(line)
		return
	}
	r.group, r.own = 0, nil
	for i := len(r.list) - 1; i >= 0 && r.list[i].Line == last.Line; i-- {
		if a := &r.list[i]; a.OK {
			if a.OK, a.Change = false, "ok "+line; r.group == len(r.list)-1-i {
				r.group++
			}
			r.last[i] = number
		}
	}
	r.open, r.closed = true, false
}

// finish brings an answer into the form in which it counts; it ends in a line.
func (r *reading) finish(a *Answer, end int) {
	at := problem.Place{File: r.file}
	if text, whole := strings.CutSuffix(a.Text, textEnd); whole && strings.Contains(text, textEnd) { // lines were put together on the way, and what is behind may be another's
		a.Change, a.Text = "text (with more behind its end): "+strings.TrimSpace(text), ""
	} else if whole {
		lines := strings.Split(text, lineEnd)
		for k := range lines {
			lines[k] = strings.TrimSpace(lines[k])
		}
		a.Text = strings.Trim(strings.Join(lines, "\n"), "\n")
	} else if a.Text != "" {
		a.Change, a.Text = "text (whose end is missing): "+a.Text, ""
	}
	if strings.ContainsRune(a.Text+a.Space+a.Change, lostLetter) {
		r.problems.Note(at, fmt.Sprintf("letters of the answer in line %d were lost before it came here", a.Line),
			"they show as "+string(lostLetter)+"; a program on the way did not know them", "ask "+a.Code+"’s owner for the answer again")
		if a.Text != "" {
			a.Change, a.Text = "text (with lost letters): "+a.Text, ""
		}
	}
	if len(a.Space) > maxAnswer {
		a.Change, a.Space = "space: "+a.Space, ""
	}
	if a.Change != r.wish { // else it is that of the one before, which may be thousands of letters for thousands of blocks
		r.wish, r.plain = a.Change, strings.TrimSpace(a.Change[len(lead.FindString(a.Change)):])
	}
	a.Change = r.plain
	if len(a.Change) > maxAnswer && !a.Aside { // what is said beside is another's
		if long := (unreadLine{a.Line, a.Change}); long != r.long { // else it is the one before, of another block
			r.long = long
			r.cut, r.all = cut(a.Change)
			r.problems.Note(at, fmt.Sprintf("the answer for %s in %s is longer than can be shown", a.Code, lines(a.Line, end)), "", "read it in the file of answers")
		}
		a.Change, a.All = r.cut, r.all
	}
	if !a.OK && a.Change == "" && !a.gives() {
		a.Change = "(it does not say what)"
	}
}
