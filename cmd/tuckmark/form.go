package main

import (
	"bytes"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/about"
	"tuckmark/cmd/internal/save"
	"tuckmark/intake/form"
)

func formCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var to string
	var o form.Options
	c := &cobra.Command{
		Use:   "form",
		Short: "Make the blank workbook to hand round",
		Long: `Makes a workbook with a sheet that explains and one for the journaling. Its lists of stocks and fonts are those of the
configuration. Columns that few need are folded away; --full shows them all.`,
		Args: about.NoArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			settings, _, err := w.resolve(c, ui, nil)
			if err != nil {
				return err
			}
			var book bytes.Buffer
			if err := form.Write(&book, settings, o); err != nil {
				ui.fault(err)
				return status(exitFile)
			}
			if err := ui.save(w.guard, save.File{Flag: "-o", Path: to, Data: book.Bytes(), Stays: "a form that somebody filled in"}); err != nil {
				return err
			}
			ui.say("The form to hand round: %s", to)
			return nil
		},
	}
	w.settingFlags(c)
	c.Flags().StringVarP(&to, "output", "o", "journaling-form.xlsx", "write the form to this `file`")
	c.Flags().BoolVar(&o.Full, "full", false, "show all columns, and protect the headings")
	c.Flags().BoolVar(&o.Paper, "paper", false, "add a sheet for what lies in the folder, for your own use")
	return c
}
