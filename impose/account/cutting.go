package account

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// Part is a part of a piece (or of a sheet, for pre-cuts), with the places of the blocks (or panels) in it.
type Part struct {
	*plan.Part
	Near, Far   *Part // nil: a leaf
	First, Last int   // places of the blocks in it; none where Last < First
}

// Step is one cut as a person makes it.
type Step struct {
	N    int // the number of the line that it begins; 0: a further cut of one
	Of   *Part
	Far  bool           // the right or lower edge lies against the fence, and not the left or upper one
	Set  measure.Length // what the trimmer is set to
	Skip bool           // nobody makes it: the part is as large as it should be, but for a hair
}

// down reports whether the cut runs from top to bottom.
func (s *Step) down() bool { return s.Of.Cut.Axis == plan.Down }

// Planned is what the trimmer would be set to if it could be set to anything.
func (s *Step) Planned() measure.Length {
	against := s.Of.Near
	if s.Far {
		against = s.Of.Far
	}
	return along(against.Rect.Size(), s.down())
}

// Measured reports whether no mark shows where the cut goes.
func (s *Step) Measured() bool { return len(s.Of.Cut.Marks) == 0 }

// Edge names the edge that lies against the fence.
func (s *Step) Edge() string { return s.Side() + " edge" }

// Side says on which side of the part that edge is.
func (s *Step) Side() string {
	switch {
	case s.down() && s.Far:
		return "right"
	case s.down():
		return "left"
	case s.Far:
		return "bottom"
	}
	return "top"
}

// Cutting is all the cuts of one piece or sheet in order.
type Cutting struct {
	Whole *Part
	Steps []Step         // every cut, in the order of the tree
	Lines []Line         // the cuts as the guide tells them
	Spots []*Part        // the leaf of each block or panel, by place
	Worst measure.Length // by which a block comes out wrong, the trimmer being set to whole graduations

	Outlined bool // there is no trimmer: each part of Out is cut out by its outline, and there are no steps and lines

	first int // place of the first block: those of a page go through its pieces
}

// newCutting finds the cuts of a piece or sheet and the places of its blocks, which begin with first, and what the trimmer is set to for each cut.
func newCutting(whole *plan.Part, first int, u measure.Unit, t config.Trimmer) *Cutting {
	c := &Cutting{first: first}
	c.Whole = c.count(whole)
	c.set(u.Graduation(), t.Holds)
	c.gather()
	return c
}

// count counts the blocks in the order in which they come off, so that every part holds a row of neighbours: A-F.
func (c *Cutting) count(of *plan.Part) *Part {
	p := &Part{Part: of, First: c.first + len(c.Spots)}
	switch {
	case of.Cut != nil:
		c.Steps = append(c.Steps, Step{Of: p})
		p.Near, p.Far = c.count(of.Cut.Near), c.count(of.Cut.Far)
	case !of.Rest():
		c.Spots = append(c.Spots, p)
	}
	p.Last = c.first + len(c.Spots) - 1
	return p
}

// Describe says what a part is: the place of its block, the places in it, a leftover or scrap.
func (p *Part) Describe() string {
	switch {
	case p.Rest() && p.Keep:
		return "keep"
	case p.Rest():
		return "scrap"
	case p.Last < p.First:
		return "rest"
	case p.Last == p.First && !p.Leaf():
		return "part " + Letter(p.First)
	}
	return placesOf(p.First, p.Last)
}

// FoundBy says how a person finds the cut.
func (s *Step) FoundBy() string {
	switch {
	case s.Skip:
		return "skip"
	case s.Measured():
		return "measure"
	}
	return "mark"
}

// Leaves visits the leaves, in the order in which they come off.
func (p *Part) Leaves(visit func(*Part) bool) { p.ends(visit) }

func (p *Part) ends(visit func(*Part) bool) bool {
	if p.Leaf() {
		return visit(p)
	}
	return p.Near.ends(visit) && p.Far.ends(visit)
}

// tight reports whether an error of the part's width (height, if not down) would fall on a block: nothing in it gives way.
func (p *Part) tight(down bool) bool {
	if p.Leaf() {
		return !p.Rest()
	}
	switch p.Hair() { // stays on the other
	case p.Near.Part:
		return p.Far.tight(down)
	case p.Far.Part:
		return p.Near.tight(down)
	}
	if (p.Cut.Axis == plan.Down) == down {
		return p.Near.tight(down) && p.Far.tight(down)
	}
	return p.Near.tight(down) || p.Far.tight(down)
}

// printed reports whether a block with its ink lies at the part's far edge, or else its near one (the lower or the upper, if not down).
func (p *Part) printed(down, far bool) bool {
	if p.Leaf() {
		return p.Block != nil
	}
	switch hair := p.Hair(); {
	case hair == p.Near.Part, hair == nil && far && (p.Cut.Axis == plan.Down) == down:
		return p.Far.printed(down, far)
	case hair == p.Far.Part, (p.Cut.Axis == plan.Down) == down:
		return p.Near.printed(down, far)
	}
	return p.Near.printed(down, far) || p.Far.printed(down, far)
}

// along is the side of a size that a cut measures.
func along(s measure.Size, down bool) measure.Length {
	if down {
		return s.W
	}
	return s.H
}

// set finds the trimmer's setting for every cut. A setting is a whole number of graduations, so the parts come out a
// little larger or smaller than planned, and errors would add up along a row of blocks. Therefore the cuts are made on
// paper first: each setting is chosen for what the part really measures by then, so that the error falls where it does
// least harm - on waste, on a leftover, else shared out. The near edge lies against the fence where it makes no difference:
// the part behind it comes out as it is set, and what the sheet itself is out of true falls on what is left last. Where
// blocks would still come out wrong by more than a hair (half of the sixteenth that a trimmer is set to), the rule is read to half a graduation.
func (c *Cutting) set(graduation, holds measure.Length) {
	for _, g := range []measure.Length{graduation, graduation / 2} {
		c.Worst = 0
		whole := measured{raw: [2]bool{true, true}}
		for way := range ways {
			whole.is[way] = c.Whole.Rect
		}
		real := map[*Part]measured{c.Whole: whole}
		for i := range c.Steps {
			c.Steps[i].choose(g, holds, real)
		}
		for _, p := range c.Spots {
			for _, is := range real[p].is {
				c.Worst = max(c.Worst, abs(is.W-p.Rect.W), abs(is.H-p.Rect.H))
				if p.Block != nil {
					c.Worst = max(c.Worst, abs(is.X-p.Rect.X), abs(is.Y-p.Rect.Y), abs(is.Right()-p.Rect.Right()), abs(is.Bottom()-p.Rect.Bottom()))
				}
			}
		}
		if c.Worst <= measure.Hair {
			return
		}
	}
}

// The ways to make the cuts: by the settings alone, and along the marks where there are any.
const (
	bySettings = iota
	byMarks
	ways
)

// measured is what a part measures once it is cut off.
type measured struct {
	is  [ways]measure.Rect
	raw [2]bool // by the axis of the cuts: one of its edges at least is the sheet's own, so that it has what the sheet is out of true
}

// choose sets one cut: real holds what the parts measure so far.
func (s *Step) choose(g, holds measure.Length, real map[*Part]measured) {
	p, down := s.Of, s.down()
	raw := real[p].raw[s.Of.Cut.Axis]
	var whole, right [ways]measure.Length // what the part measures, and where the cut lies on it by the print, from the near edge
	for way, is := range real[p].is {
		whole[way] = along(is.Size(), down)
		if right[way] = s.Of.Cut.At - is.X; !down {
			right[way] = s.Of.Cut.At - is.Y
		}
	}
	near, far := along(p.Near.Rect.Size(), down), along(p.Far.Rect.Size(), down)
	tightNear, tightFar := p.Near.tight(down), p.Far.tight(down)
	printed := p.Near.printed(down, true) || p.Far.printed(down, false)
	// at is where a setting has the cut from the near edge
	at := func(way int, fromFar bool, set measure.Length) measure.Length {
		switch {
		case way == byMarks && !s.Measured():
			return right[way]
		case fromFar:
			return whole[way] - set
		}
		return set
	}

	type rank [6]measure.Length // worst first: real harm, a part too thin to hold, the sheet's own error on blocks, the far edge, any harm, any error
	best, found := rank{}, false
	consider := func(fromFar bool, set measure.Length) {
		var r rank
		var harm measure.Length
		for way := range ways {
			n := at(way, fromFar, set)
			if n <= 0 || n >= whole[way] {
				return
			}
			errNear, errFar := abs(n-near), abs(whole[way]-n-far)
			if tightNear {
				harm = max(harm, errNear)
			}
			if tightFar {
				harm = max(harm, errFar)
			}
			if printed {
				harm = max(harm, abs(n-right[way]))
			}
			r[5] = max(r[5], errNear+errFar)
		}
		if r[4] = harm; harm > measure.Inch/64 {
			r[0] = harm
		}
		if set < holds {
			r[1] = 1 // the part against the fence should be one that the trimmer can hold
		}
		if raw && (fromFar && tightNear || !fromFar && tightFar) {
			r[2] = 1
		}
		if fromFar {
			r[3] = 1
		}
		if !found || slices.Compare(r[:], best[:]) < 0 {
			best, found = r, true
			s.Far, s.Set = fromFar, set
		}
	}
	for _, n := range []measure.Length{near, right[bySettings], right[byMarks]} {
		consider(false, n/g*g)
		consider(false, (n+g-1)/g*g)
	}
	for _, n := range []measure.Length{far, whole[bySettings] - right[bySettings], whole[byMarks] - right[byMarks]} {
		consider(true, n/g*g)
		consider(true, (n+g-1)/g*g)
	}
	if hair := p.Hair(); hair != nil {
		s.Far, s.Skip, s.Set = hair == p.Near.Part, true, (whole[bySettings]+g/2)/g*g // what the rule shows of the whole part
	} else if !found { // a strip thinner than the rule can show: the exact measure
		s.Far, s.Set = false, near
	}
	a, b := real[p], real[p]
	a.raw[s.Of.Cut.Axis] = raw && (s.Far || s.Skip)
	b.raw[s.Of.Cut.Axis] = raw && (!s.Far || s.Skip)
	for way := range ways {
		n := at(way, s.Far, s.Set)
		switch {
		case s.Skip && s.Far:
			n = 0
		case s.Skip:
			n = whole[way]
		}
		if near, far := &a.is[way], &b.is[way]; down {
			near.W, far.X, far.W = n, far.X+n, whole[way]-n
		} else {
			near.H, far.Y, far.H = n, far.Y+n, whole[way]-n
		}
	}
	real[p.Near], real[p.Far] = a, b
}

// same is a text that is equal for two pieces exactly when they are cut alike: same size, letters from the same one on, same settings in the same
// order, and the same parts come off.
func (c *Cutting) same() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d %d %d", c.Whole.Rect.W, c.Whole.Rect.H, c.first)
	if c.Outlined {
		for leaf := range c.Whole.Leaves {
			fmt.Fprintf(&b, "|%v %s %v", leaf.Rect, leaf.Describe(), leaf.Outline)
		}
	}
	for i := range c.Steps {
		s := &c.Steps[i]
		fmt.Fprintf(&b, "|%s %d %d %s %s + %s", s.Edge(), s.Set, s.Of.Cut.At, s.FoundBy(), s.Of.Near.Describe(), s.Of.Far.Describe())
	}
	return b.String()
}

func abs(l measure.Length) measure.Length {
	if l < 0 {
		return -l
	}
	return l
}
