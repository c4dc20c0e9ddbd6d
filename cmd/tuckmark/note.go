package main

import (
	"bytes"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// note is one block without a spreadsheet: its flags are the headings of the form.
type note struct {
	fields []noteField
	on     string
	fonts  *typeset.Library
}

type noteField struct{ flag, heading, text string }

func (n *note) flags(c *cobra.Command) {
	n.fields = []noteField{{flag: "space", heading: "Space"}, {flag: "stock", heading: "Stock"}, {flag: "name", heading: "Name"}, {flag: "tuck", heading: "Tuck"},
		{flag: "font", heading: "Font"}, {flag: "size", heading: "Size"}, {flag: "align", heading: "Align"}, {flag: "ink", heading: "Ink"},
		{flag: "turn", heading: "Turn"}, {flag: "title", heading: "Title"}}
	usage := map[string]string{
		"space": "print one block, now: the `size` of the space on the page, like \"4 x 2\"; the text follows, or comes on standard input",
		"stock": "with --space: the `stock` to print on", "name": "with --space: whose block it is",
		"tuck": "with --space: blank allowance, as a `measure` on top, like \"top 1/2 left 1/4\", or none", "font": "with --space: the `font`",
		"size": "with --space: the largest type size in `points`", "align": "with --space: left, centre, right or justified; top, middle or bottom",
		"ink": "with --space: the `colour` of the text", "turn": "with --space: no, if the block must not lie turned", "title": "with --space: a heading line",
	}
	for i := range n.fields {
		c.Flags().StringVar(&n.fields[i].text, n.fields[i].flag, "", usage[n.fields[i].flag])
	}
	c.Flags().StringVar(&n.on, "on", "", "with --space: the `size` of the piece in hand, width first as it is fed, like \"4 x 7 1/2\" (default: a sheet)")
}

// wanted reports whether a command line asks for one block.
func (n *note) wanted(c *cobra.Command) bool { return c.Flags().Changed("space") }

// args is the rule for the arguments of make: files, or with --space a text.
func (n *note) args(c *cobra.Command, args []string) error {
	if n.wanted(c) {
		for _, f := range []string{"paper", "report", "hold-back", "split", "gap"} {
			if c.Flags().Changed(f) {
				return usagef("--%s does not go with --space, which prints one block without a spreadsheet", f)
			}
		}
		if len(args) == 1 {
			if info, err := os.Stat(args[0]); err == nil && info.Mode().IsRegular() {
				return usagef("with --space the text itself is given, not a file; “%s” is a file (its text can be sent in: tuckmark make --space ... < %s)", args[0], args[0])
			}
		}
		return nil
	}
	for _, f := range append(n.fields[1:], noteField{flag: "on"}) {
		if c.Flags().Changed(f.flag) {
			return usagef("--%s goes with --space, the size of the space for one block", f.flag)
		}
	}
	return needFiles(c, args)
}

// mostNote is far more than any space holds.
const mostNote = 1 << 20

// words is the text: the arguments, or with none or a hyphen standard input.
func (n *note) words(ui *ui, args []string) (string, error) {
	if len(args) > 0 && (len(args) > 1 || args[0] != "-") {
		return strings.Join(args, " "), nil
	}
	ui.prompt("Type the text, and end it with Ctrl-D on a line of its own (Ctrl-Z and Enter on Windows):")
	data, err := io.ReadAll(io.LimitReader(os.Stdin, mostNote))
	if err != nil {
		ui.problems(problem.List{{What: "the text could not be read from standard input", Hint: "give it on the command line, in quotes"}}, false)
		return "", status(exitFile)
	}
	return strings.TrimSpace(strings.TrimPrefix(string(data), "\ufeff")), nil
}

// make sets the block, lays it at the end of the piece in hand and writes its page.
func (n *note) make(c *cobra.Command, ui *ui, w *wishes, to targets, args []string) error {
	if to.pdf == "" {
		to.pdf = "note.pdf"
	}
	var inputs []string
	if w.config != "" {
		inputs = []string{w.config}
	}
	outs := []string{to.pdf}
	if to.plan != "" {
		outs = append(outs, to.plan)
	}
	if err := sameFile(inputs, outs); err != nil {
		return err
	}
	s, _, err := w.resolve(c, ui, ".")
	if err != nil {
		return err
	}
	hand, err := n.hand(ui, s)
	if err != nil {
		return err
	}
	text, err := n.words(ui, args)
	if err != nil {
		return err
	}
	set, err := n.set(ui, s, text, hand)
	if err != nil {
		return err
	}
	if hand == (measure.Size{}) {
		hand = n.sheet(s, set.Block.Stock)
	}
	strip, bad := impose.OnStrip(set, hand, s)
	if bad != nil {
		return ui.nothing(problem.List{*bad})
	}
	if faults := verify(strip.Plan, []intake.Block{*set.Block}, s); len(faults) > 0 {
		return ui.broken(strip.Plan, faults, to)
	}
	if err := n.write(ui, s, strip, to); err != nil {
		return err
	}
	n.tell(ui, s, strip, to)
	return nil
}

// hand is the piece that --on names, or nothing.
func (n *note) hand(ui *ui, s *config.Settings) (measure.Size, error) {
	if n.on == "" {
		return measure.Size{}, nil
	}
	size, err := measure.ParseSize(n.on, s.Unit)
	if err != nil || size.At(0, 0).Empty() {
		what := "a piece of no width or height"
		if err != nil {
			what = err.Error()
		}
		ui.problems(problem.List{{Place: problem.Place{File: "--on"}, What: what, Hint: `give width x height of the piece in hand, like --on "4 x 7 1/2"`}}, false)
		return measure.Size{}, status(exitUsage)
	}
	return size, nil
}

// sheet is the first sheet or leftover of a stock.
func (n *note) sheet(s *config.Settings, stock string) measure.Size {
	t, _ := s.Stock(stock)
	for _, leftovers := range []bool{true, false} {
		for _, sh := range t.Sheets {
			if sh.Leftover == leftovers && sh.Count != 0 {
				return sh.Size
			}
		}
	}
	return s.Guide
}

// set checks and sets the block.
func (n *note) set(ui *ui, s *config.Settings, text string, hand measure.Size) (*typeset.Setting, error) {
	fields := []intake.Field{{Heading: "Journaling", Text: text}}
	flags := map[string]string{"Journaling": "the text"}
	for _, f := range n.fields {
		if f.heading == "Name" && f.text == "" {
			f.text = "Note"
		}
		if f.text != "" {
			fields = append(fields, intake.Field{Heading: f.heading, Text: f.text})
		}
		flags[f.heading] = "--" + f.flag
	}
	var sizes []measure.Size
	if hand != (measure.Size{}) {
		sizes = append(sizes, hand)
	}
	block, problems := intake.One(fields, s, sizes...)
	n.fonts = typeset.NewLibrary(s.Fonts)
	var set []typeset.Setting
	if problems.Errors() == 0 {
		set, _, problems = typeset.Set(n.fonts, []intake.Block{block}, s, nil)
	}
	for i := range problems { // there are no cells to point at
		problems[i].Place = problem.Place{File: flags[problems[i].Place.Column]}
	}
	if problems.Errors() > 0 {
		return nil, ui.nothing(problems)
	}
	return &set[0], nil
}

// nothing tells what is wrong with the block.
func (u *ui) nothing(list problem.List) error {
	u.problems(list, false)
	u.say("Nothing was written.")
	return status(exitInput)
}

func (n *note) write(ui *ui, s *config.Settings, strip *impose.Strip, to targets) error {
	d := impose.Drawer{Library: n.fonts}
	var pdf, plan bytes.Buffer
	if err := press.Write(&pdf, press.Document{Title: "Note", Sections: d.Draw(strip.Plan, s)}, nil); err != nil {
		ui.fault(err)
		return status(exitFile)
	}
	if err := planFile(&plan, strip.Plan); err != nil {
		ui.fault(err)
		return status(exitFile)
	}
	return ui.save(file{"--plan", to.plan, plan.Bytes()}, file{"-o", to.pdf, pdf.Bytes()})
}

// tell says how to print and cut it, and what then remains.
func (n *note) tell(ui *ui, s *config.Settings, strip *impose.Strip, to targets) {
	u := s.Unit
	p := &strip.Plan.Pieces[0]
	b := &p.Blocks[0]
	stock, _ := s.Stock(p.Stock)
	if p.Carrier == nil {
		ui.say("To print: %s, on “%s” with the printer “%s”: %s, %s edge first", to.pdf, p.Stock, p.Printer, p.Size().About(u), p.Width.About(u))
	} else {
		ui.say("To print: %s, on “%s” with the printer “%s”; the piece of %s is too small to feed and rides on a sheet of %s:",
			to.pdf, p.Stock, p.Printer, p.Size().About(u), p.Carrier.Size().About(u))
		ui.say("  print page 1 on plain paper, fix the piece inside its outline, load it again and print page 2")
	}
	var advice []string
	for _, a := range []string{stock.Tray, stock.Quality} {
		if a != "" {
			advice = append(advice, a)
		}
	}
	if stock.Drying > 0 {
		advice = append(advice, "let it dry for "+counted(stock.Drying, "minute"))
	}
	if len(advice) > 0 {
		ui.say("  %s", strings.Join(advice, "; "))
	}
	if stock.Mirror {
		ui.say("  mirrored, to read right from the other side")
	}
	ui.say("  %s in %s, %s", b.Setting.Size.Format(measure.Pt), b.Font, counted(b.Lines, "line"))
	for _, c := range p.Cuts {
		from, edge := c.At-c.Rect.Y, "upper edge"
		if c.Axis == "down" {
			from, edge = c.At-c.Rect.X, "left edge"
		} else if c.Rect.Y == 0 && p.Carrier == nil {
			edge = "edge that went in first"
		}
		how := "measured"
		if !c.Measure {
			how = "beside the mark"
		}
		if len(p.Cuts) == 1 {
			ui.say("To cut: once %s, %s from the %s (%s)", c.Axis, from.About(u), edge, how)
			continue
		}
		if c.N == 1 {
			ui.say("To cut:")
		}
		ui.say("  %d. %s, %s from the %s (%s)", c.N, c.Axis, from.About(u), edge, how)
	}
	if tuck := tuckOf(b.Setting.Block.Tuck, u); tuck != "" {
		ui.say("  the blank %s goes under the layer", tuck)
	}
	after := "Afterwards: the piece measures " + strip.Rest.About(u)
	if strip.Rest.W != p.Width {
		after += ", turned,"
	}
	serves := " and still feeds"
	if strip.Rides {
		serves = " and can still ride"
	}
	switch {
	case strip.Rest.At(0, 0).Empty():
		ui.say("Afterwards: nothing remains of the piece.")
	case !strip.Feeds:
		ui.say("%s and no longer feeds: %s.", after, strip.Why)
	case strip.More == 0:
		ui.say("%s, but has no room for another block like this.", after+serves)
	case strip.Why == "":
		ui.say("%s. %s like this, and it is used up.", after+serves, upperFirst(another(strip.More)))
	default:
		ui.say("%s.", after+serves)
		ui.say("  After %s like this it would measure %s: %s.", another(strip.More), strip.Last.About(u), strip.Why)
	}
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func another(n int) string {
	if n == 1 {
		return "one more block"
	}
	return fmt.Sprintf("%d more blocks", n)
}

// tuckOf names the edges with a tuck: "1/2 in on top".
func tuckOf(t measure.Sides, u measure.Unit) string {
	var out []string
	for _, e := range []struct {
		l    measure.Length
		name string
	}{{t.Top, "on top"}, {t.Bottom, "at the bottom"}, {t.Left, "at the left"}, {t.Right, "at the right"}} {
		if e.l > 0 {
			out = append(out, e.l.About(u)+" "+e.name)
		}
	}
	return strings.Join(out, ", ")
}
