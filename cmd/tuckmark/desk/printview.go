package desk

import (
	"context"
	"fmt"
	"net/http"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"time"

	"tuckmark/cmd/internal/printjob"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// printView is the part in which the job is printed.
type printView struct {
	frame
	Prints  printsView
	Session sessionView
}

// printsView is what there is to print, stock by stock.
type printsView struct {
	Made   bool
	Fresh  bool // made of the job as it stands
	File   string
	Report string
	Yours  []string    // what became of files that somebody had changed when they were made anew
	Ready  []readyView // PDFs of blocks that were made ready to be printed once more, and that are not all printed yet
	Mend   int         // rows that are held back for what is typed in them
	Out    int         // rows that found no place on the paper
	Begun  bool
	Stocks []stockView
	Wrong  *finding  // the PDF cannot be read
	Config *finding  // the configuration is not taken over as it is now
	Found  []finding // about the printers
	CUPS   bool      // the computer prints by buttons
}

// stockView is what is printed on a stock.
type stockView struct {
	Name, Download string
	Loads          []loadView
	Left           bool // there is something to print yet
}

// cupsTime is how long CUPS may take to say what printers there are.
const cupsTime = 5 * time.Second

func (s *server) printsView(ctx context.Context, j *openJob) (v printsView) {
	if n := j.layer.latest.Load(); n != nil {
		v.Out = n.withoutPlace()
		v.Mend = n.toMend() - v.Out
	}
	if p := j.watched.wrong.Load(); p != nil {
		f := findingOf(*p)
		f.From, v.Config = f.Place, &f
	}
	d, fresh, bad := j.made()
	if bad != nil {
		f := findingOf(*bad)
		v.Wrong = &f
	}
	if d == nil {
		return v
	}
	v.Made, v.Fresh, v.File, v.Report, v.Yours = true, fresh, d.Name(), filepath.Base(j.report()), j.outputs.yoursWords()
	for _, r := range j.readied() {
		if r.left {
			v.Ready = append(v.Ready, readyView{File: r.name(), Codes: r.named()})
		}
	}
	ctx, end := context.WithTimeout(ctx, cupsTime)
	defer end()
	session, found := s.printer.prepare(ctx, j.pdf(), j.layer.settings.Load(), printjob.Part{})
	v.Found = findingsOf(found)
	if session == nil {
		return v
	}
	v.CUPS = session.Client != nil && found.Errors() == 0
	printed, unread := d.Printed()
	if unread != nil {
		v.Found = append(v.Found, findingOf(*unread))
	}
	v.Begun = len(printed) > 0
	of := map[int]string{} // the stock of what a page is printed for
	for _, p := range d.Plan.Pieces {
		for _, n := range p.Pages() {
			of[n] = p.Stock
		}
	}
	for i, name := range stocksOf(d.Document) {
		v.Stocks = append(v.Stocks, stockView{Name: name, Download: "/download/stock-" + strconv.Itoa(i)})
	}
	for i, l := range session.Loads() {
		one := viewOf(l, session.Unit)
		if !v.CUPS {
			one.Asks = session.Jobs[i].Asks()
		}
		one.Came = came(l.Pages, printed)
		at := slices.IndexFunc(v.Stocks, func(t stockView) bool { return t.Name == of[l.Pages[0]] })
		if at < 0 {
			continue // the PDF was made anew this moment
		}
		t := &v.Stocks[at]
		t.Loads = append(t.Loads, one)
		t.Left = t.Left || slices.ContainsFunc(l.Pages, func(n int) bool { return toPrint(printed[n]) })
	}
	return v
}

// toPrint reports whether a page is still to be printed.
func toPrint(c printjob.Came) bool { return c == printjob.NotYet || c == printjob.InDoubt }

// leftOf are the pages of a stock, "" for all, that are still to be printed; with again also those that have been.
func leftOf(d *printjob.Document, stock string, printed map[int]printjob.Came, again bool) (pages []int) {
	for _, p := range d.Plan.Pieces {
		for _, n := range p.Pages() {
			if (stock == "" || p.Stock == stock) && (again || toPrint(printed[n])) {
				pages = append(pages, n)
			}
		}
	}
	return pages
}

// came says what became of pages, where it is known.
func came(pages []int, printed map[int]printjob.Came) string {
	words := map[printjob.Came]string{printjob.Well: "printed", printjob.Badly: "to be done again", printjob.InDoubt: "not known whether it came out"}
	sorted := map[printjob.Came][]int{}
	for _, n := range pages {
		sorted[printed[n]] = append(sorted[printed[n]], n)
	}
	var out []string
	for _, c := range []printjob.Came{printjob.Well, printjob.Badly, printjob.InDoubt} {
		switch list := sorted[c]; {
		case len(list) == len(pages):
			out = append(out, words[c])
		case len(list) > 0:
			out = append(out, printjob.PageWords(list)+": "+words[c])
		}
	}
	return strings.Join(out, "; ")
}

// drawnLong is the longer side of a drawing of a piece, in pixels.
const drawnLong = 150

func viewOf(l printjob.Load, u measure.Unit) loadView {
	v := loadView{Title: problem.Capital(printjob.PageWords(l.Pages)), What: problem.Capital(l.What), In: l.In, Caution: l.Caution, Wide: l.Size.W.About(u), Long: l.Size.H.About(u)}
	long := max(l.Size.W, l.Size.H, 1)
	v.W, v.H = max(20, int64(l.Size.W*drawnLong/long)), max(20, int64(l.Size.H*drawnLong/long))
	v.Mid = v.W / 2
	return v
}

// joined are lines as one, without what stands them in.
func joined(lines []string) string {
	var out []string
	for _, l := range lines {
		if l = strings.TrimSpace(l); l != "" {
			out = append(out, problem.Line(l))
		}
	}
	return strings.Join(out, " ")
}

// summed says what came of a session, for a page whose buttons take the place of commands.
func summed(s printjob.Summary) (out []string) {
	add := func(words string, pages []int) {
		if len(pages) > 0 {
			out = append(out, words+": "+printjob.PageWords(pages)+".")
		}
	}
	if s.Stopped {
		out = append(out, "Stopped.")
	}
	add("Printed well", s.Well)
	for _, d := range s.Doubt {
		out = append(out, fmt.Sprintf("In doubt: %s went to “%s” and may still come out, or be out already. Look what came out, then press print again: it asks, and sends nothing twice by itself.",
			printjob.PageWords(d.Pages), problem.Line(d.Queue)))
	}
	for _, l := range s.Lingers {
		out = append(out, problem.Line(l.Lingers()))
	}
	add("Not printed yet", s.Open)
	add("To be done again", s.Again)
	return out
}

func (s *server) printPage(j *openJob, w http.ResponseWriter, r *http.Request) {
	page(w, "print", &printView{s.frame(j, "/print", "/print.js"), s.printsView(r.Context(), j), j.printing.now()})
}

func (s *server) printsPart(j *openJob, w http.ResponseWriter, r *http.Request) {
	page(w, "prints", s.printsView(r.Context(), j))
}

func (s *server) sessionPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "session", j.printing.now())
}

func (s *server) printsNowPart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	page(w, "prints-now", j.printing.brief())
}

// printStart begins to print a stock, all of it, or the guides.
func (s *server) printStart(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		Stock  string // "": all
		Guides bool
		Again  bool   // what was printed before is printed again
		Redo   string // the PDF of blocks that are printed once more
	}
	if !read(w, r, &in) {
		return
	}
	made, _, bad := j.made()
	if bad != nil || made == nil {
		fail(w, http.StatusConflict, errNoFile, nil)
		return
	}
	if j.lookAgain() { // what is measured of the printer, or what is cut with, may be in it
		fail(w, http.StatusConflict, &problem.Problem{Place: problem.Place{File: filepath.Base(j.configFile())}, What: wordsOtherConfig, Cause: "nothing was sent",
			Hint: "make the PDF anew, so that it is as it says now, or press print once more to print it as it was made"}, nil)
		return
	}
	d, pdf := made.Document, j.pdf()
	if in.Redo != "" {
		all := j.readied()
		at := slices.IndexFunc(all, func(r readied) bool { return r.name() == in.Redo })
		if at < 0 {
			fail(w, http.StatusConflict, errNoAgain, nil)
			return
		}
		pdf = all[at].path
		if d, bad = printjob.Open(pdf); bad != nil {
			fail(w, http.StatusConflict, bad, nil)
			return
		}
	}
	printed, bad := d.Printed()
	if bad != nil {
		fail(w, http.StatusConflict, bad, nil)
		return
	}
	part, of := printjob.Part{Guides: in.Guides}, "everything"
	if in.Redo != "" {
		of = "once more"
	}
	if in.Guides {
		of = "the guides"
	} else {
		if in.Stock != "" {
			of = in.Stock
		}
		if part.Pages = leftOf(d, in.Stock, printed, in.Again); len(part.Pages) == 0 {
			fail(w, http.StatusConflict, &problem.Problem{What: "there is nothing left to print of it", Hint: "load this page again"}, nil)
			return
		}
	}
	ctx, end := context.WithTimeout(r.Context(), cupsTime)
	defer end()
	session, found := s.printer.prepare(ctx, pdf, j.layer.settings.Load(), part)
	if session == nil || session.Client == nil || found.Errors() > 0 {
		fail(w, http.StatusConflict, &problem.Problem{What: "nothing was sent"}, found)
		return
	}
	session.Again = in.Again || in.Guides
	if !j.printing.start(s.ctx, session, of) {
		fail(w, http.StatusConflict, errPrinting, nil)
		return
	}
	answer(w, struct{}{})
}

func (s *server) printAnswer(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		Number int
		Answer string
	}
	if !read(w, r, &in) {
		return
	}
	if !j.printing.answer(in.Number, printjob.Answer(in.Answer)) {
		fail(w, http.StatusConflict, errAnswered, nil)
		return
	}
	answer(w, struct{}{})
}

// printStop breaks off what is printed.
func (s *server) printStop(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{}
	if !read(w, r, &in) {
		return
	}
	j.printing.breakOff()
	answer(w, struct{}{})
}
