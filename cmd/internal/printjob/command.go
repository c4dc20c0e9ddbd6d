package printjob

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"

	"tuckmark/cmd/internal/ipp"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Options are those of `tuckmark print`.
type Options struct {
	Part
	DryRun bool // say what would be sent, and send nothing
	Again  bool
	Front  Front
}

// Machine is the computer that prints.
type Machine struct {
	System string                  // as runtime.GOOS names it
	Server string                  // of CUPS, as CUPS_SERVER names it; "": the usual one
	Open   func(path string) error // shows a PDF in the program that the system has for it
}

// ThisComputer is the computer that we run on.
func ThisComputer() Machine {
	return Machine{System: runtime.GOOS, Server: os.Getenv("CUPS_SERVER"), Open: open}
}

// cups reports whether the system prints through CUPS.
func (m Machine) cups() bool { return m.System != "windows" }

// Print prints a PDF that tuckmark wrote. What is wrong, and what is worth knowing before, is a problem; complete tells whether all that was
// asked for has come out well, or, where the computer prints by its dialogue only, whether the PDF was opened for it.
func Print(ctx context.Context, m Machine, pdf string, s *config.Settings, o Options) (complete bool, problems problem.List) {
	session, problems := Prepare(ctx, m, pdf, s, o.Part)
	say := func(lines []string) {
		for _, l := range lines {
			o.Front.Tell(Remark(l))
		}
	}
	switch {
	case session == nil:
		return false, problems
	case session.Client == nil:
		say(session.ByHand())
		if !m.cups() && !o.DryRun {
			full, err := filepath.Abs(pdf)
			if err == nil {
				err = m.Open(full)
			}
			if err != nil {
				problems.Add(problem.Place{File: pdf}, "the PDF cannot be opened for you", printable(err.Error()), "open it yourself, and print it with what stands above")
			}
		}
		return problems.Errors() == 0, problems
	case problems.Errors() > 0:
		return false, problems
	case o.DryRun:
		say(dryRun(session.Jobs))
		return true, problems
	}
	for _, p := range problems {
		o.Front.Tell(Remark(fmt.Sprintf("Note: %s; %s.", p.What, p.Hint)))
	}
	session.Again, session.Front = o.Again, o.Front
	return session.Run(ctx)
}

// Prepare reads a PDF, takes a part of it apart into jobs, and looks whether their queues can do what they ask for, before anything is sent. Without a
// session the PDF or the part is wrong. One without a Client cannot be run, for the computer prints by hand (ByHand); with other errors
// among the problems it must not be.
func Prepare(ctx context.Context, m Machine, pdf string, s *config.Settings, part Part) (*Session, problem.List) {
	d, bad := Open(pdf)
	if bad != nil {
		return nil, problem.List{*bad}
	}
	jobs, problems := d.Jobs(s, part)
	if problems.Errors() > 0 {
		return nil, problems
	}
	session := &Session{Document: d, Jobs: jobs, Unit: s.Unit}
	client, queues, missing := m.queues(ctx)
	if missing != nil {
		return session, problem.List{*missing}
	}
	session.Client = client
	return session, Assign(jobs, queues, s.Unit)
}

// queues asks CUPS for all of its queues.
func (m Machine) queues(ctx context.Context) (*ipp.Client, []Queue, *problem.Problem) {
	if !m.cups() {
		return nil, nil, &problem.Problem{Severity: problem.Note, What: "this computer prints without CUPS, so the pieces go through its print dialogue", Hint: "set in the dialogue what stands with each piece"}
	}
	client, err := ipp.Local(m.Server)
	if errors.Is(err, ipp.ErrRemote) {
		return nil, nil, &problem.Problem{What: "CUPS_SERVER names another computer", Cause: "only printers that are set up on this computer are used", Hint: "take the variable away, and add the printer on this computer"}
	}
	list, err := Queues(ctx, client)
	if err != nil {
		return nil, nil, &problem.Problem{What: "CUPS does not answer on this computer", Cause: refusal(err), Hint: "start it, or print with the print dialogue: set there what stands with each piece"}
	}
	return client, list, nil
}

// refusal is why something cannot be reached: what the system says, without the names of its calls.
func refusal(err error) string {
	var no syscall.Errno
	if errors.As(err, &no) {
		return no.Error()
	}
	return printable(err.Error())
}

// dryRun says what would be sent.
func dryRun(jobs []*Job) []string {
	var out []string
	for _, j := range jobs {
		out = append(out, fmt.Sprintf("To “%s”: %s", printable(j.Queue.Name), j.title()), "    "+strings.Join(j.Asks(), "; "))
	}
	return append(out, "Nothing was sent.")
}

func (j *Job) title() string {
	what := problem.Count(len(j.Pages), "piece") + " of " + j.Stock.Name
	switch {
	case j.Guides:
		what = problem.Count(len(j.Pages), "sheet") + " of guides"
	case j.Outline:
		what = "the outline for a piece"
	case j.Rides:
		what = "a piece of " + j.Stock.Name + " that rides on the sheet before"
	}
	return PageWords(j.Pages) + ", " + what
}

// ByHand says what to set in the print dialogue, job by job.
func (s *Session) ByHand() []string {
	out := []string{fmt.Sprintf("In the print dialogue of %s, for each of these:", s.Document.Name())}
	for _, j := range s.Jobs {
		out = append(out, fmt.Sprintf("  %s, %s", j.title(), j.Size.About(s.Unit)), "    "+strings.Join(j.Asks(), "; "))
	}
	return out
}

// Printers says what each queue can do, for people or as lines for tuckmark.yaml.
func Printers(ctx context.Context, m Machine, u measure.Unit, yaml bool, say func(format string, args ...any)) problem.List {
	if !m.cups() {
		return problem.List{{Severity: problem.Note, What: "this computer prints without CUPS, and what its printers can do is not known", Hint: "look it up in their properties, and give tuckmark.yaml what they pull and their margins"}}
	}
	_, list, missing := m.queues(ctx)
	if missing != nil {
		return problem.List{*missing}
	}
	if len(list) == 0 {
		return problem.List{{What: "this computer has no printer set up", Cause: "CUPS has no queue", Hint: "add the printer in the settings of the computer"}}
	}
	if yaml {
		say("printers:")
	}
	for i := range list {
		if yaml {
			say("%s", strings.TrimRight(list[i].YAML(), "\n"))
		} else {
			say("%s", list[i].Table(u))
		}
	}
	return nil
}
