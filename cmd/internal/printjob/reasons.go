package printjob

import "strings"

// reasonWords are the reasons that CUPS and printers give for how things stand (RFC 8011, 5.3.8 and 5.4.12; PWG 5100.9 for the parts of a
// printer), said plainly. The first whose keyword a reason begins with counts.
var reasonWords = [][2]string{
	{"media-jam", "paper is jammed: take it out, load a new piece and let the printer go on"},
	{"media-needed", "it wants paper: load the piece, and press the printer's button if it asks"},
	{"media-empty", "it is out of paper: load the piece, and press the printer's button if it asks"},
	{"media-low", "there is little paper left"},
	{"input-tray-missing", "a tray is missing"},
	{"output-area-full", "take the sheets out of its output"}, {"output-area-almost-full", "its output is nearly full"},
	{"output-tray-missing", "the tray for the output is missing"},
	{"cover-open", "a cover is open: close it"}, {"door-open", "a door is open: close it"}, {"interlock-open", "a cover is open: close it"},
	{"marker-supply-empty", "ink or toner is empty"}, {"marker-supply-low", "ink or toner is low"},
	{"toner-empty", "ink or toner is empty"}, {"toner-low", "ink or toner is low"},
	{"marker-waste", "its waste container is full or nearly so"},
	{"spool-area-full", "it has no room for the job"},
	{"connecting-to-device", "the computer looks for it"},
	{"offline", "it is off or not connected: switch it on"}, {"shutdown", "it is off: switch it on"},
	{"timed-out", "it does not answer: see that it is on and connected"},
	{"paused", "the queue is stopped: let it go on in the settings of the computer"},
	{"moving-to-paused", "the queue is being stopped"}, {"stopping", "it is stopping"}, {"stopped-partly", "a part of it has stopped"},
	{"hold-new-jobs", "the queue holds all new jobs"},
	{"cups-ipp-conformance-failure", "it does not answer quite by the standard"}, {"cups-missing-filter", "a part of CUPS for this printer is missing"},
	{"cups-insecure-filter", "CUPS refuses a part of this printer's driver"},
	{"job-hold-until-specified", "it is held until it is let go"}, {"resources-are-not-ready", "what it asks for is not loaded"},
	{"printer-stopped-partly", "a part of the printer has stopped"}, {"printer-stopped", "the printer has stopped"},
	{"job-canceled-by-user", "somebody cancelled it"}, {"job-canceled-by-operator", "somebody cancelled it"}, {"job-canceled-at-device", "somebody cancelled it at the printer"},
	{"job-canceled-after-timeout", "it took too long, and CUPS cancelled it"},
	{"aborted-by-system", "CUPS gave it up"}, {"document-format-error", "the printer could not read it"}, {"document-unprintable", "the printer could not print it"},
	{"unsupported", "the printer cannot do what it was asked for"},
	{"processing-to-stop-point", "it is being stopped"}, {"queued-in-device", "it waits in the printer"},
}

// silent reasons are no news while a job is printed.
var silent = []string{"job-printing", "job-incoming", "job-transforming", "job-completed", "processing", "job-data-insufficient", "job-queued", "job-outgoing", "job-interpreting",
	"job-spooling", "queued-in-device", "connecting-to-device", "job-restartable", "cups-waiting-for-job-completed", "job-fetchable", "account-"}

// Reason says a reason plainly, and one that is not known as it is.
func Reason(r string) string {
	for _, w := range reasonWords {
		if strings.HasPrefix(r, w[0]) {
			return w[1]
		}
	}
	for _, end := range []string{"-error", "-warning", "-report"} {
		r = strings.TrimSuffix(r, end)
	}
	return strings.ReplaceAll(printable(r), "-", " ")
}

// newReasons are the reasons worth saying, plainly, each once.
func newReasons(reasons []string) []string {
	var out []string
	seen := map[string]bool{}
next:
	for _, r := range reasons {
		for _, s := range silent {
			if strings.HasPrefix(r, s) {
				continue next
			}
		}
		if w := Reason(r); !seen[w] {
			seen[w] = true
			out = append(out, w)
		}
	}
	return out
}
