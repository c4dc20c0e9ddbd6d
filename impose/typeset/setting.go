package typeset

import (
	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/intake"
)

// Glyph is a shaped glyph: its origin on the baseline, relative to the top-left corner of the unturned trim box, and the
// text it stands for (empty for the later glyphs of a cluster). A hyphen that the setting put in stands for U+00AD.
type Glyph struct {
	ID   uint16
	X, Y measure.Length
	Text string
}

// Span is a row of glyphs of one face and size.
type Span struct {
	Face   *Face
	Size   measure.Length
	Colour config.Colour
	Glyphs []Glyph
}

// Line is one set line; its spans stand in reading order.
type Line struct {
	Baseline measure.Length
	Spans    []Span
}

// Setting is a block with every glyph in its place.
type Setting struct {
	Block *intake.Block
	Face  string         // name of the face of the text, as a person would write it
	Size  measure.Length // of the text; a multiple of config.TypeStep
	Lines []Line
	Ink   measure.Rect // smallest rectangle that holds all ink and advances, relative to the trim box

	broken   string         // the first word that is wider than a line, and is broken
	brokenIn string         // the form's column that it is typed in; "" is the text's
	unbroken measure.Length // width of the lines in which none would have to be, in the smallest type
}
