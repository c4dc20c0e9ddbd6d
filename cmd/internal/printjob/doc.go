// Package printjob takes the pieces of a finished PDF to the printer: each with its own size of paper, tray, kind of paper and
// quality, with a person beside the printer who loads what is asked for.
//
//	document.go  the PDF, whole and unchanged, with the plan that it carries
//	job.go       its pages as jobs: what goes to a queue at once, and what is asked for
//	queue.go     what the queues of CUPS can do
//	check.go     whether each job's queue can do what the job asks for, before anything is sent
//	run.go       the session: load, send, follow, ask, next
//	send.go      one job, sent and followed so that it is never printed twice by itself
//	state.go     how far the printing is, in a file beside the PDF
//	reasons.go   what holds a printer up, in plain words
//	table.go     queues as a table and as lines for tuckmark.yaml
//	command.go   what `tuckmark print` and `tuckmark printers` do behind their flags
//
// # CUPS' own protocol, not its commands
//
// Both were tried on faults (Debian 12, CUPS 2.4.2). With the protocol a job is created and sent held, with its number in our
// file before a sheet moves; `lp` prints the number after the job may be under way, and a run that is killed in between does not know
// of it. With `lp -H hold` and `lp -i N -H resume` the same steps could be made, but what became of a job would have to be read
// out of `lpstat`, which prints for people: "home-7 root 53248 Thu ..." while it waits and nothing of it once it is gone, be it
// printed, cancelled or forgotten by a CUPS that was killed. The protocol says which (job-state 9, 7, not found), and gives the
// printer's reasons as keywords. With cupsd gone both fail at once: `lp` with "Bad file descriptor" or "scheduler not responding",
// which does not tell whether the job was taken; the client knows which request got no answer.
//
// # Never twice
//
// Before a job is let go nothing can be printed, and whatever goes wrong is done again. From then on only its end in CUPS, or
// a person, settles it. A job that has ended is taken out of CUPS with its files: a cupsd that is killed forgets what it did in
// the last half minute (DirtyCleanInterval), and would print it again when it starts. What is left is a cupsd that is killed
// within the third of a second between the end of a job and our taking it out, after having written the job down as being
// printed: that one prints it again by itself, as it would any program's.
package printjob
