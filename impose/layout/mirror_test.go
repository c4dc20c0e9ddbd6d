package layout

import (
	"bytes"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/draw"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
)

// TestMirroredStock prints random jobs mirrored on printers with a wide margin on one side: the plan stays as it reads, and
// in PDFium's picture the ink is on the other side, clear of the margins as they are on the printer.
func TestMirroredStock(t *testing.T) {
	pages := 0
	for n := range 6 {
		c := newChance(t, uint64(2000+n))
		for i := range c.settings.Printers {
			c.settings.Printers[i].Margins = measure.Sides{Left: measure.Inch, Top: measure.Inch / 8, Right: measure.Inch / 8, Bottom: measure.Inch / 2}
			c.settings.Printers[i].Scale = [2]float64{1, 1}
		}
		for i := range c.settings.Stocks {
			c.settings.Stocks[i].Mirror = true
		}
		blocks := c.blocks(8)
		laid, _ := planned(blocks, c.paper, c.settings)
		for _, fault := range plan.Check(laid, blocks, c.settings) {
			t.Errorf("job %d: %s", n, fault)
		}
		if !readback.Available || len(laid.Pieces) == 0 {
			continue
		}
		var pdf bytes.Buffer
		d := draw.Drawer{}
		if err := press.Write(&pdf, press.Document{Sections: d.Draw(laid, c.settings)}, nil); err != nil {
			t.Fatal(err)
		}
		doc := readback.Open(t, pdf.Bytes())
		for i := range laid.Pieces {
			p := laid.Pieces[i]
			const dpi = 100
			picture := doc.Grey(i, dpi)
			ink, any := readback.Ink(picture, dpi, p.Size().At(0, 0))
			if !any {
				continue
			}
			pages++
			if printable := p.Size().At(0, 0).Inset(c.settings.Printers[0].Margins); !grow(printable, measure.Inch/dpi).Contains(ink) {
				t.Errorf("job %d, %s: ink at %v, where nothing can be printed", n, p.Name(), ink)
			}
			for _, at := range p.Blocks() { // each text where it is when the piece is turned over
				b := at.Block
				over := b.InkBox
				over.X = p.Size().W - b.InkBox.Right()
				if _, there := readback.Ink(picture, dpi, over); !there {
					t.Errorf("job %d, %s: nothing of %s on the other side", n, p.Name(), b.Code)
				}
			}
		}
	}
	if readback.Available && pages < 10 {
		t.Errorf("only %d pages were looked at", pages)
	}
}
