package layout

import (
	"cmp"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/impose/pack"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// keptSheet is a sheet with blocks that stay where they lie. The cuts that free them stay, and what those cuts leave beside the blocks is offered to
// the packer, as panels are: each such room is a piece to it, though all of a panel go through the printer together.
type keptSheet struct {
	first  intake.Kept // place of the block by which the sheet is known
	sheet  int         // in layout.sheets
	counts bool        // that there is one less of those
	panels []keptPanel
	cuts   *pack.Node // before printing, the leaves numbered as the panels; nil: the sheet is fed whole
	copies []copyOf   // that stay
	done   bool       // it is among the pieces
}

// keptPanel is what goes through the printer in one pass. The leaves of its tree are copies that stay, by their place in keptSheet.copies, or room.
type keptPanel struct {
	pack.Piece
	tree *pack.Node // nil: nothing stays on it
}

// keepBlocks takes the sheets away on which blocks are kept, and gives the blocks that are still to be laid. What cannot be kept any more is told, and
// laid as any other block.
func (l *layout) keepBlocks(f feed, set []*typeset.Setting) []*typeset.Setting {
	l.lying = nil
	var rest []*typeset.Setting
	for _, t := range set {
		b := t.Block
		for _, k := range b.Kept[:min(len(b.Kept), b.Copies)] {
			why := l.keepCopy(f, copyOf{t, l.lying[t] + 1, k.Number}, k)
			if why == "" {
				if l.lying == nil {
					l.lying = map[*typeset.Setting]int{}
				}
				l.lying[t]++
				continue
			}
			at := b.Place
			at.Column = "Kept"
			l.problems = append(l.problems, problem.Problem{Severity: problem.Note, Kind: problem.ForOrganiser, Place: at,
				What: b.Code + " cannot be kept where it lay", Cause: why, Hint: "it is laid anew; keep it again where it lies now, or let it go"})
		}
		if l.lying[t] < b.Copies {
			rest = append(rest, t)
		}
	}
	return rest
}

// keepCopy keeps a copy of a block at a place, or says why that is not possible any more.
func (l *layout) keepCopy(f feed, c copyOf, k intake.Kept) (why string) {
	if k.Stock != l.stock.Name {
		return "it lay on " + measure.Quote(k.Stock)
	}
	at := slices.IndexFunc(l.kept, func(s *keptSheet) bool { return s.first.Number == k.Number })
	var s *keptSheet
	if at < 0 {
		if s, why = l.sheetToKeep(f, k); why != "" {
			return why
		}
	} else if s = l.kept[at]; !sameSheet(s.first, k) {
		return "another block is kept on that sheet, which is cut otherwise"
	}
	n := slices.IndexFunc(s.panels, func(p keptPanel) bool { return p.Rect == panelOf(k) })
	panel := s.panels[n]
	if panel.Printer = f.named(k.Printer, panel.Rect.Size()); panel.Printer < 0 {
		return measure.Quote(k.Printer) + " does not pull that piece any more"
	} else if s.panels[n].tree != nil && s.panels[n].Printer != panel.Printer {
		return "another block is kept on that piece, for another printer"
	}
	panel.Piece = f.piece(panel.Rect, panel.Printer)
	if panel.tree == nil {
		panel.tree = &pack.Node{Rect: panel.Rect.Size().At(0, 0), Item: -1}
	}
	b := c.set.Block
	size, blank := b.Trim(), b.Tuck.Plus(b.Inset)
	if k.Turned {
		size, blank = size.Turn(), blank.Turn()
	}
	if k.Turned && !b.Turn {
		return "it lay turned, and must not be turned any more"
	}
	leaf := &pack.Node{Item: len(s.copies), Turned: k.Turned}
	if panel.tree, why = l.insert(panel.tree, k.Cuts, leaf, size); why != "" {
		return why
	}
	if !panel.tree.Rect.Inset(panel.Margins).Contains(leaf.Rect.Inset(blank)) {
		return measure.Quote(k.Printer) + " does not print there any more"
	}
	s.panels[n], s.copies = panel, append(s.copies, c)
	if at < 0 {
		if sheet := &l.sheets[s.sheet]; sheet.Count > 0 {
			sheet.Count--
			s.counts = true
		}
		l.kept = append(l.kept, s)
	}
	return ""
}

// sheetToKeep is the sheet of a place, with nothing on it yet.
func (l *layout) sheetToKeep(f feed, k intake.Kept) (*keptSheet, string) {
	s := &keptSheet{first: k, sheet: -1}
	for i, sheet := range l.sheets {
		if sheet.Count != 0 && sheet.Size.SameEitherWay(k.Size) && (s.sheet < 0 || sheet.Leftover == k.Leftover && l.sheets[s.sheet].Leftover != k.Leftover) {
			s.sheet = i
		}
	}
	if s.sheet < 0 {
		return nil, "no sheet or leftover of " + k.Size.About(l.settings.Unit) + " is there any more"
	}
	whole := k.Size.At(0, 0)
	if k.Panels.Near == nil {
		s.panels = []keptPanel{{Piece: pack.Piece{Rect: whole}}}
		return s, ""
	}
	var why string
	s.cuts, why = l.panelsToKeep(f, s, k.Panels, whole)
	return s, why
}

// panelsToKeep are the cuts before printing of a part of the sheet, with its panels.
func (l *layout) panelsToKeep(f feed, s *keptSheet, p *intake.KeptPart, r measure.Rect) (*pack.Node, string) {
	n := &pack.Node{Rect: r, Item: -1}
	if p.Near == nil {
		n.Item = len(s.panels)
		printer := f.printerFor(r.Size())
		s.panels = append(s.panels, keptPanel{Piece: f.pullable(r, printer)})
		return n, ""
	}
	why := l.cut(n, p.Across, p.At)
	if why != "" {
		return nil, why
	}
	if n.Near, why = l.panelsToKeep(f, s, p.Near, n.Near.Rect); why != "" {
		return nil, why
	}
	n.Far, why = l.panelsToKeep(f, s, p.Far, n.Far.Rect)
	return n, why
}

// cut cuts a leaf in two rooms, where the trimmer can.
func (l *layout) cut(n *pack.Node, across bool, at measure.Length) (why string) {
	long := n.Rect.H
	if n.At = at; across {
		n.Axis, long = pack.Across, n.Rect.W
	}
	near, far := halves(n.Rect, across, at)
	t := l.settings.Trimmer
	switch {
	case near.Empty() || far.Empty():
		return "its cuts do not fit its sheet"
	case t.Longest > 0 && long > t.Longest || min(n.Rect.W, n.Rect.H) < t.Holds:
		return "the trimmer cannot make its cuts any more"
	}
	n.Near, n.Far = &pack.Node{Rect: near, Item: -1}, &pack.Node{Rect: far, Item: -1}
	return ""
}

// halves are the two parts of a rectangle that is cut.
func halves(r measure.Rect, across bool, at measure.Length) (near, far measure.Rect) {
	near, far = r, r
	if across {
		near.H, far.Y, far.H = at-r.Y, at, r.Bottom()-at
	} else {
		near.W, far.X, far.W = at-r.X, at, r.Right()-at
	}
	return near, far
}

// insert is a tree with one leaf more, of a size, which the cuts lead to. The tree itself stays as it is.
func (l *layout) insert(n *pack.Node, cuts []intake.KeptCut, leaf *pack.Node, size measure.Size) (*pack.Node, string) {
	const taken = "another block is kept there"
	switch {
	case n.Item >= 0 || len(cuts) == 0 && n.Near != nil:
		return nil, taken
	case len(cuts) == 0 && n.Rect.Size() != size:
		return nil, "it is not as large as its place any more"
	case len(cuts) == 0:
		leaf.Rect = n.Rect
		return leaf, ""
	}
	out, c := *n, cuts[0]
	if n.Near == nil {
		if why := l.cut(&out, c.Across, c.At); why != "" {
			return nil, why
		}
	} else if c.At != n.At || c.Across != (n.Axis == pack.Across) {
		return nil, taken
	}
	into := &out.Near
	if c.Far {
		into = &out.Far
	}
	var why string
	if *into, why = l.insert(*into, cuts[1:], leaf, size); why != "" {
		return nil, why
	}
	return &out, ""
}

// sameSheet reports whether two places are on a sheet that is cut into the same panels.
func sameSheet(a, b intake.Kept) bool {
	return a.Leftover == b.Leftover && a.Size == b.Size && samePart(a.Panels, b.Panels)
}

func samePart(a, b *intake.KeptPart) bool {
	if a.Near == nil || b.Near == nil {
		return a.Near == nil && b.Near == nil
	}
	return a.Across == b.Across && a.At == b.At && samePart(a.Near, b.Near) && samePart(a.Far, b.Far)
}

// panelOf is where the panel lies on its sheet that a place is on.
func panelOf(k intake.Kept) measure.Rect {
	var find func(*intake.KeptPart, measure.Rect) (measure.Rect, bool)
	find = func(p *intake.KeptPart, r measure.Rect) (measure.Rect, bool) {
		if p.Near == nil {
			return r, p.Here
		}
		near, far := halves(r, p.Across, p.At)
		if at, here := find(p.Near, near); here {
			return at, true
		}
		return find(p.Far, far)
	}
	at, _ := find(k.Panels, k.Size.At(0, 0))
	return at
}

// named is the printer of a name, if it may print the stock and pulls a piece of that size or its carrier; else -1.
func (f feed) named(name string, size measure.Size) int {
	i := slices.IndexFunc(f.printers, func(p config.Printer) bool { return p.Name == name })
	if !slices.Contains(f.takers, i) {
		return -1
	}
	f.takers = []int{i}
	if by, _ := f.ride(size); by < 0 && f.printerFor(size) < 0 {
		return -1
	}
	return i
}

// piece is what a printer makes of a part of a sheet that it pulls, or that rides.
func (f feed) piece(r measure.Rect, printer int) pack.Piece {
	if f.printers[printer].Feeds(r.Size()) {
		return f.pullable(r, printer)
	}
	return pack.Piece{Rect: r, Printer: printer}
}

// keptFor are the sheets that are still to be laid and whose panels go through printers of the feed, by number. A sheet with a block of which other copies
// have no place yet waits for the last round: where these find none, the block is held with all its copies.
func (l *layout) keptFor(f feed) (out []*keptSheet) {
	for _, s := range l.kept {
		if !s.done && (len(f.takers) == len(f.all) || !slices.ContainsFunc(s.panels, func(p keptPanel) bool { return p.Printer >= 0 && !slices.Contains(f.takers, p.Printer) }) &&
			!slices.ContainsFunc(s.copies, func(c copyOf) bool { return l.lying[c.set] < c.set.Block.Copies })) {
			out = append(out, s)
		}
	}
	slices.SortStableFunc(out, func(a, b *keptSheet) int { return cmp.Compare(a.first.Number, b.first.Number) })
	return out
}

// room and waste are what a leaf of a keptPanel's tree holds beside the copies that stay: nothing yet, or what must stay blank.
const (
	room  = -1
	waste = -2
)

// gapped is a tree of a panel in which rooms keep a gap to what stays beside them.
func gapped(n *pack.Node, gap, hold measure.Length) *pack.Node {
	if n.Near == nil || gap == 0 {
		return n
	}
	out := *n
	out.Near, out.Far = keepOff(gapped(n.Near, gap, hold), n, gap, hold, true), keepOff(gapped(n.Far, gap, hold), n, gap, hold, false)
	return &out
}

// keepOff is a room that was cut off what stays, less a gap at that cut.
func keepOff(n, cut *pack.Node, gap, hold measure.Length, near bool) *pack.Node {
	if n.Near != nil || n.Item != room {
		return n
	}
	out, long := *n, n.Rect.W
	if out.Axis = cut.Axis; cut.Axis == pack.Across {
		long = n.Rect.H
	}
	if long <= gap || min(n.Rect.W, n.Rect.H) < hold {
		out.Item = waste
		return &out
	}
	if out.At = cut.At + gap; near {
		out.At = cut.At - gap
	}
	a, b := halves(n.Rect, cut.Axis == pack.Across, out.At)
	out.Near, out.Far = &pack.Node{Rect: a, Item: waste}, &pack.Node{Rect: b, Item: room}
	if near {
		out.Near.Item, out.Far.Item = room, waste
	}
	return &out
}

// gapFor is the waste that there must be between what stays and what is laid beside it.
func gapFor(s *config.Settings) measure.Length {
	if s.Gap.Auto {
		return 0
	}
	return gapOf(s)
}

// leaves visits the leaves of a tree, of each cut the near part first.
func leaves(n *pack.Node, visit func(*pack.Node)) {
	if n.Near == nil {
		visit(n)
		return
	}
	leaves(n.Near, visit)
	leaves(n.Far, visit)
}

// offer is what the packer may fill of the sheet: a sheet that costs nothing, with the rooms in the order of the panels and of their leaves. False: there
// is nothing to fill.
func (s *keptSheet) offer(c *config.Settings) (pack.Sheet, bool) {
	var rooms []pack.Piece
	for _, p := range s.panels {
		if p.tree == nil {
			rooms = append(rooms, p.Piece)
			continue
		}
		printed := p.tree.Rect.Inset(p.Margins)
		leaves(gapped(p.tree, gapFor(c), c.Trimmer.Holds), func(n *pack.Node) {
			if r := n.Rect; n.Item == room {
				rooms = append(rooms, pack.Piece{Rect: r.Move(p.Rect.X, p.Rect.Y), Printer: p.Printer, Margins: measure.Sides{Top: max(0, printed.Y-r.Y),
					Left: max(0, printed.X-r.X), Bottom: max(0, r.Bottom()-printed.Bottom()), Right: max(0, r.Right()-printed.Right())}})
			}
		})
	}
	d := pack.Division{Pieces: rooms, Cuts: &pack.Node{Rect: s.first.Size.At(0, 0)}} // it is no piece that could be fed or ride as it is
	return pack.Sheet{Size: s.first.Size, Count: 1, Divisions: []pack.Division{d}}, len(rooms) > 0
}

// division is how the sheet is cut before printing.
func (s *keptSheet) division() pack.Division {
	d := pack.Division{Cuts: s.cuts}
	for _, p := range s.panels {
		d.Pieces = append(d.Pieces, p.Piece)
	}
	return d
}

// trees are the cuts of the panels with what the packer has put into the rooms (nil: nothing into any). The job's items are those copies, and then, from
// base on, those that stay.
func (s *keptSheet) trees(c *config.Settings, job pack.Job, filled []*pack.Node, base int) (out []*pack.Node) {
	next := func() (t *pack.Node) {
		if len(filled) > 0 {
			t, filled = filled[0], filled[1:]
		}
		return t
	}
	var fill func(n *pack.Node) *pack.Node
	rest := func(n *pack.Node) *pack.Node {
		return &pack.Node{Rect: n.Rect, Item: room, Keep: job.Limits.Keep(n.Rect.Size())}
	}
	blank := func(n *pack.Node) bool { return n.Near == nil && n.Item < 0 }
	fill = func(n *pack.Node) *pack.Node {
		switch {
		case n.Near != nil:
			cut := *n
			if cut.Near, cut.Far = fill(n.Near), fill(n.Far); blank(cut.Near) && blank(cut.Far) {
				return rest(n)
			}
			return &cut
		case n.Item >= 0:
			return &pack.Node{Rect: n.Rect, Item: base + n.Item, Turned: n.Turned}
		case n.Item == room:
			if t := next(); t != nil {
				return moved(t, n.Rect.X, n.Rect.Y)
			}
		}
		return rest(n)
	}
	for _, p := range s.panels {
		if p.tree == nil {
			out = append(out, next())
			continue
		}
		out = append(out, job.Rejoined(fill(gapped(p.tree, gapFor(c), c.Trimmer.Holds)), p.Piece, func(item int) bool { return item >= base }))
	}
	return out
}

// trimming counts the cuts of pieces.
func (a *arranger) trimming(trees []*pack.Node, on []pack.Piece) (t pack.Trimming) {
	for i, tree := range trees {
		if tree == nil {
			continue
		}
		t.Cuts += tree.Made()
		t.Unmarked += a.unmarked(tree, on[i])
	}
	return t
}

func moved(n *pack.Node, x, y measure.Length) *pack.Node {
	out := *n
	out.Rect = n.Rect.Move(x, y)
	if n.Near != nil {
		if out.At = n.At + x; n.Axis == pack.Across {
			out.At = n.At + y
		}
		out.Near, out.Far = moved(n.Near, x, y), moved(n.Far, x, y)
	}
	return &out
}

// letGo keeps no copy of a block any more. A sheet on which nothing stays is given back.
func (l *layout) letGo(t *typeset.Setting) {
	if l.lying[t] == 0 {
		return
	}
	delete(l.lying, t)
	l.kept = slices.DeleteFunc(l.kept, func(s *keptSheet) bool {
		stays := false
		for i := range s.panels {
			if p := &s.panels[i]; p.tree != nil {
				p.tree = s.without(p.tree, t)
				if p.tree.Near == nil && p.tree.Item < 0 {
					p.tree = nil
				}
				stays = stays || p.tree != nil
			}
		}
		if !stays && s.counts {
			l.sheets[s.sheet].Count++
		}
		return !stays
	})
}

// without is a tree in which no copy of a block stays.
func (s *keptSheet) without(n *pack.Node, t *typeset.Setting) *pack.Node {
	if n.Near == nil {
		if n.Item >= 0 && s.copies[n.Item].set == t {
			return &pack.Node{Rect: n.Rect, Item: room}
		}
		return n
	}
	out := *n
	if out.Near, out.Far = s.without(n.Near, t), s.without(n.Far, t); out.Near.Near == nil && out.Near.Item < 0 && out.Far.Near == nil && out.Far.Item < 0 {
		return &pack.Node{Rect: n.Rect, Item: room}
	}
	return &out
}

// KeepAt is the place of a part of a piece, so that its block can be kept there. Number is that of the sheet: see intake.Kept.
func KeepAt(p *plan.Piece, at *plan.Part, number int) intake.Kept {
	k := intake.Kept{Number: number, Leftover: p.Source.Leftover, Size: p.Size(), Panels: &intake.KeptPart{Here: true}, Turned: at.Block.Turned, Printer: p.Printer, Stock: p.Stock}
	if cut := p.Source.Cut; cut != nil {
		k.Size, k.Panels = cut.Whole.Rect.Size(), panelsWith(cut.Whole, p.Source.Panel)
	}
	for q := p.Whole; q.Cut != nil; {
		far := q.Cut.Far.Rect.Contains(at.Rect)
		k.Cuts = append(k.Cuts, intake.KeptCut{Across: q.Cut.Axis == plan.Across, At: q.Cut.At, Far: far})
		if far {
			q = q.Cut.Far
		} else {
			q = q.Cut.Near
		}
	}
	return k
}

func panelsWith(p, here *plan.Part) *intake.KeptPart {
	if p.Cut == nil {
		return &intake.KeptPart{Here: p == here}
	}
	return &intake.KeptPart{Across: p.Cut.Axis == plan.Across, At: p.Cut.At, Near: panelsWith(p.Cut.Near, here), Far: panelsWith(p.Cut.Far, here)}
}
