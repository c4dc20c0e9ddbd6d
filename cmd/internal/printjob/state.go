package printjob

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"regexp"
	"slices"

	"tuckmark/cmd/internal/naming"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/problem"
)

// progress is how far the printing of a PDF is. It stands in a file beside the PDF, and is written before each step that cannot be
// taken back.
type progress struct {
	Version int       `json:"printing"`
	PDF     string    `json:"pdf"` // ID of the file
	Jobs    []*record `json:"jobs"`
	Earlier []*record `json:"earlier,omitempty"` // of PDFs that stood in its place before, and that may come out yet
	Digest  string    `json:"digest,omitempty"`  // the seal of the file as it was read, see save.Sealed

	path string
	read save.Digest // of the file as it was read or written last
}

// record is a job that CUPS was given.
type record struct {
	Pages  []int  `json:"pages"`
	Queue  string `json:"queue"`
	Job    int    `json:"job"`  // CUPS' number
	Name   string `json:"name"` // by which it is known again
	Status status `json:"status"`
	Begun  int    `json:"begun,omitempty"` // when CUPS began to print it, as it was seen first, in seconds since 1970; nought: nobody has seen it

	Lingers bool `json:"lingers,omitempty"` // a person has said how it came out, and CUPS did not answer when it was taken back

	events int // CUPS' number of what this session has subscribed to for it
}

type status string

const (
	waiting  status = "waiting"  // CUPS holds it back, and prints none of it
	released status = "released" // it may be printed; without news of its end it is in doubt
	done     status = "done"     // it came out
	spoilt   status = "spoilt"   // it came out, and is to be done again
	left     status = "left"     // it did not come out, and was left at that
)

const stateVersion = 1

// readProgress reads the file beside the PDF. Of another PDF, made anew under the same name, only what may come out yet is of interest.
func readProgress(d *Document) (*progress, *problem.Problem) {
	p := &progress{Version: stateVersion, PDF: d.finished.ID, path: naming.Beside(d.Path, "-printing.json")}
	data, err := save.ReadPlain(p.path)
	if errors.Is(err, os.ErrNotExist) {
		return p, nil
	}
	bad := &problem.Problem{Place: problem.Place{File: p.path}, What: "it cannot be read how far the printing is", Disk: true,
		Hint: "look which pages are printed, take the file away, and print the others with --page", OnPage: "look which pages are printed, take the file away, and print the others from the PDF itself"}
	if err != nil {
		return nil, bad
	}
	p.read = save.DigestOf(data)
	old, err := parseProgress(data)
	if err != nil {
		return nil, bad
	}
	if p.Earlier = old.Earlier; old.PDF == p.PDF {
		p.Jobs = old.Jobs
		return p, nil
	}
	for _, r := range old.Jobs {
		if r.Lingers || r.Status == waiting || r.Status == released {
			p.Earlier = append(p.Earlier, r)
		}
	}
	return p, nil
}

var errProgress = errors.New("not as it was written")

var idForm = regexp.MustCompile("^[0-9a-f]{32}$") // of a press.Finished

// parseProgress reads the file, and takes nothing that is not as it was written: what is overlooked in it would be printed once more. Files that were written before
// there was a seal have none.
func parseProgress(data []byte) (*progress, error) {
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	var p progress
	if err := d.Decode(&p); err != nil {
		return nil, err
	}
	if _, err := d.Token(); !errors.Is(err, io.EOF) || p.Version != stateVersion || !idForm.MatchString(p.PDF) || p.Digest != "" && !save.IsUntouched(data) {
		return nil, errProgress
	}
	for _, r := range slices.Concat(p.Jobs, p.Earlier) {
		if r == nil || r.Job <= 0 || len(r.Pages) == 0 || slices.Min(r.Pages) <= 0 || r.Queue == "" || r.Name == "" || !slices.Contains([]status{waiting, released, done, spoilt, left}, r.Status) {
			return nil, errProgress
		}
	}
	return &p, nil
}

// write writes the file anew, unless another session wrote it since: what that one has let go is not known here.
func (p *progress) write() *problem.Problem {
	data, err := json.MarshalIndent(p, "", " ")
	if err != nil {
		return &problem.Problem{What: "it cannot be written how far the printing is", Cause: err.Error()}
	}
	data = save.Sealed(append(data, '\n'))
	_, bad := save.Update(save.System, p.path, data, p.read)
	if save.IsChanged(bad) {
		return &problem.Problem{Place: problem.Place{File: p.path}, What: "another window has gone on with the printing", Cause: "what it has sent is not known here",
			Hint: "go on there, or end it there and print again: what is done stays done", Disk: true}
	}
	if bad == nil {
		p.read = save.DigestOf(data)
	}
	return bad
}

// Came is what became of a page, as far as is known.
type Came int

// What may have become of a page.
const (
	NotYet Came = iota
	Well
	Badly   // it is to be done again
	InDoubt // it went to a printer, and nobody has said how it came out
)

// Printed is what became of the pages of a PDF in all sessions so far.
func (d *Document) Printed() (map[int]Came, *problem.Problem) {
	p, bad := readProgress(d)
	if bad != nil {
		return nil, bad
	}
	out := map[int]Came{}
	for _, r := range p.Jobs {
		for _, n := range r.Pages {
			out[n] = map[status]Came{done: Well, spoilt: Badly, released: InDoubt}[r.Status]
		}
	}
	return out, nil
}

// drop takes a record out whose job has printed nothing and will not.
func (p *progress) drop(r *record) {
	is := func(o *record) bool { return o == r }
	p.Jobs, p.Earlier = slices.DeleteFunc(p.Jobs, is), slices.DeleteFunc(p.Earlier, is)
}

// status is what came of a page the last time, or "" where it was never printed.
func (p *progress) status(page int) status {
	var s status
	for _, r := range p.Jobs {
		if slices.Contains(r.Pages, page) {
			s = r.Status
		}
	}
	return s
}
