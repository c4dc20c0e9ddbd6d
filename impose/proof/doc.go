// Package proof shows every block before dear stock is used: a page for the browser that people look at on their phones or
// print at true size, the same blocks on plain paper to cut out and try, and the answers that come back.
//
//	proof.go    a job as a view; page.html shows it, with page.css and page.js
//	cards.go    the rows, person by person: a picture, or what is missing, and the boxes to answer in
//	picture.go  draw's pictures of blocks and pieces with text in them; webfont.go the fonts that it is set in
//	plain.go    the blocks on plain paper
//	reading.go  what people send back: each line is an answer, a part of one, or told
//	spaces.go   what a space that is given goes on with
//	unread.go   what is told of lines that are no answers
//	chats.go    messages of a chat: where they begin, who sent them, and those that say something of no block
//	takenback.go what takes back a text that was given, or an ok
//	codes.go    the blocks that a line names, and those that a range of codes, or numbers behind one, mean
//	crowd.go    how many blocks a file may name with others or beside them
//	answers.go  what answers come to for the rows of the job
//	wishes.go   what is wanted, as it is shown and in full
//	moves.go    whether an ok is about the row of an older wish, since codes move
//	places.go   where answers find their rows
//	given.go    texts and spaces among that, which are put into their rows
//
// One HTML file, and everything is in it. `proof.go` turns a job into a `pageView`, `page.html` shows the view (html/template,
// so that every text from a cell is escaped for the place it stands in), `page.css` and `page.js` are put in as they are.
// A policy in the head (Content-Security-Policy: `default-src 'none'`, the script by its SHA-256) makes the browser itself
// refuse any request and any other script.
//
// # The picture is the print
//
// A browser must neither shape, nor reorder, nor replace anything: the setting is done. Three ways were weighed: one path
// for each block (9 MB for 100 blocks), a symbol for each glyph and a `<use>` for each place (1 MB, and 900,000 nodes for
// 1,000 blocks), and a font for each face. `webfont.go` does the last: the face is cut by the same `press/subset` that
// cuts it for the PDF, and gets a `cmap` of our own with one code for each glyph in use. The code is the character that
// the glyph stands for where a browser has no ideas about it (runs from left to right, joins with nothing, is no mark), so
// that the words still show where fonts are refused; every other glyph - ligatures, marks, Hebrew, Arabic, the second
// glyph for one character - gets a code for private use, which no browser joins or turns round. `picture.go` writes a
// `<text>` for each span with an `x` for each glyph, in hundredths of a millimetre. So 100 blocks take 0.56 MB and 1,000
// about 4.3 MB, and a block is some ten nodes. `content-visibility: auto` keeps what is off the screen from being laid
// out. The pictures of sheets show the blocks' own groups again by `<use>`.
//
// # Text for people who cannot see the picture
//
// Stands beside it as paragraphs (`.said`), which the search, screen readers and find-in-page use; the SVG is
// `aria-hidden`. Without scripts all blocks are shown and what only a script can do is `hidden`; the script takes that
// away.
//
// # Answers
//
// A tick or a comment becomes a line, `MK-2 1f0c99ab change: spell Marie with ie`. The eight digits are
// `Fingerprint`: all that the row asks for beyond the settings, so that a mended row settles its wish for a change and a
// new configuration does not. `ReadAnswers` takes what mail and chat make of such text (signs of quoting, broken lines,
// other spaces, UTF-16); "ok but for the year" is a wish for a change, because a false hold costs a question and a false
// print costs stock. `Tally` finds each answer's row: by code and fingerprint, else - codes move when a row is put in
// above - by fingerprint among the same person's rows. Rows may be alike: each takes one answer's code, so that three texts for three
// rows are in three. The fingerprint of a row without text or space says whose it is; of others alike, two people with the same initials may
// be meant, and then a wish holds both back. What a held row lacked is given by a line of its own, `DO-2 5b0c99ab text: We
// rowed out. ¶¶` (¶ is a line break, two say that nothing was cut off) or `DO-4 77aa01f3 space: 4 x 2 in`. It counts with its fingerprint only,
// else it is a wish like another: a text must not be printed on the wrong block. `Give` hands it to the row's own reader, so that it is checked
// like any cell. A wish to the row as it was before still counts, also when somebody has typed in by hand what was given (`settleTyped`). The last answer to a row counts; an older wish whose row is
// mended by then is settled by an ok to its code, unless other answers show that rows have moved in between (`moves.go`): then it has a note of its own. Nor need they show it, so that all wishes settled so are named in one. In a chat each message begins anew, with any name behind its time (`chats.go`). What may be words there stays in what is quoted, and an ok behind it is none: a name is one that is written as names are and reads like no wish, or that somebody has who has rows in the job. "AN-1 to AN-3" means AN-2 as well. "AN-1, 2 and 3 ok" means AN-2 and AN-3, where nothing stands between. A wish in whatever words holds them, unless they count something. A text or an ok is taken back by a short line that plainly says so, of the same sender or in the same letter (`takenback.go`). What is still wanted is an error
// at the row, so that `make` stops, or goes on with `--hold-back`. The fingerprint is a promise to answers that are on
// their way: `testdata/script/proof.txtar` holds two of them.
//
// # Plain paper
//
// (`plain.go`, `--print`) has its pages drawn by `draw.Drawer`, the hand that draws the print:  Shelves, first fit, turned
// where that saves a shelf; 1/4 in margin, so that two 4 in columns stand side by side on letter.
//
// # How it is tested
//
// In Chromium, driven by chromedp (which is a test dependency only), printed to PDF and read by PDFium: the edge of a
// block equals its trim size within 0.2 mm, every glyph stands where the setting has it within 0.1 mm, and the shade and
// the box of the ink equal those of our own PDF (TrueType, CFF, Hebrew, Arabic). Hostile texts run nothing and ask for
// nothing. axe-core finds no violation at 360 and 1,280 px, light and dark (it cannot judge the contrast of the pictures:
// that is the ink and stock people chose); `TestContrast` works out WCAG's contrast for every pair of the palette. Without
// a browser, without `AXE_CORE`, and under the race detector these tests are skipped and say so. `PROOF_SHOTS=folder go
// test -run Shots ./impose/proof` writes screenshots to look at.
package proof
