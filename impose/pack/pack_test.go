package pack

import (
	"flag"
	"fmt"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"tuckmark/config/longtests"
	"tuckmark/config/measure"
)

const in = measure.Inch

func whole(w, h measure.Length, m measure.Sides) []Division {
	return []Division{{Pieces: []Piece{{Rect: measure.Rect{W: w, H: h}, Margins: m}}}}
}

// feeds is the keep rule of a small home printer: 3 1/2 x 5 in and up.
func feeds(s measure.Size) bool {
	a, b := min(s.W, s.H), max(s.W, s.H)
	return a >= 7*in/2 && b >= 5*in
}

func randomJob(r *rand.Rand) Job {
	var j Job
	n := 1 + r.Intn(40)
	for i := 0; i < n; i++ {
		it := Item{Size: measure.Size{W: measure.Length(4+r.Intn(36)) * in / 8, H: measure.Length(4+r.Intn(36)) * in / 8}, Turn: r.Intn(3) > 0, Group: r.Intn(5)}
		switch r.Intn(4) {
		case 0:
		case 1:
			it.Blank = measure.Same(in / 8)
			it.Blank.Top = 5 * in / 8
		default:
			it.Blank = measure.Same(in / 8)
		}
		j.Items = append(j.Items, it)
	}
	if r.Intn(2) == 0 { // alike blanks
		for i := range j.Items {
			j.Items[i].Blank = measure.Same(in / 8)
		}
	}
	m := measure.Sides{}
	if r.Intn(3) > 0 {
		m = measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 2}
	}
	if r.Intn(2) == 0 {
		j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: 50, Count: r.Intn(4)*3 - 1, Divisions: whole(17*in/2, 11*in, m)})
	}
	if len(j.Sheets) == 0 || r.Intn(2) == 0 {
		p := func(x, w measure.Length, pr int) Piece {
			return Piece{Rect: measure.Rect{X: x, W: w, H: 12 * in}, Margins: m, Printer: pr}
		}
		s := Sheet{Size: measure.Size{W: 12 * in, H: 12 * in}, Cost: int64(60 + r.Intn(50)), Count: -1}
		s.Divisions = append(s.Divisions, Division{Pieces: []Piece{p(0, 17*in/2, 0), p(17*in/2, 7*in/2, r.Intn(2)-1)}})
		s.Divisions = append(s.Divisions, Division{Pieces: []Piece{p(0, 4*in, 0), p(4*in, 4*in, 0), p(8*in, 4*in, 0)}})
		s.Divisions = append(s.Divisions, Division{Pieces: []Piece{p(0, 6*in, 0), p(6*in, 6*in, 0)}})
		j.Sheets = append(j.Sheets, s)
	}
	for k := r.Intn(3); k > 0; k-- {
		w, h := measure.Length(7+r.Intn(8))*in/2, measure.Length(10+r.Intn(10))*in/2
		j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: w, H: h}, Count: 1 + r.Intn(2), Divisions: whole(w, h, m)})
	}
	switch r.Intn(3) {
	case 0:
		j.Gap = in / 8
	case 1:
		j.Gap, j.Auto = in/8, true
	}
	j.Limits.Keep = feeds
	if r.Intn(2) == 0 {
		j.Limits.Hold = in
	}
	if r.Intn(2) == 0 {
		j.Limits.Longest = []measure.Length{12 * in, 17 * in / 2, 10 * in}[r.Intn(3)]
	}
	j.Effort = r.Intn(3) * 20
	return j
}

var seeds = flag.Int64("seeds", 120, "random jobs of TestRandomJobs")

func TestRandomJobs(t *testing.T) {
	unplaced, items, fails := 0, 0, 0
	jobs := *seeds / slow
	if !longtests.Asked() {
		jobs /= 2
	}
	for seed := range jobs {
		j := randomJob(rand.New(rand.NewSource(seed)))
		a := Pack(j)
		items += len(j.Items)
		unplaced += len(a.Unplaced)
		if f := Verify(j, a); len(f) > 0 {
			t.Errorf("seed %d: %v", seed, f)
			if fails++; fails > 3 {
				break
			}
		}
		if paid := countPaid(j, a); paid < a.Bound {
			t.Errorf("seed %d: %d sheets, bound %d", seed, paid, a.Bound)
		}
		q := newPacker(&j)
		for i, it := range j.Items {
			fits := q.fits(it, q.atHand())
			if _, alone := q.alone(i, q.fullCounts()); alone != fits || fits == slices.Contains(q.fitsNowhere, i) {
				t.Errorf("seed %d: item %d by itself: laid %t, fits %t, nowhere %t", seed, i, alone, fits, slices.Contains(q.fitsNowhere, i))
			}
		}
		// What fits alone on a kind of sheet without end is never left out.
		endless := make([]int, len(j.Sheets))
		for k, s := range j.Sheets {
			endless[k] = min(0, s.Count)
		}
		for _, i := range a.Unplaced {
			if _, ok := newPacker(&j).alone(i, endless); ok {
				t.Errorf("seed %d: item %d is left out", seed, i)
			}
		}
	}
	t.Logf("%d of %d items unplaced", unplaced, items)
}

// Progress never falls, and ends at all of it.
func TestTick(t *testing.T) {
	j := randomJob(rand.New(rand.NewSource(5)))
	j.Effort = 50
	last, of := -1, 0
	j.Tick = func(done, total int) {
		if done < last || done > total {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last, of = done, total
	}
	Pack(j)
	if last != of || of == 0 {
		t.Errorf("ended at %d of %d", last, of)
	}
}

// TestPanicsComeOut: what panics while two searches run beside each other reaches who called Pack.
func TestPanicsComeOut(t *testing.T) {
	j := randomJob(rand.New(rand.NewSource(1)))
	j.Gap, j.Auto, j.Effort = in/8, true, 1000
	j.Stop = func() bool { panic("nobody thought of this") } // asked by the searches alone
	defer func() {
		if p := recover(); p != "nobody thought of this" {
			t.Errorf("recovered %v", p)
		}
	}()
	Pack(j)
	t.Error("no panic came out")
}

// What people know beside the trimmer (common practice, no source): a 12 x 12 in sheet gives three strips of 4 in with nothing left, a
// letter sheet two and half an inch over.
func TestStrips(t *testing.T) {
	strips := func(n int, w, h measure.Length) Job {
		j := Job{Gap: in / 8, Auto: true, Effort: thorough, Limits: Limits{Keep: feeds, Hold: in, Longest: 12 * in}}
		for range n {
			j.Items = append(j.Items, Item{Size: measure.Size{W: 4 * in, H: h}, Blank: measure.Same(in / 8)})
		}
		j.Sheets = []Sheet{{Size: measure.Size{W: w, H: h}, Cost: 100, Count: -1, Divisions: whole(w, h, measure.Same(in/8))}}
		return j
	}
	for _, c := range []struct {
		n, sheets int
		w, h      measure.Length
	}{
		{3, 1, 12 * in, 12 * in}, {4, 2, 12 * in, 12 * in}, {2, 1, 17 * in / 2, 11 * in}, {3, 2, 17 * in / 2, 11 * in},
	} {
		j := strips(c.n, c.w, c.h)
		if a := packed(t, j); len(a.Sheets) != c.sheets {
			t.Errorf("%d strips on %v: %d sheets, want %d", c.n, c.w, len(a.Sheets), c.sheets)
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
	walk(a.Sheets[0].Trees[0])
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
	for _, l := range a.Sheets {
		fmt.Fprint(&b, l.Sheet, l.Division)
		for _, t := range l.Trees {
			walk(t)
		}
	}
	return b.String() + fmt.Sprint(a.Unplaced, a.Cost, a.Bound)
}

// TestManyLeftovers: of very many leftovers of different sizes the solver is offered few, among them one for each item that any holds; what comes out is a
// packing of everything on them.
func TestManyLeftovers(t *testing.T) {
	r := rand.New(rand.NewSource(7))
	j := Job{Effort: 20, Limits: Limits{Keep: feeds}}
	for range 20 {
		j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(8+r.Intn(12)) * in / 8, H: measure.Length(6+r.Intn(8)) * in / 8}, Turn: true})
	}
	j.Items = append(j.Items, Item{Size: measure.Size{W: 8 * in, H: 10 * in}})
	for range 1000 {
		w, h := measure.Length(1200+r.Intn(2200))*in/1000, measure.Length(1500+r.Intn(3000))*in/1000
		j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: w, H: h}, Count: 1, Divisions: whole(w, h, measure.Sides{})})
	}
	for _, cost := range []int64{0, 90} { // the only two that hold the large item
		j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Cost: cost, Count: 1, Divisions: whole(17*in/2, 11*in, measure.Sides{})})
	}
	p := packer{Job: &j}
	counts := make([]int, len(j.Sheets))
	for k := range counts {
		counts[k] = 1
	}
	ids := make([]int, len(j.Items))
	for i := range ids {
		ids[i] = i
	}
	offered := 0
	for _, n := range p.offered(ids, counts) {
		offered += n
	}
	if got := p.offered(ids, counts); offered != len(ids)+moreOffered || got[1000] != 1 {
		t.Errorf("%d sheets are offered to %d items; of the one that holds the large item %d", offered, len(ids), got[1000])
	}
	few := make([]int, len(counts))
	copy(few, counts[:50])
	if got := p.offered(ids[:5], few); !slices.Equal(got, few) {
		t.Error("of few sheets some are left out")
	}
	a := Pack(j)
	if bad := Verify(j, a); len(bad) > 0 || len(a.Unplaced) > 0 || a.Cost != 0 {
		t.Errorf("it costs %d, %v find no place: %v", a.Cost, a.Unplaced, bad)
	}
}
