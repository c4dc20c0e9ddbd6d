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

// stock lays out one stock. When the paper runs out, the blocks without a place are held and the others laid anew, so
// that no block is printed with some of its copies only.
func (a *arranger) stock(stock config.Stock, set []*typeset.Setting, paper []intake.Paper, tick func(done, of int)) {
	f := feed{stock, a.settings.Printers, takers(a.settings, stock), a.settings.Trimmer}
	sheets := sheetsOf(stock, paper)
	for len(set) > 0 {
		job, copies, offered := a.job(f, sheets, set)
		job.Tick = tick
		answer := pack.Pack(job)
		if len(answer.Unplaced) == 0 {
			a.take(stock, f, offered, copies, job, answer)
			return
		}
		lost := map[*typeset.Setting]bool{}
		for _, i := range answer.Unplaced {
			lost[copies[i].set] = true
		}
		set = slices.DeleteFunc(slices.Clone(set), func(t *typeset.Setting) bool {
			if lost[t] {
				a.refuse(stock, f, job, offered, t.Block)
			}
			return lost[t]
		})
	}
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

// job puts a stock's blocks and sheets into the packer's terms. The sheets that can be used come back
// parallel to the job's.
func (a *arranger) job(f feed, sheets []config.Sheet, set []*typeset.Setting) (pack.Job, []copyOf, []config.Sheet) {
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
			job.Items = append(job.Items, pack.Item{Size: b.Trim(), Turn: b.Turn, Blank: b.Tuck.Plus(b.Inset), Group: owners[b.Owner]})
			copies = append(copies, copyOf{t, n + 1})
			widths[b.Trim().W]++
			if b.Turn {
				widths[b.Trim().H]++
			}
		}
	}
	wanted := commonest(widths)
	byPrice := !slices.ContainsFunc(sheets, func(s config.Sheet) bool { return !s.Leftover && s.Price <= 0 })
	var offers []config.Sheet
	for _, sheet := range sheets {
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
		job.Sheets = append(job.Sheets, pack.Sheet{Size: size, Cost: cost, Count: sheet.Count, Ways: ways})
		offers = append(offers, sheet)
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

// refuse holds a block that found no place and says why.
func (a *arranger) refuse(stock config.Stock, f feed, job pack.Job, offers []config.Sheet, b *intake.Block) {
	u := a.settings.Unit
	item := pack.Item{Size: b.Trim(), Turn: b.Turn, Blank: b.Tuck.Plus(b.Inset)}
	what, cause, hint := "", "", ""
	switch largest, fits := roomiest(job, item); {
	case len(f.takers) == 0:
		what = fmt.Sprintf("no printer takes the stock “%s”", stock.Name)
		cause = "the configuration names no printer for it"
		hint = "add the stock to a printer's “takes”, or choose another stock"
	case len(offers) == 0:
		what = fmt.Sprintf("no sheet of “%s” can be printed", stock.Name)
		cause = "none is at hand that a printer pulls, whole or cut into panels"
		hint = "add sheets to the Paper sheet or the configuration, or choose another stock"
	case !fits:
		what = fmt.Sprintf("the block is %s with its tuck, too large for the sheets of “%s”", b.Trim().About(u), stock.Name)
		cause = fmt.Sprintf("the largest piece that a printer pulls is %s, less what it cannot print", largest.About(u))
		hint = "make the space smaller, let the block be turned, or choose a stock with larger sheets"
	default:
		what = fmt.Sprintf("the sheets of “%s” do not suffice for this block", stock.Name)
		cause = "everything at hand is taken by the other blocks"
		hint = "raise the count in the Paper sheet or the configuration, or choose another stock"
	}
	a.held = append(a.held, intake.Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Why: what})
	at := b.Place
	at.Column = "Stock"
	a.problems.Add(at, what, cause, hint)
}

// roomiest is the largest printable piece on offer, and whether the item fits any piece by itself.
func roomiest(job pack.Job, item pack.Item) (largest measure.Size, fits bool) {
	for _, s := range job.Sheets {
		for _, w := range s.Ways {
			for _, p := range w.Pieces {
				if p.Printer < 0 {
					continue
				}
				if p.Rect.Size().Area() > largest.Area() {
					largest = p.Rect.Size()
				}
				fits = fits || alone(p, item.Size, item.Blank) || item.Turn && alone(p, item.Size.Turn(), item.Blank.Turn())
			}
		}
	}
	return largest, fits
}

// alone reports whether a rectangle with that blank border fits a piece that holds nothing else.
func alone(p pack.Piece, size measure.Size, blank measure.Sides) bool {
	m := p.Margins
	return size.W+max(0, m.Left-blank.Left)+max(0, m.Right-blank.Right) <= p.Rect.W &&
		size.H+max(0, m.Top-blank.Top)+max(0, m.Bottom-blank.Bottom) <= p.Rect.H
}

// take turns the packer's answer into pieces.
func (a *arranger) take(stock config.Stock, f feed, offers []config.Sheet, copies []copyOf, job pack.Job, answer pack.Answer) {
	use := Use{Stock: stock.Name, Bound: answer.Bound}
	var area, filled int64
	for i, laid := range answer.Laid {
		sheet := offers[laid.Sheet]
		src := Source{Kind: FromSheet, Sheet: i + 1}
		if sheet.Leftover {
			src.Kind = FromLeftover
			src.Name = cmp.Or(sheet.Name, "leftover of "+sheet.Size.About(a.settings.Unit))
		} else {
			use.NewSheets++
			use.Cents += max(0, sheet.Price)
		}
		way := job.Sheets[laid.Sheet].Ways[laid.Way]
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
			area += piece.Size().Area()
			for _, b := range piece.Blocks {
				filled += b.Rect().Size().Area()
			}
			a.plan.Pieces = append(a.plan.Pieces, piece)
		}
	}
	if area > 0 {
		use.Filled = math.Round(1000*float64(filled)/float64(area)) / 1000
	}
	use.Cost = Money(use.Cents)
	a.plan.Stocks = append(a.plan.Stocks, use)
}

// Money prints hundredths as people write amounts.
func Money(cents int64) string { return fmt.Sprintf("%d.%02d", cents/100, cents%100) }

// precut lists the cuts that make a sheet's panels and returns the panels' names.
func (a *arranger) precut(stock string, src Source, way pack.Way) []string {
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
		piece.Page = first + i
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
