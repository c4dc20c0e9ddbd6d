package findings

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"

	"tuckmark/cmd/internal/naming"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/account"
	"tuckmark/intake"
)

// Letter is what one person has to mend, ready to be sent.
type Letter struct {
	To     string // the person's name
	File   string // a name for it, safe on every system and unlike the others'
	Blocks int    // that it is about
	Text   string
}

const cannotYet = " of yours cannot be printed yet:\n"

// Letters writes to everybody who can mend something of their own. A block is named by its page and first words, not by a row of
// a table that its owner never saw.
func Letters(j *impose.Job) []Letter {
	v := newView(j)
	blocks := map[problem.Place]*intake.Block{}
	for i := range j.Blocks {
		blocks[j.Blocks[i].Place.OfRow()] = &j.Blocks[i]
	}
	for _, h := range j.Held {
		if h.Read != nil {
			blocks[h.Place.OfRow()] = h.Read
		}
	}
	var people []string
	theirs := map[string][]problem.Place{}
	wrong := map[problem.Place]problem.List{}
	for _, p := range j.Problems {
		who := v.person(&p)
		if p.Severity != problem.Error || p.Kind != problem.OfRow || p.Place.Row == 0 || who == "" {
			continue
		}
		if theirs[who] == nil {
			people = append(people, who)
		}
		at := p.Place.OfRow()
		if wrong[at] == nil {
			theirs[who] = append(theirs[who], at)
		}
		wrong[at] = append(wrong[at], p)
	}
	slices.Sort(people)
	var out []Letter
	files := naming.Distinct(people, strings.TrimSuffix(ListFile, ".txt"))
	for i, who := range people {
		n := len(theirs[who])
		var b strings.Builder
		fmt.Fprintf(&b, "%s%s"+cannotYet, greeting(who), problem.Count(n, "block"))
		for _, at := range theirs[who] {
			b.WriteString("\n" + called(blocks[at]) + "\n")
			for _, p := range wrong[at] {
				b.WriteString("    " + p.Sentences(v.Input.As(p.Place)) + "\n")
			}
		}
		b.WriteString("\nPlease answer this message with what is missing.\n")
		out = append(out, Letter{who, files[i] + ".txt", n, problem.Plain(b.String())})
	}
	return out
}

// What of letters is shown where they are not written into files.
const (
	mostLetters = 20 // one screen after another would hide what is said before and after them
	mostLines   = 40 // of a letter
)

// Shown is the letters as a terminal shows them. What is left out is said, with how to have it.
func Shown(list []Letter) (lines []string) {
	const all = "--letters FOLDER writes all into files"
	for i, l := range list {
		lines = append(lines, "")
		if i == mostLetters {
			return append(lines, fmt.Sprintf("%d more %s something to mend: %s.", len(list)-i, problem.Noun(len(list)-i, "person has|people have"), all))
		}
		text := strings.Split(strings.TrimSpace(l.Text), "\n")
		if len(text) <= mostLines+2 {
			lines = append(lines, text...)
			continue
		}
		lines = append(append(lines, text[:mostLines]...), fmt.Sprintf("... and %d lines more to %s: %s.", len(text)-mostLines, l.To, all))
	}
	return lines
}

// greeting begins a letter.
func greeting(to string) string { return hello + to + ",\n\n" }

const hello = "Hello "

// ListFile is the name of the list beside the letters.
const ListFile = "list.txt"

// List is whom to write to, with the name of each letter.
func List(letters []Letter) string {
	var b strings.Builder
	for _, l := range letters {
		fmt.Fprintf(&b, "%s: %s, %s\n", problem.Line(l.To), problem.Count(l.Blocks, "block"), l.File)
	}
	return b.String()
}

var listLine = regexp.MustCompile(`^[^\n]+: [0-9]+ blocks?, [^\n/]+\.txt\n`)

// IsOurs reports whether a text is a letter, or the list of them, as an earlier check wrote it: nothing that people put into the folder themselves.
func IsOurs(text []byte) bool {
	return len(text) == 0 || bytes.HasPrefix(text, []byte(hello)) && bytes.Contains(text, []byte(cannotYet)) || listLine.Match(text)
}

// People are all who have a row in the job, in the order of their names.
func People(j *impose.Job) []string {
	var names []string
	for i := range j.Blocks {
		names = append(names, j.Blocks[i].Owner)
	}
	for _, h := range j.Held {
		if h.Owner != "" {
			names = append(names, h.Owner)
		}
	}
	slices.Sort(names)
	return slices.Compact(names)
}

// BlocksOf counts the blocks of a person that are set, and those that are held back; "" is everybody.
func BlocksOf(j *impose.Job, person string) (set, held int) {
	for i := range j.Typeset {
		if person == "" || j.Typeset[i].Block.Owner == person {
			set++
		}
	}
	for i := range j.Plan.Held {
		if person == "" || j.Plan.Held[i].Owner == person {
			held++
		}
	}
	return set, held
}

// PersonNamed is the name of a person of the job as it is written there, whatever the letter case; "" is everybody.
func PersonNamed(j *impose.Job, typed string) (string, error) {
	if typed == "" {
		return "", nil
	}
	names := People(j)
	for _, name := range names {
		if strings.EqualFold(strings.TrimSpace(typed), name) {
			return name, nil
		}
	}
	said := fmt.Sprintf("nobody in the job is called %s", measure.Quote(typed))
	if near := config.Near(typed, names); near != "" {
		said += "; did you mean " + near + "?"
	}
	return "", errors.New(said)
}

// called is how its owner knows a block.
func called(b *intake.Block) string {
	if b == nil {
		return "A block"
	}
	var parts []string
	if words := account.Begins(b); words != "" {
		if len(strings.Fields(words)) < len(strings.Fields(b.Title+" "+b.Markup())) {
			words += " …"
		}
		parts = append(parts, "“"+words+"”")
	} else {
		parts = append(parts, "The block without a text")
	}
	if b.Page != "" {
		parts = append(parts, "page "+b.Page)
	}
	if b.Code != "" {
		parts = append(parts, b.Code)
	}
	return strings.Join(parts, ", ")
}

// mostCodes is how many blocks are named in one line.
const mostCodes = 12

// ForOrganiser is what nobody else can mend, a line each: files, headings, rows without a name, paper.
func ForOrganiser(ctx context.Context, j *impose.Job) []string {
	v := newView(j)
	short := map[string]bool{}
	var out []string
	for _, s := range j.Shortages(ctx) {
		if s.Sheets <= 0 {
			continue
		}
		short[s.Stock] = true
		out = append(out, fmt.Sprintf("%s of “%s” %s needed, or hold back %s", s.Words(), s.Stock, problem.Noun(s.Sheets, "is|are"), problem.And(problem.Few(s.Codes, mostCodes))))
	}
	stock := map[problem.Place]string{}
	for i := range j.Blocks {
		stock[j.Blocks[i].Place.OfRow()] = j.Blocks[i].Stock
	}
	return append(out, v.lines(func(p *problem.Problem) bool {
		switch {
		case p.Severity != problem.Error:
			return false
		case p.Kind == problem.ForOrganiser:
			return !short[stock[p.Place.OfRow()]]
		case p.Kind == problem.Wish:
			return true
		}
		return p.Place.Row == 0 || v.person(p) == ""
	})...)
}
