// Package printjob takes the pieces of a finished PDF to the printer: each with its own size of paper, tray, kind of paper and
// quality, with a person beside the printer who loads what is asked for.
//
//	document.go  the PDF, whole and unchanged, with the plan that it carries
//	job.go       its pages as jobs: what goes to a queue at once, and what is asked for
//	queue.go     what the queues of CUPS can do
//	check.go     whether each job's queue can do what the job asks for, before anything is sent
//	front.go     what a session tells and asks, as values; terminal.go a front of lines
//	run.go       the session: load, send, follow, ask, next
//	send.go      one job, sent and followed so that it is never printed twice by itself
//	state.go     how far the printing is, in a file beside the PDF
//	reasons.go   what holds a printer up, in plain words
//	table.go     queues as a table and as lines for tuckmark.yaml
//	command.go   what `tuckmark print` and `tuckmark printers` do behind their flags; open_*.go the PDF in the system's own program
//
// # Front doors
//
// Prepare makes a Session of a PDF and a part of it, with all that is wrong or worth knowing before. Run tells its Front what happens as
// Events, each with its data and with words for people, and asks Questions, each with the answers that it takes; it knows no terminal.
// Ask may block as long as a person takes; when the context ends, Run settles what it has begun, tells a Summary and returns.
//
// # CUPS' own protocol, not its commands
//
// Both were tried on faults (Debian 12, CUPS 2.4.2, the rig). `lp` reports the number of a job when the job is already under way, so a
// run that is killed in between does not know of it; `lp -H hold` and `lp -i N -H resume` mend that. But what became of a job has to be
// read out of `lpstat`, and is not in it: a job that was cancelled and one that was printed are listed alike (both "Alerts:
// processing-to-stop-point"), a jam is not told of ("Status: Printing."), and one that a killed cupsd has forgotten is in neither
// list. With cupsd gone `lp` says "The printer or class does not exist", as it does of a queue that is not there. The protocol tells
// these apart (job-state 7, 9 or not found; reasons as keywords; a request without an answer), and takes no words to be read.
//
// # Sizes
//
// CUPS makes whole points of a media-size (up to 0.18 mm off) where the queue has a driver file, which is what -m everywhere makes.
// A piece of no named size is therefore asked for by the option PageSize as well, which keeps hundredths of a millimetre.
//
// Each job asks for print-scaling "none", each page is as large as the paper that is asked for, and each PDF says that it is not to be
// scaled. CUPS 2.4.2 does not hand print-scaling on to a printer without a driver of its own (OpenPrinting/cups 862), so there the size
// alone says it: "auto" leaves a page alone that is no larger than its paper (PWG 5100.16), but not every printer keeps to that. A
// test page, printed the same way, shows it.
//
// # Never twice
//
// Before a job is let go nothing can be printed, and whatever goes wrong is done again. From then on only its end in CUPS, or
// a person, settles it. A job that has ended is taken out of CUPS with its files: a cupsd that is killed forgets what it did in
// the last half minute (DirtyCleanInterval), and would print it again when it starts. What is left is a cupsd that is killed
// within the third of a second between the end of a job and our taking it out, after having written the job down as being
// printed: that one prints it again by itself, as it would any program's.
//
// CUPS begins a job anew by itself where its queue is stopped and let go on, where CUPS is restarted, and, without letting it go back into the queue, where the
// program that carries it to the printer ends with 7 or fails on a queue of the policy retry-current-job. What came before it comes once more. The first shows in the
// job's state, the others in the time of its beginning (time-at-processing, whole seconds) and in the events of the queue, which are subscribed to for each job. The
// count of its pages tells nothing: filters and printers both count. Such a job is asked about, and in doubt where nobody is there.
//
// What an earlier session let go and CUPS has yet after a short time is asked about, since its printer may be gone for good: what is taken back is followed to its end
// and asked about then, for some of it may have come out. With nobody there it is waited for, and in doubt.
//
// The file beside the PDF has a seal (save.Sealed) and is read strictly: a page whose record is overlooked would be printed once more.
//
// Two sessions of one PDF at once would each let a piece go that the other does not know of. So a session holds the PDF from its first look at how far the
// printing is to its end, and a second one is refused before it sends anything. It is the PDF that is locked, not the file beside it, which is replaced at each
// step. Where that keeps nobody away (a disk without locks, or the same PDF put in its place anew), a session stops as soon as the file beside the PDF is not
// as it wrote it last, with what it had not let go yet taken back.
package printjob
