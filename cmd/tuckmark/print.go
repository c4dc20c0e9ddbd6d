package main

import (
	"context"
	"os"
	"slices"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"tuckmark/cmd/internal/host"
	"tuckmark/cmd/internal/printjob"
	"tuckmark/config/problem"
)

func printCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var yes bool
	var stocks []string
	var o printjob.Options
	c := &cobra.Command{
		Use:   "print FILE.pdf",
		Short: "Print the pieces, each with its own size, tray and quality",
		Long: `print takes a PDF that make wrote to the printer, stock by stock: it says what to load and how it lies, sends the pieces with
their size, tray, kind of paper and quality, follows them to the end, and asks how they came out. It needs only the PDF, and
goes on where it stopped.

    tuckmark print retreat.pdf`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			s, _, err := w.resolve(c, ui, args)
			if err != nil {
				return err
			}
			if !yes && !o.DryRun {
				if !term.IsTerminal(int(os.Stdin.Fd())) {
					return usagef("there is no terminal to ask at; --yes prints without asking, --dry-run says what would be printed")
				}
			}
			ctx, end := context.WithCancel(c.Context())
			defer end()
			defer host.Unwind(end, "the same command says what is in doubt, and goes on")()
			if o.Stocks = printjob.Listed(stocks); len(o.Stocks) == 0 && c.Flags().Changed("stock") {
				return usagef("say which stocks: --stock vellum,cardstock")
			}
			o.Front = printjob.Terminal(os.Stdin, ui.out, yes || o.DryRun)
			complete, problems := printjob.Print(ctx, printjob.ThisComputer(), args[0], s, o)
			if ctx.Err() != nil {
				return status(exitStopped)
			}
			return ui.printed(complete, problems)
		},
	}
	w.settingFlags(c)
	c.Flags().StringArrayVar(&stocks, "stock", nil, "print the pieces of these `stocks` only")
	c.Flags().IntSliceVar(&o.Pages, "page", nil, "print these `pages` only")
	c.Flags().BoolVar(&o.Guides, "guides", false, "print the guides, not the pieces")
	c.Flags().BoolVar(&o.Again, "again", false, "print what has been printed before once more")
	c.Flags().BoolVar(&o.DryRun, "dry-run", false, "say what would be sent, and send nothing")
	c.Flags().BoolVar(&yes, "yes", false, "ask nothing: everything is loaded")
	return c
}

// printed tells what went wrong, and is the exit status.
func (u *ui) printed(complete bool, problems problem.List) error {
	u.problems(problems, true)
	switch {
	case slices.ContainsFunc(problems, func(p problem.Problem) bool { return p.Disk }):
		return status(exitFile)
	case !complete:
		return status(exitInput)
	}
	return nil
}

func printersCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var yaml bool
	c := &cobra.Command{
		Use:   "printers",
		Short: "Show what the printers of this computer can do",
		Long: `printers shows of each printer that is set up on this computer what sizes it pulls, its margins, trays, kinds of paper and
qualities; with --yaml as lines to put into tuckmark.yaml.`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			s, _, err := w.resolve(c, ui, nil)
			if err != nil {
				return err
			}
			problems := printjob.Printers(c.Context(), printjob.ThisComputer(), s.Unit, yaml, ui.say)
			return ui.printed(problems.Errors() == 0, problems)
		},
	}
	w.settingFlags(c)
	c.Flags().BoolVar(&yaml, "yaml", false, "as lines to put into tuckmark.yaml")
	return c
}
