package press

import (
	"io"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// Font is a font program as it was read. Two Texts share a font when they share the pointer.
type Font struct {
	Name string // PostScript name, or what serves
	Data []byte // TrueType or OpenType (CFF) file, or collection
	Face int    // index in a collection
}

// Glyph is a glyph with its origin on the page and the text it stands for, which is empty for the second and later
// glyphs of a cluster.
type Glyph struct {
	ID   uint16
	X, Y measure.Length // on the baseline; origin of the page top-left, y down
	Text string
}

// Text is a row of glyphs of one font, size and colour, in reading order. Turned text runs down the page (a quarter turn
// clockwise): its origins are points of the page like all others, and letters reach to the right of them.
type Text struct {
	Font   *Font
	Size   measure.Length
	Colour config.Colour
	Turned bool
	Glyphs []Glyph
}

// Line is a straight stroke, its centre line and weight. Its ends are cut off square, and so it is inked from end to end.
type Line struct {
	X1, Y1, X2, Y2 measure.Length
	Weight         measure.Length
	Colour         config.Colour
	Dash           measure.Length // of the dashes and of the gaps; 0: solid
}

// Fill is a filled rectangle.
type Fill struct {
	Rect   measure.Rect
	Colour config.Colour
}

// Page is one page. Fills are drawn first, then Lines, then Texts in reading order, then those of Late.
type Page struct {
	Title  string // of its bookmark; empty: none
	Size   measure.Size
	Fills  []Fill
	Lines  []Line
	Texts  []Text
	Late   func() []Text // texts that are made when they are needed, so that those of all pages never take room at once; asked twice; nil: none
	Scale  [2]float64    // the printer's correction about the top-left corner; zero: none
	ShiftX measure.Length
	ShiftY measure.Length
	// Mirror prints the page left for right, all of it, for the back of a clear stock. The correction is the printer's
	// and comes after.
	Mirror bool
}

// texts are all texts of a page.
func (p *Page) texts() []Text {
	if p.Late == nil {
		return p.Texts
	}
	return append(p.Texts[:len(p.Texts):len(p.Texts)], p.Late()...)
}

// Section is a run of pages that belong together: the guides, or the pieces of one stock.
type Section struct {
	Title string
	Pages []Page
}

// Document is a whole PDF.
type Document struct {
	Title    string
	Subject  Subject
	Language string // of most of its text, as of BCP 47; "": not known
	Sections []Section
	Plan     func(io.Writer) error // writes what goes with the PDF as an attachment; nil: none
	Stop     func() bool           // asked now and then; once it says yes, the document is no longer wanted; may be nil
}

// Subject is what a document prints, in the words that its properties show. One kind does not take the place of another on the disk.
type Subject string

// OfOneStock is the subject of the pages of one stock, by the title of their document: those of two jobs are two kinds.
func OfOneStock(title string) Subject { return StockPages + Subject(": "+title) }

// The subjects of documents.
const (
	JobPages   Subject = "Guides and pieces"
	StockPages Subject = "Pieces of one stock"
	RedoPages  Subject = "Pieces printed again"
	NotePage   Subject = "One block"
	TestPage   Subject = "Test page"
	ProofPages Subject = "Blocks on plain paper"
	FontPages  Subject = "Fonts to choose from"
)
