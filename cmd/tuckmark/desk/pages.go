package desk

import (
	"bytes"
	"cmp"
	"embed"
	"encoding/json"
	"errors"
	"html/template"
	"io"
	"log"
	"mime"
	"net/http"
	"path"
	"path/filepath"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

//go:embed assets
var assets embed.FS

var templates = template.Must(template.New("").Funcs(template.FuncMap{"capital": problem.Capital, "add": func(a, b int64) int64 { return a + b }, "mostDropped": func() int { return mostDropped }, "mostPasted": func() int { return mostPasted }}).ParseFS(assets, "assets/*.html"))

// quiet is where the web server's own words go: they are for nobody.
var quiet = log.New(io.Discard, "", 0)

// asset serves a style or script.
func asset(name string) func(http.ResponseWriter, *http.Request) {
	data, err := assets.ReadFile("assets/" + name)
	if err != nil {
		panic(err) // it is in the program
	}
	kind := map[string]string{".css": "text/css; charset=utf-8", ".js": "text/javascript; charset=utf-8", ".svg": "image/svg+xml"}[path.Ext(name)]
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Type", kind)
		w.Write(data)
	}
}

// frame is what the template of every page has besides what it shows.
type frame struct {
	Title     string // of the job
	Job       string // what the page's requests name it by
	Part      string // path of the part
	Parts     []part
	Scripts   []string
	Questions questionsView
	Prints    printsNow
	Renewed   int64 // as pages are told it where what was made, or the configuration, is another
}

// questionsView is all that only a person can settle.
type questionsView struct {
	Questions []jobbook.Question
	Headings  []headingView
}

func (j *openJob) questions() questionsView { return questionsView{j.book.Questions(), j.unknown()} }

type part struct{ Path, Name string }

// parts are the parts of a job, in working order.
var parts = []part{{"/journaling", "Journaling"}, {"/paper", "Paper"}, {"/sheets", "Sheets"}, {"/print", "Print"}, {"/cutting", "Cut"}, {"/share", "Share out"}}

func (s *server) frame(j *openJob, at string, scripts ...string) frame {
	return frame{Renewed: s.renewed.Load(), Title: jobTitle(j.book.Path()), Job: j.key, Part: at, Parts: parts, Scripts: append([]string{"/desk.js"}, scripts...), Questions: j.questions(), Prints: j.printing.brief()}
}

// jobTitle is what a job is called: its workbook's name without the ending.
func jobTitle(path string) string {
	name := filepath.Base(path)
	return problem.Line(name[:len(name)-len(jobbook.Ending)])
}

// page writes a template's page.
func page(w http.ResponseWriter, name string, view any) {
	var out bytes.Buffer
	if err := templates.ExecuteTemplate(&out, name, view); err != nil {
		refuse(w, http.StatusInternalServerError, errors.New("the page cannot be shown; this is a fault of tuckmark"))
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.Write(out.Bytes())
}

// answer writes JSON.
func answer(w http.ResponseWriter, what any) {
	data, err := json.Marshal(what)
	if err != nil {
		refuse(w, http.StatusInternalServerError, errors.New("the answer cannot be written; this is a fault of tuckmark"))
		return
	}
	w.Header().Set("Content-Type", "application/json")
	w.Write(data)
}

// finding is a problem for a page.
type finding struct {
	Place  string `json:"place,omitempty"`
	From   string `json:"-"` // the place, where it is in no page of the job
	Column string `json:"column,omitempty"`
	What   string `json:"what"`
	Cause  string `json:"cause,omitempty"`
	Hint   string `json:"hint,omitempty"`
	Kind   string `json:"kind"`           // mend, note or advice
	Open   bool   `json:"open,omitempty"` // it hangs on what somebody says of a column
}

func findingOf(p problem.Problem) finding {
	f := finding{Place: p.Place.String(), Column: p.Place.Column, What: p.What, Cause: p.Cause, Hint: cmp.Or(p.OnPage, p.Hint), Kind: "mend", Open: p.Open != nil}
	if p.Severity == problem.Note {
		if f.Kind = "note"; p.Kind == problem.Advice {
			f.Kind = "advice"
		}
	}
	return f
}

func findingsOf(list problem.List) (out []finding) {
	for _, p := range list {
		out = append(out, findingOf(p))
	}
	return out
}

// firstError is a copy of the first problem that has to be mended; nil: there is none.
func firstError(list problem.List) *problem.Problem {
	for _, p := range list {
		if p.Severity == problem.Error {
			return &p
		}
	}
	return nil
}

// refusal is why something was not done, in words for people.
type refusal struct {
	Why      string            `json:"why"`
	Problems []finding         `json:"problems,omitempty"`
	Others   map[string]string `json:"others,omitempty"` // what somebody else wrote in cells, by their headings, or in fields, by their names
}

func (f refusal) write(w http.ResponseWriter, status int) {
	data, err := json.Marshal(f)
	if err != nil {
		data = []byte(`{"why":"it cannot be done"}`)
	}
	w.Header().Set("Content-Type", "application/json")
	w.WriteHeader(status)
	w.Write(data)
}

// fail answers with what is wrong.
func fail(w http.ResponseWriter, status int, err error, found problem.List) {
	said := refusal{Why: err.Error()}
	var p *problem.Problem
	var r *Refused
	switch {
	case errors.As(err, &p):
		said.Why = sentence(*p)
	case errors.As(err, &r):
		said.Why = sentence(r.Problems[0])
	}
	for _, p := range found {
		if p.Severity == problem.Error {
			said.Problems = append(said.Problems, findingOf(p))
		}
	}
	said.write(w, status)
}

// wroteMeanwhile refuses what was typed over what somebody else has written since; others is that, by headings or names of fields.
func wroteMeanwhile(w http.ResponseWriter, others map[string]string) {
	refusal{Why: "somebody else wrote there meanwhile, and nothing is overwritten", Others: others}.write(w, http.StatusConflict)
}

// sentence is a problem in one line.
func sentence(p problem.Problem) string {
	out := problem.Capital(p.What)
	if p.Place.File != "" {
		out = p.Place.String() + ": " + p.What
	}
	if p.Cause != "" {
		out += " (" + p.Cause + ")"
	}
	if hint := cmp.Or(p.OnPage, p.Hint); hint != "" {
		out += ". To do: " + hint
	}
	return out
}

// read reads the JSON of a change. False: it was refused.
func read(w http.ResponseWriter, r *http.Request, into any) bool {
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "application/json" {
		refuse(w, http.StatusUnsupportedMediaType, errors.New("a change is sent as JSON"))
		return false
	}
	d := json.NewDecoder(r.Body)
	d.DisallowUnknownFields()
	err := d.Decode(into)
	if err == nil && d.More() {
		err = errors.New("there is more than one value")
	}
	var large *http.MaxBytesError
	switch {
	case errors.As(err, &large):
		refuse(w, http.StatusRequestEntityTooLarge, tooLarge(large.Limit))
	case err != nil:
		refuse(w, http.StatusBadRequest, errors.New("that cannot be understood"))
	}
	return err == nil
}

// pixels is a length as browsers count: 96 to the inch (CSS Values and Units, 6.2).
func pixels(l measure.Length) int64 { return int64((l*96 + measure.Inch/2) / measure.Inch) }
