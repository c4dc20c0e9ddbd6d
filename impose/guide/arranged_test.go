package guide

import (
	"fmt"
	"math/rand"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/layout"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// arranged is a job of random blocks laid out by the real packer: two printers, sheets that are cut into panels first,
// leftovers at hand, sizes in both systems of measures.
func arranged(seed int64, blocks int) *draft {
	r := rand.New(rand.NewSource(seed))
	s := settings()
	s.Gap, s.Mark, s.Effort = config.Gap{Auto: true, Width: inch / 8}, config.Mark{Length: inch / 4, Weight: 6350}, 1
	s.Printers = []config.Printer{
		{Name: "small", Narrowest: 4 * inch, Widest: 4 * inch, Shortest: 5 * inch, Longest: 17 * inch, Margins: measure.Same(inch / 8), Takes: []string{"vellum"}},
		{Name: "home", Narrowest: 7 * inch / 2, Widest: 17 * inch / 2, Shortest: 5 * inch, Longest: 14 * inch, Margins: measure.Same(inch / 6)},
	}
	s.Stocks[0].Sheets = []config.Sheet{{Size: z(12*inch, 12*inch), Count: 20, Price: 120}, {Size: z(4*inch, 15*inch/2), Count: 2, Leftover: true}}
	var all []intake.Block
	for i := range blocks {
		size := z(measure.Length(4+r.Intn(13))*inch/4, measure.Length(4+r.Intn(9))*inch/4)
		if r.Intn(3) == 0 {
			size = z(measure.Length(25+r.Intn(75))*measure.Millimetre, measure.Length(25+r.Intn(50))*measure.Millimetre)
		}
		owner := fmt.Sprintf("Guest %c", 'A'+rune(r.Intn(6)))
		all = append(all, intake.Block{Code: fmt.Sprintf("G%c-%d", owner[6], i+1), Owner: owner, Space: size, Inset: measure.Same(inch / 8), Stock: s.Stocks[r.Intn(3)].Name,
			Copies: 1 + r.Intn(8)/7, Turn: r.Intn(4) > 0, Text: []intake.Paragraph{{{Text: texts[i%len(texts)]}}}})
	}
	set := make([]typeset.Setting, len(all))
	for i := range all {
		set[i] = typeset.Setting{Block: &all[i], Face: "Serif", Size: 11 * measure.Point}
	}
	laid, held, _ := layout.Arrange(set, nil, s, nil)
	laid.Hold(held)
	return &draft{plan: laid, settings: s}
}

// What the packer lays out can be cut by the printed measures, its panels are all there, and its cost is shared to the cent.
func TestGuidesOfArrangedJobs(t *testing.T) {
	for seed := range int64(6) {
		d := arranged(seed, 30+10*int(seed))
		in, pages := finish(d)
		name := fmt.Sprintf("seed %d", seed)
		within(t, name, in, pages)
		worst := compare(t, name, trim(t, sectionsOf(pages)["Cutting guide"], d.plan), in)
		t.Logf("%s: %d pieces, off by %.4f in at most", name, len(d.plan.Pieces), float64(worst)/float64(inch))

		j := newJob(in)
		panels, cut := 0, 0
		for _, c := range j.panels {
			panels += c.sheets * len(c.way.spots)
		}
		for i := range d.plan.Pieces {
			for _, c := range d.plan.Precuts {
				if p := &d.plan.Pieces[i]; c.Stock == p.Stock && c.Sheet == p.Source.Sheet && c.N == 1 {
					cut++
				}
			}
		}
		if panels != cut || cut == 0 {
			t.Errorf("%s: the run sheet cuts %d panels, the plan prints on %d", name, panels, cut)
		}
		b := j.bill()
		for k, u := range d.plan.Stocks {
			var paid int64
			for i := range b.owners {
				paid += b.cents[i][k]
			}
			if paid != u.Cents || u.Cents == 0 {
				t.Errorf("%s: %s costs %d, shared out are %d", name, u.Stock, u.Cents, paid)
			}
		}
	}
}
