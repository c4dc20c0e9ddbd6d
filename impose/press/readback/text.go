package readback

import (
	"math"
	"strings"
	"unicode"

	"github.com/klippa-app/go-pdfium/references"
	"github.com/klippa-app/go-pdfium/requests"

	"tuckmark/config/measure"
)

// Char is one character as PDFium reads it: a ligature is several, with boxes that share its width. Lengths are from the
// page's top-left corner, y down.
type Char struct {
	Text string
	X, Y measure.Length // origin on the baseline
	Ink  measure.Rect   // by the font's own box of the glyph, to 1/1000 of the size
	Cell measure.Rect   // its advance, by the font's ascent and descent
	Size measure.Length
	Font string // with the tag of the subset
	// Angle is in degrees clockwise: 90 for text that runs down the page.
	Angle int
	// Made tells that PDFium inserted the character (a space at a gap, the end of a line); it has no box.
	Made bool
}

// Word is a row of characters without white space between them.
type Word struct {
	Text  string
	Ink   measure.Rect // holds those of the characters
	Cell  measure.Rect
	Chars []Char
}

// Pages is the number of pages.
func (d *Doc) Pages() int { return d.pages }

// Size is a page's size; pages count from 0.
func (d *Doc) Size(page int) measure.Size {
	d.t.Helper()
	defer d.lock()()
	return d.size(page)
}

func (d *Doc) size(page int) measure.Size {
	d.t.Helper()
	s, err := engine.pdfium.GetPageSize(&requests.GetPageSize{Page: d.page(page)})
	d.check(err)
	return measure.Size{W: length(s.Width), H: length(s.Height)}
}

// length is points as a Length. PDFium counts in 32-bit floats, some 2 EMU apart at 10 in.
func length(points float64) measure.Length {
	return measure.Length(math.Round(points * float64(measure.Point)))
}

// Text is a page's text in the order of the file, lines by "\n". A soft hyphen, which PDFium reports as a non-character, is
// U+00AD again.
func (d *Doc) Text(page int) string {
	d.t.Helper()
	defer d.lock()()
	r, err := engine.pdfium.GetPageText(&requests.GetPageText{Page: d.page(page)})
	d.check(err)
	var b strings.Builder
	for _, c := range r.Text {
		b.WriteString(codeText(uint(c)))
	}
	return b.String()
}

// codeText is a code of PDFium's as text. PDFium marks a hyphen at the end of a line by U+0002 or U+FFFE.
func codeText(code uint) string {
	switch code {
	case 0, '\r':
		return ""
	case 2, 0xFFFE:
		return "\u00AD"
	}
	return string(rune(code))
}

// Chars are a page's characters in the order of the file.
func (d *Doc) Chars(page int) []Char {
	d.t.Helper()
	defer d.lock()()
	size := d.size(page)
	p := engine.pdfium
	text, err := p.FPDFText_LoadPage(&requests.FPDFText_LoadPage{Page: d.page(page)})
	d.check(err)
	defer func() {
		_, err := p.FPDFText_ClosePage(&requests.FPDFText_ClosePage{TextPage: text.TextPage})
		d.check(err)
	}()
	count, err := p.FPDFText_CountChars(&requests.FPDFText_CountChars{TextPage: text.TextPage})
	d.check(err)
	chars := make([]Char, 0, count.Count)
	for i := range count.Count {
		chars = append(chars, d.char(text.TextPage, i, size.H))
	}
	return chars
}

func (d *Doc) char(text references.FPDF_TEXTPAGE, i int, height measure.Length) Char {
	d.t.Helper()
	p := engine.pdfium
	code, err := p.FPDFText_GetUnicode(&requests.FPDFText_GetUnicode{TextPage: text, Index: i})
	d.check(err)
	made, err := p.FPDFText_IsGenerated(&requests.FPDFText_IsGenerated{TextPage: text, Index: i})
	d.check(err)
	c := Char{Text: codeText(code.Unicode), Made: made.IsGenerated}
	if c.Made {
		return c
	}
	rect := func(left, top, right, bottom float64) measure.Rect {
		x, y := length(left), height-length(top)
		return measure.Rect{X: x, Y: y, W: length(right) - x, H: height - length(bottom) - y}
	}
	ink, err := p.FPDFText_GetCharBox(&requests.FPDFText_GetCharBox{TextPage: text, Index: i})
	d.check(err)
	c.Ink = rect(ink.Left, ink.Top, ink.Right, ink.Bottom)
	cell, err := p.FPDFText_GetLooseCharBox(&requests.FPDFText_GetLooseCharBox{TextPage: text, Index: i})
	d.check(err)
	c.Cell = rect(float64(cell.Rect.Left), float64(cell.Rect.Top), float64(cell.Rect.Right), float64(cell.Rect.Bottom))
	origin, err := p.FPDFText_GetCharOrigin(&requests.FPDFText_GetCharOrigin{TextPage: text, Index: i})
	d.check(err)
	c.X, c.Y = length(origin.X), height-length(origin.Y)
	angle, err := p.FPDFText_GetCharAngle(&requests.FPDFText_GetCharAngle{TextPage: text, Index: i})
	d.check(err)
	c.Angle = int(math.Round(float64(angle.CharAngle)*180/math.Pi)) % 360
	c.Ink = lower(c)
	em, err := p.FPDFText_GetFontSize(&requests.FPDFText_GetFontSize{TextPage: text, Index: i})
	d.check(err)
	c.Size = length(em.FontSize)
	font, err := p.FPDFText_GetFontInfo(&requests.FPDFText_GetFontInfo{TextPage: text, Index: i})
	d.check(err)
	c.Font = font.FontName
	return c
}

// lower takes back what PDFium adds to a glyph's box in a composite font: 1/64 of its height above the baseline.
func lower(c Char) measure.Rect {
	r := c.Ink
	switch c.Angle {
	case 0:
		added := (c.Y - r.Y) / 65
		r.Y, r.H = r.Y+added, r.H-added
	case 90:
		r.W -= (r.Right() - c.X) / 65
	}
	return r
}

// Words are a page's words in the order of the file. Words end at white space, at the end of a line (a hyphenated word is
// two, the first ending in U+00AD) and where the angle changes.
func (d *Doc) Words(page int) []Word {
	d.t.Helper()
	var words []Word
	open := false
	for _, c := range d.Chars(page) {
		if c.Made || strings.TrimFunc(c.Text, unicode.IsSpace) == "" {
			open = false
			continue
		}
		if open {
			last := words[len(words)-1].Chars[0]
			open = last.Angle == c.Angle && !otherLine(last, c)
		}
		if !open {
			words = append(words, Word{Ink: c.Ink, Cell: c.Cell})
			open = true
		}
		w := &words[len(words)-1]
		w.Text += c.Text
		w.Ink, w.Cell = union(w.Ink, c.Ink), union(w.Cell, c.Cell)
		w.Chars = append(w.Chars, c)
	}
	return words
}

// otherLine tells whether b's baseline lies half a size or more from a's.
func otherLine(a, b Char) bool {
	apart := b.Y - a.Y
	if a.Angle == 90 || a.Angle == 270 {
		apart = b.X - a.X
	}
	return 2*max(apart, -apart) >= a.Size
}

// union is the smallest rectangle that holds both; an empty one (a glyph without ink) does not count.
func union(a, b measure.Rect) measure.Rect {
	switch {
	case a.Empty():
		return b
	case b.Empty():
		return a
	}
	x, y := min(a.X, b.X), min(a.Y, b.Y)
	return measure.Rect{X: x, Y: y, W: max(a.Right(), b.Right()) - x, H: max(a.Bottom(), b.Bottom()) - y}
}
