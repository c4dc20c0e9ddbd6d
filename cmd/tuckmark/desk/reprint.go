package desk

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"path/filepath"
	"slices"
	"unicode/utf8"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/printjob"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/plan"
	"tuckmark/impose/report"
)

// reprintView is where the blocks are pressed that are to be printed once more.
type reprintView struct {
	frame
	Made   bool
	Of     save.Digest // of the PDF whose blocks these are
	Pieces []reprintPiece
	Ready  []readyView
	Before []readyView // of an earlier PDF
	Done   string      // the PDF of those that were made ready last, where all of it is printed
	Yours  []string
}

// readyView is a PDF of blocks that were made ready to be printed once more, and that are not all printed yet.
type readyView struct {
	File, Codes string
	Download    string
	Unlike      []string
	Last        bool // no other was made ready since
	Prints      bool // it can be sent to a printer from here
}

// reprintPiece is a piece as it was printed, with its blocks where they lie. Lengths are thousandths of an inch.
type reprintPiece struct {
	Title  string
	W, H   int64
	Blocks []reprintBlock
}

type reprintBlock struct {
	cutBox
	ID, Code, Owner string
	Copy            int   // 0: it is the only one
	MidX, MidY      int64 // of the block
	Font            int64 // size in which its code fits into it
	Along           bool  // the code runs along the block, which is narrow
}

// reprintPieceOf is a piece to press blocks on; its blocks' names begin with the text. Copies are numbered where a block has several.
func reprintPieceOf(p *plan.Piece, id string, unit measure.Unit, copies map[string]int) reprintPiece {
	whole := boxOf(p.Whole.Rect)
	out := reprintPiece{Title: fmt.Sprintf("%s (page %d)", problem.Capital(p.Title(unit)), p.Page), W: whole.W, H: whole.H}
	for k, b := range p.Blocks() {
		one := reprintBlock{cutBox: boxOf(b.Rect), ID: fmt.Sprintf("%s-%d", id, k), Code: b.Block.Code, Owner: b.Block.Owner}
		if copies[one.Code] > 1 {
			one.Copy = b.Block.Copy
		}
		one.MidX, one.MidY = one.X+one.W/2, one.Y+one.H/2
		font := func(w, h int64) int64 {
			return min(h*6/10, w*13/10/int64(max(2, utf8.RuneCountInString(one.Code))), max(whole.W, whole.H)/14)
		}
		one.Font = font(one.W, one.H)
		if along := font(one.H, one.W); along > one.Font*16/10 {
			one.Font, one.Along = along, true
		}
		out.Blocks = append(out.Blocks, one)
	}
	return out
}

// mostReprinted is how many blocks may be named at once.
const mostReprinted = 2000

// lastReport is the report to go on from: that of what was printed once more last, or the first.
func (j *openJob) lastReport() string {
	if n := j.readNote(); n.Again != "" {
		return filepath.Join(filepath.Dir(j.pdf()), filepath.Base(n.Again))
	}
	return j.report()
}

// again is the PDF of the blocks that were printed once more last; "": there were none since the job's own PDF was made.
func (j *openJob) again() string {
	n := j.readNote()
	if n.AgainPDF == "" {
		return ""
	}
	return filepath.Join(filepath.Dir(j.pdf()), filepath.Base(n.AgainPDF))
}

// readied is a PDF of blocks that were made ready to be printed once more.
type readied struct {
	path  string
	codes []string // of its blocks; none: it cannot be read, which whoever prints it is told
	said  []string // how they come out otherwise than the first time
	left  bool     // there is something to print yet
	last  bool

	before bool // the job was made anew since
}

func (r readied) name() string { return filepath.Base(r.path) }

// named are its blocks, in few words.
func (r readied) named() string { return problem.And(problem.Few(r.codes, mostCodes)) }

// readied are those that were made ready and that are there: what was not printed when the job was made anew, then those since, the last one last. Others than that are named
// only while there was something left to print of them.
func (j *openJob) readied() (out []readied) {
	n := j.readNote()
	all := slices.Concat(n.Before, n.Ready, []string{n.AgainPDF})
	for i, name := range all {
		r := readied{path: filepath.Join(filepath.Dir(j.pdf()), filepath.Base(name)), said: n.Unlike[name], left: true, last: i == len(all)-1, before: i < len(n.Before)}
		if _, err := os.Stat(r.path); name == "" || err != nil {
			continue
		}
		if d, bad := printjob.Open(r.path); bad == nil {
			printed, _ := d.Printed() // what cannot be read is told when it is printed
			r.left = len(leftOf(d, "", printed, false)) > 0
			for _, p := range d.Plan.Pieces {
				for _, b := range p.Blocks() {
					if !slices.Contains(r.codes, b.Block.Code) {
						r.codes = append(r.codes, b.Block.Code)
					}
				}
			}
		}
		if r.left || r.last {
			out = append(out, r)
		}
	}
	return out
}

// readNote is what is known of what was made. Where another PDF stands there than the desk has made, by a command, it was made anew: what was made ready before is of an earlier one.
func (j *openJob) readNote() (n madeNote) {
	if text, err := save.ReadPlain(j.note()); err != nil || json.Unmarshal(text, &n) != nil {
		return madeNote{}
	}
	if n.Again == "" {
		return n
	}
	if data, err := save.ReadPlain(j.pdf()); err == nil && save.DigestOf(data) != n.PDF {
		n.Before, n.Took = slices.Concat(n.Before, n.Ready, []string{n.AgainPDF}), true
		n.Again, n.AgainPDF, n.Ready = "", "", nil
	}
	return n
}

// reprint makes a PDF and a report of blocks that are to be printed once more, as `tuckmark redo` does, on what the last print left over. The codes are
// those of a PDF with that digest, if it is told: after it was made anew, a code may be another block's.
func (j *openJob) reprint(ctx context.Context, codes []string, of save.Digest) (problem.List, error) {
	o := &j.outputs
	o.mutex.Lock()
	defer o.mutex.Unlock()
	if d, _, _ := j.made(); of != "" && (d == nil || d.digest != of) {
		return nil, &problem.Problem{What: "the PDF was made anew since this page was opened, and these blocks may be others now", Hint: "load the page again, and press what is to be printed once more as it is now"}
	}
	from := j.lastReport()
	n := j.readNote()
	pdf, next := naming.ForRedo(from)
	for slices.Contains(n.Before, filepath.Base(pdf)) { // it waits to be printed
		pdf, next = naming.ForRedo(next)
	}
	o.prints.Delete(pdf)
	defer o.prints.Delete(pdf) // also where a page asked meanwhile
	earlier, found := report.Open(from)
	if earlier == nil {
		return found, errWrong
	}
	codes, wrong := earlier.Spell(codes)
	if len(wrong) > 0 {
		return wrong, errWrong
	}
	job := impose.New(j.layer.settings.Load(), found)
	job.Fonts = j.layer.fonts.Load()
	if err := job.ReadAgain(ctx, earlier, codes); err != nil {
		return nil, err
	}
	if p := earlier.Changed(); p != nil {
		return nil, p
	}
	if err := job.Set(ctx); err != nil {
		return nil, err
	}
	if err := job.Arrange(ctx); err != nil {
		return nil, err
	}
	if job.Problems.Errors() > 0 || len(job.Plan.Pieces) == 0 {
		return job.Problems, errWrong
	}
	if err := job.Draw(ctx, naming.Title(pdf)); err != nil {
		return nil, err
	}
	files, err := job.Write(ctx, false)
	if err != nil {
		return nil, err
	}
	n = j.readNote()
	made := n
	ours := func(old []byte) bool { // of an earlier PDF; what somebody has written into it since is kept under another name
		return slices.Contains(made.Reports, save.DigestOf(old)) || slices.Contains(made.Names, filepath.Base(next)) && !save.IsUntouched(old)
	}
	n.Before, n.Ready, n.Unlike = nil, nil, map[string][]string{filepath.Base(pdf): unlike(job)}
	if n.Took && slices.ContainsFunc(job.Plan.Pieces, func(p *plan.Piece) bool { return p.Source.Leftover }) {
		n.Unlike[filepath.Base(pdf)] = append(n.Unlike[filepath.Base(pdf)], takenBefore(filepath.Base(next)))
	}
	for _, r := range j.readied() {
		switch {
		case !r.left || r.name() == filepath.Base(pdf):
			continue
		case r.before:
			n.Before = append(n.Before, r.name())
		default:
			n.Ready = append(n.Ready, r.name())
		}
		n.Unlike[r.name()] = r.said
	}
	n.Again, n.AgainPDF = filepath.Base(next), filepath.Base(pdf)
	if d := save.DigestOf(save.Sealed(files.Report)); !slices.Contains(n.Reports, d) {
		n.Reports = append(n.Reports, d)
	}
	if !slices.Contains(n.Names, n.Again) {
		n.Names = append(n.Names, n.Again)
	}
	note, err := json.Marshal(n)
	if err != nil {
		return nil, err
	}
	var g save.Guard
	g.Protect(j.book.Path(), from, j.pdf(), job.Settings.File)
	done, p := save.Create([]save.File{{Path: next, Data: files.Report, Stays: redoStays, Ours: ours}, {Path: pdf, Data: files.PDF}, {Path: j.note(), Data: note, Own: true}}, g)
	if p != nil {
		return nil, p
	}
	o.tellYours(done)
	j.renewed()
	return nil, nil
}

// redoStays is what a report that stands in the place of the next one may be, as naming.RedoStays says it where somebody can go on from it.
const redoStays = "that of blocks which were printed once more outside the desk, which knows what paper is left"

// takenBefore is said where blocks go on leftovers that a job made anew has as it had them before: its report knows nothing of what was printed once more until then.
func takenBefore(report string) string {
	return "It goes on a leftover. Blocks that were printed once more before the PDF was made anew may have used it: look whether it lies there. If not, take what is not there out of the sheet Leftovers of " + report + ", and make the blocks ready again."
}

// settle has a PDF of blocks once more that waits, and is not the last, no longer be offered; its files stay.
func (j *openJob) settle(name string) error {
	o := &j.outputs
	o.mutex.Lock()
	defer o.mutex.Unlock()
	n := j.readNote()
	is := func(other string) bool { return other == name }
	if !slices.ContainsFunc(slices.Concat(n.Before, n.Ready), is) {
		return errNoAgain
	}
	n.Before, n.Ready = slices.DeleteFunc(n.Before, is), slices.DeleteFunc(n.Ready, is)
	note, err := json.Marshal(n)
	if err != nil {
		return err
	}
	if err := save.Replace(save.System, j.note(), note); err != nil {
		return &problem.Problem{What: "it cannot be noted that this is settled", Cause: plainReason(err)}
	}
	j.renewed()
	return nil
}

// printSettled has what was made ready to be printed once more be offered no longer: it was printed without the desk, or is not wanted.
func (s *server) printSettled(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ Redo string }
	if !read(w, r, &in) {
		return
	}
	err := error(errPrinting)
	if !j.printing.runs() {
		err = j.settle(in.Redo)
	}
	if err != nil {
		fail(w, http.StatusConflict, err, nil)
		return
	}
	answer(w, struct{}{})
}

// unlike says how blocks come out otherwise than the first time. What to do about it in a command is left out.
func unlike(job *impose.Job) (said []string) {
	for _, p := range job.Unlike {
		p.Hint = ""
		said = append(said, p.Sentences(""))
	}
	return append(said, job.Smaller()...)
}

func (s *server) reprintPage(j *openJob, w http.ResponseWriter, r *http.Request) {
	v := &reprintView{frame: s.frame(j, "/print", "/reprint.js")}
	if d, _, bad := j.made(); bad == nil && d != nil {
		v.Made, v.Of = true, d.digest
		copies := map[string]int{}
		for _, p := range d.Plan.Pieces {
			for _, b := range p.Blocks() {
				copies[b.Block.Code]++
			}
		}
		for i, p := range d.Plan.Pieces {
			v.Pieces = append(v.Pieces, reprintPieceOf(p, fmt.Sprintf("r%d", i), j.layer.settings.Load().Unit, copies))
		}
		ctx, end := context.WithTimeout(r.Context(), cupsTime)
		defer end()
		v.Yours = j.outputs.yoursWords()
		for _, made := range j.readied() {
			if !made.left {
				v.Done = made.name()
				continue
			}
			one := readyView{File: made.name(), Codes: made.named(), Download: "/download/ready-" + url.PathEscape(made.name()), Unlike: made.said, Last: made.last}
			one.Prints = s.printsAgain(ctx, j, made.path)
			if made.before {
				v.Before = append(v.Before, one)
			} else {
				v.Ready = append(v.Ready, one)
			}
		}
	}
	page(w, "reprint", v)
}

// mostCodes is how many blocks are named of what is ready.
const mostCodes = 8

// printsAgain reports whether a PDF of blocks once more can be sent to a printer from here. What was found so is not asked again until the PDF
// or the settings are others: whoever then sends it is told what has become of the printer.
func (s *server) printsAgain(ctx context.Context, j *openJob, pdf string) bool {
	c := j.layer.settings.Load()
	if by, known := j.outputs.prints.Load(pdf); known && by == c {
		return true
	}
	session, found := s.printer.prepare(ctx, pdf, c, printjob.Part{})
	if session == nil || session.Client == nil || found.Errors() > 0 {
		return false
	}
	j.outputs.prints.Store(pdf, c)
	return true
}

// printAgain makes what is needed to print some blocks once more.
func (s *server) printAgain(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		Codes []string
		Of    save.Digest // of the PDF that the page shows; "": it does not say
	}
	if !read(w, r, &in) {
		return
	}
	if len(in.Codes) == 0 || len(in.Codes) > mostReprinted {
		fail(w, http.StatusUnprocessableEntity, &problem.Problem{What: "no block is named", Hint: "press the blocks that are to be printed once more"}, nil)
		return
	}
	if j.printing.runs() {
		fail(w, http.StatusConflict, errPrinting, nil)
		return
	}
	j.lookAgain()
	found, err := j.reprint(r.Context(), in.Codes, in.Of)
	if err != nil {
		fail(w, http.StatusConflict, err, found)
		return
	}
	answer(w, struct{}{})
}

var errNoAgain = errors.New("nothing was made to be printed once more")
