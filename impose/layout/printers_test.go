package layout

import (
	"context"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// twoPrinters are a printer for strips of 4 in that is there for vellum and stickers, and one for everything.
func twoPrinters(t *testing.T) *config.Settings {
	t.Helper()
	s, problems := config.Load(config.Source{File: "../../samples/two-printers.yaml", Home: t.TempDir()})
	if s == nil {
		t.Fatal(problems)
	}
	return s
}

// TestOwnPrinter: with the sample's two printers every block of vellum that fits the narrow one goes there, as 4 in panels, and
// the others go to the printer that takes them; what is not the narrow printer's stock stays away from it.
func TestOwnPrinter(t *testing.T) {
	s := twoPrinters(t)
	blocks := []intake.Block{
		note(s, "OH-1", "vellum", 4*in, 2*in), note(s, "OH-2", "vellum", 3*in, 2*in), note(s, "OH-3", "vellum", 4*in, 9*in),
		note(s, "OH-4", "vellum", 5*in, 6*in), note(s, "OH-5", "vellum", 9*in, 3*in/2), note(s, "OH-6", "cardstock", 4*in, 2*in),
	}
	blocks[4].Turn = true
	upright := note(s, "OH-7", "vellum", 8*in, 3*in/2) // may not be turned: only the wide printer has it
	upright.Turn = false
	blocks = append(blocks, upright)
	laid, held := arrange(t, s, blocks)
	if len(held) > 0 {
		t.Fatalf("held: %+v", held)
	}
	want := map[string]string{"OH-1": "small", "OH-2": "small", "OH-3": "small", "OH-4": "office", "OH-5": "small", "OH-6": "office", "OH-7": "office"}
	seen := map[int]string{}
	for _, p := range laid.Pieces {
		for _, b := range p.Blocks() {
			if p.Printer != want[b.Block.Code] {
				t.Errorf("%s goes to “%s”", b.Block.Code, p.Printer)
			}
		}
		if p.Printer == "small" && p.Size().W != 4*in {
			t.Errorf("a piece of %v for the narrow printer", p.Size())
		}
		if by := seen[p.Source.Sheet]; p.Stock == "vellum" && by != "" && by != p.Printer {
			t.Errorf("sheet %d goes to both printers", p.Source.Sheet)
		}
		if p.Stock == "vellum" {
			seen[p.Source.Sheet] = p.Printer
		}
	}
}

// TestOwnPrinterOutOfPaper: when the narrow printer's paper is used up, the rest goes to the wide one, on what is left.
func TestOwnPrinterOutOfPaper(t *testing.T) {
	s := twoPrinters(t)
	for i := range s.Stocks {
		if s.Stocks[i].Name == "vellum" {
			s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: 4 * in, H: 6 * in}, Count: 1, Leftover: true}, {Size: measure.Size{W: 31 * in / 8, H: 6 * in}, Count: 1}}
		}
	}
	a, b := note(s, "OH-1", "vellum", 7*in/2, 4*in), note(s, "OH-2", "vellum", 7*in/2, 4*in)
	laid, held := arrange(t, s, []intake.Block{a, b})
	if len(held) > 0 || len(laid.Pieces) != 2 || laid.Stocks[0].NewSheets != 1 {
		t.Fatalf("%+v, held %+v", laid.Stocks, held)
	}
	if laid.Pieces[0].Printer != "small" || laid.Pieces[1].Printer != "office" || laid.Pieces[1].Source.Sheet != 2 {
		t.Errorf("%+v", laid.Pieces)
	}
}

// TestOwnPrintersAtRandom gives the narrow printer of random jobs stocks of its own: the checker must find nothing, and no
// sheet may be promised twice.
func TestOwnPrintersAtRandom(t *testing.T) {
	own := 0
	for n := range 40 {
		c := newChance(t, uint64(4000+n))
		c.settings.Printers = append([]config.Printer{{
			Name: "own", Narrowest: 3 * in, Widest: 4 * in, Shortest: 5 * in, Longest: 12 * in,
			Margins: measure.Same(in / 8), Scale: [2]float64{1, 1}, Takes: []string{"vellum", "cardstock"},
		}}, c.settings.Printers...)
		for i := range c.settings.Stocks {
			for k := range c.settings.Stocks[i].Sheets {
				if c.IntN(2) == 0 {
					c.settings.Stocks[i].Sheets[k].Count = 1 + c.IntN(4)
				}
			}
		}
		blocks := c.blocks(15)
		laid, _ := planned(blocks, c.paper, c.settings)
		for _, fault := range plan.Check(laid, blocks, c.settings) {
			t.Errorf("job %d: %s", n, fault)
		}
		sheets := map[string]map[int]measure.Size{}
		for _, p := range laid.Pieces {
			if p.Printer == "own" {
				own++
			}
			if sheets[p.Stock] == nil {
				sheets[p.Stock] = map[int]measure.Size{}
			}
			if !p.Source.Leftover && p.Source.Panel == nil {
				sheets[p.Stock][p.Source.Sheet] = p.Size()
			}
		}
		for _, stock := range c.settings.Stocks {
			for _, sh := range intake.AtHand(stock, c.paper) {
				used := 0
				for _, size := range sheets[stock.Name] {
					if size == sh.Size {
						used++
					}
				}
				if !sh.Leftover && sh.Count >= 0 && used > sh.Count {
					t.Errorf("job %d: %d sheets of %v, and %d are at hand", n, used, sh.Size, sh.Count)
				}
			}
		}
	}
	if own < 40 {
		t.Errorf("only %d pieces went to the own printer", own)
	}
}

// TestNearestWayOut: what fits no printer says what would help, and what it says does help.
func TestNearestWayOut(t *testing.T) {
	refused := func(s *config.Settings, b intake.Block) problem.Problem {
		t.Helper()
		set, held, list := typeset.Set(context.Background(), fonts(), []intake.Block{b}, s, nil)
		if len(held) > 0 {
			t.Fatal(list)
		}
		_, held, list = Arrange(context.Background(), set, nil, s, nil)
		if len(held) != 1 || len(list) != 1 {
			t.Fatalf("%v is laid", b.Trim())
		}
		return list[0]
	}
	laid := func(s *config.Settings, b intake.Block) {
		t.Helper()
		if _, held := arrange(t, s, []intake.Block{b}); len(held) > 0 {
			t.Errorf("and yet it does not fit: %+v", held)
		}
	}

	s := plain(t, nil)
	s.Printers = []config.Printer{{Name: "narrow", Narrowest: 4 * in, Widest: 4 * in, Shortest: 5 * in, Longest: 12 * in, Margins: measure.Same(in / 8), Scale: [2]float64{1, 1}}}
	for i := range s.Stocks {
		s.Stocks[i].Sheets = []config.Sheet{{Size: measure.Size{W: 12 * in, H: 12 * in}, Count: -1}}
	}
	b := note(s, "OH-1", "vellum", 9*in, 5*in)
	b.Turn = true
	if p := refused(s, b); !strings.Contains(p.Hint, "make the space no larger than 9 x 3 1/2 in") || strings.Contains(p.Hint, "turned") {
		t.Errorf("%+v", p)
	}
	b.Space.H = 7 * in / 2
	laid(s, b)
	b.Turn = false
	if p := refused(s, b); !strings.HasPrefix(p.Hint, "let it be turned") || !strings.Contains(p.Hint, "4 x 3 1/2 in") {
		t.Errorf("%+v", p)
	}

	s = twoPrinters(t)
	s.Printers[1].Takes = []string{"cardstock"}
	b = note(s, "OH-2", "vellum", 6*in, 6*in)
	b.Tuck = measure.Sides{}
	p := refused(s, b)
	if !strings.HasPrefix(p.Hint, "let the printer “office” take “vellum”, or choose “cardstock”") {
		t.Errorf("%+v", p)
	}
	other := b
	other.Stock = "cardstock"
	laid(s, other)
	s.Printers[1].Takes = append(s.Printers[1].Takes, "vellum")
	laid(s, b)
}
