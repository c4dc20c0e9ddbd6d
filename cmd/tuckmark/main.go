// Command tuckmark turns spreadsheets of journaling into finished blocks of paper: one PDF to print and cut, and a
// report to sort, reprint and pay by.
package main

import (
	"errors"
	"fmt"
	"io"
	"os"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/about"
	"tuckmark/cmd/internal/host"
	"tuckmark/cmd/internal/save"
)

// The exit statuses.
const (
	exitDone  = 0
	exitInput = 1 // the input has errors
	exitUsage = 2 // usage or configuration
	exitFile  = 3 // a file could not be read or written

	exitStopped = 130 // by a signal, as a shell has it: 128 and the number of the interrupt
)

// status ends a command with an exit status; what there was to say has been said.
type status int

func (s status) Error() string { return fmt.Sprintf("exit status %d", int(s)) }

func main() {
	if host.FewHandles() {
		fmt.Fprint(os.Stderr, "tuckmark: this user may have too few files open at once; nothing was written\n  to do: allow more (`ulimit -n 256`), or close other programs\n")
		os.Exit(exitFile)
	}
	if limit := host.LittleMemory(); limit > 0 {
		fmt.Fprintf(os.Stderr, "tuckmark: a program of this user may have %d MB of memory, which is too little; nothing was written\n  to do: allow more (`ulimit -v unlimited`); what is used of it is far less\n", limit>>20)
		os.Exit(exitFile)
	}
	host.LimitMemory(0)
	host.WhenEnded(func(atOnce string) {
		said := "stopped; nothing was written"
		if atOnce != "" {
			said = "stopped at once; " + atOnce
		}
		if save.Stop() {
			said = "stopped; what was written is complete"
		}
		fmt.Fprintln(os.Stderr, "\ntuckmark: "+said)
		os.Exit(exitStopped)
	})
	os.Exit(run(os.Args[1:], os.Stdout, os.Stderr))
}

// run is the whole command; tests call it.
func run(args []string, stdout, stderr io.Writer) (code int) {
	ui := newUI(stdout, stderr)
	defer func() {
		if r := recover(); r != nil { // this cannot happen, so it is told apart from what the input can bring about
			ui.fault(r)
			code = exitFile
		}
	}()
	root := commands(ui)
	root.SetArgs(args)
	root.SetOut(ui.out)
	root.SetErr(ui.err)
	err := root.Execute()
	var s status
	switch {
	case err == nil:
		code = exitDone
	case errors.As(err, &s):
		code = int(s)
	default:
		ui.usage(err)
		return exitUsage
	}
	if ui.unheard() && code == exitDone {
		code = exitFile
	}
	return code
}

func commands(ui *ui) *cobra.Command {
	root := &cobra.Command{
		Use:   "tuckmark",
		Short: "Journaling, set to its measured spaces and laid on special stock to print and cut",
		Long: `tuckmark reads spreadsheets of journaling texts and measured spaces, sets every text as large as its space
allows, lays the blocks on the stock they ask for so that a paper trimmer can cut them apart, and writes one
PDF to print and a report to sort and pay by.`,
		Version:       about.Version(),
		Args:          about.NoArguments,
		SilenceErrors: true,
		SilenceUsage:  true,
		RunE: func(c *cobra.Command, _ []string) error {
			return c.Help()
		},
	}
	root.CompletionOptions.DisableDefaultCmd = true
	root.AddCommand(deskCommand(ui), formCommand(ui), checkCommand(ui), proofCommand(ui), makeCommand(ui), printCommand(ui), redoCommand(ui), noteCommand(ui), testpageCommand(ui), printersCommand(ui), fontsCommand(ui),
		about.Completion(ui.out))
	about.Words(root)
	return root
}
