package typeset

import (
	"cmp"
	"context"
	"fmt"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Set sets each block as large as its space allows. The blocks are as intake lets them pass: with a text that can be seen, an ink
// that leaves a trace and an ink box that is not empty; here only what takes fonts and the space to tell is judged. It works on all cores; what it returns is in the order of the blocks and
// does not depend on how many cores there are. A block that cannot be set is among the held, and the problems say why. Tick,
// which may be nil, is told now and then how many blocks are done. Once the context is done nothing comes back.
func Set(ctx context.Context, l *Library, blocks []intake.Block, s *config.Settings, tick func(done int)) ([]Setting, []intake.Held, problem.List) {
	results := make([]result, len(blocks))
	first, all, shared := alike(blocks)
	var done atomic.Int64
	var telling sync.Mutex
	told := 0
	setAll(ctx, l, s, all, func(t *textSetter, i int) {
		results[i] = t.block(&blocks[i], s, 0)
		n := int(done.Add(int64(shared[i])))
		if tick != nil {
			telling.Lock()
			if n > told {
				told = n
				tick(n)
			}
			telling.Unlock()
		}
	})
	for i, f := range first {
		if i != f {
			results[i] = results[f]
			results[i].found = slices.Clone(results[f].found)
			results[i].setting.Block = &blocks[i]
		}
	}
	limits := matches(blocks, results)
	again := make([]int, 0, len(limits))
	for i := range blocks {
		if limits[i] > 0 {
			again = append(again, i)
		}
	}
	setAll(ctx, l, s, again, func(t *textSetter, i int) {
		if r := t.block(&blocks[i], s, limits[i]); !r.held() {
			results[i] = r
		}
	})
	if ctx.Err() != nil {
		return nil, nil, nil
	}
	return collect(blocks, results)
}

// alike finds the blocks that are to be set in the same way, so that each is set once: first is, for each block, the first that is like
// it, all lists these, and shared is how many blocks each stands for.
func alike(blocks []intake.Block) (first, all, shared []int) {
	first, shared = make([]int, len(blocks)), make([]int, len(blocks))
	seen := map[string]int{}
	for i := range blocks {
		b := blocks[i]
		b.Place, b.Code, b.Owner, b.Page, b.Copies, b.Turn = problem.Place{}, "", "", "", 0, false
		key := fmt.Sprintf("%#v", b)
		f, again := seen[key]
		if !again {
			f, seen[key] = i, i
			all = append(all, i)
		}
		first[i] = f
		shared[f]++
	}
	return first, all, shared
}

// setAll calls set for each block, from several goroutines, each with a setter of its own.
func setAll(ctx context.Context, l *Library, s *config.Settings, which []int, set func(t *textSetter, i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(which)) {
		wait.Go(func() {
			t := newTextSetter(l, s.Language)
			defer t.close()
			for {
				n := int(next.Add(1)) - 1
				if n >= len(which) || ctx.Err() != nil {
					return
				}
				set(t, which[n])
			}
		})
	}
	wait.Wait()
}

// result is what became of a block.
type result struct {
	setting Setting
	found   problem.List // with an error where it cannot be set; of the places only the columns are known
}

// held reports whether the block cannot be set.
func (r *result) held() bool { return r.found.Errors() > 0 }

// matches are the sizes for the blocks that are larger than a block of the same owner and page that they are to match.
func matches(blocks []intake.Block, results []result) map[int]measure.Length {
	type page struct{ owner, page string }
	smallest := map[page]measure.Length{}
	for i := range blocks {
		if b := &blocks[i]; b.Type.Match && !results[i].held() {
			key := page{b.Owner, b.Page}
			size := results[i].setting.Size
			if s, ok := smallest[key]; !ok || size < s {
				smallest[key] = size
			}
		}
	}
	limits := map[int]measure.Length{}
	for i := range blocks {
		b := &blocks[i]
		if !b.Type.Match || results[i].held() {
			continue
		}
		if s := smallest[page{b.Owner, b.Page}]; s < results[i].setting.Size {
			limits[i] = s
		}
	}
	return limits
}

// collect sorts the results into what is set and what is held.
func collect(blocks []intake.Block, results []result) (set []Setting, held []intake.Held, list problem.List) {
	set = make([]Setting, 0, len(blocks))
	for i := range blocks {
		b, r := &blocks[i], &results[i]
		slices.SortStableFunc(r.found, func(a, b problem.Problem) int { return int(b.Severity) - int(a.Severity) }) // notes first
		for _, p := range r.found {
			column := cmp.Or(p.Place.Column, "Journaling")
			p.Place = b.Place
			p.Place.Column = column
			list = append(list, p)
		}
		if !r.held() {
			set = append(set, r.setting)
			continue
		}
		why := r.found[len(r.found)-r.found.Errors()]
		held = append(held, intake.Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Why: sentence(why.What)})
	}
	return set, held, list
}

// in is the place of a problem as far as this package knows it: a column, by the form's heading; none is the text's.
func in(column string) problem.Place { return problem.Place{Column: column} }

// sentence begins with a capital and ends with a full stop.
func sentence(s string) string {
	r := []rune(s)
	if len(r) > 0 && r[0] >= 'a' && r[0] <= 'z' {
		r[0] -= 'a' - 'A'
	}
	return string(r) + "."
}

// block sets one block, no larger than a limit where there is one. A bug met on the way holds back this block, not the job.
func (t *textSetter) block(b *intake.Block, s *config.Settings, limit measure.Length) (r result) {
	defer func() {
		if e := recover(); e != nil {
			if loud {
				panic(e)
			}
			t.shapers = map[*Face]*shaper{} // whatever state they are in
			r = result{}
			r.found.Add(in(""), "the text could not be set", "the program met something in it that it does not expect; this is a fault of the program",
				"try another font, or change the text a little, and report it")
		}
	}()
	t.glyphs.reset()
	t.breaks.reset()
	body, found := t.prepare(b)
	if found.Errors() > 0 {
		return result{found: found}
	}
	low, high := body.sizes(b)
	if limit > 0 {
		high = limit
	}
	set, ok := t.solve(body, b, s, low, high)
	if !ok {
		return result{found: append(found, *t.tooLong(body, b, s, low))}
	}
	if body.align == config.Justified && s.Type.Align == config.Justified && body.letters() < fewestLetters {
		if ragged, ok := t.ragged(body, b, s, low, high); ok {
			return result{setting: ragged, found: append(found, body.notJustified()...)}
		}
	}
	return result{setting: set, found: append(found, body.remarks()...)}
}

// ragged sets a block to one side that the configuration, and not its row, wants justified though its lines are too short.
func (t *textSetter) ragged(body *body, b *intake.Block, s *config.Settings, low, high measure.Length) (Setting, bool) {
	body.align = config.Left
	set, ok := t.solve(body, b, s, low, high)
	if !ok {
		body.align = config.Justified
	}
	return set, ok
}

// loud makes a bug stop the tests instead of holding back a block.
var loud = false

// sizes are the sizes between which a block's is sought: whole steps, and one at least.
func (b *body) sizes(of *intake.Block) (low, high measure.Length) {
	low = max(config.Step, (b.smallest+config.Step-1)/config.Step*config.Step)
	return low, max(low, of.Type.Largest/config.Step*config.Step)
}

// solve sets the text at the largest size from low to high at which it fits, with hyphens where they are wanted, or allowed
// and worth a step.
func (t *textSetter) solve(body *body, b *intake.Block, s *config.Settings, low, high measure.Length) (Setting, bool) {
	english := b.Type.Hyphenate != config.HyphenateNever && s.Language == "en" && body.english()
	penalty := int64(penaltyJustified)
	switch {
	case b.Type.Hyphenate != config.HyphenateAlways:
		penalty = penaltyAllowed
	case body.align != config.Justified:
		penalty = penaltyRagged
	}
	for i := range body.parts {
		p := &body.parts[i]
		p.plain, p.hyphened = t.breakpoints(p.paragraph, penalty, false), nil
		if fewest(p.plain, body.width(i, low), body.align == config.Justified) == 0 { // better parted than not at all
			p.plain = t.breakpoints(p.paragraph, penalty, true)
		}
	}
	if english && b.Type.Hyphenate == config.HyphenateAlways {
		t.use(body, true, penalty)
		return t.descend(body, b, low, body.bound(low, high))
	}
	t.use(body, false, 0)
	size := body.bound(low, high)
	above := max(low, size+config.Step)
	if above <= high && english && body.roomy(above) {
		t.use(body, true, penalty)
		if set, ok := t.descend(body, b, above, body.bound(above, high)); ok {
			return set, true
		}
	}
	// What remains fits the bound without hyphens nearly always; where it does not, a hyphen may still be worth a step.
	for ; size >= low; size -= config.Step {
		t.use(body, false, 0)
		if set, ok := t.attempt(body, b, size); ok {
			return set, true
		}
		if english {
			t.use(body, true, penalty)
			if set, ok := t.attempt(body, b, size); ok {
				return set, true
			}
		}
	}
	return Setting{}, false
}

// use chooses between the breakpoints without hyphens and those with them. Headings and closing lines have none.
func (t *textSetter) use(body *body, hyphens bool, penalty int64) {
	for i := range body.parts {
		p := &body.parts[i]
		p.breaks = p.plain
		if hyphens && p.role == text {
			if p.hyphened == nil {
				p.hyphened = t.hyphened(p.paragraph, p.plain, penalty)
			}
			p.breaks = p.hyphened
		}
	}
}

// descend finds the largest size from high down to low at which the text fits with the breakpoints in use, lines optimised
// and shaped as they will stand.
func (t *textSetter) descend(body *body, b *intake.Block, low, high measure.Length) (Setting, bool) {
	for size := high; size >= low; size -= config.Step {
		if set, ok := t.attempt(body, b, size); ok {
			return set, true
		}
	}
	return Setting{}, false
}

// attempt sets the text at a size, if it fits. Where a line came out wider than was reckoned (the parts of some fonts' words
// depend on more than their neighbours), the break that ends it is reckoned dearer and the lines are broken again.
func (t *textSetter) attempt(body *body, b *intake.Block, size measure.Length) (Setting, bool) {
	const tries = 4
	for range tries {
		lines := body.lay(&t.best, size)
		if lines == nil {
			break
		}
		set, wide := t.draw(body, b, size, lines)
		if wide == nil {
			return set, b.Ink().Contains(set.Ink)
		}
		wide.end.before += wide.excess
	}
	return Setting{}, false
}

// tooWide is a line that came out wider than its room by excess, in parts of the em.
type tooWide struct {
	end    *breakpoint
	excess int64
}

// english reports whether the block's text reads like English.
func (b *body) english() bool {
	words, hits := 0, 0
	for i := range b.parts {
		if b.parts[i].role == text {
			w, h := countCommon(b.parts[i].text)
			words, hits = words+w, hits+h
		}
	}
	return hits > 0 && hits*100 >= commonShare*words
}

// roomy reports whether the text might fit size s if words could be broken anywhere, so that hyphens may help. Each line may
// lose a space at its end.
func (b *body) roomy(s measure.Length) bool {
	h := b.height(s, func(i int) int {
		bs := b.parts[i].breaks
		last, width := &bs[len(bs)-1], max(1, b.width(i, s))
		total, space := last.width, int64(0)
		if b.align == config.Justified {
			total -= last.shrink
		}
		for j := range bs {
			space = max(space, bs[j].width1-bs[j].width)
		}
		return int(max(1, (total+space+width+space-1)/(width+space)))
	})
	return h <= b.box.H
}
