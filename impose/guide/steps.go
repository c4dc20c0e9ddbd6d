package guide

import (
	"fmt"
	"slices"
	"strings"

	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// part is a rectangle of a piece (or of a sheet, for pre-cuts) at some time of the cutting: cut in two, or a leaf.
type part struct {
	name      string
	rect      measure.Rect
	near, far *part // nil: a leaf
	down      bool  // cut at an x
	block     int   // of a leaf: index of its block, or -1
	keep      bool  // of a leaf without block: a leftover
	first     int   // places of the blocks in it, first to last; none where last < first
	last      int
}

// step is one cut as a person makes it.
type step struct {
	n        int
	of       *part
	far      bool           // the right or lower edge lies against the fence, and not the left or upper one
	set      measure.Length // what the trimmer is set to
	measured bool           // no mark shows where
	skip     bool           // the part is as large as it should be, but for a hair
}

// at is where the cut is on the piece.
func (s *step) at() measure.Length {
	if s.of.down {
		return s.of.near.rect.Right()
	}
	return s.of.near.rect.Bottom()
}

// edge names the edge that lies against the fence.
func (s *step) edge() string {
	switch {
	case s.of.down && s.far:
		return "right edge"
	case s.of.down:
		return "left edge"
	case s.far:
		return "bottom edge"
	}
	return "top edge"
}

// way is all the cuts of one piece in order, with the rectangle they start from.
type way struct {
	root  *part
	steps []step
	spots []*part // the leaf of each block, by place
	worst measure.Length
}

// newWay reads the cuts of a piece: which block and which leftover each leaf is, by its name. Names are the piece's own: a part that no cut made is a mistake of this program.
func newWay(root string, rect measure.Rect, cuts []plan.Cut, blocks map[string]int, kept map[string]bool) *way {
	leaf := func(name string, r measure.Rect) *part {
		p := &part{name: name, rect: r, block: -1, keep: kept[name], last: -1}
		if i, ok := blocks[name]; ok {
			p.block = i
		}
		return p
	}
	w := &way{root: leaf(root, rect)}
	parts := map[string]*part{root: w.root}
	for _, c := range cuts {
		p := parts[c.Of]
		if p == nil {
			panic(fmt.Sprintf("guide: cut %d is of %s, which no cut made", c.N, c.Of))
		}
		p.down = c.Axis == "down"
		a, b := p.rect, p.rect
		if p.down {
			a.W, b.X, b.W = c.At-p.rect.X, c.At, p.rect.Right()-c.At
		} else {
			a.H, b.Y, b.H = c.At-p.rect.Y, c.At, p.rect.Bottom()-c.At
		}
		p.near, p.far = leaf(c.Makes[0], a), leaf(c.Makes[1], b)
		parts[p.near.name], parts[p.far.name] = p.near, p.far
		w.steps = append(w.steps, step{n: c.N, of: p, measured: c.Measure})
	}
	w.place(w.root)
	return w
}

// place counts the blocks in the order in which they come off, so that every part holds a row of neighbours: A-F.
func (w *way) place(p *part) {
	p.first = len(w.spots)
	if p.near != nil {
		w.place(p.near)
		w.place(p.far)
	} else if p.block >= 0 {
		w.spots = append(w.spots, p)
	}
	p.last = len(w.spots) - 1
}

// what says what a part is: the place of its block, the places in it, a leftover or scrap.
func (p *part) what() string {
	switch {
	case p.near == nil && p.block < 0 && p.keep:
		return "keep"
	case p.near == nil && p.block < 0:
		return "scrap"
	case p.last < p.first:
		return "rest"
	case p.last > p.first:
		return letter(p.first) + "-" + letter(p.last)
	case p.near != nil:
		return "part " + letter(p.first)
	}
	return letter(p.first)
}

// take names what is cut.
func (w *way) take(s *step) string {
	if s.of == w.root {
		return "the piece"
	}
	return s.of.what()
}

// line says how a person finds the cut.
func (s *step) line() string {
	switch {
	case s.skip:
		return "skip"
	case s.measured:
		return "measure"
	}
	return "mark"
}

// gives names the two parts that a cut makes, the left or upper one first.
func (s *step) gives() string { return s.of.near.what() + " + " + s.of.far.what() }

// leaves visits the parts that are not cut, in the order in which they come off.
func (p *part) leaves(visit func(*part)) {
	if p.near == nil {
		visit(p)
		return
	}
	p.near.leaves(visit)
	p.far.leaves(visit)
}

// scrap reports whether the part is for the bin as it is.
func (p *part) scrap() bool { return p.near == nil && p.block < 0 && !p.keep }

// tight reports whether an error of the part's width (height, if not down) would fall on a block: nothing in it gives way.
func (p *part) tight(down bool) bool {
	if p.near == nil {
		return p.block >= 0
	}
	if p.down == down {
		return p.near.tight(down) && p.far.tight(down)
	}
	return p.near.tight(down) || p.far.tight(down)
}

// hair is the error that a block may have: half of the sixteenth that a trimmer is set to.
const hair = measure.Inch / 32

// set finds the trimmer's setting for every cut. A setting is a whole number of graduations, so the parts come out a
// little larger or smaller than planned, and errors would add up along a row of blocks. Therefore the cuts are made on
// paper first: each setting is chosen, from either edge, for what the part really measures by then, so that the error
// falls where it does least harm - on waste, on a leftover, else shared out. Where blocks would still come out wrong by
// more than a hair, the rule is read to half a graduation.
func (w *way) set(graduation, holds measure.Length) {
	for _, g := range []measure.Length{graduation, graduation / 2} {
		w.worst = 0
		real := map[*part]measure.Size{w.root: w.root.rect.Size()}
		for i := range w.steps {
			w.steps[i].choose(g, holds, real)
		}
		for _, p := range w.spots {
			w.worst = max(w.worst, abs(real[p].W-p.rect.W), abs(real[p].H-p.rect.H))
		}
		if w.worst <= hair {
			return
		}
	}
}

// choose sets one cut: real holds what the parts measure so far.
func (s *step) choose(g, holds measure.Length, real map[*part]measure.Size) {
	p := s.of
	along := func(z measure.Size) measure.Length {
		if p.down {
			return z.W
		}
		return z.H
	}
	whole := along(real[p])
	near, far := along(p.near.rect.Size()), along(p.far.rect.Size())
	tightNear, tightFar := p.near.tight(p.down), p.far.tight(p.down)

	type rank [4]measure.Length // worst first: real harm, a part too thin to hold, any harm, any error
	best, found := rank{}, false
	consider := func(fromFar, skip bool, set, errNear, errFar measure.Length) {
		var harm measure.Length
		if tightNear {
			harm = abs(errNear)
		}
		if tightFar {
			harm = max(harm, abs(errFar))
		}
		r := rank{0, 0, harm, abs(errNear) + abs(errFar)}
		if harm > measure.Inch/64 {
			r[0] = harm
		}
		if set < holds {
			r[1] = 1 // the part against the fence should be one that the trimmer can hold
		}
		if !found || slices.Compare(r[:], best[:]) < 0 {
			best, found = r, true
			s.far, s.skip, s.set = fromFar, skip, set
		}
	}
	try := func(fromFar bool, set, errNear, errFar measure.Length) {
		if set > 0 && set < whole {
			consider(fromFar, false, set, errNear, errFar)
		}
	}
	for _, d := range []measure.Length{near / g * g, (near + g - 1) / g * g} {
		try(false, d, d-near, whole-d-far)
	}
	for _, d := range []measure.Length{far / g * g, (far + g - 1) / g * g} {
		try(true, d, whole-d-near, d-far)
	}
	read := (whole + g/2) / g * g // what the rule shows of the whole part
	if off := whole - near; off <= hair && p.far.scrap() {
		consider(false, true, read, off, 0)
	}
	if off := whole - far; off <= hair && p.near.scrap() {
		consider(true, true, read, 0, off)
	}
	if !found { // a strip thinner than the rule can show: the exact measure
		s.far, s.skip, s.set = false, false, near
	}
	a, b := real[p], real[p]
	n := s.set
	switch {
	case s.skip && s.far:
		n = 0
	case s.skip:
		n = whole
	case s.far:
		n = whole - s.set
	}
	if p.down {
		a.W, b.W = n, whole-n
	} else {
		a.H, b.H = n, whole-n
	}
	real[p.near], real[p.far] = a, b
}

// same is a text that is equal for two pieces exactly when they are cut alike: same size, same settings in the same
// order, and the same parts come off.
func (w *way) same() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d %d", w.root.rect.W, w.root.rect.H)
	for _, s := range w.steps {
		fmt.Fprintf(&b, "|%s %d %s %d %d %s %s %s", path(s.of.name), s.n, s.edge(), s.set, s.at(), s.line(),
			s.of.near.what(), s.of.far.what())
	}
	return b.String()
}

// path is a part's name without the piece's.
func path(name string) string {
	_, rest, _ := strings.Cut(name, ".")
	return rest
}

func abs(l measure.Length) measure.Length {
	if l < 0 {
		return -l
	}
	return l
}
