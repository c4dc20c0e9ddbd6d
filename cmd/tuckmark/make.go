package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"os"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/summary"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/plan"
	"tuckmark/impose/report"
)

func makeCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var to targets
	var holdBack bool
	c := &cobra.Command{
		Use:   "make FILE...",
		Short: "Make the PDF to print and cut, and the report to sort and pay by",
		Long: `make reads spreadsheets of journaling and writes the PDF to print and cut, and the report to sort and pay by.

    tuckmark make retreat.xlsx`,
		Args: needFiles,
		RunE: func(c *cobra.Command, args []string) error {
			to.complete(args[0])
			j, err := w.prepare(c, ui, args, to.pdf, to.report, to.plan)
			if err != nil {
				return err
			}
			if stop := ui.stopsAt(j, holdBack, "--hold-back makes everything else; `tuckmark check` lists the notes as well."); stop != nil {
				return stop
			}
			return w.write(c, ui, j, to) // what was held back was asked for
		},
	}
	w.flags(c)
	w.printing.flags(c)
	c.Flags().StringVarP(&to.pdf, "output", "o", "", "write the PDF to this `file` (default: the first input's name with .pdf, beside it)")
	c.Flags().StringVar(&to.report, "report", "", "write the report workbook to this `file` (default: the PDF's name with -report.xlsx)")
	c.Flags().StringVar(&to.plan, "plan", "", "write the plan as JSON to this `file`")
	holdBackFlag(c, &holdBack)
	return c
}

func holdBackFlag(c *cobra.Command, holdBack *bool) {
	c.Flags().BoolVar(holdBack, "hold-back", false, "hold back the rows with errors and make everything else")
}

// stopsAt tells the errors of a job, and why it is not made, if it is not: there is an error, unless all of them are of rows and these are to be held back;
// else says that they could be.
func (u *ui) stopsAt(j *impose.Job, holdBack bool, otherwise string) error {
	u.problems(j.Problems, false)
	if stop := statusOf(j); stop != nil && !(holdBack && j.CanHoldBack()) {
		u.say("Nothing was written: %s to mend.", problem.Count(j.Problems.Errors(), "error"))
		if j.CanHoldBack() {
			u.say("%s", otherwise)
		}
		return stop
	}
	if len(j.Plan.Pieces) == 0 {
		u.say("Nothing was written: every block is held back.")
		return statusOf(j)
	}
	return nil
}

// targets are the files to write.
type targets struct {
	pdf, report, plan string
	again             bool   // blocks of an earlier run are printed again
	stays             string // what a report may be that is not replaced; "": an earlier one is
	pdfStays          string // and a PDF
}

// complete names the files that the flags do not name.
func (t *targets) complete(first string) {
	t.pdf = cmp.Or(t.pdf, naming.Beside(first, ".pdf"))
	t.report = cmp.Or(t.report, naming.Beside(t.pdf, "-report.xlsx"))
}

// planFile is the plan's file, if it is wanted.
func (t *targets) planFile(p *plan.Plan) save.File {
	var data bytes.Buffer
	if t.plan != "" {
		_ = p.WriteFile(&data) // a buffer takes all
	}
	return save.File{Flag: "--plan", Path: t.plan, Data: data.Bytes()}
}

// write makes the files of a job and saves them, all or none.
func (w *jobFlags) write(c *cobra.Command, ui *ui, j *impose.Job, to targets) error {
	made, err := func() (*impose.Files, error) {
		defer ui.end()
		if err := j.Draw(c.Context(), naming.Title(to.pdf)); err != nil {
			return nil, err
		}
		return j.Write(c.Context(), w.printing.split)
	}()
	if err != nil {
		return ui.writeFailed(err, j, to, w.guard)
	}
	files := []save.File{to.planFile(j.Plan), {Flag: "--report", Path: to.report, Data: made.Report, Stays: to.stays}}
	var stocks []string
	for _, s := range made.Stocks {
		stocks = append(stocks, s.Stock)
	}
	beside := naming.ForStocks(to.pdf, stocks)
	for i, f := range beside {
		files = append(files, save.File{Flag: "-o", Path: f, Data: made.Stocks[i].PDF, Stays: to.pdfStays})
	}
	done, p := save.Create(append(files, save.File{Flag: "-o", Path: to.pdf, Data: made.PDF, Stays: to.pdfStays}), w.guard) // what people print comes last
	if err := ui.created(done, p); err != nil {
		return err
	}
	if old := naming.Beside(to.pdf, "-report.xlsx"); !slices.Contains(done.Replaced, to.report) && slices.Contains(done.Replaced, to.pdf) {
		ui.say("%s is in place of an older one.", to.pdf)
		if _, err := os.Stat(old); err == nil && old != to.report {
			ui.say("%s is of an earlier run: the report of these pages is %s", old, to.report)
		}
	}
	ui.lines(summary.Job(j, j.Advise(c.Context()), summary.Files{PDF: to.pdf, Report: to.report, Plan: to.plan, Guides: made.Guides, Replaced: done.Replaced, Same: slices.Contains(done.Same, to.report), Again: to.again}))
	if to.again {
		ui.lines(j.Smaller())
	}
	for _, f := range beside {
		ui.say("To print by itself: %s", f)
	}
	return nil
}

// writeFailed tells why the files of a job could not be made.
func (u *ui) writeFailed(err error, j *impose.Job, to targets, g save.Guard) error {
	var broken *impose.BrokenPlan
	switch {
	case errors.As(err, &broken):
		return u.brokenPlan(j.Plan, broken.Faults, to, g)
	case errors.Is(err, report.ErrReport):
		u.problems(problem.List{{Place: problem.Place{File: j.Files[0]}, What: "the report cannot be written anew", Cause: "it was changed so that its sheets cannot be told apart",
			Hint: "name the report as make wrote it, or open it in a spreadsheet program and save it again as .xlsx"}}, false)
		u.say("Nothing was written.")
		return status(exitInput)
	}
	u.fault(err)
	return status(exitFile)
}

// brokenPlan tells of a plan that breaks a promise. Nothing is printed by it; it is kept, so that the fault can be found.
func (u *ui) brokenPlan(p *plan.Plan, faults []string, to targets, g save.Guard) error {
	to.plan = cmp.Or(to.plan, naming.Beside(to.pdf, "-faulty-plan.json"))
	kept := "the plan"
	if u.save(g, to.planFile(p)) == nil {
		kept = to.plan
	}
	fmt.Fprintf(u.err, `error: the plan breaks a promise, so nothing is printed by it: this is a fault of tuckmark, not yours
    why: %s
  to do: keep %s and the input as they are, so that the fault can be found; another --effort or --gap may give a plan that is right
`, strings.Join(faults, "\n         "), kept)
	u.say("Nothing was written but the plan.")
	return status(exitFile)
}
