package layout

import (
	"slices"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
)

// home is a feed with printers for pieces between 4 x 5 in and 8 x 14 in, as many as are asked for.
func home(n int) feed {
	f := feed{stock: config.Stock{Name: "vellum"}}
	for i := range n {
		f.printers = append(f.printers, config.Printer{Name: string(rune('A' + i)), Narrowest: 4 * in, Widest: 8 * in, Shortest: 5 * in, Longest: 14 * in})
		f.takers = append(f.takers, i)
	}
	f.all = f.takers
	return f
}

// TestOwn: a stock has printers of its own where some name it, and others take it too.
func TestOwn(t *testing.T) {
	for _, c := range []struct {
		takes [2][]string
		mine  []int
		own   bool
	}{
		{[2][]string{nil, nil}, nil, false},
		{[2][]string{nil, {"vellum"}}, []int{1}, true},
		{[2][]string{{"film", "vellum"}, {"vellum"}}, []int{0, 1}, false}, // there are no others
		{[2][]string{nil, {"film"}}, nil, false},
	} {
		f := home(2)
		f.printers[0].Takes, f.printers[1].Takes = c.takes[0], c.takes[1]
		if mine, own := f.own(); own != c.own || !slices.Equal(mine.takers, c.mine) {
			t.Errorf("%q: %v, %v", c.takes, mine.takers, own)
		}
	}
}

// TestKeep: a rest is worth keeping where any printer of the stock pulls it, either way round, or it may ride.
func TestKeep(t *testing.T) {
	f := home(2)
	f.printers[1].Narrowest = 2 * in
	f.takers = f.takers[:1] // printer B does not print this time, and may the next
	for _, c := range []struct {
		size measure.Size
		want bool
	}{
		{measure.Size{W: 4 * in, H: 5 * in}, true}, {measure.Size{W: 5 * in, H: 4 * in}, true},
		{measure.Size{W: 2 * in, H: 5 * in}, true}, {measure.Size{W: 5 * in, H: 2 * in}, true},
		{measure.Size{W: 2*in - 1, H: 5 * in}, false}, {measure.Size{W: 5*in - 1, H: 3 * in}, false},
	} {
		if got := f.stillFeeds(c.size); got != c.want {
			t.Errorf("%v: %v", c.size, got)
		}
	}
	f.stock.Carrier = &config.Carrier{Size: measure.Size{W: 8 * in, H: 10 * in}, Smallest: measure.Size{W: 2 * in, H: in}}
	for size, want := range map[measure.Size]bool{{W: 2 * in, H: in}: true, {W: in, H: 2 * in}: true, {W: 2 * in, H: in - 1}: false} {
		if got := f.stillFeeds(size); got != want {
			t.Errorf("%v with a carrier: %v", size, got)
		}
	}
}

// TestRideInTheMiddle: a piece lies in the middle of its carrier, with as much on each side, and no nearer its edge than its outline can be
// printed, which is half a point wide.
func TestRideInTheMiddle(t *testing.T) {
	f := home(1)
	f.printers[0].Margins = measure.Sides{Left: in, Top: in / 2, Right: in / 4, Bottom: in / 2}
	f.stock.Carrier = &config.Carrier{Size: measure.Size{W: 8 * in, H: 10 * in}, Smallest: measure.Size{W: in, H: in}}
	for size, want := range map[measure.Size]*plan.Carrier{
		{W: 3 * in, H: 2 * in}:                             {Size: f.stock.Carrier.Size, X: 5 * in / 2, Y: 4 * in},
		{W: 6*in - measure.Point, H: 9*in - measure.Point}: {Size: f.stock.Carrier.Size, X: in + measure.Point/2, Y: in/2 + measure.Point/2},
		{W: 6*in - measure.Point + 2, H: in}:               nil, // over the left margin
	} {
		if by, got := f.ride(size); (by >= 0) != (want != nil) || want != nil && *got != *want {
			t.Errorf("%v: %d, %+v", size, by, got)
		}
	}
}

// TestSplits: the ways to divide a side, worked out by hand.
func TestSplits(t *testing.T) {
	both := home(2)
	both.printers[1].Widest = 6 * in
	metric := home(1)
	metric.unit = measure.Mm
	const mm = measure.Millimetre
	for _, c := range []struct {
		name   string
		f      feed
		side   measure.Length
		wanted []measure.Length
		want   [][]measure.Length
	}{
		{"it feeds whole", home(1), 8 * in, []measure.Length{5 * in}, [][]measure.Length{{8 * in}}},
		{"halves", home(1), 16 * in, nil, [][]measure.Length{{8 * in, 8 * in}}},
		{"three where two are too wide", home(1), 16*in + in/2, nil, [][]measure.Length{{11 * in / 2, 11 * in / 2, 11 * in / 2}, {8 * in, 8 * in, in / 2}, {11 * in / 2, 11 * in}, {8 * in, 17 * in / 2}}},
		{"equal ones to a sixteenth", home(1), 12*in + in/16, nil, [][]measure.Length{{6 * in, 6 * in, in / 16}, {8 * in, 4*in + in/16}, {6 * in, 6*in + in/16}}},
		{"equal ones to a millimetre", metric, 301 * mm, nil, [][]measure.Length{{150 * mm, 150 * mm, mm}, {8 * in, 301*mm - 8*in}, {150 * mm, 151 * mm}}},
		{"to the unit where a sixteenth would leave too wide a rest", wide(home(1), 6*in+in/32), 12*in + in/16, nil,
			[][]measure.Length{{6*in + in/32, 6*in + in/32}}},
		{"as a block is wide", home(1), 12 * in, []measure.Length{5 * in, 3 * in, 9 * in, 12 * in},
			[][]measure.Length{{6 * in, 6 * in}, {8 * in, 4 * in}, {5 * in, 5 * in, 2 * in}, {5 * in, 7 * in}}},
		{"a panel for each of two printers", both, 14 * in, nil,
			[][]measure.Length{{7 * in, 7 * in}, {8 * in, 6 * in}, {4*in + in/16*10, 4*in + in/16*10, 4*in + in/16*10, in / 8}, {6 * in, 6 * in, 2 * in}, {6 * in, 8 * in}, {4*in + in/16*10, 9*in + in/16*6}}},
		{"narrower than the least", home(1), 4*in - 1, nil, nil},
	} {
		got := c.f.splits(c.f.takers, pack.Down, c.side, c.wanted)
		if !slices.EqualFunc(got, c.want, func(a, b []measure.Length) bool { return slices.Equal(a, b) }) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
	// A printer whose least is more than half of its most: equal parts may be too narrow for it.
	f := home(1)
	f.printers[0].Narrowest = 7 * in
	if got := f.splits(f.takers, pack.Down, 12*in, nil); !slices.EqualFunc(got, [][]measure.Length{{8 * in, 4 * in}}, func(a, b []measure.Length) bool { return slices.Equal(a, b) }) {
		t.Errorf("equal parts that are too narrow: %v", got)
	}
}

func wide(f feed, most measure.Length) feed { f.printers[0].Widest = most; return f }

// TestMostDivisions: however many ways there are, the packer gets no more than it can try.
func TestMostDivisions(t *testing.T) {
	f := home(1)
	var wanted []measure.Length
	for i := range measure.Length(16) {
		wanted = append(wanted, 5*in+i*in/16)
	}
	if got := f.divisions(measure.Size{W: 40 * in, H: 60 * in}, wishes{wanted, wanted}); len(got) != mostDivisions {
		t.Errorf("%d divisions", len(got))
	}
}

// TestCuttable: every cut of a tree is looked at: whether it is short enough, and what is cut wide enough to hold.
func TestCuttable(t *testing.T) {
	across := func(w, h, at measure.Length) *pack.Node {
		return &pack.Node{Rect: measure.Rect{W: w, H: h}, Axis: pack.Across, At: at, Near: &pack.Node{Rect: measure.Rect{W: w, H: at}}, Far: &pack.Node{Rect: measure.Rect{Y: at, W: w, H: h - at}}}
	}
	down := func(w, h, at measure.Length) *pack.Node {
		return &pack.Node{Rect: measure.Rect{W: w, H: h}, Axis: pack.Down, At: at, Near: &pack.Node{Rect: measure.Rect{W: at, H: h}}, Far: &pack.Node{Rect: measure.Rect{X: at, W: w - at, H: h}}}
	}
	below := func(n *pack.Node, far bool, in *pack.Node) *pack.Node {
		if far {
			n.Far = in
		} else {
			n.Near = in
		}
		return n
	}
	f := feed{trimmer: config.Trimmer{Longest: 12 * in, Holds: 2 * in}}
	for i, c := range []struct {
		tree *pack.Node
		want bool
	}{
		{nil, true}, {&pack.Node{Rect: measure.Rect{W: in, H: 20 * in}}, true}, // nothing to cut
		{across(12*in, 20*in, in), true}, {across(12*in+1, 20*in, in), false},
		{down(20*in, 12*in, in), true}, {down(20*in, 12*in+1, in), false},
		{across(2*in, 5*in, in), true}, {across(2*in-1, 5*in, in), false},
		{down(5*in, 2*in, in), true}, {down(5*in, 2*in-1, in), false},
		{below(across(12*in, 20*in, 5*in), false, down(13*in, 13*in, in)), false},
		{below(across(12*in, 20*in, 5*in), true, down(13*in, 13*in, in)), false},
		{below(across(12*in, 20*in, 5*in), true, down(12*in, 12*in, in)), true},
	} {
		if got := f.cuttable(c.tree); got != c.want {
			t.Errorf("tree %d: %v", i, got)
		}
	}
	f.trimmer.Longest = 0 // no limit
	if !f.cuttable(across(90*in, 20*in, in)) {
		t.Error("a trimmer without a longest cut does not cut")
	}
}

// TestMarginsOfMirrored: a page that is printed left for right has its margins so.
func TestMarginsOfMirrored(t *testing.T) {
	p, page := config.Printer{Margins: measure.Sides{Left: 1, Top: 2, Right: 3, Bottom: 4}}, measure.Size{W: 8 * in, H: 10 * in}
	if got := margins(p, config.Stock{}, page); got != p.Margins {
		t.Errorf("%+v", got)
	}
	if got := margins(p, config.Stock{Mirror: true}, page); got != (measure.Sides{Left: 3, Top: 2, Right: 1, Bottom: 4}) {
		t.Errorf("mirrored %+v", got)
	}
}

// TestMarginsOfCorrected: nothing is laid where the printer's correction would move it off the page; each edge worked out by hand.
func TestMarginsOfCorrected(t *testing.T) {
	page := measure.Size{W: 8 * in, H: 10 * in}
	for _, c := range []struct {
		shift config.Offset
		scale [2]float64
		want  measure.Sides
	}{
		{config.Offset{}, [2]float64{1, 1}, measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 2}},
		{config.Offset{X: in / 16, Y: -in / 16}, [2]float64{1, 1}, measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 2}}, // stays on the page
		{config.Offset{X: in / 4, Y: -in / 4}, [2]float64{1, 1}, measure.Sides{Left: in / 8, Top: in / 4, Right: in / 4, Bottom: in / 2}},
		{config.Offset{X: -in / 4, Y: in}, [2]float64{1, 1}, measure.Sides{Left: in / 4, Top: in / 8, Right: in / 8, Bottom: in}},
		{config.Offset{}, [2]float64{1.0625, 1.0625}, measure.Sides{Left: in / 8, Top: in / 8, Right: 8*in - 8*in*16/17, Bottom: 10*in - 10*in*16/17}},
		{config.Offset{X: -in / 4}, [2]float64{1.0625, 0.9}, measure.Sides{Left: (in*4 + 16) / 17, Top: in / 8, Right: 8*in - (8*in+in/4)*16/17, Bottom: in / 2}},
	} {
		p := config.Printer{Margins: measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 2}, Shift: c.shift, Scale: c.scale}
		if got := margins(p, config.Stock{}, page); got != c.want {
			t.Errorf("%+v, %v: %+v, want %+v", c.shift, c.scale, got, c.want)
		}
		c.want.Left, c.want.Right = c.want.Right, c.want.Left
		if got := margins(p, config.Stock{Mirror: true}, page); got != c.want {
			t.Errorf("mirrored, %+v, %v: %+v, want %+v", c.shift, c.scale, got, c.want)
		}
	}
}

// TestMarksOf: where the marks of one cut go, worked out by hand: the cut goes across a piece of 10 x 6 in at 3 in.
func TestMarksOf(t *testing.T) {
	look := config.Mark{Length: in / 2, Weight: 100}
	near, far := measure.Length(3*in-50), measure.Length(3*in+50) // the centre lines on the two sides
	type m = plan.Mark
	mark := func(y, from, to measure.Length) m { return m{X1: from, Y1: y, X2: to, Y2: y, Weight: 100} }
	above := func(from, to measure.Length) measure.Rect {
		return measure.Rect{X: from, Y: 0, W: to - from, H: 3 * in}
	}
	below := func(from, to measure.Length) measure.Rect {
		return measure.Rect{X: from, Y: 3 * in, W: to - from, H: 3 * in}
	}
	for _, c := range []struct {
		name    string
		clear   []measure.Rect // blocks, or leftovers that are kept
		margins measure.Sides
		want    []m
	}{
		{"free on both sides: the far side, at both ends", nil, measure.Sides{}, []m{mark(far, 0, in/2), mark(far, 19*in/2, 10*in)}},
		{"blocks below: the near side", []measure.Rect{below(0, 10*in)}, measure.Sides{}, []m{mark(near, 0, in/2), mark(near, 19*in/2, 10*in)}},
		{"a block above", []measure.Rect{above(0, 10*in)}, measure.Sides{}, []m{mark(far, 0, in/2), mark(far, 19*in/2, 10*in)}},
		{"of two free stretches the longer", []measure.Rect{below(4*in, 10*in), above(6*in, 10*in)}, measure.Sides{},
			[]m{mark(near, 0, in/2), mark(near, 11*in/2, 6*in)}},
		{"blocks all along both sides", []measure.Rect{below(0, 10*in), above(0, 10*in)}, measure.Sides{}, nil},
		{"one stretch that is too short for two", []measure.Rect{below(0, 4*in), below(4*in+9*in/8, 10*in), above(0, 10*in)}, measure.Sides{}, []m{mark(far, 4*in, 9*in/2)}},
		{"and one that is not", []measure.Rect{below(0, 4*in), below(4*in+5*in/4, 10*in), above(0, 10*in)}, measure.Sides{},
			[]m{mark(far, 4*in, 9*in/2), mark(far, 4*in+3*in/4, 4*in+5*in/4)}},
		{"a stretch that is shorter than a mark", []measure.Rect{below(0, 4*in), below(4*in+in/4, 10*in), above(0, 10*in)}, measure.Sides{}, []m{mark(far, 4*in, 4*in+in/4)}},
		{"one that is too short to see", []measure.Rect{below(0, 4*in), below(4*in+in/8-1, 10*in), above(0, 10*in)}, measure.Sides{}, nil},
		{"inside what can be printed", nil, measure.Sides{Left: in, Right: 2 * in}, []m{mark(far, in, 3*in/2), mark(far, 15*in/2, 8*in)}},
		{"the line is at the edge of what can be printed: the inner side", nil, measure.Sides{Bottom: 3 * in}, []m{mark(near, 0, in/2), mark(near, 19*in/2, 10*in)}},
	} {
		whole := measure.Rect{W: 10 * in, H: 6 * in}
		mk := marker{look: look, printable: whole.Inset(c.margins), clear: c.clear}
		got := mk.of(&plan.Part{Rect: whole, Cut: &plan.Cut{Axis: plan.Across, At: 3 * in}})
		if !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
		// The same with everything turned over its diagonal: a cut that runs down.
		flip := func(r measure.Rect) measure.Rect { return measure.Rect{X: r.Y, Y: r.X, W: r.H, H: r.W} }
		mk = marker{look: look, printable: flip(mk.printable)}
		for _, b := range c.clear {
			mk.clear = append(mk.clear, flip(b))
		}
		var turned []m
		for _, w := range mk.of(&plan.Part{Rect: flip(whole), Cut: &plan.Cut{Axis: plan.Down, At: 3 * in}}) {
			turned = append(turned, m{X1: w.Y1, Y1: w.X1, X2: w.Y2, Y2: w.X2, Weight: w.Weight})
		}
		if !slices.Equal(turned, c.want) {
			t.Errorf("%s, turned: %v, want %v", c.name, turned, c.want)
		}
	}
}
