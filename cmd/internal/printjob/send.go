package printjob

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"time"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/config/problem"
)

// stateError is a state file that cannot be written, a PDF that is another one by now, or a job that may come out yet; nothing is sent then.
type stateError struct{ *problem.Problem }

// sender gives jobs to CUPS and follows them. A job is created held and sent held, so that nothing is printed before the file
// beside the PDF says that it may be; only then it is let go. Whatever breaks off before that has printed nothing and is done again
// without asking; whatever breaks off after it is in doubt, and a person is asked.
type sender struct {
	client *ipp.Client
	state  *progress
	tell   func(Event)
	pause  time.Duration // between two looks at a job
	wait   time.Duration // for CUPS to come back, and for a job nobody looks after
	short  time.Duration // for a job of an earlier session to end by itself
	alone  bool          // nobody looks after it
}

// outcome is the end of a job as far as CUPS knows it.
type outcome int

const (
	came     outcome = iota // it came out
	anew                    // it came out, and was begun more than once
	stopped                 // cancelled or given up; perhaps a part of it came out
	unknown                 // CUPS was restarted and has forgotten it, or does not answer
	heldBack                // CUPS has it and holds it; whether it was printed before CUPS was restarted is not known
)

// send gives a job to CUPS. The record is released when it returns without an error; with one nothing is printed. Where the context ends, what
// is begun is not broken off in the middle, for then it would not be known how far it came: the job is let go, or taken back.
func (s *sender) send(ended context.Context, d *Document, j *Job) (*record, error) {
	ctx := context.WithoutCancel(ended) // each request has an end of its own
	if p := d.asOpened(); p != nil {
		return nil, stateError{p}
	}
	if err := s.settle(ctx); err != nil {
		return nil, err
	}
	pdf, err := d.finished.Extract(j.Pages)
	if err != nil {
		return nil, err
	}
	r := &record{Pages: j.Pages, Queue: j.Queue.Name, Name: fmt.Sprintf("%s, %s (%s.%d)", d.Name(), PageWords(j.Pages), s.state.PDF[:8], len(s.state.Jobs)+1), Status: waiting}
	held := ipp.Attributes{ipp.Attr("job-hold-until", ipp.Keyword, "indefinite")}
	m, err := s.client.Do(ctx, resource(r.Queue), ipp.CreateJob,
		ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri(r.Queue)), ipp.Attr("job-name", ipp.Name, r.Name)}, append(j.Attributes(), held...), nil)
	if err != nil {
		return nil, err
	}
	if r.Job = m.Group(ipp.JobGroup).Int("job-id"); r.Job == 0 {
		return nil, ipp.ErrMessage
	}
	s.state.Jobs = append(s.state.Jobs, r)
	if err := s.store(); err != nil {
		return nil, s.giveUp(ctx, r, err)
	}
	_, err = s.client.Do(ctx, resource(r.Queue), ipp.SendDocument, ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri(r.Queue)), ipp.Number("job-id", ipp.Integer, r.Job),
		ipp.Attr("document-format", ipp.MimeType, "application/pdf"), ipp.Number("last-document", ipp.Boolean, 1)}, nil, pdf)
	if err = cmp.Or(err, ended.Err()); err != nil {
		return nil, s.giveUp(ctx, r, err)
	}
	r.events, _ = s.client.Subscribe(ctx, uri(r.Queue), eventsFor, "job-state-changed") // a CUPS that takes no more subscriptions prints all the same
	return r, s.release(ctx, r)
}

// release lets a job go. Where it is not known whether CUPS got the word, there is no error, and following tells.
func (s *sender) release(ctx context.Context, r *record) error {
	r.Status = released
	if err := s.store(); err != nil { // nothing says that it may be printed
		return s.giveUp(ctx, r, err)
	}
	_, err := s.client.Do(ctx, "/jobs/", ipp.ReleaseJob, s.the(r), nil, nil)
	var refused *ipp.StatusError
	if errors.As(err, &refused) {
		return s.giveUp(ctx, r, err)
	}
	return nil
}

// giveUp takes a job back that was not let go, and says why. One that cannot be taken back stays held, and noted as such.
func (s *sender) giveUp(ctx context.Context, r *record, why error) error {
	if r.Status = waiting; s.withdraw(ctx, r) {
		s.state.drop(r)
	}
	return errors.Join(why, s.store())
}

func (s *sender) store() error {
	if p := s.state.write(); p != nil {
		return stateError{p}
	}
	return nil
}

// the are the attributes that name a job.
func (s *sender) the(r *record) ipp.Attributes {
	return ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri(r.Queue)), ipp.Number("job-id", ipp.Integer, r.Job)}
}

// withdraw takes a job out of CUPS, its files too, so that a CUPS that is restarted cannot print it again. It reports whether CUPS has nothing of it any more. What
// CUPS has by its number under another name is another job, which a CUPS that was set up anew, or on another computer, has given that number.
func (s *sender) withdraw(ctx context.Context, r *record) bool {
	ctx = context.WithoutCancel(ctx)
	out := s.cancel(ctx, r, ipp.Number("purge-job", ipp.Boolean, 1))
	if out && r.events != 0 { // else the subscription ends by itself
		_, _ = s.client.Do(ctx, "/", ipp.CancelSubscription, ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri(r.Queue)), ipp.Number("notify-subscription-id", ipp.Integer, r.events)}, nil, nil)
		r.events = 0
	}
	return out
}

// cancel has CUPS end a job, and with purge-job forget it. It reports whether CUPS took the word, or has nothing to end any more; how the job ended is told by following it.
func (s *sender) cancel(ctx context.Context, r *record, more ...ipp.Attribute) bool {
	for range 2 { // it may end while it is asked for
		a, err := s.askState(ctx, r)
		if a == nil {
			return err == nil
		}
		_, err = s.client.Do(ctx, "/jobs/", ipp.CancelJob, append(s.the(r), more...), nil, nil)
		if err == nil || a.Int("job-state") >= jobCanceled {
			return true
		}
	}
	return false
}

// letGo reports a job of an earlier session that may have come out, or may come out: this program has let it go, or somebody who saw it held in the computer's list of
// print jobs.
func (s *sender) letGo(ctx context.Context, r *record) (bool, error) {
	if r.Status != waiting {
		return r.Status == released, nil
	}
	a, err := s.askState(ctx, r)
	if errors.Is(err, errHidden) {
		return false, r.lingers(PageWords(r.Pages))
	}
	return a != nil && a.Int("job-state") != jobHeld, nil
}

// lingers is the problem of a job that CUPS has not taken back: nothing else is sent before that is done.
func (r *record) lingers(what string) error {
	return stateError{&problem.Problem{What: fmt.Sprintf("job %d (%s) may still come out", r.Job, what), Cause: "CUPS has not taken it back: it does not answer, or another user of this computer has sent it", Disk: true,
		Hint: "let it come out, or take it out of the computer's list of print jobs; then print again: what is done stays done"}}
}

// settle takes back what CUPS may still have of jobs that a person has answered for. Before that is done nothing else may be sent: it would come out on
// the pieces of others.
func (s *sender) settle(ctx context.Context) error {
	for _, r := range s.state.Jobs {
		if !r.Lingers {
			continue
		}
		if !s.withdraw(ctx, r) {
			return r.lingers(PageWords(r.Pages))
		}
		r.Lingers = false
		if err := s.store(); err != nil {
			return err
		}
	}
	return nil
}

// Job states of RFC 8011, 5.3.7.
const (
	jobHeld       = 4
	jobProcessing = 5
	jobCanceled   = 7
	jobAborted    = 8
	jobCompleted  = 9
)

// askState asks CUPS for a job once. There is no answer where CUPS does not know it, or knows another by its number.
func (s *sender) askState(ctx context.Context, r *record) (ipp.Attributes, error) {
	m, err := s.client.Do(ctx, "/jobs/", ipp.GetJobAttributes, append(s.the(r), ipp.Attr("requested-attributes", ipp.Keyword,
		"job-name", "job-state", "job-state-reasons", "time-at-processing", "job-printer-state-reasons")), nil, nil)
	if ipp.Is(err, ipp.NotFound) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	a := m.Group(ipp.JobGroup)
	switch name := a.Text("job-name"); {
	case name == r.Name:
		return a, nil
	case name == "" && a.Int("job-state") < jobCanceled:
		return nil, errHidden
	}
	return nil, nil
}

// errHidden is of a job that another user has sent and that has not ended: CUPS says neither what it is called nor takes it back for anybody else.
var errHidden = errors.New("another user of this computer has sent it")

// follow waits for the end of a job that was let go, and says what holds it up. Where CUPS has it yet after a short time, late is called once, if there is one, and
// says whether it is followed on.
func (s *sender) follow(ctx context.Context, r *record, late func() bool) outcome {
	var said []string
	began, gone := time.Now(), time.Time{}
	prints, halted := r.Begun != 0, false // it has been in the printer, perhaps in an earlier session, and was taken back into the queue since
	ends := came
	for {
		a, err := s.askState(ctx, r)
		at := a.Int("time-at-processing")
		again := prints && r.Begun != 0 && at != 0 && at != r.Begun
		switch state := a.Int("job-state"); {
		case ctx.Err() != nil, errors.Is(err, errHidden):
			return unknown
		case err != nil:
			if gone.IsZero() {
				gone = time.Now()
				s.tell(Remark("  CUPS does not answer; waiting for it ..."))
			}
			if time.Since(gone) > s.wait {
				return unknown
			}
		case a == nil:
			return unknown
		case state == jobCompleted:
			if again || s.begunAgain(ctx, r) {
				return anew
			}
			return ends
		case state == jobCanceled || state == jobAborted:
			why := newReasons(reasons(a, "job-state-reasons"))
			if len(why) == 0 {
				why = []string{map[int]string{jobCanceled: Reason("job-canceled-by-user"), jobAborted: Reason("aborted-by-system")}[state]}
			}
			s.tell(Ended{r.Pages, why})
			return stopped
		case state == jobHeld && time.Since(began) > 2*time.Second:
			return heldBack // the word to let it go was lost, or somebody holds it
		default:
			gone = time.Time{}
			switch {
			case state == jobProcessing:
				if again && !halted { // without a stay in the queue that could be seen: what carries it to the printer has failed, or CUPS was restarted
					ends = anew
					s.tell(Remark("  CUPS has begun this anew, and some of it may come out twice: take out what has come, and load all of it again if the printer asks for it."))
				}
				if prints, halted = true, false; at != r.Begun {
					r.Begun = at
					_ = s.store() // what cannot be written is told when the job has ended
				}
			case prints && !halted: // CUPS takes it back where its queue is stopped, and prints all of it once more where that goes on
				halted, ends = true, anew
				s.tell(Remark("  The queue was stopped while this was being printed. When it goes on it begins anew: take out what has come, and load all of it again first."))
			}
			now := newReasons(append(reasons(a, "job-printer-state-reasons"), s.queueReasons(ctx, r)...))
			switch {
			case slices.Equal(now, said):
			case len(now) > 0:
				s.tell(Waiting{r.Pages, now})
			default:
				s.tell(Resumed{r.Pages})
			}
			said = now
			if late != nil && time.Since(began) > s.short {
				if !late() {
					return unknown
				}
				late = nil
			}
			if s.alone && time.Since(began) > s.wait {
				return unknown
			}
		}
		select {
		case <-ctx.Done():
		case <-time.After(s.pause):
		}
	}
}

// eventsFor is for how long CUPS keeps the events of a queue where nobody takes the subscription back, in seconds.
const eventsFor = 24 * 60 * 60

// begunAgain reports whether CUPS has begun a job more than once, by the events that were kept of it, in an earlier session too. Between two looks at the job nothing
// else may tell, for the time of its beginning is one of whole seconds.
func (s *sender) begunAgain(ctx context.Context, r *record) bool {
	queue := ipp.Attr("printer-uri", ipp.URI, uri(r.Queue))
	kept, err := s.client.Do(ctx, "/", ipp.GetSubscriptions, ipp.Attributes{queue, ipp.Number("my-subscriptions", ipp.Boolean, 1)}, nil, nil)
	if err != nil {
		return false // there is none, and the time has told what it can
	}
	for _, g := range kept.Groups {
		id := g.Attributes.Int("notify-subscription-id")
		if id == 0 {
			continue
		}
		events, err := s.client.Do(ctx, "/", ipp.GetNotifications, ipp.Attributes{queue, ipp.Number("notify-subscription-ids", ipp.Integer, id)}, nil, nil)
		if err != nil {
			continue
		}
		starts, was := 0, 0
		for _, e := range events.Groups {
			if e.Attributes.Int("notify-job-id") != r.Job {
				continue
			}
			state := e.Attributes.Int("job-state")
			if state == jobProcessing && was != jobProcessing {
				starts++
			}
			was = state
		}
		if starts > 1 {
			return true
		}
	}
	return false
}

// queueReasons are why the job's queue stands still, if it does.
func (s *sender) queueReasons(ctx context.Context, r *record) []string {
	m, err := s.client.Do(ctx, resource(r.Queue), ipp.GetPrinterAttributes, ipp.Attributes{ipp.Attr("printer-uri", ipp.URI, uri(r.Queue)),
		ipp.Attr("requested-attributes", ipp.Keyword, "printer-state", "printer-state-reasons")}, nil, nil)
	if err != nil {
		return nil // the next look at the job tells
	}
	return reasons(m.Group(ipp.PrinterGroup), "printer-state-reasons")
}
