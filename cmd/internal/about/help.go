package about

import (
	"errors"
	"regexp"
	"strconv"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/config"
)

// usage is a command's page below what it says in its own text: how it is called, what it can do and its options.
const usage = `How to call it:
  {{if .HasAvailableSubCommands}}{{.CommandPath}} COMMAND ...{{else}}{{.UseLine}}{{end}}
{{- if .HasAvailableSubCommands}}

Commands, in the order of the work:
{{- range .Commands}}{{if .IsAvailableCommand}}
  {{rpad .Name .NamePadding }} {{.Short}}{{end}}{{end}}
{{- end}}
{{- if .HasAvailableLocalFlags}}

Options:
{{.LocalFlags.FlagUsages | trimTrailingWhitespaces}}
{{- end}}
{{- if .HasAvailableSubCommands}}

` + "`{{.CommandPath}} COMMAND --help`" + ` tells more of a command.
{{- end}}
`

// Words gives the whole command our wording instead of the library's: pages of help that list the commands in the order in which
// they were added, and complaints that say what to do.
func Words(root *cobra.Command) {
	cobra.EnableCommandSorting = false
	cobra.MousetrapHelpText = "" // who opens the program by a double click gets the help, as on a command line
	root.SetUsageTemplate(usage)
	root.SetVersionTemplate("{{.Name}} {{.Version}}\n")
	helper := &cobra.Command{Use: "help COMMAND", Short: "Tell more of a command", Hidden: true, RunE: help}
	root.SetHelpCommand(helper)
	root.SetFlagErrorFunc(func(c *cobra.Command, err error) error { return errors.New(inOurWords(c, err)) })
	for _, c := range append(root.Commands(), root, helper) {
		c.DisableFlagsInUseLine = true
		c.InitDefaultHelpFlag()
		c.Flags().Lookup("help").Usage = "show this page"
		strict(c)
	}
	root.InitDefaultVersionFlag()
	root.Flags().Lookup("version").Usage = "say which version this is"
}

// help shows the page of the command that is named, or the first page.
func help(c *cobra.Command, args []string) error {
	about, rest, err := c.Root().Find(args)
	if err != nil || len(rest) > 0 {
		return NoCommand(c.Root(), strings.Join(args, " "))
	}
	return about.Help()
}

// NoCommand is the complaint about a word that is no command.
func NoCommand(root *cobra.Command, word string) error {
	what := "there is no command “" + word + "”"
	var names []string
	for _, c := range root.Commands() {
		names = append(names, c.Name())
	}
	if near := config.Near(word, names); near != "" {
		return errors.New(what + "; did you mean " + near + "?")
	}
	return errors.New(what)
}

var (
	notThere  = regexp.MustCompile(`^unknown (?:shorthand )?flag: (?:.* in )?(-\S+)$`)
	nothing   = regexp.MustCompile(`^flag needs an argument: (?:.* in )?(-\S+)$`)
	wrongSort = regexp.MustCompile(`^invalid argument "(.*)" for "(?:-\w, )?(--\S+)" flag: `)
)

// inOurWords words what the library says of an option as the rest of the program speaks.
func inOurWords(c *cobra.Command, err error) string {
	said := err.Error()
	if m := notThere.FindStringSubmatch(said); m != nil {
		return c.Name() + " has no option " + m[1]
	}
	if m := nothing.FindStringSubmatch(said); m != nil {
		return m[1] + " needs something after it"
	}
	if m := wrongSort.FindStringSubmatch(said); m != nil {
		for _, why := range []error{errEmpty, errTwice} {
			if errors.Is(err, why) {
				return m[2] + why.Error()
			}
		}
		text := m[1]
		if plain, err := strconv.Unquote(`"` + text + `"`); err == nil { // as it was typed
			text = plain
		}
		if f := c.Flags().Lookup(strings.TrimPrefix(m[2], "--")); f != nil && f.NoOptDefVal != "" {
			return m[2] + " stands by itself, without “" + text + "”"
		}
		return "“" + text + "” does not go with " + m[2]
	}
	return said
}

// NoArguments is the rule for commands that take options only. The first command is called with a word where that is no command.
func NoArguments(c *cobra.Command, args []string) error {
	switch {
	case len(args) == 0:
		return nil
	case !c.HasParent():
		return NoCommand(c, args[0])
	}
	return errors.New(c.Name() + " takes options only, not “" + args[0] + "”")
}
