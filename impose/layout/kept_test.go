package layout

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// keepSome keeps some copies of a plan's blocks where they lie, and says where that is.
func keepSome(c *chance, p *plan.Plan, blocks []intake.Block) map[string][]string {
	byCode := map[string]*intake.Block{}
	for i := range blocks {
		blocks[i].Kept = nil
		byCode[blocks[i].Code] = &blocks[i]
	}
	at := map[string][]string{}
	for _, piece := range p.Pieces {
		for _, leaf := range piece.Blocks() {
			if c.IntN(3) == 0 {
				b := byCode[leaf.Block.Code]
				b.Kept = append(b.Kept, KeepAt(piece, leaf, piece.Source.Sheet))
				at[b.Code] = append(at[b.Code], lies(piece, leaf))
			}
		}
	}
	return at
}

// lies says where a block lies.
func lies(p *plan.Piece, leaf *plan.Part) string {
	return fmt.Sprint(p.Stock, p.Printer, p.Source.Rect, p.Size(), leaf.Rect, leaf.Block.Turned)
}

// TestKept: blocks that are kept lie where they lay when others went, came or grew; the plan keeps every promise; and whoever is not kept any more
// is told. A place goes through the text of a cell and back.
func TestKept(t *testing.T) {
	kept, jobs := 0, 12
	if longtests.Many() {
		jobs = 400
	}
	for n := range jobs {
		c := newChance(t, uint64(1000+n))
		for i := range c.settings.Stocks {
			if n%2 > 0 { // small leftovers ride
				k := &c.settings.Stocks[i]
				k.Carrier = &config.Carrier{Size: measure.Size{W: 17 * measure.Inch / 2, H: 11 * measure.Inch}, Smallest: measure.Size{W: 2 * measure.Inch, H: 3 * measure.Inch}}
				c.paper = append(c.paper, intake.Paper{Stock: k.Name, Size: measure.Size{W: 5 * measure.Inch, H: c.eighths(24, 40)}, Count: 2, Leftover: true})
			}
		}
		blocks := c.blocks(4 + c.IntN(20))
		set, _, _ := typeset.Set(context.Background(), fonts(), blocks, c.settings, nil)
		before, _, _ := Arrange(context.Background(), set, c.paper, c.settings, nil)
		was := keepSome(c, before, blocks)
		for i := range blocks {
			text := intake.KeptText(blocks[i].Kept)
			again, ok := intake.ParseKept(text)
			if !ok || intake.KeptText(again) != text {
				t.Fatalf("job %d: %q is read as %q", n, text, intake.KeptText(again))
			}
		}
		// Half of the others go; one that is not kept grows.
		blocks = slices.DeleteFunc(slices.Clone(blocks), func(b intake.Block) bool { return b.Kept == nil && c.IntN(2) == 0 })
		for i := range blocks {
			if b := &blocks[i]; b.Kept == nil {
				b.Space.H += measure.Inch / 8
				break
			}
		}
		set, held, _ := typeset.Set(context.Background(), fonts(), blocks, c.settings, nil)
		after, more, problems := Arrange(context.Background(), set, c.paper, c.settings, nil)
		after.Held = slices.Concat(held, more)
		after.Number(1)
		for _, fault := range plan.Check(after, blocks, c.settings) {
			t.Errorf("job %d: %s", n, fault)
		}
		told := map[string]bool{}
		for _, p := range problems {
			if p.Place.Column == "Kept" {
				code, _, _ := strings.Cut(p.What, " ")
				told[code] = true
				t.Logf("job %d: %s: %s", n, p.What, p.Cause)
			}
		}
		now := map[string][]string{}
		for _, piece := range after.Pieces {
			for _, leaf := range piece.Blocks() {
				now[leaf.Block.Code] = append(now[leaf.Block.Code], lies(piece, leaf))
			}
		}
		gone := map[string]bool{}
		for _, h := range after.Held {
			gone[h.Code] = true
		}
		for i := range blocks {
			b := &blocks[i]
			if gone[b.Code] || told[b.Code] {
				continue
			}
			kept += len(b.Kept)
			for _, at := range was[b.Code] {
				if !slices.Contains(now[b.Code], at) {
					t.Errorf("job %d: %s lay at %v, and lies at %v", n, b.Code, at, now[b.Code])
				}
			}
		}
		again, _, _ := Arrange(context.Background(), set, c.paper, c.settings, nil)
		again.Number(1)
		if fmt.Sprint(again.Stocks) != fmt.Sprint(after.Stocks) || len(again.Pieces) != len(after.Pieces) {
			t.Errorf("job %d: laid twice, it is another plan", n)
		}
	}
	t.Logf("%d blocks were kept", kept)
	if kept < jobs {
		t.Errorf("only %d blocks were kept", kept)
	}
}

// TestKeptOrTold: what cannot be kept any more is told with its reason, and laid all the same; and beside what is kept there is room for the others.
func TestKeptOrTold(t *testing.T) {
	inch := measure.Inch
	for name, c := range map[string]struct {
		change func(s *config.Settings, b []intake.Block)
		want   string // "": it is kept
	}{
		"nothing changed":     {func(*config.Settings, []intake.Block) {}, ""},
		"the other grew":      {func(_ *config.Settings, b []intake.Block) { b[1].Space.H += inch }, ""},
		"it grew":             {func(_ *config.Settings, b []intake.Block) { b[0].Space.H += inch / 8 }, "it is not as large as its place any more"},
		"no such sheet":       {func(s *config.Settings, _ []intake.Block) { s.Stocks[0].Sheets[0].Size.W -= inch / 4 }, "no sheet or leftover of 8 1/2 x 11 in is there any more"},
		"another printer":     {func(s *config.Settings, _ []intake.Block) { s.Printers[0].Name = "office" }, "“home” does not pull that piece any more"},
		"narrower printer":    {func(s *config.Settings, _ []intake.Block) { s.Printers[0].Widest = 8 * inch }, "“home” does not pull that piece any more"},
		"a shorter trimmer":   {func(s *config.Settings, _ []intake.Block) { s.Trimmer.Longest = 4 * inch }, "the trimmer cannot make its cuts any more"},
		"a wider margin":      {func(s *config.Settings, _ []intake.Block) { s.Printers[0].Margins = measure.Same(inch) }, "“home” does not print there any more"},
		"not to be turned":    {func(_ *config.Settings, b []intake.Block) { b[0].Turn, b[0].Kept[0].Turned = false, true }, "it lay turned, and must not be turned any more"},
		"two in one place":    {func(_ *config.Settings, b []intake.Block) { b[1].Space, b[1].Kept = b[0].Space, b[0].Kept }, "another block is kept there"},
		"cuts of nothing":     {func(_ *config.Settings, b []intake.Block) { b[0].Kept[0].Cuts[0].At = 40 * inch }, "its cuts do not fit its sheet"},
		"another stock":       {func(s *config.Settings, b []intake.Block) { b[0].Stock = s.Stocks[1].Name }, "it lay on “vellum”"},
		"more places than it": {func(_ *config.Settings, b []intake.Block) { b[0].Kept = append(b[0].Kept, b[0].Kept[0]) }, ""},
	} {
		s := *plain(t, nil)
		s.Effort = 2
		s.Stocks, s.Printers = slices.Clone(s.Stocks), slices.Clone(s.Printers)
		stock := &s.Stocks[0]
		stock.Sheets = slices.Clone(stock.Sheets)
		stock.Tuck = measure.Sides{}
		var blocks []intake.Block
		for i := range 4 {
			blocks = append(blocks, intake.Block{Place: problem.Place{File: "x.csv", Row: i + 2}, Code: fmt.Sprintf("AL-%d", i+1), Owner: "Ann Lo", Unit: measure.In,
				Space: measure.Size{W: 4 * inch, H: measure.Length(2+i) * inch / 2}, Stock: stock.Name, Font: "Serif", Type: s.Type, Copies: 1, Turn: true,
				Inset: measure.Same(inch / 16), Text: []intake.Paragraph{{{Text: "We rowed out."}}}})
		}
		lay := func() (*plan.Plan, problem.List) {
			set, held, _ := typeset.Set(context.Background(), fonts(), blocks, &s, nil)
			p, more, found := Arrange(context.Background(), set, nil, &s, nil)
			p.Held = append(held, more...)
			for _, fault := range plan.Check(p, blocks, &s) {
				t.Errorf("%s: %s", name, fault)
			}
			return p, found
		}
		before, _ := lay()
		piece := before.Pieces[0]
		leaf := piece.Blocks()[0]
		at := slices.IndexFunc(blocks, func(b intake.Block) bool { return b.Code == leaf.Block.Code })
		was := lies(piece, leaf)
		blocks[0], blocks[at] = blocks[at], blocks[0]
		blocks[0].Kept = []intake.Kept{KeepAt(piece, leaf, 1)}
		c.change(&s, blocks)
		after, found := lay()
		var told string
		for _, p := range found {
			if p.Place.Column == "Kept" {
				told = p.Cause
			}
		}
		if told != c.want {
			t.Errorf("%s: told %q, not %q", name, told, c.want)
		}
		for _, piece := range after.Pieces {
			for _, leaf := range piece.Blocks() {
				if leaf.Block.Code == blocks[0].Code && c.want == "" && lies(piece, leaf) != was {
					t.Errorf("%s: it lay at %s, and lies at %s", name, was, lies(piece, leaf))
				}
			}
		}
		if len(after.Held) == 0 && len(after.Pieces) > len(before.Pieces) && c.want == "" {
			t.Errorf("%s: %d pieces, there were %d", name, len(after.Pieces), len(before.Pieces))
		}
	}
}

// TestKeptWherePaperIsShort: the sheet that a kept block lies on is taken; and where another copy of a kept block finds no place, the block is held with
// all its copies, and the sheet is there for others.
func TestKeptWherePaperIsShort(t *testing.T) {
	inch := measure.Inch
	lay := func(sheets int, keep *intake.Kept, blocks ...intake.Block) (string, *plan.Plan) {
		s := *plain(t, nil)
		s.Effort = 2
		s.Stocks = slices.Clone(s.Stocks)
		s.Stocks[2].Sheets = []config.Sheet{{Size: s.Stocks[2].Sheets[0].Size, Count: sheets}}
		if keep != nil {
			blocks[0].Kept = []intake.Kept{*keep}
		}
		set, _, _ := typeset.Set(context.Background(), fonts(), blocks, &s, nil)
		p, held, _ := Arrange(context.Background(), set, nil, &s, nil)
		p.Held = held
		for _, fault := range plan.Check(p, blocks, &s) {
			t.Error(fault)
		}
		said := ""
		for _, piece := range p.Pieces {
			for _, leaf := range piece.Blocks() {
				said += leaf.Block.Code + " "
			}
		}
		for _, h := range held {
			said += "-" + h.Code + " "
		}
		return said, p
	}
	s := plain(t, nil)
	small, large, two := note(s, "S-1", "cardstock", 4*inch, 2*inch), note(s, "L-1", "cardstock", 8*inch, 9*inch), note(s, "S-1", "cardstock", 7*inch, 6*inch)
	_, p := lay(1, nil, small)
	at := KeepAt(p.Pieces[0], p.Pieces[0].Blocks()[0], 1)
	if said, _ := lay(1, &at, small, large); said != "S-1 -L-1 " {
		t.Errorf("with one sheet: %s", said)
	}
	if said, _ := lay(2, &at, small, large); said != "S-1 L-1 " {
		t.Errorf("with two sheets: %s", said)
	}
	_, p = lay(2, nil, two)
	at = KeepAt(p.Pieces[0], p.Pieces[0].Blocks()[0], 1)
	two.Copies = 2
	small.Code = "O-1"
	if said, _ := lay(1, &at, two, small); said != "O-1 -S-1 " {
		t.Errorf("with a sheet for one of two copies: %s", said)
	}
}
