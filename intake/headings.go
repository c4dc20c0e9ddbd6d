package intake

import (
	"slices"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// meaning is what a column is taken for.
type meaning uint8

// The meanings, in the order of the form.
const (
	asUnknown meaning = iota
	asName
	asPage
	asJournaling
	asWidth
	asHeight
	asSpace
	asStock
	asFont
	asSize
	asAlign
	asInk
	asTuck
	asTurn
	asCopies
	asTitle
	asWho
	asWhere
	asWhen
	asNote
	asPageColour
	asSurname
	asCount    // of a Paper sheet
	asPrice    // of a Paper sheet
	asLeftover // of a Paper sheet
	asFits     // the form's own live column
	meanings
)

var fieldNames = [meanings]string{"", "Name", "Page", "Journaling", "Width", "Height", "Space", "Stock", "Font", "Size", "Align",
	"Ink", "Tuck", "Turn", "Copies",
	"Title", "Who", "Where", "When", "Note", "Page colour", "Surname", "Count", "Price", "Leftover", "Fits"}

func (f meaning) String() string { return fieldNames[f] }

// Known reports a text that means one of the form's columns as a heading.
func Known(heading string) bool {
	as, _, _ := recognise(heading)
	return as != asUnknown
}

// synonyms are the headings that are known, folded by plainLetters.
var synonyms = map[string]meaning{}

func init() {
	for f, list := range [meanings]string{
		asName: `name, your name, full name, first name, given name, forename, names, owner, person, participant,
			guest, who are you, scrapbooker, from, author, by, submitted by, belongs to, whose, nom, nombre,
			first`,
		asPage: `page, page name, page title, name of page, name of layout, title of page, page no, page nr, page
			number, page id, layout, layout name, spread, album page, scrapbook page, project, for page, which
			page, card, seite, pagina`,
		asJournaling: `journaling, journalling, journal, journaling text, journalling text, text, texts, story, words,
			wording, message, caption, captions, your text, content, contents, entry, body, body text, journal
			entry, journaling block, what to print, what it should say, texte, texto`,
		asWidth: `width, wide, w, space width, width of space, block width, box width, how wide, across, breite,
			largeur, ancho, larghezza, breedte`,
		asHeight: `height, high, h, tall, space height, height of space, block height, box height, how high, how tall,
			length, depth, down, hohe, hoehe, hauteur, alto, altezza, hoogte`,
		asSpace: `space, spaces, space size, size of space, size of the space, block size, box size, journaling space,
			journalling space, journaling size, journalling size, dimension, dimensions, measure, measures,
			measurement, measurements, measured space, w x h, wxh, width x height, width by height, width and
			height, size w x h, size wxh, area, spot, spot size, space available, space to fill`,
		asStock: `stock, paper, paper type, type of paper, kind of paper, paper stock, stock type, material, print on,
			printed on, media, sheet type, sticker or vellum, which paper, papier, papel`,
		asFont: `font, typeface, font name, font family, font face, fonts, font style, lettering, which font,
			schrift, schriftart, police`,
		asSize: `size, font size, type size, text size, point size, points, pt size, letter size, size of type, size
			of text, lettering size`,
		asAlign: "align, alignment, aligned, text align, text alignment, justification, justify, position",
		asInk: `ink, ink colour, ink color, colour, color, text colour, text color, font colour, font color, print
			colour, print color, farbe, couleur`,
		asTuck: "tuck, tuck allowance, allowance, flap, tuck side, tuck under, overlap",
		asTurn: `turn, may turn, may be turned, can be turned, turned, turning, rotate, rotation, may rotate, can
			rotate, ok to turn, ok to rotate`,
		asCopies: `copies, number of copies, no of copies, copy, qty, quantity, how many, how many copies,
			anzahl`,
		asTitle: "title, heading, headline, header, title line, block title, titel, titre, titulo",
		asWho: `who, people, who is in it, who is on it, who is in the photo, who is in the picture, who was there,
			persons, with, with whom`,
		asWhere: "where, place, location, where was it, venue, ort, lieu, lugar",
		asWhen:  "when, date, dates, when was it, event date, date of event, day, datum, fecha",
		asNote: `note, notes, comment, comments, remark, remarks, anything else, special requests, special request,
			note to organiser, note to organizer`,
		asPageColour: `page colour, page color, background, background colour, background color, colour of page, color of
			page, colour of the page, color of the page`,
		asSurname:  "surname, last name, family name, second name, last",
		asCount:    "count, sheets, number of sheets, how many sheets, on hand, in stock",
		asPrice:    "price, price per sheet, cost, cost per sheet, price each, each, preis, prix",
		asLeftover: "leftover, left over, kind, is leftover",
		asFits:     "fits, fit, words that fit, does it fit, how it fits",
	} {
		for _, s := range strings.Split(list, ",") {
			if f == 0 {
				break
			}
			synonyms[plainLetters(s)] = meaning(f)
		}
	}
}

// keywords recognise a longer heading by one word of it; the first that is there counts.
var keywords = []struct {
	word string
	f    meaning
}{
	{"width", asWidth}, {"wide", asWidth}, {"height", asHeight}, {"tall", asHeight}, {"font", asFont}, {"typeface",
		asFont}, {"copies", asCopies}, {"journaling", asJournaling}, {"journalling", asJournaling},
	{"stock", asStock}, {"paper", asStock}, {"dimensions", asSpace}, {"measurements", asSpace}, {"alignment", asAlign}, {"ink",
		asInk}, {"tuck", asTuck}, {"surname", asSurname}, {"owner", asName}, {"name", asName}, {"space", asSpace}, {"title", asTitle}, {"page", asPage},
}

// strangers look like a field by one of their words, and are none.
var strangers = map[string]bool{"paper size": true, "sheet size": true, "page size": true, "file name": true, "user name": true,
	"table name": true, "paper colour": true, "paper color": true, "line height": true, "page count": true,
	"x height": true, "stock number": true, "stock no": true, "name of event": true, "event name": true}

// fillers are words that a question has and a heading needs not.
var fillers = map[string]bool{"the": true, "a": true, "an": true, "your": true, "my": true, "our": true, "please": true,
	"required": true, "optional": true, "what": true, "is": true, "are": true,
	"do": true, "you": true, "want": true, "would": true, "like": true, "should": true, "it": true, "be": true, "eg": true, "and": true, "type": true, "enter": true, "column": true, "field": true, "of": true}

// recognised are headings that were looked up: a hostile table has one a hundred thousand times.
var recognised struct {
	sync.Mutex
	found map[string]recognition
}

type recognition struct {
	f           meaning
	unit, guess string
}

// mostRecognised is how many headings are remembered.
const mostRecognised = 2000

// recognise tells what a heading means, the unit that it names, and how it was found where it was not plain.
func recognise(heading string) (f meaning, unit string, guess string) {
	if len(heading) > 160 {
		return asUnknown, "", ""
	}
	recognised.Lock()
	defer recognised.Unlock()
	r, ok := recognised.found[heading]
	if !ok {
		if recognised.found == nil || len(recognised.found) == mostRecognised {
			recognised.found = map[string]recognition{}
		}
		r.f, r.unit, r.guess = lookUp(heading)
		recognised.found[heading] = r
	}
	return r.f, r.unit, r.guess
}

func lookUp(heading string) (f meaning, unit string, guess string) {
	if f, ok := synonyms[plainLetters(heading)]; ok && !strings.ContainsAny(heading, "\"”″“") {
		return f, "", ""
	}
	if strangers[plainLetters(heading)] {
		return asUnknown, "", ""
	}
	// The unit is the last thing that a heading says, in brackets or not: Width (cm), Width in inches, Width ".
	tokens := strings.Fields(strings.Map(func(r rune) rune {
		if strings.ContainsRune("()[]{},:;/?!*=#", r) {
			return ' '
		}
		return r
	}, heading))
	rest := tokens
	if n := len(tokens); n > 1 {
		if u, ok := measure.ParseUnit(tokens[n-1]); ok {
			unit, rest = u.String(), tokens[:n-1]
			if last := strings.ToLower(rest[len(rest)-1]); len(rest) > 1 && (last == "in" || last == "as") {
				rest = rest[:len(rest)-1]
			}
		}
	}
	outside, _, bracketed := strings.Cut(heading, "(")
	for _, s := range []string{strings.Join(rest, " "), outside} {
		key := plainLetters(s)
		if f, ok := synonyms[key]; ok {
			return f, unit, ""
		}
		words := slices.DeleteFunc(strings.Fields(key), func(w string) bool { return fillers[w] })
		if f, ok := synonyms[strings.Join(words, " ")]; ok {
			return f, unit, ""
		}
		if !bracketed {
			break
		}
	}
	key := plainLetters(strings.Join(rest, " "))
	if f := near(key); f != asUnknown {
		return f, unit, "near"
	}
	if f := near(plainLetters(outside)); f != asUnknown {
		return f, unit, "near"
	}
	words := strings.Fields(key)
	for _, k := range keywords {
		if slices.Contains(words, k.word) {
			return k.f, unit, "contains"
		}
	}
	return asUnknown, "", ""
}

var longSynonyms []string

func init() {
	for s := range synonyms {
		if len(s) >= 5 {
			longSynonyms = append(longSynonyms, s)
		}
	}
	slices.Sort(longSynonyms)
}

// near is the meaning of the known heading that is a letter off, or two where it is one long word; where two meanings
// are as near, none.
func near(key string) meaning {
	if len(key) < 5 || len(key) > 30 {
		return asUnknown
	}
	best, least := asUnknown, 2
	if len(key) >= 8 && !strings.Contains(key, " ") {
		least = 3
	}
	for _, s := range longSynonyms {
		switch d := config.Apart(key, s); {
		case d < least:
			best, least = synonyms[s], d
		case d == least && best != synonyms[s]:
			best = asUnknown
		}
	}
	return best
}

// plainLetters is a text as headings and names are compared: small letters without accents, and single spaces for all
// that is no letter or digit.
func plainLetters(s string) string {
	var b strings.Builder
	gap := false
	for _, r := range norm.NFKD.String(strings.ToLower(s)) {
		switch {
		case unicode.IsLetter(r) || unicode.IsDigit(r):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			b.WriteRune(r)
		case unicode.Is(unicode.Mn, r), r == '\'', r == '’':
			// an accent, or the apostrophe of one word
		default:
			gap = true
		}
	}
	return b.String()
}
