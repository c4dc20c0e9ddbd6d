package guide

import (
	"fmt"
	"math/rand"
	"slices"
	"testing"

	"tuckmark/config/measure"
	"tuckmark/impose/plan"
)

// strip is a row of parts of a sheet 12 in high, cut off one after the other from the left.
func strip(parts ...plan.Placed) (measure.Rect, []plan.Cut, map[string]int) {
	var whole measure.Rect
	whole.H = 12 * inch
	for _, p := range parts {
		whole.W += p.Width
	}
	var cuts []plan.Cut
	blocks := map[string]int{}
	name, x := "P", measure.Length(0)
	for i, p := range parts {
		leaf := name + ".1"
		if i == len(parts)-1 {
			leaf = name
		} else {
			x += p.Width
			cuts = append(cuts, plan.Cut{N: i + 1, Of: name, Axis: "down", At: x, Makes: [2]string{leaf, name + ".2"}})
		}
		if p.Code != "" {
			blocks[leaf] = i
		}
		name += ".2"
	}
	return whole, cuts, blocks
}

func block(w measure.Length) plan.Placed { return plan.Placed{Code: "B", Width: w} }
func waste(w measure.Length) plan.Placed { return plan.Placed{Width: w} }

func TestTrimmerSettings(t *testing.T) {
	const mm = measure.Millimetre
	tests := []struct {
		name  string
		unit  measure.Unit
		parts []plan.Placed
		want  []string
		worst measure.Length
	}{
		{"three columns that fill the sheet", measure.In, []plan.Placed{block(4 * inch), block(4 * inch), block(4 * inch)},
			[]string{"left edge 4 in", "left edge 4 in"}, 0},
		{"a gap falls off: what stays is against the fence", measure.In, []plan.Placed{block(4 * inch), waste(inch / 8), block(3 * inch)},
			[]string{"left edge 4 in", "right edge 3 in"}, 0},
		{"a block narrower than the trimmer holds is the one that falls off", measure.In, []plan.Placed{block(3 * inch / 4), waste(5 * inch)},
			[]string{"right edge 5 in"}, 0},
		{"rounding goes to the waste", measure.In, []plan.Placed{block(100 * mm), waste(17*inch/2 - 100*mm)},
			[]string{"left edge 3 15/16 in"}, 63*inch/16 - 100*mm},
		{"from the left where it makes no difference", measure.In, []plan.Placed{waste(17*inch/2 - 100*mm), block(100 * mm)},
			[]string{"left edge 4 9/16 in"}, 63*inch/16 - 100*mm},
		{"in millimetres", measure.Mm, []plan.Placed{block(9 * inch / 2), waste(210*mm - 9*inch/2)},
			[]string{"left edge 114 mm"}, 3 * mm / 10},
		{"errors of a row are shared out", measure.In, []plan.Placed{block(4*inch + inch/32), block(4*inch + inch/32)},
			[]string{"left edge 4 in"}, inch / 32},
		{"a row that sixteenths cannot share is read to thirty-seconds", measure.In,
			[]plan.Placed{block(4*inch + inch/48), block(4*inch + inch/48), block(4*inch + inch/48)},
			[]string{"left edge 4 1/32 in", "left edge 4 in"}, inch/48 + 1},
		{"what is to size but for a hair is left", measure.In, []plan.Placed{block(114 * mm), waste(9*inch/2 - 114*mm)},
			[]string{"left edge 4 1/2 in skip"}, 9*inch/2 - 114*mm},
	}
	for _, test := range tests {
		whole, cuts, blocks := strip(test.parts...)
		w := newWay("P", whole, cuts, blocks, nil)
		w.set(graduation(test.unit), inch)
		var got []string
		for i := range w.steps {
			s := &w.steps[i]
			line := s.edge() + " " + s.set.Format(ruler(test.unit))
			if s.skip {
				line += " skip"
			}
			got = append(got, line)
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("%s: %q, want %q", test.name, got, test.want)
		}
		if w.worst > test.worst {
			t.Errorf("%s: a block is off by %s, want %s", test.name, w.worst.Format(measure.In), test.worst.Format(measure.In))
		}
	}
}

// Rows of up to six blocks of any hundredth of an inch, with or without waste between and behind them: where there is waste
// behind, no block is off by more than a hair; without, none by more than the rounding of its neighbours can leave it.
func TestTrimmerErrorsDoNotAddUp(t *testing.T) {
	r := rand.New(rand.NewSource(1))
	for n := range 2000 {
		var parts []plan.Placed
		for range 1 + r.Intn(6) {
			parts = append(parts, block(inch+measure.Length(r.Intn(300))*inch/100))
			if n%3 == 0 {
				parts = append(parts, waste(inch/8))
			}
		}
		if n%3 != 2 {
			parts = append(parts, waste(2*inch))
		}
		whole, cuts, blocks := strip(parts...)
		w := newWay("P", whole, cuts, blocks, nil)
		w.set(graduation(measure.In), inch)
		most := measure.Length(hair)
		if n%3 == 2 {
			most = inch / 16
		}
		if w.worst > most {
			t.Fatalf("%s: off by %s", fmt.Sprint(parts), w.worst.Format(measure.In))
		}
	}
}
