package desk

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"os"
	"path/filepath"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/report"
)

// reprintView is where the blocks are pressed that are to be printed once more.
type reprintView struct {
	frame
	Made   bool
	Pieces []reprintPiece
	Done   string // the PDF of those that were printed once more last
}

// reprintPiece is a piece with its blocks, each where it can be pressed.
type reprintPiece struct {
	Title  string
	Blocks []reprintBlock
}

type reprintBlock struct{ ID, Code, Owner string }

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

func (j *openJob) readNote() (n madeNote) {
	if text, err := os.ReadFile(j.note()); err != nil || json.Unmarshal(text, &n) != nil {
		return madeNote{}
	}
	return n
}

// reprint makes a PDF and a report of blocks that are to be printed once more, as `tuckmark redo` does, on what the last print left over.
func (j *openJob) reprint(ctx context.Context, codes []string) (problem.List, error) {
	o := &j.outputs
	o.mutex.Lock()
	defer o.mutex.Unlock()
	from := j.lastReport()
	earlier, found := report.Open(from)
	if earlier == nil {
		return found, errWrong
	}
	codes, wrong := earlier.Spell(codes)
	if len(wrong) > 0 {
		return wrong, errWrong
	}
	job := impose.New(j.layer.settings.Load(), found)
	job.Fonts = j.layer.fonts
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
	pdf, next := naming.ForRedo(from)
	if err := job.Draw(ctx, naming.Title(pdf)); err != nil {
		return nil, err
	}
	files, err := job.Write(ctx, false)
	if err != nil {
		return nil, err
	}
	n := j.readNote()
	n.Again, n.AgainPDF = filepath.Base(next), filepath.Base(pdf)
	note, err := json.Marshal(n)
	if err != nil {
		return nil, err
	}
	var g save.Guard
	g.Protect(j.book.Path(), from, j.pdf(), job.Settings.File)
	if p := save.Create([]save.File{{Path: next, Data: files.Report}, {Path: pdf, Data: files.PDF}, {Path: j.note(), Data: note}}, g); p != nil {
		return nil, p
	}
	return nil, nil
}

func (s *server) reprintPage(j *openJob, w http.ResponseWriter, _ *http.Request) {
	v := &reprintView{frame: s.frame(j, "/print", "/reprint.js")}
	if d, _, bad := j.made(); bad == nil && d != nil {
		v.Made = true
		for i, p := range d.Plan.Pieces {
			one := reprintPiece{Title: problem.Capital(p.Title(j.layer.settings.Load().Unit))}
			for k, b := range p.Blocks() {
				one.Blocks = append(one.Blocks, reprintBlock{ID: fmt.Sprintf("r%d-%d", i, k), Code: b.Block.Code, Owner: b.Block.Owner})
			}
			v.Pieces = append(v.Pieces, one)
		}
		if pdf := j.again(); pdf != "" {
			v.Done = filepath.Base(pdf)
		}
	}
	page(w, "reprint", v)
}

// printAgain makes what is needed to print some blocks once more.
func (s *server) printAgain(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ Codes []string }
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
	found, err := j.reprint(r.Context(), in.Codes)
	if err != nil {
		fail(w, http.StatusConflict, err, found)
		return
	}
	answer(w, struct{}{})
}

var errNoAgain = errors.New("nothing was made to be printed once more")
