package main

import (
	"bytes"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"tuckmark/cmd/internal/save"
	"tuckmark/impose"
	"tuckmark/impose/guide"
	"tuckmark/impose/guide/proof"
	"tuckmark/impose/press"
)

func proofCommand(ui *ui) *cobra.Command {
	var w wishes
	var to string
	var print bool
	c := &cobra.Command{
		Use:   "proof FILE...",
		Short: "Show every block as it will look, in one page for the browser",
		Long: `proof writes one HTML file that holds all it needs: every block as it will be printed, to look at on a phone or to
print at true size, what is held back and what to mend, and how the sheets are filled. Send it round: everybody can
tick and comment their blocks and copy their answers into a message. Save the answers in a text file for
` + "`tuckmark check --answers FILE`" + `.`,
		Args: needFiles,
		RunE: func(c *cobra.Command, args []string) error {
			if to == "" {
				first := filepath.Clean(args[0])
				to = strings.TrimSuffix(first, filepath.Ext(first)) + "-proof.html"
			}
			outs := []string{to}
			paper := strings.TrimSuffix(to, filepath.Ext(to)) + "-plain.pdf" // never the print itself
			if print {
				outs = append(outs, paper)
			}
			j, err := w.prepare(c, ui, args, outs...)
			if err != nil {
				return err
			}
			ui.problems(j.problems, false)
			if !j.whole() {
				ui.say("Nothing was written: %s to mend.", counted(j.problems.Errors(), "error"))
				return j.status()
			}
			if err := j.proof(ui, to, paper, print); err != nil {
				return err
			}
			return j.status()
		},
	}
	w.flags(c)
	c.Flags().StringVarP(&to, "output", "o", "", "write the proof to this `file` (default: the first input's name with -proof.html, beside it)")
	c.Flags().BoolVar(&print, "print", false, "also write a PDF of the blocks at true size on plain paper, to cut out and try")
	return c
}

// proof writes the page, and the plain-paper PDF where it is wanted. What is held back is no hindrance: it is shown.
func (j *work) proof(ui *ui, to, paper string, print bool) error {
	title := strings.TrimSuffix(filepath.Base(j.files[0]), filepath.Ext(j.files[0]))
	drawer := &impose.Drawer{}
	// Pieces are called by their pages in the print, which stand behind the guides.
	j.plan.Number(len(guide.Pages(guide.Input{Plan: j.plan, Settings: j.settings, Fonts: j.fonts, Font: drawer.Font,
		Problems: j.problems, Paper: j.paper, Title: title, Files: j.files})) + 1)
	in := proof.Input{Title: title, Plan: j.plan, Settings: j.settings, Blocks: j.blocks, Set: j.set, Problems: j.problems,
		Answers: j.answers.list, Fonts: j.fonts, Font: drawer.Font}
	var html, pdf bytes.Buffer
	if err := proof.Page(&html, in); err != nil {
		ui.fault(err)
		return status(exitFile)
	}
	pages := 0
	if print && len(j.set) > 0 {
		section := press.Section{Title: "Blocks on plain paper", Pages: proof.Pages(in)}
		pages = len(section.Pages)
		ui.begin("drawing")
		err := press.Write(&pdf, press.Document{Title: title + ", proof", Sections: []press.Section{section}}, func(n int) { ui.progress(n, pages) })
		ui.end()
		if err != nil {
			ui.fault(err)
			return status(exitFile)
		}
	}
	if pages == 0 {
		paper = ""
	}
	if err := ui.save(j.guard, save.File{Flag: "-o", Path: paper, Data: pdf.Bytes()}, save.File{Flag: "-o", Path: to, Data: html.Bytes()}); err != nil {
		return err
	}
	ui.say("%s to look at, %d held back.", counted(len(j.set), "block"), len(j.plan.Held))
	if said := j.said(); said != "" {
		ui.say("%s", said)
	}
	ui.say("To send round: %s", to)
	if pages > 0 {
		ui.say("To cut out and try: %s (%s)", paper, counted(pages, "page"))
	}
	return nil
}
