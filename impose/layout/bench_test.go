package layout

import (
	"context"
	"io"
	"strconv"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/draw"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// BenchmarkDraw makes the pages of an arranged job and writes them: draw, and the PDF. Check is the plain checker on it, which
// runs on every job as well.
func BenchmarkDraw(b *testing.B) {
	for _, n := range []int{100, 1000} {
		c := newChance(b, 1)
		s := plain(b, nil)
		s.Effort = 5
		var blocks []intake.Block
		for i := range n {
			k := note(s, "OH-"+strconv.Itoa(i+1), "vellum", measure.Inch/2*measure.Length(6+i%4), measure.Inch/2*measure.Length(4+i%3))
			k.Text = c.text(45)
			blocks = append(blocks, k)
		}
		set, _, _ := typeset.Set(context.Background(), fonts(), blocks, s, nil)
		laid, held, _ := Arrange(context.Background(), set, nil, s, nil)
		if laid.Held = append(laid.Held, held...); len(set) < n || len(held) > 0 {
			b.Fatalf("%d of %d blocks are set, %d held", len(set), n, len(held))
		}
		b.Run("pages/"+strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				(&draw.Drawer{}).Draw(laid, s)
			}
		})
		b.Run("PDF/"+strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				if err := press.Write(io.Discard, press.Document{Title: "Bench", Sections: (&draw.Drawer{}).Draw(laid, s)}, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
		b.Run("check/"+strconv.Itoa(n), func(b *testing.B) {
			for b.Loop() {
				if faults := plan.Check(laid, blocks, s); len(faults) > 0 {
					b.Fatal(faults)
				}
			}
		})
	}
}
