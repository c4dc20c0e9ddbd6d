package layout

import (
	"bytes"
	"slices"
	"strings"
	"testing"

	"tuckmark/config"
	"tuckmark/config/longtests"
	"tuckmark/config/measure"
	"tuckmark/impose/draw"
	"tuckmark/impose/plan"
	"tuckmark/impose/press"
	"tuckmark/impose/press/readback"
	"tuckmark/intake"
)

// TestCarrier: a leftover that no printer pulls is nothing without a carrier, and with one it is used: an outline page, then
// the piece's own page, both as large as the carrier, the ink inside the outline in PDFium's picture.
func TestCarrier(t *testing.T) {
	s := plain(t, nil)
	scrap := intake.Paper{Stock: "vellum", Size: measure.Size{W: 4 * in, H: 3 * in}, Count: 1, Leftover: true}
	b := note(s, "OH-1", "vellum", 4*in, 2*in)
	laid, _ := arrange(t, s, []intake.Block{b}, scrap)
	if laid.Stocks[0].NewSheets != 1 || laid.Pieces[0].Carrier != nil || laid.Pages() != 1 {
		t.Errorf("without a carrier: %+v", laid.Stocks)
	}
	for i := range s.Stocks {
		s.Stocks[i].Carrier = &config.Carrier{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Smallest: measure.Size{W: 2 * in, H: 3 * in}}
	}
	laid, held := arrange(t, s, []intake.Block{b}, scrap)
	if len(held) > 0 || laid.Stocks[0].NewSheets != 0 || laid.Pages() != 2 || laid.Pieces[0].Page != 2 {
		t.Fatalf("with a carrier: %+v, held %+v", laid.Stocks, held)
	}
	p := laid.Pieces[0]
	at := p.Size().At(p.Carrier.X, p.Carrier.Y)
	if p.Size() != scrap.Size || at != (measure.Rect{X: 9 * in / 4, Y: 4 * in, W: 4 * in, H: 3 * in}) {
		t.Errorf("the piece lies at %+v", at)
	}
	var pdf bytes.Buffer
	d := draw.Drawer{}
	if err := press.Write(&pdf, press.Document{Sections: d.Draw(laid, s)}, nil); err != nil {
		t.Fatal(err)
	}
	doc := readback.Open(t, pdf.Bytes())
	if doc.Pages() != 2 {
		t.Fatalf("%d pages", doc.Pages())
	}
	const dpi = 288 // an eighth of a point is half a dot
	for page := range 2 {
		if doc.Size(page) != s.Stocks[0].Carrier.Size {
			t.Errorf("page %d is %v", page, doc.Size(page))
		}
	}
	whole := s.Stocks[0].Carrier.Size.At(0, 0)
	outline, _ := readback.Ink(doc.Grey(0, dpi), dpi, whole)
	if !grow(outline, in/dpi).Contains(at) || !grow(at, measure.Point/2+in/dpi).Contains(outline) {
		t.Errorf("the outline is %v, the piece lies at %v", outline, at)
	}
	if inside, ink := readback.Ink(doc.Grey(0, dpi), dpi, at.Inset(measure.Same(in/dpi))); ink {
		t.Errorf("the piece would cover ink at %v", inside)
	}
	ink, _ := readback.Ink(doc.Grey(1, dpi), dpi, whole)
	if !grow(at, in/dpi).Contains(ink) {
		t.Errorf("ink at %v, beside the piece at %v", ink, at)
	}
	text := b.Ink().Move(p.Carrier.X, p.Carrier.Y)
	if _, there := readback.Ink(doc.Grey(1, dpi), dpi, text); !there {
		t.Error("no text on the piece")
	}
}

// TestOutlineWords: what is printed on the outline's page stands beside the piece, for wet ink must not lie under it, and where the printer
// prints, as PDFium draws it; a small carrier has words too, as long as there is a place for them.
func TestOutlineWords(t *testing.T) {
	if !readback.Available {
		t.Skip("PDFium is left out under the race detector")
	}
	for _, c := range []struct {
		carrier, piece measure.Size
		words          bool
	}{
		{measure.Size{W: 17 * in / 2, H: 11 * in}, measure.Size{W: 4 * in, H: 3 * in}, true},
		{measure.Size{W: 4 * in, H: 6 * in}, measure.Size{W: 3 * in, H: 4 * in}, true},
		{measure.Size{W: 4 * in, H: 6 * in}, measure.Size{W: 3 * in, H: 9 * in / 2}, true},
		{measure.Size{W: 17 * in / 2, H: 11 * in}, measure.Size{W: 3 * in, H: 19 * in / 2}, true}, // beside it
		{measure.Size{W: 4 * in, H: 6 * in}, measure.Size{W: 29 * in / 8, H: 45 * in / 8}, false},
	} {
		s := plain(t, nil)
		s.Printers = []config.Printer{{Name: "pocket", Narrowest: 4 * in, Widest: 17 * in / 2, Shortest: 6 * in, Longest: 11 * in, Margins: measure.Same(in / 8), Scale: [2]float64{1, 1}}}
		for i := range s.Stocks {
			s.Stocks[i].Printers, s.Stocks[i].Sheets = nil, nil
			s.Stocks[i].Carrier = &config.Carrier{Size: c.carrier, Smallest: measure.Size{W: 2 * in, H: 2 * in}}
		}
		laid, held := arrange(t, s, []intake.Block{note(s, "OH-1", "cardstock", 2*in, in)}, intake.Paper{Stock: "cardstock", Size: c.piece, Count: 1, Leftover: true})
		if len(held) > 0 || laid.Pieces[0].Carrier == nil {
			t.Errorf("%v on %v: held %v", c.piece, c.carrier, held)
			continue
		}
		var pdf bytes.Buffer
		d := draw.Drawer{Library: fonts()}
		if err := press.Write(&pdf, press.Document{Sections: d.Draw(laid, s)}, nil); err != nil {
			t.Fatal(err)
		}
		const dpi = 200
		doc := readback.Open(t, pdf.Bytes())
		picture := doc.Grey(0, dpi)
		p := laid.Pieces[0]
		at := p.Size().At(p.Carrier.X, p.Carrier.Y)
		if ink, any := readback.Ink(picture, dpi, at.Inset(measure.Same(in/dpi))); any {
			t.Errorf("%v on %v: ink at %v, under the piece at %v", c.piece, c.carrier, ink, at)
		}
		outline := grow(at, measure.Point)
		for _, l := range doc.Chars(0) {
			if !l.Made && (l.Ink.Overlaps(outline) || !grow(c.carrier.At(0, 0).Inset(measure.Same(in/8)), slack).Contains(l.Ink)) {
				t.Errorf("%v on %v: %q at %v", c.piece, c.carrier, l.Text, l.Ink)
			}
		}
		if text := doc.Text(0); (text != "") != c.words {
			t.Errorf("%v on %v says %q", c.piece, c.carrier, text)
		}
	}
}

// TestFewestCarriers: blocks that one leftover holds by itself lie on that one, where three leftovers would take three carriers; and what has to ride on
// several pieces rides on as few carriers as hold them. The sizes were worked out by hand.
func TestFewestCarriers(t *testing.T) {
	letter := measure.Size{W: 17 * in / 2, H: 11 * in}
	scrap := func(w, h measure.Length) intake.Paper {
		return intake.Paper{Stock: "cardstock", Size: measure.Size{W: w, H: h}, Count: 1, Leftover: true}
	}
	for _, c := range []struct {
		name   string
		paper  []intake.Paper
		blocks []measure.Size
		pages  int
		pieces []measure.Size
	}{
		{"the one that holds all", []intake.Paper{scrap(3*in, 4*in), scrap(3*in, 7*in), scrap(5*in/2, 8*in)},
			[]measure.Size{{W: 3 * in, H: 2 * in}, {W: 3 * in, H: 5 * in / 2}, {W: 2 * in, H: 5 * in / 2}}, 2, []measure.Size{{W: 3 * in, H: 7 * in}}},
		{"one that feeds before one that rides", []intake.Paper{scrap(3*in, 4*in), scrap(4*in, 5*in)},
			[]measure.Size{{W: 3 * in, H: 2 * in}}, 1, []measure.Size{{W: 4 * in, H: 5 * in}}},
		{"two beside each other", []intake.Paper{scrap(3*in, 4*in), scrap(3*in, 4*in)},
			[]measure.Size{{W: 3 * in, H: 3 * in}, {W: 3 * in, H: 3 * in}}, 2, []measure.Size{{W: 3 * in, H: 4 * in}, {W: 3 * in, H: 4 * in}}},
		{"five, of which a carrier holds four", []intake.Paper{{Stock: "cardstock", Size: measure.Size{W: 4 * in, H: 9 * in / 2}, Count: 5, Leftover: true}},
			[]measure.Size{{W: 4 * in, H: 3 * in}, {W: 4 * in, H: 3 * in}, {W: 4 * in, H: 3 * in}, {W: 4 * in, H: 3 * in}, {W: 4 * in, H: 3 * in}}, 4, nil},
		{"three that lie on one when they are turned", []intake.Paper{{Stock: "cardstock", Size: measure.Size{W: 3 * in, H: 8 * in}, Count: 3, Leftover: true}},
			[]measure.Size{{W: 3 * in, H: 6 * in}, {W: 3 * in, H: 6 * in}, {W: 3 * in, H: 6 * in}}, 2, []measure.Size{{W: 8 * in, H: 3 * in}, {W: 8 * in, H: 3 * in}, {W: 8 * in, H: 3 * in}}},
	} {
		s := plain(t, nil)
		for i := range s.Stocks {
			s.Stocks[i].Sheets = nil
			s.Stocks[i].Carrier = &config.Carrier{Size: letter, Smallest: measure.Size{W: 2 * in, H: 2 * in}}
		}
		var blocks []intake.Block
		for i, size := range c.blocks {
			blocks = append(blocks, note(s, "OH-"+string(rune('1'+i)), "cardstock", size.W, size.H))
		}
		laid, held := arrange(t, s, blocks, c.paper...)
		var sizes []measure.Size
		for _, p := range laid.Pieces {
			sizes = append(sizes, p.Size())
		}
		if len(held) > 0 || laid.Pages() != c.pages || c.pieces != nil && !slices.Equal(sizes, c.pieces) {
			t.Errorf("%s: %d pages, pieces %v, held %v", c.name, laid.Pages(), sizes, held)
		}
		for _, fault := range plan.Check(laid, blocks, s) {
			t.Errorf("%s: %s", c.name, fault)
		}
	}
}

// TestSharedCarrier: the outlines of pieces that ride together, also of those that are printed mirrored, lie where the pieces' ink comes,
// in PDFium's picture, and each piece's ink within its own.
func TestSharedCarrier(t *testing.T) {
	if !readback.Available {
		t.Skip("PDFium is left out under the race detector")
	}
	for _, mirror := range []bool{false, true} {
		s := plain(t, nil)
		for i := range s.Stocks {
			s.Stocks[i].Sheets, s.Stocks[i].Mirror = nil, mirror
			s.Stocks[i].Carrier = &config.Carrier{Size: measure.Size{W: 17 * in / 2, H: 11 * in}, Smallest: measure.Size{W: 2 * in, H: 2 * in}}
		}
		var blocks []intake.Block
		var paper []intake.Paper
		for i, size := range []measure.Size{{W: 3 * in, H: 3 * in}, {W: 4 * in, H: 5 * in / 2}, {W: 2 * in, H: 3 * in}} {
			blocks = append(blocks, note(s, "OH-"+string(rune('1'+i)), "cardstock", size.W, size.H))
			paper = append(paper, intake.Paper{Stock: "cardstock", Size: size, Count: 1, Leftover: true})
		}
		laid, held := arrange(t, s, blocks, paper...)
		if len(held) > 0 || len(laid.Pieces) != 3 || laid.Pages() != 2 {
			t.Fatalf("%d pieces on %d pages, held %v", len(laid.Pieces), laid.Pages(), held)
		}
		var pdf bytes.Buffer
		d := draw.Drawer{Library: fonts()}
		if err := press.Write(&pdf, press.Document{Sections: d.Draw(laid, s)}, nil); err != nil {
			t.Fatal(err)
		}
		doc := readback.Open(t, pdf.Bytes())
		if doc.Pages() != 2 {
			t.Fatalf("%d pages", doc.Pages())
		}
		const dpi = 200
		first, second := doc.Grey(0, dpi), doc.Grey(1, dpi)
		carrier := s.Stocks[0].Carrier.Size
		dot := in / dpi
		for _, p := range laid.Pieces {
			at := p.Size().At(p.Carrier.X, p.Carrier.Y)
			ink := p.Blocks()[0].Block.InkBox.Move(at.X, at.Y)
			if mirror {
				at.X, ink.X = carrier.W-at.Right(), carrier.W-ink.Right()
			}
			frame, _ := readback.Ink(first, dpi, grow(at, measure.Point))
			if !grow(frame, 2*dot).Contains(at) || !grow(at, measure.Point/2+2*dot).Contains(frame) {
				t.Errorf("mirrored %v: the outline of %v at %v is %v", mirror, p.Size(), at, frame)
			}
			if under, any := readback.Ink(first, dpi, at.Inset(measure.Same(dot))); any {
				t.Errorf("mirrored %v: ink at %v, under the piece at %v", mirror, under, at)
			}
			got, any := readback.Ink(second, dpi, at)
			if !any || !grow(ink, 2*dot).Contains(got) {
				t.Errorf("mirrored %v: the piece's ink is at %v, its ink box at %v", mirror, got, ink)
			}
		}
		if text := doc.Text(0); !strings.Contains(strings.Join(strings.Fields(text), " "), "Fix each piece inside its outline: cardstock") {
			t.Errorf("the outlines say %q", text)
		}
	}
}

// TestCarriersAtRandom checks random jobs whose stocks have carriers and whose paper is scraps.
func TestCarriersAtRandom(t *testing.T) {
	longtests.Only(t)
	riding, sharing, small := 0, 0, 0
	for n := range 40 {
		c := newChance(t, uint64(5000+n))
		for i := range c.settings.Stocks {
			st := &c.settings.Stocks[i]
			st.Carrier = &config.Carrier{Size: c.settings.Guide, Smallest: measure.Size{W: c.eighths(8, 16), H: c.eighths(12, 24)}}
			for range 3 {
				c.paper = append(c.paper, intake.Paper{Stock: st.Name, Size: measure.Size{W: c.eighths(12, 40), H: c.eighths(12, 40)}, Count: 1 + c.IntN(2), Leftover: true})
			}
		}
		blocks := c.blocks(12)
		laid, _ := planned(blocks, c.paper, c.settings)
		laid.Number(4)
		for _, fault := range plan.Check(laid, blocks, c.settings) {
			t.Errorf("job %d: %s", n, fault)
		}
		last := 3
		for _, p := range laid.Pieces {
			if p.Carrier != nil && p.Carrier.Nth > 0 {
				sharing++
			} else {
				last++
			}
			if p.Carrier != nil {
				riding++
				if p.Carrier.Nth == 0 {
					last++
				}
			}
			if p.Page != last {
				t.Errorf("job %d: page %d should be %d", n, p.Page, last)
			}
			for leaf := range p.Whole.Leaves {
				if r := leaf.Rect; leaf.Keep && (r.W < 7*in/2 || r.H < 5*in) && (r.H < 7*in/2 || r.W < 5*in) {
					small++
				}
			}
		}
		if last != 3+laid.Pages() {
			t.Errorf("job %d: %d pages, not %d", n, last-3, laid.Pages())
		}
	}
	if riding < 40 || sharing < 5 || small < 15 {
		t.Errorf("only %d pieces ride, %d share a carrier, %d small leftovers are kept", riding, sharing, small)
	}
}
