package desk

import (
	"context"
	"encoding/json"
	"errors"
	"mime"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/printjob"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/account"
)

// outputs are the files of a job, as `tuckmark make` would write them beside its workbook, and what is known of them.
type outputs struct {
	mutex   sync.Mutex       // held while the files are made
	last    *impose.Job      // that the PDF was made of in this run of the desk; nil: in an earlier one, or never
	account *account.Account // of that
	pdf     save.Digest      // of the file
	opened  atomic.Pointer[openedPDF]
	prints  sync.Map                 // by the path of a PDF of blocks once more: the settings by which it can be sent to a printer; none: it is not known that it can
	yours   atomic.Pointer[[]string] // what is told of files that somebody had changed when they were made anew last; nil: none yet in this run
}

// yoursWords tell of the files that somebody had changed, and that got another name when they were made anew last.
func (o *outputs) yoursWords() []string {
	if words := o.yours.Load(); words != nil {
		return *words
	}
	return nil
}

// tellYours has the pages tell of them. The folder is that of the job, and needs no naming.
func (o *outputs) tellYours(done save.Outcome) {
	for i := range done.Yours {
		y := &done.Yours[i]
		y.Was, y.Is = filepath.Base(y.Was), filepath.Base(y.Is)
	}
	words := done.Words()
	o.yours.Store(&words)
}

// openedPDF is a PDF that was read and found whole.
type openedPDF struct {
	*printjob.Document
	digest save.Digest
}

// pdf is the path of the job's PDF.
func (j *openJob) pdf() string { return naming.Beside(j.book.Path(), ".pdf") }

// report is the path of its report.
func (j *openJob) report() string { return naming.Beside(j.pdf(), "-report.xlsx") }

// note is the file that says of what the PDF was made.
func (j *openJob) note() string { return filepath.Join(jobbook.Folder(j.book.Path()), "made.json") }

// madeNote is what stands in it.
type madeNote struct {
	Of  string      `json:"of"`  // what the job held
	PDF save.Digest `json:"pdf"` // of the file

	Costs    string `json:"costs,omitempty"`    // what the job cost besides its paper when the PDF was made
	Reported string `json:"reported,omitempty"` // and when the report was written last

	Again    string `json:"again,omitempty"`    // name of the report of the blocks that were printed once more last
	AgainPDF string `json:"againPDF,omitempty"` // and of their PDF

	Ready []string `json:"ready,omitempty"` // names of the PDFs of such blocks before, of which there was something left to print when the last was made

	Before []string `json:"before,omitempty"` // names of those that were made ready before the job was made anew, were not all printed then, and that nobody has settled

	Unlike map[string][]string `json:"unlike,omitempty"` // by the names of all those PDFs: what is said of blocks that came out otherwise than the first time

	Reports []save.Digest `json:"reports,omitempty"` // that the desk has made of such blocks, also for an earlier PDF
	Names   []string      `json:"names,omitempty"`   // of these
	Took    bool          `json:"took,omitempty"`    // such blocks were made ready before the job was made anew, and may have used up what its report says is left over
}

// holds is a text that is another one where the job would come out otherwise: its rows, its fonts or its configuration are others.
func (j *openJob) holds() string { return heldBy(j.besideConfig(), *j.config.Load()) }

// besideConfig is what the job holds beside its configuration: the rows with their cells, and the fonts that lie beside it, which stay the same
// where it is copied elsewhere.
func (j *openJob) besideConfig() (all []any) {
	for _, s := range []jobbook.Sheet{jobbook.Journaling, jobbook.Paper} {
		for _, r := range j.book.Rows(s) {
			all = append(all, r.ID, r.Cells)
		}
	}
	for _, f := range j.layer.source.Load().fonts {
		all = append(all, f)
	}
	return all
}

// heldBy is the text of holds for a configuration and what is beside it.
func heldBy(beside []any, configuration save.Digest) string {
	data, err := json.Marshal(append(slices.Clip(beside), configuration))
	if err != nil {
		return "" // texts can always be written
	}
	return string(save.DigestOf(data))
}

// made is the PDF beside the workbook, nil where there is none, and whether it was made of the job as it stands now.
func (j *openJob) made() (d *openedPDF, fresh bool, bad *problem.Problem) {
	data, err := save.ReadPlain(j.pdf())
	if errors.Is(err, os.ErrNotExist) {
		return nil, false, nil
	}
	digest := save.DigestOf(data)
	if d = j.outputs.opened.Load(); d == nil || d.digest != digest {
		document, bad := printjob.Open(j.pdf())
		if bad != nil {
			bad.Place.File = filepath.Base(bad.Place.File)
			return nil, false, bad
		}
		d = &openedPDF{document, digest}
		j.outputs.opened.Store(d)
	}
	n := j.readNote()
	return d, n.PDF == digest && n.Of == j.holds(), nil
}

// arranged is the job as it stands, laid with full effort and ready to be written. What it held is the text of holds.
func (j *openJob) arranged(ctx context.Context) (job *impose.Job, of string, err error) {
	of = j.holds()
	in := j.book.Input()
	job, err = j.layer.set(ctx, in, j.layer.settings.Load())
	if err != nil {
		return nil, "", err
	}
	if err := j.book.Keep(in, job.Input); err != nil { // what is printed keeps its code
		return nil, "", err
	}
	if err := job.Arrange(ctx); err != nil {
		return nil, "", err
	}
	if !job.CanHoldBack() {
		return job, of, errWrong
	}
	if len(job.Plan.Pieces) == 0 {
		return job, of, errNothing
	}
	return job, of, job.Draw(ctx, naming.Title(j.pdf()))
}

var (
	errWrong   = errors.New("nothing was made: this has to be mended first")
	errNothing = errors.New("nothing was made: there is no block yet that can be printed")
)

// make writes the PDF, one for each stock, and the report. Rows that are to be mended are held back.
func (j *openJob) make(ctx context.Context) (found problem.List, err error) {
	defer func() {
		if r := recover(); r != nil { // it may be made while nobody waits for an answer, when a print ends
			found, err = nil, faultOf(r)
		}
	}()
	j.lookAgain()
	o := &j.outputs
	o.mutex.Lock()
	defer o.mutex.Unlock()
	job, of, err := j.arranged(ctx)
	if err != nil {
		if job != nil {
			return job.Problems, err
		}
		return nil, err
	}
	files, err := job.Write(ctx, true)
	if err != nil {
		return nil, err
	}
	costs := costsInWords(job.Settings)
	was := j.readNote()
	n := madeNote{Of: of, PDF: save.DigestOf(files.PDF), Costs: costs, Reported: costs, Unlike: map[string][]string{}, Reports: was.Reports, Names: was.Names, Took: was.Took || was.Again != ""}
	for _, r := range j.readied() {
		if r.left {
			n.Before, n.Unlike[r.name()] = append(n.Before, r.name()), r.said
		}
	}
	note, err := json.Marshal(n)
	if err != nil {
		return nil, err
	}
	var stocks []string
	for _, s := range files.Stocks {
		stocks = append(stocks, s.Stock)
	}
	set := []save.File{{Path: j.note(), Data: note, Own: true}, {Path: j.report(), Data: files.Report}}
	for i, path := range naming.ForStocks(j.pdf(), stocks) {
		set = append(set, save.File{Path: path, Data: files.Stocks[i].PDF})
	}
	var g save.Guard
	g.Protect(j.book.Path(), job.Settings.File)
	done, p := save.Create(append(set, save.File{Path: j.pdf(), Data: files.PDF}), g)
	if p != nil {
		return nil, p
	}
	o.tellYours(done)
	o.last, o.pdf = job, save.DigestOf(files.PDF)
	o.account = account.Of(job.Plan, job.Settings, job.Paper)
	j.renewed()
	return nil, nil
}

// accounted is the job that a PDF was made of, with its account; nil where the job has changed since, so that it is not fresh, and an earlier run of
// the desk made it.
func (j *openJob) accounted(ctx context.Context, d *openedPDF, fresh bool) (*impose.Job, *account.Account, error) {
	o := &j.outputs
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if o.pdf != d.digest {
		o.last, o.account = nil, nil
	}
	if o.last == nil && fresh { // the same input gives the same plan
		job, _, err := j.arranged(ctx)
		if err != nil {
			return nil, nil, err
		}
		o.last, o.account, o.pdf = job, account.Of(job.Plan, job.Settings, job.Paper), d.digest
	}
	return o.last, o.account, nil
}

// makeFiles makes the PDF and the report. While something is printed it waits until that is over.
func (s *server) makeFiles(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{}
	if !read(w, r, &in) {
		return
	}
	if j.printing.later() {
		answer(w, map[string]bool{"later": true})
		return
	}
	found, err := j.make(r.Context())
	if err != nil {
		fail(w, http.StatusConflict, err, found)
		return
	}
	answer(w, struct{}{})
}

// downloads are the files that can be fetched, by the last part of their address.
func (j *openJob) downloads(d *printjob.Document) map[string]string {
	out := map[string]string{"all": j.pdf(), "report": j.report()}
	if pdf := j.again(); pdf != "" {
		out["again"], out["again-report"] = pdf, j.lastReport()
	}
	for _, r := range j.readied() {
		out["ready-"+r.name()] = r.path
	}
	for i, path := range naming.ForStocks(j.pdf(), stocksOf(d)) {
		out["stock-"+strconv.Itoa(i)] = path
	}
	return out
}

// stocksOf are the stocks of a PDF, in the order of its pages.
func stocksOf(d *printjob.Document) (out []string) {
	for _, p := range d.Plan.Pieces {
		if !slices.Contains(out, p.Stock) {
			out = append(out, p.Stock)
		}
	}
	return out
}

// download hands out one of the job's files: /download/all, /download/report, /download/stock-0.
func (s *server) download(j *openJob, w http.ResponseWriter, r *http.Request) {
	d, _, bad := j.made()
	if bad != nil || d == nil {
		refuse(w, http.StatusNotFound, errNoFile)
		return
	}
	path, ok := j.downloads(d.Document)[strings.TrimPrefix(r.URL.Path, "/download/")]
	if !ok {
		refuse(w, http.StatusNotFound, errNoFile)
		return
	}
	data, err := save.ReadPlain(path)
	if err != nil {
		refuse(w, http.StatusNotFound, errNoFile)
		return
	}
	kind := "application/pdf"
	if filepath.Ext(path) == ".xlsx" {
		kind = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
	}
	w.Header().Set("Content-Type", kind)
	w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": filepath.Base(path)}))
	w.Write(data)
}

var errNoFile = errors.New("there is no such file; make the PDF first")
