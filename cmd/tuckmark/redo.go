package main

import (
	"cmp"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/naming"
	"tuckmark/config/problem"
	"tuckmark/impose/report"
)

func redoCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var to targets
	var codes []string
	var holdBack bool
	c := &cobra.Command{
		Use:   "redo REPORT.xlsx --blocks CODE,...",
		Short: "Print some blocks of an earlier run again, on what it left over",
		Long: `redo prints blocks again that smeared or went wrong, as they were, with guides. It takes them from the sheet Texts of
the report, so the spreadsheets are not needed (a text that is corrected there is printed as corrected), and lays them on the
leftovers that the report lists before it takes new sheets. The report is written anew under another name: used
leftovers are gone from it, new ones are in it.

    tuckmark redo retreat-report.xlsx --blocks MK-2,AO-1`,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 {
				return usagef("name one report workbook: tuckmark redo REPORT.xlsx --blocks CODE,...")
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error { return redo(c, ui, &w, to, args[0], codes, holdBack) },
	}
	w.settingFlags(c)
	w.printing.flags(c)
	c.Flags().StringArrayVar(&codes, "blocks", nil, "the `codes` of the blocks, as the report lists them; name a code twice for two copies")
	c.Flags().StringVarP(&to.pdf, "output", "o", "", "write the PDF to this `file` (default: the report's name with -redo.pdf, beside it)")
	c.Flags().StringVar(&to.report, "report", "", "write the new report to this `file` (default: the report's name with -redo.xlsx)")
	c.Flags().StringVar(&to.plan, "plan", "", "write the plan as JSON to this `file`")
	holdBackFlag(c, &holdBack)
	return c
}

func redo(c *cobra.Command, ui *ui, w *jobFlags, to targets, path string, codes []string, holdBack bool) error {
	codes = strings.FieldsFunc(strings.Join(codes, ","), func(r rune) bool { return unicode.IsSpace(r) || r == ',' || r == ';' }) // a column of codes may be pasted
	if len(codes) == 0 {
		return usagef("say which blocks: --blocks MK-2,AO-1 (the report lists their codes)")
	}
	pdf, next := naming.ForRedo(path)
	if to.report == "" {
		to.stays = naming.RedoStays
	}
	to.report = cmp.Or(to.report, next)
	if to.pdf == "" {
		to.pdf, to.pdfStays = pdf, naming.RedoPDFStays
	}
	to.again = true
	w.paper = path // lists what lies in the folder
	settings, problems, err := w.resolve(c, ui, []string{path}, to.pdf, to.report, to.plan)
	if err != nil {
		return err
	}
	earlier, found := report.Open(path)
	j := w.job(ui, settings, append(problems, found...))
	if earlier == nil {
		ui.problems(j.Problems, false)
		ui.say("Nothing was written.")
		return cmp.Or(statusOf(j), error(status(exitInput)))
	}
	if note := naming.OtherOf(path); note != nil {
		ui.problems(problem.List{*note}, true)
	}
	codes, found = earlier.Spell(codes)
	if len(found) > 0 {
		ui.problems(found, false)
		ui.say("Nothing was written.")
		return status(exitUsage)
	}
	if err := j.ReadAgain(c.Context(), earlier, codes); err != nil {
		return err
	}
	ui.problems(j.Unlike, true)
	if p := earlier.Changed(); p != nil {
		return ui.disk(*p)
	}
	if err := setAndArrange(c, ui, j); err != nil {
		return err
	}
	if stop := ui.stopsAt(j, holdBack, "--hold-back prints the others."); stop != nil {
		return stop
	}
	return w.write(c, ui, j, to)
}
