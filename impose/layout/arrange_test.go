package layout

import (
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// plain are settings as they are without any configuration.
func plain(t testing.TB, flags map[string]string) *config.Settings {
	t.Helper()
	s, list := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir(), Flags: flags})
	if list.Errors() > 0 {
		t.Fatal(list)
	}
	return s
}

func note(s *config.Settings, code, stock string, w, h measure.Length) intake.Block {
	st, _ := s.Stock(stock)
	return intake.Block{Code: code, Owner: "Odile Hart", Space: measure.Size{W: w, H: h}, Tuck: st.Tuck, Inset: st.Inset, Stock: stock, Font: "Serif",
		Type: s.Type, Copies: 1, Turn: true, Text: []intake.Paragraph{{{Text: "Plums on the quay."}}}, Back: config.Colour{R: 255, G: 255, B: 255}}
}

func arrange(t *testing.T, s *config.Settings, blocks []intake.Block, paper ...intake.Paper) (*plan.Plan, []intake.Held) {
	t.Helper()
	set, held, list := typeset.Set(fonts(), blocks, s, nil)
	if len(held) > 0 {
		t.Fatal(list)
	}
	laid, held, _ := Arrange(set, paper, s, nil)
	laid.Hold(held)
	for _, fault := range plan.Check(laid, blocks, s) {
		t.Error(fault)
	}
	return laid, held
}

const in = measure.Inch

// A whole area of a thousand sheets must not overflow on its way to a share.
func TestFilledOfManySheets(t *testing.T) {
	s := plain(t, nil)
	s.Effort = 0
	b := note(s, "OH-1", "cardstock", 8*in, 10*in)
	b.Copies = 900
	laid, _ := arrange(t, s, []intake.Block{b})
	if u := laid.Stocks[0]; u.NewSheets != 900 || u.Filled != 0.856 { // 80 of 93.5 square inches
		t.Errorf("%+v", u)
	}
}

// Common practice: a 12 x 12 in sheet is three 4 in strips with nothing left for a printer that pulls 4 in, a letter sheet two
// and an offcut of half an inch.
func TestPanelsOfANarrowPrinter(t *testing.T) {
	s := plain(t, map[string]string{"gap": "0"})
	s.Printers = []config.Printer{{Name: "narrow", Narrowest: 3 * in, Widest: 4 * in, Shortest: 5 * in, Longest: 12 * in, Margins: measure.Same(in / 8), Scale: [2]float64{1, 1}}}
	for i := range s.Stocks {
		s.Stocks[i].Printers = nil
	}
	for _, c := range []struct {
		sheet  measure.Size
		panels int
		spare  measure.Size
	}{{measure.Size{W: 12 * in, H: 12 * in}, 3, measure.Size{}}, {measure.Size{W: 17 * in / 2, H: 11 * in}, 2, measure.Size{W: in / 2, H: 11 * in}}} {
		s.Stocks[2].Sheets = []config.Sheet{{Size: c.sheet, Count: -1}}
		b := note(s, "OH-1", s.Stocks[2].Name, 4*in, c.sheet.H)
		b.Copies = c.panels
		laid, held := arrange(t, s, []intake.Block{b})
		if len(held) > 0 || len(laid.Pieces) != c.panels || laid.Stocks[0].NewSheets != 1 {
			t.Errorf("%v: %d pieces, held %v", c.sheet, len(laid.Pieces), held)
		}
		for _, p := range laid.Pieces {
			if p.Source.Kind != plan.FromPanel || p.Width != 4*in || p.Printer != "narrow" {
				t.Errorf("%v: %+v", c.sheet, p.Source)
			}
		}
		var spare measure.Size
		for _, sp := range laid.Spares {
			spare = sp.Rect.Size()
			if sp.Keep {
				t.Errorf("the offcut %v does not feed", spare)
			}
		}
		if spare != c.spare {
			t.Errorf("%v: spare %v, not %v", c.sheet, spare, c.spare)
		}
	}
}

func TestNoPlace(t *testing.T) {
	s := plain(t, nil)
	tooWide := note(s, "OH-1", "cardstock", 9*in, 9*in)
	fine := note(s, "OH-2", "cardstock", 4*in, 2*in)
	set, _, _ := typeset.Set(fonts(), []intake.Block{tooWide, fine}, s, nil)
	laid, held, list := Arrange(set, nil, s, nil)
	if len(held) != 1 || held[0].Code != "OH-1" || !strings.Contains(list[0].What, "too large for the sheets of “cardstock”") || !strings.Contains(list[0].Cause, "8 1/2 x 11 in") {
		t.Errorf("%+v", list)
	}
	if len(laid.Pieces) != 1 || len(laid.Pieces[0].Blocks) != 1 {
		t.Errorf("the other block is not laid")
	}

	for i := range s.Stocks { // one sheet at hand, blocks for two: whole blocks are held, not single copies
		s.Stocks[i].Sheets[0].Count = 1
	}
	many := note(s, "OH-3", "cardstock", 4*in, 5*in)
	many.Copies = 3
	few := note(s, "OH-4", "cardstock", 4*in, 5*in)
	few.Copies = 2
	set, _, _ = typeset.Set(fonts(), []intake.Block{many, few}, s, nil)
	laid, held, list = Arrange(set, nil, s, nil)
	laid.Hold(held)
	if len(held) != 1 || !strings.Contains(list[0].What, "do not suffice") {
		t.Errorf("%+v", list)
	}
	for _, fault := range plan.Check(laid, []intake.Block{many, few}, s) {
		t.Error(fault)
	}

	s.Printers[0].Takes = []string{"vellum"}
	set, _, _ = typeset.Set(fonts(), []intake.Block{fine}, s, nil)
	if _, _, list = Arrange(set, nil, s, nil); len(list) != 1 || !strings.Contains(list[0].What, "no printer takes") {
		t.Errorf("%+v", list)
	}
}

// Leftovers are used before new sheets, whichever way round they feed, and are named in the plan.
func TestLeftoverFirst(t *testing.T) {
	s := plain(t, nil)
	b := note(s, "OH-1", "vellum", 4*in, 2*in)
	laid, _ := arrange(t, s, []intake.Block{b}, intake.Paper{Stock: "vellum", Size: measure.Size{W: 11 * in, H: 4 * in}, Count: 1, Leftover: true})
	p := laid.Pieces[0]
	if len(laid.Pieces) != 1 || p.Source.Kind != plan.FromLeftover || p.Width != 4*in || p.Height != 11*in || laid.Stocks[0].NewSheets != 0 {
		t.Errorf("%+v", p.Source)
	}
	if kept := laid.Kept("vellum"); len(kept) != 1 || kept[0].H < 8*in {
		t.Errorf("left %v", kept)
	}
}

// The checker must see what is wrong: each of these breaks one promise of a plan that keeps them all.
func TestCheckSeesFaults(t *testing.T) {
	s := plain(t, nil)
	blocks := []intake.Block{note(s, "OH-1", "vellum", 4*in, 2*in), note(s, "OH-2", "vellum", 3*in, 2*in), note(s, "OH-3", "cardstock", 4*in, 2*in)}
	blocks[1].Copies = 2
	faults := map[string]func(*plan.Plan){
		"overlap": func(p *plan.Plan) {
			b := &p.Pieces[0].Blocks[0]
			b.X, b.Y = p.Pieces[0].Blocks[1].X, p.Pieces[0].Blocks[1].Y
		},
		"leaves the piece":    func(p *plan.Plan) { p.Pieces[0].Blocks[0].X = -1 },
		"is there 0 times":    func(p *plan.Plan) { p.Pieces[1].Blocks = nil },
		"is there 2 times":    func(p *plan.Plan) { p.Pieces[0].Blocks[0].Copy = 2; p.Pieces[0].Blocks[0].Code = "OH-2" },
		"the cuts give":       func(p *plan.Plan) { p.Pieces[0].Cuts[0].At++ },
		"which is not there":  func(p *plan.Plan) { p.Pieces[0].Cuts[1].Of = "P9" },
		"ink box of":          func(p *plan.Plan) { p.Pieces[0].Blocks[0].Ink.Y++ },
		"leaves its ink box":  func(p *plan.Plan) { p.Pieces[0].Blocks[0].Setting.Ink.X -= in },
		"of OH-1 lies where":  func(p *plan.Plan) { s.Printers[0].Margins.Top = 3 * in },
		"of cut 1 lies where": func(p *plan.Plan) { s.Printers[0].Margins = measure.Same(3 * in) },
		"has no ink":          func(p *plan.Plan) { p.Pieces[0].Marks[0].Weight = 0 },
		"on what is cut":      func(p *plan.Plan) { m := &p.Pieces[0].Marks[0]; m.X1, m.X2 = m.X1+90*in, m.X2+90*in },
		"a mark of no cut":    func(p *plan.Plan) { p.Pieces[0].Marks[0].Cut = 99 },
		"comes as number":     func(p *plan.Plan) { p.Pieces[0].Cuts[0].N = 7 },
		"touches block": func(p *plan.Plan) {
			m := &p.Pieces[0].Marks[0]
			m.X1, m.X2, m.Y1, m.Y2 = shiftTo(p.Pieces[0].Blocks[0].Rect(), *m)
		},
		"not beside": func(p *plan.Plan) {
			m := &p.Pieces[0].Marks[0]
			m.X1, m.X2, m.Y1, m.Y2 = m.X1+2, m.X2+2, m.Y1+2, m.Y2+2
		},
		"and measure is":             func(p *plan.Plan) { p.Pieces[0].Marks = nil },
		"does not pull":              func(p *plan.Plan) { s.Printers[0].Widest = 4 * in },
		"longer than":                func(p *plan.Plan) { s.Trimmer.Longest = 4 * in },
		"to hold":                    func(p *plan.Plan) { s.Trimmer.Holds = 9 * in },
		"not as large as its source": func(p *plan.Plan) { p.Pieces[0].Source.Width-- },
		"is unknown":                 func(p *plan.Plan) { p.Pieces[0].Blocks[0].Code = "XX-1" },
		"is turned":                  func(p *plan.Plan) { blocks[0].Turn = false; p.Pieces[0].Blocks[0].Turned = true },
	}
	for want, spoil := range faults {
		s = plain(t, nil)
		blocks[0].Turn = true
		laid, _ := arrange(t, s, blocks)
		spoil(laid)
		if found := strings.Join(plan.Check(laid, blocks, s), "\n"); !strings.Contains(found, want) {
			t.Errorf("%s: the checker says %q", want, found)
		}
	}
}

func shiftTo(r measure.Rect, m plan.Mark) (x1, x2, y1, y2 measure.Length) {
	return r.X + in, r.X + in + m.X2 - m.X1, r.Y + in, r.Y + in + m.Y2 - m.Y1
}

// The plan's JSON has the keys of the example that was made by hand, at every level, and no others.
func TestPlanFile(t *testing.T) {
	data, err := os.ReadFile(filepath.Join("..", "..", "..", "shared", "example-plan.json"))
	if err != nil {
		t.Skip("the example plan is not at hand:", err)
	}
	var want, got any
	if err := json.Unmarshal(data, &want); err != nil {
		t.Fatal(err)
	}
	s := plain(t, nil)
	laid, _ := arrange(t, s, []intake.Block{note(s, "OH-1", "vellum", 4*in, 2*in), note(s, "OH-2", "vellum", 3*in, 2*in)})
	laid.Precuts = append(laid.Precuts, plan.Precut{})
	data, err = json.Marshal(laid)
	if err != nil {
		t.Fatal(err)
	}
	if err := json.Unmarshal(data, &got); err != nil {
		t.Fatal(err)
	}
	sameKeys(t, "plan", want, got)
}

func sameKeys(t *testing.T, at string, want, got any) {
	t.Helper()
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		if !ok {
			t.Errorf("%s is %T", at, got)
			return
		}
		for k := range w {
			if _, ok := g[k]; !ok {
				t.Errorf("%s lacks %s", at, k)
				continue
			}
			sameKeys(t, at+"."+k, w[k], g[k])
		}
		for k := range g {
			if _, ok := w[k]; !ok {
				t.Errorf("%s has %s besides", at, k)
			}
		}
	case []any:
		g, ok := got.([]any)
		if !ok || len(w) > 0 && len(g) == 0 {
			t.Errorf("%s is %T of %d", at, got, len(g))
			return
		}
		if len(w) > 0 {
			sameKeys(t, at+"[0]", w[0], g[0])
		}
	default:
		if g, ok := got.(float64); ok != (func() bool { _, ok := want.(float64); return ok })() {
			t.Errorf("%s is %v", at, g)
		}
	}
}
