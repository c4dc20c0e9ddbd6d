package main

import (
	"context"
	"errors"
	"os"
	"path/filepath"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/host"
	"tuckmark/cmd/tuckmark/desk"
	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose"
)

func deskCommand(ui *ui) *cobra.Command {
	var w jobFlags
	o := desk.Options{Say: func(line string) { ui.say("%s", line) }}
	c := &cobra.Command{
		Use:   "desk [FILE...]",
		Short: "Do the whole job in a browser",
		Long: `desk opens the job in a browser on this computer: type or drop the journaling, see every block as it will be, and the
sheets fill. A file that is given is only read; the job lives in a workbook of its own beside it, NAME-desk.xlsx, which every other
command reads. Nothing leaves this computer, and no network is needed. It ends with "Quit" in the browser, or with Ctrl-C.

    tuckmark desk samples/retreat.xlsx`,
		RunE: func(c *cobra.Command, args []string) error {
			work, err := os.Getwd()
			if err != nil {
				return usagef("the working folder cannot be found")
			}
			o.Files, o.Work = args, work
			o.Settings = func(near string) (*config.Settings, problem.List) {
				s, list, err := w.settings(c, filepath.Dir(near)) // the job's own workbook may not be there yet
				if err != nil {
					list.Add(problem.Place{}, err.Error(), "", "")
				}
				return s, list
			}
			ctx, end := context.WithCancel(c.Context())
			defer end()
			defer host.Unwind(end, "what was typed is kept, and the same command goes on from there")()
			err = desk.Run(ctx, o)
			var refused *desk.Refused
			if errors.As(err, &refused) {
				ui.problems(refused.Problems, false)
				if refused.Settings {
					return status(exitUsage)
				}
				return statusOf(&impose.Job{Problems: refused.Problems})
			}
			return err
		},
	}
	w.settingFlags(c)
	c.Flags().BoolVar(&o.NoBrowser, "no-browser", false, "open no browser, and print the address with its secret")
	return c
}
