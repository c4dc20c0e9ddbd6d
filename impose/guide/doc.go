// Package guide writes the plain-paper pages that take a person from the PDF to envelopes with everyone's blocks in them:
// run sheet, cutting guide, sorting list and paper account, and the pages to choose a font by and to measure a printer by.
// All of it is read off the account.
//
//	guide.go     puts the sections together and numbers the pages
//	hand.go      sets labels in a plain face; words.go says how numbers and names are written
//	write.go     writes down a page: text, rules, tick boxes, wrapping, columns, page breaks; table.go rows under headings across pages; terms.go
//	             words explained on a tint
//	runsheet.go  with card.go, a stock's steps, and remarks.go, what was held back and noted
//	cutting.go   pages of bands: band.go is a picture with its cuts, blocklist.go what lies where as far as the picture does not say it,
//	             picture.go, badges.go (numbers of cuts) and label.go the picture
//	scissors.go  what they say where there is no trimmer
//	sorting.go   envelopes
//	account.go   paper used, who owes what, leftovers and scrap
//	testpage.go  a page to measure a printer by, and crosses.go, what was measured; specimen.go pages to choose a font by
//
// # Pages that name pages
//
// The guides name the pages of the pieces, and the pieces are numbered behind the guides. So the *number* of guide pages
// must not depend on the numbers in them: wherever a text holds page numbers, room is kept for the text with every number
// four digits wide (`widest`). The command numbers from 1, asks how many pages there are, numbers again and asks once
// more. `TestPagesCountIndependentOfNumbers` holds this for offsets up to 8,500. Within the guides the run sheet is
// written twice for the same reason (it names the pages of the other sections). A section that fits wholly below the one
// before shares its page.
//
// # Pictures
//
// A picture and its list of cuts stand side by side on one page. As many bands stand on a page as it holds with pictures of the size that takes
// least room and has a letter in every block; then the pictures grow into what the page has left. A list that no page holds goes on on the next one
// beside the picture again, with the numbers of that page's cuts; pieces that are cut alike, but too many to list, are parted over pages, each with
// the picture and all cuts. A picture that is too full to stand beside its list has a page's width at first.
//
// Numbers of cuts are white on black, so that they do not look like places and codes. They stand outside the piece where the cut reaches its edge,
// pushed apart where they would touch (`spread`: merge neighbours that overlap around the mean of where they want to be, then clamp); other
// numbers take the first place along their cut that is free of labels and numbers, or stand beside it with a thin line where they would hide it.
// A label is the fullest wording that fits its part whole, and runs down only where its block does; it goes aside for a number, or says less, and
// what the picture then does not say is listed.
//
// # Rows that a reader finds again
//
// PDFium guesses from how the texts cover a page whether it is written across or downwards; a page of short columns it
// takes for the latter and jumbles the rows. So the foot is one row of glyphs from margin to margin, and the pictures'
// texts, some of which run down, stand last in a page's reading order. `TestCuttingGuideThroughPDFium` cuts all made-up
// jobs by what PDFium reads.
//
// # The test page
//
// A printer that is told to print a point at p prints it at a·p + b. The page has crosses at known places;
// from where two of them are found, near at m and far at n, follow a and b, and with them what takes both back. As the
// page was itself sent with the correction so far, scale·p + shift, the new one is worked out from that one: new scale =
// scale·(far − near)/(n − m), new shift = shift + scale·near − m·(new scale). The page prints the same two formulas with
// their constants filled in, so the words hold on a printer that was corrected before; `testpage --measured "A; B; C; D"`
// does the sum. `TestEnteredCorrectionMends` plays the faulty printer, measures PDFium's picture, enters the answer and
// looks again. `press` applies the correction (Page.Scale, ShiftX, ShiftY) to everything on a page; the plan knows of it
// only that nothing may be moved off the page (`config.Printer.Unprintable`).
package guide
