package proof

import (
	"fmt"
	"math/rand/v2"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/problem"
)

// correspondent writes answers as people and their programs might, each word of what is said another.
type correspondent struct {
	*rand.Rand
	words int
	lines []string
}

func (d *correspondent) word() string { d.words++; return fmt.Sprintf("w%dq", d.words) }

func (d *correspondent) one(of ...string) string { return of[d.IntN(len(of))] }

var knownCodes = map[string]bool{"MK-1": true, "MK-2": true, "MK-3": true, "AO-1": true, "A-12": true}

func (d *correspondent) code() string {
	c := d.one("MK-1", "MK-2", "MK-3", "AO-1", "A-12")
	switch d.IntN(8) {
	case 0:
		return strings.ToLower(c)
	case 1:
		return strings.Replace(c, "-", d.one("‑", "–", "−", "\u00ad-", "-\u2060"), 1)
	case 2:
		return strings.Replace(c, "-", "-0", 1)
	}
	return c
}

// said is what somebody says of a block; a part of it is often a word.
func (d *correspondent) said() string {
	w := d.word
	switch d.IntN(16) {
	case 0, 1, 2, 3:
		return d.one(" ok", ": ok", " 1f0c99ab ok", " OK!", ", okay.", "</td><td>ok</td>", " ok 👍")
	case 4:
		return d.one(" ok but ", " ok? ", " ok, ", " not ok ", " okay if ") + w()
	case 5:
		return d.one(" ok?", " ok :(", " ok ✗", " no ok", " ≠ ok")
	case 6:
		return " 1f0c99ab text: " + w() + d.one(" ¶ ", " ") + w() + d.one(" ¶¶", "", " ¶", " ¶¶ "+w())
	case 7:
		return " 1f0c99ab space: " + d.one("4 x 2 in", w())
	case 8:
		return d.one("", ":", " 1f0c99ab", " -")
	case 9:
		return d.one(" ", ": ", " - ", " = ", "/", "; ", ". ", "? ", " | ") + w()
	case 10:
		return " change: swap with " + d.code() + " " + w()
	case 11:
		return " change: " + w() + strings.Repeat(" and on", 1+d.IntN(300)) + " " + w()
	}
	return d.one(" change: ", " change ", ": Change. ", " 1f0c99ab change: ", " — change: ", "</td><td>change: ") + w() + " " + w()
}

func (d *correspondent) before() string {
	return d.one("", "", "", "", "> ", ">> ", "- ", "* ", "1. ", "2) ", "[", "(", "“", "**", "<p>", "<tr><td>", "<Ann> ", "<s>", "Ann> ", "12:04 ", "[12:04] Ann: ", "[27/11/2026, 12:04] Ann Lo: ", "# ", "27/11/2026, 12:04 - Ann Lo: ", "[12:04, 27/11/26] ~ Ann: ", "Ann: ", "Never: ", "12:04 - please wait: ", "12:04 - "+d.word()+": ", "[27/11/26, 12:04] "+d.word()+" larger: ", "[12:04] XX-9: ",
		"- [ ] ", "✗ ", "Block ", "For ", "not ", d.word()+" ", "\u200e", "\ufeff")
}

// letter writes some lines.
func (d *correspondent) letter() {
	add := func(s string) { d.lines = append(d.lines, s) }
	for range 2 + d.IntN(8) {
		switch d.IntN(14) {
		case 0, 1, 2, 3, 4, 5:
			add(d.before() + d.code() + d.said())
		case 6:
			add(d.before() + d.code() + d.said() + d.one("; ", ", ", " ", " / ", "<br>") + d.code() + d.said() + d.one("", "; "+d.code()+d.said()))
		case 7:
			add(d.before() + d.code() + d.one(", ", " and ", " & ", " to ", "/", " – ", " through ", "-", " … ") + d.one(d.code(), d.code(), "3", "3-4") + d.said())
		case 8:
			add("")
		case 9:
			add(d.one("but ", "Thanks ", "please ", "", "> ", "and ", "--", "12:04 - and ", "[12:04] Ann: ", "12:04 - Bo: ") + d.word() + d.one("", "", ": ok", ": "+d.word()))
		case 10:
			add(d.one("tuckmark answers: retreat", "end of answers", "> ", "---", "Thanks, Ann", "From: "+d.word(), "On 4 May "+d.word()+" wrote:"))
		case 11:
			add(d.one("change: ", "ok ", "1f0c99ab change: ", "text: ") + d.word())
		case 12:
			add(d.one("XX-9", "COVID-19", "MK 2", "mk3", "MK-2a", "MK-1-2") + d.said())
		case 13:
			add(d.word() + " " + d.code() + " " + d.word())
		}
	}
}

var (
	aWord      = regexp.MustCompile(`w[0-9]+q`)
	toldLines  = regexp.MustCompile(`\blines? ([0-9]+)(?: to ([0-9]+))?( on\b)?`)
	exactCode  = regexp.MustCompile(`\b(MK-[123]|AO-1|A-12)\b`)
	answerText = func(a Answer) string { return a.Change + " " + a.Text + " " + a.Space }
)

// told reports whether a message names a line.
func told(problems problem.List, number int) bool {
	for _, p := range problems {
		for _, m := range toldLines.FindAllStringSubmatch(p.What, -1) {
			from, _ := strconv.Atoi(m[1])
			to := from
			if m[2] != "" {
				to, _ = strconv.Atoi(m[2])
			}
			if number >= from && (number <= to || m[3] != "") {
				return true
			}
		}
	}
	return false
}

// TestEveryLineIsAccountedFor reads answers that were drawn at random: each word that somebody wrote is in an answer, or a message names
// its line; each code of the job has an answer in its line, or goes on with its own; and no ok has a doubt in its line or directly below it.
func TestEveryLineIsAccountedFor(t *testing.T) {
	n := longtests.Cases(200, 5000)
	oks := 0
	for i := range n {
		d := &correspondent{Rand: rand.New(rand.NewPCG(uint64(i), 27))}
		d.letter()
		text := strings.Join(d.lines, d.one("\n", "\r\n"))
		list, problems := ReadAnswers("a.txt", []byte(text), knownCodes)
		if len(list) == 0 {
			if problems.Errors() == 0 {
				t.Fatalf("drawing %d: no answer, and no error\n%s", i, text)
			}
			continue
		}
		for k, line := range d.lines {
			for _, w := range aWord.FindAllString(line, -1) {
				if !told(problems, k+1) && !slices.ContainsFunc(list, func(a Answer) bool { return strings.Contains(answerText(a), w) }) {
					t.Fatalf("drawing %d: nothing is said of %s in line %d\n%s\n%+v\n%v", i, w, k+1, text, list, problems)
				}
			}
			for _, m := range exactCode.FindAllStringSubmatchIndex(line, -1) {
				code := line[m[0]:m[1]]
				if m[1] < len(line) && strings.HasPrefix(line[m[1]:], "-") { // another
					continue
				}
				if !slices.ContainsFunc(list, func(a Answer) bool {
					return a.Code == code && (a.Line == k+1 || a.Line < k+1 && strings.Contains(strings.ToUpper(answerText(a)), code))
				}) && !told(problems, k+1) {
					t.Fatalf("drawing %d: no answer of %s in line %d\n%s\n%+v\n%v", i, code, k+1, text, list, problems)
				}
			}
		}
		for _, a := range list {
			if !a.OK {
				continue
			}
			oks++
			if regexp.MustCompile(`^(?:(not|For|w[0-9]+q|✗|- \[ \]|Ann:|Never:|12:04 - please wait:|12:04 - w[0-9]+q:|\[27/11/26, 12:04\] w[0-9]+q larger:|\[12:04\] XX-9:) |<s>)`).MatchString(d.lines[a.Line-1]) {
				t.Fatalf("drawing %d: %s is ok in %q", i, a.Code, d.lines[a.Line-1])
			}
			if own := regexp.MustCompile(regexp.QuoteMeta(a.Code) + ` ok[?,]? ?(:\(|✗|but|if|w[0-9])`); own.MatchString(d.lines[a.Line-1]) && strings.Count(d.lines[a.Line-1], a.Code) == 1 {
				t.Fatalf("drawing %d: %s is ok in %q", i, a.Code, d.lines[a.Line-1])
			}
			if a.Line < len(d.lines) && strings.HasSuffix(d.lines[a.Line-1], " ok") && strings.HasPrefix(d.lines[a.Line], "but ") {
				t.Fatalf("drawing %d: %s is ok above %q", i, a.Code, d.lines[a.Line])
			}
		}
	}
	if oks < n/4 {
		t.Errorf("only %d oks were read", oks)
	}
}
