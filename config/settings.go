package config

import (
	"fmt"
	"math"
	"slices"
	"unicode"
	"unicode/utf8"

	"tuckmark/config/measure"
)

// Settings is the whole configuration of a run, resolved and checked.
type Settings struct {
	Unit     measure.Unit // what a bare number means, and what is printed
	Stocks   []Stock      // in the order of the configuration; never empty
	Default  string       // name of the stock of a row that names none
	Printers []Printer    // never empty
	Trimmer  Trimmer
	Type     Type
	Gap      Gap
	Mark     Mark
	Effort   int      // iterations of the packer for each block
	Language string   // of the texts, for hyphenation: AutoLanguage, of BCP 47, or "" for none
	Columns  []Column // what headings mean that no rule knows
	Advice   Advice
	Fonts    []string     // folders with more fonts, absolute
	Guide    measure.Size // the plain paper of the run sheet and the guides
	Currency string       // printed before an amount
	Signs    Signs        // how the settings write it
	Costs    []Cost       // of the job besides its paper
	Load     int64        // what a size of pieces more is worth, in hundredths of the currency
	File     string       // the configuration file that was read, or ""
}

// Cost is what a job costs besides its paper.
type Cost struct {
	Name  string
	Cents int64 // hundredths of the currency
	By    SharedBy
}

// SharedBy is what everyone's part of a cost goes by.
type SharedBy uint8

// A cost is shared by the area of everyone's blocks, by their number, or in equal parts.
const (
	ByArea SharedBy = iota
	ByBlock
	ByPerson
)

func (b SharedBy) String() string { return [...]string{"by area", "by block", "by person"}[b] }

// Column is what a heading means that no rule knows.
type Column struct {
	Heading string
	As      string // a heading of the form, or "nothing" where the column is not to be read
}

// Advice is what to say of texts that may be as they are.
type Advice struct {
	Dates  bool // which name no date
	People bool // which name nobody and no place
}

// Stock is a kind of paper.
type Stock struct {
	Name      string
	Sheets    []Sheet
	Tuck      measure.Sides // of a block that asks for none
	Inset     measure.Sides
	Printers  []string // names of the printers that it may go to; empty: all. See Settings.Takers
	ShowsPage bool     // translucent or clear: the page's colour shows through
	Colour    Colour   // of the stock itself (white where it is clear)
	Carrier   *Carrier // nil: may not ride
	Tray      string
	Quality   string
	Drying    int // minutes before it may be touched
	Caution   string
	Mirror    bool // printed left for right, for the back; see Source.Mirror
}

// Carrier is a sheet that pieces of a stock, too small to be pulled, may be fixed to.
type Carrier struct {
	Size     measure.Size
	Smallest measure.Size // smallest piece worth fixing
}

// Sheet is stock as bought, or a leftover at hand. Size is width x height as the printer pulls it, where it can.
type Sheet struct {
	Size     measure.Size
	Count    int   // at hand; negative: as many as needed
	Price    int64 // of one, in hundredths of the currency
	Leftover bool  // used first, costs nothing
	Name     string
}

// Printer is what a printer can pull and print.
type Printer struct {
	Name              string
	Narrowest, Widest measure.Length
	Shortest, Longest measure.Length
	Margins           measure.Sides // cannot be printed; Bottom is the trailing edge
	Takes             []string      // names of stocks; empty: all
	Shift             Offset        // what to move everything by, as measured on the test page
	Scale             [2]float64    // what to stretch everything by, x and y; 1 is none
	Queue             string        // what the computer calls it; empty: not said
	Loads             []Loading     // at most one for each stock
}

// Unprintable is what the printer cannot print along the edges of a page: its margins, or more where its correction would move
// what lies there off the page, and the PDF would lose it.
func (p Printer) Unprintable(page measure.Size) measure.Sides {
	m := p.Margins
	lost := func(near, far *measure.Length, long, shift measure.Length, scale float64) {
		if scale == 0 {
			scale = 1
		}
		if scale == 1 && shift == 0 {
			return
		}
		const million = 1_000_000
		s := int64(math.Round(scale * million))
		*near = max(*near, measure.Length((-int64(shift)*million+s-1)/s))
		*far = max(*far, long-measure.Length(int64(long-shift)*million/s))
	}
	lost(&m.Left, &m.Right, page.W, p.Shift.X, p.Scale[0])
	lost(&m.Top, &m.Bottom, page.H, p.Shift.Y, p.Scale[1])
	return m
}

// Loading is how a printer is asked to pull and print a stock. Empty: as the printer chooses.
type Loading struct {
	Stock   string
	Source  string // media-source of PWG 5100.7
	Type    string // media-type of PWG 5100.7
	Quality Quality
	AtOnce  int // pieces in the tray; nought: not said
}

// Quality is how carefully a printer prints: print-quality of RFC 8011, 5.2.13.
type Quality uint8

// Nought leaves the quality to the printer.
const (
	Draft Quality = iota + 3
	Normal
	High
)

func (q Quality) String() string {
	switch q {
	case Draft:
		return "draft"
	case Normal:
		return "normal"
	case High:
		return "high"
	}
	return ""
}

// Loading is how a stock goes into the printer, as far as the configuration says.
func (p Printer) Loading(stock string) Loading {
	for _, l := range p.Loads {
		if l.Stock == stock {
			return l
		}
	}
	return Loading{Stock: stock}
}

// Offset is a distance to the right and down.
type Offset struct{ X, Y measure.Length }

// Feeds reports whether the printer pulls a piece of that size, width first, as it is.
func (p Printer) Feeds(s measure.Size) bool {
	return s.W >= p.Narrowest && s.W <= p.Widest && s.H >= p.Shortest && s.H <= p.Longest
}

// Trimmer is what the trimmer can cut.
type Trimmer struct {
	Longest measure.Length // cut
	Holds   measure.Length // the narrowest rectangle that can still be cut
	Stack   int            // how many sheets it cuts at once
	Measure bool           // cuts are made by their measure, with as few as can be; else by their marks

	Scissors bool // there is none: every block is cut out along an outline. No other limit holds then
}

// Gap is the waste between neighbouring blocks. With Auto it is Width where that gives a cut its mark and costs neither a sheet
// nor the leftover, else nought; without, it is Width.
type Gap struct {
	Auto  bool
	Width measure.Length
}

// Mark is how cut marks look.
type Mark struct {
	Length measure.Length
	Weight measure.Length // even, so that its centre line is a whole number
}

// Type is how a text is set when its row does not say.
type Type struct {
	Font      string
	Smallest  measure.Length   // type size, a multiple of Step; 0: what is readable of the font at hand
	Largest   measure.Length   // of a text of more than LongText words
	Caption   measure.Length   // the largest size of any shorter text; 0: as Largest
	Wished    measure.Length   // the largest size that a row asks for, however long its text is; 0: it does not say
	Scale     []measure.Length // the sizes to choose from, rising; none: every Step
	Leading   float64          // factor of the type size, for type of up to 12 pt; larger type is set tighter
	Align     Align
	AutoAlign bool // nobody asked for Align: a few words in a large space stand in its middle
	Vertical  Vertical
	Hyphenate Hyphenate
	Match     Match
	AsTyped   bool // quotation marks, dashes and the like stay as the keyboard has them
	Ink       Colour
}

// TypeStep is the step between type sizes, a quarter of a point.
const TypeStep = measure.Point / 4

// LongText is the number of words from which on a text is read, and not looked at as a caption is: longer texts are set no
// larger than Type.Largest.
const LongText = 25

// LargestFor is the largest size for a text of so many words.
func (t *Type) LargestFor(words int) measure.Length {
	switch {
	case t.Wished > 0:
		return t.Wished
	case words > LongText || t.Caption == 0:
		return t.Largest
	}
	return t.Caption
}

// Match tells which blocks are set in one size, that of the smallest among them.
type Match uint8

// MatchAuto matches the blocks of one owner and page where that costs none of them more than a tenth of its size; the others
// match whatever it costs.
const (
	MatchAuto Match = iota
	MatchPage
	MatchOwner
	MatchJob
	MatchNo
)

// Align is where lines stand between the sides of the ink box.
type Align uint8

// Alignments.
const (
	Left Align = iota
	Centre
	Right
	Justified
)

func (a Align) String() string { return [...]string{"left", "centre", "right", "justified"}[a] }

// Vertical is where the lines stand between top and bottom of the ink box.
type Vertical uint8

// Vertical places.
const (
	Top Vertical = iota
	Middle
	Bottom
)

func (v Vertical) String() string { return [...]string{"top", "middle", "bottom"}[v] }

// Hyphenate tells when words may be broken.
type Hyphenate uint8

// HyphenateAuto breaks words where it buys a size step.
const (
	HyphenateAuto Hyphenate = iota
	HyphenateAlways
	HyphenateNever
)

// Colour is an sRGB colour.
type Colour struct{ R, G, B uint8 }

// Stock finds a stock by its exact name.
func (s *Settings) Stock(name string) (Stock, bool) {
	for _, t := range s.Stocks {
		if t.Name == name {
			return t, true
		}
	}
	return Stock{}, false
}

// PrintersFor are the printers that a stock may go to, as indexes into Printers, in their order: those whose Takes allow it and
// that the stock's own Printers allow.
func (s *Settings) PrintersFor(stock Stock) []int {
	var out []int
	for i, p := range s.Printers {
		if (len(p.Takes) == 0 || slices.Contains(p.Takes, stock.Name)) && (len(stock.Printers) == 0 || slices.Contains(stock.Printers, p.Name)) {
			out = append(out, i)
		}
	}
	return out
}

// Amount prints hundredths of the currency as people write them: "$1.20", "EUR 1.20", "1.20" where no currency is set.
func (s *Settings) Amount(hundredths int64) string {
	sign := ""
	if hundredths < 0 {
		sign, hundredths = "-", -hundredths
	}
	before := s.Currency
	if r, _ := utf8.DecodeLastRuneInString(before); unicode.IsLetter(r) {
		before += " "
	}
	return fmt.Sprintf("%s%s%d.%02d", sign, before, hundredths/100, hundredths%100)
}
