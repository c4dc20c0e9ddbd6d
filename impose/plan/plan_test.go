package plan

import (
	"bytes"
	"encoding/json"
	"errors"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// TestWalks goes through the first piece of the sound plan: parts come in the order of cutting, leaves as they come off, blocks as
// they are read.
func TestWalks(t *testing.T) {
	j := sound()
	whole := j.first().Whole
	left := whole.Cut.Near.Cut.Near
	var cuts, leaves []*Part
	for q := range whole.Cuts {
		cuts = append(cuts, q)
	}
	for q := range whole.Leaves {
		leaves = append(leaves, q)
	}
	a, b, scrap, leftover := j.block("A"), j.block("B"), left.Cut.Far, whole.Cut.Far
	if !slices.Equal(cuts, []*Part{whole, whole.Cut.Near, left}) {
		t.Errorf("cuts %v", cuts)
	}
	if !slices.Equal(leaves, []*Part{a, scrap, b, leftover}) {
		t.Errorf("leaves %v", leaves)
	}
	if whole.CutCount() != 3 || left.CutCount() != 1 || a.CutCount() != 0 {
		t.Errorf("%d, %d and %d cuts", whole.CutCount(), left.CutCount(), a.CutCount())
	}
	// Scrap of a thirty-second is a hair, which nobody cuts off; what is wider is cut off, and so is what is kept.
	for _, c := range []struct {
		wide measure.Length
		keep bool
		made int
	}{{in / 32, false, 0}, {in/32 + 1, false, 1}, {in / 32, true, 1}} {
		far := &Part{Rect: measure.Rect{X: 4 * in, W: c.wide, H: 2 * in}, Keep: c.keep}
		part := &Part{Rect: measure.Rect{W: 4*in + c.wide, H: 2 * in}, Cut: &Cut{Axis: Down, At: 4 * in, Near: &Part{Rect: measure.Rect{W: 4 * in, H: 2 * in}, Block: a.Block}, Far: far}}
		told := (&Plan{Pieces: []*Piece{{Whole: part}}}).Trimming()
		if got := part.CutCount(); got != c.made || told != (Trimming{got, got}) || (part.Hair() == far) != (got == 0) {
			t.Errorf("a strip of %d (kept: %v): %d cuts, told as %+v; hair %v", c.wide, c.keep, got, told, part.Hair())
		}
	}
	// Two such strips at the sides of one block are left only if they are no wider together.
	for _, c := range []struct {
		first, second measure.Length
		made          int
	}{{in / 64, in / 64, 0}, {in / 33, in / 50, 1}, {in / 50, in / 33, 1}} {
		inner := &Part{Rect: measure.Rect{X: c.first, W: 4*in + c.second, H: 2 * in}, Cut: &Cut{Axis: Down, At: c.first + 4*in,
			Near: &Part{Rect: measure.Rect{X: c.first, W: 4 * in, H: 2 * in}, Block: a.Block}, Far: &Part{Rect: measure.Rect{X: c.first + 4*in, W: c.second, H: 2 * in}}}}
		outer := &Part{Rect: measure.Rect{W: c.first + 4*in + c.second, H: 2 * in}, Cut: &Cut{Axis: Down, At: c.first, Near: &Part{Rect: measure.Rect{W: c.first, H: 2 * in}}, Far: inner}}
		if got := outer.CutCount(); got != c.made {
			t.Errorf("strips of %d and %d: %d cuts", c.first, c.second, got)
		}
	}
	// However many they are, each is looked at once.
	all := &Part{Rect: measure.Rect{W: 4 * in, H: 2 * in}, Block: a.Block}
	for range 64 {
		w := all.Rect.W
		all = &Part{Rect: measure.Rect{W: w + 1, H: 2 * in}, Cut: &Cut{Axis: Down, At: w, Near: all, Far: &Part{Rect: measure.Rect{X: w, W: 1, H: 2 * in}}}}
	}
	if got := all.CutCount(); got != 0 {
		t.Errorf("64 strips of a unit: %d cuts", got)
	}
	if a.Hair() != nil {
		t.Error("a block has a hair")
	}
	// A walk that is left early stays left, wherever that is.
	for stop := range leaves {
		n := 0
		for range whole.Leaves {
			if n++; n > stop {
				break
			}
		}
		if n != stop+1 {
			t.Errorf("a walk left after %d leaves visits %d", stop+1, n)
		}
	}
	for i, want := range []struct {
		part       *Part
		leaf, rest bool
	}{{whole, false, false}, {a, true, false}, {scrap, true, true}, {leftover, true, true}, {j.first().Source.Panel, true, false}} {
		if want.part.Leaf() != want.leaf || want.part.Rest() != want.rest {
			t.Errorf("part %d: leaf %v, rest %v", i, want.part.Leaf(), want.part.Rest())
		}
	}
	if got := j.first().Size(); got != (measure.Size{W: 6 * in, H: 9 * in}) {
		t.Errorf("the piece is %v", got)
	}
}

// TestBlocksAsRead: from the top, and of one height from the left, whatever the order of cutting.
func TestBlocksAsRead(t *testing.T) {
	at := func(x, y measure.Length) *Part {
		return &Part{Rect: measure.Rect{X: x, Y: y, W: in, H: in}, Block: &Block{}}
	}
	topLeft, topRight, low := at(0, 0), at(in, 0), at(0, in)
	// The low one comes off first, the right one before the left one: a tree that only a walk cares for.
	p := Piece{Whole: &Part{Cut: &Cut{Near: low, Far: &Part{Cut: &Cut{Near: topRight, Far: topLeft}}}}}
	if got := p.Blocks(); !slices.Equal(got, []*Part{topLeft, topRight, low}) {
		t.Errorf("read in the order %v", got)
	}
}

// TestNumber: a piece that rides takes the page before its own, for the outline.
func TestNumber(t *testing.T) {
	j := sound()
	third := &Piece{Whole: j.second().Whole}
	j.plan.Pieces = append(j.plan.Pieces, third)
	j.plan.Number(7)
	if j.first().Page != 7 || j.second().Page != 9 || third.Page != 10 {
		t.Errorf("pages %d, %d, %d", j.first().Page, j.second().Page, third.Page)
	}
	if j.plan.Pages() != 4 {
		t.Errorf("%d pages", j.plan.Pages())
	}
}

// TestKept: leftovers of pieces and of sheets that were cut before, not scrap, not another stock's; the largest first, of two as
// large the wider.
func TestKept(t *testing.T) {
	j := sound()
	kept := func(x, y, w, h measure.Length) *Part { p := rest(x, y, w, h); p.Keep = true; return p }
	spare := kept(6*in, 0, 4*in, 9*in) // as large as the piece's own leftover of 6 x 6
	j.plan.Sheets[0].Whole.Cut.Far = spare
	j.plan.Pieces = append(j.plan.Pieces, &Piece{Stock: "vellum", Whole: across(kept(0, 0, 7*in, 5*in), rest(0, 5*in, 7*in, in))},
		&Piece{Stock: "cardstock", Whole: kept(0, 0, 8*in, 8*in)})
	j.plan.Sheets = append(j.plan.Sheets, &Sheet{Stock: "cardstock", Whole: kept(0, 0, 9*in, 9*in)})
	want := []measure.Size{{W: 6 * in, H: 6 * in}, {W: 4 * in, H: 9 * in}, {W: 7 * in, H: 5 * in}}
	if got := j.plan.Kept("vellum"); !slices.Equal(got, want) {
		t.Errorf("kept %v, want %v", got, want)
	}
	if got := j.plan.Kept("cardstock"); !slices.Equal(got, []measure.Size{{W: 9 * in, H: 9 * in}, {W: 8 * in, H: 8 * in}}) {
		t.Errorf("kept of cardstock %v", got)
	}
	if got := j.plan.Kept("plain paper"); got != nil {
		t.Errorf("kept of a stock that is not there %v", got)
	}
}

// TestInk: a mark prints its line and half its weight on both sides.
func TestInk(t *testing.T) {
	for _, c := range []struct {
		mark Mark
		want measure.Rect
	}{
		{Mark{X1: 100, Y1: 10, X2: 100, Y2: 50, Weight: 6}, measure.Rect{X: 97, Y: 10, W: 6, H: 40}},
		{Mark{X1: 10, Y1: 100, X2: 50, Y2: 100, Weight: 6}, measure.Rect{X: 10, Y: 97, W: 40, H: 6}},
	} {
		if got := c.mark.Ink(); got != c.want {
			t.Errorf("%v prints %v, want %v", c.mark, got, c.want)
		}
	}
}

// TestAlong: a mark lies along a line that its ink touches, on either side, and along none that crosses it.
func TestAlong(t *testing.T) {
	down, across := Mark{X1: 100, Y1: 10, X2: 100, Y2: 50, Weight: 6}, Mark{X1: 10, Y1: 100, X2: 50, Y2: 100, Weight: 6}
	for at, want := range map[measure.Length]bool{96: false, 97: true, 100: false, 103: true, 104: false, 10: false, 50: false} {
		if down.Along(Down, at) != want || across.Along(Across, at) != want {
			t.Errorf("along %d: %v and %v, want %v", at, down.Along(Down, at), across.Along(Across, at), want)
		}
		if down.Along(Across, at) || across.Along(Down, at) {
			t.Errorf("along %d, which it crosses", at)
		}
	}
}

// TestTitle: a piece is called after the sheet or leftover that it is, or is a panel of.
func TestTitle(t *testing.T) {
	j := sound()
	whole := &Piece{Stock: "vellum", Source: Source{Sheet: 3}}
	for _, c := range []struct {
		piece *Piece
		want  string
	}{
		{j.first(), "vellum, sheet 1, panel S1.1"},
		{j.second(), "vellum, leftover 2 (5 x 2 in)"},
		{whole, "vellum, sheet 3"},
	} {
		if got := c.piece.Title(measure.In); got != c.want {
			t.Errorf("%q, want %q", got, c.want)
		}
	}
	if name := j.plan.Sheets[0].PartName(j.plan.Sheets[0].Whole.Cut.Far); name != "S1.2" {
		t.Errorf("the spare panel is called %q", name)
	}
	if name := j.plan.Sheets[0].PartName(j.second().Whole); name != "" {
		t.Errorf("a part of another piece is called %q", name)
	}
}

// TestFileOfWhatTheExampleHasNot: a carrier, a leftover, an uncut piece, a row that is held and a price below one; lists without
// entries are lists.
func TestFileOfWhatTheExampleHasNot(t *testing.T) {
	j := sound()
	j.plan.Stocks = []Use{{Stock: "vellum", NewSheets: 2, Cents: 205}, {Stock: "cardstock", Cents: 7}}
	j.plan.Held = []intake.Held{{Place: problem.Place{File: "ferry.csv", Row: 8}, Code: "D-1", Why: "too <long>"}}
	set := j.block("C").Block.Setting
	set.Face, set.Size, set.Lines = "Sans", 21*measure.Point/2, make([]typeset.Line, 2)
	var file bytes.Buffer
	if err := j.plan.WriteFile(&file); err != nil {
		t.Fatal(err)
	}
	if !bytes.Contains(file.Bytes(), []byte("too <long>")) {
		t.Error("a reason is written as for a web page")
	}
	var got planFile
	if err := json.Unmarshal(file.Bytes(), &got); err != nil {
		t.Fatal(err)
	}
	p := got.Pieces[1]
	if p.Source != (sourceFile{Kind: "leftover", Sheet: 2, boxFile: boxFile{Width: 5 * in, Height: 2 * in}}) || *p.Carrier != (carrierFile{boxFile: boxFile{8 * in, 8 * in, 3 * in / 2, 3 * in}}) {
		t.Errorf("%+v on %+v", p.Source, p.Carrier)
	}
	if b := p.Blocks[0]; b.Leaf != "P6" || b.Font != "Sans" || b.Points != 10.5 || b.Lines != 2 || b.Turned {
		t.Errorf("%+v", b)
	}
	if b := got.Pieces[0].Blocks[1]; b.Code != "B" || !b.Turned || b.Leaf != "P4.1.2" {
		t.Errorf("%+v", b)
	}
	if r := got.Pieces[0].Leftovers; len(r) != 2 || r[0].Name != "P4.1.1.2" || r[0].Keep || r[1].Name != "P4.2" || !r[1].Keep {
		t.Errorf("%+v", r)
	}
	if c := got.Pieces[0].Cuts; len(c) != 3 || c[0].N != 1 || c[2].N != 3 || c[2].Measure || !c[1].Measure || c[1].Axis != "down" || c[0].Axis != "across" {
		t.Errorf("%+v", c)
	}
	if m := got.Pieces[0].Marks; len(m) != 1 || m[0].Cut != 3 {
		t.Errorf("%+v", m)
	}
	if c := got.Precuts; len(c) != 1 || c[0].N != 1 || c[0].Of != "S1" || c[0].Makes != [2]string{"S1.1", "S1.2"} {
		t.Errorf("%+v", c)
	}
	if got.Stocks[0].Cost != "2.05" || got.Stocks[1].Cost != "0.07" {
		t.Errorf("%+v", got.Stocks)
	}
	if h := got.Held; len(h) != 1 || h[0] != (heldFile{placeFile{File: "ferry.csv", Row: 8}, "D-1", "too <long>"}) {
		t.Errorf("%+v", h)
	}
	if err := j.plan.WriteFile(full{}); !errors.Is(err, errFull) {
		t.Errorf("a disk that is full: %v", err)
	}
	file.Reset()
	if err := new(Plan).WriteFile(&file); err != nil || bytes.Contains(file.Bytes(), []byte("null")) {
		t.Errorf("an empty plan: %v\n%s", err, file.Bytes())
	}
}

var errFull = errors.New("the disk is full")

type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }

// TestCheckSays: each fault is told with the name of its piece or sheet, for whoever looks for it in the plan file, and copies that
// nobody asked for in the order of their codes.
func TestCheckSays(t *testing.T) {
	j := sound()
	if got := Check(j.plan, j.blocks, j.settings); len(got) > 0 {
		t.Errorf("the sound plan: %q", got)
	}
	j.block("A").Block.Setting.Ink.X--
	j.plan.Sheets[0].Whole.Cut.At++
	strange := func(n int) {
		j.plan.Pieces = append(j.plan.Pieces, &Piece{Page: 9, Stock: "vellum", Printer: "home", Whole: &Part{Rect: j.second().Whole.Rect, Block: &Block{
			Block: &j.blocks[2], Setting: j.block("C").Block.Setting, Copy: n, InkBox: j.block("C").Block.InkBox}}, Source: j.second().Source, Carrier: j.second().Carrier})
	}
	strange(3)
	strange(2)
	var got []string
	for _, say := range Check(j.plan, j.blocks, j.settings) {
		name, _, _ := strings.Cut(say, ": ")
		got = append(got, name)
		if strings.Contains(say, "copy ") {
			got = append(got, say)
		}
	}
	want := []string{"P4", "plan", "plan: copy 2 of C is there, and nobody asked for it", "plan", "plan: copy 3 of C is there, and nobody asked for it", "S1", "S1"}
	if !slices.Equal(got, want) {
		t.Errorf("%q, want %q", got, want)
	}
}

// TestTrimmerToTheUnit: a cut as long as the longest, and a part as narrow as is held, can be done.
func TestTrimmerToTheUnit(t *testing.T) {
	j := sound()
	j.settings.Trimmer = config.Trimmer{Longest: 9 * in, Holds: 3 * in}
	if got := Check(j.plan, j.blocks, j.settings); len(got) > 0 {
		t.Errorf("%q", got)
	}
}

// TestMarksOfACutDown does with a mark of the cut between A and B, which runs down, what TestCheck does with one across.
func TestMarksOfACutDown(t *testing.T) {
	for _, c := range []struct {
		name string
		mark Mark
		want []fault
	}{
		{"on the scrap beside B", Mark{X1: 4*in - 10, Y1: 2 * in, X2: 4*in - 10, Y2: 3 * in, Weight: 20}, nil},
		{"on B", Mark{X1: 4*in + 10, Y1: 2 * in, X2: 4*in + 10, Y2: 3 * in, Weight: 20}, []fault{markOnBlock}},
		{"on A", Mark{X1: 4*in - 10, Y1: 2*in - 1, X2: 4*in - 10, Y2: 3 * in, Weight: 20}, []fault{markOnBlock}},
		{"slanting", Mark{X1: 4*in - 10, Y1: 2 * in, X2: 4*in - 9, Y2: 3 * in, Weight: 20}, []fault{markAside}},
		{"a unit off", Mark{X1: 4*in - 11, Y1: 2 * in, X2: 4*in - 11, Y2: 3 * in, Weight: 20}, []fault{markAside}},
		{"of no length", Mark{X1: 4*in - 10, Y1: 2 * in, X2: 4*in - 10, Y2: 2 * in, Weight: 20}, []fault{markWithoutInk}},
		{"beyond what is cut", Mark{X1: 4*in - 10, Y1: 2 * in, X2: 4*in - 10, Y2: 3*in + 1, Weight: 20}, []fault{markElsewhere, markOnLeftover}},
	} {
		j := sound()
		j.first().Whole.Cut.Near.Cut.Marks = []Mark{c.mark}
		var found []fault
		for _, f := range check(j.plan, j.blocks, j.settings) {
			found = append(found, f.fault)
			if !strings.HasPrefix(f.text, "P4: a mark of cut 2 ") {
				t.Errorf("%s: %q", c.name, f.text)
			}
		}
		if !slices.Equal(found, c.want) {
			t.Errorf("%s: found %v, want %v", c.name, found, c.want)
		}
	}
}
