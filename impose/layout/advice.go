package layout

import (
	"cmp"
	"context"
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/impose/plan"
	"tuckmark/impose/typeset"
	"tuckmark/intake"
)

// Advice is what would save a new sheet of a stock. Each way that it names has been laid out.
type Advice struct {
	Stock string
	// Without is the smallest block whose leaving out saves a sheet; "": no single block does.
	Without string
	Owner   string
	// Lower and Narrower are the least by which the space of that block must shrink to save the sheet; 0: no reasonable
	// amount does.
	Lower, Narrower measure.Length
	// Turning tells that a sheet is saved where every block may be turned.
	Turning bool
	// Holds is the widest strip, less than the trimmer's own, with which a sheet would be saved if the trimmer held it; 0: none.
	Holds measure.Length
	// Gap tells that a sheet is saved where the gap that was asked for stands only where there is room for it.
	Gap bool
}

// mostAdvised is how many copies of a stock are looked at: people ask at a retreat's size, and each look is a layout.
const mostAdvised = 150

// AdviceEffort is the most effort that goes into a layout that only tells whether a sheet is saved.
const AdviceEffort = 25

// Advise looks for what would save a sheet of each stock of a plan, laying the blocks out with a small part of the effort.
func Advise(ctx context.Context, p *plan.Plan, set []typeset.Setting, paper []intake.Paper, s *config.Settings) []Advice {
	quick := *s
	quick.Effort = min(s.Effort, AdviceEffort)
	var out []Advice
	for _, use := range p.Stocks {
		var mine []typeset.Setting
		copies, fixed := 0, false
		for _, t := range set {
			if t.Block.Stock == use.Stock && laid(p, t.Block.Code) {
				mine = append(mine, t)
				copies += t.Block.Copies
				fixed = fixed || !t.Block.Turn
			}
		}
		if use.NewSheets == 0 || copies < 2 || copies > mostAdvised {
			continue
		}
		ad := adviser{ctx, use.NewSheets, mine, paper, &quick}
		a := Advice{Stock: use.Stock, Turning: fixed && ad.turning(), Holds: ad.narrowerStrip(), Gap: ad.lessGap()}
		if len(mine) > 1 { // without the only block there is no job
			ad.adviseSpace(&a)
		}
		if a.Without != "" || a.Turning || a.Holds > 0 || a.Gap {
			out = append(out, a)
		}
	}
	return out
}

func laid(p *plan.Plan, code string) bool {
	return !slices.ContainsFunc(p.Held, func(h intake.Held) bool { return h.Code == code })
}

// adviser tries changes of one stock's blocks.
type adviser struct {
	ctx      context.Context
	now      int // new sheets
	set      []typeset.Setting
	paper    []intake.Paper
	settings *config.Settings
}

// saves reports whether the blocks, one of them changed, take fewer new sheets; change returns nil to leave a block out.
func (a adviser) saves(change func(*intake.Block) *intake.Block) bool {
	var set []typeset.Setting
	for _, t := range a.set {
		if b := change(t.Block); b != nil {
			t.Block = b
			set = append(set, t)
		}
	}
	p, held, _ := Sketch(a.ctx, set, a.paper, a.settings, nil)
	n := 0
	for _, u := range p.Stocks {
		n += u.NewSheets
	}
	return len(held) == 0 && n < a.now
}

func (a adviser) turning() bool {
	return a.saves(func(b *intake.Block) *intake.Block {
		c := *b
		c.Turn = true
		return &c
	})
}

// lessGap reports whether a sheet is saved where a gap by hand becomes an automatic one.
func (a adviser) lessGap() bool {
	if a.settings.Gap.Auto || a.settings.Gap.Width == 0 {
		return false
	}
	auto := *a.settings
	auto.Gap.Auto = true
	a.settings = &auto
	return a.saves(func(b *intake.Block) *intake.Block { return b })
}

// narrowerStrip is the widest of a few narrower strips that a sheet is saved with if the trimmer holds them. A strip that it does not hold can
// mostly be held by hand with a ruler, or cut with scissors.
func (a adviser) narrowerStrip() measure.Length {
	steps := []measure.Length{3 * measure.Inch / 4, measure.Inch / 2}
	if a.settings.Unit.Metric() {
		steps = []measure.Length{20 * measure.Millimetre, 15 * measure.Millimetre, 10 * measure.Millimetre}
	}
	for _, l := range steps {
		if l >= a.settings.Trimmer.Holds {
			continue
		}
		finer := *a.settings
		finer.Trimmer.Holds = l
		with := a
		with.settings = &finer
		if with.saves(func(b *intake.Block) *intake.Block { return b }) {
			return l
		}
	}
	return 0
}

// adviseSpace finds the smallest block that forces the last sheet, and by how much its space would have to shrink.
func (a adviser) adviseSpace(to *Advice) {
	blocks := make([]*intake.Block, len(a.set))
	for i, t := range a.set {
		blocks[i] = t.Block
	}
	area := func(b *intake.Block) int64 { return b.Trim().Area() * int64(b.Copies) }
	slices.SortStableFunc(blocks, func(x, y *intake.Block) int { return cmp.Compare(area(x), area(y)) })
	without := func(i int) bool {
		return a.saves(func(b *intake.Block) *intake.Block {
			if b == blocks[i] {
				return nil
			}
			return b
		})
	}
	i := least(len(blocks), without)
	if i == len(blocks) {
		return
	}
	b := blocks[i]
	to.Without, to.Owner = b.Code, b.Owner
	step := measure.Inch / 8
	if a.settings.Unit != measure.In {
		step = 3 * measure.Millimetre
	}
	shrunk := func(w, h measure.Length) bool {
		return a.saves(func(o *intake.Block) *intake.Block {
			if o != b {
				return o
			}
			c := *b
			c.Space.W, c.Space.H = c.Space.W-w, c.Space.H-h
			return &c
		})
	}
	// No more than a third: a text does not bear more.
	most := int(b.Space.H / 3 / step)
	if k := least(most, func(i int) bool { return shrunk(0, measure.Length(i+1)*step) }); k < most {
		to.Lower = measure.Length(k+1) * step
	}
	most = int(b.Space.W / 3 / step)
	if k := least(most, func(i int) bool { return shrunk(measure.Length(i+1)*step, 0) }); k < most {
		to.Narrower = measure.Length(k+1) * step
	}
}

// least is the first of n cases that holds, by halving; n where the last does not. The layouts of a heuristic need not be
// monotone, so a smaller one may be missed; the one that is found was tried.
func least(n int, holds func(int) bool) int {
	if n == 0 || !holds(n-1) {
		return n
	}
	low, high := 0, n-1
	for low < high {
		if mid := (low + high) / 2; holds(mid) {
			high = mid
		} else {
			low = mid + 1
		}
	}
	return high
}
