package main

import (
	"bytes"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose/guide"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

func fontsCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var to string
	c := &cobra.Command{
		Use:   "fonts [NAME...]",
		Short: "List the names that Font may carry, or print a page to choose from",
		Long: `Lists the built-in fonts, those of the fonts folder and those of this machine; with names, only those that
contain one. With -o it makes pages that show them.`,
		RunE: func(c *cobra.Command, args []string) error {
			settings, _, err := w.resolve(c, ui, nil)
			if err != nil {
				return err
			}
			fonts := typeset.NewLibrary(settings.Fonts)
			names := slices.DeleteFunc(fonts.Names(), func(n typeset.Name) bool {
				return len(args) > 0 && !slices.ContainsFunc(args, func(a string) bool {
					return strings.Contains(strings.ToLower(n.Name), strings.ToLower(a))
				})
			})
			if len(names) == 0 {
				return usagef("no font's name contains “%s”; `tuckmark fonts` lists them all", strings.Join(args, "” or “"))
			}
			if to == "" {
				for _, n := range names {
					ui.say("%-28s %s", n.Name, kinds(n))
				}
				return nil
			}
			var pdf bytes.Buffer
			doc := press.Document{Title: "Fonts", Subject: press.FontPages, Language: "en", Sections: []press.Section{{Title: "Fonts", Pages: guide.Specimen(settings.Guide, fonts, names)}}}
			if err := press.Write(&pdf, doc, nil); err != nil {
				ui.fault(err)
				return status(exitFile)
			}
			if err := ui.save(w.guard, save.File{Flag: "-o", Path: to, Data: pdf.Bytes()}); err != nil {
				return err
			}
			ui.say("%s to choose from: %s", problem.Count(len(names), "font"), to)
			return nil
		},
	}
	w.settingFlags(c)
	c.Flags().StringVarP(&to, "output", "o", "", "write pages that show the fonts to this `file`")
	return c
}

// kinds says what there is of a face and where it comes from.
func kinds(n typeset.Name) string {
	s := "regular"
	if n.Bold {
		s += ", bold"
	}
	if n.Italic {
		s += ", italic"
	}
	return s + " (" + n.Source + ")"
}
