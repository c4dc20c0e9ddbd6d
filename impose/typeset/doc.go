// Package typeset sets texts into spaces: it finds fonts, shapes, hyphenates, breaks lines by optimum fit and finds the
// largest size at which everything fits. Blocks go in, Settings come out: every glyph with its place and the text it
// stands for.
//
// The files in the order of the flow: set.go runs it all over the cores, and match.go brings blocks to one size; text.go cleans a text
// into paragraphs and finds its faces (ink.go judges the contrast); reads.go tells its language, and marks.go sets what a keyboard has
// as type; shape.go splits a paragraph into runs of one face, script and direction (bidi.go) and shapes it; typedlines.go finds the
// lines that somebody typed; breaks.go lists where lines may end, together.go where they should not, closing.go where the closing
// line does, hyphen.go where words part and widewords.go where those do that are wider than a line; sizes.go finds the size, fit.go what fits and optimum.go the lines; lines.go cuts a line out of
// a shaped paragraph; place.go puts it into the ink box; setting.go is what comes out; toolong.go and remarks.go say what did not fit
// or may look bad. Fonts are in library.go (names), open.go and webfont.go (a file is looked through before a library reads it), covers.go (which letters, without loading it), face.go (one font), blank.go (letters without an outline), optical.go (kerns
// for a face that has none), outline.go (glyphs as shapes), growth.go (fonts that make glyphs, or compare them, without end; past.go which lookups go past many), machines.go (those of Apple's kind), labour.go (such fonts and many letters) and builtin.go; label.go sets the words of labels and guides, trial.go a block
// by itself while it is typed.
//
// # Units
//
// Type without a size is measured in parts of the em, 2,048,000 to the em (1000 times 2048, the two
// units that fonts are drawn in): the widths of nearly every font are whole numbers of them, and sums are exact. A size turns parts into
// measure.Length, rounded once for each glyph. The line is two units narrower than the box: all that rounding can take.
//
// # Shaping once
//
// A paragraph is shaped once, whatever the size. A line takes its glyphs from there; only where the shaper marks the cut as
// unsafe (a kern with the space, a ligature, joined letters), or a hyphen is put in, the run is shaped again. A breakpoint
// knows what breaking there adds to the line before and after it, so that the reckoned width is the set one; where the words
// of a font depend on more than their neighbours, the excess is seen, the break made dearer by it and the lines broken
// again.
//
// # Breaking lines
//
// The method is that of Knuth and Plass, "Breaking Paragraphs into Lines" (1981), in TeX's integers, and tests compare it
// with TeX. What is ours: ragged lines have rigid spaces and a stretchable end, as TeX's \rightskip of an eighth of the
// line; centred text counts its last line; a hyphen before the last line, two hyphens in a row and a lonely short last
// word cost so much that any setting of the size without them wins. Lines to spare go to the paragraphs that gain most.
//
// A justified line is never worse than TeX accepts at a tolerance of 3,000. Where a block cannot be set so, or only more than an
// eighth smaller than ragged, it is ragged throughout, and a note says so.
//
// # The largest size
//
// Sizes are those of the scale between the smallest and the largest, and these two. Fitting is not monotone in the size. A lower
// bound on the number of lines is, and halving on it gives a size above which nothing fits; from there the text is really set,
// step by step down, until it fits. Words are broken only for a gain of a twentieth. Lines hold 75 letters at most where there is room for
// that, whatever the width of the box. Of a text that is too long the words to drop, the height and the smaller size are found the
// same way, by setting it.
//
// # Lines that somebody typed
//
// Neighbouring short lines are a stanza, a list or an address. A size at which all of them hold is taken where it is the next
// smaller one or costs an eighth; where one turns over, the rest hangs: by an em, or under the text after a bullet or number. Spaces at a
// line's start set it in.
//
// # Marks
//
// What is typed as ", ', --, ..., 1/2 or 20 x 30 is set as type: the delimiters are CLDR's, by the language that most common words of the
// text belong to. Every glyph still stands for what was typed (typed.at, Glyph.Text), so that a reader of the PDF gets that back.
//
// # Boxes, languages, fonts
//
// The boxes of lines take the font's own ascent and descent, and the tallest glyph where it reaches further, so that both
// stay within the ink box. Leading falls from 12 pt to 48 pt by a sixth. Hyphens go by the rules of the language that the
// text reads like; words with capitals (but German ones), digits or a hyphen
// of their own are left alone. Directions are those of UAX #9 without embedding characters: glyphs stand where they are
// seen and are listed in the order of the text; left is where lines begin. Names of fonts are looked up in the built-in
// families, then the folders, then the machine, and letters that a face lacks are lent in the same order. Before a font is
// parsed, every table is seen to lie within the file, and to name its pieces no more often than fonts do (package weigh): a small file must not ask for gigabytes.
//
// What is wrong with a text that fonts or the space tell is found here, all at once; what its cell alone tells was judged
// in intake.
package typeset
