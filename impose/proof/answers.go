package proof

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"regexp"
	"slices"
	"strings"
	uni "unicode"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/table"
)

// Answer is what somebody said of a block: that it is right, or what to change, or the text or the space that was missing.
type Answer struct {
	Code   string
	Print  string // the fingerprint of the row that was looked at, or "" where somebody typed the line without one
	OK     bool
	Change string // what to change
	Text   string // for the row; only with a fingerprint
	Space  string // likewise
	File   string
	Line   int

	Taken *problem.Place // the row that the text or the space was put into, once it was
}

// gives reports an answer that gives a text or a space.
func (a *Answer) gives() bool { return a.Text != "" || a.Space != "" }

// Fingerprint stands for all that a row asks for, in eight hexadecimal digits. What the row leaves to the settings is not in
// it, so that a new configuration alone settles no wish for a change.
func Fingerprint(b *intake.Block, s *config.Settings) string {
	h := sha256.New()
	put := func(key string, v any) { fmt.Fprintf(h, "%s=%q\n", key, fmt.Sprint(v)) }
	put("title", b.Title)
	for _, p := range b.Text {
		for _, r := range p {
			fmt.Fprintf(h, "%q %v %v ", r.Text, r.Bold, r.Italic)
		}
		put("end of", "paragraph")
	}
	put("end", b.End)
	put("page", b.Page)
	put("space", b.Space)
	put("copies", b.Copies)
	put("turn", b.Turn)
	differs := func(key string, v, usual any) {
		if v != usual {
			put(key, v)
		}
	}
	stock, _ := s.Stock(b.Stock)
	differs("stock", b.Stock, s.Default)
	differs("tuck", b.Tuck, stock.Tuck)
	differs("font", b.Font, s.Type.Font)
	differs("largest", cmp.Or(b.Type.Wished, s.Type.Caption), s.Type.Caption)
	differs("align", b.Type.Align, s.Type.Align)
	differs("vertical", b.Type.Vertical, s.Type.Vertical)
	differs("ink", b.Type.Ink, s.Type.Ink)
	for _, wish := range intake.AddedWishes(b, s) { // so that a fingerprint on its way stays what it is
		put(wish[0], wish[1])
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// What people and their programs put before a block's code - signs of quoting, bullets, numbers of a list, brackets, "Block" - and behind it.
const (
	before = `(?:[\s>|*•·–—\[(-]|[0-9]{1,3}[.)]\s|(?:block|re:?)\s)*`
	behind = `[\s:,;\])*]+`
)

// A line of answers as the proof writes it - "MK-2 1f0c99ab change: spell Marie with ie" - and as mail and chat programs hand it on:
// behind signs of quoting, with other spaces, with another letter case. Without its fingerprint it still counts.
var (
	answerLine = regexp.MustCompile(`(?i)^` + before + `([a-z]{1,12}[-‐‑][0-9]{1,6})` + behind + `(?:([0-9a-f]{8})[\s:]+)?(ok|okay|change)\b[\s:.]*(.*)$`)
	// What the row lacked: "DO-2 5b0c99ab text: We rowed out. ¶¶", "DO-4 77aa01f3 space: 4 x 2 in".
	givenLine = regexp.MustCompile(`(?i)^[\s>|*•·–—-]*([a-z]{1,12}[-‐‑][0-9]{1,6})[\s:]+([0-9a-f]{8})[\s:]+(text|space):\s*(.*)$`)
	// What somebody answers in other words - "MK-2: not ok" - is a wish for a change: only what says ok is approved.
	otherLine = regexp.MustCompile(`(?i)^` + before + `([a-z]{1,12}[-‐‑][0-9]{1,6})(?:[\s:]+([0-9a-f]{8}))?` + behind + `()(.*)$`)
	// A colon behind the code begins an answer of its own, also below one that may go on.
	colonLine = regexp.MustCompile(`(?i)^` + before + `[a-z]{1,12}[-‐‑][0-9]{1,6}[\])*]*\s*:`)
	refusal   = regexp.MustCompile(`(?i)^(not|no|nok|wrong)\b`)
	// What takes an ok back in the line below it - "MK-2 ok", "but please change the date".
	reservation = regexp.MustCompile(`(?i)\b(change[ds]?|but|except|instead|unless|only|not|wrong|please)\b`)
	frameLine   = regexp.MustCompile(`(?i)^[\s>|*]*(tuckmark answers\b|end of answers\b)`)
)

// maxAnswer is how much of a wish for a change is kept, in bytes; no more is shown than helps.
const maxAnswer = 1000

// maxText is how long a text that is given may be, in bytes: more than a cell may hold.
const maxText = 100_000

// A text that is given has a sign where a line ends, since mail breaks lines elsewhere, and two at its end: without them a part of it
// may have been left behind.
const (
	lineEnd = "¶"
	textEnd = lineEnd + lineEnd
)

const lostLetter = '\uFFFD' // stands for one

// ReadAnswers reads answers as people send them, from a file with any other text around them. A line that follows a wish for a
// change, up to a blank line or the next answer, belongs to it: mail breaks long lines. A file in an old encoding is read as a table
// of commas in it is, with a note. A line below an ok that has a reservation makes it a wish, any other is told. A text in which a letter was lost on its way is not taken as one, but is a wish for a change. The one
// error is that there is no answer at all.
func ReadAnswers(file string, data []byte) ([]Answer, problem.List) {
	text, note, ok := table.ReadText(file, data, "UTF-8")
	if !ok {
		return nil, problem.List{{Place: problem.Place{File: file}, What: "the file is no text", Cause: "it may be damaged, or made by a program that writes no plain text",
			Hint: "copy the answers from the proof with its button, paste them into a text file and save it"}}
	}
	var problems problem.List
	if note != nil {
		problems = append(problems, *note)
	}
	text = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n").Replace(text)
	var list []Answer
	part := func(a *Answer) *string { return &a.Change } // of the last answer, which
	open := false                                        // may go on
	below := false                                       // an ok
	for i, line := range strings.Split(text, "\n") {
		line = strings.Join(strings.Fields(line), " ")
		m := answerLine.FindStringSubmatch(line)
		if o := otherLine.FindStringSubmatch(line); m == nil && o != nil && (!open || o[2] != "" || refusal.MatchString(o[4]) || colonLine.MatchString(line)) {
			m = o
		}
		switch g := givenLine.FindStringSubmatch(line); {
		case g != nil:
			list = append(list, Answer{Code: codeOf(g[1]), Print: strings.ToLower(g[2]), File: file, Line: i + 1})
			part = func(a *Answer) *string { return &a.Space }
			if strings.EqualFold(g[3], "text") {
				part = func(a *Answer) *string { return &a.Text }
			}
			*part(&list[len(list)-1]) = g[4]
			open, below = true, false
		case m != nil:
			a := Answer{Code: codeOf(m[1]), Print: strings.ToLower(m[2]), File: file, Line: i + 1}
			ok := strings.HasPrefix(strings.ToLower(m[3]), "ok")
			a.OK = ok && !strings.ContainsFunc(m[4], letter)
			if a.Change = m[4]; ok && !a.OK { // "ok but for the date"
				a.Change = m[3] + " " + m[4]
			}
			part = func(a *Answer) *string { return &a.Change }
			open, below = !a.OK, a.OK
			if a.OK {
				a.Change = ""
			}
			list = append(list, a)
		case frameLine.MatchString(line) || strings.Trim(line, "> |") == "":
			open, below = false, false
		case below && reservation.MatchString(line):
			a := &list[len(list)-1]
			a.OK, a.Change = false, "ok "+strings.TrimLeft(line, "> |")
			open, below = true, false
		case below && strings.ContainsFunc(line, letter):
			problems.Note(problem.Place{File: file}, fmt.Sprintf("line %d, below the ok of %s, is not read as an answer: %s", i+1, list[len(list)-1].Code, measure.Quote(line)), "",
				"if it asks for a change, write it behind the block’s code, as in "+list[len(list)-1].Code+": change: the date")
			below = false
		case open:
			said := part(&list[len(list)-1])
			*said = strings.TrimSpace(*said + " " + strings.TrimLeft(line, "> |"))
		}
		if open {
			a := &list[len(list)-1]
			open = len(a.Change) <= maxAnswer && len(a.Space) <= maxAnswer && len(a.Text) <= maxText && !strings.HasSuffix(a.Text, textEnd)
		}
	}
	for i := range list {
		a := &list[i]
		if text, whole := strings.CutSuffix(a.Text, textEnd); whole {
			lines := strings.Split(text, lineEnd)
			for k := range lines {
				lines[k] = strings.TrimSpace(lines[k])
			}
			a.Text = strings.Trim(strings.Join(lines, "\n"), "\n")
		} else if a.Text != "" {
			a.Change, a.Text = "text (whose end is missing): "+a.Text, ""
		}
		if strings.ContainsRune(a.Text+a.Space+a.Change, lostLetter) {
			problems.Note(problem.Place{File: file}, fmt.Sprintf("letters of the answer in line %d were lost before it came here", a.Line),
				"they show as "+string(lostLetter)+"; a program on the way did not know them", "ask "+a.Code+"’s owner for the answer again")
			if a.Text != "" {
				a.Change, a.Text = "text (with lost letters): "+a.Text, ""
			}
		}
		if len(a.Space) > maxAnswer {
			a.Change, a.Space = "space: "+a.Space, ""
		}
		if len(a.Change) > maxAnswer {
			a.Change = strings.ToValidUTF8(a.Change[:maxAnswer], "") + "…"
		}
		if !a.OK && a.Change == "" && !a.gives() {
			a.Change = "(it does not say what)"
		}
	}
	if len(list) == 0 {
		problems.Add(problem.Place{File: file}, "there are no answers in this file", "no line begins with a block's code and ok or change",
			"copy the answers from the proof with its button, paste them into a text file and save it")
	}
	return list, problems
}

// codeOf is a block's code as it is written here: large, with a hyphen that phones put a longer-lasting one for.
func codeOf(s string) string {
	return strings.NewReplacer("‐", "-", "‑", "-").Replace(strings.ToUpper(s))
}

func letter(r rune) bool { return uni.IsLetter(r) || uni.IsDigit(r) }

// Outcome is what answers come to for the rows of a job.
type Outcome struct {
	Held     []intake.Held // blocks with a wish for a change whose rows are as they were
	Problems problem.List  // an error for each of these; notes on answers that no longer fit
	Approved int           // rows
	Given    int           // that got a text or a space from an answer, and no other answer since
	Wanted   int
	Open     int      // without an answer to the row as it is now
	Silent   []string // who has rows without an answer, in the order of the job
}

// asked are the rows that a proof asks about: blocks, and what was read of those that are held.
func asked(blocks []intake.Block, held []intake.Held) []*intake.Block {
	var out []*intake.Block
	for i := range blocks {
		out = append(out, &blocks[i])
	}
	for _, h := range held {
		if h.Read != nil && h.Code != "" {
			out = append(out, h.Read)
		}
	}
	return out
}

// Tally holds answers against blocks, and against rows that are held. Of several answers to the same row the last counts. An answer
// goes with its row: by code and fingerprint, and where the code has moved, since a row was put in above, by the fingerprint among
// the same person's rows. What gives a text or a space was put into its row before.
func Tally(list []Answer, blocks []intake.Block, held []intake.Held, s *config.Settings) Outcome {
	var o Outcome
	rows := asked(blocks, held)
	given := map[problem.Place]bool{}
	for i := range list {
		if at := list[i].Taken; at != nil {
			given[*at] = true
		}
	}
	said, stale := match(list, rows, s)
	for i, b := range rows {
		a := said[i]
		at := b.Place.OfRow()
		switch {
		case a == nil && given[at]:
			o.Given++
		case a == nil || a.OK && i >= len(blocks): // what cannot be printed cannot be approved
			o.Open++
			if !slices.Contains(o.Silent, b.Owner) {
				o.Silent = append(o.Silent, b.Owner)
			}
		case a.OK:
			o.Approved++
		default:
			o.Wanted++
			what := fmt.Sprintf("a change is wanted in %s: %s", b.Code, measure.Quote(a.Change))
			o.Held = append(o.Held, intake.Held{Place: at, Code: b.Code, Owner: b.Owner, Why: what})
			hint := "mend the row; if it is to stay as it is, take the line out of the answers"
			if a.Print == "" {
				hint = "mend the row, then take the line out of the answers: it does not say which text it was about"
			}
			o.Problems = append(o.Problems, problem.Problem{Place: at, What: what, Cause: fmt.Sprintf("%s, line %d, asks for it, and the row is as it was", a.File, a.Line),
				Hint: hint, Kind: problem.Wish})
		}
	}
	codes := map[string]*intake.Block{}
	for _, b := range rows {
		codes[b.Code] = b
	}
	for _, a := range stale {
		b := codes[a.Code]
		at := problem.Place{File: a.File}
		switch {
		case b == nil:
			o.Problems.Note(at, fmt.Sprintf("line %d answers for %s, which is not among the blocks", a.Line, a.Code),
				"the row is gone, or the answers are those of another job", "check that the answers belong to this job")
		case a.OK:
			o.Problems.Note(at, fmt.Sprintf("%s was changed after it was approved in line %d", a.Code, a.Line), "",
				"let "+b.Owner+" look at it again")
		default:
			o.Problems.Note(at, fmt.Sprintf("%s was changed after line %d asked for it: %s", a.Code, a.Line, measure.Quote(a.Change)), "",
				"let "+b.Owner+" look at it again")
		}
	}
	return o
}

// match finds for every row the answer that counts, or nil, and lists the answers to rows that are no longer so. An answer
// that a later one to the same code settles is not listed, nor one that gives a text or a space.
func match(list []Answer, rows []*intake.Block, s *config.Settings) (said []*Answer, stale []*Answer) {
	said = make([]*Answer, len(rows))
	if len(list) == 0 {
		return said, nil
	}
	where := placesOf(rows, s)
	settled := map[string]bool{} // codes
	var loose []*Answer
	for i := len(list) - 1; i >= 0; i-- { // the last counts
		a := &list[i]
		if a.gives() {
			continue
		}
		at, ok := where.exact[codeAndPrint{a.Code, a.Print}]
		if a.Print == "" {
			at, ok = where.byCode[a.Code]
		}
		switch {
		case !ok:
			loose = append(loose, a)
		case said[at] == nil:
			said[at] = a
			settled[a.Code] = true
		}
	}
	for _, a := range loose {
		found := false
		for _, at := range where.moved[codeAndPrint{letters(a.Code), a.Print}] {
			if found = said[at] == nil || said[at].Code == a.Code; found {
				if said[at] == nil {
					said[at] = a
				}
				break
			}
		}
		if !found && !settled[a.Code] {
			stale = append(stale, a)
			settled[a.Code] = true
		}
	}
	slices.Reverse(stale)
	return said, stale
}

// codeAndPrint is what answers are found by.
type codeAndPrint struct{ code, print string }

// places are where rows are found.
type places struct {
	exact  map[codeAndPrint]int
	byCode map[string]int
	moved  map[codeAndPrint][]int // by the letters of the code
}

func letters(code string) string { l, _, _ := strings.Cut(code, "-"); return l }

func placesOf(rows []*intake.Block, s *config.Settings) *places {
	p := &places{map[codeAndPrint]int{}, map[string]int{}, map[codeAndPrint][]int{}}
	for i, b := range rows {
		p.byCode[b.Code] = i
		p.add(i, b, s)
	}
	return p
}

// add has the row found by what it asks for now.
func (p *places) add(i int, b *intake.Block, s *config.Settings) {
	f := Fingerprint(b, s)
	p.exact[codeAndPrint{b.Code, f}] = i
	k := codeAndPrint{letters(b.Code), f}
	p.moved[k] = append(p.moved[k], i)
}
