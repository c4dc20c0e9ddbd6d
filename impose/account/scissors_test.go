package account

import (
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/plan/made"
	"tuckmark/intake"
)

// By hand: on a piece of 8 x 6 in A (4 x 2) touches B (3 x 2) at its right, with scrap below both and a leftover below that. The line below A stops short
// of the piece's edge, which is not told; nothing is printed at B's right.
func TestOutlined(t *testing.T) {
	leaf := func(r measure.Rect, code string) *plan.Part {
		p := &plan.Part{Rect: r}
		if code != "" {
			p.Block = &plan.Block{Block: &intake.Block{Code: code, Owner: "Odile"}, Copy: 1}
		}
		return p
	}
	across := func(x1, x2, y measure.Length) plan.Mark {
		return plan.Mark{X1: x1, Y1: y + 10, X2: x2, Y2: y + 10, Weight: 20}
	}
	a, b := leaf(measure.Rect{W: 4 * inch, H: 2 * inch}, "A"), leaf(measure.Rect{X: 4 * inch, W: 3 * inch, H: 2 * inch}, "B")
	side, strip := leaf(measure.Rect{X: 7 * inch, W: inch, H: 2 * inch}, ""), leaf(measure.Rect{Y: 2 * inch, W: 8 * inch, H: inch}, "")
	keep := leaf(measure.Rect{Y: 3 * inch, W: 8 * inch, H: 3 * inch}, "")
	keep.Keep = true
	keep.Outline = []plan.Mark{{X1: inch / 8, Y1: 3*inch - 10, X2: 8 * inch, Y2: 3*inch - 10, Weight: 20}}
	a.Outline = []plan.Mark{across(inch/8, 4*inch, 2*inch)}
	b.Outline = []plan.Mark{across(4*inch, 7*inch, 2*inch)}
	cut := func(axis plan.Axis, at measure.Length, near, far *plan.Part) *plan.Part {
		p := &plan.Part{Rect: near.Rect, Cut: &plan.Cut{Axis: axis, At: at, Near: near, Far: far}}
		if axis == plan.Down {
			p.Rect.W += far.Rect.W
		} else {
			p.Rect.H += far.Rect.H
		}
		return p
	}
	top := cut(plan.Down, 4*inch, a, cut(plan.Down, 7*inch, b, side))
	p := &plan.Plan{Pieces: []*plan.Piece{{Page: 1, Stock: "vellum", Whole: cut(plan.Across, 2*inch, top, cut(plan.Across, 3*inch, strip, keep))}}}
	s := made.Settings()
	s.Trimmer = config.Trimmer{Stack: 1, Scissors: true}
	for _, settings := range []*config.Settings{s, made.Settings()} { // the lines tell, whatever the settings have become since
		c := Of(p, settings, nil).Pieces[0].Cutting
		if !c.Outlined || len(c.Steps)+len(c.Lines) > 0 {
			t.Fatalf("%d steps", len(c.Steps))
		}
		want := []string{"no line at the right, which touches B: 4 in from the left",
			"no line at the right: 3 in from the left; no line at the left, which touches A: 3 in from the right", ""}
		for i, q := range c.Out() {
			if told := c.Told(q, measure.In); told != want[i] {
				t.Errorf("%s: %q, want %q", q.Describe(), told, want[i])
			}
		}
		if got := len(c.Bare(c.Spots[0])); got != 2 {
			t.Errorf("A has %d bare stretches, want 2", got)
		}
	}
	if c := Of(made.Three(s).Plan, s, nil).Pieces[0].Cutting; c.Outlined {
		t.Error("marks of cuts are taken for outlines")
	}
}
