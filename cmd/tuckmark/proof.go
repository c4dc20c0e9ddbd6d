package main

import (
	"cmp"
	"path/filepath"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/findings"
	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/proof"
)

func proofCommand(ui *ui) *cobra.Command {
	var w jobFlags
	var to, person, each string
	var toCut bool
	c := &cobra.Command{
		Use:   "proof FILE...",
		Short: "Show every block as it will look, in one page for the browser",
		Long: `proof writes one HTML file that holds all it needs: every block as it will be printed, to look at on a phone or to
print at true size, what is held back and what to mend, and how the sheets are filled. Send it round: everybody can
tick and comment their blocks, type what is missing, and copy their answers into a message. Save the answers in a
text file for ` + "`tuckmark check --answers FILE`" + `. Where not everybody should read everybody's, --each writes a page for each person.`,
		Args: needFiles,
		RunE: func(c *cobra.Command, args []string) error {
			if each != "" && (to != "" || person != "" || toCut) {
				return usagef("--each writes a page for each person, and goes with none of -o, --person and --print")
			}
			to = cmp.Or(to, naming.Beside(args[0], "-proof.html"))
			outs := []string{to}
			paper := naming.Beside(to, "-plain.pdf") // never the print itself
			if toCut {
				outs = append(outs, paper)
			}
			j, err := w.prepare(c, ui, args, outs...)
			if err != nil {
				return err
			}
			ui.problems(j.Problems, false)
			if !j.CanHoldBack() {
				ui.say("Nothing was written: %s to mend.", problem.Count(j.Problems.Errors(), "error"))
				return statusOf(j)
			}
			if each != "" {
				return cmp.Or(w.proofs(c, ui, j, each), statusOf(j))
			}
			if person, err = findings.PersonNamed(j, person); err != nil {
				return err
			}
			return cmp.Or(w.proof(c, ui, j, to, person, paper, toCut), statusOf(j))
		},
	}
	w.flags(c)
	c.Flags().StringVarP(&to, "output", "o", "", "write the proof to this `file` (default: the first input's name with -proof.html, beside it)")
	c.Flags().StringVar(&person, "person", "", "show the blocks of the person of this `name` only, and nothing of the others")
	c.Flags().StringVar(&each, "each", "", "write a page for each person, with nobody else's blocks, into this `folder`")
	c.Flags().BoolVar(&toCut, "print", false, "also write a PDF of the blocks at true size on plain paper, to cut out and try")
	return c
}

// proof writes the page, and the plain-paper PDF where it is wanted. What is held back is no hindrance: it is shown.
func (w *jobFlags) proof(c *cobra.Command, ui *ui, j *impose.Job, to, person, paper string, toCut bool) error {
	html, pdf, pages, err := j.Proof(c.Context(), naming.Title(j.Files[0]), person, toCut)
	ui.end()
	if err != nil {
		ui.fault(err)
		return status(exitFile)
	}
	if pages == 0 {
		paper = ""
	}
	if err := ui.save(w.guard, save.File{Flag: "-o", Path: paper, Data: pdf}, save.File{Flag: "-o", Path: to, Data: html}); err != nil {
		return err
	}
	blocks, held := findings.BlocksOf(j, person)
	ui.say("%s to look at, %d held back.", problem.Count(blocks, "block"), held)
	if said := findings.Answers(j); said != "" {
		ui.say("%s", said)
	}
	ui.say("To send round: %s", to)
	if pages > 0 {
		ui.say("To cut out and try: %s (%s)", paper, problem.Count(pages, "page"))
	}
	return nil
}

// proofs writes a page for each person into a folder.
func (w *jobFlags) proofs(c *cobra.Command, ui *ui, j *impose.Job, folder string) error {
	people := findings.People(j)
	if p := save.TooMany(folder, len(people)); p != nil {
		return ui.disk(*p)
	}
	var files []save.File
	for i, name := range naming.Distinct(people) {
		html, _, _, err := j.Proof(c.Context(), naming.Title(j.Files[0]), people[i], false)
		if err != nil {
			ui.fault(err)
			return status(exitFile)
		}
		files = append(files, save.File{Flag: "--each", Path: filepath.Join(folder, name+".html"), Data: html, Stays: "no proof of an earlier run", Ours: proof.IsPage})
	}
	if err := ui.into(w.guard, folder, "--each", files); err != nil {
		return err
	}
	ui.say("%s in %s, each for the person of its name.", problem.Count(len(files), "page"), folder)
	if said := findings.Answers(j); said != "" {
		ui.say("%s", said)
	}
	return nil
}
