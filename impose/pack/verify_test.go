package pack

import (
	"fmt"
	"math/rand"
	"strings"
	"testing"

	"tuckmark/config/measure"
)

// A correct plan that is then broken in one way; the verifier has to say so.
func TestVerifyCatches(t *testing.T) {
	margins := measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 2}
	job := func() Job {
		j := Job{Gap: in / 8, Effort: 10, Limits: Limits{Keep: feeds, Hold: in, Longest: 12 * in}}
		for i := 0; i < 6; i++ {
			j.Items = append(j.Items, Item{Size: measure.Size{W: 4 * in, H: 5 * in / 2}, Turn: i > 0, Blank: measure.Same(in / 8)})
		}
		j.Items = append(j.Items, Item{Size: measure.Size{W: 3 * in, H: in / 2}, Blank: measure.Same(in / 8)})
		p := func(x, w measure.Length, printer int) Piece {
			return Piece{Rect: measure.Rect{X: x, W: w, H: 12 * in}, Margins: margins, Printer: printer}
		}
		j.Sheets = []Sheet{{Size: measure.Size{W: 12 * in, H: 12 * in}, Cost: 90, Count: 3, Ways: []Way{{Pieces: []Piece{p(0, 17*in/2, 0), p(17*in/2, 7*in/2, -1)}}}}}
		return j
	}
	// leaf finds the first leaf that holds an item (or a rest).
	var leaf func(n *Node, item bool) *Node
	leaf = func(n *Node, item bool) *Node {
		if n.Near == nil {
			if n.Item >= 0 == item {
				return n
			}
			return nil
		}
		if l := leaf(n.Near, item); l != nil {
			return l
		}
		return leaf(n.Far, item)
	}
	for _, c := range []struct {
		name  string
		spoil func(j *Job, a *Answer)
		says  string
	}{
		{"nothing", func(*Job, *Answer) {}, ""},
		{"item twice", func(j *Job, a *Answer) { a.Unplaced = append(a.Unplaced, 0) }, "2 times"},
		{"item missing", func(j *Job, a *Answer) { leaf(a.Laid[0].Trees[0], true).Item = -1 }, "0 times"},
		{"another item", func(j *Job, a *Answer) { leaf(a.Laid[0].Trees[0], true).Item = 6 }, "is cut to"},
		{"no such item", func(j *Job, a *Answer) { leaf(a.Laid[0].Trees[0], true).Item = 99 }, "no item 99"},
		{"listed that is not there", func(j *Job, a *Answer) { a.Unplaced = []int{77} }, "not in the job"},
		{"turned without leave", func(j *Job, a *Answer) {
			for i := range j.Items {
				j.Items[i].Turn = false
			}
			leaf(a.Laid[0].Trees[0], true).Turned = true
		}, "may not be turned"},
		{"size off by one", func(j *Job, a *Answer) { leaf(a.Laid[0].Trees[0], true).Rect.W++ }, "gives"},
		{"cut moved", func(j *Job, a *Answer) { a.Laid[0].Trees[0].At++ }, "gives"},
		{"cut outside", func(j *Job, a *Answer) { a.Laid[0].Trees[0].At += 100 * in }, "does not halve"},
		{"axis turned", func(j *Job, a *Answer) { a.Laid[0].Trees[0].Axis ^= 1 }, "gives"},
		{"one half gone", func(j *Job, a *Answer) { a.Laid[0].Trees[0].Far = nil }, "one part"},
		{"piece of another size", func(j *Job, a *Answer) { j.Sheets[0].Ways[0].Pieces[0].Rect.H -= in }, "the tree is"},
		{"on what does not print", func(j *Job, a *Answer) { j.Sheets[0].Ways[0].Pieces[0].Printer = -1 }, "nothing prints"},
		{"too many sheets", func(j *Job, a *Answer) { j.Sheets[0].Count = 0 }, "of 0 sheets"},
		{"cost", func(j *Job, a *Answer) { a.Cost++ }, "costs"},
		{"wider gap", func(j *Job, a *Answer) { j.Gap = in / 4 }, "closer than"},
		{"shorter trimmer", func(j *Job, a *Answer) { j.Limits.Longest = 3 * in }, "longest"},
		{"coarser trimmer", func(j *Job, a *Answer) { j.Limits.Hold = 5 * in }, "holds nothing"},
		{"wider margins", func(j *Job, a *Answer) { j.Sheets[0].Ways[0].Pieces[0].Margins = measure.Same(in) }, "into the margins"},
		{"less blank", func(j *Job, a *Answer) {
			for i := range j.Items {
				j.Items[i].Blank = measure.Sides{}
			}
		}, "into the margins"},
		{"keep", func(j *Job, a *Answer) { n := leaf(a.Laid[0].Trees[0], false); n.Keep = !n.Keep }, "says keep"},
		{"way", func(j *Job, a *Answer) { a.Laid[0].Way = 4 }, "no way 4"},
		{"sheet", func(j *Job, a *Answer) { a.Laid[0].Sheet = 4 }, "no kind of sheet 4"},
		{"trees", func(j *Job, a *Answer) { a.Laid[0].Trees = a.Laid[0].Trees[:1] }, "1 trees for 2"},
		{"overlap", func(j *Job, a *Answer) {
			n := a.Laid[0].Trees[0]
			n.Far = n.Near
		}, "gives"},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := job()
			a := Pack(j)
			c.spoil(&j, &a)
			got := strings.Join(Verify(j, a), "\n")
			if c.says == "" && got != "" || !strings.Contains(got, c.says) {
				t.Errorf("says %q, want %q in it", got, c.says)
			}
		})
	}
}

// What people know beside the trimmer (common practice, no source): a 12 x 12 in sheet gives three strips of 4 in with nothing left, a
// letter sheet two and half an inch over.
func TestStrips(t *testing.T) {
	strips := func(n int, w, h measure.Length) Job {
		j := Job{Gap: in / 8, Auto: true, Effort: thorough, Limits: Limits{Keep: feeds, Hold: in, Longest: 12 * in}}
		for range n {
			j.Items = append(j.Items, Item{Size: measure.Size{W: 4 * in, H: h}, Blank: measure.Same(in / 8)})
		}
		j.Sheets = []Sheet{{Size: measure.Size{W: w, H: h}, Cost: 100, Count: -1, Ways: whole(w, h, measure.Same(in/8))}}
		return j
	}
	for _, c := range []struct {
		n, sheets int
		w, h      measure.Length
	}{
		{3, 1, 12 * in, 12 * in}, {4, 2, 12 * in, 12 * in}, {2, 1, 17 * in / 2, 11 * in}, {3, 2, 17 * in / 2, 11 * in},
	} {
		j := strips(c.n, c.w, c.h)
		if a := packed(t, j); len(a.Laid) != c.sheets {
			t.Errorf("%d strips on %v: %d sheets, want %d", c.n, c.w, len(a.Laid), c.sheets)
		}
	}
	j := strips(2, 17*in/2, 11*in)
	a := packed(t, j)
	var waste measure.Length
	var walk func(n *Node)
	walk = func(n *Node) {
		if n.Near != nil {
			walk(n.Near)
			walk(n.Far)
		} else if n.Item < 0 {
			waste += n.Rect.W
		}
	}
	walk(a.Laid[0].Trees[0])
	if waste != in/2 {
		t.Errorf("the offcut of a letter sheet is %v wide in all, want half an inch", waste)
	}
}

// The same job gives the same answer, to the last cut.
func TestSameAgain(t *testing.T) {
	for seed := int64(0); seed < 5; seed++ {
		j := randomJob(rand.New(rand.NewSource(1000 + seed)))
		j.Effort = 100
		if a, b := print(Pack(j)), print(Pack(j)); a != b {
			t.Errorf("seed %d: %s\nand then\n%s", seed, a, b)
		}
	}
}

func print(a Answer) string {
	var b strings.Builder
	var walk func(n *Node)
	walk = func(n *Node) {
		if n == nil {
			b.WriteString("- ")
			return
		}
		c := *n
		c.Near, c.Far = nil, nil
		b.WriteString(strings.TrimSpace(fmt.Sprint(c)) + " ")
		if n.Near != nil {
			walk(n.Near)
			walk(n.Far)
		}
	}
	for _, l := range a.Laid {
		b.WriteString(fmt.Sprint(l.Sheet, l.Way))
		for _, t := range l.Trees {
			walk(t)
		}
	}
	return b.String() + fmt.Sprint(a.Unplaced, a.Cost, a.Bound)
}
