package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"
	"unicode"

	"github.com/spf13/cobra"

	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose/press"
)

// printing are the flags that change what goes to the printers, on every command that prints stock.
type printing struct {
	mirror []string
	split  bool
}

func (p *printing) flags(c *cobra.Command) {
	c.Flags().StringArrayVar(&p.mirror, "mirror", nil, "print this `stock` mirrored, to read right from the other side; may be repeated")
	c.Flags().BoolVar(&p.split, "split", false, "write a PDF for each stock as well, beside the one")
}

// mirrored marks the stocks that are to be printed mirrored.
func (p *printing) mirrored(ui *ui, s *config.Settings) error {
	for _, name := range p.mirror {
		at := -1
		var names []string
		for i, t := range s.Stocks {
			names = append(names, t.Name)
			if strings.EqualFold(t.Name, strings.TrimSpace(name)) {
				at = i
			}
		}
		if at < 0 {
			hint := "the stocks are " + quotedList(names)
			if near := config.Near(name, names); near != "" {
				hint = fmt.Sprintf("did you mean “%s”?", near)
			}
			ui.problems(problem.List{{What: fmt.Sprintf("there is no stock “%s” to print mirrored", name), Hint: hint}}, false)
			return status(exitUsage)
		}
		t := &s.Stocks[at]
		if t.Mirror {
			continue
		}
		t.Mirror = true
		t.Caution = strings.TrimSpace("Printed mirrored, to read right from the other side: load it so that its back is printed, and cut it with the printed side down. " + t.Caution)
	}
	return nil
}

// apart are the files of a job that is written stock by stock, beside its PDF: retreat-vellum.pdf.
func apart(pdf string, sections []press.Section) []string {
	out := make([]string, len(sections))
	taken := map[string]bool{}
	for i, s := range sections {
		name := safeName(s.Title)
		for n := 2; taken[name]; n++ {
			name = fmt.Sprintf("%s-%d", safeName(s.Title), n)
		}
		taken[name] = true
		out[i] = strings.TrimSuffix(pdf, filepath.Ext(pdf)) + "-" + name + ".pdf"
	}
	return out
}

// safeName is a name as it can stand in a file's name on every system: letters and digits, small, all else as hyphens.
func safeName(name string) string {
	var b strings.Builder
	gap := false
	for _, r := range strings.ToLower(name) {
		if !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			gap = true
			continue
		}
		if gap && b.Len() > 0 {
			b.WriteByte('-')
		}
		gap = false
		b.WriteRune(r)
		if b.Len() > 60 {
			break
		}
	}
	if b.Len() == 0 {
		return "unnamed"
	}
	return b.String()
}

// drawApart makes a PDF of each section.
func drawApart(title string, sections []press.Section) ([][]byte, error) {
	var out [][]byte
	for _, s := range sections {
		var pdf bytes.Buffer
		if err := press.Write(&pdf, press.Document{Title: title + ": " + s.Title, Sections: []press.Section{s}}, nil); err != nil {
			return nil, err
		}
		out = append(out, pdf.Bytes())
	}
	return out, nil
}
