package guide

import (
	"context"
	"fmt"
	"math/rand"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/layout"
	"tuckmark/impose/plan/made"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// arranged is a job of random blocks laid out by the real packer: two printers, sheets that are cut into panels first,
// leftovers at hand, sizes in both systems of measures.
func arranged(seed int64, blocks int) *made.Draft {
	r := rand.New(rand.NewSource(seed))
	s := made.Settings()
	s.Gap, s.Mark, s.Effort = config.Gap{Auto: true, Width: inch / 8}, config.Mark{Length: inch / 4, Weight: 6350}, 1
	s.Printers = []config.Printer{
		{Name: "small", Narrowest: 4 * inch, Widest: 4 * inch, Shortest: 5 * inch, Longest: 17 * inch, Margins: measure.Same(inch / 8), Takes: []string{"vellum"}},
		{Name: "home", Narrowest: 7 * inch / 2, Widest: 17 * inch / 2, Shortest: 5 * inch, Longest: 14 * inch, Margins: measure.Same(inch / 6)},
	}
	s.Stocks[0].Sheets = []config.Sheet{{Size: made.Size(12*inch, 12*inch), Count: 20, Price: 120}, {Size: made.Size(4*inch, 15*inch/2), Count: 2, Leftover: true}}
	var all []intake.Block
	for i := range blocks {
		size := made.Size(measure.Length(4+r.Intn(13))*inch/4, measure.Length(4+r.Intn(9))*inch/4)
		if r.Intn(3) == 0 {
			size = made.Size(measure.Length(25+r.Intn(75))*measure.Millimetre, measure.Length(25+r.Intn(50))*measure.Millimetre)
		}
		owner := fmt.Sprintf("Guest %c", 'A'+rune(r.Intn(6)))
		all = append(all, intake.Block{Code: fmt.Sprintf("G%c-%d", owner[6], i+1), Owner: owner, Space: size, Inset: measure.Same(inch / 8), Stock: s.Stocks[r.Intn(3)].Name,
			Copies: 1 + r.Intn(8)/7, Turn: r.Intn(4) > 0, Text: []intake.Paragraph{{{Text: made.Texts[i%len(made.Texts)]}}}})
	}
	set := make([]typeset.Setting, len(all))
	for i := range all {
		set[i] = typeset.Setting{Block: &all[i], Face: "Serif", Size: 11 * measure.Point}
	}
	laid, held, _ := layout.Arrange(context.Background(), set, nil, s, nil)
	laid.Held = append(laid.Held, held...)
	return &made.Draft{Plan: laid, Settings: s}
}

// What the packer lays out can be cut by the printed measures, its panels are all there, and its cost is shared to the cent.
func TestGuidesOfArrangedJobs(t *testing.T) {
	for seed := range int64(6) {
		d := arranged(seed, 30+10*int(seed))
		in, pages := finish(d)
		name := fmt.Sprintf("seed %d", seed)
		within(t, name, in, pages)
		worst := compare(t, name, trim(t, sectionsOf(pages)["Cutting guide"], in.Account), in)
		t.Logf("%s: %d pieces, off by %.4f in at most", name, len(d.Plan.Pieces), float64(worst)/float64(inch))

		panels, cut := 0, 0
		for _, c := range in.Account.Panels {
			panels += c.Sheets * len(c.Spots)
		}
		for _, p := range d.Plan.Pieces {
			if p.Source.Cut != nil {
				cut++
			}
		}
		if panels != cut || cut == 0 {
			t.Errorf("%s: the run sheet cuts %d panels, the plan prints on %d", name, panels, cut)
		}
		b := in.Account.Bill()
		for k, u := range d.Plan.Stocks {
			var paid int64
			for i := range b.Owners {
				paid += b.Cents[i][k]
			}
			if paid != u.Cents || u.Cents == 0 {
				t.Errorf("%s: %s costs %d, shared out are %d", name, u.Stock, u.Cents, paid)
			}
		}
	}
}
