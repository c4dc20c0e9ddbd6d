package printjob

import (
	"context"
	"fmt"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Front is what a session shows itself through, and asks: a terminal, or a page with buttons. Both functions are called from the
// goroutine that runs the session, one at a time.
type Front struct {
	Tell func(Event)
	// Ask waits for one of the question's answers, or for the end of the context. Nil: nobody is there, and all goes by itself.
	Ask func(context.Context, Question) (Answer, error)
}

// Event is something that happens in a session: Load, Sent, Waiting, Resumed, Ended, Before, Remark or Summary.
type Event interface {
	// Words are the event in lines for people.
	Words() []string
}

// Load says what to load, and how it lies.
type Load struct {
	Pages   []int
	Size    measure.Size // of a page, as it goes in
	What    string       // "load 1 piece of vellum, 4 x 7 in (leftover 2)"
	In      string       // the tray and the printer
	Lies    []string     // a drawing of letters, of one width; none: as the load before
	Caution string       // of the stock, once in a session
}

// Words are the load in lines for people.
func (l Load) Words() []string {
	out := []string{"", problem.Capital(PageWords(l.Pages)) + ": " + l.What + ".", "  In: " + l.In + "."}
	for _, line := range l.Lies {
		out = append(out, "  "+line)
	}
	if len(l.Lies) == 0 {
		out = append(out, "  It lies as the one before.")
	}
	if l.Caution != "" {
		out = append(out, "  Mind: "+l.Caution)
	}
	return out
}

// Sent says that a job went to a queue, and its number there.
type Sent struct {
	Pages []int
	Queue string
	Job   int
}

// Words are the sending in lines for people.
func (s Sent) Words() []string {
	return []string{fmt.Sprintf("  Sent to “%s” as job %d.", printable(s.Queue), s.Job)}
}

// Waiting says what holds the printer up, plainly.
type Waiting struct {
	Pages []int
	Why   []string
}

// Words are the delay in lines for people.
func (w Waiting) Words() []string {
	return []string{"  The printer waits: " + strings.Join(w.Why, "; ") + "."}
}

// Resumed says that what held the printer up is over.
type Resumed struct{ Pages []int }

// Words are the end of a delay in lines for people.
func (Resumed) Words() []string { return []string{"  The printer goes on."} }

// Ended says why a job ended before all of it was printed.
type Ended struct {
	Pages []int
	Why   []string
}

// Words are the end in lines for people.
func (e Ended) Words() []string {
	return []string{"  The job has ended: " + strings.Join(e.Why, "; ") + "."}
}

// Before says that pages were printed in an earlier session, and are left out.
type Before struct{ Pages []int }

// Words say so in lines for people.
func (b Before) Words() []string {
	return []string{problem.Capital(PageWords(b.Pages)) + ": printed before, and not printed again unless that is asked for (--again)."}
}

// Remark is anything else worth knowing.
type Remark string

// Words are the remark.
func (r Remark) Words() []string { return []string{string(r)} }

// Summary ends a session: what became of the pages that were asked for.
type Summary struct {
	Well    []int // came out well
	Doubt   []Sent
	Lingers []Sent   // how they came out is known, and CUPS may have them still
	Open    []int    // not printed yet
	Again   []int    // to be done again
	Codes   []string // of the blocks on those
	Redo    string   // the command that does them again; "" where no block is to be done again
	Stopped bool     // it was broken off
}

// Lingers is what to do about a job that could not be taken back.
func (s Sent) Lingers() string {
	return fmt.Sprintf("Not taken back: job %d (%s), which may still come out. Take it out of the computer's list of print jobs, or print again, which does so first where it can.", s.Job, PageWords(s.Pages))
}

// Words are the summary in lines for people.
func (s Summary) Words() []string {
	out := []string{""}
	if s.Stopped {
		out = append(out, "Stopped.")
	}
	if len(s.Well) > 0 {
		out = append(out, "Printed well: "+PageWords(s.Well)+".")
	}
	for _, d := range s.Doubt {
		out = append(out, fmt.Sprintf("In doubt: %s went to “%s” as job %d and may still come out, or be out already. Take the job out of the computer's list of print jobs if it is not to be printed.",
			PageWords(d.Pages), printable(d.Queue), d.Job))
	}
	for _, l := range s.Lingers {
		out = append(out, l.Lingers())
	}
	if len(s.Open) > 0 {
		out = append(out, "Not printed yet: "+PageWords(s.Open)+".")
	}
	switch {
	case len(s.Doubt) > 0:
		out = append(out, "To go on: look what came out, then give the same command again. It asks about what is in doubt, and sends nothing twice by itself.")
	case len(s.Open) > 0:
		out = append(out, "To go on: give the same command again.")
	}
	if len(s.Again) > 0 {
		out = append(out, "To be done again: "+PageWords(s.Again)+".")
	}
	if s.Redo != "" {
		out = append(out, "    "+s.Redo)
	}
	return out
}

// Question is what a session wants to know.
type Question struct {
	Kind    Kind
	Pages   []int
	Words   string
	Choices []Choice
	Usual   Answer // that is given where nobody chooses; "": there is none
}

// Choice is an answer that a question takes, and what to call it.
type Choice struct {
	Answer Answer
	Words  string
}

// Kind tells questions apart.
type Kind int

// The questions of a session.
const (
	Loaded  Kind = iota // is it loaded?
	CameOut             // did it come out well?
	Resend              // CUPS did not take it: once more?
	Anew                // it did not come out well: on another piece, now?
	Earlier             // a page of the PDF as it was before may come out yet: take it back?
)

// Answer is what a person chooses. Each is a letter that can be typed.
type Answer string

// The answers; a question names those that it takes.
const (
	Yes     Answer = "y"
	No      Answer = "n"
	Nothing Answer = "o" // nothing came out
	Skip    Answer = "s"
	Quit    Answer = "q"
)

// takes reports whether an answer is one of the question's.
func (q Question) takes(a Answer) bool {
	for _, c := range q.Choices {
		if c.Answer == a {
			return true
		}
	}
	return false
}
