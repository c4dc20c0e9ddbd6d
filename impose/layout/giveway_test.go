package layout

import (
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/pack"
	"tuckmark/intake"
)

// TestGiveWay: the insets that are needed, worked out by hand for margins of 1/8 in, and 1/2 in at the trailing edge, and an inset of 1/8 in.
func TestGiveWay(t *testing.T) {
	s := plain(t, nil)
	letter := []config.Sheet{{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Count: 1}}
	eighth := measure.Same(in / 8)
	for _, c := range []struct {
		name   string
		size   measure.Size
		align  config.Align
		middle config.Vertical
		turn   bool
		want   measure.Sides // the inset
		say    string        // in the note; "": there is none
	}{
		{"a block that fits", measure.Size{W: 4 * in, H: 2 * in}, config.Left, config.Top, true, eighth, ""},
		{"as long as may be without", measure.Size{W: 85 * in / 8, H: in / 2}, config.Left, config.Top, true, eighth, ""},
		{"a title strip, turned: its right edge is the trailing one", measure.Size{W: 11 * in, H: in / 2}, config.Left, config.Top, true,
			measure.Sides{Left: in / 8, Top: in / 8, Right: in / 2, Bottom: in / 8}, "the text stays 1/2 in from the right edge"},
		{"centred, it stays in the middle", measure.Size{W: 11 * in, H: in / 2}, config.Centre, config.Top, true,
			measure.Sides{Left: in / 2, Top: in / 8, Right: in / 2, Bottom: in / 8}, "1/2 in from the left edge and 1/2 in from the right edge"},
		{"as large as the sheet", measure.Size{W: 17 * in / 2, H: 11 * in}, config.Left, config.Top, false,
			measure.Sides{Left: in / 8, Top: in / 8, Right: in / 8, Bottom: in / 2}, "1/2 in from the lower edge"},
		{"longer than the sheet", measure.Size{W: 11*in + 1, H: in / 2}, config.Left, config.Top, true, eighth, ""},
		{"must not be turned", measure.Size{W: 11 * in, H: in / 2}, config.Left, config.Top, false, eighth, ""},
	} {
		b := note(s, "OH-1", "cardstock", c.size.W, c.size.H)
		b.Turn, b.Type.Align, b.Type.Vertical = c.turn, c.align, c.middle
		blocks := []intake.Block{b}
		notes := GiveWay(blocks, func(config.Stock) []config.Sheet { return letter }, s)
		if blocks[0].Inset != c.want {
			t.Errorf("%s: the inset is %v, not %v", c.name, blocks[0].Inset, c.want)
		}
		if c.say == "" != (len(notes) == 0) || len(notes) > 0 && !strings.Contains(notes[0].What, c.say) {
			t.Errorf("%s: %v", c.name, notes)
		}
		if c.say != "" { // it is laid, and the plain checker finds its ink where it can be printed
			if laid, held := arrange(t, s, blocks); len(held) > 0 || len(laid.Pieces) != 1 {
				t.Errorf("%s: held %v", c.name, held)
			}
		}
	}
}

// What gives way fits, and nothing else is changed: random blocks up to the size of the sheet, with tucks, on printers with random margins.
func TestGiveWayAtRandom(t *testing.T) {
	gave := 0
	for n := range 300 {
		c := newChance(t, uint64(9000+n))
		s := plain(t, nil)
		p := &s.Printers[0]
		p.Margins = measure.Sides{Left: c.eighths(0, 4), Top: c.eighths(0, 4), Right: c.eighths(0, 4), Bottom: c.eighths(0, 8)}
		b := note(s, "OH-1", "vellum", c.eighths(40, 92), c.eighths(4, 72))
		b.Turn, b.Type.Align, b.Type.Vertical = c.IntN(2) == 0, config.Align(c.IntN(4)), config.Vertical(c.IntN(3))
		before := b
		blocks := []intake.Block{b}
		stock, _ := s.Stock("vellum")
		notes := GiveWay(blocks, func(st config.Stock) []config.Sheet { return st.Sheets }, s)
		a := arranger{settings: s}
		f := newFeed(s, stock)
		offered := pack.RoomsOf(a.offer(f, stock.Sheets, itemOf(&before)).Sheets)
		fitted, fits := offered.Fits(itemOf(&before)), offered.Fits(itemOf(&blocks[0]))
		switch {
		case len(notes) == 0 && blocks[0].Inset != before.Inset, len(notes) > 0 && (fitted || !fits):
			t.Errorf("block %d: %v became %v; fitted %v, fits %v, notes %v", n, before.Inset, blocks[0].Inset, fitted, fits, notes)
		}
		now, was := blocks[0].Inset, before.Inset
		if slices.Min([]measure.Length{now.Left - was.Left, now.Top - was.Top, now.Right - was.Right, now.Bottom - was.Bottom}) < 0 {
			t.Errorf("block %d: an inset shrank from %v to %v", n, was, now)
		}
		gave += len(notes)
	}
	if gave < 20 {
		t.Errorf("only %d blocks gave way", gave)
	}
}
