package intake

import (
	"fmt"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// meaning is what a column is taken for.
type meaning uint8

// The meanings, in the order of the table.
const (
	asUnknown meaning = iota
	asName
	asSurname
	asPage
	asTitle
	asJournaling
	asWho
	asWhere
	asWhen
	asWidth
	asHeight
	asSpace
	asUnit
	asFits
	asStock
	asTuck
	asInset
	asFont
	asSize
	asAlign
	asInk
	asPageColour
	asTurn
	asCopies
	asNote
	asCount
	asPrice
	asLeftover
	asHold
	asKept
	asID
	asCode
	meanings
)

func (f meaning) String() string {
	if f == asUnknown {
		return ""
	}
	return headings[f-1].Name
}

// Heading is a column that a table may have. All that is to be said of a column stands in the table of headings: by what
// names it goes, what reads it, what the form says of it, and how a report repeats it.
type Heading struct {
	Name  string  // as the form has it
	Form  *Form   // its column in the form, or nil where the form has none
	Wide  float64 // of its column in a report, in characters; 0 where a report does not repeat it
	as    meaning
	paper bool // of a Paper sheet alone
	desk  bool // of a desk's workbook alone, where all but Hold are hidden

	synonyms string // with commas between
	read     func(*entry, *Block)
	again    func(*Block, *config.Settings) string
	added    bool // since answers to proofs carry fingerprints: where it is empty, it is not in them
}

// Form is what the form says of a column.
type Form struct {
	Width   float64                       // in characters
	Short   bool                          // in the short form
	Takes   string                        // what is to be typed, with %s for Usual
	Usual   func(*config.Settings) string // what holds where the cell is empty
	Choices []string                      // of its drop-down
	Ask     string                        // what to ask where something else than a choice is typed
}

// Note is what the form's note at the heading says.
func (f *Form) Note(s *config.Settings) string {
	if f.Usual == nil {
		return f.Takes
	}
	return strings.Replace(f.Takes, "%s", f.Usual(s), 1)
}

// PaperTakes says what the columns of the form's list of paper take.
var PaperTakes = map[string]string{"Stock": "The kind of paper, as in the drop-down.",
	"Width":  "Width of the sheet or the leftover, as it goes through the printer.",
	"Height": "Height of the sheet or the leftover.",
	"Count":  "How many there are. Rows without a count and a price say nothing.", "Price": "What one sheet costs. A leftover costs nothing: leave it empty."}

// deskHeading is the column of a desk's workbook alone that goes by a name; asUnknown: none does.
func deskHeading(name string) meaning {
	for _, h := range headings {
		if h.desk && h.Name == name {
			return h.as
		}
	}
	return asUnknown
}

// Headings lists the columns that a table of journaling may have, in the order in which a row is read and a report repeats it.
func Headings() []Heading {
	var out []Heading
	for _, h := range headings {
		if !h.paper && !h.desk {
			out = append(out, h)
		}
	}
	return out
}

// Repeat is what a block asks for under the heading, as the form takes it.
func (h Heading) Repeat(b *Block, s *config.Settings) string { return h.again(b, s) }

// AddedWishes are the wishes of a block in columns that came after the first proofs were answered, by heading; a column with nothing
// in it is not among them.
func AddedWishes(b *Block, s *config.Settings) (wishes [][2]string) {
	for _, h := range headings {
		if !h.added {
			continue
		}
		if wish := h.again(b, s); wish != "" {
			wishes = append(wishes, [2]string{h.Name, wish})
		}
	}
	return wishes
}

// headings is the one list of columns, in the order in which the cells of a row are read: the stock before what depends on it.
// A column without a reader is read by another's, or by nobody. It is filled at the start, since readers find columns by it.
var headings []Heading

func init() {
	headings = []Heading{
		{as: asName, Name: "Name", synonyms: `name, your name, full name, first name, given name, forename, names, owner, person, participant, guest, who are
			you, scrapbooker, from, author, by, submitted by, belongs to, whose, nom, nombre, nome, naam, first`,
			read: (*entry).owner, again: func(b *Block, _ *config.Settings) string { return b.Owner }, Wide: 20,
			Form: &Form{Width: 18, Short: true, Takes: "Whose page it is for. The printed blocks are sorted back by it, so write your name the same way in every row."}},
		{as: asSurname, Name: "Surname", synonyms: `surname, last name, family name, second name, last`},
		{as: asPage, Name: "Page", synonyms: `page, page name, page title, name of page, name of layout, title of page, page no, page nr, page number, page id,
			layout, layout name, spread, album page, scrapbook page, project, for page, which page, card, seite, pagina`,
			read: (*entry).page, again: func(b *Block, _ *config.Settings) string { return b.Page }, Wide: 14,
			Form: &Form{Width: 16, Short: true, Takes: "Which page the block is for. In your own words; it helps you to find its place."}},
		{as: asTitle, Name: "Title", synonyms: `title, heading, headline, header, title line, block title, titel, titre, titulo`,
			read: (*entry).title, again: func(b *Block, _ *config.Settings) string { return b.Title }, Wide: 20,
			Form: &Form{Width: 18, Takes: "A heading line above the text, if you like."}},
		{as: asJournaling, Name: "Journaling", synonyms: `journaling, journalling, journal, journaling text, journalling text, text, texts, story, words, wording, message,
			caption, captions, your text, content, contents, entry, body, body text, journal entry, journaling block, what to
			print, what it should say, texte, texto, testo, tekst`,
			read: (*entry).text, again: func(b *Block, _ *config.Settings) string { return flat(b.Text) }, Wide: 60,
			Form: &Form{Width: 50, Short: true, Takes: "The text. Alt+Enter makes a new line. Bold and italic stay as you set them."}},
		{as: asWho, Name: "Who", synonyms: `who, people, who is in it, who is on it, who is in the photo, who is in the picture, who was there, persons, with,
			with whom`,
			read: (*entry).closing, // with Where and When
			Form: &Form{Width: 18, Takes: "Who is in it. Stands with where and when in a line below the text."}},
		{as: asWhere, Name: "Where", synonyms: `where, place, location, where was it, venue, ort, lieu, lugar`,
			Form: &Form{Width: 18, Takes: "Where it was."}},
		{as: asWhen, Name: "When", synonyms: `when, date, dates, when was it, event date, date of event, day, datum, fecha`,
			again: func(b *Block, _ *config.Settings) string { return b.End }, Wide: 24,
			Form: &Form{Width: 15, Takes: "When it was."}},
		{as: asWidth, Name: "Width", synonyms: `width, wide, w, space width, width of space, block width, box width, how wide, across, breite, largeur, ancho,
			larghezza, breedte`,
			read: (*entry).measured, // with Height or Space
			Form: &Form{Width: 10, Short: true, Takes: "The width of the space on your page. 4, 4.5, 4 1/2, 4½ in, 114 mm: all are understood. A number alone is in %s.",
				Usual: func(s *config.Settings) string { return s.Unit.Name() }}},
		{as: asHeight, Name: "Height", synonyms: `height, high, h, tall, space height, height of space, block height, box height, how high, how tall, length, depth,
			down, hohe, hoehe, hauteur, alto, altezza, hoogte`,
			Form: &Form{Width: 10, Short: true, Takes: "The height of the space on your page, like the width. Do not add the tuck."}},
		{as: asSpace, Name: "Space", synonyms: `space, spaces, space size, size of space, size of the space, block size, box size, journaling space, journalling
			space, journaling size, journalling size, dimension, dimensions, measure, measures, measurement, measurements,
			measured space, w x h, wxh, width x height, width by height, width and height, size w x h, size wxh, area, spot,
			spot size, space available, space to fill`,
			again: func(b *Block, s *config.Settings) string { return b.Space.Format(s.Unit) }, Wide: 18},
		{as: asUnit, Name: "Unit", synonyms: `unit, units, unit of measure, unit of measurement, units of measure, units of measurement, measured in, einheit, unite, unidad`},
		{as: asFits, Name: "Fits", synonyms: `fits, fit, words that fit, does it fit, how it fits`,
			Form: &Form{Width: 26, Short: true, Takes: "Fills itself: roughly how many words fit, and by how many the text is too long."}},
		{as: asStock, Name: "Stock", synonyms: `stock, paper, paper type, type of paper, kind of paper, paper stock, stock type, material, print on, printed on,
			media, sheet type, sticker or vellum, which paper, papier, papel, carta`,
			read: (*entry).stock, again: func(b *Block, _ *config.Settings) string { return b.Stock }, Wide: 15,
			Form: &Form{Width: 15, Short: true, Takes: "What it is printed on. Empty: %s.", Usual: func(s *config.Settings) string { return s.Default },
				Ask: "That is no stock of this job. Keep it all the same?"}},
		{as: asTuck, Name: "Tuck", synonyms: `tuck, tuck allowance, allowance, flap, tuck side, tuck under, overlap`,
			read: (*entry).tuck, again: func(b *Block, s *config.Settings) string { return sidesAsTyped(b.Tuck, s.Unit) }, Wide: 22,
			Form: &Form{Width: 13, Takes: "Blank paper to hide under a layer of your page, for the adhesive: 1/2 in is on top, or name the edges, like top 1/2 left 1/4, or none. Empty: as usual for the stock."}},
		{as: asInset, Name: "Inset", synonyms: `inset, text inset, border, blank border, margin, margins, padding`, added: true, Wide: 12,
			read: (*entry).inset, again: func(b *Block, s *config.Settings) string {
				if stock, _ := s.Stock(b.Stock); b.Inset == stock.Inset {
					return ""
				}
				return sidesAsTyped(b.Inset, s.Unit)
			},
			Form: &Form{Width: 10, Takes: "The blank border between the edge of the block and its text: a measure for all edges, like 1/4, or name the edges, like left 1/2 right 1/2. Empty: as usual for the stock."}},
		{as: asFont, Name: "Font", synonyms: `font, typeface, font name, font family, font face, fonts, font style, lettering, which font, schrift, schriftart,
			police`,
			read: (*entry).font, again: func(b *Block, _ *config.Settings) string { return b.Font }, Wide: 12,
			Form: &Form{Width: 13, Takes: "The type. Empty: %s.", Usual: func(s *config.Settings) string { return s.Type.Font },
				Ask: "That is none of the plain fonts. Any font of the printing computer may be named. Keep it?"}},
		{as: asSize, Name: "Size", synonyms: `size, font size, type size, text size, point size, points, pt size, letter size, size of type, size of text,
			lettering size`,
			read: (*entry).size, Wide: 8,
			again: func(b *Block, _ *config.Settings) string {
				if b.Type.Wished == 0 {
					return ""
				}
				return strings.TrimSuffix(b.Type.Wished.Format(measure.Pt), " pt")
			},
			Form: &Form{Width: 8, Takes: "The largest size of the letters in points, like 12 or 24. Empty: as large as fits, %s.",
				Usual: func(s *config.Settings) string {
					if s.Type.Caption == s.Type.Largest {
						return "up to " + s.Type.Largest.Format(measure.Pt)
					}
					return fmt.Sprintf("up to %s, and %s for up to %d words", s.Type.Largest.Format(measure.Pt), s.Type.Caption.Format(measure.Pt), config.LongText)
				}}},
		{as: asAlign, Name: "Align", synonyms: `align, alignment, aligned, text align, text alignment, justification, justify, position`,
			read: (*entry).align, again: func(b *Block, _ *config.Settings) string {
				if b.Type.AutoAlign && b.Type.Align == config.Left {
					return "auto, " + b.Type.Vertical.String()
				}
				return b.Type.Align.String() + ", " + b.Type.Vertical.String()
			}, Wide: 16,
			Form: &Form{Width: 14, Takes: "Where the text stands in its space. Empty: %s.",
				Usual:   func(s *config.Settings) string { return s.Type.Align.String() + " " + s.Type.Vertical.String() },
				Choices: []string{"left", "centre", "right", "justified", "left middle", "centre middle", "right middle", "justified middle", "centre bottom"},
				Ask:     "Write left, centre, right or justified, and top, middle or bottom. Keep it as typed?"}},
		{as: asInk, Name: "Ink", synonyms: `ink, ink colour, ink color, colour, color, text colour, text color, font colour, font color, print colour, print
			color, farbe, couleur`,
			read: (*entry).ink, again: func(b *Block, _ *config.Settings) string { return b.Type.Ink.String() }, Wide: 10,
			Form: &Form{Width: 12, Takes: "The colour of the text: a name like dark blue, or a number like #204080. Empty: %s.",
				Usual: func(s *config.Settings) string {
					if ink := s.Type.Ink.String(); ink != "#000000" {
						return ink
					}
					return "black"
				}}},
		{as: asPageColour, Name: "Page colour", synonyms: `page colour, page color, background, background colour, background color, colour of page, color of page, colour of
			the page, color of the page`,
			read: (*entry).pageColour, Wide: 10,
			again: func(b *Block, s *config.Settings) string {
				if stock, _ := s.Stock(b.Stock); !stock.ShowsPage || b.Back == stock.Colour {
					return ""
				}
				return b.Back.String()
			},
			Form: &Form{Width: 12, Takes: "For clear and translucent stock: the colour of your page, which shows through."}},
		{as: asTurn, Name: "Turn", synonyms: `turn, may turn, may be turned, can be turned, turned, turning, rotate, rotation, may rotate, can rotate, ok to
			turn, ok to rotate`,
			read: (*entry).turn, again: func(b *Block, _ *config.Settings) string { return yesOrNo(b.Turn) }, Wide: 7,
			Form: &Form{Width: 8, Takes: "Whether the block may be printed turned, to save paper: yes or no. Empty: yes.",
				Choices: []string{"yes", "no"}, Ask: "Write yes or no. Keep it as typed?"}},
		{as: asCopies, Name: "Copies", synonyms: `copies, number of copies, no of copies, copy, qty, quantity, how many, how many copies, anzahl`,
			read: (*entry).copies, // a report's reader says how many
			Form: &Form{Width: 8, Takes: "How many of it. Empty: one."}},
		{as: asNote, Name: "Note", synonyms: `anything else i should know, anything else we should know, note, notes, comment, comments, remark, remarks, anything else, special requests, special request, note to
			organiser, note to organizer`,
			Form: &Form{Width: 22, Takes: "Anything that you want to tell the one who prints. It is not printed."}},
		{as: asCount, Name: "Count", synonyms: `count, sheets, number of sheets, how many sheets, on hand, in stock`,
			paper: true},
		{as: asPrice, Name: "Price", synonyms: `price, price per sheet, cost, cost per sheet, price each, each, preis, prix`,
			paper: true},
		{as: asLeftover, Name: "Leftover", synonyms: `leftover, left over, kind, is leftover`,
			paper: true},
		{as: asHold, Name: "Hold", desk: true, read: (*entry).holdBack},
		{as: asKept, Name: "Kept", desk: true, read: (*entry).kept},
		{as: asID, Name: "Id", desk: true},
		{as: asCode, Name: "Code", desk: true},
	}
	learn()
}

// keywords recognise a longer heading by one word of it; the first that is there counts.
var keywords = []struct {
	word string
	f    meaning
}{
	{"width", asWidth}, {"wide", asWidth}, {"height", asHeight}, {"high", asHeight}, {"tall", asHeight}, {"font", asFont}, {"typeface",
		asFont}, {"copies", asCopies}, {"journaling", asJournaling}, {"journalling", asJournaling},
	{"stock", asStock}, {"paper", asStock}, {"dimensions", asSpace}, {"measurements", asSpace}, {"alignment", asAlign}, {"ink",
		asInk}, {"tuck", asTuck}, {"surname", asSurname}, {"owner", asName}, {"page", asPage}, {"name", asName}, {"space", asSpace}, {"vellum", asStock}, {"cardstock", asStock}, {"title", asTitle},
}
