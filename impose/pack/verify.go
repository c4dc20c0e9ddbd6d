package pack

import (
	"cmp"
	"fmt"
	"slices"
)

// check names what one check of the verifier finds. Each is reported in one place, and the tests hold, for each, an answer that
// would pass without it.
type check string

const (
	noSuchSheet    check = "no such sheet"
	noSuchDivision check = "no such division"
	treesNotPieces check = "not a tree for each piece"
	tooManySheets  check = "more sheets than there are"
	wrongCost      check = "wrong cost"
	noSuchItemOut  check = "no such item left out"
	notOnce        check = "item not there once"
	notPrinted     check = "cut and not printed"
	treeNotPiece   check = "tree is not the piece"
	noArea         check = "rectangle without area"
	onePart        check = "cut into one part"
	noSuchAxis     check = "no such axis"
	wrongParts     check = "parts are not those of the cut"
	cutTooLong     check = "cut too long"
	tooSmallToHold check = "too small to hold"
	wrongKeep      check = "leftover or not"
	restTurned     check = "rest is turned"
	itemKept       check = "item is a leftover"
	noSuchItem     check = "no such item"
	mayNotTurn     check = "may not be turned"
	wrongSize      check = "wrong size"
	inkInMargins   check = "ink in the margins"
	tooClose       check = "closer than the gap"
)

// fault is what one check found in one place.
type fault struct {
	check check
	text  string
}

// Verify is a plain reading of what an answer has to be, and shares nothing with the packer. It returns what is wrong, a line
// each; an answer with nothing wrong can be cut as it stands.
func Verify(j Job, a Answer) []string {
	var lines []string
	for _, f := range verify(j, a) {
		lines = append(lines, f.text)
	}
	return lines
}

func verify(j Job, a Answer) []fault {
	c := &checker{job: j, places: make([]int, len(j.Items))}
	used := make([]int, len(j.Sheets))
	var cost int64
	for n, l := range a.Sheets {
		c.where = fmt.Sprintf("sheet %d", n+1)
		if l.Sheet < 0 || l.Sheet >= len(j.Sheets) {
			c.wrong(noSuchSheet, "there is no kind of sheet %d", l.Sheet)
			continue
		}
		used[l.Sheet]++
		cost += j.Sheets[l.Sheet].Cost
		if l.Division < 0 || l.Division >= len(j.Sheets[l.Sheet].Divisions) {
			c.wrong(noSuchDivision, "its kind has no division %d", l.Division)
			continue
		}
		pieces := j.Sheets[l.Sheet].Divisions[l.Division].Pieces
		if len(l.Trees) != len(pieces) {
			c.wrong(treesNotPieces, "%d trees for %d pieces", len(l.Trees), len(pieces))
			continue
		}
		for p, t := range l.Trees {
			if t == nil {
				continue
			}
			c.where = fmt.Sprintf("sheet %d, piece %d", n+1, p+1)
			c.checkPiece(t, pieces[p])
		}
	}
	c.where = "the answer"
	for k, s := range j.Sheets {
		if s.Count >= 0 && used[k] > s.Count {
			c.wrong(tooManySheets, "uses %d of %d sheets of kind %d", used[k], s.Count, k)
		}
	}
	if cost != a.Cost {
		c.wrong(wrongCost, "costs %d, not the %d it says", cost, a.Cost)
	}
	for _, i := range a.Unplaced {
		if i < 0 || i >= len(j.Items) {
			c.wrong(noSuchItemOut, "leaves out an item %d that is not in the job", i)
			continue
		}
		c.places[i]++
	}
	for i, n := range c.places {
		if n != 1 {
			c.wrong(notOnce, "item %d is placed or listed %d times", i, n)
		}
	}
	return c.faults
}

type checker struct {
	job    Job
	where  string
	places []int
	leaves []*Node // items of the piece at hand
	faults []fault
}

func (c *checker) wrong(k check, format string, args ...any) {
	c.faults = append(c.faults, fault{k, c.where + ": " + fmt.Sprintf(format, args...)})
}

// checkPiece checks the tree of one piece.
func (c *checker) checkPiece(t *Node, p Piece) {
	if p.Printer < 0 {
		c.wrong(notPrinted, "nothing prints on it, and it is cut")
	}
	if t.Rect != p.Rect.Size().At(0, 0) {
		c.wrong(treeNotPiece, "the tree is %v, the piece %v", t.Rect, p.Rect)
	}
	c.leaves = c.leaves[:0]
	c.node(t, p)
	c.apart()
}

// node checks one rectangle and executes its cut. Where both parts are what the cut makes and have an area, the leaves
// cover the piece and do not overlap.
func (c *checker) node(n *Node, p Piece) {
	r := n.Rect
	if r.W <= 0 || r.H <= 0 {
		c.wrong(noArea, "a rectangle without area, %v", r)
	}
	if (n.Near == nil) != (n.Far == nil) {
		c.wrong(onePart, "%v is cut into one part", r)
		return
	}
	if n.Near == nil {
		c.leaf(n, p)
		return
	}
	near, far := r, r
	length := r.H
	switch n.Axis {
	case Down:
		near.W = n.At - r.X
		far.X, far.W = n.At, r.X+r.W-n.At
	case Across:
		near.H = n.At - r.Y
		far.Y, far.H = n.At, r.Y+r.H-n.At
		length = r.W
	default:
		c.wrong(noSuchAxis, "%v is cut along axis %d", r, n.Axis)
	}
	if n.Near.Rect != near || n.Far.Rect != far {
		c.wrong(wrongParts, "cutting %v %s at %d gives %v and %v, not %v and %v", r, n.Axis, n.At, near, far, n.Near.Rect, n.Far.Rect)
	}
	if m := c.job.Limits.Longest; m > 0 && length > m {
		c.wrong(cutTooLong, "the cut of %v at %d is %d long, the trimmer's longest is %d", r, n.At, length, m)
	}
	if m := c.job.Limits.Hold; r.W < m || r.H < m {
		c.wrong(tooSmallToHold, "%v is to be cut and the trimmer holds nothing below %d", r, m)
	}
	c.node(n.Near, p)
	c.node(n.Far, p)
}

func (c *checker) leaf(n *Node, p Piece) {
	r := n.Rect
	if n.Item < 0 {
		keep := c.job.Limits.Keep
		if want := keep != nil && keep(r.Size()); n.Keep != want {
			c.wrong(wrongKeep, "the rest %v says keep %v", r, n.Keep)
		}
		if n.Turned {
			c.wrong(restTurned, "the rest %v is turned", r)
		}
		return
	}
	if n.Keep {
		c.wrong(itemKept, "item %d is called a leftover", n.Item)
	}
	if n.Item >= len(c.job.Items) {
		c.wrong(noSuchItem, "there is no item %d", n.Item)
		return
	}
	c.places[n.Item]++
	c.leaves = append(c.leaves, n)
	it := c.job.Items[n.Item]
	w, h := it.Size.W, it.Size.H
	// A quarter turn clockwise takes the top to the right, the right to the bottom and so on.
	left, top, right, bottom := it.Blank.Left, it.Blank.Top, it.Blank.Right, it.Blank.Bottom
	if n.Turned {
		w, h = h, w
		left, top, right, bottom = bottom, left, top, right
		if !it.Turn {
			c.wrong(mayNotTurn, "item %d may not be turned", n.Item)
		}
	}
	if r.W != w || r.H != h {
		c.wrong(wrongSize, "item %d is cut to %d x %d, not %d x %d", n.Item, r.W, r.H, w, h)
	}
	m := p.Margins
	if r.X+left < m.Left || r.Y+top < m.Top || r.X+w-right > p.Rect.W-m.Right || r.Y+h-bottom > p.Rect.H-m.Bottom {
		c.wrong(inkInMargins, "the ink of item %d at %v reaches into the margins", n.Item, r)
	}
}

// apart checks that the items of a piece keep the gap from one another where that is asked for.
func (c *checker) apart() {
	gap := c.job.Gap
	if c.job.Auto {
		gap = 0
	}
	l := c.leaves
	slices.SortFunc(l, func(a, b *Node) int { return cmp.Compare(a.Rect.X, b.Rect.X) })
	for i, a := range l {
		for _, b := range l[i+1:] {
			if b.Rect.X >= a.Rect.X+a.Rect.W+gap {
				break
			}
			if b.Rect.Y < a.Rect.Y+a.Rect.H+gap && a.Rect.Y < b.Rect.Y+b.Rect.H+gap {
				c.wrong(tooClose, "items %d and %d are closer than %d", a.Item, b.Item, gap)
			}
		}
	}
}
