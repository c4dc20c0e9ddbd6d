package pack

import (
	"testing"

	"tuckmark/config/measure"
)

// thorough is an effort that finishes 100 items in about a second on one core.
const thorough = 1000

// plain is a job of sheets {w, h, cost, count} and items {w, h, count} on paper without margins.
func plain(turn bool, sheets [][4]int, items [][3]int) Job {
	j := Job{Effort: thorough, Limits: Limits{Keep: func(measure.Size) bool { return true }}}
	for _, s := range sheets {
		w, h := measure.Length(s[0]), measure.Length(s[1])
		j.Sheets = append(j.Sheets, Sheet{Size: measure.Size{W: w, H: h}, Cost: int64(s[2]), Count: s[3], Divisions: whole(w, h, measure.Sides{})})
	}
	for _, s := range items {
		for range s[2] {
			j.Items = append(j.Items, Item{Size: measure.Size{W: measure.Length(s[0]), H: measure.Length(s[1])}, Turn: turn})
		}
	}
	return j
}

// leftover is the size of the answer's largest leftover.
func leftover(j Job, a Answer) measure.Size {
	var best measure.Size
	var walk func(n *Node)
	walk = func(n *Node) {
		if n.Near != nil {
			walk(n.Near)
			walk(n.Far)
		} else if n.Item < 0 && n.Keep && n.Rect.Size().Area() > best.Area() {
			best = n.Rect.Size()
		}
	}
	for _, l := range a.Sheets {
		for p, t := range l.Trees {
			if t != nil {
				walk(t)
			} else if s := j.Sheets[l.Sheet].Divisions[l.Division].Pieces[p].Rect.Size(); j.Limits.Keep(s) && s.Area() > best.Area() {
				best = s
			}
		}
	}
	return best
}

func packed(t *testing.T, j Job) Answer {
	t.Helper()
	a := Pack(j)
	for _, f := range Verify(j, a) {
		t.Error(f)
	}
	return a
}

// gcut1 of Beasley (Journal of the Operational Research Society 36, 1985), sheets of 250 x 250.
var gcut1 = [][3]int{{167, 184, 1}, {114, 118, 1}, {167, 152, 1}, {83, 140, 1}, {70, 86, 1}, {143, 166, 1}, {120, 160, 1}, {66, 148, 1}, {87, 141, 1}, {69, 165, 1}}

// ABMR4 and ABMR6: Andrade, Birgin, Morabito and Ronconi, Journal of the Operational Research Society 65 (2014).
var (
	abmr4Sheets = [][4]int{{24, 12, 288, 1}, {15, 18, 270, 1}, {17, 13, 221, 1}}
	abmr4       = [][3]int{{3, 3, 4}, {4, 2, 1}, {7, 1, 2}}
	abmr6Sheets = [][4]int{{22, 17, 374, 1}, {14, 30, 420, 1}}
	abmr6       = [][3]int{{11, 11, 2}, {2, 11, 3}, {5, 5, 2}}
)

// C1 of Hopper and Turton (European Journal of Operational Research 128, 2001), sheets of 20 x 20. The sides are from memory; each set's areas add up
// to the sheet's 400, as they must.
var (
	c1p1 = [][3]int{{2, 12, 1}, {7, 12, 1}, {8, 6, 1}, {3, 6, 1}, {3, 5, 1}, {5, 5, 1}, {3, 12, 1}, {3, 7, 1}, {5, 7, 1}, {2, 6, 1}, {3, 2, 1}, {4, 2, 1}, {3, 4, 1}, {4, 4, 1}, {9, 2, 1}, {11, 2, 1}}
	c1p2 = [][3]int{{4, 1, 1}, {4, 5, 1}, {9, 4, 1}, {3, 5, 1}, {3, 9, 1}, {1, 4, 1}, {5, 3, 1}, {4, 1, 1}, {5, 5, 1}, {7, 2, 1}, {9, 3, 1}, {3, 13, 1}, {2, 8, 1}, {15, 4, 1}, {5, 4, 1}, {10, 6, 1}, {7, 2, 1}}
	c1p3 = [][3]int{{4, 14, 1}, {5, 2, 1}, {2, 2, 1}, {9, 7, 1}, {5, 5, 1}, {2, 5, 1}, {7, 7, 1}, {3, 5, 1}, {6, 5, 1}, {3, 2, 1}, {6, 2, 1}, {4, 6, 1}, {6, 3, 1}, {10, 3, 1}, {6, 3, 1}, {10, 3, 1}}
)

// Known answers; those of the ABMR cases and of gcut1 come from an exact search.
func TestKnownAnswers(t *testing.T) {
	for _, c := range []struct {
		name   string
		turn   bool
		sheets [][4]int
		items  [][3]int
		cost   int64
		left   [2]measure.Length // largest leftover; nought: any
	}{
		{"gcut1", false, [][4]int{{250, 250, 1, -1}}, gcut1, 5, [2]measure.Length{}},
		{"gcut1", true, [][4]int{{250, 250, 1, -1}}, gcut1, 4, [2]measure.Length{}},
		{"ABMR4", false, abmr4Sheets, abmr4, 221, [2]measure.Length{14, 11}},
		{"ABMR4", true, abmr4Sheets, abmr4, 221, [2]measure.Length{12, 13}},
		{"ABMR6", false, abmr6Sheets, abmr6, 794, [2]measure.Length{}},
		{"ABMR6", true, abmr6Sheets, abmr6, 374, [2]measure.Length{}},
		{"C1 P1", false, [][4]int{{20, 20, 1, -1}}, c1p1, 1, [2]measure.Length{}},
		{"C1 P2", false, [][4]int{{20, 20, 1, -1}}, c1p2, 2, [2]measure.Length{}},
		{"C1 P3", false, [][4]int{{20, 20, 1, -1}}, c1p3, 1, [2]measure.Length{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := plain(c.turn, c.sheets, c.items)
			a := packed(t, j)
			if a.Cost != c.cost {
				t.Errorf("turn %v: cost %d, want %d", c.turn, a.Cost, c.cost)
			}
			if s := leftover(j, a); c.left[0] > 0 && s.Area() != int64(c.left[0]*c.left[1]) {
				t.Errorf("turn %v: largest leftover %v, want %v", c.turn, s, c.left)
			}
		})
	}
}
