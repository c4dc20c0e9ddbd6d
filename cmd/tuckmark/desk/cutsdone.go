package desk

import (
	"context"
	"encoding/json"
	"fmt"
	"maps"
	"net/http"
	"path/filepath"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/cmd/internal/printjob"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
	"tuckmark/impose/account"
)

// cutsDone is how far the cuts are done. It is kept beside the job, since the browser knows the desk started anew by another address.
type cutsDone struct {
	Done map[string]int `json:"done"` // cuts of a piece, by its key
	At   string         `json:"at"`   // key of the piece that lies at the trimmer
}

// cutsFile is where it is kept.
func (j *openJob) cutsFile() string { return filepath.Join(jobbook.Folder(j.book.Path()), "cuts.json") }

// keptCuts is what is kept; what another program wrote there is nothing.
func (j *openJob) keptCuts() (was cutsDone) {
	if text, err := save.ReadPlain(j.cutsFile()); err != nil || json.Unmarshal(text, &was) != nil {
		return cutsDone{}
	}
	return was
}

// cutsDone is what is done of some pieces, and nothing of any other.
func (j *openJob) cutsDone(of []cutPiece) cutsDone {
	was := j.keptCuts()
	out := cutsDone{Done: map[string]int{}}
	for _, p := range of {
		if n := min(was.Done[p.Key], len(p.Steps)); n > 0 {
			out.Done[p.Key] = n
		}
		if p.Key == was.At {
			out.At = was.At
		}
	}
	return out
}

// cuts are those of the job's PDF, and then those of the blocks that were printed once more last; nil where nothing was made. A PDF does not hold its sheets
// whole: what is cut before printing is known where the desk made it, or can make it again.
func (j *openJob) cuts(ctx context.Context) []cutPiece {
	d, fresh, bad := j.made()
	if bad != nil || d == nil {
		return nil
	}
	s := j.layer.settings.Load()
	whole := *d.Plan
	if job, _, err := j.accounted(ctx, d, fresh); err == nil && job != nil {
		whole.Sheets = job.Plan.Sheets
	}
	out := cuts(account.Of(&whole, s, nil), d.digest, "")
	if pdf := j.again(); pdf != "" {
		data, err := save.ReadPlain(pdf)
		if again, bad := printjob.Open(pdf); err == nil && bad == nil {
			out = append(out, cuts(account.Of(again.Plan, s, nil), save.DigestOf(data), "once more: ")...)
		}
	}
	return out
}

// cutsOf tells the cuts of what lies there now from those of another PDF, or by another configuration.
func (j *openJob) cutsOf() string {
	d, _, bad := j.made()
	if bad != nil || d == nil {
		return "nothing"
	}
	again, _ := save.ReadPlain(j.again()) // there may be none
	of := save.DigestOf([]byte(fmt.Sprint(d.digest, save.DigestOf(again), *j.config.Load())))
	return string(of[:min(len(of), 12)])
}

// cutsPart is the data of the page.
func (s *server) cutsPart(j *openJob, w http.ResponseWriter, r *http.Request) {
	of := j.cutsOf() // before the cuts: of what is made meanwhile they are no others than they say
	pieces := j.cuts(r.Context())
	if pieces == nil {
		refuse(w, http.StatusNotFound, errNoFile)
		return
	}
	answer(w, cutsView{of, pieces, j.cutsDone(pieces)})
}

// cutsDonePart is how far the cuts are done, for a page that has them and hears that another went on.
func (s *server) cutsDonePart(j *openJob, w http.ResponseWriter, _ *http.Request) {
	answer(w, map[string]any{"of": j.cutsOf(), "done": j.keptCuts().Done})
}

// mostCut is what a piece takes of what a page sends of its cuts, in bytes, its key and how many are done: more than any does.
const mostCut = 64

// mostCuts is the most that a page may send of its cuts, in bytes: as many pieces as the PDF has, and what is printed once more.
func (j *openJob) mostCuts() int64 {
	pieces := mostReprinted
	if d := j.outputs.opened.Load(); d != nil {
		pieces += len(d.Plan.Pieces) + len(d.Plan.Sheets)
	}
	return int64(pieces) * mostCut
}

// cutsKeep keeps how far the cuts of some pieces are done. What is kept of other pieces stays, since another page may go on with those. A page that shows
// the cuts of another PDF than there is now is refused.
func (s *server) cutsKeep(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		cutsDone
		Of string // what the page shows the cuts of; "": it does not say
	}
	r.Body = http.MaxBytesReader(w, r.Body, j.mostCuts())
	if !read(w, r, &in) {
		return
	}
	if in.Of != "" && in.Of != j.cutsOf() {
		fail(w, http.StatusConflict, &problem.Problem{What: "what is cut was made anew since this page was opened", Hint: "load it again: it has the new cuts then"}, nil)
		return
	}
	j.keepCuts.Lock()
	defer j.keepCuts.Unlock()
	all := map[string]int{}
	maps.Copy(all, j.keptCuts().Done)
	maps.Copy(all, in.Done)
	text, err := json.Marshal(cutsDone{all, in.At})
	if err == nil {
		err = save.Replace(save.System, j.cutsFile(), text)
	}
	if err != nil {
		fail(w, http.StatusInsufficientStorage, &problem.Problem{What: "how far the cuts are done cannot be kept", Cause: plainReason(err), Hint: "go on: this page knows it until it is closed", Disk: true}, nil)
		return
	}
	j.cutsKept++
	s.hub.tell("cut", map[string]int{"n": j.cutsKept})
	answer(w, struct{}{})
}
