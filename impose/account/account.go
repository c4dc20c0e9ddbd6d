package account

import (
	"cmp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config"
	"tuckmark/impose/plan"
	"tuckmark/intake"
)

// Account is a plan as people use it. Page numbers are the plan's, and change with them.
type Account struct {
	Plan     *plan.Plan
	Settings *config.Settings
	Paper    []intake.Paper // rows of Paper sheets that were used instead of the configured paper
	Pieces   []*Piece       // in the plan's order
	Groups   []Group        // of pieces that are cut alike, in the order of their first
	Owners   []Owner        // by name
	Panels   []Panels       // sheets that are cut before printing
	Other    *Run           // another run of the job, which everyone owes for as well; nil: none

	Scissors bool // every block is cut out by its outline; by this, and not by settings that may have been changed since, all that tells of cuts goes
}

// Piece is one with its cuts.
type Piece struct {
	*plan.Piece
	*Cutting
}

// Group is pieces that are cut alike.
type Group struct{ Pieces []*Piece }

// Pages are the pages of the group's pieces in the PDF.
func (g *Group) Pages() []int {
	var out []int
	for _, p := range g.Pieces {
		out = append(out, p.Page)
	}
	return out
}

// Owner is a person and the blocks that go into the envelope.
type Owner struct {
	Name   string
	Blocks []Spot // by code and copy
	Held   []intake.Held
}

// Spot is a block on its piece.
type Spot struct {
	*Part
	Piece  *Piece
	Copies int // of the block, on all pieces
}

// Place is the letter of the block on its piece.
func (s *Spot) Place() string { return Letter(s.First) }

// ByPlace are the blocks of a piece by their places.
func (p *Piece) ByPlace() []Spot {
	out := make([]Spot, len(p.Spots))
	for i, part := range p.Spots {
		out[i] = Spot{Part: part, Piece: p}
	}
	return out
}

// Panels is sheets that are cut alike before printing.
type Panels struct {
	Stock    string
	Sheets   int
	Leftover bool
	*Cutting
}

// Of is the account of a plan. Paper is what Paper sheets listed, where they were used instead of the configured paper.
func Of(p *plan.Plan, s *config.Settings, paper []intake.Paper) *Account {
	a := &Account{Plan: p, Settings: s, Paper: paper, Scissors: ByScissors(p, s)}
	alike := map[string]int{}
	for i, piece := range p.Pieces {
		first := 0
		if c := piece.Carrier; c != nil && c.Nth > 0 { // it shares a page, so that its places go on from there
			before := a.Pieces[i-1]
			first = before.first + len(before.Spots)
		}
		q := &Piece{piece, nil}
		if a.Scissors {
			q.Cutting = outlined(piece.Whole, first)
		} else {
			q.Cutting = newCutting(piece.Whole, first, s.Unit, s.Trimmer)
		}
		a.Pieces = append(a.Pieces, q)
		key := piece.Stock + "|" + q.same()
		at, ok := alike[key]
		if !ok {
			at = len(a.Groups)
			alike[key] = at
			a.Groups = append(a.Groups, Group{})
		}
		a.Groups[at].Pieces = append(a.Groups[at].Pieces, q)
	}
	a.owners()
	a.panels()
	return a
}

// owners gathers the blocks by owner: the owners by name, the blocks by code.
func (a *Account) owners() {
	index := map[string]int{}
	of := func(name string) *Owner {
		i, ok := index[name]
		if !ok {
			i = len(a.Owners)
			index[name] = i
			a.Owners = append(a.Owners, Owner{Name: name})
		}
		return &a.Owners[i]
	}
	copies := map[string]int{}
	for _, p := range a.Pieces {
		for _, b := range p.Spots {
			copies[b.Block.Code]++
		}
	}
	for _, p := range a.Pieces {
		for _, b := range p.Spots {
			o := of(b.Block.Owner)
			o.Blocks = append(o.Blocks, Spot{b, p, copies[b.Block.Code]})
		}
	}
	for _, h := range a.Plan.Held {
		o := of(h.Owner)
		o.Held = append(o.Held, h)
	}
	slices.SortStableFunc(a.Owners, func(x, y Owner) int { return byName(x.Name, y.Name) })
	for i := range a.Owners {
		slices.SortStableFunc(a.Owners[i].Blocks, func(x, y Spot) int {
			return cmp.Or(natural(x.Block.Code, y.Block.Code), cmp.Compare(x.Block.Copy, y.Block.Copy))
		})
	}
}

// byName compares the names of owners.
func byName(x, y string) int {
	return cmp.Or(natural(strings.ToLower(x), strings.ToLower(y)), cmp.Compare(x, y))
}

// Rows is about how many lines it takes to list all blocks and all cuts.
func (a *Account) Rows() (n int) {
	for _, p := range a.Pieces {
		n += len(p.Spots) + len(p.Steps)
	}
	return n
}

// panels gathers the sheets that are cut before printing, those cut alike together.
func (a *Account) panels() {
	alike := map[string]int{}
	for _, s := range a.Plan.Sheets {
		c := newCutting(s.Whole, 0, a.Settings.Unit, a.Settings.Trimmer)
		key := s.Stock + "|" + c.same()
		if s.Leftover {
			key += "|leftover"
		}
		at, ok := alike[key]
		if !ok {
			at = len(a.Panels)
			alike[key] = at
			a.Panels = append(a.Panels, Panels{Stock: s.Stock, Leftover: s.Leftover, Cutting: c})
		}
		a.Panels[at].Sheets++
	}
}

// Stocks are the names of the stocks that are printed, in the order of the pages.
func (a *Account) Stocks() []string {
	var out []string
	for _, p := range a.Pieces {
		if !slices.Contains(out, p.Stock) {
			out = append(out, p.Stock)
		}
	}
	return out
}

// LeftoversUsed is how many leftovers of a stock are printed on.
func (a *Account) LeftoversUsed(stock string) int {
	used := map[int]bool{}
	for _, p := range a.Pieces {
		if p.Stock == stock && p.Source.Leftover {
			used[p.Source.Sheet] = true
		}
	}
	return len(used)
}

// Letter names a place on a piece: A to Z, then AA, AB, as a spreadsheet names its columns.
func Letter(i int) string {
	name := ""
	for i++; i > 0; i = (i - 1) / 26 {
		name = string(rune('A'+(i-1)%26)) + name
	}
	return name
}

// natural compares texts so that MK-2 stands before MK-10.
func natural(a, b string) int {
	for a != "" && b != "" {
		x, y := digits(a), digits(b)
		if x > 0 && y > 0 {
			m, n := strings.TrimLeft(a[:x], "0"), strings.TrimLeft(b[:y], "0")
			if c := cmp.Or(cmp.Compare(len(m), len(n)), cmp.Compare(m, n)); c != 0 {
				return c
			}
			a, b = a[x:], b[y:]
			continue
		}
		if a[0] != b[0] {
			return cmp.Compare(a[0], b[0])
		}
		a, b = a[1:], b[1:]
	}
	return cmp.Compare(len(a), len(b))
}

// digits is how many digits a text begins with.
func digits(s string) int {
	n := strings.IndexFunc(s, func(r rune) bool { return r > unicode.MaxASCII || !unicode.IsDigit(r) })
	if n < 0 {
		return len(s)
	}
	return n
}
