package main

import (
	"fmt"
	"io"
	"os"
	"slices"
	"strings"

	"golang.org/x/term"

	"tuckmark/cmd/internal/findings"
	"tuckmark/cmd/internal/host"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
)

// ui is the only writer to the terminal, and nothing that comes from a file, a font or a name steers it. Results go to standard output; problems, progress and faults to standard error.
// A progress bar is drawn on a terminal only, and only for work that lasts over a second.
type ui struct {
	out, err io.Writer // which let nothing through that steers a terminal
	result   *host.Output
	saved    bool     // the files are in their places
	bar      host.Bar // on standard error itself
}

func newUI(out, err io.Writer) *ui {
	result := &host.Output{To: out}
	u := &ui{out: problem.PlainWriter{To: result}, result: result, err: problem.PlainWriter{To: err}}
	if f, ok := err.(*os.File); ok && term.IsTerminal(int(f.Fd())) {
		u.bar.Screen = f
	}
	return u
}

// say prints a line of result. A name with a line break in it makes no line of its own.
func (u *ui) say(format string, args ...any) {
	for i, a := range args {
		if text, ok := a.(string); ok && format != "%s" {
			args[i] = problem.Line(text)
		}
	}
	fmt.Fprintf(u.out, format+"\n", args...)
}

// unheard reports whether some of the result could not be written, and says so.
func (u *ui) unheard() bool {
	if u.result.Lost == nil {
		return false
	}
	files := ""
	if u.saved {
		files = "; the files are complete"
	}
	fmt.Fprintf(u.err, "tuckmark: what there was to say could not be written to standard output: %s%s\n", save.Reason(u.result.Lost), files)
	return true
}

// lines prints lines of result.
func (u *ui) lines(list []string) {
	for _, l := range list {
		u.say("%s", l)
	}
}

// prompt asks for something to be typed, if there is somebody to ask.
func (u *ui) prompt(what string) {
	if term.IsTerminal(int(os.Stdin.Fd())) {
		fmt.Fprintln(u.err, what)
	}
}

// usage tells that the command was called in a way it does not understand.
func (u *ui) usage(err error) {
	fmt.Fprintf(u.err, "tuckmark: %v\n  to do: `tuckmark --help` lists the commands and `tuckmark COMMAND --help` their options\n", err)
}

// fault tells of a fault of the program itself, and whether the files are there all the same.
func (u *ui) fault(what any) {
	files := "nothing was written"
	if u.saved {
		files = "what was written is complete"
	}
	fmt.Fprintf(u.err, "tuckmark: this should not happen, and is a fault of tuckmark, not yours: %v\n  %s; please keep the input as it is, so that the fault can be found\n", what, files)
}

// save writes files as a set, all or none, in this order, and none over what the guard knows of.
func (u *ui) save(g save.Guard, files ...save.File) error {
	done, p := save.Create(files, g)
	err := u.created(done, p)
	for _, path := range done.Replaced {
		u.say("%s is in place of an older one.", path)
	}
	return err
}

// created tells how save.Create ended.
func (u *ui) created(done save.Outcome, p *problem.Problem) error {
	if p != nil {
		if !p.Disk {
			return refused(p)
		}
		return u.disk(*p)
	}
	u.saved = true
	u.lines(done.Words())
	return nil
}

// into writes files into a folder, which is made if it is not there, and tells how many took the place of others.
func (u *ui) into(g save.Guard, folder, flag string, files []save.File) error {
	if p := save.Folder(folder, flag, len(files)); p != nil {
		return u.disk(*p)
	}
	done, p := save.Create(files, g)
	if err := u.created(done, p); err != nil {
		return err
	}
	if n := len(done.Replaced); n > 0 {
		u.say("In %s, in place of older ones: %s.", folder, problem.Count(n, "file|files"))
	}
	return nil
}

// refused is a call whose outputs cannot be those.
func refused(p *problem.Problem) error { return usagef("%s; %s", p.What, p.Hint) }

// disk tells of a file that could not be written.
func (u *ui) disk(p problem.Problem) error {
	u.problems(problem.List{p}, false)
	switch {
	case p.What == save.HalfWritten:
	case u.saved:
		u.say("Nothing more was written; what this run wrote before is complete.")
	default:
		u.say("Nothing was written.")
	}
	return status(exitFile)
}

// problems prints a list: errors with cause and remedy; notes as well unless they are left out.
func (u *ui) problems(list problem.List, notes bool) {
	if !notes {
		list = slices.DeleteFunc(slices.Clone(list), func(p problem.Problem) bool { return p.Severity == problem.Note })
	}
	for _, p := range list.Shorten(findings.AllOfThem) {
		var b strings.Builder
		fmt.Fprintf(&b, "%s: ", p.Severity)
		if at := p.Place.String(); at != "" {
			fmt.Fprintf(&b, "%s: ", problem.Line(at))
		}
		fmt.Fprintln(&b, problem.Line(p.What))
		if p.Cause != "" {
			fmt.Fprintf(&b, "    why: %s\n", problem.Line(p.Cause))
		}
		if p.Hint != "" {
			fmt.Fprintf(&b, "  to do: %s\n", problem.Line(p.Hint))
		}
		io.WriteString(u.err, b.String())
	}
}

// progress tells how far a stage of work is, from one goroutine at a time.
func (u *ui) progress(stage string, done, of int) { u.bar.Tell(stage, done, of) }

// end takes the bar away.
func (u *ui) end() { u.bar.End() }
