package main

import (
	"io"
	"os"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/cmd/internal/summary"
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/intake"
)

// note is one block without a spreadsheet: its flags are the headings of the form.
type note struct {
	fields []noteField
	on     string
}

type noteField struct{ flag, heading, usage, text string }

func noteCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var to targets
	n := note{fields: []noteField{
		{flag: "space", heading: "Space", usage: "the `size` of the space on the page, like \"4 x 2\""},
		{flag: "stock", heading: "Stock", usage: "the `stock` to print on"},
		{flag: "name", heading: "Name", usage: "whose block it is"},
		{flag: "tuck", heading: "Tuck", usage: "blank allowance, as a `measure` on top, like \"top 1/2 left 1/4\", or none"},
		{flag: "font", heading: "Font", usage: "the `font`"},
		{flag: "size", heading: "Size", usage: "the largest type size in `points`"},
		{flag: "align", heading: "Align", usage: "left, centre, right or justified; top, middle or bottom"},
		{flag: "ink", heading: "Ink", usage: "the `colour` of the text"},
		{flag: "turn", heading: "Turn", usage: "no, if the block must not lie turned"},
		{flag: "title", heading: "Title", usage: "a heading line"},
	}}
	c := &cobra.Command{
		Use:   "note TEXT",
		Short: "Print one block, now, on a piece in hand",
		Long: `note prints one block, now, without a spreadsheet: the text is set at the end of the piece in hand that goes
into the printer first, so that one cut frees it and the rest can be fed again. Without a text, or with a hyphen for it,
the text comes on standard input.

    tuckmark note --space "4 x 2" --stock vellum --on "4 x 7 1/2" "We bought plums on the quay."`,
		Args: n.args,
		RunE: func(c *cobra.Command, args []string) error { return n.make(c, ui, &w, to, args) },
	}
	w.settingFlags(c)
	w.printing.mirrorFlag(c)
	for i := range n.fields {
		f := &n.fields[i]
		c.Flags().StringVar(&f.text, f.flag, "", f.usage)
	}
	c.Flags().StringVar(&n.on, "on", "", "the `size` of the piece in hand, width first as it is fed, like \"4 x 7 1/2\" (default: a sheet)")
	c.Flags().StringVarP(&to.pdf, "output", "o", "", "write the PDF to this `file` (default: note.pdf, or note-2.pdf and so on where that is there)")
	c.Flags().StringVar(&to.plan, "plan", "", "write the plan as JSON to this `file`")
	return c
}

// args is the rule for the arguments: a text, and no file in its place.
func (n *note) args(c *cobra.Command, args []string) error {
	if !c.Flags().Changed("space") {
		return usagef("say how large the space on the page is, like --space \"4 x 2\"")
	}
	if len(args) == 1 {
		if info, err := os.Stat(args[0]); err == nil && info.Mode().IsRegular() {
			return usagef("the text itself is given, not a file; “%s” is a file (its text can be sent in: tuckmark note --space ... < %s)", args[0], args[0])
		}
	}
	return nil
}

// mostNote is far more than any space holds.
const mostNote = 1 << 20

// typed is the text: the arguments, or with none or a hyphen standard input.
func (n *note) typed(ui *ui, args []string) (string, error) {
	if len(args) > 0 && (len(args) > 1 || args[0] != "-") {
		return strings.Join(args, " "), nil
	}
	ui.prompt("Type the text, and end it with Ctrl-D on a line of its own (Ctrl-Z and Enter on Windows):")
	data, err := io.ReadAll(io.LimitReader(os.Stdin, mostNote+1))
	if err != nil {
		ui.problems(problem.List{{What: "the text could not be read from standard input", Hint: "give it on the command line, in quotes"}}, false)
		return "", status(exitFile)
	}
	if len(data) > mostNote {
		return "", ui.noteFailed(problem.List{{What: "more than 1 MB came on standard input, which no space holds", Hint: "send the text of one block, and nothing else"}})
	}
	return strings.TrimSpace(strings.TrimPrefix(string(data), "\ufeff")), nil
}

// make sets the block, lays it at the end of the piece in hand and writes its page.
func (n *note) make(c *cobra.Command, ui *ui, w *jobFlags, to targets, args []string) error {
	named := to.pdf != ""
	if !named {
		to.pdf = naming.Free("note.pdf")
	}
	s, problems, err := w.resolve(c, ui, nil, to.pdf, to.plan)
	if err != nil {
		return err
	}
	hand, err := n.hand(ui, s)
	if err != nil {
		return err
	}
	text, err := n.typed(ui, args)
	if err != nil {
		return err
	}
	j := w.job(ui, s, problems)
	if err := n.set(c, ui, j, text, hand); err != nil {
		return err
	}
	strip, bad := j.ArrangeNote(hand)
	if bad != nil {
		return ui.noteFailed(problem.List{*bad})
	}
	made, err := j.WriteNote(c.Context(), "Note")
	if err != nil {
		return ui.writeFailed(err, j, to, w.guard)
	}
	files := []save.File{to.planFile(j.Plan), {Flag: "-o", Path: to.pdf, Data: made.PDF, Stays: "a note that is still to be printed"}}
	done, p := save.Create(files, w.guard)
	for !named && save.IsThere(p) { // another note was faster
		files[1].Path = naming.Free("note.pdf")
		done, p = save.Create(files, w.guard)
	}
	if err := ui.created(done, p); err != nil {
		return err
	}
	ui.lines(summary.Note(strip, s, files[1].Path, done.Replaced))
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

// set makes and sets the block of a job.
func (n *note) set(c *cobra.Command, ui *ui, j *impose.Job, text string, hand measure.Size) error {
	defer ui.end()
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
	before := len(j.Problems) // of the configuration
	j.ReadNote(fields, hand)
	if len(j.Blocks) > 0 {
		if err := j.Set(c.Context()); err != nil {
			return err
		}
	}
	for i := range j.Problems[before:] { // there are no cells to point at
		p := &j.Problems[before+i]
		p.Place = problem.Place{File: flags[p.Place.Column]}
	}
	if j.Problems.Errors() > 0 {
		return ui.noteFailed(j.Problems)
	}
	return nil
}

// noteFailed tells what is wrong with the block.
func (u *ui) noteFailed(list problem.List) error {
	u.problems(list, false)
	u.say("Nothing was written.")
	return status(exitInput)
}
