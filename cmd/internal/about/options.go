package about

import (
	"errors"
	"slices"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
)

// strict refuses what a command's options cannot mean: an empty value, which would count as none, and one value after another, of which the last
// would count. Scripts write both when a variable of theirs is empty, or when a line is added to one that says the same.
func strict(c *cobra.Command) {
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if f.NoOptDefVal != "" { // it stands by itself
			return
		}
		if many(f.Value) {
			f.DefValue = "" // or the page of help would say "[]"
		}
		f.Value = &option{Value: f.Value, many: many(f.Value)}
	})
	rule := c.Args
	c.Args = func(c *cobra.Command, args []string) error {
		switch {
		case slices.ContainsFunc(args, empty):
			return errors.New("there is nothing between a pair of quotation marks; write what is meant, or leave them out")
		case rule == nil:
			return nil
		}
		return rule(c, args)
	}
}

func empty(text string) bool { return strings.TrimSpace(text) == "" }

// many reports a value that takes several.
func many(v pflag.Value) bool {
	return strings.HasSuffix(v.Type(), "Array") || strings.HasSuffix(v.Type(), "Slice")
}

// option is a value that is given once, or several times where it takes many, and has something in it.
type option struct {
	pflag.Value
	many, given bool
}

// What an option cannot be.
var (
	errEmpty = errors.New(" has nothing after it between its quotation marks; write what is meant, or leave it out")
	errTwice = errors.New(" is given twice, and only one of them can count; give it once")
)

func (o *option) Set(text string) error {
	switch {
	case empty(text), text == "=": // as of "-o=", of which the library hands on the sign
		return errEmpty
	case o.given && !o.many:
		return errTwice
	}
	o.given = true
	return o.Value.Set(text)
}
