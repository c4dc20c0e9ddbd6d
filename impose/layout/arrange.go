package layout

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Arrange lays the set blocks out, stock by stock in the order of the settings. A block that finds no place, with all
// its copies, is held, with an error that says what would serve. The plan's pages are numbered from 1 until Number says
// otherwise. Once the context is done the plan is worth nothing. Tick, which may be nil, is told how many of the blocks' copies are laid.
func Arrange(ctx context.Context, set []typeset.Setting, paper []intake.Paper, s *config.Settings, tick func(done, of int)) (*plan.Plan, []intake.Held, problem.List) {
	return layOut(ctx, set, paper, s, false, tick)
}

// sketchEffort is the most effort that goes into a sketch, the usual one: what more of it saves, the job itself finds out.
const sketchEffort = 400

// Sketch is as Arrange for a plan that tells how much paper is needed and is not cut: no thought is spent on its cuts, and no more than the usual effort.
func Sketch(ctx context.Context, set []typeset.Setting, paper []intake.Paper, s *config.Settings, tick func(done, of int)) (*plan.Plan, []intake.Held, problem.List) {
	quick := *s
	quick.Effort = min(s.Effort, sketchEffort)
	return layOut(ctx, set, paper, &quick, true, tick)
}

func layOut(ctx context.Context, set []typeset.Setting, paper []intake.Paper, s *config.Settings, rough bool, tick func(done, of int)) (*plan.Plan, []intake.Held, problem.List) {
	a := arranger{stop: func() bool { return ctx.Err() != nil }, settings: s, rough: rough, plan: &plan.Plan{}}
	total, done := 0, 0
	byStock := map[string][]*typeset.Setting{}
	for i := range set {
		b := set[i].Block
		total += b.Copies
		byStock[b.Stock] = append(byStock[b.Stock], &set[i])
	}
	a.leastLooks = looksOfSketch / int64(max(32, len(byStock)))
	for _, stock := range s.Stocks {
		mine := byStock[stock.Name]
		if len(mine) == 0 {
			continue
		}
		copies := copiesOf(mine)
		a.looks = max(looksOfSketch*int64(copies)/int64(total), a.leastLooks)
		a.stock(stock, mine, paper, func(n, of int) {
			if tick != nil && of > 0 {
				tick(done+n*copies/of, total)
			}
		})
		done += copies
	}
	a.plan.Number(1)
	return a.plan, a.held, a.problems
}

type arranger struct {
	stop       func() bool // the answer is no longer wanted
	settings   *config.Settings
	rough      bool  // only how much paper is needed matters
	looks      int64 // how much is looked at for it, of the stock that is laid out,
	leastLooks int64 // and at least of any
	plan       *plan.Plan
	held       []intake.Held
	problems   problem.List
	feeds      map[string]feed          // by stock, as far as they were asked for
	ways       map[way]*pack.Rooms      // that were looked at for refusals,
	sought     int                      // of so many sizes of sheets
	tried      int                      // sheets, one by one
	causes     map[string]string        // why nothing can be printed, by stock and printers
	lying      map[*typeset.Setting]int // copies of the stock's blocks that stay where they lie, and are not laid
}

// copyOf is one item of the packer: a copy of a block.
type copyOf struct {
	set  *typeset.Setting
	n    int
	kept int // number of the sheet on which it stays; 0: it is laid
}

// stock lays out one stock. What fits the printers that are there for this stock goes to them; the rest, and what finds no
// paper there, goes to any that takes it, on the paper that is left.
func (a *arranger) stock(stock config.Stock, set []*typeset.Setting, paper []intake.Paper, tick func(done, of int)) {
	f := a.feedOf(stock)
	l := layout{arranger: a, stock: stock, sheets: intake.AtHand(stock, paper)}
	set = l.keepBlocks(f, set)
	all, done, first := copiesOf(set), 0, len(a.plan.Pieces)
	l.tick = func(n, of int) {
		if of > 0 {
			tick(done+n*l.round/of, all)
		}
	}
	if own, some := f.own(); some {
		fits := l.fitting(own, set)
		laid := map[*typeset.Setting]bool{}
		for _, t := range fits {
			laid[t] = true
		}
		for _, t := range l.lay(own, fits, nil) {
			laid[t] = false
		}
		set = slices.DeleteFunc(set, func(t *typeset.Setting) bool { return laid[t] })
		done = all - copiesOf(set)
	}
	l.lay(f, set, a.refuse)
	l.acceptPacking(f, offered{}, nil, pack.Job{}, pack.Answer{}) // sheets to which nothing comes
	a.plan.Pieces = append(a.plan.Pieces[:first:first], alikeTogether(f.share(a.plan.Pieces[first:]))...)
	if l.use.Stock != "" {
		a.plan.Stocks = append(a.plan.Stocks, l.finish())
	}
}

// alikeTogether has the pieces that are cut alike follow each other, each behind the first like it. Those that ride stay on their carriers.
func alikeTogether(pieces []*plan.Piece) []*plan.Piece {
	type likeness struct {
		printer, name, cuts string
		leftover            bool
	}
	first := map[likeness]int{}
	order := map[*plan.Piece]int{}
	for i, p := range pieces {
		if p.Carrier != nil {
			return pieces
		}
		like := likeness{p.Printer, p.Source.Name, cutsIn(p.Whole), p.Source.Leftover}
		if _, ok := first[like]; !ok {
			first[like] = i
		}
		order[p] = first[like]
	}
	slices.SortStableFunc(pieces, func(a, b *plan.Piece) int { return cmp.Compare(order[a], order[b]) })
	return pieces
}

// cutsIn is a text that is equal for parts that are cut alike.
func cutsIn(p *plan.Part) string {
	if p.Cut == nil {
		return fmt.Sprint(p.Rect, p.Block != nil, p.Keep)
	}
	return fmt.Sprint("(", p.Cut.Axis, p.Cut.At, cutsIn(p.Cut.Near), cutsIn(p.Cut.Far), ")")
}

func copiesOf(set []*typeset.Setting) (n int) {
	for _, t := range set {
		n += t.Block.Copies
	}
	return n
}

// layout is one stock as far as it is laid out.
type layout struct {
	*arranger
	stock  config.Stock
	sheets []config.Sheet // still there
	kept   []*keptSheet   // that are taken by what stays on them
	tick   func(done, of int)
	round  int // copies that are being laid
	taken  int // leftovers and sheets so far
	use    plan.Use
	area   float64 // of the pieces, in square EMU, which may be more than 64 bits hold
	filled float64 // of that by blocks
}

// fitting are the blocks that fit some piece of the feed by themselves.
func (l *layout) fitting(f feed, set []*typeset.Setting) []*typeset.Setting {
	var out []*typeset.Setting
	job, copies, _ := l.job(f, l.sheets, set)
	rooms := pack.RoomsOf(job.Sheets)
	for i, item := range job.Items {
		if rooms.Fits(item) && copies[i].n == l.lying[copies[i].set]+1 {
			out = append(out, copies[i].set)
		}
	}
	return out
}

// lay packs blocks on what the feed's printers pull. When the paper runs out, the blocks without a place are refused and the
// others laid anew, so that no block is printed with some of its copies only. The refused come back.
func (l *layout) lay(f feed, set []*typeset.Setting, refuse func(feed, *pack.Rooms, []int, *intake.Block)) (refused []*typeset.Setting) {
	l.round = copiesOf(set)
	tries := 0
	for len(set) > 0 && !l.stop() {
		job, copies, offers := l.job(f, l.sheets, set)
		given := offered{sheets: offers}
		for _, s := range l.keptFor(f) {
			if sheet, some := s.offer(l.settings); some {
				job.Sheets, given.kept = append(job.Sheets, sheet), append(given.kept, s)
			}
		}
		job.Tick, job.Stop = l.tick, l.stop
		unplaced, answer := pack.Nowhere(job), pack.Answer{}
		if len(unplaced) == 0 { // else the others are laid without them
			answer = pack.Pack(job)
			unplaced = answer.Unplaced
			l.looks = max(l.looks/2, l.leastLooks/4) // of the next, so that all of them together are bounded
		}
		if len(unplaced) == 0 {
			job, answer = l.fewerLoads(job, answer)
			job, answer = l.fewerCarriers(f, job, answer)
			job, answer = l.apart(job, answer)
			l.acceptPacking(f, given, copies, job, answer)
			break
		}
		rooms := pack.RoomsOf(job.Sheets)
		lost := lostRows(job, copies, unplaced, tries)
		tries++
		set = slices.DeleteFunc(slices.Clone(set), func(t *typeset.Setting) bool {
			if lost[t] {
				refused = append(refused, t)
				if refuse != nil {
					refuse(f, rooms, offers, t.Block)
					l.letGo(t)
				}
			}
			return lost[t]
		})
	}
	return refused
}

// mostTries is how often blocks are laid anew for some of those that lack a copy, before all of them are refused: once where there are manyCopies, which take seconds
// each time.
const mostTries, manyCopies = 3, 5000

// lostRows are the blocks that are refused for copies without a place: those of which no copy has one, and of the others so many, those that lack most first, as the
// place of their copies suffices by its area for what the rest lack. To refuse each that lacks one copy would print nothing where each lacks one. Where fewer serve, as
// one of very many copies, they are refused, and no others, before much has been tried.
func lostRows(job pack.Job, copies []copyOf, unplaced []int, tries int) map[*typeset.Setting]bool {
	type lack struct {
		set         *typeset.Setting
		out, placed float64 // of its copies, in square EMU, which may be more than 64 bits hold
	}
	at := map[*typeset.Setting]int{}
	var lacks []lack
	for _, i := range unplaced {
		set := copies[i].set
		if _, known := at[set]; !known {
			at[set] = len(lacks)
			lacks = append(lacks, lack{set: set})
		}
		lacks[at[set]].out += float64(job.Items[i].Size.Area())
	}
	for i, c := range copies {
		if k, lacking := at[c.set]; lacking {
			lacks[k].placed += float64(job.Items[i].Size.Area())
		}
	}
	need := 0.0
	for k := range lacks {
		lacks[k].placed -= lacks[k].out
		need += lacks[k].out
	}
	most := mostTries
	if len(copies) > manyCopies {
		most = 1
	}
	slices.SortStableFunc(lacks, func(a, b lack) int { return cmp.Compare(b.out+b.placed, a.out+a.placed) })
	fewest := map[*typeset.Setting]bool{}
	for left := need; left > 0 && len(fewest) < len(lacks); {
		k := lacks[len(fewest)]
		fewest[k.set] = true
		left -= k.out + k.placed
	}
	slices.SortStableFunc(lacks, func(a, b lack) int { return cmp.Compare(b.out*(a.out+a.placed), a.out*(b.out+b.placed)) })
	lost := map[*typeset.Setting]bool{}
	for _, k := range lacks {
		if need <= 0 && k.placed > 0 && tries < most {
			break
		}
		lost[k.set] = true
		need -= k.out + k.placed
	}
	if len(fewest) < len(lost) && tries < most {
		return fewest
	}
	return lost
}

// job puts a stock's blocks and sheets into the packer's terms. The indexes of the sheets that can
// be used come back parallel to the job's.
func (a *arranger) job(f feed, sheets []config.Sheet, set []*typeset.Setting) (pack.Job, []copyOf, []int) {
	job := a.empty(f)
	var copies []copyOf
	var kinds []pack.Item // each once
	known := map[pack.Item]bool{}
	owners := map[string]int{}
	sides := [2]map[measure.Length]int{{}, {}} // by the axis of the cut that would free them
	for _, t := range set {
		b := t.Block
		if _, ok := owners[b.Owner]; !ok {
			owners[b.Owner] = len(owners)
		}
		for n := a.lying[t]; n < b.Copies; n++ {
			item := itemOf(b)
			if !known[item] {
				known[item] = true
				kinds = append(kinds, item)
			}
			item.Group = owners[b.Owner]
			job.Items = append(job.Items, item)
			copies = append(copies, copyOf{set: t, n: n + 1})
			trim := b.Trim()
			sides[pack.Down][trim.W]++
			sides[pack.Across][trim.H]++
			if b.Turn {
				sides[pack.Down][trim.H]++
				sides[pack.Across][trim.W]++
			}
		}
	}
	wanted := wishes{commonest(sides[pack.Down]), commonest(sides[pack.Across])}
	priced := byPrice(sheets)
	var offers []int
	for i, sheet := range sheets {
		size := f.asFed(sheet.Size, kinds...)
		divisions := f.divisions(size, wanted)
		if len(divisions) == 0 || sheet.Count == 0 {
			continue
		}
		cost := sheet.Price
		if !priced { // without prices the larger sheet is the dearer one
			cost = size.Area() / (int64(measure.Inch/10) * int64(measure.Inch/10))
		}
		if sheet.Leftover {
			cost = 0
		}
		job.Sheets = append(job.Sheets, pack.Sheet{Size: size, Cost: cost, Count: min(sheet.Count, len(copies)), Divisions: divisions}) // more than one for each block are of no use
		offers = append(offers, i)
	}
	return job, copies, offers
}

// empty is a job of a stock without items and sheets.
func (a *arranger) empty(f feed) pack.Job {
	s := a.settings
	gap, auto := gapOf(s), s.Gap.Auto
	if auto && s.Trimmer.Scissors { // apart finds it
		gap, auto = 0, false
	}
	job := pack.Job{
		Gap: gap, Auto: auto, Effort: s.Effort,
		Measure: s.Trimmer.Measure, Unmarked: a.unmarked, Rough: a.rough,
		Limits: pack.Limits{Longest: s.Trimmer.Longest, Hold: s.Trimmer.Holds, Stack: s.Trimmer.Stack, Keep: f.stillFeeds},
	}
	if a.rough {
		job.Looks = a.looks
	}
	return job
}

// looksOfSketch bounds the work of a sketch, which a large job of many kinds of sheets would take minutes for.
const looksOfSketch = 1 << 28

// gapOf is the gap between blocks. An automatic one of a metric job is whole millimetres, as the rule of its trimmer shows them.
func gapOf(s *config.Settings) measure.Length {
	if g := s.Gap.Width; !s.Gap.Auto || !s.Unit.Metric() || g < measure.Millimetre {
		return g
	}
	return s.Unit.Down(s.Gap.Width)
}

// byPrice reports whether all new sheets have a price.
func byPrice(sheets []config.Sheet) bool {
	return !slices.ContainsFunc(sheets, func(s config.Sheet) bool { return !s.Leftover && s.Price <= 0 })
}

// commonest are up to eight lengths, the most frequent first.
func commonest(count map[measure.Length]int) []measure.Length {
	var out []measure.Length
	for l := range count {
		out = append(out, l)
	}
	slices.SortFunc(out, func(x, y measure.Length) int {
		return cmp.Or(cmp.Compare(count[y], count[x]), cmp.Compare(x, y))
	})
	return out[:min(len(out), 8)]
}

// offered are the sheets of a job by their place among the layout's, then those with blocks that stay.
type offered struct {
	sheets []int
	kept   []*keptSheet
}

// laidSheet is a sheet of the packer's answer; kept where blocks stay on it.
type laidSheet struct {
	sheet    int // in layout.sheets
	division pack.Division
	trees    []*pack.Node
	kept     *keptSheet
	own      pack.Trimming // of the cuts that stay, which the packer does not count
}

// laidSheets are the sheets of an answer, with those on which blocks stay, each of these at its number if that may be. The copies that stay are added.
func (l *layout) laidSheets(f feed, from offered, copies []copyOf, job pack.Job, answer pack.Answer) ([]laidSheet, []copyOf) {
	var out []laidSheet
	filled := map[*keptSheet][]*pack.Node{}
	for _, laid := range answer.Sheets {
		if k := laid.Sheet - len(from.sheets); k >= 0 {
			filled[from.kept[k]] = laid.Trees
			continue
		}
		out = append(out, laidSheet{sheet: from.sheets[laid.Sheet], division: job.Sheets[laid.Sheet].Divisions[laid.Division], trees: laid.Trees})
	}
	for _, s := range l.keptFor(f) {
		base := len(copies)
		copies, s.done = append(copies, s.copies...), true
		whole := l.empty(f)
		for _, c := range copies {
			whole.Items = append(whole.Items, itemOf(c.set.Block))
		}
		laid := laidSheet{sheet: s.sheet, division: s.division(), trees: s.trees(l.settings, whole, filled[s], base), kept: s}
		laid.own = l.trimming(laid.trees, laid.division.Pieces)
		if k := slices.Index(from.kept, s); k >= 0 {
			in := l.trimming(filled[s], job.Sheets[len(from.sheets)+k].Divisions[0].Pieces)
			laid.own.Cuts, laid.own.Unmarked = laid.own.Cuts-in.Cuts, laid.own.Unmarked-in.Unmarked
		}
		out = slices.Insert(out, min(max(s.first.Number-1-l.taken, 0), len(out)), laid)
	}
	return out, copies
}

// acceptPacking turns the packer's answer into pieces, and takes the paper away.
func (l *layout) acceptPacking(f feed, offers offered, copies []copyOf, job pack.Job, answer pack.Answer) {
	use := &l.use
	l.plan.Other.Cuts += answer.Other.Cuts
	l.plan.Other.Unmarked += answer.Other.Unmarked
	use.Bound += answer.Bound // blocks of one printer do not go to the other: each layout needs its own
	sheets, copies := l.laidSheets(f, offers, copies, job, answer)
	for _, laid := range sheets {
		use.Stock = l.stock.Name
		if l.plan.Other != (plan.Trimming{}) {
			l.plan.Other.Cuts += laid.own.Cuts
			l.plan.Other.Unmarked += laid.own.Unmarked
		}
		sheet := l.sheets[laid.sheet]
		l.taken++
		from := plan.Source{Sheet: l.taken, Leftover: sheet.Leftover, Name: sheet.Name}
		if sheet.Leftover {
			from.Name = cmp.Or(sheet.Name, "leftover of "+sheet.Size.About(l.settings.Unit))
		} else {
			use.NewSheets++
			from.Price = max(0, sheet.Price)
			use.Cents += from.Price
			if laid.kept != nil {
				use.Bound++ // the packer has it for nothing
			}
		}
		division := laid.division
		var panels []*plan.Part
		if division.Cuts != nil {
			if laid.kept == nil {
				laid.trees = printedFirst(division, laid.trees)
			}
			from.Cut, panels = panelsOf(f, division, laid.trees)
			from.Cut.Stock, from.Cut.Number, from.Cut.Leftover = l.stock.Name, from.Sheet, from.Leftover
			l.plan.Sheets = append(l.plan.Sheets, from.Cut)
		}
		for i, p := range division.Pieces {
			if laid.trees[i] == nil {
				continue
			}
			from.Rect = p.Rect
			if panels != nil {
				from.Panel = panels[i]
			}
			piece := l.makePiece(l.stock.Name, p, from, laid.trees[i], copies)
			if !f.printers[p.Printer].Feeds(piece.Size()) {
				_, piece.Carrier = f.ride(piece.Size())
			}
			l.area += float64(piece.Size().Area())
			for _, b := range piece.Blocks() {
				l.filled += float64(b.Rect.Size().Area())
			}
			l.plan.Pieces = append(l.plan.Pieces, piece)
		}
	}
	for _, laid := range sheets {
		if s := &l.sheets[laid.sheet]; s.Count > 0 && laid.kept == nil {
			s.Count--
		}
	}
}

// finish sums the stock up.
func (l *layout) finish() plan.Use {
	if l.area > 0 {
		l.use.Filled = math.Round(1000*l.filled/l.area) / 1000
	}
	return l.use
}

// printedFirst are the trees of a division with blocks on the first of panels that are alike, so that what stays blank lies together.
func printedFirst(division pack.Division, trees []*pack.Node) []*pack.Node {
	out := slices.Clone(trees)
	for i, p := range division.Pieces {
		if out[i] != nil {
			continue
		}
		for k := i + 1; k < len(out); k++ {
			if q := division.Pieces[k]; out[k] != nil && q.Rect.Size() == p.Rect.Size() && q.Printer == p.Printer {
				out[i], out[k] = out[k], nil
				break
			}
		}
	}
	return out
}

// panelsOf is a sheet with the cuts that make its panels, and the panels by their number in the division. Those without a tree
// of blocks stay blank, and what holds no others is not cut.
func panelsOf(f feed, division pack.Division, trees []*pack.Node) (*plan.Sheet, []*plan.Part) {
	panels := make([]*plan.Part, len(division.Pieces))
	whole := partOf(uncut(division.Cuts, trees), func(n *pack.Node, p *plan.Part) {
		if n.Item < 0 {
			p.Keep = f.keepOrCut(n.Rect.Size())
			return
		}
		panels[n.Item], p.Panel = p, true
	})
	return &plan.Sheet{Whole: whole}, panels
}

// uncut is a tree of pre-cuts without the cuts that free no panel with blocks; what stays blank is a rest.
func uncut(n *pack.Node, trees []*pack.Node) *pack.Node {
	if n.Near == nil {
		if trees[n.Item] == nil {
			return &pack.Node{Rect: n.Rect, Item: -1}
		}
		return n
	}
	out := *n
	out.Near, out.Far = uncut(n.Near, trees), uncut(n.Far, trees)
	if blank := func(m *pack.Node) bool { return m.Near == nil && m.Item < 0 }; blank(out.Near) && blank(out.Far) {
		return &pack.Node{Rect: n.Rect, Item: -1}
	}
	return &out
}

// partOf is a cut tree of the packer as the plan's; leaf fills in what a leaf is.
func partOf(n *pack.Node, leaf func(*pack.Node, *plan.Part)) *plan.Part {
	p := &plan.Part{Rect: n.Rect}
	if n.Near == nil {
		leaf(n, p)
		return p
	}
	p.Cut = &plan.Cut{At: n.At, Near: partOf(n.Near, leaf), Far: partOf(n.Far, leaf)}
	if n.Axis == pack.Across {
		p.Cut.Axis = plan.Across
	}
	return p
}

// makePiece is a piece with its cuts and their marks.
func (a *arranger) makePiece(stock string, on pack.Piece, from plan.Source, tree *pack.Node, copies []copyOf) *plan.Piece {
	p := &plan.Piece{Stock: stock, Printer: a.settings.Printers[on.Printer].Name, Source: from}
	p.Whole = partOf(tree, func(n *pack.Node, leaf *plan.Part) {
		if n.Item < 0 {
			leaf.Keep = n.Keep
			return
		}
		leaf.Block = copies[n.Item].lie(n)
	})
	m := newMarker(p.Whole, a.settings.Mark, on)
	if a.settings.Trimmer.Scissors {
		m.outlined(p.Whole)
		return p
	}
	for q := range p.Whole.Cuts {
		q.Cut.Marks = m.of(q)
	}
	return p
}

// unmarked is how many cuts of a piece are made and could not be marked.
func (a *arranger) unmarked(tree *pack.Node, on pack.Piece) int {
	whole := partOf(tree, func(n *pack.Node, leaf *plan.Part) {
		if leaf.Keep = n.Keep; n.Item >= 0 {
			leaf.Block = &plan.Block{}
		}
	})
	m := newMarker(whole, a.settings.Mark, on)
	n := 0
	for q := range whole.Cuts {
		if q.Hair() == nil && len(m.of(q)) == 0 {
			n++
		}
	}
	return n
}

// newMarker finds the marks of a piece.
func newMarker(whole *plan.Part, look config.Mark, on pack.Piece) *marker {
	m := &marker{look: look, printable: whole.Rect.Inset(on.Margins)}
	for leaf := range whole.Leaves {
		if leaf.Block != nil || leaf.Keep {
			m.clear = append(m.clear, leaf.Rect)
		}
	}
	return m
}

// lie is the copy where the packer puts it.
func (c copyOf) lie(at *pack.Node) *plan.Block {
	b := c.set.Block
	blank := b.Tuck.Plus(b.Inset)
	if at.Turned {
		blank = blank.Turn()
	}
	return &plan.Block{Block: b, Setting: c.set, Copy: c.n, Kept: c.kept, Turned: at.Turned, InkBox: at.Rect.Inset(blank)}
}
