package desk

import (
	"context"
	"errors"
	"sync"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// printer is how the desk prints; tests stand in for it.
type printer struct {
	prepare func(ctx context.Context, pdf string, s *config.Settings, part printjob.Part) (*printjob.Session, problem.List)
	run     func(ctx context.Context, session *printjob.Session) (complete bool, problems problem.List)
}

// thisPrinter prints with what the computer has.
func thisPrinter() printer {
	return printer{
		prepare: func(ctx context.Context, pdf string, s *config.Settings, part printjob.Part) (*printjob.Session, problem.List) {
			return printjob.Prepare(ctx, printjob.ThisComputer(), pdf, s, part)
		},
		run: func(ctx context.Context, session *printjob.Session) (bool, problem.List) { return session.Run(ctx) },
	}
}

// printing is what a job has in the printer. It goes on when pages are closed, and each page that comes shows where it stands.
type printing struct {
	tell  func()                                      // pages that it stands otherwise; takes no lock of ours
	after func(context.Context) (problem.List, error) // makes the PDF anew
	run   func(context.Context, *printjob.Session) (bool, problem.List)

	mutex   sync.Mutex
	stop    context.CancelFunc // nil: nothing is printed
	ended   chan struct{}
	view    sessionView
	answers chan printjob.Answer
	unit    measure.Unit
}

// sessionView is how a session stands.
type sessionView struct {
	Running  bool
	Of       string // what is printed
	Load     *loadView
	Said     []string // since the load
	Waits    string   // what holds the printer up
	Question *questionView
	Stopping bool
	Summary  []string
	Problems []finding
	Later    bool // the PDF is made anew when it is over
	number   int  // of the last question
}

// loadView is what to load and how it lies: a drawing of so many pixels.
type loadView struct {
	Title, What, In, Caution string
	Wide, Long               string
	W, H, Mid                int64 // Mid: of the edge that goes in first
	Asks                     []string
	Came                     string // what became of it
}

// questionView is what the session wants to know.
type questionView struct {
	Number  int
	Words   string
	Choices []choiceView
}

type choiceView struct {
	Answer printjob.Answer
	Words  string
	Main   bool
}

var (
	errPrinting = &problem.Problem{What: "something is being printed", Hint: "wait until it is out, or stop the printing first"}
	errAnswered = errors.New("that question has been answered already")
)

// busy reports whether something is in the printer: a session that waits for a person has nothing there that could be lost.
func (p *printing) busy() bool {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.stop != nil && p.view.Question == nil
}

// runs reports whether a session goes on.
func (p *printing) runs() bool {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.stop != nil
}

// later has the PDF made anew after the printing; false: nothing is printed.
func (p *printing) later() bool {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	if p.stop == nil {
		return false
	}
	p.view.Later = true
	p.tell()
	return true
}

// breakOff ends the session as soon as what it has begun is settled.
func (p *printing) breakOff() {
	p.mutex.Lock()
	if p.stop != nil {
		p.stop()
		p.view.Stopping = true
	}
	p.mutex.Unlock()
	p.tell()
}

// close breaks off what is printed and waits for its end. What is in doubt then is asked about the next time.
func (p *printing) close() {
	p.mutex.Lock()
	stop, ended := p.stop, p.ended
	p.mutex.Unlock()
	if stop != nil {
		stop()
		<-ended
	}
}

// change changes how the session stands, and tells it.
func (p *printing) change(f func(v *sessionView)) {
	p.mutex.Lock()
	f(&p.view)
	p.mutex.Unlock()
	p.tell()
}

// start runs a session; false: one runs already.
func (p *printing) start(ctx context.Context, session *printjob.Session, of string) bool {
	p.mutex.Lock()
	if p.stop != nil {
		p.mutex.Unlock()
		return false
	}
	ctx, p.stop = context.WithCancel(ctx)
	p.unit = session.Unit
	p.ended, p.answers = make(chan struct{}), make(chan printjob.Answer, 1)
	p.view = sessionView{Running: true, Of: of, number: p.view.number}
	p.mutex.Unlock()
	session.Front = printjob.Front{Tell: p.event, Ask: p.ask}
	go func() {
		_, found := p.run(ctx, session)
		p.mutex.Lock()
		later := p.view.Later && ctx.Err() == nil
		p.mutex.Unlock()
		if later {
			more, err := p.after(ctx)
			if err != nil {
				found = append(append(found, more...), *asProblem(err))
			}
		}
		p.mutex.Lock()
		p.view.Running, p.view.Stopping, p.view.Question, p.view.Waits, p.view.Later = false, false, nil, "", false
		p.view.Problems = findingsOf(found)
		p.stop()
		p.stop = nil
		ended := p.ended
		p.mutex.Unlock()
		p.tell()
		close(ended)
	}()
	p.tell()
	return true
}

func asProblem(err error) *problem.Problem {
	var p *problem.Problem
	if errors.As(err, &p) {
		return p
	}
	return &problem.Problem{What: err.Error()}
}

// event takes in what the session tells.
func (p *printing) event(e printjob.Event) {
	p.change(func(v *sessionView) {
		switch e := e.(type) {
		case printjob.Load:
			l := viewOf(e, p.unit)
			v.Load, v.Said, v.Waits = &l, nil, ""
		case printjob.Waiting:
			v.Waits = joined(e.Words())
		case printjob.Resumed:
			v.Waits = ""
			v.Said = append(v.Said, joined(e.Words()))
		case printjob.Summary:
			v.Load, v.Said, v.Waits = nil, nil, ""
			v.Summary = summed(e)
		case printjob.Before:
			v.Said = append(v.Said, problem.Capital(printjob.PageWords(e.Pages))+": printed before.")
		default:
			v.Said, v.Waits = append(v.Said, joined(e.Words())), ""
		}
	})
}

// ask shows a question and waits for its answer.
func (p *printing) ask(ctx context.Context, q printjob.Question) (printjob.Answer, error) {
	p.change(func(v *sessionView) {
		v.number++
		v.Question = &questionView{Number: v.number, Words: joined([]string{q.Words})}
		for _, c := range q.Choices {
			v.Question.Choices = append(v.Question.Choices, choiceView{c.Answer, problem.Capital(c.Words), c.Answer == q.Usual})
		}
	})
	select {
	case a := <-p.answers:
		return a, nil
	case <-ctx.Done():
		p.change(func(v *sessionView) { v.Question = nil })
		return "", ctx.Err()
	}
}

// answer answers a question by its number; false: it is not, or no longer, asked.
func (p *printing) answer(number int, a printjob.Answer) bool {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	q := p.view.Question
	if q == nil || q.Number != number {
		return false
	}
	for _, c := range q.Choices {
		if c.Answer == a {
			p.view.Question = nil
			p.answers <- a // one question is asked at a time, and answered once
			p.tell()
			return true
		}
	}
	return false
}

// printsNow is what every part shows of a session, so that whoever has left its page hears when it wants something.
type printsNow struct {
	Of   string // what is printed; "": nothing
	Asks string // what a person has to do; "": nothing
}

// brief is how it stands, in few words.
func (p *printing) brief() (n printsNow) {
	switch v := p.now(); {
	case !v.Running:
	case v.Question != nil:
		n = printsNow{v.Of, "The printer asks something"}
	case v.Waits != "":
		n = printsNow{v.Of, problem.Capital(v.Waits)}
	default:
		n.Of = v.Of
	}
	return n
}

// now is how it stands.
func (p *printing) now() sessionView {
	p.mutex.Lock()
	defer p.mutex.Unlock()
	return p.view
}
