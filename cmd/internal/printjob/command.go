package printjob

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"runtime"
	"strings"

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
	Say    func(format string, args ...any)
	Ask    func(question string) (answer string, err error) // nil: nobody is there
}

// Print prints a PDF that tuckmark wrote. What is wrong, and what is worth knowing before, is a problem; complete tells whether all that was
// asked for has come out well.
func Print(ctx context.Context, pdf string, s *config.Settings, o Options) (complete bool, problems problem.List) {
	d, bad := Open(pdf)
	if bad != nil {
		return false, problem.List{*bad}
	}
	jobs, problems := d.Jobs(s, o.Part)
	if problems.Errors() > 0 {
		return false, problems
	}
	client, queues, missing := queues(ctx)
	if missing != nil {
		byHand(d, jobs, s.Unit, o.Say)
		return false, problem.List{*missing}
	}
	problems = Assign(jobs, queues, s.Unit)
	if problems.Errors() > 0 {
		return false, problems
	}
	if o.DryRun {
		dryRun(jobs, o.Say)
		return true, problems
	}
	for _, p := range problems {
		o.Say("Note: %s; %s.", p.What, p.Hint)
	}
	session := Session{Document: d, Jobs: jobs, Client: client, Unit: s.Unit, Again: o.Again, Say: o.Say, Ask: o.Ask}
	return session.Run(ctx)
}

// queues asks CUPS for all of its queues.
func queues(ctx context.Context) (*ipp.Client, []Queue, *problem.Problem) {
	if runtime.GOOS == "windows" {
		return nil, nil, &problem.Problem{What: "this computer prints without CUPS, so the pieces go through its print dialogue", Hint: "set in the dialogue what stands above, piece by piece"}
	}
	client, err := ipp.Local(os.Getenv("CUPS_SERVER"))
	if errors.Is(err, ipp.ErrRemote) {
		return nil, nil, &problem.Problem{What: "CUPS_SERVER names another computer", Cause: "only printers that are set up on this computer are used", Hint: "take the variable away, and add the printer on this computer"}
	}
	list, err := Queues(ctx, client)
	if err != nil {
		return nil, nil, &problem.Problem{What: "CUPS does not answer on this computer", Cause: printable(err.Error()), Hint: "start it, or print with the print dialogue: set there, piece by piece, what stands above"}
	}
	return client, list, nil
}

// dryRun says what would be sent.
func dryRun(jobs []*Job, say func(string, ...any)) {
	for _, j := range jobs {
		say("To “%s”: %s", printable(j.Queue.Name), j.title())
		say("    %s", strings.Join(j.Asks(), "; "))
	}
	say("Nothing was sent.")
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
	return pageWords(j.Pages) + ", " + what
}

// byHand says what to set in the print dialogue, and opens the PDF where that is the way to it.
func byHand(d *Document, jobs []*Job, u measure.Unit, say func(string, ...any)) {
	say("In the print dialogue of %s, for each of these:", d.Name())
	for _, j := range jobs {
		say("  %s, %s", j.title(), j.Size.About(u))
		say("    %s", strings.Join(j.Asks(), "; "))
	}
	if runtime.GOOS == "windows" {
		// By its own way to open a file, without a shell that would read the name.
		_ = exec.Command("rundll32", "url.dll,FileProtocolHandler", d.Path).Start()
	}
}

// Printers says what each queue can do, for people or as lines for tuckmark.yaml.
func Printers(ctx context.Context, u measure.Unit, yaml bool, say func(format string, args ...any)) problem.List {
	_, list, missing := queues(ctx)
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

// Asker asks on a terminal.
func Asker(in io.Reader, out io.Writer) func(question string) (string, error) {
	lines := bufio.NewReader(in)
	return func(question string) (string, error) {
		fmt.Fprint(out, question)
		line, err := lines.ReadString('\n')
		if line != "" {
			err = nil
		}
		return line, err
	}
}
