package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/guide"
	"tuckmark/intake"
)

func redoCommand(ui *ui) *cobra.Command {
	var w wishes
	var to targets
	var codes []string
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
		RunE: func(c *cobra.Command, args []string) error { return redo(c, ui, &w, to, args[0], codes) },
	}
	w.settingFlags(c)
	w.printing.flags(c)
	c.Flags().StringSliceVar(&codes, "blocks", nil, "the `codes` of the blocks, as the report lists them; name a code twice for two copies")
	c.Flags().StringVarP(&to.pdf, "output", "o", "", "write the PDF to this `file` (default: the report's name with -redo.pdf, beside it)")
	c.Flags().StringVar(&to.report, "report", "", "write the new report to this `file` (default: the report's name with -redo.xlsx)")
	c.Flags().StringVar(&to.plan, "plan", "", "write the plan as JSON to this `file`")
	return c
}

func redo(c *cobra.Command, ui *ui, w *wishes, to targets, report string, codes []string) error {
	codes = slices.DeleteFunc(codes, func(s string) bool { return strings.TrimSpace(s) == "" })
	if len(codes) == 0 {
		return usagef("say which blocks: --blocks MK-2,AO-1 (the report lists their codes)")
	}
	pdf, next := redoNames(report)
	to.pdf, to.report = cmp.Or(to.pdf, pdf), cmp.Or(to.report, next)
	to.inputs, to.split = []string{report}, w.printing.split
	if w.config != "" {
		to.inputs = append(to.inputs, w.config)
	}
	if err := sameFile(to.inputs, to.all()); err != nil {
		return err
	}
	w.paper = report // lists what lies in the folder
	settings, problems, err := w.resolve(c, ui, report)
	if err != nil {
		return err
	}
	before, _ := os.Stat(report) // if it is not there, the next line says so
	source, found := intake.OpenSource(report)
	j := &work{settings: settings, files: []string{filepath.Base(report)}, problems: append(problems, found...)}
	if source == nil || j.problems.Errors() > 0 {
		ui.problems(j.problems, false)
		ui.say("Nothing was written.")
		return cmp.Or(j.status(), error(status(exitInput)))
	}
	if codes, err = known(ui, source, report, codes); err != nil {
		return err
	}
	if to.old, err = os.ReadFile(report); err != nil {
		return ui.disk(problem.Problem{Place: problem.Place{File: report}, What: "the report cannot be read", Cause: reason(err), Hint: "close it in other programs and try again", Disk: true})
	}
	if was, other := guide.OtherSettings(to.old, settings); other {
		j.problems = append(j.problems, otherSettings(report, was, settings))
	}
	blocks, found := source.Blocks(codes, settings)
	j.problems = append(j.problems, found...)
	paper, found := intake.ReadPaper(report, settings)
	j.problems = append(j.problems, found...)
	if now, err := os.Stat(report); err != nil || before == nil || now.Size() != before.Size() || now.ModTime() != before.ModTime() {
		return ui.disk(problem.Problem{Place: problem.Place{File: report}, What: "the report was changed while it was read", Hint: "wait until the other program has saved it and try again", Disk: true})
	}
	j.lay(ui, blocks, paper, nil)
	ui.problems(slices.DeleteFunc(slices.Clone(j.problems), func(p problem.Problem) bool { return p.Severity == problem.Error || p.What != settingsDiffer }), true)
	if stop := j.status(); stop != nil {
		ui.problems(j.problems, false)
		ui.say("Nothing was written: %s to mend.", counted(j.problems.Errors(), "error"))
		return stop
	}
	return j.write(ui, to)
}

const settingsDiffer = "the first run was made with other settings"

// otherSettings notes that the printers, the stocks and the type may not be those of the first run.
func otherSettings(report, was string, s *config.Settings) problem.Problem {
	name := func(file string) string {
		if file == "" {
			return "the built-in settings"
		}
		return filepath.Base(file)
	}
	p := problem.Problem{Severity: problem.Note, Place: problem.Place{File: filepath.Base(report)}, What: settingsDiffer,
		Cause: "then it was " + name(was) + ", now it is " + name(s.File), Hint: "if that is not meant, give the file with --config"}
	return p
}

// known spells the codes as the report does, and refuses those that are not in it.
func known(ui *ui, source *intake.Source, report string, codes []string) ([]string, error) {
	var list problem.List
	spelled := map[string]string{}
	for _, c := range source.Codes {
		spelled[strings.ToUpper(c)] = c
	}
	var out []string
	for _, c := range codes {
		c = strings.TrimSpace(c)
		if source.Known(c) {
			out = append(out, spelled[strings.ToUpper(c)])
			continue
		}
		at := problem.Place{File: filepath.Base(report)}
		if why, held := source.Held[strings.ToUpper(c)]; held {
			list.Add(at, fmt.Sprintf("the block %s was held back and never printed", strings.ToUpper(c)), why, "mend its row in the spreadsheet and run make again")
			continue
		}
		hint := "the sheet Blocks of the report lists the codes"
		if near := nearCodes(c, source.Codes); len(near) > 0 {
			hint = "did you mean " + strings.Join(near, " or ") + "? " + hint
		}
		list.Add(at, fmt.Sprintf("there is no block “%s” in the report", c), "", hint)
	}
	if len(list) > 0 {
		ui.problems(list, false)
		ui.say("Nothing was written.")
		return nil, status(exitUsage)
	}
	return out, nil
}

// nearCodes are up to three codes that may have been meant, the nearest first.
func nearCodes(typed string, codes []string) []string {
	left := slices.Clone(codes)
	var out []string
	for len(out) < 3 {
		near := config.Near(typed, left)
		if near == "" {
			break
		}
		out = append(out, near)
		left = slices.DeleteFunc(left, func(s string) bool { return s == near })
	}
	return out
}

var redone = regexp.MustCompile(`^(.*)-redo(?:-([0-9]{1,6}))?$`)

// redoNames are the PDF and the report of a redo: retreat-report.xlsx gives retreat-redo.pdf and retreat-report-redo.xlsx,
// and that one retreat-redo-2.pdf and retreat-report-redo-2.xlsx.
func redoNames(report string) (pdf, next string) {
	stem := strings.TrimSuffix(filepath.Clean(report), filepath.Ext(report))
	add := "-redo"
	if m := redone.FindStringSubmatch(stem); m != nil {
		n := 1
		if m[2] != "" {
			n, _ = strconv.Atoi(m[2])
		}
		stem, add = m[1], fmt.Sprintf("-redo-%d", n+1)
	}
	return strings.TrimSuffix(stem, "-report") + add + ".pdf", stem + add + ".xlsx"
}

// smaller says of which blocks the text is set smaller than the first time: because it was changed, or the settings were.
func (j *work) smaller(ui *ui) {
	said := map[string]bool{}
	for i := range j.plan.Pieces {
		for _, b := range j.plan.Pieces[i].Blocks {
			if was := b.Setting.Block.Type.Largest; b.Setting.Size < was && !said[b.Code] {
				said[b.Code] = true
				ui.say("%s is set in %s, the first time it was %s: its text or the settings have changed.", b.Code, b.Setting.Size.Format(measure.Pt), was.Format(measure.Pt))
			}
		}
	}
}

// badReport tells of an old report that cannot be written anew.
func (u *ui) badReport(err error, path string) error {
	if !errors.Is(err, guide.ErrReport) {
		u.fault(err)
		return status(exitFile)
	}
	u.problems(problem.List{{Place: problem.Place{File: filepath.Base(path)}, What: "the report cannot be written anew", Cause: "it was changed so that its sheets cannot be told apart",
		Hint: "name the report as make wrote it, or open it in a spreadsheet program and save it again as .xlsx"}}, false)
	u.say("Nothing was written.")
	return status(exitInput)
}
