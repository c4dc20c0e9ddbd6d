package account

import (
	"math/rand"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

const inch = measure.Inch

// strip is a row of parts of a sheet 12 in high, cut off one after the other from the left.
func strip(parts ...*plan.Part) *plan.Part {
	whole := &plan.Part{}
	for _, p := range parts {
		whole.Rect.W += p.Rect.W
	}
	whole.Rect.H = 12 * inch
	rest := whole
	for i, p := range parts {
		if p.Rect.X, p.Rect.H = rest.Rect.X, rest.Rect.H; i == len(parts)-1 {
			*rest = *p
			break
		}
		far := &plan.Part{Rect: rest.Rect}
		far.Rect.X, far.Rect.W = p.Rect.Right(), rest.Rect.W-p.Rect.W
		rest.Cut = &plan.Cut{Axis: plan.Down, At: far.Rect.X, Near: p, Far: far}
		rest = far
	}
	return whole
}

func block(w measure.Length) *plan.Part {
	return &plan.Part{Rect: measure.Rect{W: w}, Block: &plan.Block{Block: &intake.Block{Code: "B"}}}
}
func waste(w measure.Length) *plan.Part { return &plan.Part{Rect: measure.Rect{W: w}} }

func TestTrimmerSettings(t *testing.T) {
	const mm = measure.Millimetre
	tests := []struct {
		name  string
		unit  measure.Unit
		parts []*plan.Part
		want  []string
		worst measure.Length
	}{
		{"three columns that fill the sheet", measure.In, []*plan.Part{block(4 * inch), block(4 * inch), block(4 * inch)},
			[]string{"left edge 4 in", "left edge 4 in"}, 0},
		{"a gap falls off: what stays is against the fence", measure.In, []*plan.Part{block(4 * inch), waste(inch / 8), block(3 * inch)},
			[]string{"left edge 4 in", "right edge 3 in"}, 0},
		{"a block narrower than the trimmer holds is the one that falls off", measure.In, []*plan.Part{block(3 * inch / 4), waste(5 * inch)},
			[]string{"right edge 5 in"}, 0},
		{"rounding goes to the waste", measure.In, []*plan.Part{block(100 * mm), waste(17*inch/2 - 100*mm)},
			[]string{"left edge 3 15/16 in"}, 63*inch/16 - 100*mm},
		{"what the sheet is out of true falls on the waste", measure.In, []*plan.Part{waste(17*inch/2 - 4*inch), block(4 * inch)},
			[]string{"right edge 4 in"}, 0},
		{"between blocks the near edge, though the rounding would be less from the far one", measure.In, []*plan.Part{block(3*inch + inch/100), block(5 * inch)},
			[]string{"left edge 3 in"}, inch / 100},
		{"from the left where it makes no difference", measure.In, []*plan.Part{waste(2 * inch), waste(3 * inch)}, []string{"left edge 2 in"}, 0},
		{"in millimetres", measure.Mm, []*plan.Part{block(9 * inch / 2), waste(210*mm - 9*inch/2)},
			[]string{"left edge 114 mm"}, 3 * mm / 10},
		{"errors of a row are shared out", measure.In, []*plan.Part{block(4*inch + inch/32), block(4*inch + inch/32)},
			[]string{"left edge 4 in"}, inch / 32},
		{"a row that sixteenths cannot share is read to thirty-seconds", measure.In,
			[]*plan.Part{block(4*inch + inch/48), block(4*inch + inch/48), block(4*inch + inch/48)},
			[]string{"left edge 4 1/32 in", "left edge 4 in"}, inch/48 + 1},
		{"what is to size but for a hair is left", measure.In, []*plan.Part{block(114 * mm), waste(9*inch/2 - 114*mm)},
			[]string{"left edge 4 1/2 in skip gives A"}, 9*inch/2 - 114*mm},
	}
	for _, test := range tests {
		c := newCutting(strip(test.parts...), 0, test.unit, config.Trimmer{Holds: inch})
		var got []string
		for i := range c.Steps {
			s := &c.Steps[i]
			line := s.Edge() + " " + s.Set.Format(test.unit.Ruler())
			if s.Skip {
				line += " skip gives " + (&Line{Step: s, Times: 1, Parts: []*Part{s.Of}}).Gives()
			}
			got = append(got, line)
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
		if c.Worst > test.worst {
			t.Errorf("%s: a block is off by %s, want %s", test.name, c.Worst.Format(measure.In), test.worst.Format(measure.In))
		}
	}
}

// Rows of up to six blocks of any hundredth of an inch, with or without waste between and behind them: where there is waste
// behind, no block is off by more than a hair; without, none by more than the rounding of its neighbours can leave it.
func TestTrimmerErrorsDoNotAddUp(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for n := range 2000 {
		var parts []*plan.Part
		for range 1 + r.Intn(6) {
			parts = append(parts, block(inch+measure.Length(r.Intn(300))*inch/100))
			if n%3 == 0 {
				parts = append(parts, waste(inch/8))
			}
		}
		if n%3 != 2 {
			parts = append(parts, waste(2*inch))
		}
		c := newCutting(strip(parts...), 0, measure.In, config.Trimmer{Holds: inch})
		most := measure.Length(measure.Hair)
		if n%3 == 2 {
			most = inch / 16
		}
		if c.Worst > most {
			t.Fatalf("%s: off by %s", widths(parts), c.Worst.Format(measure.In))
		}
	}
}

// A person makes all cuts by the settings, or those that have marks along these: of rows of blocks with gaps or without, that end in waste, some cuts with marks
// and some without, each block comes out with its size but for a hair, and each cut lies where the ink has it but for a hair, however many blocks are in a row.
func TestCutsStayOnTheInk(t *testing.T) {
	r := rand.New(rand.NewSource(2))
	for n := range 3000 {
		var parts []*plan.Part
		w := inch/3 + measure.Length(r.Intn(300))*inch/100
		for range 1 + r.Intn(20) {
			if n%2 == 0 {
				w = inch/3 + measure.Length(r.Intn(300))*inch/100
			}
			if parts = append(parts, block(w)); n%3 == 0 {
				parts = append(parts, waste(inch/8+measure.Length(r.Intn(40))*inch/100))
			}
		}
		if n%3 > 0 {
			parts = append(parts, waste(inch))
		}
		whole := strip(parts...)
		for p := whole; p.Cut != nil; p = p.Cut.Far {
			if r.Intn(3) < n%4 {
				p.Cut.Marks = []plan.Mark{{}}
			}
		}
		c := newCutting(whole, 0, measure.In, config.Trimmer{Holds: inch})
		if c.Worst > measure.Hair {
			t.Fatalf("%s: off by %s", widths(parts), c.Worst.Format(measure.In))
		}
		for _, along := range []bool{false, true} {
			edges := map[*Part][2]measure.Length{c.Whole: {0, c.Whole.Rect.W}}
			for i := range c.Steps {
				s := &c.Steps[i]
				from, to := edges[s.Of][0], edges[s.Of][1]
				at := from + s.Set
				switch {
				case s.Skip && s.Far:
					at = from
				case s.Skip:
					at = to
				case along && !s.Measured():
					at = s.Of.Cut.At
				case s.Far:
					at = to - s.Set
				}
				edges[s.Of.Near], edges[s.Of.Far] = [2]measure.Length{from, at}, [2]measure.Length{at, to}
			}
			for _, p := range c.Spots {
				is, right := edges[p], [2]measure.Length{p.Rect.X, p.Rect.Right()}
				if max(abs(is[0]-right[0]), abs(is[1]-right[1]), abs(is[1]-is[0]-p.Rect.W)) > c.Worst {
					t.Fatalf("%s: along marks %v: the block from %s to %s is cut from %s to %s", widths(parts), along, right[0].Format(measure.In), right[1].Format(measure.In), is[0].Format(measure.In), is[1].Format(measure.In))
				}
			}
		}
	}
}

func widths(parts []*plan.Part) string {
	var out []string
	for _, p := range parts {
		out = append(out, p.Rect.W.Format(measure.In))
	}
	return strings.Join(out, " + ")
}
