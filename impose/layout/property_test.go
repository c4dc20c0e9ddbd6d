package layout

import (
	"bytes"
	"context"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/draw"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// A job drawn by rapid, which makes it smaller as long as it still fails: everything that a person can choose, in sizes
// to 1/32 in or 1/10 mm.

func someLength(t *rapid.T, name string, from, to measure.Length) measure.Length {
	step := measure.Inch / 32
	if rapid.Bool().Draw(t, name+" in mm") {
		step = measure.Millimetre / 10
	}
	return step * measure.Length(rapid.Int64Range(int64((from+step-1)/step), int64(to/step)).Draw(t, name))
}

func someSettings(t *rapid.T, base *config.Settings) *config.Settings {
	s := *base
	s.Stocks, s.Printers = append([]config.Stock(nil), base.Stocks...), append([]config.Printer(nil), base.Printers...)
	s.Effort = rapid.SampledFrom([]int{0, 3, 10}).Draw(t, "effort")
	if rapid.Bool().Draw(t, "narrow printer") {
		widest := someLength(t, "widest", 3*measure.Inch, 8*measure.Inch)
		s.Printers = append([]config.Printer{{Name: "narrow", Narrowest: 2 * measure.Inch, Widest: widest, Shortest: someLength(t, "shortest", 2*measure.Inch, 6*measure.Inch), Longest: 14 * measure.Inch,
			Margins: measure.Sides{Top: someLength(t, "top", 0, measure.Inch/4), Bottom: someLength(t, "bottom", 0, measure.Inch/2), Left: someLength(t, "left", 0, measure.Inch/4), Right: someLength(t, "right", 0, measure.Inch/4)},
			Scale:   [2]float64{1, 1}}}, s.Printers...)
	}
	s.Trimmer.Holds = someLength(t, "holds", 0, measure.Inch)
	s.Trimmer.Longest = someLength(t, "longest cut", 11*measure.Inch, 14*measure.Inch)
	if rapid.IntRange(0, 3).Draw(t, "scissors") == 3 {
		s.Trimmer = config.Trimmer{Stack: 1, Scissors: true}
		s.Gap.Width = someLength(t, "gap", 0, measure.Inch/2)
	}
	for i := range s.Stocks {
		k := &s.Stocks[i]
		k.Mirror = rapid.Float64Range(0, 1).Draw(t, "mirror") > 0.9
		switch rapid.IntRange(0, 4).Draw(t, "sheets") {
		case 1:
			k.Sheets = []config.Sheet{{Size: measure.Size{W: 12 * measure.Inch, H: 12 * measure.Inch}, Count: -1, Price: 120}}
		case 2:
			k.Sheets = append(append([]config.Sheet(nil), k.Sheets...), config.Sheet{Size: measure.Size{W: someLength(t, "sheet", 4*measure.Inch, 9*measure.Inch), H: someLength(t, "sheet", 5*measure.Inch, 12*measure.Inch)}, Count: rapid.IntRange(0, 3).Draw(t, "count"), Price: 40})
		case 3:
			k.Sheets = append([]config.Sheet(nil), k.Sheets...)
			k.Sheets[0].Count = rapid.IntRange(0, 2).Draw(t, "count")
		}
	}
	return &s
}

func someBlock(t *rapid.T, s *config.Settings, row int) intake.Block {
	stock := rapid.SampledFrom(s.Stocks).Draw(t, "stock")
	b := intake.Block{Place: problem.Place{File: "rapid.csv", Row: row}, Code: "B-" + string(rune('A'+row)), Owner: rapid.SampledFrom([]string{"Odile", "Pim", "Tove"}).Draw(t, "owner"),
		Space: measure.Size{W: someLength(t, "width", measure.Inch/2, 9*measure.Inch), H: someLength(t, "height", measure.Inch/2, 6*measure.Inch)},
		Tuck:  stock.Tuck, Inset: stock.Inset, Stock: stock.Name, Font: rapid.SampledFrom([]string{"Serif", "Sans", "Typewriter", "Roman", "Book"}).Draw(t, "font"),
		Type: s.Type, Copies: rapid.IntRange(1, 3).Draw(t, "copies"), Turn: rapid.Bool().Draw(t, "turn"), Back: config.Colour{R: 255, G: 255, B: 255}}
	if rapid.Bool().Draw(t, "own tuck") {
		b.Tuck = measure.Sides{Top: someLength(t, "tuck", 0, measure.Inch), Left: someLength(t, "tuck", 0, measure.Inch/2)}
	}
	b.Type.Align = config.Align(rapid.IntRange(0, 3).Draw(t, "align"))
	b.Type.Vertical = config.Vertical(rapid.IntRange(0, 2).Draw(t, "vertical"))
	n := rapid.IntRange(1, 40).Draw(t, "words")
	var p intake.Paragraph
	for i := range n {
		w := rapid.SampledFrom(words).Draw(t, "word")
		if i < n-1 {
			w += " "
		}
		p = append(p, intake.Run{Text: w, Bold: i%7 == 3, Italic: i%5 == 4})
	}
	b.Text = []intake.Paragraph{p}
	return b
}

// TestAnyJobKeepsItsPromises holds for any job: each block is printed as often as asked or held with a reason, the plan
// passes the plain checker, and a second run gives the same plan. Two thousand jobs:
//
//	go test ./impose -run AnyJob -rapid.checks=2000
func TestAnyJobKeepsItsPromises(t *testing.T) {
	if testing.Short() {
		t.Skip("TestRandomJobsKeepTheirPromises does the like")
	}
	base := plain(t, nil)
	jobs, placed, held, read := 0, 0, 0, 0
	var sample []planAnd // to be read by another program
	rapid.Check(t, func(t *rapid.T) {
		s := someSettings(t, base)
		if !rapid.Bool().Draw(t, "gap is auto") {
			s.Gap = config.Gap{Width: someLength(t, "gap", 0, measure.Inch/2)}
		}
		var blocks []intake.Block
		for i := range rapid.IntRange(1, 12).Draw(t, "blocks") {
			blocks = append(blocks, someBlock(t, s, i+2))
		}
		var paper []intake.Paper
		for range rapid.IntRange(0, 3).Draw(t, "leftovers") {
			paper = append(paper, intake.Paper{Stock: rapid.SampledFrom(s.Stocks).Draw(t, "stock").Name, Count: rapid.IntRange(1, 2).Draw(t, "count"), Leftover: true,
				Size: measure.Size{W: someLength(t, "leftover", measure.Inch, 9*measure.Inch), H: someLength(t, "leftover", measure.Inch, 12*measure.Inch)}})
		}
		laid, why := planned(blocks, paper, s)
		for _, fault := range plan.Check(laid, blocks, s) {
			t.Error(fault)
		}
		if again, _ := planned(blocks, paper, s); !reflect.DeepEqual(laid.Pieces, again.Pieces) {
			t.Error("a second run lays the blocks otherwise")
		}
		copies := 0
		for _, p := range laid.Pieces {
			copies += len(p.Blocks())
		}
		for _, b := range blocks {
			copies -= b.Copies
		}
		for _, h := range laid.Held {
			if h.Why == "" || why[h.Code] == 0 {
				t.Errorf("%s is held without a reason", h.Code)
			}
			for _, b := range blocks {
				if b.Code == h.Code {
					copies += b.Copies
				}
			}
		}
		if copies != 0 {
			t.Errorf("%+d copies are printed", copies)
		}
		jobs, placed, held = jobs+1, placed+len(blocks)-len(laid.Held), held+len(laid.Held)
		if jobs%12 == 0 && len(sample) < 40 && upright(laid, s) {
			sample = append(sample, planAnd{laid, s})
		}
	})
	for n, p := range sample {
		if !readback.Available {
			break
		}
		var pdf bytes.Buffer
		d := draw.Drawer{}
		if err := press.Write(&pdf, press.Document{Title: "any", Sections: d.Draw(p.plan, p.settings)}, nil); err != nil {
			t.Fatal(err)
		}
		doc := readback.Open(t, pdf.Bytes())
		for i := range p.plan.Pieces {
			comparePage(t, n, doc, i, p.plan.Pieces[i])
			read++
		}
	}
	t.Logf("%d jobs: %d blocks printed, %d held; %d pages read by PDFium", jobs, placed, held, read)
	if !t.Failed() && (placed < jobs || held == 0) {
		t.Error("the jobs are not of all kinds")
	}
}

type planAnd struct {
	plan     *plan.Plan
	settings *config.Settings
}

// upright reports whether every page is as its piece lies on the plan, neither mirrored nor on a carrier, and no block is
// turned: of turned blocks with many changes of face PDFium reads a line in fifty or so with letters of its neighbour
// between (TestPagesAsPDFiumReadsThem has turned ones).
func upright(p *plan.Plan, s *config.Settings) bool {
	for i := range p.Pieces {
		if k, _ := s.Stock(p.Pieces[i].Stock); k.Mirror || p.Pieces[i].Carrier != nil {
			return false
		}
		for _, b := range p.Pieces[i].Blocks() {
			if b.Block.Turned {
				return false
			}
		}
	}
	return len(p.Pieces) > 0
}

func planned(blocks []intake.Block, paper []intake.Paper, s *config.Settings) (*plan.Plan, map[string]int) {
	set, held, a := typeset.Set(context.Background(), fonts(), blocks, s, nil)
	laid, more, b := Arrange(context.Background(), set, paper, s, nil)
	laid.Held = slices.Concat(held, more)
	why := map[string]int{}
	for _, p := range append(a, b...) {
		for _, k := range blocks {
			if p.Severity == problem.Error && p.Place.Row == k.Place.Row && p.What != "" && p.Hint != "" {
				why[k.Code]++
			}
		}
	}
	return laid, why
}
