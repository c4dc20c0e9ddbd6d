package printjob

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// Assign finds each job its queue and looks whether the queue can do what the job asks for. All that is wrong is told, and nothing
// has been sent then.
func Assign(jobs []*Job, queues []Queue, u measure.Unit) problem.List {
	var problems problem.List
	told := map[string]bool{} // a problem of many jobs is told once
	add := func(severity problem.Severity, what, cause, hint string) {
		if !told[what] {
			told[what] = true
			problems = append(problems, problem.Problem{Severity: severity, What: what, Cause: cause, Hint: hint, OnPage: onPage[hint]})
		}
	}
	var names []string
	for _, q := range queues {
		names = append(names, q.Name)
	}
	for _, j := range jobs {
		name := j.Printer.Queue
		if name == "" && len(queues) == 1 {
			name = queues[0].Name
		}
		at := slices.Index(names, name)
		switch {
		case len(queues) == 0:
			add(problem.Error, "this computer has no printer set up", "CUPS has no queue", addPrinter)
			continue
		case name == "":
			add(problem.Error, fmt.Sprintf("which queue is the printer “%s”?", j.Printer.Name), "there are: "+printable(strings.Join(names, ", ")),
				"give the printer a line “queue: NAME” in tuckmark.yaml")
			continue
		case at < 0:
			add(problem.Error, fmt.Sprintf("there is no queue “%s”", printable(name)), fmt.Sprintf("the printer “%s” names it", j.Printer.Name), near(name, names))
			continue
		}
		j.Queue = &queues[at]
		j.checkQueue(add, u)
	}
	return problems
}

// Hints that name a command, and what they are where nobody types any.
const (
	addPrinter   = "add the printer in the settings of the computer, then ask `tuckmark printers`"
	correctSizes = "correct the printer's measures in tuckmark.yaml (`tuckmark printers --yaml` writes them) and make the PDF again"
)

var onPage = map[string]string{
	addPrinter:   "add the printer in the settings of the computer, and load this page again",
	correctSizes: "correct the printer's measures in tuckmark.yaml and make the PDF anew",
}

// checkQueue looks whether the job's queue can do what the job asks for.
func (j *Job) checkQueue(add func(problem.Severity, string, string, string), u measure.Unit) {
	q := j.Queue
	who := fmt.Sprintf("the queue “%s”", printable(q.Name))
	if !q.Accepting {
		add(problem.Error, who+" takes no jobs at present", "it was told to reject them", "let it accept jobs in the settings of the computer")
	}
	if !q.Pulls(j.Size) {
		add(problem.Error, fmt.Sprintf("%s pulls no piece of %s (%s)", who, j.Size.About(u), PageWords(j.Pages)), "it pulls "+q.pulls(u),
			correctSizes)
	}
	word := func(what, key, value string, offers []string) {
		if value != "" && !slices.Contains(offers, value) {
			hint := "it has none to choose from: take the line out"
			if len(offers) > 0 {
				hint = near(value, offers)
			}
			add(problem.Error, fmt.Sprintf("%s knows no %s “%s”", who, what, printable(value)), fmt.Sprintf("“%s” under loads of the printer “%s” asks for it", key, j.Printer.Name), hint)
		}
	}
	word("tray", "source", j.Loading.Source, q.Sources)
	word("paper type", "type", j.Loading.Type, q.Types)
	if j.Loading.Quality > 0 {
		var offers []string
		for _, n := range q.Qualities {
			offers = append(offers, config.Quality(n).String())
		}
		word("quality", "quality", j.Loading.Quality.String(), offers)
	}
	if len(q.Scalings) > 0 && !slices.Contains(q.Scalings, "none") {
		add(problem.Note, who+" does not say that it prints at actual size", "", "print a test page first and measure it")
	}
	configured := [4]measure.Length{j.Printer.Margins.Left, j.Printer.Margins.Top, j.Printer.Margins.Right, j.Printer.Margins.Bottom}
	for i, side := range []string{"left", "top", "right", "bottom"} {
		if own := length(q.Margins[i]); own > configured[i]+length(tolerance) {
			add(problem.Note, fmt.Sprintf("%s leaves %s blank on the %s, the configuration of “%s” says %s", who, own.About(u), side, j.Printer.Name, configured[i].About(u)),
				"what is printed there may be missing", "correct margins in tuckmark.yaml and make the PDF again, or print a test page to see which is right")
		}
	}
}
