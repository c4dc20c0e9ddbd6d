package desk

import (
	"context"
	"fmt"
	"hash/fnv"
	"slices"
	"sync/atomic"
	"time"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// stage is how far a job is laid.
type stage uint8

// The stages: texts are set, sheets are laid roughly, sheets are laid as the command would lay them.
const (
	onlySet stage = iota
	rough
	whole
)

// laid is a job as it stood at one revision of its book. It does not change once it is there.
type laid struct {
	revision jobbook.Revision
	stage    stage
	job      *impose.Job
	rows     map[string]*laidRow     // by the row's id
	paper    map[string]problem.List // on rows of paper, by the row's id
	general  problem.List            // on no row
}

// laidRow is what became of a row.
type laidRow struct {
	block    *intake.Block    // as far as it could be read; nil: not even that
	set      *typeset.Setting // nil: it could not be set
	code     string
	held     []string // why it is held back
	problems problem.List
	version  string // of its picture: another one where it looks different
}

// How long nothing may have changed before work begins that a change would make vain.
const (
	soonAfter  = 80 * time.Millisecond  // before the texts are set, and again before the sheets are laid roughly
	wholeAfter = 300 * time.Millisecond // after that
)

// roughShare is the share of the effort that goes into the first sheets, one in so many.
const roughShare = 40

// layer lays a job anew whenever its book has changed. The newest change wins: what is in work for an older one is given up.
type layer struct {
	book     *jobbook.Book
	fonts    *typeset.Library
	settings atomic.Pointer[config.Settings]
	latest   atomic.Pointer[laid]
	tell     func(*laid)
	changed  chan struct{}
	typedAt  atomic.Int64                       // when somebody last typed, in nanoseconds since 1970
	giveWay  atomic.Pointer[context.CancelFunc] // ends the arranging that is in work; nil: none is
}

func newLayer(book *jobbook.Book, s *config.Settings, tell func(*laid)) *layer {
	l := &layer{book: book, fonts: typeset.NewLibrary(s.Fonts), tell: tell, changed: make(chan struct{}, 1)}
	l.settings.Store(s)
	return l
}

// change has the job laid anew.
func (l *layer) change() {
	select {
	case l.changed <- struct{}{}:
	default: // it is known already
	}
}

// run lays the job until the context is done; each change ends what is in work.
func (l *layer) run(ctx context.Context) {
	soon := time.Duration(0) // the first time at once
	for ctx.Err() == nil {
		work, stop := context.WithCancel(ctx)
		done := make(chan struct{})
		go func() {
			defer close(done)
			l.lay(work, soon)
		}()
		select {
		case <-l.changed:
		case <-ctx.Done():
		}
		stop()
		<-done
		soon = soonAfter
	}
}

// lay lays the job in three steps, with a pause before each, and stops where the context is done.
func (l *layer) lay(ctx context.Context, soon time.Duration) {
	if !pause(ctx, soon) {
		return
	}
	in, j, err := l.set(ctx)
	if err != nil {
		return
	}
	_ = l.book.Keep(in, j.Input) // what is shown keeps its code; what the disk refuses the book tells of by itself
	l.show(newLaid(in, j, onlySet))
	less := *j.Settings
	less.Effort /= roughShare
	quick := l.arrange(ctx, j, &less, soon)
	if quick == nil {
		return
	}
	if less.Effort == j.Settings.Effort { // there is no effort to take a part of
		l.show(newLaid(in, quick, whole))
		return
	}
	l.show(newLaid(in, quick, rough))
	if full := l.arrange(ctx, j, j.Settings, wholeAfter); full != nil {
		l.show(newLaid(in, full, whole))
	}
}

// set is the job as it stands in the book, with its texts set, and what it has read of the book.
func (l *layer) set(ctx context.Context) (*jobbook.Input, *impose.Job, error) {
	in := l.book.Input()
	j := impose.New(l.settings.Load(), nil)
	j.Fonts = l.fonts
	if err := j.ReadTables(ctx, in.Tables, ""); err != nil {
		return nil, nil, err
	}
	return in, j, j.Set(ctx)
}

// arrange lays a job whose texts are set once nobody has typed for a while, and begins again where somebody types meanwhile: a letter's
// picture comes before the sheets. It gives nil where the context is done.
func (l *layer) arrange(ctx context.Context, j *impose.Job, s *config.Settings, quiet time.Duration) *impose.Job {
	for pause(ctx, quiet) {
		if time.Since(time.Unix(0, l.typedAt.Load())) < quiet {
			continue
		}
		work, stop := context.WithCancel(ctx)
		l.giveWay.Store(&stop)
		k := again(j, s)
		err := k.Arrange(work)
		l.giveWay.Store(nil)
		stop()
		if err == nil {
			return k
		}
	}
	return nil
}

// typed says that somebody types.
func (l *layer) typed() {
	l.typedAt.Store(time.Now().UnixNano())
	if stop := l.giveWay.Load(); stop != nil {
		(*stop)()
	}
}

// again is a job whose texts are set, to be arranged by itself.
func again(j *impose.Job, s *config.Settings) *impose.Job {
	k := *j
	k.Settings, k.Problems, k.Held = s, slices.Clone(j.Problems), slices.Clone(j.Held)
	return &k
}

func (l *layer) show(n *laid) {
	l.latest.Store(n)
	l.tell(n)
}

// pause waits; false: the context is done.
func pause(ctx context.Context, d time.Duration) bool {
	select {
	case <-time.After(d):
		return ctx.Err() == nil
	case <-ctx.Done():
		return false
	}
}

// newLaid sorts what a job came to by the rows of the book.
func newLaid(in *jobbook.Input, j *impose.Job, how stage) *laid {
	out := &laid{revision: in.Revision, stage: how, job: j, rows: map[string]*laidRow{}, paper: map[string]problem.List{}}
	row := func(at problem.Place) *laidRow {
		sheet, id, ok := in.Row(at)
		if !ok || sheet != jobbook.Journaling {
			return nil
		}
		r := out.rows[id]
		if r == nil {
			r = &laidRow{}
			out.rows[id] = r
		}
		return r
	}
	for i := range j.Blocks {
		if r := row(j.Blocks[i].Place); r != nil {
			r.block, r.code = &j.Blocks[i], j.Blocks[i].Code
		}
	}
	for i := range j.Typeset {
		if r := row(j.Typeset[i].Block.Place); r != nil {
			r.set = &j.Typeset[i]
		}
	}
	for _, h := range j.Held {
		if r := row(h.Place); r != nil {
			r.held, r.code = append(r.held, h.Why), h.Code
			if r.block == nil {
				r.block = h.Read
			}
		}
	}
	for _, p := range j.Problems {
		if r := row(p.Place); r != nil {
			r.problems = append(r.problems, p)
		} else if _, id, ok := in.Row(p.Place); ok {
			out.paper[id] = append(out.paper[id], p)
		} else {
			out.general = append(out.general, p)
		}
	}
	for _, r := range out.rows {
		r.version = r.looks()
	}
	return out
}

// looks tells apart how rows look.
func (r *laidRow) looks() string {
	h := fnv.New64a()
	if r.block != nil {
		b := *r.block
		b.Place, b.Code, b.Owner, b.Page = problem.Place{}, "", "", ""
		fmt.Fprintf(h, "%v", b)
	}
	if r.set != nil {
		fmt.Fprintf(h, "|%d %d %v", r.set.Size, len(r.set.Lines), r.set.Ink)
	}
	return fmt.Sprintf("%x", h.Sum64())
}

// toMend reports whether the row is not printed until somebody mends it.
func (r *laidRow) toMend() bool { return len(r.held) > 0 || r.problems.Errors() > 0 }

// toMend is how many rows are to be mended.
func (n *laid) toMend() (count int) {
	for _, r := range n.rows {
		if r.toMend() {
			count++
		}
	}
	return count
}

// foot is what the line at the foot says: numbers with their words, and how final they are.
type foot struct {
	Counts [][3]any `json:"counts"` // number, word, whether it is something to mend
	How    string   `json:"how"`
}

// foot counts a job that is laid.
func (n *laid) foot() foot {
	s := n.job.Settings
	var f foot
	add := func(count int, words string, mend bool) {
		said := problem.Count(count, words)
		number := fmt.Sprint(count)
		f.Counts = append(f.Counts, [3]any{number, said[min(len(said), len(number)+1):], mend})
	}
	mend := n.toMend()
	if n.job.Plan == nil {
		add(len(n.job.Typeset), "block", false)
		if mend > 0 {
			add(mend, "to mend|to mend", true)
		}
		f.How = "being laid on sheets…"
		return f
	}
	copies, cuts, cents := 0, 0, int64(0)
	for _, p := range n.job.Plan.Pieces {
		copies += len(p.Blocks())
		if !s.Trimmer.Scissors {
			cuts += p.Whole.CutCount()
		}
	}
	for _, sheet := range n.job.Plan.Sheets {
		cuts += sheet.Whole.CutCount()
	}
	sheets := 0
	for _, u := range n.job.Plan.Stocks {
		cents += u.Cents
		sheets += u.NewSheets
	}
	add(copies, "block", false)
	add(sheets, "new sheet", false)
	if pieces := len(n.job.Plan.Pieces); pieces != sheets {
		add(pieces, "piece to print|pieces to print", false)
	}
	switch {
	case s.Trimmer.Scissors && cuts > 0:
		add(cuts, "cut before printing|cuts before printing", false)
	case s.Trimmer.Scissors: // each block is cut out, and counted
	default:
		add(cuts, "cut", false)
	}
	if cents > 0 {
		f.Counts = append(f.Counts, [3]any{s.Amount(cents), "for paper", false})
	}
	if mend > 0 {
		add(mend, "to mend|to mend", true)
	}
	if f.How = "laid"; n.stage == rough {
		f.How = "laid roughly; looking for a better layout…"
	}
	return f
}
