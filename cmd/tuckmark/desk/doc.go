// Package desk is the whole job in a browser: a server on this machine's own address, the pages that it shows, and the work behind them. The job
// itself is a jobbook.Book; what is set, laid and checked is an impose.Job, as for the commands.
//
//	desk.go        a desk from its start to its end: address, lock, job, browser
//	guard.go       what a request has to be before it is answered; lock.go a second start, browser.go the first way in
//	server.go      all ways in, as one table
//	pages.go       templates, scripts and styles (assets/), answers and refusals; events.go what pages are told by themselves
//	start.go       beginning, opening, dropping, pasting
//	journaling.go  people and their blocks, and changes of rows; history.go back and forth; headings.go columns that nobody knows,
//	               and told.go what was said as rows came in, which may hang on these
//	paper.go       what lies in the folder; machines.go printers and trimmer, and costs.go what is paid for besides
//	               paper, in the tuckmark.yaml, which settings.go writes, and looks at while others may write it
//	sheets.go      every piece with its blocks; advising.go what would save a sheet, to press and take back; keeping.go blocks kept where they lie;
//	               trying.go another stock or space, looked at before it is kept
//	making.go      the PDF and the report, as files beside the workbook; print.go a session at the printer, printview.go its page; reprint.go blocks once more
//	cutting.go     the cuts as the screen shows them beside the trimmer, one at a time; cutsdone.go how far they are done; share.go envelopes, account and messages
//	laying.go      the job laid anew after each change; pictures.go blocks and pieces drawn, and what is being typed
//
// # What may come in
//
// guard.go stands before everything. The Host must be the address and port that the desk listens on, so that no name that somebody makes lead here is
// served; what changes anything must say by its Origin that it comes from a page of the desk; a browser must have the cookie. The cookie is given for
// a secret that is good once, by a page that posts it (enter.js): the secret stands behind the hash of the address, which no browser sends anywhere,
// and the browser itself is started on a file that only the user can read, since a program's arguments are no secret. A path is a key of one table
// and nothing else; files are named by their number or title in a list that the desk made. Sizes and rates are limited, and how long a request may
// take to come. Pages have a policy without inline script and style; pictures of what people typed are outlines in a sandbox. A panic, which is a
// fault of ours, is told where the request is answered, where the job is laid, and where its files are made (faultOf): the desk goes on, and what was
// typed is kept.
//
// # Live
//
// What is typed goes to /try, which sets that one row by itself (impose.Try, with fonts and outlines that are loaded once) and changes nothing; one
// trial is under way at a time, and of the letters typed meanwhile only the newest text is tried. When the hand rests, or after a second, the row's
// cells go to /change and so into the book. A change has the layer lay the job anew: texts first, then sheets at a small part of the effort, then
// fully; each is given up by its context as soon as something newer comes. Pages hear of each by /events, for which all of a browser have one
// connection (listen.js), or ask /now where a browser cannot share one, and fetch their parts anew, as HTML from the same templates. What could not be sent waits
// on its page, and comes with what the page saw in the cell: what somebody else wrote there meanwhile is not overwritten but asked about. Pages are
// told as well that a PDF was made anew, or that the configuration is another, and show anew what hangs on those (desk.renews); with how far the cuts
// are done comes what they are the cuts of. Pages say which job they show; to another one, opened since, they do nothing. The address of a picture says how it looks, so that a browser keeps those that have not changed.
//
// # Tests
//
// guard_test.go sends what must be refused; story_test.go and carried_test.go go through whole stories in Chromium; DESK_SHOTS=folder go test -run Shots (and, with
// LONG_TESTS=1, Crop) writes pictures of all parts. `go test -run XXX -bench . ./cmd/tuckmark/desk` measures a letter and 1,000 blocks.
package desk
