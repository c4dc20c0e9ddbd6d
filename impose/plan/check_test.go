package plan

import (
	"go/ast"
	"go/parser"
	"go/token"
	"slices"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

const in = measure.Inch

// job is a plan with all that it is checked against.
type job struct {
	plan     *Plan
	blocks   []intake.Block
	settings *config.Settings
}

// sound is a plan that keeps every promise, most of them to the last unit. Its first piece is the left panel of a sheet that is
// cut before printing, its second rides on a carrier:
//
//	+--------+------+    +-------------+
//	| A      | B,   |    |  +-------+  |
//	|        |turned|    |  | C     |  |
//	+--------+      |    |  +-------+  |
//	| rest   |      |    |             |
//	+--------+------+    +-------------+
//	| leftover      |
//	+---------------+
func sound() job {
	s := &config.Settings{
		Trimmer: config.Trimmer{Longest: 10 * in, Holds: 2 * in},
		Gap:     config.Gap{Auto: true, Width: in / 100},
		Printers: []config.Printer{{Name: "home", Narrowest: 6 * in, Widest: 17 * in / 2, Shortest: 8 * in, Longest: 10 * in,
			Margins: measure.Sides{Left: in / 4, Top: in / 2, Right: in / 8, Bottom: in}}},
		Stocks: []config.Stock{{Name: "vellum", Carrier: &config.Carrier{Size: measure.Size{W: 8 * in, H: 8 * in}, Smallest: measure.Size{W: 5 * in, H: 2 * in}}}},
	}
	blocks := []intake.Block{
		{Code: "A", Space: measure.Size{W: 4 * in, H: 2 * in}, Inset: measure.Sides{Left: in / 4, Top: in / 2}, Copies: 1},
		{Code: "B", Space: measure.Size{W: 3 * in, H: 2 * in}, Inset: measure.Sides{Left: in / 2, Top: in / 8}, Copies: 1, Turn: true}, // its top to the right, its left to the top
		{Code: "C", Space: measure.Size{W: 5 * in, H: 2 * in}, Copies: 1},
		{Code: "D", Space: measure.Size{W: 5 * in, H: 2 * in}, Copies: 2},
	}
	lie := func(i int, x, y measure.Length, turned bool, ink measure.Rect) *Part {
		b := &blocks[i]
		size := b.Trim()
		if turned {
			size = size.Turn()
		}
		return &Part{Rect: size.At(x, y), Block: &Block{Block: b, Setting: &typeset.Setting{Block: b, Ink: b.Ink()}, Copy: 1, Turned: turned, InkBox: ink}}
	}
	a := lie(0, 0, 0, false, measure.Rect{X: in / 4, Y: in / 2, W: 15 * in / 4, H: 3 * in / 2})
	b := lie(1, 4*in, 0, true, measure.Rect{X: 4 * in, Y: in / 2, W: 15 * in / 8, H: 5 * in / 2})
	left := across(a, rest(0, 2*in, 4*in, in))
	left.Cut.Marks = []Mark{{X1: in, Y1: 2*in + 10, X2: 2 * in, Y2: 2*in + 10, Weight: 20}}
	leftover := rest(0, 3*in, 6*in, 6*in)
	leftover.Keep = true
	panel := rest(0, 0, 6*in, 9*in)
	panel.Panel = true
	sheet := &Sheet{Stock: "vellum", Number: 1, Whole: down(panel, rest(6*in, 0, 4*in, 9*in))}
	first := &Piece{Page: 4, Stock: "vellum", Printer: "home", Whole: across(down(left, b), leftover),
		Source: Source{Sheet: 1, Panel: panel, Cut: sheet, Rect: panel.Rect}}
	first.Labels = []Label{{Text: "retreat 4 · A B", Rect: measure.Rect{X: in, Y: 2*in + in/2, W: in, H: in / 8}}}
	second := &Piece{Page: 6, Stock: "vellum", Printer: "home", Whole: lie(2, 0, 0, false, measure.Rect{W: 5 * in, H: 2 * in}),
		Source: Source{Sheet: 2, Leftover: true, Rect: measure.Rect{W: 5 * in, H: 2 * in}}, Carrier: &Carrier{Size: s.Stocks[0].Carrier.Size, X: 3 * in / 2, Y: 3 * in}}
	return job{&Plan{Pieces: []*Piece{first, second}, Sheets: []*Sheet{sheet}, Held: []intake.Held{{Code: "D"}}}, blocks, s}
}

// rest is scrap.
func rest(x, y, w, h measure.Length) *Part { return &Part{Rect: measure.Rect{X: x, Y: y, W: w, H: h}} }

// across and down join two parts by the cut that halves them.
func across(near, far *Part) *Part {
	r := near.Rect
	r.H += far.Rect.H
	return &Part{Rect: r, Cut: &Cut{Axis: Across, At: far.Rect.Y, Near: near, Far: far}}
}

func down(near, far *Part) *Part {
	r := near.Rect
	r.W += far.Rect.W
	return &Part{Rect: r, Cut: &Cut{Axis: Down, At: far.Rect.X, Near: near, Far: far}}
}

func (j *job) first() *Piece  { return j.plan.Pieces[0] }
func (j *job) second() *Piece { return j.plan.Pieces[1] }

// third is one more piece, with the second of D, on the carrier of the second.
func (j *job) third(x, y measure.Length) *Piece {
	c := *j.second().Carrier
	c.X, c.Y, c.Nth = x, y, 1
	b := &j.blocks[3]
	j.plan.Held, b.Copies = nil, 1
	p := &Piece{Page: 6, Stock: "vellum", Printer: "home", Carrier: &c, Source: Source{Sheet: 3, Leftover: true, Rect: measure.Rect{W: 5 * in, H: 2 * in}},
		Whole: &Part{Rect: b.Trim().At(0, 0), Block: &Block{Block: b, Setting: &typeset.Setting{Block: b, Ink: b.Ink()}, Copy: 1, InkBox: b.Ink()}}}
	j.plan.Pieces = append(j.plan.Pieces, p)
	return p
}

func (j *job) block(code string) *Part {
	for _, p := range j.plan.Pieces {
		for leaf := range p.Whole.Leaves {
			if leaf.Block != nil && leaf.Block.Code == code {
				return leaf
			}
		}
	}
	return nil
}

// cutOfA is the cut between A and the rest below it, the one with a mark.
func (j *job) cutOfA() *Cut  { return j.first().Whole.Cut.Near.Cut.Near.Cut }
func (j *job) mark() *Mark   { return &j.cutOfA().Marks[0] }
func (j *job) label() *Label { return &j.first().Labels[0] }

func (j *job) kept() *Part { return j.first().Whole.Cut.Far }

// outlines has the plan cut with scissors: a line below A, at the left of B where that touches no A, and above the leftover where that touches no B.
func outlines(j *job) {
	j.settings.Trimmer, j.settings.Mark = config.Trimmer{Stack: 1, Scissors: true}, config.Mark{Length: in / 4, Weight: 20}
	j.cutOfA().Marks = nil
	j.block("A").Outline = []Mark{{X1: in / 4, Y1: 2*in + 10, X2: 4 * in, Y2: 2*in + 10, Weight: 20}}
	j.block("B").Outline = []Mark{{X1: 4*in - 10, Y1: 2 * in, X2: 4*in - 10, Y2: 3 * in, Weight: 20}}
	j.kept().Outline = []Mark{{X1: in / 4, Y1: 3*in - 10, X2: 4 * in, Y2: 3*in - 10, Weight: 20}}
}

// thin has one piece and C alone on it, below a strip of scrap so thin, with so much scrap below. The strip comes off first.
func (j *job) thin(strip, below measure.Length) {
	c, p := j.block("C"), j.first()
	*p = Piece{Page: 4, Stock: "vellum", Printer: "home", Source: Source{Sheet: 1, Rect: measure.Rect{W: 5 * in, H: strip + 2*in + below}}}
	c.Rect.Y, c.Block.InkBox.Y = strip, strip
	p.Whole = across(rest(0, 0, 5*in, strip), across(c, rest(0, strip+2*in, 5*in, below)))
	j.plan.Pieces, j.plan.Sheets = j.plan.Pieces[:1], nil
	j.plan.Held = append(j.plan.Held, intake.Held{Code: "A"}, intake.Held{Code: "B"})
	j.settings.Printers[0] = config.Printer{Name: "home", Narrowest: in, Widest: 10 * in, Shortest: in, Longest: 10 * in}
}

// Each changes the sound plan, or what it is held against, and says what the checks find then.
var changes = []struct {
	name  string
	spoil func(j *job)
	finds []fault
}{
	{"sound", func(*job) {}, nil},
	{"a trimmer without a longest cut", func(j *job) { j.settings.Trimmer.Longest = 0 }, nil},
	{"mirrored, with margins that allow it", func(j *job) {
		j.settings.Stocks[0].Mirror = true
		m := &j.settings.Printers[0].Margins
		m.Left, m.Right = m.Right, m.Left
	}, nil},
	{"a block that nobody knows", func(j *job) { j.block("C").Block.Block = &intake.Block{Code: "E"}; j.blocks[2].Copies = 0 }, []fault{strangeCopies}},
	{"a block that must not be turned", func(j *job) { j.blocks[1].Turn = false }, []fault{wronglyTurned}},
	{"a space that is larger, and its inset", func(j *job) { j.blocks[0].Space.W++; j.blocks[0].Inset.Right++ }, []fault{wrongTrim}},
	{"a smaller inset, the ink where it was", func(j *job) { j.blocks[0].Inset.Left-- }, []fault{wrongInkBox}},
	{"an ink box that is lower", func(j *job) { j.block("B").Block.InkBox.H-- }, []fault{wrongInkBox}},
	{"ink beside the ink box", func(j *job) { j.block("A").Block.Setting.Ink.X-- }, []fault{inkAstray}},
	{"a margin at A's ink", func(j *job) { j.settings.Printers[0].Margins.Left++ }, []fault{inkBoxOnMargin}},
	{"mirrored: the wider margin is on the right", func(j *job) {
		j.settings.Stocks[0].Mirror = true
		j.settings.Printers[0].Margins = measure.Sides{Left: in/8 + 1, Top: in / 2, Right: in / 4, Bottom: in}
	}, []fault{inkBoxOnMargin}},
	{"one copy asked for more", func(j *job) { j.blocks[0].Copies = 2 }, []fault{wrongCopies}},
	{"a block that is held and printed", func(j *job) { j.plan.Held = append(j.plan.Held, intake.Held{Code: "C"}) }, []fault{wrongCopies}},
	{"a block neither held nor printed", func(j *job) { j.plan.Held = nil }, []fault{wrongCopies, wrongCopies}},
	{"nobody asked for C", func(j *job) { j.blocks[2].Copies = 0 }, []fault{strangeCopies}},
	{"a stock without a carrier", func(j *job) { j.settings.Stocks[0].Carrier = nil }, []fault{strangeCarrier}},
	{"another carrier", func(j *job) { j.second().Carrier.Size.H++ }, []fault{strangeCarrier}},
	{"larger pieces ride", func(j *job) { j.settings.Stocks[0].Carrier.Smallest.W++ }, []fault{tooSmallToRide}},
	{"a piece that may ride turned", func(j *job) { c := j.settings.Stocks[0].Carrier; c.Smallest = c.Smallest.Turn() }, nil},
	{"a carrier that is too short to feed", func(j *job) { j.settings.Printers[0].Shortest++ }, []fault{carrierNotFed}},
	{"a piece that leaves its carrier", func(j *job) {
		j.settings.Printers[0].Margins = measure.Sides{Top: in / 2, Right: -2 * in}
		j.second().Carrier.X = 3*in + 1
	}, []fault{offItsCarrier}},
	{"two pieces on a carrier, edge to edge", func(j *job) { j.third(3*in/2, 5*in) }, nil},
	{"two pieces on a carrier, one on the other", func(j *job) { j.third(3*in/2, 5*in-1) }, []fault{piecesCollide}},
	{"two pieces on a carrier, of two pages", func(j *job) { j.third(3*in/2, 5*in).Page++ }, []fault{strangeCompany}},
	{"two pieces on a carrier, the first is missing", func(j *job) { j.third(3*in/2, 5*in).Carrier.Nth++ }, []fault{strangeCompany}},
	{"two pieces on two carriers", func(j *job) { j.third(3*in/2, 3*in).Carrier.Nth = 0 }, nil},
	{"a correction that moves the ink off the page", func(j *job) { j.settings.Printers[0].Shift.X = 3 * in }, []fault{inkBoxOnMargin, inkBoxOnMargin, inkBoxOnMargin}},
	{"a printer for wider pieces", func(j *job) { j.settings.Printers[0].Narrowest++ }, []fault{notFed}},
	{"a printer that is not there", func(j *job) { j.first().Printer = "office" }, []fault{notFed}},
	{"a cut along the edge", func(j *job) {
		c := j.first().Whole.Cut
		c.Far = &Part{Rect: c.Far.Rect, Keep: true}
		whole := rest(0, 9*in, 6*in, 0)
		leftover := c.Far
		c.Far = &Part{Rect: leftover.Rect, Cut: &Cut{Axis: Across, At: 9 * in, Near: leftover, Far: whole}}
	}, []fault{cutAmiss}},
	{"a trimmer for shorter cuts", func(j *job) { j.settings.Trimmer.Longest = 9*in - 1 }, []fault{cutTooLong}},
	{"a trimmer that holds more", func(j *job) { j.settings.Trimmer.Holds = 3*in + 1 }, []fault{tooNarrowToHold, tooNarrowToHold}},
	{"a cut a hair off", func(j *job) { j.first().Whole.Cut.Far.Rect.H-- }, []fault{wrongPart}},
	{"two strips of scrap for one", func(j *job) { j.first().Whole.Cut.Far = across(rest(0, 3*in, 6*in, 3*in), rest(0, 6*in, 6*in, 3*in)) }, []fault{cutUndone}},
	{"a strip that is too thin to cut, with waste to spare behind the next block", func(j *job) { j.thin(in/16-1, in) }, []fault{tooThinToCut}},
	{"a strip that is just thick enough", func(j *job) { j.thin(in/16, in) }, nil},
	{"a strip that is too thin, and the waste has just too little to spare", func(j *job) { j.thin(in/32, in/16+in/32-1) }, nil},
	{"a strip that is too thin, and the other could spare just enough", func(j *job) { j.thin(in/32, in/16+in/32) }, []fault{tooThinToCut}},
	{"a strip as wide as the gap that is asked for", func(j *job) { j.thin(in/32, in); j.settings.Gap = config.Gap{Width: in / 32} }, nil},
	{"blocks side by side where a gap was set by hand", func(j *job) { j.settings.Gap.Auto = false }, []fault{tooClose}},
	{"... and both are kept where they lie", func(j *job) {
		j.settings.Gap.Auto, j.block("A").Block.Kept, j.block("B").Block.Kept = false, 1, 1
	}, nil},
	{"a strip that is too thin, where the block behind it cannot be printed further down", func(j *job) {
		j.thin(in/32, in)
		j.settings.Printers[0].Margins.Bottom = j.first().Size().H - j.block("C").Block.InkBox.Bottom() - in/32 + 1
	}, nil},
	{"a strip that is too thin, and the trimmer would not hold what is narrower", func(j *job) { j.thin(in/32, in/8); j.settings.Trimmer.Holds = 2*in + in/8 }, nil},
	{"a block beside its leaf", func(j *job) { j.cutOfA().Far.Rect.Y++ }, []fault{wrongPart}},
	{"a panel on a piece", func(j *job) { j.cutOfA().Far.Panel, j.first().Labels = true, nil }, []fault{panelOnPiece}},
	{"a block on a sheet", func(j *job) { j.plan.Sheets[0].Whole.Cut.Far.Block = &Block{Block: &intake.Block{}} }, []fault{blockOnSheet}},
	{"a mark of odd weight", func(j *job) { m := j.mark(); m.Weight = 21 }, []fault{markWithoutInk}},
	{"a mark of no length", func(j *job) { m := j.mark(); m.X2 = m.X1 }, []fault{markWithoutInk}},
	{"a mark that goes across its line", func(j *job) { j.mark().Y2++ }, []fault{markAside}},
	{"a mark a unit off its line", func(j *job) { m := j.mark(); m.Y1++; m.Y2++ }, []fault{markAside}},
	{"a mark to the very end of what is cut", func(j *job) { m := j.mark(); m.X1, m.X2 = in/4, 4*in }, nil},
	{"a mark beyond what is cut", func(j *job) {
		scrap, b := rest(4*in, 0, in, 3*in), j.block("B")
		b.Rect.X += in
		b.Block.InkBox.X += in
		c := j.first().Whole.Cut
		c.Near.Cut.Far = down(scrap, b)
		c.Near.Rect.W, c.Far.Rect.W, j.first().Whole.Rect.W = 7*in, 7*in, 7*in
		j.first().Source = Source{Sheet: 1, Rect: j.first().Whole.Rect}
		j.mark().X2 = 4*in + 1
	}, []fault{markElsewhere}},
	{"a mark where nothing can be printed", func(j *job) { j.mark().X1 = in/4 - 1 }, []fault{markOnMargin}},
	{"a mark on the block's side", func(j *job) { m := j.mark(); m.Y1, m.Y2 = 2*in-10, 2*in-10 }, []fault{markOnBlock}},
	{"the scrap with the mark is kept", func(j *job) { j.cutOfA().Far.Keep, j.first().Labels = true, nil }, []fault{markOnLeftover}},
	{"a label to the edges of the scrap, of the mark and of what can be printed", func(j *job) {
		j.label().Rect = measure.Rect{X: in / 4, Y: 2*in + 20, W: 15 * in / 4, H: in - 20}
	}, nil},
	{"a label that reaches onto the leftover", func(j *job) { j.label().Rect.H = in/2 + 1 }, []fault{labelOffScrap}},
	{"a label on a leftover", func(j *job) { j.label().Rect.Y += in }, []fault{labelOffScrap}},
	{"a label where nothing can be printed", func(j *job) { j.label().Rect.X = in/4 - 1 }, []fault{labelOnMargin}},
	{"a label on a mark", func(j *job) { j.label().Rect.Y = 2*in + 19 }, []fault{labelOnMark}},
	{"a label of another page", func(j *job) { j.first().Page, j.plan.Pieces[0].Labels[0].Text = 5, "retreat 4 · A B" }, []fault{labelAmiss}},
	{"a label without a block", func(j *job) { j.label().Text = "retreat 4 · A" }, []fault{labelAmiss}},
	{"cut out with scissors", outlines, nil},
	{"an edge without a line", func(j *job) { outlines(j); j.block("A").Outline = nil }, []fault{lineLacks}},
	{"half an edge without a line", func(j *job) { outlines(j); j.block("A").Outline[0].X2 = 2 * in }, []fault{lineLacks}},
	{"a line where the printer cannot print", func(j *job) { outlines(j); j.block("A").Outline[0].X1-- }, []fault{markOnMargin}},
	{"a line on the block itself", func(j *job) { outlines(j); j.block("B").Outline[0].X1 += 20; j.block("B").Outline[0].X2 += 20 }, []fault{markOnBlock, lineLacks}},
	{"a line on the leftover", func(j *job) { outlines(j); m := j.kept().Outline; m[0].Y1 += 20; m[0].Y2 += 20 }, []fault{markOnLeftover, lineLacks}},
	{"a line aside", func(j *job) { outlines(j); m := j.block("A").Outline; m[0].Y1 += 20; m[0].Y2 += 20 }, []fault{markAside, lineLacks}},
	{"a source of another size", func(j *job) { j.second().Source.Rect.W++ }, []fault{notItsSource}},
	{"the other panel", func(j *job) {
		c := j.plan.Sheets[0].Whole.Cut
		c.Near.Panel = false
	}, []fault{notItsPanel}},
	{"a panel of no sheet", func(j *job) { j.first().Source.Cut = nil }, []fault{notItsPanel}},
	{"a panel elsewhere on its sheet", func(j *job) { j.first().Source.Rect.X++ }, []fault{notItsPanel}},
	{"a sheet and no panel", func(j *job) { j.first().Source.Panel = nil }, []fault{notItsPanel}},
	{"a sheet that is cut elsewhere", func(j *job) { j.plan.Sheets[0].Whole.Cut.At++ }, []fault{wrongPart, wrongPart}},
}

// TestCheck changes the sound plan in each way, and wants the checks to find what was changed and nothing else.
func TestCheck(t *testing.T) {
	for _, c := range changes {
		j := sound()
		c.spoil(&j)
		var found []fault
		for _, f := range check(j.plan, j.blocks, j.settings) {
			found = append(found, f.fault)
		}
		if !slices.Equal(found, c.finds) {
			t.Errorf("%s: found %v, want %v: %q", c.name, found, c.finds, Check(j.plan, j.blocks, j.settings))
		}
	}
}

// TestEveryCheckIsNeeded takes the checks out in turn: without it, some plan that breaks a promise would pass. What is reported is
// filtered here, so that nothing in the checker has to know of it; that each fault is looked for in one place, and is one of
// the list, is read off the source.
func TestEveryCheckIsNeeded(t *testing.T) {
	for out := range faults {
		passes := false
		for _, c := range changes {
			left := slices.DeleteFunc(slices.Clone(c.finds), func(f fault) bool { return f == out })
			passes = passes || len(c.finds) > 0 && len(left) == 0
		}
		if !passes {
			t.Errorf("without the check for fault %d every broken plan is still found out", out)
		}
	}
	said := map[string]int{}
	for _, name := range []string{"check.go", "strips.go"} {
		file, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(file, func(n ast.Node) bool {
			call, ok := n.(*ast.CallExpr)
			if !ok {
				return true
			}
			if f, ok := call.Fun.(*ast.SelectorExpr); ok && f.Sel.Name == "report" {
				name, ok := call.Args[0].(*ast.Ident)
				if !ok {
					t.Error("a fault is reported whose kind is not written out")
					return true
				}
				said[name.Name]++
			}
			return true
		})
	}
	for name, n := range said {
		if n != 1 {
			t.Errorf("%s is reported in %d places: no plan shows which of them is needed", name, n)
		}
	}
	if len(said) != int(faults) {
		t.Errorf("%d kinds of fault are reported, %d are listed", len(said), faults)
	}
}
