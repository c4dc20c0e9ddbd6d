package made

import (
	"math/rand"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// One is a single block on a sheet.
func One(s *config.Settings) *Draft {
	d := New(s, 1)
	d.Piece("cardstock", LetterPaper, inch/8, []measure.Size{Size(4*inch, 2*inch)})
	return d
}

// Three is twelve pieces of three stocks, with panels, a leftover, a block that is turned, and rows held back.
func Three(s *config.Settings) *Draft {
	d := New(s, 5)
	for range 2 {
		d.Panels("vellum", Size(12*inch, 12*inch), inch/8, []measure.Size{Size(4*inch, 5*inch/2), Size(3*inch/2, 9*inch/4)}, []measure.Size{Size(5*inch, 3*inch)})
	}
	pair := []measure.Size{Size(4*inch, 2*inch), Size(4*inch, 2*inch)}
	for range 3 {
		d.Piece("clear sticker", LetterPaper, 0, pair, pair, pair, pair)
	}
	for i := range measure.Length(4) {
		p := d.Piece("cardstock", LetterPaper, inch/8, []measure.Size{Size(5*inch, 3*inch), Size(2*inch, 2*inch)},
			[]measure.Size{Size(3*inch, (3+i)*inch/2), Size(2*inch, inch), Size(3*inch/2, 3*inch/2)}, []measure.Size{Size(6*inch, inch)})
		turn(p.Blocks()[1].Block)
	}
	d.Leftover("cardstock", "blue folder", Size(4*inch, 15*inch/2), inch/8, []measure.Size{Size(4*inch, 3*inch)})
	d.Hold(3)
	return d
}

// Random is so many blocks of so many kinds, of eighths of an inch (or of any millimetre), on letter sheets of three stocks.
func Random(s *config.Settings, seed int64, blocks, people, kinds int) *Draft {
	r := rand.New(rand.NewSource(seed))
	d := New(s, people)
	var sizes []measure.Size
	side := func(least, most int) measure.Length {
		if s.Unit.Metric() {
			return measure.Length(25*least+r.Intn(25*(most-least))) * measure.Millimetre
		}
		return measure.Length(8*least+r.Intn(8*(most-least)+1)) * inch / 8
	}
	for range kinds {
		sizes = append(sizes, Size(side(1, 4), side(1, 3)))
	}
	for d.Blocks < blocks {
		stock := s.Stocks[d.Blocks*3/blocks].Name
		gap := []measure.Length{0, inch / 8}[r.Intn(2)]
		var shelves [][]measure.Size
		y, n := measure.Length(0), 0
		for d.Blocks+n < blocks {
			var shelf []measure.Size
			x, h := measure.Length(0), measure.Length(0)
			for d.Blocks+n < blocks {
				b := sizes[r.Intn(len(sizes))]
				if x+b.W > LetterPaper.W || y+max(h, b.H) > LetterPaper.H {
					break
				}
				shelf = append(shelf, b)
				x, h, n = x+b.W+gap, max(h, b.H), n+1
			}
			if len(shelf) == 0 {
				break
			}
			shelves = append(shelves, shelf)
			y += h + gap
		}
		d.Piece(stock, LetterPaper, gap, shelves...)
	}
	return d
}

// Odd are jobs at the edge of what can be: nothing to print, nobody's block, names in other scripts and names without end, slivers,
// a stock that the settings do not know, a block that is the whole sheet, blocks that say nothing.
func Odd() map[string]*Draft {
	empty := New(Settings(), 1)
	empty.Hold(2)
	odd := New(Settings(), 3)
	odd.People[0], odd.People[1], odd.People[2] = "", "Ζωή 王小明 🎈", strings.Repeat("Maximiliana-Theodora ", 12)+strings.Repeat("x", 300)
	p := odd.Piece("vellum", LetterPaper, inch/8, []measure.Size{Size(inch, inch), Size(2*inch, inch/4), Size(inch/4, inch)}, []measure.Size{Size(8*inch, inch/8)})
	for _, b := range p.Blocks() {
		b.Block.Page = strings.Repeat("many words ", 40)
	}
	p.Stock = "a stock that the settings do not know, with a name that is long enough to be a line of its own"
	odd.Settings.Stocks[1].Tray = strings.Repeat("tray ", 60)
	odd.Piece("clear sticker", LetterPaper, 0, []measure.Size{LetterPaper})
	bare := New(Settings(), 2)
	for _, b := range bare.Piece("cardstock", LetterPaper, 0, []measure.Size{Size(inch, inch), Size(inch, inch)}).Blocks() {
		b.Block.Page, b.Block.Text, b.Block.Setting.Lines = "", nil, nil
	}
	return map[string]*Draft{"empty": empty, "odd": odd, "bare": bare}
}
