package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/save"
	"tuckmark/impose"
	"tuckmark/impose/guide"
	"tuckmark/impose/press"
)

func makeCommand(ui *ui) *cobra.Command {
	var w wishes
	var to targets
	var holdBack bool
	var one note
	c := &cobra.Command{
		Use:   "make FILE...",
		Short: "Make the PDF to print and cut, and the report to sort and pay by",
		Long: `make reads spreadsheets of journaling and writes the PDF to print and cut, and the report to sort and pay by.

With --space it prints one block, now, without a spreadsheet: the text is set at the end of the piece in hand that goes
into the printer first, so that one cut frees it and the rest can be fed again.

    tuckmark make retreat.xlsx
    tuckmark make --space "4 x 2" --stock vellum --on "4 x 7 1/2" "We bought plums on the quay."`,
		Args: one.args,
		RunE: func(c *cobra.Command, args []string) error {
			if one.wanted(c) {
				return one.make(c, ui, &w, to, args)
			}
			to.complete(args[0])
			j, err := w.prepare(c, ui, args, to.pdf, to.report, to.plan)
			if err != nil {
				return err
			}
			ui.problems(j.problems, false)
			if stop := j.status(); stop != nil && !(holdBack && j.whole()) {
				ui.say("Nothing was written: %s to mend.", counted(j.problems.Errors(), "error"))
				if j.whole() {
					ui.say("--hold-back makes everything else; `tuckmark check` lists the notes as well.")
				}
				return stop
			}
			if len(j.plan.Pieces) == 0 {
				ui.say("Nothing was written: every block is held back.")
				return j.status()
			}
			to.split = w.printing.split
			if err := j.write(ui, to); err != nil {
				return err
			}
			return j.status()
		},
	}
	w.flags(c)
	w.printing.flags(c)
	one.flags(c)
	c.Flags().StringVarP(&to.pdf, "output", "o", "", "write the PDF to this `file` (default: the first input's name with .pdf, beside it)")
	c.Flags().StringVar(&to.report, "report", "", "write the report workbook to this `file` (default: the PDF's name with -report.xlsx)")
	c.Flags().StringVar(&to.plan, "plan", "", "write the plan as JSON to this `file`")
	c.Flags().BoolVar(&holdBack, "hold-back", false, "hold back the rows with errors and make everything else")
	return c
}

// targets are the files to write.
type targets struct {
	pdf, report, plan string

	split bool   // a PDF for each stock as well
	old   []byte // the report of the run that is redone in part; nil: none
}

// complete names the files that the flags do not name.
func (t *targets) complete(first string) {
	if t.pdf == "" {
		first = filepath.Clean(first)
		t.pdf = strings.TrimSuffix(first, filepath.Ext(first)) + ".pdf"
	}
	if t.report == "" {
		t.report = strings.TrimSuffix(t.pdf, filepath.Ext(t.pdf)) + "-report.xlsx"
	}
}

// printed is what goes to the printers, ready to be written.
type printed struct {
	pdf    []byte
	front  int      // pages of guides
	beside []string // files of single stocks, and what they hold
	each   [][]byte
}

// print checks the plan and draws it. The pages take much room on a large job; they are gone when it returns.
func (j *work) print(ui *ui, to targets, title string, drawer *impose.Drawer, in guide.Input) (*printed, error) {
	j.plan.Number(len(guide.Pages(in)) + 1) // the guides name the pages behind them, but are as many whatever these are called
	front := guide.Pages(in)
	if faults := verify(j.plan, j.blocks, j.settings); len(faults) > 0 {
		return nil, ui.broken(j.plan, faults, to, j.guard)
	}
	stocks := drawer.Draw(j.plan, j.settings)
	out := &printed{front: len(front)}
	if to.split {
		out.beside = apart(to.pdf, stocks)
	}
	doc := press.Document{Title: title, Sections: append([]press.Section{{Title: "Guides", Pages: front}}, stocks...)}
	pages := len(front) + j.plan.Pages()
	var pdf bytes.Buffer
	ui.begin("drawing")
	err := press.Write(&pdf, doc, func(n int) { ui.progress(n, pages) })
	ui.end()
	if err == nil {
		out.pdf = pdf.Bytes()
		out.each, err = drawApart(title, stocks[:len(out.beside)])
	}
	if err != nil {
		ui.fault(err)
		return nil, status(exitFile)
	}
	return out, nil
}

// write makes the outputs and writes them, all or none.
func (j *work) write(ui *ui, to targets) error {
	title := strings.TrimSuffix(filepath.Base(to.pdf), filepath.Ext(to.pdf))
	drawer := &impose.Drawer{Library: j.fonts}
	in := guide.Input{Plan: j.plan, Settings: j.settings, Fonts: j.fonts, Font: drawer.Font, Problems: j.problems,
		Paper: j.paper, Title: title, Files: j.files}
	ready, err := j.print(ui, to, title, drawer, in)
	if err != nil {
		return err
	}
	var report, plan bytes.Buffer
	if to.old != nil {
		if err := guide.Redo(&report, to.old, in); err != nil {
			return ui.badReport(err, j.files[0])
		}
	} else if err := guide.Report(&report, in); err != nil {
		ui.fault(err)
		return status(exitFile)
	}
	if err := planFile(&plan, j.plan); err != nil {
		ui.fault(err)
		return status(exitFile)
	}
	files := []save.File{{Flag: "--plan", Path: to.plan, Data: plan.Bytes()}, {Flag: "--report", Path: to.report, Data: report.Bytes()}}
	for i, f := range ready.beside {
		files = append(files, save.File{Flag: "-o", Path: f, Data: ready.each[i]})
	}
	if err := ui.save(j.guard, append(files, save.File{Flag: "-o", Path: to.pdf, Data: ready.pdf})...); err != nil { // what people print comes last
		return err
	}
	j.summary(ui, to, ready.front)
	if to.old != nil {
		j.smaller(ui)
	}
	for _, f := range ready.beside {
		ui.say("To print by itself: %s", f)
	}
	return nil
}

// verify is the plain checker; tests see what happens where it finds something.
var verify = impose.Check

// broken tells of a plan that breaks a promise. Nothing is printed by it; it is kept, so that the fault can be found.
func (u *ui) broken(p *impose.Plan, faults []string, to targets, g save.Guard) error {
	if to.plan == "" {
		to.plan = strings.TrimSuffix(to.pdf, filepath.Ext(to.pdf)) + "-faulty-plan.json"
	}
	var plan bytes.Buffer
	kept := "the plan"
	if err := planFile(&plan, p); err == nil && u.save(g, save.File{Flag: "--plan", Path: to.plan, Data: plan.Bytes()}) == nil {
		kept = to.plan
	}
	fmt.Fprintf(u.err, `error: the plan breaks a promise, so nothing is printed by it: this is a fault of tuckmark, not yours
    why: %s
  to do: keep %s and the input as they are, so that the fault can be found; another --effort or --gap may give a plan that is right
`, printable(strings.Join(faults, "\n         ")), kept)
	u.say("Nothing was written but the plan.")
	return status(exitFile)
}

func planFile(w io.Writer, p *impose.Plan) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	return e.Encode(p)
}

// summary says in a few lines what was made.
func (j *work) summary(ui *ui, to targets, front int) {
	copies, owners := 0, map[string]bool{}
	pieces := map[string]int{}
	for _, p := range j.plan.Pieces {
		pieces[p.Stock]++
		copies += len(p.Blocks)
		for _, b := range p.Blocks {
			owners[b.Owner] = true
		}
	}
	advice := impose.Advise(j.plan, j.set, j.paper, j.settings)
	ui.say("%s for %s, on %s:", counted(copies, "block"), people(len(owners)), counted(len(j.plan.Pieces), "piece"))
	for _, use := range j.plan.Stocks {
		line := "  " + use.Stock + ": " + counted(pieces[use.Stock], "piece") + " from " + counted(use.NewSheets, "new sheet")
		if n := j.leftoversUsed(use.Stock); n > 0 {
			line += " and " + counted(n, "leftover")
		}
		line += ", " + percent(use.Filled) + " filled"
		if use.Bound > 0 && use.Bound == use.NewSheets {
			line += " (fewer sheets cannot do)"
		} else if use.Bound > 0 {
			line += fmt.Sprintf(" (at least %d are needed)", use.Bound)
		}
		if use.Cents > 0 {
			line += ", " + j.settings.Amount(use.Cents)
		}
		ui.say("%s", line)
		if left := j.left(use.Stock); left != "" {
			ui.say("    left: %s", left)
		}
		for _, a := range advice {
			if a.Stock == use.Stock {
				j.advise(ui, a)
			}
		}
	}
	if n := len(j.plan.Held); n > 0 {
		ui.say("%s held back; the run sheet and the report list them.", counted(n, "row"))
	}
	if notes := len(j.problems) - j.problems.Errors(); notes > 0 {
		where := "report"
		if to.old != nil { // the report has the notes of the first run
			where = "run sheet"
		}
		ui.say("%s; the %s lists them.", counted(notes, "note"), where)
	}
	ui.say("To print: %s (%s, the first %d on plain paper)", to.pdf, counted(front+j.plan.Pages(), "page"), front)
	ui.say("To sort and pay: %s", to.report)
	if to.plan != "" {
		ui.say("The plan: %s", to.plan)
	}
}

// advise says what would save a sheet of a stock.
func (j *work) advise(ui *ui, a impose.Advice) {
	var ways []string
	if a.Turning {
		ways = append(ways, "if every block may be turned")
	}
	if a.Without != "" {
		ways = append(ways, fmt.Sprintf("without %s (%s)", a.Without, a.Owner))
	}
	u := j.settings.Unit
	if a.Lower > 0 {
		ways = append(ways, "with its space "+a.Lower.About(u)+" lower")
	}
	if a.Narrower > 0 {
		ways = append(ways, "with its space "+a.Narrower.About(u)+" narrower")
	}
	ui.say("%s", printable("    one sheet fewer would do "+strings.Join(ways, ", or ")))
}

func people(n int) string {
	if n == 1 {
		return "1 person"
	}
	return fmt.Sprintf("%d people", n)
}

func percent(share float64) string { return fmt.Sprintf("%.0f%%", share*100) }

func (j *work) leftoversUsed(stock string) int {
	used := map[int]bool{}
	for _, p := range j.plan.Pieces {
		if p.Stock == stock && p.Source.Kind == impose.FromLeftover {
			used[p.Source.Sheet] = true
		}
	}
	return len(used)
}

// left names the leftovers of a stock, the largest first.
func (j *work) left(stock string) string {
	const most = 4
	var names []string
	kept := j.plan.Kept(stock)
	for _, k := range kept[:min(len(kept), most)] {
		names = append(names, k.About(j.settings.Unit))
	}
	if more := len(kept) - most; more > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	}
	return strings.Join(names, ", ")
}
