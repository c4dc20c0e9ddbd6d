package account

import (
	"slices"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
)

// TestLines: every cut is in one line, once; a part is cut after the one that it comes from; cuts with one setting are one line, and parts
// that are alike are cut alike.
func TestLines(t *testing.T) {
	row := []measure.Size{made.Size(2*inch, 3*inch), made.Size(2*inch, 3*inch), made.Size(2*inch, 3*inch)}
	d := made.New(made.Settings(), 1)
	d.Piece("vellum", made.Size(17*inch/2, 11*inch), 0, row, row, row)
	a := Of(d.Plan, d.Settings, nil)
	c := a.Pieces[0].Cutting
	if len(c.Lines) != 2 || c.Lines[0].Times != 3 || len(c.Lines[1].Parts) != 3 || c.Lines[1].Times != 3 {
		t.Fatalf("three rows of three are cut in %d lines: %+v", len(c.Lines), c.Lines)
	}
	if got := c.Take(&c.Lines[1]); got != "A-C, 3 alike" {
		t.Errorf("the second line takes %q", got)
	}
	if got := c.Lines[0].Gives(); got != "A-C, … + scrap" {
		t.Errorf("the first line gives %q", got)
	}
	for stack, want := range map[int]int{1: 3 + 9, 2: 3 + 6, 3: 3 + 3, 9: 3 + 3} {
		if got := c.Strokes(1, stack); got != want {
			t.Errorf("in stacks of %d: %d strokes, want %d", stack, got, want)
		}
	}
	// Of four strips of one size one is cut otherwise: "alike" would not tell which are meant, but neighbours can be named from the first to
	// the last.
	other := []measure.Size{made.Size(4*inch, 2*inch)}
	low := []measure.Size{made.Size(2*inch, 2*inch), made.Size(2*inch, 2*inch), made.Size(2*inch, 2*inch)}
	for _, test := range []struct {
		rows [][]measure.Size
		want []string
	}{
		{[][]measure.Size{low, low, low, other}, []string{"the piece", "A-C to G-I, 3 alike", "part J"}},
		{[][]measure.Size{low, low, other, low}, []string{"the piece", "A-C and D-F", "part G", "H-J"}},
	} {
		d = made.New(made.Settings(), 1)
		d.Piece("vellum", made.Size(17*inch/2, 11*inch), 0, test.rows...)
		c := Of(d.Plan, d.Settings, nil).Pieces[0].Cutting
		var got []string
		for i := range c.Lines {
			got = append(got, c.Take(&c.Lines[i]))
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("the lines take %q, want %q", got, test.want)
		}
	}
	// Two parts are both named, wherever they lie; what has waste on it still is called a part.
	stacked := func(n measure.Length) (whole *plan.Part) {
		for i := n - 1; i >= 0; i-- {
			p := strip(block(3*inch), waste(2*inch))
			h := p.Rect.H
			for _, q := range []*plan.Part{p, p.Cut.Near, p.Cut.Far} {
				q.Rect.Y = i * h
			}
			if whole != nil {
				p = &plan.Part{Rect: measure.Rect{Y: i * h, W: p.Rect.W, H: (n - i) * h}, Cut: &plan.Cut{Axis: plan.Across, At: (i + 1) * h, Near: p, Far: whole}}
			}
			whole = p
		}
		return whole
	}
	for n, want := range map[measure.Length]string{2: "parts A and B", 3: "A, 3 alike"} {
		c := newCutting(stacked(n), 0, measure.In, config.Trimmer{Holds: inch})
		if got := c.Take(&c.Lines[len(c.Lines)-1]); got != want {
			t.Errorf("of %d parts alike %q are taken, want %q", n, got, want)
		}
	}
	// A hair is a line of its own, which is no stroke: four blocks of 2 in on a strip of 8 1/50 in.
	c = newCutting(strip(block(2*inch), block(2*inch), block(2*inch), block(2*inch), waste(inch/50)), 0, measure.In, config.Trimmer{Holds: inch})
	if got, made := c.Strokes(1, 1), c.Whole.CutCount(); got != 3 || made != 3 || len(c.Steps) != 4 || !c.Steps[3].Skip || c.Worst > measure.Hair {
		t.Errorf("%d strokes, %d cuts, the last %+v; off by %d", got, made, c.Steps[len(c.Steps)-1], c.Worst)
	}
	// A cut with a mark is of the line of those before it that have none and are set alike.
	d = made.New(made.Settings(), 1)
	d.Piece("vellum", made.Size(17*inch/2, 11*inch), 0, row[:1], row[:1], row[:1])
	whole := d.Plan.Pieces[0].Whole
	whole.Cut.Marks = nil
	if c := Of(d.Plan, d.Settings, nil).Pieces[0].Cutting; c.Lines[0].Times != 3 || c.Lines[0].Step.FoundBy() != "measure" {
		t.Errorf("the first line is for %d cuts and found by %s", c.Lines[0].Times, c.Lines[0].Step.FoundBy())
	}
	for name, d := range map[string]*made.Draft{"three": made.Three(made.Settings()), "random": made.Random(made.Settings(), 4, 60, 5, 8)} {
		for _, p := range Of(d.Plan, d.Settings, nil).Pieces {
			cut, lines := map[*Part]int{}, 0
			free := map[*Part]bool{p.Cutting.Whole: true}
			for i := range p.Lines {
				l := &p.Lines[i]
				lines += l.Times * len(l.Parts)
				for _, part := range l.Parts {
					for range l.Times {
						if !free[part] {
							t.Fatalf("%s, page %d: line %d takes a part that is not there yet", name, p.Page, l.N)
						}
						cut[part]++
						free[part.Near], free[part.Far] = true, true
						part = part.Far
					}
				}
			}
			if lines != len(p.Steps) || len(cut) != len(p.Steps) {
				t.Errorf("%s, page %d: %d cuts of %d parts in the lines, %d in the plan", name, p.Page, lines, len(cut), len(p.Steps))
			}
		}
	}
}
