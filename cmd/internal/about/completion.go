package about

import (
	"errors"
	"io"
	"slices"
	"strings"

	"github.com/spf13/cobra"
)

var shells = []string{"bash", "zsh", "fish", "powershell"}

// Completion is the command that writes the script by which a shell completes commands and options.
func Completion(out io.Writer) *cobra.Command {
	return &cobra.Command{
		Use:   "completion SHELL",
		Short: "Let the Tab key complete commands and options in a terminal",
		Long: `completion writes a script for your shell: ` + strings.Join(shells[:len(shells)-1], ", ") + " or " + shells[len(shells)-1] + `. Read in at the start of the shell, it lets the
Tab key complete commands and options. In bash, for one session:

    source <(tuckmark completion bash)

and for all, the same line at the end of the file .bashrc in your home folder.`,
		ValidArgs: shells,
		Args: func(_ *cobra.Command, args []string) error {
			if len(args) != 1 || !slices.Contains(shells, args[0]) {
				return errors.New("name one shell: " + strings.Join(shells, ", "))
			}
			return nil
		},
		RunE: func(c *cobra.Command, args []string) error {
			switch root := c.Root(); args[0] {
			case "bash":
				return root.GenBashCompletionV2(out, true)
			case "zsh":
				return root.GenZshCompletion(out)
			case "fish":
				return root.GenFishCompletion(out, true)
			default:
				return root.GenPowerShellCompletionWithDesc(out)
			}
		},
	}
}
