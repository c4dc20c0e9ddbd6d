package printjob

import (
	"context"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/cmd/internal/naming"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Session prints jobs one after the other with a person beside the printer.
type Session struct {
	Document *Document
	Jobs     []*Job
	Client   *ipp.Client
	Unit     measure.Unit
	Again    bool // what has been printed before is printed again
	Say      func(format string, args ...any)
	Ask      func(question string) (answer string, err error) // nil: nobody is there, and all goes by itself
	Pause    time.Duration                                    // between two looks at a job; nought: a third of a second
	Wait     time.Duration                                    // for CUPS to come back; nought: a minute, or ten with nobody there

	sender *sender
	cards  map[string]bool // stocks whose caution was told
	drawn  string          // how the last piece lay
}

// errQuit ends a session early, because a person wants it or nobody can be asked.
var errQuit = errors.New("printjob: ended early")

// Run prints the jobs. What is wrong is a problem; complete tells whether every page of them has come out well.
func (s *Session) Run(ctx context.Context) (complete bool, problems problem.List) {
	state, p := readProgress(s.Document)
	if p != nil {
		return false, problem.List{*p}
	}
	s.sender = &sender{client: s.Client, state: state, say: s.Say, pause: s.Pause, wait: s.Wait, alone: s.Ask == nil}
	if s.sender.pause == 0 {
		s.sender.pause = time.Second / 3
	}
	if s.sender.wait == 0 {
		s.sender.wait = time.Minute
		if s.sender.alone {
			s.sender.wait = 10 * time.Minute
		}
	}
	s.cards = map[string]bool{}
	err := s.catchUp(ctx)
	for _, j := range s.Jobs {
		if err != nil {
			break
		}
		err = s.job(ctx, j)
	}
	complete = s.summary(state)
	var unwritten stateError
	var refused *ipp.StatusError
	switch {
	case err == nil || errors.Is(err, errQuit):
	case errors.As(err, &unwritten):
		problems = problem.List{*unwritten.Problem}
	case errors.As(err, &refused):
		problems.Add(problem.Place{}, "CUPS refuses the job", printable(refused.Message), "ask `tuckmark printers` how the queue is, and print again: what is done stays done")
	default:
		problems.Add(problem.Place{}, "CUPS does not answer", printable(err.Error()), "print again once it runs: what is done stays done")
	}
	return complete && len(problems) == 0, problems
}

// catchUp finds out what came of the jobs that an earlier run let go or left waiting.
func (s *Session) catchUp(ctx context.Context) error {
	state := s.sender.state
	for _, r := range slices.Clone(state.Jobs) {
		switch r.Status {
		case waiting: // it was never let go
			s.sender.cancel(ctx, r)
			state.drop(r)
			if err := s.sender.store(); err != nil {
				return err
			}
		case released:
			s.Say("%s went to the printer the last time, and how it ended is not known.", problem.Capital(pageWords(r.Pages)))
			if err := s.end(ctx, r); err != nil {
				return err
			}
		}
	}
	return nil
}

// job prints one job, of which pages may be done already.
func (s *Session) job(ctx context.Context, j *Job) error {
	state := s.sender.state
	var pages []int
	var finished []int
	for _, n := range j.Pages {
		if st := state.status(n); !s.Again && (st == done || st == spoilt) {
			finished = append(finished, n)
		} else {
			pages = append(pages, n)
		}
	}
	if len(finished) > 0 {
		s.Say("%s: printed before (--again prints it once more).", problem.Capital(pageWords(finished)))
	}
	if len(pages) == 0 {
		return nil
	}
	one := j.only(pages)
	for {
		s.tellLoad(one)
		answer, err := s.ask("Enter when it is loaded, s to leave it out, q to stop: ", "")
		switch {
		case err != nil:
			return err
		case answer == "s":
			return nil
		case answer == "q":
			return errQuit
		}
		r, err := s.sender.send(ctx, s.Document, one)
		if err != nil {
			if again, asked := s.tryAgain(ctx, err); asked != nil {
				return asked
			} else if again {
				continue
			}
			return err
		}
		s.Say("  Sent to “%s” as job %d.", printable(r.Queue), r.Job)
		if err := s.end(ctx, r); err != nil {
			return err
		}
		if r.Status == done || r.Status == left {
			return nil
		}
		answer, err = s.ask("  Print it again now, on another piece? y for yes, Enter to leave it: ", "")
		if err != nil || answer != "y" {
			return err
		}
	}
}

// tryAgain asks whether to send once more what CUPS did not take; nothing of it was printed.
func (s *Session) tryAgain(ctx context.Context, failed error) (bool, error) {
	var unwritten stateError
	if s.Ask == nil || errors.As(failed, &unwritten) || ctx.Err() != nil {
		return false, nil
	}
	s.Say("  CUPS did not take the job, and nothing of it was printed: %s.", printable(failed.Error()))
	answer, err := s.ask("  Enter to send it again, q to stop: ", "q")
	if err == nil && answer == "q" {
		err = errQuit
	}
	return true, err
}

// end follows a job that was let go to its end, and asks how it came out.
func (s *Session) end(ctx context.Context, r *record) error {
	question := "  Did it come out well? Enter for yes, n for no: "
	was := s.sender.follow(ctx, r)
	switch was {
	case stopped:
		question = "  Did it come out well all the same? y for yes, n for no: "
	case unknown, heldBack:
		question = fmt.Sprintf("  It is not known whether %s came out; nothing is sent again before you have looked. Did it come out well? y for yes, n for no, o if nothing came out: ", pageWords(r.Pages))
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if s.Ask == nil && was != came {
		s.Say("  %s: it is not known whether all of it came out. Look, and print again without --yes.", problem.Capital(pageWords(r.Pages)))
		return errQuit
	}
	for {
		answer, err := s.ask(question, "y")
		if err != nil {
			return err
		}
		if answer == "" && was == came {
			answer = "y"
		}
		switch answer {
		case "y":
			r.Status = done
		case "n":
			r.Status = spoilt
		case "o":
			r.Status = left
		case "q":
			return errQuit // it stays in doubt
		default:
			continue
		}
		s.sender.cancel(ctx, r) // whatever CUPS still has of it
		return s.sender.store()
	}
}

// ask puts a question; where nobody is there the answer is the one given.
func (s *Session) ask(question, alone string) (string, error) {
	if s.Ask == nil {
		return alone, nil
	}
	answer, err := s.Ask(question)
	if errors.Is(err, io.EOF) {
		err = errQuit
	}
	return strings.ToLower(strings.TrimSpace(answer)), err
}

// tellLoad says what to load and how it lies.
func (s *Session) tellLoad(j *Job) {
	size := j.Size.About(s.Unit)
	s.Say("")
	switch {
	case j.Rides:
		s.Say("%s: fix the piece of %s inside the outline that was just printed, and load that sheet again, %s.", problem.Capital(pageWords(j.Pages)), j.Stock.Name, size)
	case j.Outline:
		s.Say("%s: load a sheet of %s, %s, for the outline of the piece that rides on it.", problem.Capital(pageWords(j.Pages)), j.Stock.Name, size)
	case j.Guides:
		s.Say("%s: load %s of plain paper, %s.", problem.Capital(pageWords(j.Pages)), problem.Count(len(j.Pages), "sheet"), size)
	default:
		s.Say("%s: load %s of %s, %s (%s).", problem.Capital(pageWords(j.Pages)), problem.Count(len(j.Pages), "piece"), j.Stock.Name, size, j.from())
	}
	in := "the tray that the printer chooses"
	if j.Loading.Source != "" {
		in = "the tray “" + printable(j.Loading.Source) + "”"
	} else if j.Stock.Tray != "" {
		in = j.Stock.Tray
	}
	s.Say("  In: %s of “%s”.", in, j.Printer.Name)
	if how := in + size; how != s.drawn {
		s.drawn = how
		for _, line := range drawFeed(j.Size, s.Unit) {
			s.Say("  %s", line)
		}
	} else {
		s.Say("  It lies as the one before.")
	}
	if j.Stock.Caution != "" && !s.cards[j.Stock.Name] {
		s.Say("  Mind: %s", j.Stock.Caution)
		s.cards[j.Stock.Name] = true
	}
}

// from says where the pieces come from: "sheet 2", "leftovers 1, 3".
func (j *Job) from() string {
	var sheets, leftovers []string
	for _, p := range j.Pieces {
		to := &sheets
		if p.Source.Leftover {
			to = &leftovers
		}
		if n := strconv.Itoa(p.Source.Sheet); !slices.Contains(*to, n) {
			*to = append(*to, n)
		}
	}
	var out []string
	for i, numbers := range [][]string{sheets, leftovers} {
		if len(numbers) > 0 {
			out = append(out, problem.Noun(len(numbers), [...]string{"sheet", "leftover"}[i])+" "+problem.And(numbers))
		}
	}
	return problem.And(out)
}

// drawFeed draws how a piece goes in.
func drawFeed(size measure.Size, u measure.Unit) []string {
	wide, high := 14, 4
	if size.W > size.H {
		wide, high = 18, 2
	}
	out := []string{"        into the printer", "               ^", "   +" + strings.Repeat("-", wide) + "+   this edge first, " + size.W.About(u)}
	for i := range high {
		side := ""
		if i == high/2 {
			side = "   " + size.H.About(u) + " long, the side to print on where this tray wants it"
		}
		out = append(out, "   |"+strings.Repeat(" ", wide)+"|"+side)
	}
	return append(out, "   +"+strings.Repeat("-", wide)+"+")
}

// summary says what is printed and what is to be done again, as a command.
func (s *Session) summary(state *progress) (complete bool) {
	var well, again, open []int
	var codes []string
	for _, j := range s.Jobs {
		for i, n := range j.Pages {
			switch state.status(n) {
			case done:
				well = append(well, n)
			case spoilt:
				again = append(again, n)
				if i < len(j.Pieces) {
					for _, b := range j.Pieces[i].Blocks() {
						codes = append(codes, b.Block.Code)
					}
				}
			default:
				open = append(open, n)
			}
		}
	}
	s.Say("")
	if len(well) > 0 {
		s.Say("Printed well: %s.", pageWords(well))
	}
	if len(open) > 0 {
		s.Say("Not printed yet: %s. The same command goes on with them.", pageWords(open))
	}
	if len(again) > 0 {
		s.Say("To be done again: %s.", pageWords(again))
		if len(codes) > 0 {
			s.Say("    tuckmark redo %s --blocks %s", argument(naming.Beside(s.Document.Path, "-report.xlsx")), argument(printable(strings.Join(codes, ","))))
		}
	}
	return len(open) == 0 && len(again) == 0
}

// argument is a word of a command line, in quotes where it holds blanks.
func argument(s string) string {
	if strings.ContainsAny(s, " '\"()&;") {
		return `"` + s + `"`
	}
	return s
}
