package account

import (
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
)

// Bare is a stretch of an edge that is cut with scissors and has no line: nothing could be printed there without touching a block or a leftover, or
// not by this printer.
type Bare struct {
	Side   string       // of the block as it lies: top, right, bottom, left
	Whole  bool         // the edge has no line anywhere
	Beside []*Part      // blocks and leftovers that it touches; none: the printer cannot print there
	At     measure.Rect // without width or without height

	Straight bool // the line only stops short of where the printer cannot print: whoever cuts goes straight on
}

// leastBare is the shortest stretch that is told: a shorter one is cut by going on straight.
const leastBare = measure.Inch / 16

// ByScissors reports whether a plan is for scissors: by its lines, for it may have been printed before the settings were changed.
func ByScissors(p *plan.Plan, s *config.Settings) bool {
	for _, piece := range p.Pieces {
		for leaf := range piece.Whole.Leaves {
			if len(leaf.Outline) > 0 {
				return true
			}
		}
		for q := range piece.Whole.Cuts {
			if len(q.Cut.Marks) > 0 {
				return false
			}
		}
	}
	return s.Trimmer.Scissors
}

// outlined is a piece that is cut with scissors: no cut has a number, every block is cut out by its outline.
func outlined(whole *plan.Part, first int) *Cutting {
	c := &Cutting{first: first, Outlined: true}
	c.Whole = c.count(whole)
	c.Steps = nil // nobody makes the cuts of the tree
	return c
}

// Out are the parts of an outlined piece that are cut out: its blocks by their places, then what is kept.
func (c *Cutting) Out() []*Part {
	out := slices.Clone(c.Spots)
	for leaf := range c.Whole.Leaves {
		if leaf.Rest() && leaf.Keep {
			out = append(out, leaf)
		}
	}
	return out
}

// Bare are the stretches of a part's edges that have no line, from the top clockwise.
func (c *Cutting) Bare(p *Part) (out []Bare) {
	r, whole := p.Rect, c.Whole.Rect
	for _, e := range []struct {
		side   string
		border bool
		line   measure.Rect   // the edge, without width or without height
		out    measure.Length // -1 or 1: where beside it is outside
	}{
		{"top", r.Y == whole.Y, measure.Rect{X: r.X, Y: r.Y, W: r.W}, -1},
		{"right", r.Right() == whole.Right(), measure.Rect{X: r.Right(), Y: r.Y, H: r.H}, 1},
		{"bottom", r.Bottom() == whole.Bottom(), measure.Rect{X: r.X, Y: r.Bottom(), W: r.W}, 1},
		{"left", r.X == whole.X, measure.Rect{X: r.X, Y: r.Y, H: r.H}, -1},
	} {
		if e.border {
			continue
		}
		down := e.line.W == 0
		open := []measure.Stretch{{From: e.line.X, To: e.line.Right()}}
		if down {
			open[0] = measure.Stretch{From: e.line.Y, To: e.line.Bottom()}
		}
		all := open[0]
		for _, m := range p.Outline {
			switch ink := m.Ink(); {
			case down && m.Along(plan.Down, e.line.X):
				open = measure.Without(open, measure.Stretch{From: ink.Y, To: ink.Bottom()})
			case !down && m.Along(plan.Across, e.line.Y):
				open = measure.Without(open, measure.Stretch{From: ink.X, To: ink.Right()})
			}
		}
		for _, s := range open {
			if s.Length() < leastBare {
				continue
			}
			b := Bare{Side: e.side, Whole: s == all, At: measure.Rect{X: s.From, Y: e.line.Y, W: s.Length()}}
			band := b.At
			band.H = 1
			if down {
				b.At = measure.Rect{X: e.line.X, Y: s.From, H: s.Length()}
				band = b.At
				band.W = 1
			}
			if e.out < 0 && down {
				band.X--
			} else if e.out < 0 {
				band.Y--
			}
			for leaf := range c.Whole.Leaves {
				if (!leaf.Rest() || leaf.Keep) && leaf.Rect.Overlaps(band) {
					b.Beside = append(b.Beside, leaf)
				}
			}
			b.Straight = !b.Whole && len(b.Beside) == 0
			out = append(out, b)
		}
	}
	return out
}

// Told says what there is to know of a part that is cut out by its outline: along which edges there is no line, and what to measure instead. It is ""
// where the outline shows all, or whoever goes straight on from it is right.
func (c *Cutting) Told(p *Part, u measure.Unit) string {
	var out []string
	for _, b := range c.Bare(p) {
		if b.Straight {
			continue
		}
		text := "no line at the " + b.Side
		if !b.Whole {
			text = "no line along part of the " + b.Side
		}
		if len(b.Beside) > 0 {
			var names []string
			for _, n := range b.Beside {
				names = append(names, n.touched())
			}
			text += ", which touches " + problem.And(names)
		}
		l, from := p.Rect.H, map[string]string{"top": "bottom", "bottom": "top", "left": "right", "right": "left"}[b.Side]
		if b.Side == "left" || b.Side == "right" {
			l = p.Rect.W
		}
		out = append(out, text+": "+l.About(u.Ruler())+" from the "+from)
	}
	return strings.Join(out, "; ")
}

// touched is what a part that is touched is called.
func (p *Part) touched() string {
	if p.Rest() {
		return "what is kept"
	}
	return Letter(p.First)
}
