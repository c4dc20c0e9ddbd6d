package jobbook

import (
	"encoding/json"
	"fmt"
	"path/filepath"
	"strings"
	"unicode/utf16"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// The journal has the open questions. A workbook that is left without one, because it was sent to somebody or because a folder was cleared up, or that comes back
// from another desk, has them too, behind the trail of its state: the text that one of them asks about may stand nowhere else. What is read there is a
// stranger's: only what a question is about is taken, and its choices are those that such a question has.

// carried is what a workbook says of a question.
type carried struct {
	Kind   QuestionKind `json:"k,omitempty"`
	Sheet  Sheet        `json:"s,omitempty"`
	Row    string       `json:"r,omitempty"`
	Column string       `json:"c,omitempty"`
	Mine   string       `json:"m,omitempty"`
	Theirs string       `json:"t,omitempty"`
	Says   string       `json:"w,omitempty"`
}

const (
	carriedSign = "asked:" // begins a text of the state that has a question, or a part of one
	carriedEnd  = "."      // ends the last part, so that no space stands there
	carriedMore = ","      // ends the parts before it
	carriedPart = 30_000   // bytes in each, all of them ASCII: a cell holds 32,767
	mostCarried = 4 << 20  // bytes of all; the last questions are left out where there are more
	mostSays    = 2_000    // bytes of what a workbook held
)

// isCarried reports a text of a state that has a part of the questions.
func isCarried(text string) bool { return strings.HasPrefix(text, carriedSign) }

// carry is the open questions as a workbook has them. Those about columns and sheets are left out: all that they ask about stands in the rows; and what
// was only to be read by who has this desk.
func carry(questions []Question) (out []string) {
	all := 0
	for _, q := range questions {
		switch q.Kind {
		case ColumnGone, Renamed, SheetGone, Lost:
			continue
		}
		one, err := json.Marshal(carried{q.Kind, q.Sheet, q.Row, q.Column, q.Mine, q.Theirs, q.Says})
		rest := inASCII(string(one))
		if all += len(rest); err != nil || all > mostCarried {
			continue
		}
		for ; len(rest) > carriedPart; rest = rest[carriedPart:] {
			out = append(out, carriedSign+rest[:carriedPart]+carriedMore)
		}
		out = append(out, carriedSign+rest+carriedEnd)
	}
	return out
}

// inASCII is JSON in which every character that a cell or a program might treat in a way of its own is an escape: what is no ASCII, and the low line, which
// begins the escapes of workbooks.
func inASCII(text string) string {
	var out strings.Builder
	for _, r := range text {
		if r < 0x7f && r != '_' {
			out.WriteRune(r)
			continue
		}
		for _, unit := range utf16.AppendRune(nil, r) {
			fmt.Fprintf(&out, `\u%04x`, unit)
		}
	}
	return out.String()
}

// carriedBy are the questions that the state of a workbook has, and the copies beside it that they tell of. One that is damaged is left out.
func carriedBy(f *table.File) (asked []Question, aside []string) {
	var one strings.Builder
	all := 0
	for _, text := range f.State {
		text, is := strings.CutPrefix(text, carriedSign)
		if all += len(text); !is || all > 2*mostCarried {
			continue
		}
		part, more := strings.CutSuffix(text, carriedMore)
		one.WriteString(strings.TrimSuffix(part, carriedEnd))
		if more {
			continue
		}
		var c carried
		err := json.Unmarshal([]byte(one.String()), &c)
		one.Reset()
		if q, ok := c.question(); ok && err == nil {
			asked = append(asked, q)
			if q.Kind == SetAside {
				aside = append(aside, q.Column)
			}
		}
	}
	return asked, aside
}

// unasked are the questions that another desk has left open in its workbook and that are neither open here nor were answered here. A copy that one tells of lies
// beside that desk's workbook, and a row that one asks about and that is not here has no text that would be lost.
func (b *Book) unasked(f *table.File) (out []Question) {
	asked, _ := carriedBy(f)
	open := subjects(b.questions)
	answered := make(map[save.Digest]bool, len(b.answered))
	for _, d := range b.answered {
		answered[d] = true
	}
	for _, q := range asked {
		if q.Kind != SetAside && !open[q.subject()] && !answered[q.digest()] {
			out = append(out, q)
		}
	}
	return out
}

// question is what a workbook says of one, with the choices of its kind; false where there is none like it.
func (c *carried) question() (q Question, ok bool) {
	q = Question{Kind: c.Kind, Sheet: c.Sheet, Row: c.Row, Column: c.Column, Choices: []Choice{{Key: Keep}}}
	switch c.Kind {
	case Conflict:
		q.Mine, q.Theirs = tidy(c.Column, c.Mine), tidy(c.Column, c.Theirs)
		q.Choices = append(q.Choices, Choice{Key: Take, Changes: []Change{{Kind: Set, Sheet: c.Sheet, ID: c.Row, Column: c.Column, Text: q.Theirs}}})
		return q, c.Sheet < sheets && isID(c.Row) && isHeading(c.Column)
	case GoneThere, GoneHere, Copied:
		q.Choices = append(q.Choices, Choice{Key: Drop, Changes: []Change{{Kind: Remove, Sheet: c.Sheet, ID: c.Row}}})
		return q, c.Sheet < sheets && isID(c.Row) && c.Column == ""
	case SetAside:
		q.Says = problem.Line(strings.ToValidUTF8(c.Says[:min(len(c.Says), mostSays)], ""))
		return q, c.Sheet == 0 && c.Row == "" && c.Column == filepath.Base(c.Column) && len(c.Column) < 256 && c.Column == problem.Line(c.Column)
	}
	return q, false
}
