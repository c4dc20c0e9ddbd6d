package layout

import (
	"context"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

func onStrip(t *testing.T, b intake.Block, piece measure.Size, s *config.Settings) (*Strip, bool) {
	t.Helper()
	set, _, _ := typeset.Set(context.Background(), fonts(), []intake.Block{b}, s, nil)
	if len(set) != 1 {
		return nil, false
	}
	strip, bad := OnStrip(&set[0], piece, s)
	if bad != nil {
		if bad.What == "" || bad.Cause == "" || bad.Hint == "" {
			t.Errorf("a refusal that says too little: %+v", *bad)
		}
		return nil, false
	}
	return strip, true
}

// TestStripOfTheBrief is the example that the command's help gives: 4 x 2 in with a tuck of 1/2 in on a vellum strip of 4 x 7 1/2 in
// takes one cut, leaves 4 x 5 in, which still feeds, and after another one 4 x 2 1/2 in, which does not.
func TestStripOfTheBrief(t *testing.T) {
	s, _ := config.Load(config.Source{Work: t.TempDir(), Home: t.TempDir()})
	b := block("N-1", "Note", 4*measure.Inch, 2*measure.Inch, "vellum", s)
	strip, ok := onStrip(t, b, measure.Size{W: 4 * measure.Inch, H: 15 * measure.Inch / 2}, s)
	if !ok {
		t.Fatal("refused")
	}
	p := strip.Plan.Pieces[0]
	if c := p.Whole.Cut; p.Whole.CutCount() != 1 || c.Axis != plan.Across || c.At != 5*measure.Inch/2 || len(c.Marks) != 0 {
		t.Errorf("%d cuts, the first %+v", p.Whole.CutCount(), c)
	}
	if strip.Rest != (measure.Size{W: 4 * measure.Inch, H: 5 * measure.Inch}) || !strip.Feeds || strip.More != 1 ||
		strip.Last != (measure.Size{W: 4 * measure.Inch, H: 5 * measure.Inch / 2}) || strip.Why == "" {
		t.Errorf("%+v", *strip)
	}
}

func block(code, owner string, w, h measure.Length, stock string, s *config.Settings) intake.Block {
	t, _ := s.Stock(stock)
	return intake.Block{Code: code, Owner: owner, Space: measure.Size{W: w, H: h}, Tuck: t.Tuck, Inset: t.Inset, Stock: stock,
		Font: "Serif", Type: s.Type, Copies: 1, Turn: true, Back: config.Colour{R: 255, G: 255, B: 255},
		Text: []intake.Paragraph{{{Text: "Plums."}}}}
}

// TestStrips lays random blocks on random pieces. The plain checker must find nothing; the first cut across the whole piece
// must leave the rest that was promised; and the promise of how many more would fit must hold when they are laid.
func TestStrips(t *testing.T) {
	laid, single, riding := 0, 0, 0
	for n := range 400 {
		c := newChance(t, uint64(3000+n))
		b := c.blocks(1)[0]
		b.Text, b.Title, b.End, b.Copies = c.text(3), "", "", 1
		piece := measure.Size{W: c.eighths(24, 68), H: c.eighths(36, 112)}
		if n%4 == 0 {
			for i := range c.settings.Stocks {
				c.settings.Stocks[i].Carrier = &config.Carrier{Size: c.settings.Guide, Smallest: measure.Size{W: 2 * measure.Inch, H: 2 * measure.Inch}}
			}
			piece = measure.Size{W: c.eighths(20, 40), H: c.eighths(20, 60)}
		}
		if n%3 == 0 {
			piece.W = b.Trim().W
		}
		strip, ok := onStrip(t, b, piece, c.settings)
		if !ok {
			continue
		}
		laid++
		if strip.Plan.Pieces[0].Carrier != nil {
			riding++
		}
		for _, fault := range plan.Check(strip.Plan, []intake.Block{b}, c.settings) {
			t.Errorf("piece %d: %s", n, fault)
		}
		p := strip.Plan.Pieces[0]
		if p.Whole.CutCount() == 1 {
			single++
		}
		size := p.Size()
		end := size.H
		if c := p.Whole.Cut; c != nil && c.Axis == plan.Across && c.At > p.Blocks()[0].Rect.Y {
			end = c.At
		}
		if want := (measure.Size{W: size.W, H: size.H - end}); strip.Rest != want && strip.Rest != want.Turn() {
			t.Errorf("piece %d: cut at %v, the rest is %v", n, end, strip.Rest)
		}
		for q := range p.Whole.Cuts {
			for _, m := range q.Cut.Marks {
				if m.Y2 > end && strip.Feeds {
					t.Errorf("piece %d: a mark on the rest", n)
				}
			}
		}
		rest := strip.Rest
		for k := range strip.More + 1 {
			again, ok := onStrip(t, b, rest, c.settings)
			if ok != (k < strip.More) {
				t.Errorf("piece %d: %d more were promised, and number %d is laid: %v", n, strip.More, k+1, ok)
			}
			if !ok {
				break
			}
			rest = again.Rest
		}
		if rest != strip.Last {
			t.Errorf("piece %d: %v remains, %v was promised", n, rest, strip.Last)
		}
	}
	if laid < 100 || single < 20 || riding < 20 {
		t.Errorf("only %d laid, %d of them with one cut, %d riding", laid, single, riding)
	}
}
