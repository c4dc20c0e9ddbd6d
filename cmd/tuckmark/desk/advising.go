package desk

import (
	"context"
	"encoding/json"
	"errors"
	"maps"
	"math"
	"net/http"
	"path/filepath"
	"slices"
	"sync"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/cmd/internal/save"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/layout"
	"tuckmark/intake"
)

// advised is what would save sheets of a layout, and what it lacks.
type advised struct {
	of    *laid
	ways  []way
	holds map[string]measure.Length // by stock: a sheet fewer would do if the trimmer held strips of that
	short []impose.Shortage
}

// way is something to press that saves a sheet of a stock.
type way struct {
	Number int
	stock  string
	Says   string // on the button
	did    string // once it is pressed
	hold   bool   // a row is held back
	make   []jobbook.Change
}

// advise looks for what would save sheets, and for how many are lacking. Each way is laid out before it is named.
func (l *layer) advise(ctx context.Context, n *laid) *advised {
	out := &advised{of: n, holds: map[string]measure.Length{}, short: n.job.Shortages(ctx)}
	add := func(stock string, ways ...way) {
		for _, w := range ways {
			w.Number, w.stock = len(out.ways), stock
			out.ways = append(out.ways, w)
		}
	}
	for _, stock := range n.job.Plan.Stocks {
		add(stock.Stock, l.lettingGo(ctx, n, stock.Stock)...)
	}
	rows := rowsByID(l.book.Rows(jobbook.Journaling))
	for _, a := range n.job.Advise(ctx) {
		if a.Holds > 0 {
			out.holds[a.Stock] = a.Holds
		}
		add(a.Stock, l.ways(ctx, n, rows, a)...)
	}
	return out
}

// lettingGo is to keep no block of a stock in its place any more, where that saves a sheet.
func (l *layer) lettingGo(ctx context.Context, n *laid, stock string) []way {
	w := way{Says: "Let go of what is kept", did: "On " + stock + " nothing is kept in its place any more."}
	for i := range n.job.Typeset {
		if b := n.job.Typeset[i].Block; b.Stock == stock && len(b.Kept) > 0 {
			w.make = append(w.make, setAll(jobbook.Journaling, n.ids[b.Code], map[string]string{"Kept": ""})...)
		}
	}
	if len(w.make) == 0 {
		return nil
	}
	if then, err := l.with(ctx, true, w.make...); err != nil || !then.saves(n) {
		return nil
	}
	return []way{w}
}

// ways are the changes of rows that an advice comes to.
func (l *layer) ways(ctx context.Context, n *laid, rows map[string]jobbook.Row, a layout.Advice) (out []way) {
	u := n.job.Settings.Unit
	if id := n.ids[a.Without]; a.Without != "" && id != "" {
		b, r := n.rows[id].block, rows[id]
		out = append(out, way{Says: "Hold " + a.Without + " back", did: a.Without + " is held back.", hold: true, make: setAll(jobbook.Journaling, id, map[string]string{"Hold": "yes"})})
		for _, s := range []struct {
			by   measure.Size
			much measure.Length
			word string
		}{{measure.Size{H: a.Lower}, a.Lower, "lower"}, {measure.Size{W: a.Narrower}, a.Narrower, "narrower"}} {
			if s.much == 0 {
				continue
			}
			cells := spaceCells(r, b, measure.Size{W: b.Space.W - s.by.W, H: b.Space.H - s.by.H})
			if l.fits(n, r, cells) {
				out = append(out, way{Says: "Make " + a.Without + " " + s.much.About(u) + " " + s.word, did: a.Without + " is " + s.much.About(u) + " " + s.word + ".", make: setAll(jobbook.Journaling, id, cells)})
			}
		}
		if stock := l.otherStock(ctx, n, r, b); stock != "" {
			out = append(out, way{Says: "Put " + a.Without + " on " + stock, did: a.Without + " is on " + stock + " now.", make: setAll(jobbook.Journaling, id, map[string]string{"Stock": stock})})
		}
	}
	if a.Turning {
		w := way{Says: "Let every block be turned", did: "Every block on " + a.Stock + " may be turned."}
		for i := range n.job.Typeset {
			if b := n.job.Typeset[i].Block; b.Stock == a.Stock && !b.Turn && n.ids[b.Code] != "" {
				w.make = append(w.make, setAll(jobbook.Journaling, n.ids[b.Code], map[string]string{"Turn": "yes"})...)
			}
		}
		out = append(out, w)
	}
	return out
}

// spaceCells are the cells of a row for another space, in the columns in which it was typed.
func spaceCells(r jobbook.Row, b *intake.Block, space measure.Size) map[string]string {
	u := b.Unit
	if r.Cells["Space"] != "" {
		return map[string]string{"Space": space.Format(u)}
	}
	return map[string]string{"Width": space.W.Format(u), "Height": space.H.Format(u)}
}

// fits reports whether the text of a row still finds room with other cells.
func (l *layer) fits(n *laid, r jobbook.Row, cells map[string]string) bool {
	changed := map[string]string{}
	maps.Copy(changed, r.Cells)
	maps.Copy(changed, cells)
	t := impose.Try(fieldsOf(changed), l.fonts.Load(), n.job.Paper, n.job.Settings)
	return t.Setting != nil && t.Problems.Errors() == 0
}

// otherStock is the first stock on which the block saves a sheet; "": none does.
func (l *layer) otherStock(ctx context.Context, n *laid, r jobbook.Row, b *intake.Block) string {
	for _, stock := range n.job.Settings.Stocks {
		if stock.Name == b.Stock || ctx.Err() != nil {
			continue
		}
		then, err := l.with(ctx, true, setAll(jobbook.Journaling, r.ID, map[string]string{"Stock": stock.Name})...)
		if err == nil && then.saves(n) {
			return stock.Name
		}
	}
	return ""
}

// saves reports whether a layout takes fewer new sheets than another, and leaves no more out.
func (n *laid) saves(than *laid) bool {
	a, b := n.sum(), than.sum()
	return a.Sheets < b.Sheets && a.Out <= b.Out && n.toMend() <= than.toMend()
}

// with is the job as it would be laid if changes were made; sketched, with little effort and without a thought to its cuts.
func (l *layer) with(ctx context.Context, sketched bool, changes ...jobbook.Change) (*laid, error) {
	in, err := l.book.With(changes...)
	if err != nil {
		return nil, err
	}
	j, err := l.set(ctx, in, l.settings.Load())
	if err != nil {
		return nil, err
	}
	if sketched {
		less := *j.Settings
		less.Effort = min(less.Effort, layout.AdviceEffort)
		j.Settings, j.Undrawn = &less, true
	}
	if err := j.Arrange(ctx); err != nil {
		return nil, err
	}
	return newLaid(in, j, whole, ""), nil
}

// pressed is what was pressed and can be taken back as easily: while the cells are still as the press has set them. It is kept beside the job, so that
// it is there when the desk is started anew.
type pressed struct {
	mutex sync.Mutex
	done  []press // the latest last
}

type press struct {
	Number int              `json:"number"`
	Did    string           `json:"did"`
	Made   []jobbook.Change `json:"made"`
	Back   []jobbook.Change `json:"back"`
}

// mostPresses is how many can be taken back one by one; all can by Undo.
const mostPresses = 20

// pressedFile is where it is kept.
func (j *openJob) pressedFile() string {
	return filepath.Join(jobbook.Folder(j.book.Path()), "pressed.json")
}

// readPressed reads what was pressed in earlier runs; what another program wrote there is nothing.
func (j *openJob) readPressed() {
	var was []press
	if text, err := save.ReadPlain(j.pressedFile()); err == nil && json.Unmarshal(text, &was) == nil {
		was = slices.DeleteFunc(was, func(p press) bool { return !p.sound() })
		j.pressed.done = was[max(0, len(was)-mostPresses):]
	}
}

// sound reports a press as the desk writes them: cells that were set, and are set back.
func (p *press) sound() bool {
	odd := func(c jobbook.Change) bool {
		return c.Kind != jobbook.Set || c.Sheet != jobbook.Journaling || c.ID == ""
	}
	return p.Number > 0 && p.Number < math.MaxInt32 && len(p.Made) == len(p.Back) && !slices.ContainsFunc(p.Made, odd) && !slices.ContainsFunc(p.Back, odd)
}

// doFound makes changes that a function finds by the rows as they are. If something is done while it looks, it looks again, so that finding and making them
// are one step.
func (j *openJob) doFound(find func(rows []jobbook.Row) ([]jobbook.Change, error)) (jobbook.Revision, error) {
	for {
		at := j.book.Revision()
		changes, err := find(j.book.Rows(jobbook.Journaling))
		if err != nil {
			return at, err
		}
		if rev, err := j.book.DoAt(at, changes...); !errors.Is(err, jobbook.ErrSince) {
			return rev, err
		}
	}
}

// do makes the changes of something that was pressed at a revision, and notes how to take them back.
func (j *openJob) do(at jobbook.Revision, says string, changes []jobbook.Change) (jobbook.Revision, error) {
	cells := rowsByID(j.book.Rows(jobbook.Journaling))
	var back []jobbook.Change
	for _, c := range changes {
		back = append(back, jobbook.Change{Kind: jobbook.Set, Sheet: c.Sheet, ID: c.ID, Column: c.Column, Text: cells[c.ID].Cells[c.Column]})
	}
	p := &j.pressed
	p.mutex.Lock()
	defer p.mutex.Unlock()
	was := p.done
	if says != "" { // first, so that the sheets are laid but once
		p.note(press{Did: says, Made: changes, Back: back})
	}
	rev, err := j.book.DoAt(at, changes...)
	switch {
	case errors.Is(err, jobbook.ErrSince):
		p.done, err = was, errOtherSheets
	case says != "":
		j.keepPressed()
	}
	return rev, err
}

// note takes down how something pressed is taken back; the mutex is held.
func (p *pressed) note(one press) {
	one.Number = 1
	if n := len(p.done); n > 0 {
		one.Number += p.done[n-1].Number
	}
	p.done = append(slices.Clone(p.done[max(0, len(p.done)-mostPresses+1):]), one)
}

// keepPressed writes what was pressed to the disk; the mutex is held.
func (j *openJob) keepPressed() {
	p := &j.pressed
	if text, err := json.Marshal(p.done); err == nil {
		_ = save.Replace(save.System, j.pressedFile(), text) // without it Undo takes back all the same
	}
}

// standing are the presses whose cells are as they were set, the latest first.
func (j *openJob) standing(rows map[string]jobbook.Row) (out []press) {
	j.pressed.mutex.Lock()
	defer j.pressed.mutex.Unlock()
	for _, p := range slices.Backward(j.pressed.done) {
		if len(p.Made) > 0 && !slices.ContainsFunc(p.Made, func(c jobbook.Change) bool { return rows[c.ID].Cells[c.Column] != c.Text }) {
			out = append(out, p)
		}
	}
	return out
}

var errOtherSheets = &problem.Problem{What: "the sheets were laid anew meanwhile", Hint: "look at them and press again"}

// pressWay does what an advice names.
func (s *server) pressWay(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		Version string
		Way     int
	}
	if !read(w, r, &in) {
		return
	}
	a := j.layer.advised.Load()
	if a == nil || a.of != j.layer.latest.Load() || a.of.version() != in.Version || in.Way < 0 || in.Way >= len(a.ways) {
		fail(w, http.StatusConflict, errOtherSheets, nil)
		return
	}
	chosen := a.ways[in.Way]
	says := chosen.did
	if chosen.hold { // it stands among what is held back
		says = ""
	}
	rev, err := j.do(a.of.revision, says, chosen.make)
	did(j, w, rev, err)
}

// takeBack takes back what was pressed.
func (s *server) takeBack(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct{ Press int }
	if !read(w, r, &in) {
		return
	}
	rev, err := j.doFound(func(rows []jobbook.Row) ([]jobbook.Change, error) {
		standing := j.standing(rowsByID(rows))
		at := slices.IndexFunc(standing, func(p press) bool { return p.Number == in.Press })
		if at < 0 {
			return nil, errNotStanding
		}
		return standing[at].Back, nil
	})
	did(j, w, rev, err)
}

var errNotStanding = errors.New("it was changed again since; Undo takes back step by step")

// hold holds a row back, or lets it be printed again.
func (s *server) hold(j *openJob, w http.ResponseWriter, r *http.Request) {
	var in struct {
		ID   string
		Hold bool
	}
	if !read(w, r, &in) {
		return
	}
	text := ""
	if in.Hold {
		text = "yes"
	}
	rev, err := j.book.Do(setAll(jobbook.Journaling, in.ID, map[string]string{"Hold": text})...)
	did(j, w, rev, err)
}

func rowsByID(rows []jobbook.Row) map[string]jobbook.Row {
	out := map[string]jobbook.Row{}
	for _, r := range rows {
		out[r.ID] = r
	}
	return out
}
