package desk

import (
	"errors"
	"fmt"
	"net/http"
	"strconv"
	"strings"
	"sync"

	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/draw"
	"tuckmark/intake"
)

// outlines are those of all pictures, read once.
var outlines draw.Outlines

var errNoPicture = errors.New("there is no such picture")

// picture writes a picture. It runs nothing, whatever is in it, and may be kept where its name says how it looks.
func picture(w http.ResponseWriter, data []byte, keep bool) {
	w.Header().Set("Content-Type", "image/svg+xml")
	w.Header().Set("Content-Security-Policy", picturePolicy)
	if keep {
		w.Header().Set("Cache-Control", "private, max-age=86400, immutable")
	}
	w.Write(data)
}

// drawRow draws a block, or the blank that it is before it can be set; nothing where not even that is known.
func drawRow(set *laidRow, c *config.Settings) []byte {
	switch {
	case set.set != nil:
		return outlines.Block(set.set, c)
	case set.block != nil && !set.block.Trim().At(0, 0).Empty():
		return outlines.Blank(set.block.Trim(), set.block.Tuck, set.block.Back, set.block.Stock, c)
	}
	return nil
}

// blockPicture is a block as it is laid at present: /block/ID.VERSION.svg.
func (s *server) blockPicture(j *openJob, w http.ResponseWriter, r *http.Request) {
	id, rest, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/block/"), ".")
	n := j.layer.latest.Load()
	if n == nil || n.rows[id] == nil {
		refuse(w, http.StatusNotFound, errNoPicture)
		return
	}
	data := drawRow(n.rows[id], n.job.Settings)
	if data == nil {
		refuse(w, http.StatusNotFound, errNoPicture)
		return
	}
	picture(w, data, rest == n.rows[id].version+".svg")
}

// trials are the last pictures of blocks that are being typed.
type trials struct {
	mutex sync.Mutex
	last  int
	kept  map[int][]byte
}

// keptTrials is how many are kept: some for each page that may be open.
const keptTrials = 64

func (t *trials) keep(data []byte) string {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.kept == nil {
		t.kept = map[int][]byte{}
	}
	t.last++
	t.kept[t.last] = data
	delete(t.kept, t.last-keptTrials)
	return "/trial/" + strconv.Itoa(t.last) + ".svg"
}

func (s *server) trialPicture(_ *openJob, w http.ResponseWriter, r *http.Request) {
	n, err := strconv.Atoi(strings.TrimSuffix(strings.TrimPrefix(r.URL.Path, "/trial/"), ".svg"))
	s.trial.mutex.Lock()
	data := s.trial.kept[n]
	s.trial.mutex.Unlock()
	if err != nil || data == nil {
		refuse(w, http.StatusNotFound, errNoPicture)
		return
	}
	picture(w, data, false)
}

// trialSays is what the page shows of a row that is being typed.
type trialSays struct {
	Picture string    `json:"picture"` // its path; "": there is none
	Width   int64     `json:"width"`   // in CSS pixels, true size
	Height  int64     `json:"height"`
	Lead    string    `json:"lead"` // "Serif, 14 pt."
	Rest    string    `json:"rest"` // "It holds about 12 words more."
	Over    bool      `json:"over"` // it cannot be printed so
	Found   []finding `json:"found"`
}

// try sets a row as it is typed, without changing anything.
func (s *server) try(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ Cells map[string]string }
	if !read(w, r, &in) {
		return
	}
	if len(in.Cells) > mostCells {
		refuse(w, http.StatusBadRequest, errSheet)
		return
	}
	j.layer.typed()
	answer(w, s.tried(j, in.Cells))
}

func (s *server) tried(j *openJob, cells map[string]string) trialSays {
	c := *j.layer.settings.Load()
	c.Unit = j.book.Unit()
	var paper []intake.Paper
	if n := j.layer.latest.Load(); n != nil {
		paper = n.job.Paper
	}
	t := impose.Try(fieldsOf(cells), j.layer.fonts.Load(), paper, &c)
	out := trialSays{Found: findingsOf(t.Problems)}
	row := &laidRow{block: t.Block, set: t.Setting}
	if data := drawRow(row, &c); data != nil {
		size := t.Block.Trim()
		out.Picture, out.Width, out.Height = s.trial.keep(data), pixels(size.W), pixels(size.H)
	}
	unit := c.Unit
	switch {
	case t.Setting != nil:
		out.Lead = t.Setting.Face + ", " + strconv.FormatFloat(t.Setting.Size.Points(), 'f', -1, 64) + " pt."
		switch {
		case t.More >= 100:
			out.Rest = "There is room for much more."
		case t.More == 0:
			out.Rest = "It holds not a word more."
		default:
			out.Rest = "It holds about " + problem.Count(t.More, "word") + " more."
		}
	case t.Over > 0:
		out.Over, out.Lead = true, problem.Count(t.Over, "word")+" too long,"
		out.Rest = "or make it " + t.High.Format(unit) + " high."
	default:
		out.Over = true
		if p := firstError(t.Problems); p != nil {
			out.Lead = problem.Capital(p.What) + "."
		}
	}
	return out
}

// fieldsOf are the cells of a row as fields, in the order of the form; an empty one is a column that stands there.
func fieldsOf(cells map[string]string) (fields []intake.Field) {
	for _, name := range formColumns() {
		fields = append(fields, intake.Field{Heading: name, Text: cells[name]})
	}
	for _, name := range []string{"Surname", "Space"} {
		if text := cells[name]; text != "" {
			fields = append(fields, intake.Field{Heading: name, Text: text})
		}
	}
	return fields
}

// piecePicture is a piece of the present layout: /piece/NUMBER.VERSION.svg.
func (s *server) piecePicture(j *openJob, w http.ResponseWriter, r *http.Request) {
	number, version, _ := strings.Cut(strings.TrimPrefix(r.URL.Path, "/piece/"), ".")
	at, err := strconv.Atoi(number)
	n := j.layer.latest.Load()
	shown := ""
	if n != nil {
		shown = n.version()
	}
	if t := j.trying.current(); t != nil && version == t.version()+".svg" {
		n, shown = t.after, t.version()
	}
	if err != nil || n == nil || n.job.Plan == nil || at < 0 || at >= len(n.job.Plan.Pieces) {
		refuse(w, http.StatusNotFound, errNoPicture)
		return
	}
	picture(w, outlines.Piece(n.job.Plan.Pieces[at], n.job.Settings), version == shown+".svg")
}

// version tells layouts apart: a browser keeps their pictures, and who presses on one means no other.
func (n *laid) version() string { return fmt.Sprintf("%d-%d-%s", n.revision, n.stage, n.by) }
