package layout

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"testing"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// fonts is shared: loading the faces takes longer than a random job.
var fonts = sync.OnceValue(func() *typeset.Library { return typeset.NewLibrary(nil) })

// words for texts that nobody has to read. Some are long, some have accents, ligatures and marks.
var words = strings.Fields(`the ferry was late again and so we bought plums from a man with his handcart office fluffy waffles
	ate them on quay singing Odile naïve café “never” Simeon’s counting seconds rain canvas roof nobody minded extraordinary
	grandmother's half-hidden lighthouse 4 July 1962 AVAST Tomorrow jigsaw quilt wonderful unforgettable — crème brûlée I a of`)

// chance is a job drawn at random but the same for the same number: blocks of all shapes, stocks, printers and limits.
type chance struct {
	*rand.Rand
	settings *config.Settings
	paper    []intake.Paper
}

func newChance(t testing.TB, n uint64) *chance {
	c := &chance{Rand: rand.New(rand.NewPCG(n, 7141))}
	var list problem.List
	c.settings, list = config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), Flags: c.flags()})
	if list.Errors() > 0 {
		t.Fatalf("job %d: %v", n, list)
	}
	c.settings.Effort = c.IntN(3) * 10
	if c.IntN(3) == 0 { // a printer for narrow stock beside the one of every day
		c.settings.Printers = append([]config.Printer{{
			Name: "narrow", Narrowest: 3 * measure.Inch, Widest: 4 * measure.Inch, Shortest: 5 * measure.Inch, Longest: 12 * measure.Inch,
			Margins: measure.Same(measure.Inch / 8), Scale: [2]float64{1, 1},
		}}, c.settings.Printers...)
	}
	for i := range c.settings.Stocks {
		s := &c.settings.Stocks[i]
		switch c.IntN(4) {
		case 0:
			s.Sheets = []config.Sheet{{Size: measure.Size{W: 12 * measure.Inch, H: 12 * measure.Inch}, Count: -1, Price: 120}}
		case 1:
			s.Sheets = append(s.Sheets, config.Sheet{Size: measure.Size{W: 6 * measure.Inch, H: 8 * measure.Inch}, Count: c.IntN(4), Price: 40})
		}
		if c.IntN(3) == 0 {
			c.paper = append(c.paper, intake.Paper{Stock: s.Name, Size: measure.Size{W: c.eighths(28, 60), H: c.eighths(40, 88)}, Count: 1 + c.IntN(2), Leftover: true})
		}
	}
	return c
}

func (c *chance) flags() map[string]string {
	return map[string]string{"gap": []string{"auto", "0", "1/8 in", "1/4 in"}[c.IntN(4)], "units": []string{"in", "mm"}[c.IntN(2)], "trimmer.by": []string{"marks", "measure", "none"}[c.IntN(3)]}
}

// eighths is a length between two counts of eighths of an inch.
func (c *chance) eighths(from, to int) measure.Length {
	return measure.Length(from+c.IntN(to-from+1)) * measure.Inch / 8
}

func (c *chance) blocks(n int) []intake.Block {
	var out []intake.Block
	for i := range n {
		owner := c.IntN(5)
		stock := c.settings.Stocks[c.IntN(len(c.settings.Stocks))]
		b := intake.Block{
			Place: problem.Place{File: "random.csv", Row: i + 2}, Code: fmt.Sprintf("%c-%d", 'A'+owner, i+1), Owner: fmt.Sprintf("Owner %c", 'A'+owner),
			Space: measure.Size{W: c.eighths(12, 40), H: c.eighths(7, 32)}, Tuck: stock.Tuck, Inset: stock.Inset, Stock: stock.Name,
			Font: []string{"Serif", "Sans", "Typewriter", "Roman"}[c.IntN(4)], Type: c.settings.Type, Copies: 1 + c.IntN(8)/7, Turn: c.IntN(5) > 0,
			Back: config.Colour{R: 255, G: 255, B: 255},
		}
		b.Type.Align = config.Align(c.IntN(4))
		b.Type.Vertical = config.Vertical(c.IntN(3))
		if c.IntN(8) == 0 {
			b.Space = measure.Size{W: 9 * measure.Inch, H: 3 * measure.Inch / 2}
		}
		if c.IntN(6) == 0 {
			b.Tuck = measure.Sides{Left: c.eighths(0, 4), Bottom: c.eighths(0, 4)}
		}
		area := float64(b.Space.W) / float64(measure.Inch) * float64(b.Space.H) / float64(measure.Inch)
		b.Text = c.text(1 + int(area*float64(1+c.IntN(7))))
		if c.IntN(5) == 0 {
			b.Title = "Plums & a song"
		}
		if c.IntN(4) == 0 {
			b.End = "Odile, Pim · Harbour steps · 4 July 2026"
		}
		out = append(out, b)
	}
	return out
}

func (c *chance) text(n int) []intake.Paragraph {
	var p intake.Paragraph
	run := intake.Run{}
	var out []intake.Paragraph
	for i := range n {
		if c.IntN(12) == 0 && run.Text != "" {
			p = append(p, run)
			run = intake.Run{Bold: c.IntN(3) == 0, Italic: c.IntN(3) == 0}
		}
		run.Text += words[c.IntN(len(words))]
		if i < n-1 && c.IntN(25) == 0 {
			out = append(out, append(p, run))
			p, run = nil, intake.Run{}
		} else if i < n-1 {
			run.Text += " "
		}
	}
	return append(out, append(p, run))
}

// TestRandomJobsKeepTheirPromises checks the plans of many random jobs by the plain checker.
func TestRandomJobsKeepTheirPromises(t *testing.T) {
	jobs, placed, measured, cuts := 150, 0, 0, 0
	switch {
	case testing.Short():
		jobs = 30
	case !longtests.Asked():
		jobs = 60
	}
	for n := range jobs {
		c := newChance(t, uint64(n))
		blocks := c.blocks(3 + c.IntN(25))
		set, held, _ := typeset.Set(context.Background(), fonts(), blocks, c.settings, nil)
		laid, more, problems := Arrange(context.Background(), set, c.paper, c.settings, nil)
		laid.Held = slices.Concat(held, more)
		laid.Number(1 + c.IntN(9))
		if len(more) != problems.Errors() {
			t.Errorf("job %d: %d blocks held, %d errors", n, len(more), problems.Errors())
		}
		for _, fault := range plan.Check(laid, blocks, c.settings) {
			t.Errorf("job %d: %s", n, fault)
		}
		for _, p := range laid.Pieces {
			placed += len(p.Blocks())
			for q := range p.Whole.Cuts {
				cuts++
				if len(q.Cut.Marks) == 0 {
					measured++
				}
			}
		}
		if t.Failed() && n > 5 {
			t.FailNow()
		}
	}
	t.Logf("%d blocks on the pieces of %d jobs; %d cuts, %d of them measured", placed, jobs, cuts, measured)
	if placed < 10*jobs {
		t.Errorf("only %d blocks were placed in %d jobs: the test does not test much", placed, jobs)
	}
}
