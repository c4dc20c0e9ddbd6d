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

	"golang.org/x/text/encoding/unicode"
	"golang.org/x/text/transform"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Answer is what somebody said of a block: that it is right, or what to change.
type Answer struct {
	Code   string
	Print  string // the fingerprint of the row that was looked at, or "" where somebody typed the line without one
	OK     bool
	Change string // what to change, unless it is right
	File   string
	Line   int
}

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
	for _, wish := range intake.Added(b, s) { // so that a fingerprint on its way stays what it is
		put(wish[0], wish[1])
	}
	return hex.EncodeToString(h.Sum(nil)[:4])
}

// A line of answers as the proof writes it - "MK-2 1f0c99ab change: spell Marie with ie" - and as mail and chat programs hand it on:
// behind signs of quoting, with other spaces, with another letter case. Without its fingerprint it still counts.
var (
	answerLine = regexp.MustCompile(`(?i)^[\s>|*•·–—-]*([a-z]{1,12}-[0-9]{1,6})[\s:]+(?:([0-9a-f]{8})[\s:]+)?(ok|okay|change)\b[\s:.]*(.*)$`)
	// What somebody answers in other words - "MK-2: not ok" - is a wish for a change: only what says ok is approved.
	otherLine = regexp.MustCompile(`(?i)^[\s>|*•·–—-]*([a-z]{1,12}-[0-9]{1,6})(?:[\s:]+([0-9a-f]{8}))?[\s:]+()(.*)$`)
	refusal   = regexp.MustCompile(`(?i)^(not|no|nok|wrong)\b`)
	frameLine = regexp.MustCompile(`(?i)^[\s>|*]*(tuckmark answers\b|end of answers\b)`)
)

// maxAnswer is how much of a wish for a change is kept, in bytes; no more is shown than helps.
const maxAnswer = 1000

// ReadAnswers reads answers as people send them, from a file with any other text around them. A line that follows a wish for a
// change, up to a blank line or the next answer, belongs to it: mail breaks long lines. The one error is that there is no
// answer at all.
func ReadAnswers(file string, data []byte) ([]Answer, problem.List) {
	text := strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u2028", "\n", "\u2029", "\n").Replace(decode(data))
	var list []Answer
	open := false // the last answer may go on
	for i, line := range strings.Split(text, "\n") {
		line = strings.Join(strings.Fields(strings.ToValidUTF8(line, "\uFFFD")), " ")
		m := answerLine.FindStringSubmatch(line)
		if o := otherLine.FindStringSubmatch(line); m == nil && o != nil && (!open || o[2] != "" || refusal.MatchString(o[4])) {
			m = o
		}
		switch {
		case m != nil:
			a := Answer{Code: strings.ToUpper(m[1]), Print: strings.ToLower(m[2]), File: file, Line: i + 1}
			ok := strings.HasPrefix(strings.ToLower(m[3]), "ok")
			a.OK = ok && !strings.ContainsFunc(m[4], letter)
			if a.Change = m[4]; ok && !a.OK { // "ok but for the date"
				a.Change = m[3] + " " + m[4]
			}
			open = !a.OK
			if a.OK {
				a.Change = ""
			}
			list = append(list, a)
		case frameLine.MatchString(line) || strings.Trim(line, "> |") == "":
			open = false
		case open:
			a := &list[len(list)-1]
			a.Change = strings.TrimSpace(a.Change + " " + strings.TrimLeft(line, "> |"))
		}
		if open {
			a := &list[len(list)-1]
			if len(a.Change) > maxAnswer {
				a.Change = strings.ToValidUTF8(a.Change[:maxAnswer], "") + "…"
				open = false
			}
		}
	}
	for i := range list {
		if !list[i].OK && list[i].Change == "" {
			list[i].Change = "(it does not say what)"
		}
	}
	var problems problem.List
	if len(list) == 0 {
		problems.Add(problem.Place{File: file}, "there are no answers in this file", "no line begins with a block's code and ok or change",
			"copy the answers from the proof with its button, paste them into a text file and save it")
	}
	return list, problems
}

func letter(r rune) bool { return uni.IsLetter(r) || uni.IsDigit(r) }

// decode is a text file as text: UTF-8 or UTF-16 with its mark, else UTF-8.
func decode(data []byte) string {
	out, _, err := transform.Bytes(unicode.BOMOverride(unicode.UTF8.NewDecoder()), data)
	if err != nil {
		return string(data)
	}
	return string(out)
}

// Outcome is what answers come to for the blocks of a job.
type Outcome struct {
	Held     []intake.Held // blocks with a wish for a change whose rows are as they were
	Problems problem.List  // an error for each of these; notes on answers that no longer fit
	Approved int           // rows
	Wanted   int
	Open     int      // without an answer to the row as it is now
	Silent   []string // who has blocks without an answer, in the order of the job
}

// Tally holds answers against blocks. Of several answers to the same row the last counts. An answer goes with its row: by
// code and fingerprint, and where the code has moved, since a row was put in above, by the fingerprint among the same person's rows.
func Tally(list []Answer, blocks []intake.Block, s *config.Settings) Outcome {
	var o Outcome
	said, stale := match(list, blocks, s)
	for i := range blocks {
		b := &blocks[i]
		a := said[i]
		at := b.Place.OfRow()
		switch {
		case a == nil:
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
			o.Problems.Add(at, what, fmt.Sprintf("%s, line %d, asks for it, and the row is as it was", a.File, a.Line), hint)
		}
	}
	codes := map[string]*intake.Block{}
	for i := range blocks {
		codes[blocks[i].Code] = &blocks[i]
	}
	for _, a := range stale {
		b := codes[a.Code]
		at := problem.Place{File: a.File}
		switch {
		case b == nil:
			o.Problems.Note(at, fmt.Sprintf("line %d answers for %s, which is not among the blocks", a.Line, a.Code),
				"the row is gone or cannot be printed, or the answers are those of another job", "check that the answers belong to this job")
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

// match finds for every block the answer that counts, or nil, and lists the answers to rows that are no longer so. An answer
// that a later one to the same code settles is not listed.
func match(list []Answer, blocks []intake.Block, s *config.Settings) (said []*Answer, stale []*Answer) {
	said = make([]*Answer, len(blocks))
	if len(list) == 0 {
		return said, nil
	}
	type key struct{ code, print string }
	letters := func(code string) string { l, _, _ := strings.Cut(code, "-"); return l }
	exact, byCode, moved := map[key]int{}, map[string]int{}, map[key][]int{}
	for i := range blocks {
		print := Fingerprint(&blocks[i], s)
		exact[key{blocks[i].Code, print}], byCode[blocks[i].Code] = i, i
		k := key{letters(blocks[i].Code), print}
		moved[k] = append(moved[k], i)
	}
	settled := map[string]bool{} // codes
	var loose []*Answer
	for i := len(list) - 1; i >= 0; i-- { // the last counts
		a := &list[i]
		at, ok := exact[key{a.Code, a.Print}]
		if a.Print == "" {
			at, ok = byCode[a.Code]
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
		for _, at := range moved[key{letters(a.Code), a.Print}] {
			if found = said[at] == nil || said[at].Code == a.Code; found {
				if said[at] == nil {
					said[at] = a
				}
				break
			}
		}
		if !found && !settled[a.Code] {
			stale = append([]*Answer{a}, stale...)
			settled[a.Code] = true
		}
	}
	return said, stale
}
