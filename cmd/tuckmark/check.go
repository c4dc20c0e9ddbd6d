package main

import (
	"bytes"
	"errors"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/findings"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose"
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
	var w jobFlags
	var asJSON, columns, advice bool
	var marked, letters string
	c := &cobra.Command{
		Use:   "check FILE...",
		Short: "Tell everything that is wrong, by cell and by person",
		Long: `Tells everything that is wrong or doubtful: first what stops the print, then what may be meant otherwise, and at the end
what each person has to mend. It writes nothing; -o writes the rows as a workbook to send round, in which the cells
to mend are marked, and --letters a letter to each person and the list of whom to write to.`,
		Args: needFiles,
		RunE: func(c *cobra.Command, args []string) error {
			w.undrawn = true
			j, err := w.prepare(c, ui, args, marked)
			if err != nil {
				return err
			}
			if marked != "" {
				var book bytes.Buffer
				var unwritable *problem.Problem
				if err := form.WriteMarked(&book, j.Input, j.Problems, j.Settings); errors.As(err, &unwritable) {
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
				for _, line := range findings.Columns(j.Input.Columns) {
					ui.say("%s", line)
				}
			}
			found := findings.Of(j)
			ui.findings(j, found, advice)
			list := findings.Letters(j)
			if letters != "" {
				err = ui.letters(w.guard, letters, list)
			} else {
				ui.lines(findings.Shown(list))
			}
			if marked != "" { // it is there, whatever became of the letters
				ui.say("The rows with the cells to mend marked: %s", marked)
			}
			if err != nil {
				return err
			}
			own := findings.ForOrganiser(c.Context(), j)
			if len(list) == 0 { // there is nobody else whose part it could be
				own = slices.DeleteFunc(own, func(line string) bool { return slices.Contains(found.Stops, line) })
			}
			if len(own) > 0 {
				ui.say("\nFor you to settle:")
				for _, line := range own {
					ui.say("%s", "  "+line)
				}
			}
			ui.say("%s", findings.Next(j))
			return statusOf(j)
		},
	}
	w.flags(c)
	c.Flags().BoolVar(&asJSON, "json", false, "print the problems as JSON")
	c.Flags().BoolVar(&advice, "advice", false, "list the advice, which else is only counted")
	c.Flags().StringVar(&letters, "letters", "", "write a letter to each person who has something to mend into this `folder`")
	c.Flags().BoolVar(&columns, "columns", false, "say what each column was taken for")
	c.Flags().StringVarP(&marked, "output", "o", "", "write the rows with the faulty cells marked to this `file`")
	return c
}

// findings shows what a check found: what stops the print, what is doubtful, and how much advice there is.
func (u *ui) findings(j *impose.Job, f findings.Findings, advice bool) {
	tell := func(kind string, lines []string) {
		for _, line := range lines {
			fmt.Fprint(u.err, kind+": "+line+"\n")
		}
	}
	tell("error", f.Stops)
	tell("note", f.Doubts)
	if advice {
		tell("advice", f.Advice)
	}
	errors := j.Problems.Errors()
	u.say("%s ready to print, %d held back; %s, %s.", problem.Count(j.Ready(), "block"), len(j.Held), problem.Count(errors, "error"), problem.Count(len(j.Problems)-errors-f.Texts, "note"))
	if said := f.AdviceLine(); said != "" && !advice {
		u.say("%s", said)
	}
	if said := findings.Answers(j); said != "" {
		u.say("%s", said)
	}
}

// letters writes letters into a folder, and beside them the list of whom to write to.
func (u *ui) letters(g save.Guard, folder string, list []findings.Letter) error {
	var files []save.File
	for _, l := range append(list, findings.Letter{File: findings.ListFile, Text: findings.List(list)}) {
		files = append(files, save.File{Flag: "--letters", Path: filepath.Join(folder, l.File), Data: []byte(l.Text), Stays: "no letter of an earlier check", Ours: findings.IsOurs})
	}
	if err := u.into(g, folder, "--letters", files); err != nil {
		return err
	}
	u.say("%s in %s; list.txt says whom to write to.", problem.Count(len(list), "letter"), folder)
	return nil
}
