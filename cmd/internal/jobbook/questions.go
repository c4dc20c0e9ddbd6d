package jobbook

import (
	"fmt"
	"hash/fnv"
	"maps"
	"slices"
	"strings"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Question is what only a person can settle. Until it is, the book has what the desk had.
type Question struct {
	ID           string       `json:"id"`
	Kind         QuestionKind `json:"kind"`
	Sheet        Sheet        `json:"sheet,omitempty"`
	Row          string       `json:"row,omitempty"`    // the id of the row that it is about
	Column       string       `json:"column,omitempty"` // the heading of the cell or column that it is about
	What         string       `json:"-"`                // in words
	Mine, Theirs string       `json:",omitempty"`       // what the desk has, and what the workbook had that another program wrote
	Says         string       `json:"says,omitempty"`   // of SetAside and Lost: what the workbook held
	Left         bool         `json:"left,omitempty"`   // of Conflict: the other text was typed on a page of the desk, which was left before it could be taken
	At           Revision     `json:"at,omitempty"`     // of the state that it was asked in
	Shown        string       `json:"-"`                // by which it is known whether what it is about has changed since somebody read it
	Choices      []Choice     `json:"choices"`
}

// QuestionKind is what a question is about.
type QuestionKind uint8

// The kinds of questions, and their choices.
const (
	Conflict   QuestionKind = iota // a cell was changed at the desk and in the workbook: Keep the desk's, or Take the workbook's
	GoneThere                      // a row of the desk is no longer in the workbook: Keep it, or Drop it
	GoneHere                       // a row was removed at the desk and changed in the workbook, and is back: Keep it, or Drop it
	Copied                         // a row was copied in the workbook, as it is: Keep the copy, or Drop it
	ColumnGone                     // a column is no longer in the workbook: Keep its cells, or Drop them
	Renamed                        // a column seems to be called otherwise in the workbook, and is read as what it was: Keep it so, or read it Apart
	SheetGone                      // a whole sheet is no longer in the workbook: its rows are kept
	SetAside                       // a workbook held what the desk does not take, and all of it is kept as the file Column
	Lost                           // a workbook had what the book does not take: Says tells what and where
)

// Choice is an answer, and what it changes.
type Choice struct {
	Key     string   `json:"key"`
	Says    string   `json:"-"` // in words
	Changes []Change `json:"changes,omitempty"`
}

// The keys of choices.
const (
	Keep  = "keep"
	Take  = "take"
	Drop  = "drop"
	Apart = "apart"
)

// subject is what a question is about. Each text that lost a cell to what the desk has is asked about by itself.
type subject struct {
	kind                QuestionKind
	sheet               Sheet
	row, column, theirs string
}

func (q *Question) subject() subject {
	about := subject{kind: q.Kind, sheet: q.Sheet, row: q.Row, column: q.Column}
	switch q.Kind {
	case Conflict:
		about.theirs = q.Theirs
	case Lost:
		about.theirs = q.Says
	}
	return about
}

// Questions are those that are open, in the order in which they came up. What is asked of a cell goes by what stands in it now, and is nothing while that
// is the other text; nor is what is asked of a row while that is gone.
func (b *Book) Questions() (out []Question) {
	b.mu.Lock()
	defer b.mu.Unlock()
	for _, q := range b.questions {
		if i := b.rowOf(q); q.Kind == Conflict && i >= 0 {
			if q.Mine = b.now.Rows[q.Sheet][i].Cells[q.Column]; q.Mine == q.Theirs {
				continue
			}
		}
		if (q.Kind == GoneThere || q.Kind == GoneHere || q.Kind == Copied) && b.rowOf(q) < 0 { // until it is brought back
			continue
		}
		b.word(&q)
		q.Shown = b.standing(&q)
		out = append(out, q)
	}
	return out
}

// word puts a question into words.
func (b *Book) word(q *Question) {
	row := b.called(q.Sheet, q.Row)
	says := map[string]string{Keep: "keep it", Drop: "remove it"}
	switch q.Kind {
	case Conflict:
		q.What = fmt.Sprintf("%s was changed here and in another program: %s", q.Column, row)
		says = map[string]string{Keep: "keep what is here", Take: "take the other"}
		if q.Left {
			q.What = fmt.Sprintf("%s was typed on a page that was left before it could be taken, and somebody else has changed it since: %s", q.Column, row)
			if len(q.Choices) == 1 {
				q.What = fmt.Sprintf("%s was typed on a page that was left, and no cell can hold it: %s. Copy it from here, and type less", q.Column, row)
			}
		}
	case GoneThere:
		q.What = "another program has removed a row that is here: " + row
	case GoneHere:
		q.What = "a row was removed here, and another program has changed it since, or put it back: " + row
	case Copied:
		q.What = "a row was copied in another program, and both would be printed: " + row
		says[Keep] = "keep both"
		says[Drop] = "remove the copy"
	case ColumnGone:
		q.What = fmt.Sprintf("another program has removed the column %s", measure.Quote(q.Column))
		says = map[string]string{Keep: "keep what was in it", Drop: "empty it here as well"}
	case Renamed:
		q.What = fmt.Sprintf("the column %s seems to be called %s now, and was read as that", measure.Quote(q.Column), measure.Quote(q.Theirs))
		says = map[string]string{Keep: "it is the same", Apart: "it is another column"}
	case SheetGone:
		q.What = fmt.Sprintf("another program has removed the sheet %s, or its headings; its rows are kept", q.Sheet)
		says = map[string]string{Keep: "good"}
	case SetAside:
		q.What = fmt.Sprintf("the workbook that another program saved held what the desk does not keep: %s. That workbook is kept whole, beside this one, as %s. What is to stay in a workbook belongs in one of its own: the desk writes this one anew",
			q.Says, q.Column)
		says = map[string]string{Keep: "seen"}
	case Lost:
		q.What = q.Says
		says = map[string]string{Keep: "seen"}
	}
	q.Choices = slices.Clone(q.Choices)
	for i := range q.Choices {
		q.Choices[i].Says = says[q.Choices[i].Key]
	}
}

// standing is a sum of what stands in the cell or row that a question is about.
func (b *Book) standing(q *Question) string {
	i := b.rowOf(*q)
	if i < 0 {
		return ""
	}
	cells := b.now.Rows[q.Sheet][i].Cells
	sum := fnv.New64a()
	for _, c := range slices.Sorted(maps.Keys(cells)) {
		if q.Kind != Conflict || c == q.Column {
			fmt.Fprintf(sum, "%q%q", c, cells[c])
		}
	}
	return fmt.Sprintf("%x", sum.Sum64())
}

// rowOf is the index of the row that a question is about, or -1.
func (b *Book) rowOf(q Question) int {
	if q.Sheet >= sheets { // a journal may say anything
		return -1
	}
	return find(b.now.Rows[q.Sheet], q.Row)
}

// called is what a row can be told by.
func (b *Book) called(s Sheet, id string) string {
	if s >= sheets {
		return ""
	}
	i := find(b.now.Rows[s], id)
	if i < 0 {
		return "a row that is gone"
	}
	c := b.now.Rows[s][i].Cells
	if s == Paper {
		return strings.Join(slices.DeleteFunc([]string{c["Stock"], c["Width"], c["Height"]}, func(t string) bool { return t == "" }), ", ")
	}
	var parts []string
	for _, t := range []string{b.codes[id], c["Name"], c["Page"]} {
		if t != "" {
			parts = append(parts, t)
		}
	}
	if text := c["Journaling"]; text != "" {
		parts = append(parts, measure.Quote(text))
	}
	return strings.Join(parts, ", ")
}

// Answer settles a question, which is a step of its own also where it leaves all as it is: what was kept by a slip is asked again by Undo. Key is that of
// one of its choices, and shown what the question had as Shown when it was read, "" where it was read just now. What was done to the rows meanwhile stays: a
// change to a row that is gone is not made, a text whose row is gone is not taken, and what somebody typed since the question was read is not replaced or removed:
// it is asked about on. Errors are as with Do.
func (b *Book) Answer(question, key, shown string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return closed()
	}
	i := slices.IndexFunc(b.questions, func(q Question) bool { return q.ID == question })
	if i < 0 {
		return &problem.Problem{What: "the question is settled already"}
	}
	q := b.questions[i]
	c := slices.IndexFunc(q.Choices, func(c Choice) bool { return c.Key == key })
	if c < 0 {
		return &problem.Problem{What: "the question has no such answer", Hint: "choose one of those that it has"}
	}
	if key == Take && b.rowOf(q) < 0 {
		return &problem.Problem{What: "the row that the text belongs to is gone", Hint: "bring the row back by Undo, or by Earlier, and take the text then; or copy it, and keep what is here"}
	}
	if shown != "" && len(q.Choices[c].Changes) > 0 && shown != b.standing(&q) {
		return &problem.Problem{What: "somebody has typed there since this was read, and the answer would take that away", Hint: "read what stands there now, and answer again"}
	}
	changes := b.now.possible(b.asAsked(&q, q.Choices[c].Changes))
	if key == Take && len(changes) == 0 {
		return &problem.Problem{What: "no cell can hold the text", Hint: "copy it, and keep what is here"}
	}
	after, back, why := b.now.apply(changes)
	if why != nil {
		return why // cannot happen: they were made one by one
	}
	b.questions = slices.Delete(slices.Clone(b.questions), i, i+1)
	b.answered = noted(b.answered, q)
	b.now = after
	made := b.history.add(step{Kind: did, Changes: changes, Settled: []Question{q}, back: back})
	b.tell(Event{Kind: Asked})
	return b.log(record{Closed: []string{q.ID}, Step: &made})
}

// AskLeft asks about texts that somebody typed in cells of a row on a page that nobody looks at any more, and that could not be taken: somebody else has written
// there meanwhile, or the row is gone, or they are more than a cell can hold.
func (b *Book) AskLeft(sheet Sheet, id string, cells map[string]string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	if b.closed {
		return
	}
	var asked []Question
	for _, column := range slices.Sorted(maps.Keys(cells)) {
		text := tidy(column, cells[column])
		q := Question{Kind: Conflict, Left: true, Sheet: sheet, Row: id, Column: column, Theirs: text, Choices: []Choice{{Key: Keep}}}
		take := []Change{{Kind: Set, Sheet: sheet, ID: id, Column: column, Text: text}}
		i := b.rowOf(q)
		if i >= 0 {
			q.Mine = b.now.Rows[sheet][i].Cells[column]
		}
		if text == q.Mine || !b.now.has(sheet, column) {
			continue
		}
		if fits := (&state{}).possible(append([]Change{{Kind: Insert, Sheet: sheet, ID: id}}, take...)); len(fits) == 2 {
			q.Choices = append(q.Choices, Choice{Key: Take, Changes: take})
		}
		asked = append(asked, q)
	}
	if len(asked) == 0 {
		return
	}
	fresh, closed := b.ask(asked)
	_ = b.log(record{Asked: fresh, Closed: closed}) // it has told what is wrong
	b.tell(Event{Kind: Asked})
}

// asAsked are the changes of an answer about a column, without those that empty a cell in which something was typed that the question is not about, or since it
// was asked: nobody has asked about that. The time alone would not do, since the same may be asked again after it was typed.
func (b *Book) asAsked(q *Question, changes []Change) []Change {
	if q.Sheet >= sheets || q.Kind != ColumnGone && q.Kind != Renamed {
		return changes
	}
	var was map[string]*Row
	if then, _ := b.at(q.At); then != nil {
		was = byID(then.Rows[q.Sheet])
	}
	is, m := byID(b.now.Rows[q.Sheet]), merger{sheet: q.Sheet}
	var out []Change
	for _, c := range changes {
		old, now := was[c.ID], is[c.ID]
		if c.Kind == Set && c.Text == "" && now != nil {
			if has := now.Cells[c.Column]; old != nil && old.Cells[c.Column] != has || c.Was != "" && !m.alike(c.Column, has, c.Was) {
				continue
			}
		}
		c.Was = ""
		out = append(out, c)
	}
	return out
}

// ask adds questions, in place of earlier ones about the same, and returns what the journal needs to know.
func (b *Book) ask(asked []Question) (fresh []Question, closed []string) {
	last := map[subject]int{} // of several about the same the last
	for i := range asked {
		last[asked[i].subject()] = i
	}
	closed = b.close(asked)
	for i, q := range asked {
		if last[q.subject()] == i {
			q.ID, q.At = NewID(), b.history.last
			fresh = append(fresh, q)
		}
	}
	b.questions = append(b.questions, fresh...)
	return fresh, closed
}

// close takes away the questions that are about the same as some, and returns their ids.
func (b *Book) close(settled []Question) (closed []string) {
	same := subjects(settled)
	b.questions = slices.DeleteFunc(slices.Clone(b.questions), func(o Question) bool {
		if same[o.subject()] {
			closed = append(closed, o.ID)
		}
		return same[o.subject()]
	})
	return closed
}

// subjects are what some questions are about.
func subjects(of []Question) map[subject]bool {
	out := make(map[subject]bool, len(of))
	for i := range of {
		out[of[i].subject()] = true
	}
	return out
}

// mostAnswered is how many questions a book knows to have been answered; the oldest go.
const mostAnswered = 2000

// noted are questions that were answered, by what they are about, and one more.
func noted(answered []save.Digest, q Question) []save.Digest {
	d := q.digest()
	if slices.Contains(answered, d) {
		return answered
	}
	return append(slices.Clone(answered[max(0, len(answered)+1-mostAnswered):]), d)
}

// digest is what a question is about, in little room.
func (q *Question) digest() save.Digest {
	s := q.subject()
	return save.DigestOf(fmt.Appendf(nil, "%d %d %q %q %q", s.kind, s.sheet, s.row, s.column, s.theirs))
}
