package typeset

import (
	"cmp"
	"context"
	"crypto/sha256"
	"errors"
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
	return setBlocks(ctx, l, blocks, s, tick, false)
}

// Measure is Set where nothing is to be drawn: lines come without their spans, which take most of the memory of a large job.
func Measure(ctx context.Context, l *Library, blocks []intake.Block, s *config.Settings, tick func(done int)) ([]Setting, []intake.Held, problem.List) {
	return setBlocks(ctx, l, blocks, s, tick, true)
}

func setBlocks(ctx context.Context, l *Library, blocks []intake.Block, s *config.Settings, tick func(done int), bare bool) ([]Setting, []intake.Held, problem.List) {
	results := make([]result, len(blocks))
	first, all, shared := alike(ctx, blocks)
	over := l.tooMany(fontsOf(blocks))
	roughly := lettersIn(blocks, all) > mostTried
	ready := func(t *textSetter) {
		t.bare, t.over, t.roughly, t.stop = bare, over, roughly, func() bool { return ctx.Err() != nil }
	}
	looking := newTextSetter(l, s.LanguageTag())
	ready(looking)
	laborious := looking.laborious(blocks, all)
	var done atomic.Int64
	var telling sync.Mutex
	told := 0
	setAll(ctx, l, s, ready, all, func(t *textSetter, i int) {
		if f := laborious[i]; f != nil {
			results[i] = result{found: problem.List{*tooMuchWork(f)}}
		} else {
			results[i] = t.block(&blocks[i], s, 0)
		}
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
	if ctx.Err() != nil {
		return nil, nil, nil
	}
	groups := matches(blocks, results)
	var again []int
	limits := make([]measure.Length, len(blocks))
	for _, g := range groups {
		for _, i := range g.larger {
			limits[i], again = g.size, append(again, i)
		}
	}
	matched := make([]result, len(blocks))
	setAll(ctx, l, s, ready, again, func(t *textSetter, i int) { matched[i] = t.block(&blocks[i], s, limits[i]) })
	for _, g := range groups {
		g.adopt(results, matched)
	}
	if ctx.Err() != nil {
		return nil, nil, nil
	}
	return collect(blocks, results)
}

// fontsOf are the names of fonts that blocks ask for, each once.
func fontsOf(blocks []intake.Block) (names []string) {
	seen := map[string]bool{}
	for i := range blocks {
		if name := blocks[i].Font; !seen[name] {
			seen[name] = true
			names = append(names, name)
		}
	}
	return names
}

// alike finds the blocks that are to be set in the same way, so that each is set once: first is, for each block, the first that is like
// it, all lists these, and shared is how many blocks each stands for.
func alike(ctx context.Context, blocks []intake.Block) (first, all, shared []int) {
	first, shared = make([]int, len(blocks)), make([]int, len(blocks))
	seen := map[[sha256.Size]byte]int{} // not the texts themselves, which are most of a large job
	for i := range blocks {
		if ctx.Err() != nil {
			return nil, nil, nil
		}
		b := blocks[i]
		b.Place, b.Code, b.Owner, b.Page, b.Copies, b.Turn = problem.Place{}, "", "", "", 0, false
		sum := sha256.New()
		fmt.Fprintf(sum, "%#v", b)
		key := [sha256.Size]byte(sum.Sum(nil))
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

// setAll calls set for each block, from several goroutines, each with a setter of its own that was made ready.
func setAll(ctx context.Context, l *Library, s *config.Settings, ready func(t *textSetter), which []int, set func(t *textSetter, i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(which)) {
		wait.Go(func() {
			t := newTextSetter(l, s.LanguageTag())
			ready(t)
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
	over    excess
}

// held reports whether the block cannot be set.
func (r *result) held() bool { return r.found.Errors() > 0 }

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
		held = append(held, intake.Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Why: problem.Capital(why.What) + "."})
	}
	return set, held, list
}

// in is the place of a problem as far as this package knows it: a column, by the form's heading; none is the text's.
func in(column string) problem.Place { return problem.Place{Column: column} }

// block sets one block, no larger than a limit where there is one. A bug met on the way holds back this block, not the job.
func (t *textSetter) block(b *intake.Block, s *config.Settings, limit measure.Length) (r result) {
	defer func() {
		if e := recover(); e != nil {
			if panicOnBug && e != any(notWanted) {
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
	t.uncut, t.swollen = nil, nil
	t.best.begin()
	body, found := t.prepare(b)
	if found.Errors() > 0 {
		return result{found: found}
	}
	sizes := body.sizes(b)
	if limit > 0 {
		sizes = upToSize(sizes, limit)
	}
	set, notes, ok := t.fit(body, b, s, sizes)
	if !ok {
		f, over := t.tooLong(body, b, s, sizes[0])
		return result{found: append(found, *f), over: over}
	}
	if t.uncut != nil {
		bad := unprintable(t.uncut.name, errDamagedLetters)
		bad.Place = in("Font")
		return result{found: append(found, *bad)}
	}
	return result{setting: set, found: append(found, notes...)}
}

var errDamagedLetters = errors.New("the outlines of letters that this block has are damaged")

// notWanted is the panic that ends a block whose setting is no longer wanted, however deep in it the setter is.
const notWanted = "typeset: stopped"

// goOn is called now and then while a block is set.
func (t *textSetter) goOn() {
	if t.stop != nil && t.stop() {
		panic(notWanted)
	}
}

// panicOnBug makes a bug stop the tests instead of holding back a block.
var panicOnBug = false

// useBreaks chooses between the breakpoints without hyphens and those with the hyphens of a language. Headings and closing lines have
// none.
func (t *textSetter) useBreaks(body *body, h *hyphenator, penalty int64) {
	for i := range body.parts {
		p := &body.parts[i]
		p.breaks = p.plain
		if h != nil && p.role == text {
			if p.hyphened == nil {
				p.hyphened = t.hyphened(p.paragraph, h, p.plain, penalty)
			}
			p.breaks = p.hyphened
		}
	}
}

// tooWide is a line that came out wider than its room by excess, in parts of the em.
type tooWide struct {
	end    *breakpoint
	excess int64
}

// hyphenator is the rules by which the words of a block may be broken, or nil where they may not be or no rules are known. A text goes by
// the language that it reads like: hyphenating a letter to grandmother in Dutch by English rules would be wrong in every second word. One
// that tells of none, as a few words may, goes by the language of the settings, but for English, which its common words tell.
func (b *body) hyphenator(of *intake.Block, s *config.Settings) *hyphenator {
	l := b.lang
	if named := langOf(s.Language); l == rootLang && named != langEn {
		l = named
	} else if named != rootLang && named != l {
		return nil
	}
	if of.Type.Hyphenate == config.HyphenateNever || s.Language == "" || l == rootLang {
		return nil
	}
	return hyphenatorOf(codes[l])
}
