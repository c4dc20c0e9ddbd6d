package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"tuckmark/config/problem"
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
	var asJSON bool
	c := &cobra.Command{
		Use:   "check FILE...",
		Short: "Tell everything that is wrong, by cell; write nothing",
		Args:  needFiles,
		RunE: func(c *cobra.Command, args []string) error {
			j, err := w.prepare(c, ui, args)
			if err != nil {
				return err
			}
			if asJSON {
				if err := ui.json(j.problems, j.ready(), len(j.held)); err != nil {
					return status(exitFile)
				}
				return j.status()
			}
			ui.problems(j.problems, true)
			errors := j.problems.Errors()
			ui.say("%s ready to print, %d held back; %s, %s.", counted(j.ready(), "block"), len(j.held), counted(errors, "error"), counted(len(j.problems)-errors, "note"))
			if said := j.said(); said != "" {
				ui.say("%s", said)
			}
			return j.status()
		},
	}
	w.flags(c)
	c.Flags().BoolVar(&asJSON, "json", false, "print the problems as JSON")
	return c
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
