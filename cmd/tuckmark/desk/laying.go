package desk

import (
	"context"
	"fmt"
	"hash/fnv"
	"slices"
	"sync"
	"sync/atomic"
	"time"

	"tuckmark/cmd/internal/jobbook"
	"tuckmark/cmd/internal/save"
	"tuckmark/config"
	"tuckmark/config/problem"
	"tuckmark/impose"
	"tuckmark/impose/account"
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
	by       string                  // the key of the settings that it was laid by; "": others since
	rows     map[string]*laidRow     // by the row's id
	paper    map[string]problem.List // on rows of paper, by the row's id
	general  problem.List            // on no row
	fault    bool                    // it could not be laid further, by a fault of tuckmark that stands among these
	ids      map[string]string       // of rows, by their codes
	sum      func() tally            // what it comes to, reckoned once
}

// laidRow is what became of a row.
type laidRow struct {
	block    *intake.Block    // as far as it could be read; nil: not even that
	set      *typeset.Setting // nil: it could not be set
	code     string
	held     []string // why it is held back, if that is to be mended
	wish     bool     // somebody holds it back
	problems problem.List
	version  string // of its picture: another one where it looks different
}

// How long nothing may have changed before work begins that a change would make vain.
const (
	soonAfter  = 80 * time.Millisecond  // before the texts are set, and again before the sheets are laid roughly
	wholeAfter = 300 * time.Millisecond // after that, and before advice is looked for
)

// roughShare is the share of the effort that goes into the first sheets, one in so many. No thought is spent on their cuts, which takes the most time.
const roughShare = 10

// layer lays a job anew whenever its book has changed. The newest change wins: what is in work for an older one is given up.
type layer struct {
	book     *jobbook.Book
	fonts    atomic.Pointer[typeset.Library]
	files    atomic.Pointer[[]typeset.FontFile] // that they are of
	source   atomic.Pointer[settingsSource]
	settings atomic.Pointer[config.Settings]
	latest   atomic.Pointer[laid]
	advised  atomic.Pointer[advised] // of the last layout that there is advice for
	tell     func(*laid)
	changed  chan struct{}
	typedAt  atomic.Int64                       // when somebody last typed, in nanoseconds since 1970
	giveWay  atomic.Pointer[context.CancelFunc] // ends the arranging that is in work; nil: none is

	soonAfter, wholeAfter time.Duration
}

// settingsSource tells settings, with the fonts beside them, from others.
type settingsSource struct {
	of    *config.Settings
	key   string
	fonts []string // that lie beside them, as fontKeys has them
}

func newLayer(book *jobbook.Book, s *config.Settings, read save.Digest, tell func(*laid)) *layer {
	l := &layer{book: book, tell: tell, changed: make(chan struct{}, 1), soonAfter: soonAfter, wholeAfter: wholeAfter}
	l.use(s, read, typeset.FontFiles(s.Fonts))
	return l
}

// use has the job laid by other settings from the next change on, and by other fonts where their files are others. The digest is that of the configuration
// that they were read from.
func (l *layer) use(s *config.Settings, read save.Digest, files []typeset.FontFile) {
	if was := l.settings.Load(); was == nil || !slices.Equal(was.Fonts, s.Fonts) || !slices.Equal(*l.files.Load(), files) {
		l.fonts.Store(typeset.NewLibrary(s.Fonts))
	}
	l.files.Store(&files)
	key := save.DigestOf(fmt.Append(nil, read, files))
	l.source.Store(&settingsSource{s, string(key[:min(len(key), 12)]), fontKeys(files)})
	l.settings.Store(s)
}

// key is that of settings; "": others have come since.
func (l *layer) key(s *config.Settings) string {
	if from := l.source.Load(); from.of == s {
		return from.key
	}
	return ""
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
		soon = l.soonAfter
	}
}

// lay lays the job in three steps, with a pause before each, then looks for advice, and stops where the context is done.
func (l *layer) lay(ctx context.Context, soon time.Duration) {
	if !pause(ctx, soon) {
		return
	}
	in := l.book.Input()
	s := l.settings.Load()
	by := l.key(s)
	last := newLaid(in, impose.New(s, nil), onlySet, by) // of this input
	defer func() {
		if r := recover(); r != nil { // the desk goes on: what is typed is kept, and another change may be laid
			n := *last
			n.fault = true
			n.general = append(slices.Clip(n.general), *faultOf(r))
			l.show(&n)
		}
	}()
	j, err := l.set(ctx, in, s)
	if err != nil {
		return
	}
	show := func(j *impose.Job, how stage) {
		last = newLaid(in, j, how, by)
		l.show(last)
	}
	_ = l.book.Keep(in, j.Input) // what is shown keeps its code; what the disk refuses the book tells of by itself
	show(j, onlySet)
	less := *j.Settings
	less.Effort /= roughShare
	quick := l.arrange(ctx, j, &less, true, soon)
	if quick == nil {
		return
	}
	show(quick, rough)
	full := l.arrange(ctx, j, j.Settings, false, l.wholeAfter)
	if full == nil {
		return
	}
	show(full, whole)
	l.quietly(ctx, l.wholeAfter, func(ctx context.Context) error {
		a := l.advise(ctx, last)
		if ctx.Err() == nil {
			l.advised.Store(a)
			l.tell(last)
		}
		return ctx.Err()
	})
}

// set is the job as the input has it, with its texts set by some settings; it has settings of its own where they hang on what is typed, as the currency does.
func (l *layer) set(ctx context.Context, in *jobbook.Input, s *config.Settings) (*impose.Job, error) {
	j := impose.New(s, nil)
	j.Fonts = l.fonts.Load()
	if err := j.ReadTables(ctx, in.Tables, ""); err != nil {
		return nil, err
	}
	return j, j.Set(ctx)
}

// arrange lays a job whose texts are set, as quietly does; sketched, without a thought to its cuts. It gives nil where the context is done.
func (l *layer) arrange(ctx context.Context, j *impose.Job, s *config.Settings, sketched bool, quiet time.Duration) (k *impose.Job) {
	if !l.quietly(ctx, quiet, func(ctx context.Context) error {
		k = again(j, s)
		k.Undrawn = sketched
		return k.Arrange(ctx)
	}) {
		return nil
	}
	return k
}

// quietly does something once nobody has typed for a while, and begins again where somebody types meanwhile: a letter's picture comes before the
// sheets. False: the context is done.
func (l *layer) quietly(ctx context.Context, quiet time.Duration, do func(context.Context) error) bool {
	for pause(ctx, quiet) {
		if time.Since(time.Unix(0, l.typedAt.Load())) < quiet {
			continue
		}
		work, stop := context.WithCancel(ctx)
		l.giveWay.Store(&stop)
		err := do(work)
		l.giveWay.Store(nil)
		stop()
		if err == nil {
			return true
		}
	}
	return false
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

// newLaid sorts what a job came to by the rows of the book; by is the key of its settings.
func newLaid(in *jobbook.Input, j *impose.Job, how stage, by string) *laid {
	out := &laid{revision: in.Revision, stage: how, job: j, by: by, rows: map[string]*laidRow{}, paper: map[string]problem.List{}, ids: map[string]string{}}
	out.sum = sync.OnceValue(out.tally)
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
			if r.code, r.wish = h.Code, r.wish || h.Wish; !h.Wish {
				r.held = append(r.held, h.Why)
			}
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
	for id, r := range out.rows {
		r.version = r.looks()
		out.ids[r.code] = id
	}
	return out
}

// looks tells apart how rows look.
func (r *laidRow) looks() string {
	h := fnv.New64a()
	if r.block != nil {
		b := *r.block
		b.Place, b.Code, b.Owner, b.Page, b.Hold, b.Kept = problem.Place{}, "", "", "", false, nil
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

// withoutPlace reports whether the row is set and not printed all the same, by nobody's wish: it found no place on the paper.
func (r *laidRow) withoutPlace() bool { return r.set != nil && !r.wish && r.toMend() }

// withoutPlace is how many rows found no place.
func (n *laid) withoutPlace() (count int) {
	for _, r := range n.rows {
		if r.withoutPlace() {
			count++
		}
	}
	return count
}

// tally is what a layout comes to.
type tally struct {
	Blocks, Sheets, Pieces, Cuts, Unmarked, Strokes int
	Cents                                           int64
	Out                                             int  // rows without a place
	Scissors                                        bool // every block is cut out; the cuts are those before printing
}

func (n *laid) tally() (t tally) {
	p := n.job.Plan
	for _, piece := range p.Pieces {
		t.Blocks += len(piece.Blocks())
	}
	t.Pieces = len(p.Pieces)
	if t.Scissors = n.job.Settings.Trimmer.Scissors; !t.Scissors {
		t.Unmarked, t.Cuts = p.Trimming().Unmarked, p.Trimming().Cuts
	}
	for _, sheet := range p.Sheets {
		t.Cuts += sheet.Whole.CutCount()
	}
	for _, u := range p.Stocks {
		t.Cents += u.Cents
		t.Sheets += u.NewSheets
	}
	if t.Strokes = t.Cuts; n.job.Settings.Trimmer.Stack > 1 {
		t.Strokes = account.Of(p, n.job.Settings, nil).Strokes()
	}
	t.Out = n.withoutPlace()
	return t
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
	if n.job.Plan == nil || n.fault {
		add(len(n.job.Typeset), "block", false)
		if mend > 0 {
			add(mend, "to mend|to mend", true)
		}
		f.How = "being laid on sheets…"
		if n.fault {
			f.How = "not laid, by a fault of tuckmark: Journaling says which"
		}
		return f
	}
	t := n.sum()
	add(t.Blocks, "block", false)
	add(t.Sheets, "new sheet", false)
	if t.Pieces != t.Sheets {
		add(t.Pieces, "piece to print|pieces to print", false)
	}
	switch {
	case !t.Scissors:
		add(t.Cuts, "cut", false)
	case t.Cuts > 0: // each block is cut out besides, and counted
		add(t.Cuts, "cut before printing|cuts before printing", false)
	}
	if t.Cents > 0 {
		f.Counts = append(f.Counts, [3]any{s.Amount(t.Cents), "for paper", false})
	}
	if mend > 0 {
		add(mend, "to mend|to mend", true)
	}
	if f.How = "laid"; n.stage == rough {
		f.How = "laid roughly; looking for a better layout…"
	}
	return f
}
