package impose

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/pack"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Arrange lays the set blocks out, stock by stock in the order of the settings. A block that finds no place, with all
// its copies, is held, with an error that says what would serve. The plan's pages are numbered from 1 until Number says
// otherwise. Tick, which may be nil, is told how many of the blocks' copies are laid.
func Arrange(set []typeset.Setting, paper []intake.Paper, s *config.Settings, tick func(done, of int)) (*Plan, []intake.Held, problem.List) {
	a := arranger{settings: s, plan: &Plan{Version: 1, Pieces: []Piece{}, Precuts: []Precut{}, Stocks: []Use{}, Held: []Held{}}}
	total, done := 0, 0
	for i := range set {
		total += set[i].Block.Copies
	}
	for _, stock := range s.Stocks {
		var mine []*typeset.Setting
		copies := 0
		for i := range set {
			if set[i].Block.Stock == stock.Name {
				mine = append(mine, &set[i])
				copies += set[i].Block.Copies
			}
		}
		if len(mine) == 0 {
			continue
		}
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
	settings *config.Settings
	plan     *Plan
	held     []intake.Held
	problems problem.List
}

// copyOf is one item of the packer: a copy of a block.
type copyOf struct {
	set *typeset.Setting
	n   int
}

// stock lays out one stock. What fits the printers that are there for this stock goes to them; the rest, and what finds no
// paper there, goes to any that takes it, on the paper that is left.
func (a *arranger) stock(stock config.Stock, set []*typeset.Setting, paper []intake.Paper, tick func(done, of int)) {
	f := newFeed(a.settings, stock)
	l := layout{arranger: a, stock: stock, sheets: sheetsOf(stock, paper)}
	all, done := copiesOf(set), 0
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
	if l.use.Stock != "" {
		a.plan.Stocks = append(a.plan.Stocks, l.finish())
	}
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
	tick   func(done, of int)
	round  int // copies that are being laid
	taken  int // leftovers and sheets so far
	use    Use
	area   int64 // of the pieces
	filled int64 // of that by blocks
}

// fitting are the blocks that fit some piece of the feed by themselves.
func (l *layout) fitting(f feed, set []*typeset.Setting) []*typeset.Setting {
	var out []*typeset.Setting
	job, copies, _ := l.job(f, l.sheets, set)
	for i, item := range job.Items {
		if _, fits := roomiest(job, item); fits && copies[i].n == 1 {
			out = append(out, copies[i].set)
		}
	}
	return out
}

// lay packs blocks on what the feed's printers pull. When the paper runs out, the blocks without a place are refused and the
// others laid anew, so that no block is printed with some of its copies only. The refused come back.
func (l *layout) lay(f feed, set []*typeset.Setting, refuse func(feed, pack.Job, []int, *intake.Block)) (refused []*typeset.Setting) {
	l.round = copiesOf(set)
	for len(set) > 0 {
		job, copies, offered := l.job(f, l.sheets, set)
		job.Tick = l.tick
		answer := pack.Pack(job)
		if len(answer.Unplaced) == 0 {
			l.take(f, offered, copies, job, answer)
			break
		}
		lost := map[*typeset.Setting]bool{}
		for _, i := range answer.Unplaced {
			lost[copies[i].set] = true
		}
		set = slices.DeleteFunc(slices.Clone(set), func(t *typeset.Setting) bool {
			if lost[t] {
				refused = append(refused, t)
				if refuse != nil {
					refuse(f, job, offered, t.Block)
				}
			}
			return lost[t]
		})
	}
	return refused
}

// sheetsOf is the paper of a stock: what a Paper sheet says lies in the folder instead of what the settings say, and
// leftovers from both.
func sheetsOf(stock config.Stock, paper []intake.Paper) []config.Sheet {
	var left, given, own []config.Sheet
	for _, s := range stock.Sheets {
		if s.Leftover {
			left = append(left, s)
		} else {
			own = append(own, s)
		}
	}
	for _, p := range paper {
		if p.Stock != stock.Name {
			continue
		}
		sheet := config.Sheet{Size: p.Size, Count: p.Count, Price: p.Price, Leftover: p.Leftover}
		if p.Leftover {
			if p.Count < 0 {
				sheet.Count = 1
			}
			left = append(left, sheet)
			continue
		}
		if p.Price < 0 { // the row does not say: what the settings say of that size
			sheet.Price = 0
			for _, o := range own {
				if o.Size == p.Size {
					sheet.Price = o.Price
				}
			}
		}
		given = append(given, sheet)
	}
	if len(given) > 0 {
		own = given
	}
	return append(left, own...)
}

// job puts a stock's blocks and sheets into the packer's terms. The indexes of the sheets that can
// be used come back parallel to the job's.
func (a *arranger) job(f feed, sheets []config.Sheet, set []*typeset.Setting) (pack.Job, []copyOf, []int) {
	s := a.settings
	job := pack.Job{
		Gap: s.Gap.Width, Auto: s.Gap.Auto, Effort: s.Effort,
		Limits: pack.Limits{Longest: s.Trimmer.Longest, Hold: s.Trimmer.Holds, Keep: f.keep},
	}
	var copies []copyOf
	owners := map[string]int{}
	widths := map[measure.Length]int{}
	for _, t := range set {
		b := t.Block
		if _, ok := owners[b.Owner]; !ok {
			owners[b.Owner] = len(owners)
		}
		for n := range b.Copies {
			item := itemOf(b)
			item.Group = owners[b.Owner]
			job.Items = append(job.Items, item)
			copies = append(copies, copyOf{t, n + 1})
			widths[b.Trim().W]++
			if b.Turn {
				widths[b.Trim().H]++
			}
		}
	}
	wanted := commonest(widths)
	byPrice := !slices.ContainsFunc(sheets, func(s config.Sheet) bool { return !s.Leftover && s.Price <= 0 })
	var offers []int
	for i, sheet := range sheets {
		size := f.asFed(sheet.Size)
		ways := f.ways(size, wanted)
		if len(ways) == 0 || sheet.Count == 0 {
			continue
		}
		cost := sheet.Price
		if !byPrice { // without prices the larger sheet is the dearer one
			cost = size.Area() / (int64(measure.Inch/10) * int64(measure.Inch/10))
		}
		if sheet.Leftover {
			cost = 0
		}
		job.Sheets = append(job.Sheets, pack.Sheet{Size: size, Cost: cost, Count: sheet.Count, Divisions: ways})
		offers = append(offers, i)
	}
	return job, copies, offers
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

// take turns the packer's answer into pieces, and takes the paper away.
func (l *layout) take(f feed, offers []int, copies []copyOf, job pack.Job, answer pack.Answer) {
	a, stock, use := l.arranger, l.stock, &l.use
	use.Stock = stock.Name
	use.Bound += answer.Bound // blocks of one printer do not go to the other: each layout needs its own
	for _, laid := range answer.Sheets {
		sheet := l.sheets[offers[laid.Sheet]]
		l.taken++
		src := Source{Kind: FromSheet, Sheet: l.taken}
		if sheet.Leftover {
			src.Kind = FromLeftover
			src.Name = cmp.Or(sheet.Name, "leftover of "+sheet.Size.About(a.settings.Unit))
		} else {
			use.NewSheets++
			use.Cents += max(0, sheet.Price)
		}
		way := job.Sheets[laid.Sheet].Divisions[laid.Division]
		names := []string{""}
		if way.Cuts != nil {
			if !sheet.Leftover {
				src.Kind = FromPanel
			}
			names = a.precut(stock.Name, src, way)
		}
		for i, p := range way.Pieces {
			src.Name = cmp.Or(names[i], src.Name)
			src.X, src.Y, src.Width, src.Height = p.Rect.X, p.Rect.Y, p.Rect.W, p.Rect.H
			tree := laid.Trees[i]
			if tree == nil {
				a.plan.Spares = append(a.plan.Spares, Spare{stock.Name, src.Sheet, src.Name, p.Rect, f.keep(p.Rect.Size())})
				continue
			}
			piece := a.piece(stock.Name, p, src, tree, copies)
			if !f.printers[p.Printer].Feeds(piece.Size()) {
				_, piece.Carrier = f.ride(piece.Size())
			}
			l.area += piece.Size().Area()
			for _, b := range piece.Blocks {
				l.filled += b.Rect().Size().Area()
			}
			a.plan.Pieces = append(a.plan.Pieces, piece)
		}
	}
	for _, laid := range answer.Sheets {
		if s := &l.sheets[offers[laid.Sheet]]; s.Count > 0 {
			s.Count--
		}
	}
}

// finish sums the stock up.
func (l *layout) finish() Use {
	if l.area > 0 {
		l.use.Filled = math.Round(1000*float64(l.filled)/float64(l.area)) / 1000
	}
	l.use.Cost = Money(l.use.Cents)
	return l.use
}

// Money prints hundredths as people write amounts.
func Money(cents int64) string { return fmt.Sprintf("%d.%02d", cents/100, cents%100) }

// precut lists the cuts that make a sheet's panels and returns the panels' names.
func (a *arranger) precut(stock string, src Source, way pack.Division) []string {
	names := make([]string, len(way.Pieces))
	n := 0
	walk(way.Cuts, "S"+strconv.Itoa(src.Sheet), func(node *pack.Node, name string) {
		if node.Near == nil {
			names[node.Item] = name
			return
		}
		n++
		a.plan.Precuts = append(a.plan.Precuts, Precut{Stock: stock, Sheet: src.Sheet, N: n, Of: name,
			Axis: node.Axis.String(), At: node.At, Makes: [2]string{name + ".1", name + ".2"}, Rect: node.Rect})
	})
	return names
}

// walk visits a cut tree in the order in which it is cut: a rectangle, its near part whole, then its far part.
func walk(n *pack.Node, name string, visit func(*pack.Node, string)) {
	visit(n, name)
	if n.Near != nil {
		walk(n.Near, name+".1", visit)
		walk(n.Far, name+".2", visit)
	}
}

// piece reads a cut tree: its blocks, cuts, leftovers, and the marks of the cuts.
func (a *arranger) piece(stock string, on pack.Piece, src Source, tree *pack.Node, copies []copyOf) Piece {
	size := on.Rect.Size()
	p := Piece{Stock: stock, Printer: a.settings.Printers[on.Printer].Name, Width: size.W, Height: size.H, Source: src,
		Blocks: []Placed{}, Cuts: []Cut{}, Marks: []Mark{}, Leftovers: []Rest{}}
	walk(tree, p.Name(), func(n *pack.Node, name string) {
		switch {
		case n.Near != nil:
			p.Cuts = append(p.Cuts, Cut{N: len(p.Cuts) + 1, Of: name, Axis: n.Axis.String(), At: n.At,
				Makes: [2]string{name + ".1", name + ".2"}, Rect: n.Rect})
		case n.Item < 0:
			p.Leftovers = append(p.Leftovers, Rest{name, n.Rect, n.Keep})
		default:
			c := copies[n.Item]
			p.Blocks = append(p.Blocks, placed(c.set, c.n, n, name))
		}
	})
	m := marker{look: a.settings.Mark, printable: size.At(0, 0).Inset(on.Margins)}
	for _, b := range p.Blocks {
		m.blocks = append(m.blocks, b.Rect())
	}
	for _, l := range p.Leftovers {
		if l.Keep {
			m.kept = append(m.kept, l.Rect)
		}
	}
	for i := range p.Cuts {
		c := &p.Cuts[i]
		axis := pack.Down
		if c.Axis == pack.Across.String() {
			axis = pack.Across
		}
		marks := m.of(c.N, c.Rect, axis, c.At)
		c.Measure = len(marks) == 0
		p.Marks = append(p.Marks, marks...)
	}
	slices.SortStableFunc(p.Blocks, func(x, y Placed) int { return cmp.Or(cmp.Compare(x.Y, y.Y), cmp.Compare(x.X, y.X)) })
	return p
}

// placed is a copy of a block where the tree puts it.
func placed(t *typeset.Setting, n int, at *pack.Node, leaf string) Placed {
	b := t.Block
	blank := b.Tuck.Plus(b.Inset)
	if at.Turned {
		blank = blank.Turn()
	}
	r := at.Rect
	return Placed{Code: b.Code, Owner: b.Owner, Place: problem.Place{File: b.Place.File, Sheet: b.Place.Sheet, Row: b.Place.Row},
		Copy: n, X: r.X, Y: r.Y, Width: r.W, Height: r.H, Turned: at.Turned, Ink: r.Inset(blank), Font: t.Face,
		Points: t.Size.Points(), Lines: len(t.Lines), Leaf: leaf, Setting: t}
}

// Number gives the pieces their pages in the PDF, the first being page first, and names their parts after them.
func (p *Plan) Number(first int) {
	for i := range p.Pieces {
		piece := &p.Pieces[i]
		if piece.Carrier != nil {
			first++
		}
		piece.Page = first
		first++
		name := func(s string) string {
			_, rest, cut := strings.Cut(s, ".")
			if !cut {
				return piece.Name()
			}
			return piece.Name() + "." + rest
		}
		for j := range piece.Cuts {
			c := &piece.Cuts[j]
			c.Of, c.Makes[0], c.Makes[1] = name(c.Of), name(c.Makes[0]), name(c.Makes[1])
		}
		for j := range piece.Blocks {
			piece.Blocks[j].Leaf = name(piece.Blocks[j].Leaf)
		}
		for j := range piece.Leftovers {
			piece.Leftovers[j].Name = name(piece.Leftovers[j].Name)
		}
	}
}

// Hold lists the rows that are not printed.
func (p *Plan) Hold(held []intake.Held) {
	for _, h := range held {
		p.Held = append(p.Held, Held{Place: problem.Place{File: h.Place.File, Sheet: h.Place.Sheet, Row: h.Place.Row}, Code: h.Code, Why: h.Why, Owner: h.Owner})
	}
}
