package main

import (
	"github.com/spf13/cobra"
)

// printing are the flags that change what goes to the printers, on every command that prints stock.
type printing struct {
	mirror []string
	split  bool
}

func (p *printing) flags(c *cobra.Command) {
	p.mirrorFlag(c)
	c.Flags().BoolVar(&p.split, "split", false, "write a PDF for each stock as well, beside the one")
}

func (p *printing) mirrorFlag(c *cobra.Command) {
	c.Flags().StringArrayVar(&p.mirror, "mirror", nil, "print this `stock` mirrored, to read right from the other side; may be repeated")
}
