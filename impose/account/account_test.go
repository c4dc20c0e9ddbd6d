package account

import (
	"fmt"
	"slices"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

func TestLetter(t *testing.T) {
	for i, want := range map[int]string{0: "A", 25: "Z", 26: "AA", 51: "AZ", 52: "BA", 701: "ZZ", 702: "AAA"} {
		if got := Letter(i); got != want {
			t.Errorf("%d: %s, want %s", i, got, want)
		}
	}
}

func TestNatural(t *testing.T) {
	want := []string{"", "AO-1", "MK-2", "MK-02a", "MK-10", "MK-010a", "Öl-1"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortStableFunc(got, natural)
	if !slices.Equal(got, want) {
		t.Errorf("sorted %q, want %q", got, want)
	}
}

// Only what a person does the same way to each is one group: same stock and size, same cuts found the same way, same parts coming off.
func TestPiecesCutAlike(t *testing.T) {
	shelf := []measure.Size{made.Size(4*inch, 2*inch), made.Size(3*inch, 2*inch)}
	tests := []struct {
		name   string
		groups int
		change func(d *made.Draft, p *plan.Piece)
	}{
		{"nothing", 1, func(*made.Draft, *plan.Piece) {}},
		{"whose the blocks are", 1, func(_ *made.Draft, p *plan.Piece) { p.Blocks()[0].Block.Owner = "Ines" }},
		{"which is turned", 1, func(_ *made.Draft, p *plan.Piece) { p.Blocks()[0].Block.Turned = true }},
		{"the stock", 2, func(_ *made.Draft, p *plan.Piece) { p.Stock = "cardstock" }},
		{"a mark", 2, func(_ *made.Draft, p *plan.Piece) { p.Whole.Cut.Marks = nil }},
		{"whether the rest is kept", 2, func(_ *made.Draft, p *plan.Piece) { p.Whole.Cut.Far.Cut.Far.Keep = false }},
		{"a block", 2, func(_ *made.Draft, p *plan.Piece) { p.Blocks()[1].Block = nil }},
		{"how far the cut is", 2, func(_ *made.Draft, p *plan.Piece) {
			c := p.Whole.Cut.Near.Cut
			c.At -= inch
			c.Near.Rect.W -= inch
			c.Far.Rect.X, c.Far.Rect.W = c.Far.Rect.X-inch, c.Far.Rect.W+inch
		}},
	}
	for _, test := range tests {
		d := made.New(made.Settings(), 2)
		d.Piece("vellum", made.LetterPaper, inch/8, shelf)
		test.change(d, d.Piece("vellum", made.LetterPaper, inch/8, shelf))
		if got := Of(d.Plan, d.Settings, nil).Groups; len(got) != test.groups {
			t.Errorf("two pieces that differ by %s are %d groups, want %d", test.name, len(got), test.groups)
		}
	}
}

// A group's pages, an owner's blocks and a block's place are the plan's, whatever its pages are numbered from.
func TestAccountOfThreeStocks(t *testing.T) {
	d := made.Three(made.Settings())
	a := Of(d.Plan, d.Settings, nil)
	d.Plan.Number(6)
	if got, want := a.Groups[0].Pages(), []int{6, 7, 8, 9}; !slices.Equal(got, want) {
		t.Errorf("the first group is on pages %d, want %d", got, want)
	}
	if got, want := a.Stocks(), []string{"vellum", "clear sticker", "cardstock"}; !slices.Equal(got, want) {
		t.Errorf("stocks %q, want %q", got, want)
	}
	if a.LeftoversUsed("cardstock") != 1 || a.LeftoversUsed("vellum") != 0 {
		t.Errorf("leftovers used: %d of cardstock, %d of vellum", a.LeftoversUsed("cardstock"), a.LeftoversUsed("vellum"))
	}
	if len(a.Panels) != 1 || a.Panels[0].Sheets != 2 || len(a.Panels[0].Spots) != 2 {
		t.Errorf("sheets to cut first: %+v, want two cut alike into two panels", a.Panels)
	}
	blocks, held, last := 0, 0, ""
	for _, o := range a.Owners {
		if o.Name < last {
			t.Errorf("%s stands behind %s", o.Name, last)
		}
		last = o.Name
		blocks, held = blocks+len(o.Blocks), held+len(o.Held)
		for _, b := range o.Blocks {
			if b.Block.Owner != o.Name || b.Piece.Spots[b.First] != b.Part || b.Place() != Letter(b.First) || b.Copies != 1 {
				t.Errorf("%s: block %s of %s in place %s, %d copies", o.Name, b.Block.Code, b.Block.Owner, b.Place(), b.Copies)
			}
		}
	}
	if blocks != d.Blocks || held != 3 {
		t.Errorf("%d blocks and %d held, want %d and 3", blocks, held, d.Blocks)
	}
}

// Copies of a block are counted over all pieces and stand in order; a leftover is not cut alike with a sheet of its size.
func TestCopiesAndLeftoverPanels(t *testing.T) {
	d := made.New(made.Settings(), 1)
	size := made.Size(4*inch, 2*inch)
	d.Panels("vellum", made.Size(12*inch, 12*inch), 0, []measure.Size{size})
	d.Panels("vellum", made.Size(12*inch, 12*inch), 0, []measure.Size{size})
	d.Plan.Sheets[1].Leftover = true
	blocks := d.Plan.Pieces
	for i, p := range blocks {
		b := p.Blocks()[0].Block
		b.Block, b.Copy = blocks[0].Blocks()[0].Block.Block, len(blocks)-i
	}
	a := Of(d.Plan, d.Settings, nil)
	for i, b := range a.Owners[0].Blocks {
		if b.Copies != 4 || b.Block.Copy != i+1 {
			t.Errorf("copy %d of %d stands in place %d of 4", b.Block.Copy, b.Copies, i+1)
		}
	}
	if len(a.Panels) != 2 || !a.Panels[1].Leftover || a.Panels[0].Leftover {
		t.Errorf("sheets to cut first: %+v, want a sheet and a leftover", a.Panels)
	}
}

// TestPlacesOnOneCarrier: pieces that share a carrier share a page, so that the letters of their places go on; those of the next page begin anew.
func TestPlacesOnOneCarrier(t *testing.T) {
	size := measure.Size{W: 3 * inch, H: 4 * inch}
	piece := func(nth, n int) *plan.Piece {
		b := func(k int) *plan.Block {
			return &plan.Block{Block: &intake.Block{Code: fmt.Sprintf("OH-%d", n+k), Owner: "Odile Hart"}}
		}
		upper, lower := size.At(0, 0), size.At(0, 0)
		upper.H, lower.Y, lower.H = 2*inch, 2*inch, 2*inch
		return &plan.Piece{Stock: "vellum", Carrier: &plan.Carrier{Size: measure.Size{W: 8 * inch, H: 10 * inch}, Nth: nth},
			Whole: &plan.Part{Rect: size.At(0, 0), Cut: &plan.Cut{Axis: plan.Across, At: 2 * inch, Near: &plan.Part{Rect: upper, Block: b(0)}, Far: &plan.Part{Rect: lower, Block: b(1)}}}}
	}
	p := &plan.Plan{Pieces: []*plan.Piece{piece(0, 1), piece(1, 3), piece(0, 5)}}
	p.Number(1)
	a := Of(p, &config.Settings{Unit: measure.In}, nil)
	var got []string
	for _, b := range a.Owners[0].Blocks {
		got = append(got, fmt.Sprintf("%s: page %d, %s", b.Block.Code, b.Piece.Page, b.Place()))
	}
	want := []string{"OH-1: page 2, A", "OH-2: page 2, B", "OH-3: page 2, C", "OH-4: page 2, D", "OH-5: page 4, A", "OH-6: page 4, B"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
	if gives := a.Pieces[1].Lines[0].Gives(); gives != "C + D" {
		t.Errorf("the cut of the second gives %s", gives)
	}
}

// TestUncutOnOneCarrier: pieces of which nothing is cut are not one group where they share a carrier, for the letters of their blocks differ.
func TestUncutOnOneCarrier(t *testing.T) {
	d := made.New(made.Settings(), 1)
	for range 3 {
		d.Piece("vellum", made.LetterPaper, 0, []measure.Size{made.LetterPaper})
	}
	for i, p := range d.Plan.Pieces[:2] {
		p.Carrier = &plan.Carrier{Size: made.Size(20*inch, 20*inch), Nth: i}
	}
	d.Plan.Number(1)
	var got []string
	for _, g := range Of(d.Plan, d.Settings, nil).Groups {
		for _, p := range g.Pieces {
			if steps := len(p.Steps); steps != 0 || g.Pieces[0].Spots[0].First != p.Spots[0].First {
				t.Errorf("a piece of %d cuts with its block at place %s is one of a group at %s", steps, Letter(p.Spots[0].First), Letter(g.Pieces[0].Spots[0].First))
			}
			got = append(got, Letter(p.Spots[0].First))
		}
	}
	if want := []string{"A", "A", "B"}; !slices.Equal(slices.Sorted(slices.Values(got)), want) {
		t.Errorf("places %q, want %q", got, want)
	}
}
