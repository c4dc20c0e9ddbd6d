package account

import (
	"fmt"
	"strings"

	"tuckmark/config/measure"
)

// Line is a line of the cutting guide: one setting of the fence, for a cut, for cuts one after the other, or for the cuts of parts that are
// alike.
type Line struct {
	N     int     // from 1
	Step  *Step   // its first cut
	Times int     // how often each part is cut so, one cut after the other
	Parts []*Part // that are cut so
	Among bool    // there are parts of the same size that are cut otherwise: those of the line are neighbours, and named from the first to the last
}

// Take names what is cut. Of two parts both are named: the second need not lie beside the first.
func (c *Cutting) Take(l *Line) string {
	what := l.Parts[0].Describe()
	switch n := len(l.Parts); {
	case l.Parts[0] == c.Whole:
		return "the piece"
	case n == 2:
		first, waste := strings.CutPrefix(what, "part ")
		both := first + " and " + strings.TrimPrefix(l.Parts[1].Describe(), "part ")
		if waste {
			return "parts " + both
		}
		return both
	case n > 1 && l.Among:
		return fmt.Sprintf("%s to %s, %d alike", strings.TrimPrefix(what, "part "), strings.TrimPrefix(l.Parts[n-1].Describe(), "part "), n)
	case n > 1:
		return fmt.Sprintf("%s, %d alike", strings.TrimPrefix(what, "part "), n)
	}
	return what
}

// Gives names the parts that the cuts make of the first part, the left or upper ones first; where nothing is cut off, what is to size as it is.
func (l *Line) Gives() string {
	p := l.Parts[0]
	if l.Step.Skip {
		if l.Step.Far {
			return p.Far.Describe()
		}
		return p.Near.Describe()
	}
	near := p.Near.Describe()
	for range l.Times - 1 {
		p = p.Far
	}
	if l.Times > 2 {
		near += ", …"
	} else if l.Times == 2 {
		near += ", " + p.Near.Describe()
	}
	return near + " + " + p.Far.Describe()
}

// Often says how often each part is cut: "9 times", or nothing.
func (l *Line) Often() string {
	if l.Times == 1 {
		return ""
	}
	return fmt.Sprintf("%d times", l.Times)
}

// Strokes is how often the blade comes down for the lines of so many pieces that are cut alike, where the trimmer takes stacks of so many
// sheets. Equal parts of a piece lie in a stack as well.
func (c *Cutting) Strokes(pieces, stack int) (n int) {
	for i := range c.Lines {
		l := &c.Lines[i]
		if l.Step.Skip {
			continue
		}
		n += l.Times * ((len(l.Parts)*pieces + stack - 1) / stack)
	}
	return n
}

// Strokes is how often the blade comes down for all pieces. Those that are cut alike are cut together, as far as the trimmer takes them.
func (a *Account) Strokes() (n int) {
	for _, g := range a.Groups {
		n += g.Pieces[0].Strokes(len(g.Pieces), max(1, a.Settings.Trimmer.Stack))
	}
	return n
}

// gather puts the cuts into lines: what can be done with one setting of the fence is done at once, and parts that are alike are cut alike.
// A part is always cut after the one that it comes from.
func (c *Cutting) gather() {
	steps := map[*Part]*Step{}
	for i := range c.Steps {
		steps[c.Steps[i].Of] = &c.Steps[i]
	}
	shapes := map[*Part]string{}
	shape(c.Whole, steps, shapes)
	if !c.Whole.Leaf() {
		c.gatherAlike([]*Part{c.Whole}, false, steps, shapes)
	}
}

// gatherAlike makes the lines of parts that are alike.
func (c *Cutting) gatherAlike(parts []*Part, among bool, steps map[*Part]*Step, shapes map[*Part]string) {
	first := steps[parts[0]]
	l := Line{N: len(c.Lines) + 1, Step: first, Times: 1, Parts: parts, Among: among}
	for next := steps[parts[0].Far]; next != nil && again(first, next); next = steps[next.Of.Far] {
		l.Times++
	}
	first.N = l.N
	c.Lines = append(c.Lines, l)
	var made []*Part
	for _, p := range parts {
		for range l.Times - 1 {
			made = append(made, p.Near)
			p = p.Far
		}
		made = append(made, p.Near, p.Far)
	}
	kinds, mixed := map[measure.Size]string{}, map[measure.Size]bool{} // of one size, but not cut alike: only neighbours can be named together
	for _, p := range made {
		s := p.Rect.Size()
		if other, ok := kinds[s]; ok && other != shapes[p] {
			mixed[s] = true
		}
		kinds[s] = shapes[p]
	}
	var groups [][]*Part
	at, last := map[string]int{}, map[measure.Size]string{}
	for _, p := range made {
		s := p.Rect.Size()
		before := last[s]
		if last[s] = shapes[p]; p.Leaf() {
			continue
		}
		if k, ok := at[shapes[p]]; ok && (!mixed[s] || before == shapes[p]) {
			groups[k] = append(groups[k], p)
			continue
		}
		at[shapes[p]] = len(groups)
		groups = append(groups, []*Part{p})
	}
	for _, g := range groups {
		c.gatherAlike(g, mixed[g[0].Rect.Size()], steps, shapes)
	}
}

// again reports whether a cut is made with the setting of the one before, of which it takes what was left over. That it has a mark as well
// does not matter where the one before is measured.
func again(a, b *Step) bool {
	return a.down() == b.down() && !a.Far && !b.Far && !a.Skip && !b.Skip && a.Set == b.Set && (a.Measured() || !b.Measured())
}

// shape is a text that is equal for two parts exactly when they are as large and are cut alike.
func shape(p *Part, steps map[*Part]*Step, to map[*Part]string) string {
	text := fmt.Sprintf("%d %d", p.Rect.W, p.Rect.H)
	if s := steps[p]; s != nil {
		near, far := shape(p.Near, steps, to), shape(p.Far, steps, to)
		text += fmt.Sprintf(" %s %d %s (%s) (%s)", s.Edge(), s.Set, s.FoundBy(), near, far)
	} else if p.Rest() {
		text += fmt.Sprintf(" %t", p.Keep)
	} else {
		text += " block"
	}
	to[p] = text
	return text
}
