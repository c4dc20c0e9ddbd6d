package main

import (
	"bytes"
	"fmt"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

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
