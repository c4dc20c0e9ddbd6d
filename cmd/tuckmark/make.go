package main

import (
	"bytes"
	"cmp"
	"errors"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan"
	"tuckmark/impose/report"
)

func makeCommand(ui *ui) *cobra.Command {
	var w wishes
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
			ui.problems(j.Problems, false)
			if stop := statusOf(j); stop != nil && !(holdBack && j.Whole()) {
				ui.say("Nothing was written: %s to mend.", problem.Count(j.Problems.Errors(), "error"))
				if j.Whole() {
					ui.say("--hold-back makes everything else; `tuckmark check` lists the notes as well.")
				}
				return stop
			}
			if len(j.Plan.Pieces) == 0 {
				ui.say("Nothing was written: every block is held back.")
				return statusOf(j)
			}
			if err := w.write(c, ui, j, to); err != nil {
				return err
			}
			return statusOf(j)
		},
	}
	w.flags(c)
	w.printing.flags(c)
	c.Flags().StringVarP(&to.pdf, "output", "o", "", "write the PDF to this `file` (default: the first input's name with .pdf, beside it)")
	c.Flags().StringVar(&to.report, "report", "", "write the report workbook to this `file` (default: the PDF's name with -report.xlsx)")
	c.Flags().StringVar(&to.plan, "plan", "", "write the plan as JSON to this `file`")
	c.Flags().BoolVar(&holdBack, "hold-back", false, "hold back the rows with errors and make everything else")
	return c
}

// targets are the files to write.
type targets struct {
	pdf, report, plan string
	again             bool // blocks of an earlier run are printed again
}

// complete names the files that the flags do not name.
func (t *targets) complete(first string) {
	t.pdf = cmp.Or(t.pdf, naming.Beside(first, ".pdf"))
	t.report = cmp.Or(t.report, naming.Beside(t.pdf, "-report.xlsx"))
}

// write makes the files of a job and saves them, all or none.
func (w *wishes) write(c *cobra.Command, ui *ui, j *impose.Job, to targets) error {
	made, err := func() (*impose.Files, error) {
		defer ui.end()
		if err := j.Draw(c.Context(), problem.Line(strings.TrimSuffix(filepath.Base(to.pdf), filepath.Ext(to.pdf)))); err != nil {
			return nil, err
		}
		return j.Write(c.Context(), w.printing.split)
	}()
	if err != nil {
		return ui.unmade(err, j, to, w.guard)
	}
	files := []save.File{{Flag: "--plan", Path: to.plan, Data: made.Plan}, {Flag: "--report", Path: to.report, Data: made.Report}}
	var stocks []string
	for _, s := range made.Stocks {
		stocks = append(stocks, s.Stock)
	}
	beside := naming.Apart(to.pdf, stocks)
	for i, f := range beside {
		files = append(files, save.File{Flag: "-o", Path: f, Data: made.Stocks[i].PDF})
	}
	if err := ui.save(w.guard, append(files, save.File{Flag: "-o", Path: to.pdf, Data: made.PDF})...); err != nil { // what people print comes last
		return err
	}
	ui.summary(c, j, to, made.Guides)
	if to.again {
		ui.smaller(j)
	}
	for _, f := range beside {
		ui.say("To print by itself: %s", f)
	}
	return nil
}

// unmade tells why the files of a job could not be made.
func (u *ui) unmade(err error, j *impose.Job, to targets, g save.Guard) error {
	var broken *impose.Broken
	switch {
	case errors.As(err, &broken):
		return u.broken(j.Plan, broken.Faults, to, g)
	case errors.Is(err, report.ErrReport):
		u.problems(problem.List{{Place: problem.Place{File: j.Files[0]}, What: "the report cannot be written anew", Cause: "it was changed so that its sheets cannot be told apart",
			Hint: "name the report as make wrote it, or open it in a spreadsheet program and save it again as .xlsx"}}, false)
		u.say("Nothing was written.")
		return status(exitInput)
	}
	u.fault(err)
	return status(exitFile)
}

// broken tells of a plan that breaks a promise. Nothing is printed by it; it is kept, so that the fault can be found.
func (u *ui) broken(p *plan.Plan, faults []string, to targets, g save.Guard) error {
	to.plan = cmp.Or(to.plan, naming.Beside(to.pdf, "-faulty-plan.json"))
	var file bytes.Buffer
	kept := "the plan"
	if err := p.WriteFile(&file); err == nil && u.save(g, save.File{Flag: "--plan", Path: to.plan, Data: file.Bytes()}) == nil {
		kept = to.plan
	}
	fmt.Fprintf(u.err, `error: the plan breaks a promise, so nothing is printed by it: this is a fault of tuckmark, not yours
    why: %s
  to do: keep %s and the input as they are, so that the fault can be found; another --effort or --gap may give a plan that is right
`, strings.Join(faults, "\n         "), kept)
	u.say("Nothing was written but the plan.")
	return status(exitFile)
}

// summary says in a few lines what was made.
func (ui *ui) summary(c *cobra.Command, j *impose.Job, to targets, guides int) {
	copies, owners := 0, map[string]bool{}
	pieces := map[string]int{}
	leftovers := map[string]map[int]bool{}
	for _, p := range j.Plan.Pieces {
		pieces[p.Stock]++
		for _, b := range p.Blocks() {
			copies++
			owners[b.Block.Owner] = true
		}
		if p.Source.Leftover {
			if leftovers[p.Stock] == nil {
				leftovers[p.Stock] = map[int]bool{}
			}
			leftovers[p.Stock][p.Source.Sheet] = true
		}
	}
	advice := j.Advise(c.Context())
	ui.say("%s for %s, on %s:", problem.Count(copies, "block"), problem.Count(len(owners), "person|people"), problem.Count(len(j.Plan.Pieces), "piece"))
	for _, use := range j.Plan.Stocks {
		line := "  " + use.Stock + ": " + problem.Count(pieces[use.Stock], "piece") + " from " + problem.Count(use.NewSheets, "new sheet")
		if n := len(leftovers[use.Stock]); n > 0 {
			line += " and " + problem.Count(n, "leftover")
		}
		line += ", " + percent(use.Filled) + " filled"
		if use.Bound > 0 && use.Bound == use.NewSheets {
			line += " (fewer sheets cannot do)"
		} else if use.Bound > 0 {
			line += fmt.Sprintf(" (at least %d are needed)", use.Bound)
		}
		if use.Cents > 0 {
			line += ", " + j.Settings.Amount(use.Cents)
		}
		ui.say("%s", line)
		if left := leftoversOf(j, use.Stock); left != "" {
			ui.say("    left: %s", left)
		}
		for _, a := range advice {
			if a.Stock == use.Stock {
				ui.advise(j, a)
			}
		}
	}
	if n := len(j.Plan.Held); n > 0 {
		ui.say("%s held back; the run sheet and the report list them.", problem.Count(n, "row"))
	}
	if notes := len(j.Problems) - j.Problems.Errors(); notes > 0 {
		where := "report"
		if to.again { // the report has the notes of the first run
			where = "run sheet"
		}
		ui.say("%s; the %s lists them.", problem.Count(notes, "note"), where)
	}
	ui.say("To print: %s (%s, the first %d on plain paper)", to.pdf, problem.Count(guides+j.Plan.Pages(), "page"), guides)
	ui.say("To sort and pay: %s", to.report)
	if to.plan != "" {
		ui.say("The plan: %s", to.plan)
	}
}

// advise says what would save a sheet of a stock.
func (ui *ui) advise(j *impose.Job, a layout.Advice) {
	var ways []string
	if a.Turning {
		ways = append(ways, "if every block may be turned")
	}
	if a.Without != "" {
		ways = append(ways, fmt.Sprintf("without %s (%s)", a.Without, a.Owner))
	}
	u := j.Settings.Unit
	if a.Lower > 0 {
		ways = append(ways, "with its space "+a.Lower.About(u)+" lower")
	}
	if a.Narrower > 0 {
		ways = append(ways, "with its space "+a.Narrower.About(u)+" narrower")
	}
	ui.say("%s", "    one sheet fewer would do "+strings.Join(ways, ", or "))
}

func percent(share float64) string { return fmt.Sprintf("%.0f%%", share*100) }

// leftoversOf names the leftovers of a stock, the largest first.
func leftoversOf(j *impose.Job, stock string) string {
	const most = 4
	var names []string
	kept := j.Plan.Kept(stock)
	for _, k := range kept[:min(len(kept), most)] {
		names = append(names, k.About(j.Settings.Unit))
	}
	if more := len(kept) - most; more > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	}
	return strings.Join(names, ", ")
}
