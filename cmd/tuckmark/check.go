package main

import (
	"bytes"
	"errors"
	"fmt"
	"slices"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose"
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
			j, err := w.prepare(c, ui, args, marked)
			if err != nil {
				return err
			}
			if marked != "" {
				var book bytes.Buffer
				var unwritable *problem.Problem
				if err := form.WriteMarked(&book, j.Input, j.Problems); errors.As(err, &unwritable) {
					j.Problems, marked = append(j.Problems, *unwritable), ""
				} else if err != nil {
					ui.fault(err)
					return status(exitFile)
				} else if err := ui.save(w.guard, save.File{Flag: "-o", Path: marked, Data: book.Bytes()}); err != nil {
					return err
				}
			}
			if asJSON {
				if err := j.Problems.WriteJSON(ui.out, j.Ready(), len(j.Held)); err != nil {
					return status(exitFile)
				}
				return statusOf(j)
			}
			if columns {
				ui.columns(j.Input.Columns)
			}
			ui.problems(j.Problems, true)
			wrong := j.Problems.Errors()
			ui.say("%s ready to print, %d held back; %s, %s.", problem.Count(j.Ready(), "block"), len(j.Held), problem.Count(wrong, "error"), problem.Count(len(j.Problems)-wrong, "note"))
			if said := answersIn(j); said != "" {
				ui.say("%s", said)
			}
			ui.byPerson(j)
			if marked != "" {
				ui.say("The rows with the cells to mend marked: %s", marked)
			}
			return statusOf(j)
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
		if at := (problem.Place{File: c.File, Sheet: c.Sheet}).String(); at != sheet {
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
		u.say("  %-3s %s: %s", c.Letter(), c.Heading, as)
	}
}

// byPerson ends a check with what each person has to mend, ready to be sent.
func (ui *ui) byPerson(j *impose.Job) {
	var people []string
	theirs := map[string]problem.List{}
	for _, p := range j.Problems {
		who := j.Input.Person(p.Place)
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
		ui.say("%s, please mend:", who)
		for _, p := range theirs[who] {
			at := fmt.Sprintf("row %d", p.Place.Row)
			if p.Place.Column != "" {
				at += ", " + p.Place.Column
			}
			what := p.What
			if p.Hint != "" {
				what += ": " + p.Hint
			}
			ui.say("  %s: %s", at, what)
		}
	}
}
