package printjob

import (
	"cmp"
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

// Session prints jobs one after the other with a person beside the printer. Prepare makes one.
type Session struct {
	Document *Document
	Jobs     []*Job
	Client   *ipp.Client
	Unit     measure.Unit
	Again    bool // what has been printed before is printed again
	Front    Front
	Pause    time.Duration // between two looks at a job; nought: a third of a second
	Wait     time.Duration // for CUPS to come back; nought: a minute, or ten with nobody there
	Short    time.Duration // for a job of an earlier session to end by itself before it is asked about; nought: ten seconds

	sender *sender
	cards  map[string]bool // stocks whose caution was told
	drawn  string          // how the last piece lay
}

// errQuit ends a session early, because a person wants it or nobody can be asked.
var errQuit = errors.New("printjob: ended early")

// Run prints the jobs. What is wrong is a problem; complete tells whether every page of them has come out well. When the context ends, so
// does the session, with a summary: what CUPS was not told to print is not printed, and what it was told to is in doubt.
func (s *Session) Run(ctx context.Context) (complete bool, problems problem.List) {
	release, p := s.Document.hold()
	if p != nil {
		return false, problem.List{*p}
	}
	defer release()
	state, p := readProgress(s.Document)
	if p != nil {
		return false, problem.List{*p}
	}
	s.sender = &sender{client: s.Client, state: state, tell: s.Front.Tell, pause: s.Pause, wait: s.Wait, short: cmp.Or(s.Short, 10*time.Second), alone: s.Front.Ask == nil}
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
	complete = s.summary(state, ctx.Err() != nil)
	var unwritten stateError
	var refused *ipp.StatusError
	switch {
	case err == nil || errors.Is(err, errQuit) || ctx.Err() != nil && errors.Is(err, ctx.Err()):
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
	for _, r := range slices.Clone(state.Earlier) {
		if err := s.earlier(ctx, r); err != nil {
			return err
		}
	}
	if err := s.sender.settle(ctx); err != nil {
		return err
	}
	for _, r := range slices.Clone(state.Jobs) {
		letGo, err := s.sender.letGo(ctx, r)
		switch {
		case err != nil:
			return err
		case r.Status == waiting && !letGo:
			if err := s.sender.giveUp(ctx, r, nil); err != nil {
				return err
			}
		case letGo:
			r.Status = released
			s.remark("%s went to the printer the last time, and how it ended is not known.", problem.Capital(PageWords(r.Pages)))
			if err := s.end(ctx, r, true); err != nil {
				return err
			}
		}
	}
	return nil
}

// earlier settles a job of a PDF that stood in this one's place before: else its old page might come out on a piece that is loaded for a new one.
func (s *Session) earlier(ctx context.Context, r *record) error {
	what := PageWords(r.Pages) + " of the PDF as it was before"
	a, err := s.sender.askState(ctx, r)
	switch {
	case errors.Is(err, errHidden):
		return r.lingers(what)
	case err != nil:
		return err
	}
	if state := a.Int("job-state"); a != nil && state < jobCanceled && (r.Status == released || state != jobHeld) {
		takes, err := s.askBack(ctx, r, what)
		if err != nil {
			return err
		}
		if !takes {
			ends := s.sender.follow(ctx, r, nil)
			takes = ends != came && ends != anew
		}
		if takes {
			s.remark("  Job %d is taken back, and does not come out any more.", r.Job)
		}
		if err := ctx.Err(); err != nil {
			return err
		}
	}
	if !s.sender.withdraw(ctx, r) {
		return r.lingers(what)
	}
	s.sender.state.drop(r)
	return s.sender.store()
}

// askBack asks whether to take back a job of an earlier session that has not come out yet.
func (s *Session) askBack(ctx context.Context, r *record, what string) (bool, error) {
	answer, err := s.ask(ctx, Question{Kind: Earlier, Pages: r.Pages, Words: fmt.Sprintf("%s went to “%s” as job %d, and has not come out yet. Take it back?",
		problem.Capital(what), printable(r.Queue), r.Job), Usual: Yes, Choices: []Choice{{Yes, "take it back"}, {No, "let it come out first"}, {Quit, "stop"}}})
	return answer == Yes, err
}

// takeBack asks about a job of this PDF that an earlier session let go and that has not ended in a short time: its printer may be gone for good. What is taken back
// has not ended yet by that, and is followed on, since some of it may have come out.
func (s *Session) takeBack(ctx context.Context, r *record) error {
	takes, err := s.askBack(ctx, r, PageWords(r.Pages))
	if err != nil || !takes {
		return err
	}
	if !s.sender.cancel(ctx, r) {
		return r.lingers(PageWords(r.Pages))
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
		s.Front.Tell(Before{finished})
	}
	if len(pages) == 0 {
		return nil
	}
	one := j.only(pages)
	for {
		s.Front.Tell(s.toLoad(one))
		answer, err := s.ask(ctx, Question{Kind: Loaded, Pages: pages, Words: "Print it?", Usual: Yes,
			Choices: []Choice{{Yes, "it is loaded"}, {Skip, "leave it out"}, {Quit, "stop"}}})
		switch {
		case err != nil:
			return err
		case answer == Skip:
			return nil
		}
		r, err := s.sender.send(ctx, s.Document, one)
		if err != nil {
			if again, asked := s.tryAgain(ctx, one, err); asked != nil {
				return asked
			} else if again {
				continue
			}
			return err
		}
		s.Front.Tell(Sent{r.Pages, r.Queue, r.Job})
		if err := s.end(ctx, r, false); err != nil {
			return err
		}
		if r.Status == done || r.Status == left {
			return nil
		}
		answer, err = s.ask(ctx, Question{Kind: Anew, Pages: pages, Words: "  Print it again now, on another piece?", Usual: No, Choices: []Choice{{Yes, "yes"}, {No, "leave it"}}})
		if err != nil || answer != Yes {
			return err
		}
	}
}

// tryAgain asks whether to send once more what CUPS did not take; nothing of it was printed.
func (s *Session) tryAgain(ctx context.Context, j *Job, failed error) (bool, error) {
	var unwritten stateError
	if s.Front.Ask == nil || errors.As(failed, &unwritten) || ctx.Err() != nil {
		return false, nil
	}
	s.remark("  CUPS did not take the job, and nothing of it was printed: %s.", printable(failed.Error()))
	_, err := s.ask(ctx, Question{Kind: Resend, Pages: j.Pages, Words: "  Send it again?", Usual: Yes, Choices: []Choice{{Yes, "send it again"}, {Quit, "stop"}}})
	return true, err
}

// end follows a job that was let go to its end, and asks how it came out. One of an earlier session may be taken back by who is there; with nobody there it is waited
// for as any other, and is in doubt where it does not end: what came of one that was taken back nobody could say.
func (s *Session) end(ctx context.Context, r *record, earlier bool) error {
	q := Question{Kind: CameOut, Pages: r.Pages, Words: "  Did it come out well?", Usual: Yes, Choices: []Choice{{Yes, "yes"}, {No, "no"}, {Quit, "stop here"}}}
	var ended error
	var late func() bool
	if earlier && s.Front.Ask != nil {
		late = func() bool { ended = s.takeBack(ctx, r); return ended == nil }
	}
	was := s.sender.follow(ctx, r, late)
	if ended != nil {
		return ended // it stays in doubt
	}
	if was != came {
		q.Usual, q.Choices = "", []Choice{{Yes, "yes"}, {No, "no"}, {Nothing, "nothing came out"}, {Quit, "stop here"}}
	}
	switch was {
	case stopped:
		q.Words = "  Did it come out well all the same?"
	case anew:
		q.Words = "  It was begun more than once, and some of it may have come out twice. Did it come out well in the end?"
	case unknown, heldBack:
		q.Words = fmt.Sprintf("  It is not known whether %s came out; nothing is sent again before you have looked. A printer that waits for paper may still hold it: cancel it there before other paper goes in. Did it come out well?",
			PageWords(r.Pages))
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	if s.Front.Ask == nil && was != came {
		doubt := "it is not known whether all of it came out"
		if was == anew {
			doubt = "it was begun more than once, and some of it may have come out twice"
		}
		s.remark("  %s: %s. Look, and print again without --yes.", problem.Capital(PageWords(r.Pages)), doubt)
		return errQuit
	}
	answer, err := s.ask(ctx, q)
	if err != nil {
		return err // it stays in doubt
	}
	r.Status = map[Answer]status{Yes: done, No: spoilt, Nothing: left}[answer]
	if r.Lingers = !s.sender.withdraw(ctx, r); r.Lingers {
		s.remark("  Job %d is not taken back, and may still come out: CUPS does not answer, or another user of this computer has sent it. Before anything else is printed it is taken back, or has come out.", r.Job)
	}
	return s.sender.store()
}

// ask puts a question, until it is answered; where nobody is there the answer is the usual one.
func (s *Session) ask(ctx context.Context, q Question) (Answer, error) {
	if err := ctx.Err(); err != nil {
		return "", err
	}
	if s.Front.Ask == nil {
		return q.Usual, nil
	}
	for {
		answer, err := s.Front.Ask(ctx, q)
		switch {
		case ctx.Err() != nil:
			return "", ctx.Err()
		case errors.Is(err, io.EOF) || err == nil && answer == Quit:
			return "", errQuit
		case err != nil:
			return "", err
		case q.takes(answer):
			return answer, nil
		}
	}
}

func (s *Session) remark(format string, args ...any) {
	s.Front.Tell(Remark(fmt.Sprintf(format, args...)))
}

// Loads are what is to be loaded for each of the jobs, before any is run.
func (s *Session) Loads() []Load {
	fresh := Session{Unit: s.Unit, cards: map[string]bool{}}
	out := make([]Load, len(s.Jobs))
	for i, j := range s.Jobs {
		out[i] = fresh.toLoad(j)
	}
	return out
}

// toLoad is what to load for a job.
func (s *Session) toLoad(j *Job) Load {
	size := j.Size.About(s.Unit)
	l := Load{Pages: j.Pages, Size: j.Size}
	switch {
	case j.Rides && len(j.Pieces) > 1:
		l.What = fmt.Sprintf("fix %s of %s inside the outlines that were just printed, and load that sheet again, %s", problem.Count(len(j.Pieces), "piece"), j.Stock.Name, size)
	case j.Rides:
		l.What = fmt.Sprintf("fix the piece of %s inside the outline that was just printed, and load that sheet again, %s", j.Stock.Name, size)
	case j.Outline:
		l.What = fmt.Sprintf("load a sheet of %s, %s, for the outline of what rides on it", j.Stock.Name, size)
	case j.Guides:
		l.What = fmt.Sprintf("load %s of plain paper, %s", problem.Count(len(j.Pages), "sheet"), size)
	default:
		l.What = fmt.Sprintf("load %s of %s, %s (%s)", problem.Count(len(j.Pages), "piece"), j.Stock.Name, size, j.from())
	}
	in := "the tray that the printer chooses"
	if j.Loading.Source != "" {
		in = "the tray “" + printable(j.Loading.Source) + "”"
	} else if j.Stock.Tray != "" {
		in = j.Stock.Tray
	}
	l.In = fmt.Sprintf("%s of “%s”", in, j.Printer.Name)
	if how := in + size; how != s.drawn {
		s.drawn = how
		l.Lies = drawFeed(j.Size, s.Unit)
	}
	if j.Stock.Caution != "" && !s.cards[j.Stock.Name] {
		l.Caution = j.Stock.Caution
		s.cards[j.Stock.Name] = true
	}
	return l
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

// summary tells what became of the pages, and what is to be done again, as a command.
func (s *Session) summary(state *progress, broken bool) (complete bool) {
	sum := Summary{Stopped: broken}
	for _, r := range state.Jobs {
		switch sent := (Sent{r.Pages, r.Queue, r.Job}); {
		case r.Status == released:
			sum.Doubt = append(sum.Doubt, sent)
		case r.Lingers:
			sum.Lingers = append(sum.Lingers, sent)
		}
	}
	for _, j := range s.Jobs {
		for _, n := range j.Pages {
			switch state.status(n) {
			case done:
				sum.Well = append(sum.Well, n)
			case released: // told by its job
			case spoilt:
				sum.Again = append(sum.Again, n)
				for _, p := range j.Pieces {
					if p.Page != n {
						continue
					}
					for _, b := range p.Blocks() {
						sum.Codes = append(sum.Codes, b.Block.Code)
					}
				}
			default:
				sum.Open = append(sum.Open, n)
			}
		}
	}
	if len(sum.Codes) > 0 {
		sum.Redo = fmt.Sprintf("tuckmark redo %s --blocks %s", argument(naming.Beside(s.Document.Path, "-report.xlsx")), argument(printable(strings.Join(sum.Codes, ","))))
	}
	s.Front.Tell(sum)
	return len(sum.Open)+len(sum.Again)+len(sum.Doubt)+len(sum.Lingers) == 0
}

// argument is a word of a command line, in quotes where it holds blanks.
func argument(s string) string {
	if strings.ContainsAny(s, " '\"()&;") {
		return `"` + s + `"`
	}
	return s
}
