// Package press writes pages as PDF: each section a PDF of its own, merged into one by pdfcpu, the same bytes each time.
//
//	page.go       what a page is: size, texts, rules, fills
//	press.go      Write, which goes by these steps:
//	fonts.go      gather gives out codes for the glyphs of the whole document, and makes the font programs (package subset)
//	spell.go      what a reader gets back of clusters of several glyphs
//	section.go    each section is a PDF of its own
//	content.go    a page as operators; the one place where y is flipped; number.go prints their numbers
//	merge.go      pdfcpu joins the sections in one pass
//	describe.go   the document's language and title, as it tells other programs
//	canonical.go  the result in an order of its own
//	open.go       a finished PDF again: whether it is as it was written, its plan, some of its pages
//	printed.go    and whether reading it costs no more than that of one which was
//
// # Codes
//
// Text is addressed by glyph, as the shaper gave it (Type0, Identity-H). A code (CID) is a glyph *together with the text
// it stands for*, so the fi ligature reads back as "fi", and a hyphen that the setting put in as U+00AD while the same
// glyph, typed, stays "-". Codes are given out over the whole document: a font is then the same object in every section,
// and `canonical` makes one of the equal copies.
//
// # Clusters of several glyphs
//
// (`spell.go`; x with a breve, in a font that has no such letter). The letters are dealt out to the glyphs, a glyph with
// no letter left stands for U+2060 - with no entry at all PDFium and others show its code as a letter - and the whole
// cluster carries an ActualText. An accent has no advance and sits back over its letter; the jump ahead to the next letter
// would be read as a space, so the accent's code is given that distance as its width.
//
// # Positions
//
// Each glyph has its place; the pen moves by the widths in the font dictionary. Those are whole 1/1000 em, because PDFium
// drops the fraction, and the row is nudged (TJ) where a glyph would stand more than 250 EMU (0.007 mm) from its place, by
// the difference to where the pen really is: nothing adds up. All sums are in whole numbers. y is flipped in one method
// (`content.point`), the printer's correction is one `cm`.
//
// # Fonts are cut by press/subset, not by a library
//
// The library tried first refused "$" in Latin Modern and fonts keyed by CID, could not open the last face of a
// collection, wrote the clock into the font, changed the font it cut, and panicked on damaged files. `subset` reads only
// the tables it needs. TrueType: outlines are copied, the parts of composite glyphs added behind. CFF: the result is keyed
// by CID whatever the font was keyed by, with one font dictionary for each part in use; unused subroutines are emptied,
// not removed, so that calls keep their numbers. Which are used is found by walking the charstrings; where the walk is not
// sure (arithmetic on the stack), all are kept: larger, never wrong. That the walk is right shows in STIX: over all glyphs
// it finds 667 of 667 local and 807 of 807 global subroutines. Every read is bounds-checked by one type (`safeBytes`) whose
// panic one function turns into ErrDamaged.
//
// # pdfcpu
//
// Merges, adds bookmarks, viewer preferences and properties. Two things are done again after it: its bookmarks point by
// name through a tree that grows a level with every other title (PDFium gives up 32 levels down: in a test of 100 pages 37
// bookmarks led nowhere), so each gets its page directly; and its writer follows map order and the clock, so `canonical`
// serialises its object table: numbered depth first by sorted keys, no dates, /ID
// from the content. `describe` adds the language and XMP.
//
// # Reading back
//
// `press/readback` is PDFium (WebAssembly, pure Go) for tests: `readback.Open(t, pdf)`, then Text, Chars, Words, Grey,
// Ink, Bookmarks in our units, top-left, y down. One engine a process; compiling it takes 2.5-4 s once, then 0.1 s from
// the cache in the user's cache folder (21 MB). Under `-race` Open skips the test. Three quirks are taken back or
// documented there: PDFium adds 1/64 to the height of a glyph's box in composite fonts (taken back); its boxes of TrueType
// glyphs hold the control points of curves (19 of 11,800 glyphs compared were wider than their ink); a line-end hyphen
// comes as U+0002 or U+FFFE (given as U+00AD), and the line end after it is dropped. Between lines PDFium may give a space
// instead of a line end: compare words, not white space.
//
// # What checks it
//
// Random pages through PDFium: every glyph within 0.02 mm (worst 0.0067), sizes, angles, order; every glyph of four fonts
// boxes found by PDFium in the cut font against go-text's of the original; ink by pixels; qpdf and pdfcpu's
// strict validation; poppler's words and boxes; any title by rapid; the same bytes a second later, on 1 and 2 cores, and
// from four goroutines; damaged fonts by seed and by `FuzzFont`, `FuzzOpen` (`go test ./impose/press/subset -fuzz FuzzOpen
// -fuzzminimizetime 10x`).
//
// # Numbers
//
// (`go test ./impose/press -run XXX -bench Write`, 2 cores under load): 100 pages with 1,000 blocks 47 ms and 8.8 MB
// allocated, 1,000 pages with 10,000 blocks 0.39 s and 50 MB: linear. Latin text of 77 letters takes 8-12 KB a face, 326
// letters of Latin-1 and Latin Extended-A 27-37 KB.
//
// # Known limits
//
// CFF fonts that compose accented letters by the old "seac" way are refused; so are CFF2 (variable OpenType) and picture
// fonts. Variable TrueType fonts come out in their default style. MuPDF up to 1.21 ignores ActualText and reads a space
// after a loose accent. In turned text PDFium may end a line after one.
package press
