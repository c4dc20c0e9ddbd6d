package desk

import (
	"context"
	"net/http"
	"strconv"
	"sync"
	"time"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
)

// trying is a change of a row that is looked at before it is made: the job is laid with it, and nothing is written.
type trying struct {
	mutex sync.Mutex
	last  int
	end   context.CancelFunc // of what is in work; nil: nothing is
	now   *tried             // nil: nothing is looked at
}

// tried is such a change, and what it comes to.
type tried struct {
	number  int
	code    string
	before  *laid
	after   *laid
	changes []jobbook.Change
	says    string // what is changed, once it is made
}

func (t *trying) current() *tried {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	return t.now
}

// begin ends what is in work for an earlier change.
func (t *trying) begin(ctx context.Context) (context.Context, int) {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if t.end != nil {
		t.end()
	}
	ctx, t.end = context.WithCancel(ctx)
	t.last++
	return ctx, t.last
}

// found takes what came of the change of a number, unless another was begun since.
func (t *trying) found(number int, came *tried) bool {
	t.mutex.Lock()
	defer t.mutex.Unlock()
	if number != t.last {
		return false
	}
	t.now = came
	return true
}

// tryable are the columns of a row that are tried on the sheets.
var tryable = []string{"Stock", "Width", "Height", "Space", "Turn"}

// triedOf are those cells of a row, the empty ones, too.
func triedOf(row jobbook.Row) map[string]string {
	cells := map[string]string{}
	for _, column := range tryable {
		cells[column] = row.Cells[column]
	}
	return cells
}

// trySheets lays the job with other cells of a row, for a look. Where a cell is not any more as the page had it, somebody else has typed there, and is not typed over.
func (s *server) trySheets(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		ID         string
		Cells, Was map[string]string
	}
	if !read(w, r, &in) {
		return
	}
	row, there := rowsByID(j.book.Rows(jobbook.Journaling))[in.ID]
	before := j.layer.whole(r.Context())
	if !there || before == nil {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	cells := map[string]string{}
	for _, column := range tryable {
		text, given := in.Cells[column]
		if was, known := in.Was[column]; given && known && was != row.Cells[column] {
			fail(w, http.StatusConflict, &problem.Problem{What: "somebody else has typed in " + column + " meanwhile: " + measure.Quote(row.Cells[column]), Hint: "close this, and press the block again"}, nil)
			return
		}
		if given && text != row.Cells[column] {
			cells[column] = text
		}
	}
	if len(cells) == 0 {
		fail(w, http.StatusConflict, &problem.Problem{What: "nothing is different", Hint: "choose another stock or type another space"}, nil)
		return
	}
	ctx, number := j.trying.begin(r.Context())
	changes := setAll(jobbook.Journaling, in.ID, cells)
	after, err := j.layer.with(ctx, false, changes...)
	if err != nil {
		fail(w, http.StatusConflict, err, nil)
		return
	}
	if got := after.rows[in.ID]; got == nil || got.set == nil {
		var found problem.List
		if got != nil {
			found = got.problems
		}
		fail(w, http.StatusConflict, &problem.Problem{What: "the block cannot be printed so"}, found)
		return
	}
	t := &tried{number: number, code: after.rows[in.ID].code, before: before, after: after, changes: changes}
	t.says = t.code + inWords(cells)
	if !j.trying.found(number, t) {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	answer(w, struct{}{})
}

// inWords says how a block is tried.
func inWords(cells map[string]string) string {
	said := ""
	if stock := cells["Stock"]; stock != "" {
		said = " on " + stock
	}
	for _, c := range []struct{ column, words string }{{"Width", " wide"}, {"Height", " high"}, {"Space", ""}} {
		if text := cells[c.column]; text != "" {
			said += ", " + text + c.words
		}
	}
	switch turn, given := cells["Turn"]; {
	case turn == "no":
		said += ", not turned"
	case given:
		said += ", turned or not"
	}
	return said
}

// wholeTime is how long a trial waits for the layout that it is compared with.
const wholeTime = 15 * time.Second

// whole is the job as it is laid in full, for which it waits; nil: it takes too long.
func (l *layer) whole(ctx context.Context) *laid {
	for end := time.Now().Add(wholeTime); time.Now().Before(end); {
		if n := l.latest.Load(); n != nil && n.stage == whole && n.revision == l.book.Revision() {
			return n
		}
		if !pause(ctx, 20*time.Millisecond) {
			break
		}
	}
	return nil
}

// triedEnd makes the change that is looked at, or puts it away.
func (s *server) triedEnd(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		Number int
		Keep   bool
	}
	if !read(w, r, &in) {
		return
	}
	t := j.trying.current()
	if t == nil || t.number != in.Number {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	if in.Keep {
		rev, err := j.do(t.before.revision, t.says+".", t.changes) // later, what was looked at is not what would come of it
		if err != nil {
			did(j, w, rev, err)
			return
		}
		j.layer.change()
	}
	j.trying.found(in.Number, nil)
	answer(w, struct{}{})
}

// version tells the pictures of what is tried from those of the job.
func (t *tried) version() string { return "t" + strconv.Itoa(t.number) }
