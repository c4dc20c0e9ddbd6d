package layout_test

import (
	"context"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/layout"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// TestPriceOfThePaperAtHand: a row of a Paper sheet that names no price takes the configured one of that size, one that names a
// price keeps it, nought too, and a size that is not configured costs nothing.
func TestPriceOfThePaperAtHand(t *testing.T) {
	letter, square := measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}, measure.Size{W: 8 * measure.Inch, H: 8 * measure.Inch}
	s, list := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), Flags: map[string]string{"effort": "0"}})
	if len(list) > 0 {
		t.Fatal(list)
	}
	for i := range s.Stocks {
		s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: letter.W, H: 14 * measure.Inch}, Count: -1, Price: 99}, {Size: letter, Count: -1, Price: 45}}
	}
	block := intake.Block{Code: "OH-1", Owner: "Odile Hart", Space: measure.Size{W: 7 * measure.Inch, H: 7 * measure.Inch}, Inset: measure.Same(measure.Inch / 8),
		Stock: "cardstock", Font: "Serif", Type: s.Type, Copies: 2, Text: []intake.Paragraph{{{Text: "Plums on the quay."}}}, Back: config.Colour{R: 255, G: 255, B: 255}}
	set, _, list := typeset.Set(context.Background(), typeset.NewLibrary(nil), []intake.Block{block}, s, nil)
	if list.Errors() > 0 {
		t.Fatal(list)
	}
	for _, c := range []struct {
		size  measure.Size
		price int64 // of the row; negative where it names none
		cents int64 // of two sheets
	}{{letter, -1, 90}, {letter, 30, 60}, {letter, 0, 0}, {square, -1, 0}, {square, 30, 60}} {
		plan, held, _ := layout.Arrange(context.Background(), set, []intake.Paper{{Stock: "cardstock", Size: c.size, Count: 5, Price: c.price}}, s, nil)
		if len(held) > 0 || len(plan.Stocks) != 1 || plan.Stocks[0].NewSheets != 2 {
			t.Fatalf("%v at %d: held %v, %+v", c.size, c.price, held, plan.Stocks)
		}
		if got := plan.Stocks[0].Cents; got != c.cents {
			t.Errorf("two sheets of %s at %d cost %d, not %d", c.size.About(measure.In), c.price, got, c.cents)
		}
	}
}
