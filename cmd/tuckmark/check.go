package main

import (
	"bytes"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tuckmark/config/problem"
	"tuckmark/intake"
	"tuckmark/intake/form"
)

func usagef(format string, args ...any) error { return fmt.Errorf(format, args...) }

// needFiles is the rule for commands that read journaling.
func needFiles(_ *cobra.Command, args []string) error {
	if len(args) == 0 {
		return usagef("name at least one spreadsheet, or a folder of them")
	}
	return nil
}

func checkCommand(ui *ui) *cobra.Command {
	var w wishes
	var asJSON, columns bool
	var marked string
	c := &cobra.Command{
		Use:   "check FILE...",
		Short: "Tell everything that is wrong, by cell and by person",
		Long: `Tells everything that is wrong or doubtful, by cell, and ends with what each person has to mend. It writes
nothing; with -o it writes the rows as a workbook to send round, in which the cells to mend are marked.`,
		Args: needFiles,
		RunE: func(c *cobra.Command, args []string) error {
			if marked != "" {
				if err := sameFile(w.inputs(args), []string{marked}); err != nil {
					return err
				}
			}
			j, err := w.prepare(c, ui, args)
			if err != nil {
				return err
			}
			if marked != "" {
				var book bytes.Buffer
				if err := form.WriteMarked(&book, j.job, j.problems); err != nil {
					ui.fault(err)
					return status(exitFile)
				}
				if err := ui.saveOne("", marked, book.Bytes()); err != nil {
					return err
				}
			}
			if asJSON {
				if err := ui.json(j.problems, j.ready(), len(j.held)); err != nil {
					return status(exitFile)
				}
				return j.status()
			}
			if columns {
				ui.columns(j.job.Columns)
			}
			ui.problems(j.problems, true)
			errors := j.problems.Errors()
			ui.say("%s ready to print, %d held back; %s, %s.", counted(j.ready(), "block"), len(j.held), counted(errors, "error"), counted(len(j.problems)-errors, "note"))
			if said := j.said(); said != "" {
				ui.say("%s", said)
			}
			j.byPerson(ui)
			if marked != "" {
				ui.say("The rows with the cells to mend marked: %s", marked)
			}
			return j.status()
		},
	}
	w.flags(c)
	c.Flags().BoolVar(&asJSON, "json", false, "print the problems as JSON")
	c.Flags().BoolVar(&columns, "columns", false, "say what each column was taken for")
	c.Flags().StringVarP(&marked, "output", "o", "", "write the rows with the faulty cells marked to this `file`")
	return c
}

// columns says what every column was taken for.
func (u *ui) columns(list []intake.Column) {
	sheet := ""
	for _, c := range list {
		if at := place(problem.Place{File: c.File, Sheet: c.Sheet}); at != sheet {
			u.say("%s:", at)
			sheet = at
		}
		as := c.As
		switch {
		case c.Double:
			as = "not read; another column is " + as + " already"
		case as == "":
			as = "not read"
		case c.Unit != "":
			as += ", in " + c.Unit
		}
		u.say("%s", printable(fmt.Sprintf("  %-3s %s: %s", c.Letter(), c.Heading, as)))
	}
}

// byPerson ends a check with what each person has to mend, ready to be sent.
func (j *work) byPerson(ui *ui) {
	var people []string
	theirs := map[string]problem.List{}
	for _, p := range j.problems {
		who := j.job.Person(p.Place)
		if who == "" || p.Severity == problem.Note {
			continue
		}
		if theirs[who] == nil {
			people = append(people, who)
		}
		theirs[who] = append(theirs[who], p)
	}
	slices.Sort(people)
	for _, who := range people {
		ui.say("")
		ui.say("%s", printable(who+", please mend:"))
		for _, p := range theirs[who] {
			at := fmt.Sprintf("row %d", p.Place.Row)
			if p.Place.Column != "" {
				at += ", " + p.Place.Column
			}
			what := p.What
			if p.Hint != "" {
				what += ": " + p.Hint
			}
			ui.say("%s", printable(fmt.Sprintf("  %s: %s", at, what)))
		}
	}
}

// ready is the number of blocks that would be printed, each counted once whatever its copies.
func (j *work) ready() int {
	held := map[problem.Place]bool{}
	for _, h := range j.plan.Held {
		held[h.Place] = true
	}
	n := 0
	for _, b := range j.blocks {
		if !held[problem.Place{File: b.Place.File, Sheet: b.Place.Sheet, Row: b.Place.Row}] {
			n++
		}
	}
	return n
}

// counted is a number with its noun: "1 block", "3 blocks".
func counted(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
