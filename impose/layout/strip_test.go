package layout

import (
	"context"
	"slices"
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

// TestStrips lays random blocks on random pieces. The plain checker must find nothing; what is said to
// remain must be the largest part that is kept; and the promise of how many more would fit must hold when they are laid.
func TestStrips(t *testing.T) {
	laid, single, riding, down, panels := 0, 0, 0, 0, 0
	for n := range 400 {
		c := newChance(t, uint64(3000+n))
		b := c.blocks(1)[0]
		b.Text, b.Title, b.End, b.Copies = c.text(3), "", "", 1
		piece := measure.Size{W: c.eighths(24, 96), H: c.eighths(36, 112)}
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
		if p.Source.Panel != nil {
			panels++
		}
		if c := p.Whole.Cut; c != nil && c.Axis == plan.Down {
			down++
		}
		var parts []measure.Size // that remain, the largest that is kept first
		largest := int64(0)
		for _, whole := range wholes(strip.Plan) {
			for leaf := range whole.Leaves {
				if leaf.Rest() {
					parts = append(parts, leaf.Rect.Size())
				}
				if leaf.Rest() && leaf.Keep {
					largest = max(largest, leaf.Rect.Size().Area())
				}
			}
		}
		if of := strip.Rest; of.Area() < largest || !of.At(0, 0).Empty() && !slices.Contains(parts, of) && !slices.Contains(parts, of.Turn()) {
			t.Errorf("piece %d: the rest is %v of %v", n, of, parts)
		}
		if strip.Feeds != (largest > 0) {
			t.Errorf("piece %d: feeds %v, %d is kept", n, strip.Feeds, largest)
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
	if laid < 100 || single < 20 || riding < 20 || down < 20 || panels < 20 {
		t.Errorf("only %d laid, %d of them with one cut, %d riding, %d cut down first, %d on panels", laid, single, riding, down, panels)
	}
}

// wholes are the pieces and the sheets of a plan before they are cut.
func wholes(p *plan.Plan) []*plan.Part {
	var out []*plan.Part
	for _, piece := range p.Pieces {
		out = append(out, piece.Whole)
	}
	for _, sheet := range p.Sheets {
		out = append(out, sheet.Whole)
	}
	return out
}

// TestNoteOnAWholeSheet: the first cut goes where it leaves the most that still feeds, and what no printer pulls is cut first. Worked
// out by hand for a printer of 8 1/2 in whose pieces are no smaller than 3 1/2 x 5 in.
func TestNoteOnAWholeSheet(t *testing.T) {
	s := plain(t, nil)
	for _, c := range []struct {
		w, h    measure.Length
		piece   measure.Size
		rest    measure.Size
		preCuts int
	}{
		{9 * in, 3 * in / 2, measure.Size{W: 17 * in / 2, H: 11 * in}, measure.Size{W: 13 * in / 2, H: 11 * in}, 0}, // turned, 2 x 9 with its tuck: across would leave 8 1/2 x 2
		{4 * in, 2 * in, measure.Size{W: 17 * in / 2, H: 11 * in}, measure.Size{W: 17 * in / 2, H: 17 * in / 2}, 0}, // 4 x 2 1/2 with its tuck, across
		{4 * in, 2 * in, measure.Size{W: 12 * in, H: 12 * in}, measure.Size{W: 17 * in / 2, H: 12 * in}, 1},         // on a panel of 3 1/2 in, turned
		{8 * in, 5 * in, measure.Size{W: 12 * in, H: 12 * in}, measure.Size{W: 12 * in, H: 13 * in / 2}, 1},
	} {
		b := block("N-1", "Note", c.w, c.h, "vellum", s)
		strip, ok := onStrip(t, b, c.piece, s)
		if !ok {
			t.Errorf("%v on %v is refused", b.Space, c.piece)
			continue
		}
		for _, fault := range plan.Check(strip.Plan, []intake.Block{b}, s) {
			t.Error(fault)
		}
		cuts := 0
		for _, sheet := range strip.Plan.Sheets {
			cuts += sheet.Whole.CutCount()
		}
		if strip.Rest != c.rest && strip.Rest != c.rest.Turn() || !strip.Feeds || cuts != c.preCuts {
			t.Errorf("%v on %v leaves %v (feeds: %v) after %d pre-cuts", b.Space, c.piece, strip.Rest, strip.Feeds, cuts)
		}
	}
}
