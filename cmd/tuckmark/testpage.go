package main

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/about"
	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/guide"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
)

func testpageCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var name, out, measured string
	c := &cobra.Command{
		Use:   "testpage --printer NAME",
		Short: "Make a page to measure a printer by, or say what to enter for what was measured",
		Long: `testpage writes a page with rulers, a frame and crosses at known places. Print it, measure where the crosses
are, and enter shift and scale for the printer in tuckmark.yaml; everything is then printed with that correction.
With --measured it writes nothing and says what to enter.`,
		Args: about.NoArguments,
		RunE: func(c *cobra.Command, _ []string) error {
			s, _, err := w.resolve(c, ui, nil)
			if err != nil {
				return err
			}
			p, err := ui.printer(s, name)
			if err != nil {
				return err
			}
			if measured != "" {
				return correction(ui, s, p, measured)
			}
			if out == "" {
				var names []string
				for _, other := range s.Printers {
					names = append(names, other.Name)
				}
				out = "testpage-" + naming.Distinct(names)[slices.Index(names, p.Name)] + ".pdf"
			}
			return writeTestPage(ui, s, p, out, w.guard)
		},
	}
	w.settingFlags(c)
	c.Flags().StringVar(&name, "printer", "", "the printer's `name` in the configuration (may be left out where there is only one)")
	c.Flags().StringVarP(&out, "output", "o", "", "write the page to this `file` (default: testpage-NAME.pdf in the working folder)")
	c.Flags().StringVar(&measured, "measured", "", "the four `measures` A; B; C; D as found on the printed page")
	return c
}

// printer finds one by name.
func (u *ui) printer(s *config.Settings, name string) (config.Printer, error) {
	if name == "" && len(s.Printers) == 1 {
		return s.Printers[0], nil
	}
	var names, quoted []string
	for _, p := range s.Printers {
		if p.Name == name {
			return p, nil
		}
		names, quoted = append(names, p.Name), append(quoted, measure.Quote(p.Name))
	}
	what, cause, hint := "there is no printer "+measure.Quote(name), "the configuration knows "+strings.Join(quoted, ", "), "name one of them with --printer"
	if name == "" {
		what = "which printer is the page for?"
	}
	if near := config.Near(name, names); near != "" && name != "" {
		hint = "did you mean " + measure.Quote(near) + "?"
	}
	u.problems(problem.List{{What: what, Cause: cause, Hint: hint}}, false)
	return config.Printer{}, status(exitUsage)
}

func writeTestPage(ui *ui, s *config.Settings, p config.Printer, to string, g save.Guard) error {
	if size, _ := guide.TestPiece(p, s); size.W < 3*measure.Inch || size.H < 4*measure.Inch {
		ui.problems(problem.List{{What: fmt.Sprintf("the printer “%s” pulls no paper that is large enough for a test page", p.Name),
			Cause: fmt.Sprintf("the largest it pulls is %s", measure.Size{W: p.Widest, H: p.Longest}.About(s.Unit)),
			Hint:  "check the printer's measures in the configuration, and their unit"}}, false)
		return status(exitUsage)
	}
	page := guide.TestPage(p, s, typeset.NewLibrary(s.Fonts))
	var pdf bytes.Buffer
	title := "Test page of " + p.Name
	if err := press.Write(&pdf, press.Document{Title: title, Subject: press.TestPage, Language: "en", Plan: guide.TestPlan(p, s).WriteFile, Sections: []press.Section{{Title: "Test page", Pages: []press.Page{page}}}}, nil); err != nil {
		ui.fault(err)
		return status(exitFile)
	}
	if err := ui.save(g, save.File{Flag: "-o", Path: to, Data: pdf.Bytes()}); err != nil {
		return err
	}
	size, _ := guide.TestPiece(p, s)
	ui.say("To print with “%s” on plain paper of %s, at actual size: %s", p.Name, size.About(s.Unit), to)
	if !p.Feeds(s.Guide) {
		ui.say("  (it pulls no sheet of %s: cut one first)", s.Guide.About(s.Unit))
		ui.say("What to do with it, for which the page itself has less room:")
		ui.lines(guide.TestSteps(p, s))
		return nil
	}
	ui.say("The page says what to measure and where to enter it.")
	return nil
}

// correction says what to enter for the crosses as they were found.
func correction(ui *ui, s *config.Settings, p config.Printer, measured string) error {
	u := s.Unit.Ruler() // as the page has it
	found, bad := guide.ReadCrosses(measured, u)
	if bad != nil {
		ui.problems(problem.List{*bad}, false)
		return status(exitUsage)
	}
	_, at := guide.TestPiece(p, s)
	shift, scale, ok := guide.Correct(p, at, found)
	if !ok {
		ui.problems(problem.List{{What: "these cannot be the crosses of the test page",
			Cause: fmt.Sprintf("they should be about %s; %s; %s; %s", at.Left.About(u), at.Right.About(u), at.Top.About(u), at.Bottom.About(u)),
			Hint:  "measure each from the left or the upper edge of the paper; a page printed with “fit to page” has to be printed again at actual size"}}, false)
		return status(exitUsage)
	}
	file := "tuckmark.yaml"
	if s.File != "" {
		file = s.File
	}
	ui.say("Enter for the printer “%s” in %s:", p.Name, file)
	ui.say("")
	ui.say("%s", guide.CorrectionYAML(p.Name, shift, scale, s.Unit))
	ui.say("")
	ui.say("Then print the test page again: the crosses should be where it says.")
	return nil
}
