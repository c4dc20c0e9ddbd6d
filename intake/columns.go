package intake

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake/table"
)

// FormSteps is the first column, from 0, in which the form keeps the steps of its live column: nobody typed them.
const FormSteps = 23

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

// Column is a column of a sheet and what it was taken for.
type Column struct {
	File, Sheet string
	Index       int    // from 0
	Heading     string // as typed
	As          string // the form's heading for what it was taken for; "" where it is not read
	Unit        string // "in", "mm", ... where the heading names one
	Guess       string // how it was recognised where it was not plain: "near" or "contains"
	Double      bool   // another column was already taken for the same field; this one is not read
	as          meaning
	unit        measure.Unit
}

// Letter is the column's name in a spreadsheet: A, B, ... AA.
func (c Column) Letter() string { return table.Letters(c.Index) }

// Says is the form's heading for what the column's own heading says, also where another column is read for that; "" where
// no rule knows it.
func (c Column) Says() string { return c.as.String() }

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

// fillers are words that a question has and a heading needs not.
var fillers = map[string]bool{"the": true, "a": true, "an": true, "your": true, "my": true, "our": true, "please": true,
	"required": true, "optional": true, "what": true, "is": true, "are": true,
	"do": true, "you": true, "want": true, "would": true, "like": true, "should": true, "it": true, "be": true, "eg": true, "and": true, "type": true, "enter": true, "column": true, "field": true, "of": true}

// recognise tells what a heading means, the unit that it names, and how it was found where it was not plain.
func recognise(heading string) (f meaning, unit string, guess string) {
	if len(heading) > 160 {
		return asUnknown, "", ""
	}
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

// Sheet is a table and what its headings make of it.
type Sheet struct {
	*table.Sheet
	Head    int // index in Rows of the row of headings; -1 where there is none
	Columns []Column

	unit     measure.Unit // of a bare number where the column's heading names none
	use      use          // what is read of it
	problems problem.List
}

// AsJournaling is a table as one of journaling, or nil where its headings say that it is none.
func AsJournaling(t *table.Sheet) *Sheet {
	if s := newSheet(t); s.judge() == journaling {
		return s
	}
	return nil
}

func newSheet(t *table.Sheet) *Sheet { return &Sheet{Sheet: t, Head: -1, problems: t.Problems} }

// place is a row's place; column may be nil.
func (s *Sheet) place(r *table.Row, column *Column) problem.Place {
	p := problem.Place{File: s.File, Sheet: s.Name, Row: r.N}
	if column != nil {
		p.Column, p.Cell = column.Heading, table.Address(column.Index, r.N)
	}
	return p
}

// heads finds the row of headings and what its columns mean; known is how plainly.
func (s *Sheet) heads() (known int) {
	for i := range s.Rows[:min(len(s.Rows), 40)] {
		r := &s.Rows[i]
		score, seen := 0, map[meaning]bool{}
		for j := range r.Cells {
			c := &r.Cells[j]
			if c.Kind != table.Text || c.Covered || j > 200 {
				continue
			}
			f, _, guess := recognise(c.Text)
			if f == asUnknown || seen[f] {
				continue
			}
			seen[f] = true
			score += 3
			if guess != "" {
				score--
				if guess == "contains" {
					score--
				}
			}
		}
		if score > known && (len(seen) > 1) {
			known, s.Head = score, i
		}
	}
	if s.Head < 0 {
		return 0
	}
	taken := map[meaning]bool{}
	for j := range s.Rows[s.Head].Cells {
		c := &s.Rows[s.Head].Cells[j]
		f, unit, guess := recognise(c.Text)
		if c.Kind != table.Text {
			f, unit, guess = asUnknown, "", ""
		}
		col := Column{File: s.File, Sheet: s.Name, Index: c.Col, Heading: line(c.Text), as: f, Unit: unit, Guess: guess}
		col.unit, _ = measure.ParseUnit(unit)
		s.Columns = append(s.Columns, col)
	}
	// Plain headings are taken first, so that a near miss does not take a field away from one that says it.
	for _, plain := range []bool{true, false} {
		for j := range s.Columns {
			c := &s.Columns[j]
			if c.as == asUnknown || (c.Guess == "") != plain {
				continue
			}
			c.Double = taken[c.as]
			taken[c.as] = true
		}
	}
	s.sizeOrSpace()
	for j := range s.Columns {
		if c := &s.Columns[j]; !c.Double {
			c.As = c.as.String()
		}
	}
	return known
}

// sizeOrSpace tells what a column headed "Size" means: the type size, or, where nothing else gives the space, the
// space.
func (s *Sheet) sizeOrSpace() {
	c := s.column(asSize)
	if c == nil || s.column(asSpace) != nil || s.column(asWidth) != nil || s.column(asHeight) != nil || plainLetters(c.Heading) != "size" {
		return
	}
	c.as = asSpace
	if s.column(asJournaling) == nil { // a list of something else
		c.as = asSize
	}
}

// column is the column that is read for a field, or nil.
func (s *Sheet) column(f meaning) *Column {
	for i := range s.Columns {
		if c := &s.Columns[i]; c.as == f && !c.Double {
			return c
		}
	}
	return nil
}

// use is what a sheet holds.
type use uint8

const (
	nothing use = iota
	journaling
	paper
)

// judge decides what the sheet is and reports on its columns.
func (s *Sheet) judge() use {
	known := 0
	if len(s.Rows) > 0 {
		known = s.heads()
	}
	has := func(f meaning) bool { return s.column(f) != nil }
	spaced := has(asSpace) || has(asWidth) || has(asHeight)
	title := plainLetters(s.Name)
	switch {
	case known == 0, title == "help", title == "lists", title == "instructions":
		return nothing
	case has(asJournaling) && (has(asName) || spaced):
		return journaling
	case !has(asJournaling) && !has(asName) && spaced && (title == "paper" || strings.Contains(title,
		"leftover") || has(asStock) && (has(asCount) || has(asPrice))):
		return paper
	case has(asName) && spaced && known >= 9 && !has(asCount):
		return journaling // its text column is missing: an error, not a sheet of something else
	}
	return nothing
}

// reportColumns says what is odd about the headings of a journaling sheet; false means that the sheet cannot be read.
func (s *Sheet) reportColumns(configured measure.Unit) bool {
	at := s.place(&s.Rows[s.Head], nil)
	whole := at
	whole.Row = 0
	var unread []string
	for i := range s.Columns {
		c := &s.Columns[i]
		switch {
		case c.Double:
			unread = append(unread, fmt.Sprintf("%s in column %s (a second one for %s)", measure.Quote(c.Heading), table.Letters(c.Index), c.as))
		case c.as == asUnknown && c.Heading != "", c.as == asCount, c.as == asPrice, c.as == asLeftover:
			unread = append(unread, measure.Quote(c.Heading))
		case c.Guess == "near":
			s.problems.Note(s.place(&s.Rows[s.Head], c), fmt.Sprintf("the column %s is taken for %s", measure.Quote(c.Heading), c.as),
				"no heading is spelled so, and that one is near", "correct the heading if it means something else")
		}
	}
	if len(unread) > 0 {
		if len(unread) > 8 {
			unread = append(unread[:8], "and others")
		}
		s.problems.Note(at, "not read: "+strings.Join(unread, ", "), "no heading of the form means that",
			"rename the column if it matters for the print")
	}
	s.unit = configured
	for i := range s.Columns {
		if c := &s.Columns[i]; !c.Double && c.Unit != "" && (c.as == asWidth || c.as == asHeight || c.as == asSpace) {
			s.unit = c.unit
			break
		}
	}
	if u, ok := s.statedUnit(); ok {
		s.unit = u
	}
	var missing []string
	if s.column(asName) == nil && s.column(asSurname) == nil {
		missing = append(missing, "Name")
	}
	if s.column(asJournaling) == nil {
		missing = append(missing, "Journaling")
	}
	if s.column(asSpace) == nil {
		switch w, h := s.column(asWidth) != nil, s.column(asHeight) != nil; {
		case !w && !h:
			missing = append(missing, "Width and Height (or Space)")
		case !w:
			missing = append(missing, "Width")
		case !h && !s.pairs():
			missing = append(missing, "Height")
		}
	}
	if len(missing) == 0 {
		return true
	}
	s.problems.Add(whole, "there is no column "+strings.Join(missing, " and no column "),
		fmt.Sprintf("the headings in row %d are %s", at.Row, s.headings()), "add the column, or name it as the form does")
	return false
}

// noteStray tells of cells that no heading stands above. The form's own steps beside its columns are none.
func (s *Sheet) noteStray() {
	if s.CSV {
		return // there, such a row is held back
	}
	last := math.MaxInt
	if s.column(asFits) != nil {
		last = FormSteps
	}
	named := map[int]bool{}
	for _, c := range s.Columns {
		named[c.Index] = true
	}
	var found []string
	for i := s.Head + 1; i < len(s.Rows); i++ {
		for k := range s.Rows[i].Cells {
			if c := &s.Rows[i].Cells[k]; !named[c.Col] && c.Col < last && !c.Covered && c.Kind != table.Uncomputed && strings.TrimSpace(c.Text) != "" {
				if found = append(found, table.Address(c.Col, s.Rows[i].N)); len(found) > 5 {
					break
				}
			}
		}
		if len(found) > 5 {
			found[5] = "and others"
			break
		}
	}
	if len(found) > 0 {
		s.problems.Note(problem.Place{File: s.File, Sheet: s.Name}, "cells without a heading were not read: "+strings.Join(found,
			", "), "what they mean is not known", "give their column a heading if it matters for the print")
	}
}

// pairs reports a Width column that holds whole sizes, as 4 x 2.
func (s *Sheet) pairs() bool {
	c := s.column(asWidth)
	for i := s.Head + 1; i < len(s.Rows); i++ {
		if cell := s.Rows[i].At(c.Index); cell != nil {
			_, err := measure.ParseSize(cell.Text, measure.In)
			return err == nil
		}
	}
	return false
}

// headings lists the headings as typed.
func (s *Sheet) headings() string {
	var out []string
	for _, c := range s.Columns {
		if c.Heading != "" && len(out) < 12 {
			out = append(out, measure.Quote(c.Heading))
		}
	}
	return strings.Join(out, ", ")
}

// statedUnit finds a line above the headings such as "All measures in cm".
func (s *Sheet) statedUnit() (u measure.Unit, ok bool) {
	for i := range s.Rows[:s.Head] {
		for j := range s.Rows[i].Cells {
			text := s.Rows[i].Cells[j].Text
			tokens := strings.Fields(plainLetters(text))
			if len(text) > 100 || !slices.ContainsFunc(tokens, func(w string) bool {
				return strings.HasPrefix(w, "measure") || strings.HasPrefix(w, "unit") || strings.HasPrefix(w, "dimension") || w == "sizes"
			}) {
				continue
			}
			if u, ok = measure.ParseUnit(tokens[len(tokens)-1]); ok {
				return u, true
			}
		}
	}
	return 0, false
}
