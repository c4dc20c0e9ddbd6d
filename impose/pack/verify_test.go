package pack

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"strconv"
	"testing"

	"tuckmark/config/measure"
)

// sound is a job and an answer that is right, and to the last unit in every measure that the verifier compares. The piece is
// 8 1/2 x 12 in, the strip beside it is not printed:
//
//	+--------+---+--------+---+
//	| 0      |   | 1,     |   |
//	+--------+   | turned |   |
//	+--------+   |        |   |
//	| 2      |   |        |   |
//	+--------+---+--------+   |
//	| leftover            |   |
//	+---------------------+   |
//	| 3                   |   |
//	+---------------------+---+
func sound() (Job, Answer) {
	piece := func(x, w measure.Length, printer int) Piece {
		return Piece{
			Rect:    measure.Rect{X: x, W: w, H: 12 * in},
			Margins: measure.Sides{Left: in / 8, Top: in / 4, Right: in / 16, Bottom: in / 2},
			Printer: printer,
		}
	}
	j := Job{
		Gap:    in / 2,
		Limits: Limits{Keep: feeds, Hold: 3 * in / 2, Longest: 17 * in / 2},
		Items: []Item{
			{Size: measure.Size{W: 4 * in, H: in}, Blank: measure.Sides{Left: in / 8, Top: in / 4}},
			{Size: measure.Size{W: 5 * in / 2, H: 4 * in}, Blank: measure.Sides{Left: in / 4, Top: in / 16}, Turn: true}, // top to the right, left to the top
			{Size: measure.Size{W: 4 * in, H: in}, Blank: measure.Sides{Left: in / 8}},
			{Size: measure.Size{W: 17 * in / 2, H: in}, Blank: measure.Sides{Left: in / 8, Right: in / 16, Bottom: in / 2}},
		},
		Sheets: []Sheet{{
			Size: measure.Size{W: 12 * in, H: 12 * in}, Cost: 90, Count: 1,
			Divisions: []Division{{Pieces: []Piece{piece(0, 17*in/2, 0), piece(17*in/2, 7*in/2, -1)}}},
		}},
	}
	turned := leaf(1, 9*in/2, 0, 4*in, 5*in/2)
	turned.Turned = true
	leftover := leaf(-1, 0, 5*in/2, 17*in/2, 17*in/2)
	leftover.Keep = true
	column := across(leaf(0, 0, 0, 4*in, in), across(leaf(-1, 0, in, 4*in, in/2), leaf(2, 0, 3*in/2, 4*in, in)))
	row := down(column, down(leaf(-1, 4*in, 0, in/2, 5*in/2), turned))
	tree := across(row, across(leftover, leaf(3, 0, 11*in, 17*in/2, in)))
	return j, Answer{Cost: 90, Sheets: []LaidSheet{{Trees: []*Node{tree, nil}}}}
}

// leaf is an item, or with -1 scrap.
func leaf(item int, x, y, w, h measure.Length) *Node {
	return &Node{Rect: measure.Rect{X: x, Y: y, W: w, H: h}, Item: item}
}

// across and down join two parts by the cut that halves them.
func across(near, far *Node) *Node {
	r := near.Rect
	r.H += far.Rect.H
	return &Node{Rect: r, Axis: Across, At: far.Rect.Y, Near: near, Far: far}
}

func down(near, far *Node) *Node {
	r := near.Rect
	r.W += far.Rect.W
	return &Node{Rect: r, Axis: Down, At: far.Rect.X, Near: near, Far: far}
}

// bare puts a tree on a sheet of its own, more than the sound answer has.
func bare(j *Job, a *Answer, t *Node) {
	j.Sheets[0].Count, a.Cost = 2, 180
	a.Sheets = append(a.Sheets, LaidSheet{Trees: []*Node{t, nil}})
}

// stagger puts a sheet with two items more under the answer, the upper of which begins further right than the lower.
func stagger(j *Job, a *Answer) {
	for _, size := range []measure.Size{{W: 15 * in / 2, H: 2 * in}, {W: 17 * in / 2, H: 19 * in / 2}} {
		j.Items = append(j.Items, Item{Size: size, Blank: measure.Same(in / 2)})
	}
	upper := down(leaf(-1, 0, 0, in, 2*in), leaf(4, in, 0, 15*in/2, 2*in))
	lower := across(leaf(-1, 0, 2*in, 17*in/2, in/2), leaf(5, 0, 5*in/2, 17*in/2, 19*in/2))
	bare(j, a, across(upper, lower))
}

// cutStrip puts a sheet under the answer off which a strip of that width is cut, and the strip in two.
func cutStrip(j *Job, a *Answer, width measure.Length) {
	strip := across(leaf(-1, 0, 0, width, 6*in), leaf(-1, 0, 6*in, width, 6*in))
	wide := leaf(-1, width, 0, 17*in/2-width, 12*in)
	wide.Keep = true
	bare(j, a, down(strip, wide))
	j.Limits.Longest = 0
}

// item is the leaf of an item.
func item(a *Answer, i int) *Node {
	var found *Node
	eachItem(a.Sheets[0].Trees[0], func(n *Node) {
		if n.Item == i {
			found = n
		}
	})
	return found
}

// leftoverOf and scrapOf are the rest below the top row of the sound answer and the one between its two upper blocks.
func leftoverOf(a *Answer) *Node { return a.Sheets[0].Trees[0].Far.Near }
func scrapOf(a *Answer) *Node    { return a.Sheets[0].Trees[0].Near.Far.Near }

// oneRest is a rest of that size at the corner of a piece.
func oneRest(w, h measure.Length) *Node {
	s := measure.Size{W: w, H: h}
	return &Node{Rect: s.At(0, 0), Item: -1, Keep: feeds(s)}
}

// change is one to the sound answer or its job, and what the checks find then.
type change struct {
	name  string
	spoil func(j *Job, a *Answer)
	finds []check
}

var changes = []change{
	// Right answers.
	{"sound", func(j *Job, a *Answer) {}, nil},
	{"a sheet without cuts", func(j *Job, a *Answer) { bare(j, a, nil) }, nil},
	{"a sheet that is one rest", func(j *Job, a *Answer) { bare(j, a, oneRest(17*in/2, 12*in)) }, nil},
	{"sheets without end", func(j *Job, a *Answer) { j.Sheets[0].Count = -1 }, nil},
	{"a gap where it costs nothing", func(j *Job, a *Answer) { j.Gap, j.Auto = in, true }, nil},
	{"a trimmer without limits", func(j *Job, a *Answer) { j.Limits.Hold, j.Limits.Longest = 0, 0 }, nil},
	{"nothing is worth keeping", func(j *Job, a *Answer) { j.Limits.Keep = nil; leftoverOf(a).Keep = false }, nil},
	{"an item left out", func(j *Job, a *Answer) {
		j.Items = append(j.Items, Item{Size: measure.Size{W: 20 * in, H: in}})
		a.Unplaced = []int{4}
	}, nil},

	{"staggered", stagger, nil},
	{"wide enough to hold", func(j *Job, a *Answer) { cutStrip(j, a, 3*in/2) }, nil},

	// Sheets and the answer as a whole.
	{"sheet past the last", func(j *Job, a *Answer) { a.Sheets = append(a.Sheets, LaidSheet{Sheet: 1}) }, []check{noSuchSheet}},
	{"sheet before the first", func(j *Job, a *Answer) { a.Sheets = append(a.Sheets, LaidSheet{Sheet: -1}) }, []check{noSuchSheet}},
	{"way past the last", func(j *Job, a *Answer) { bare(j, a, nil); a.Sheets[1].Division = 1 }, []check{noSuchDivision}},
	{"way before the first", func(j *Job, a *Answer) { bare(j, a, nil); a.Sheets[1].Division = -1 }, []check{noSuchDivision}},
	{"a tree too few", func(j *Job, a *Answer) { bare(j, a, nil); a.Sheets[1].Trees = a.Sheets[1].Trees[:1] }, []check{treesNotPieces}},
	{"a tree too many", func(j *Job, a *Answer) { bare(j, a, nil); a.Sheets[1].Trees = append(a.Sheets[1].Trees, nil) }, []check{treesNotPieces}},
	{"too many sheets", func(j *Job, a *Answer) { j.Sheets[0].Count = 0 }, []check{tooManySheets}},
	{"cost", func(j *Job, a *Answer) { a.Cost++ }, []check{wrongCost}},
	{"left out past the last", func(j *Job, a *Answer) { a.Unplaced = []int{4} }, []check{noSuchItemOut}},
	{"left out before the first", func(j *Job, a *Answer) { a.Unplaced = []int{-1} }, []check{noSuchItemOut}},
	{"item placed and left out", func(j *Job, a *Answer) { a.Unplaced = []int{0} }, []check{notOnce}},
	{"item forgotten", func(j *Job, a *Answer) { item(a, 0).Item = -1 }, []check{notOnce}},
	{"item twice", func(j *Job, a *Answer) { item(a, 0).Item = 2 }, []check{notOnce, notOnce, inkInMargins}},

	// Pieces and their cuts.
	{"on what does not print", func(j *Job, a *Answer) { j.Sheets[0].Divisions[0].Pieces[0].Printer = -1 }, []check{notPrinted}},
	{"tree smaller than its piece", func(j *Job, a *Answer) { bare(j, a, oneRest(17*in/2-1, 12*in)) }, []check{treeNotPiece}},
	{"tree beside its piece", func(j *Job, a *Answer) { t := oneRest(17*in/2, 12*in); t.Rect.X = 1; bare(j, a, t) }, []check{treeNotPiece}},
	{"cut along the edge", func(j *Job, a *Answer) {
		bare(j, a, down(oneRest(17*in/2, 12*in), &Node{Rect: measure.Rect{X: 17 * in / 2, H: 12 * in}, Item: -1}))
		j.Limits.Longest = 0
	}, []check{noArea}},
	{"cut along the upper edge", func(j *Job, a *Answer) { bare(j, a, across(oneRest(17*in/2, 0), oneRest(17*in/2, 12*in))) }, []check{noArea}},
	{"one part only", func(j *Job, a *Answer) {
		t := oneRest(17*in/2, 12*in)
		t.Near = oneRest(17*in/2, 12*in)
		bare(j, a, t)
	}, []check{onePart}},
	{"the other part only", func(j *Job, a *Answer) {
		t := oneRest(17*in/2, 12*in)
		t.Far = oneRest(17*in/2, 12*in)
		bare(j, a, t)
	}, []check{onePart}},
	{"slanting cut", func(j *Job, a *Answer) {
		t := oneRest(17*in/2, 12*in)
		t.Near, t.Far, t.Axis = oneRest(17*in/2, 12*in), oneRest(17*in/2, 12*in), 2
		bare(j, a, t)
		j.Limits.Longest = 0
	}, []check{noSuchAxis}},
	{"cut moved", func(j *Job, a *Answer) { a.Sheets[0].Trees[0].At++ }, []check{wrongParts}},
	{"axis turned", func(j *Job, a *Answer) { a.Sheets[0].Trees[0].Near.Axis = Across }, []check{wrongParts}},
	{"the same part twice", func(j *Job, a *Answer) {
		bare(j, a, across(oneRest(17*in/2, 6*in), oneRest(17*in/2, 6*in)))
		a.Sheets[1].Trees[0].At = 6 * in
	}, []check{wrongParts}},
	{"near part wider", func(j *Job, a *Answer) { scrapOf(a).Rect.W++ }, []check{wrongParts}},
	{"long cut across", func(j *Job, a *Answer) { j.Limits.Longest-- }, []check{cutTooLong, cutTooLong}},
	{"long cut down", func(j *Job, a *Answer) {
		half := oneRest(17*in/4, 12*in)
		half.Rect.X = 17 * in / 4
		bare(j, a, down(oneRest(17*in/4, 12*in), half))
	}, []check{cutTooLong}},
	{"low to hold", func(j *Job, a *Answer) { j.Limits.Hold++ }, []check{tooSmallToHold}},
	{"narrow to hold", func(j *Job, a *Answer) { cutStrip(j, a, 3*in/2-1) }, []check{tooSmallToHold}},

	// Leaves.
	{"leftover called scrap", func(j *Job, a *Answer) { leftoverOf(a).Keep = false }, []check{wrongKeep}},
	{"scrap called leftover", func(j *Job, a *Answer) { scrapOf(a).Keep = true }, []check{wrongKeep}},
	{"leftover where nothing is kept", func(j *Job, a *Answer) { j.Limits.Keep = nil }, []check{wrongKeep}},
	{"rest turned", func(j *Job, a *Answer) { leftoverOf(a).Turned = true }, []check{restTurned}},
	{"item called leftover", func(j *Job, a *Answer) { item(a, 0).Keep = true }, []check{itemKept}},
	{"item past the last", func(j *Job, a *Answer) { scrapOf(a).Item = 4 }, []check{noSuchItem}},
	{"turned without leave", func(j *Job, a *Answer) { j.Items[1].Turn = false }, []check{mayNotTurn}},
	{"one unit too wide", func(j *Job, a *Answer) { j.Items[0].Size.W-- }, []check{wrongSize}},
	{"one unit too high", func(j *Job, a *Answer) { j.Items[0].Size.H-- }, []check{wrongSize}},
	{"one unit too wide, turned", func(j *Job, a *Answer) { j.Items[1].Size.H-- }, []check{wrongSize}},
	{"not turned though it lies so", func(j *Job, a *Answer) { item(a, 1).Turned = false }, []check{wrongSize, inkInMargins}},
	{"left margin", func(j *Job, a *Answer) { j.Items[0].Blank.Left-- }, []check{inkInMargins}},
	{"top margin", func(j *Job, a *Answer) { j.Items[0].Blank.Top-- }, []check{inkInMargins}},
	{"right margin", func(j *Job, a *Answer) { j.Items[3].Blank.Right-- }, []check{inkInMargins}},
	{"bottom margin", func(j *Job, a *Answer) { j.Items[3].Blank.Bottom-- }, []check{inkInMargins}},
	{"top margin, turned", func(j *Job, a *Answer) { j.Items[1].Blank.Left-- }, []check{inkInMargins}},
	{"right margin, turned", func(j *Job, a *Answer) { j.Items[1].Blank.Top-- }, []check{inkInMargins}},
	{"wider gap", func(j *Job, a *Answer) { j.Gap++ }, []check{tooClose, tooClose, tooClose}},
	{"wider gap, staggered", func(j *Job, a *Answer) { stagger(j, a); j.Gap++ }, []check{tooClose, tooClose, tooClose, tooClose}},
	{"wider gap between two", func(j *Job, a *Answer) {
		j.Gap++
		item(a, 1).Item = -1
		a.Unplaced = []int{1}
	}, []check{restTurned, tooClose}},
}

// TestVerify: the verifier says this of each answer, and no more.
func TestVerify(t *testing.T) {
	for _, c := range changes {
		t.Run(c.name, func(t *testing.T) {
			j, a := sound()
			c.spoil(&j, &a)
			var got []check
			faults := verify(j, a)
			for _, f := range faults {
				got = append(got, f.check)
			}
			slices.Sort(got)
			want := slices.Sorted(slices.Values(c.finds))
			if !slices.Equal(got, want) {
				t.Errorf("says %q, want %q:\n%v", got, want, faults)
			}
		})
	}
}

// TestNoCheckIsIdle takes the checks out in turn: for each there is an answer with which no other finds fault, so that it
// would pass as right. TestVerify holds that the table tells what is found.
func TestNoCheckIsIdle(t *testing.T) {
	checks := reported(t, "verify.go", "check", "wrong", "fault")
	if len(checks) < 20 {
		t.Fatalf("found %d checks only", len(checks))
	}
	for _, k := range checks {
		alone := func(c change) bool {
			return len(c.finds) > 0 && !slices.ContainsFunc(c.finds, func(f check) bool { return f != check(k) })
		}
		if !slices.ContainsFunc(changes, alone) {
			t.Errorf("no answer of the table passes without the check %q: it needs one that nothing else finds wrong", k)
		}
	}
}

// reported reads the source of a verifier and returns the values of the constants of type kind. It fails where one is not
// given to report in exactly one place, or a complaint is made in another way.
func reported(t *testing.T, file, kind, report, fault string) []string {
	t.Helper()
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, file, nil, 0)
	if err != nil {
		t.Fatal(err)
	}
	var names, values []string
	uses := map[string]int{}
	made := 0
	is := func(e ast.Expr, name string) bool { id, ok := e.(*ast.Ident); return ok && id.Name == name }
	ast.Inspect(f, func(n ast.Node) bool {
		switch n := n.(type) {
		case *ast.ValueSpec:
			if is(n.Type, kind) {
				value, err := strconv.Unquote(n.Values[0].(*ast.BasicLit).Value)
				if err != nil || slices.Contains(values, value) {
					t.Errorf("%s: %q stands twice, or is not text", set.Position(n.Pos()), value)
				}
				names, values = append(names, n.Names[0].Name), append(values, value)
			}
		case *ast.CallExpr:
			if s, ok := n.Fun.(*ast.SelectorExpr); ok && s.Sel.Name == report {
				id, ok := n.Args[0].(*ast.Ident)
				if !ok {
					t.Errorf("%s: the check is not named by a constant", set.Position(n.Pos()))
					return true
				}
				uses[id.Name]++
			}
		case *ast.CompositeLit:
			if is(n.Type, fault) {
				made++
			}
		}
		return true
	})
	for _, name := range names {
		if uses[name] != 1 {
			t.Errorf("%s: %s is reported in %d places; each check has a constant of its own", file, name, uses[name])
		}
		delete(uses, name)
	}
	for name := range uses {
		t.Errorf("%s: %s is reported and is no constant of type %s", file, name, kind)
	}
	if made != 1 {
		t.Errorf("%s: faults are made in %d places; only %s makes one", file, made, report)
	}
	return values
}

// TestVerifySaysWhere: sheets and pieces are counted from one.
func TestVerifySaysWhere(t *testing.T) {
	j, a := sound()
	bare(&j, &a, oneRest(17*in/2, 12*in))
	a.Sheets[1].Trees[0].Turned = true
	a.Sheets[1].Trees[1] = oneRest(7*in/2, 12*in)
	a.Sheets = append(a.Sheets, LaidSheet{Sheet: 7})
	a.Cost = 5
	got := Verify(j, a)
	want := []string{
		fmt.Sprintf("sheet 2, piece 1: the rest %v is turned", measure.Rect{W: 17 * in / 2, H: 12 * in}),
		"sheet 2, piece 2: nothing prints on it, and it is cut",
		"sheet 3: there is no kind of sheet 7",
		"the answer: costs 180, not the 5 it says",
	}
	if !slices.Equal(got, want) {
		t.Errorf("says\n%q, want\n%q", got, want)
	}
}
