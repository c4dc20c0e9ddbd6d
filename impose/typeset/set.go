package typeset

import (
	"cmp"
	"runtime"
	"sync"
	"sync/atomic"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// Set sets each block as large as its space allows. It works on all cores; what it returns is in the order of the blocks and
// does not depend on how many cores there are. A block that cannot be set is among the held, and the problems say why. Tick,
// which may be nil, is told now and then how many blocks are done.
func Set(l *Library, blocks []intake.Block, s *config.Settings, tick func(done int)) ([]Setting, []intake.Held, problem.List) {
	results := make([]result, len(blocks))
	all := make([]int, len(blocks))
	for i := range all {
		all[i] = i
	}
	var done atomic.Int64
	var telling sync.Mutex
	told := 0
	setAll(l, s, all, func(t *textSetter, i int) {
		results[i] = t.block(&blocks[i], s, 0)
		n := int(done.Add(1))
		if tick != nil {
			telling.Lock()
			if n > told {
				told = n
				tick(n)
			}
			telling.Unlock()
		}
	})
	limits := matches(blocks, results)
	again := make([]int, 0, len(limits))
	for i := range blocks {
		if limits[i] > 0 {
			again = append(again, i)
		}
	}
	setAll(l, s, again, func(t *textSetter, i int) {
		if r := t.block(&blocks[i], s, limits[i]); r.fault == nil {
			results[i] = r
		}
	})
	return collect(blocks, results)
}

// setAll calls set for each block, from several goroutines, each with a setter of its own.
func setAll(l *Library, s *config.Settings, which []int, set func(t *textSetter, i int)) {
	var next atomic.Int64
	var wait sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(which)) {
		wait.Go(func() {
			t := newTextSetter(l, s.Language)
			defer t.close()
			for {
				n := int(next.Add(1)) - 1
				if n >= len(which) {
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
	fault   *fault
	notes   []fault
}

// matches are the sizes for the blocks that are larger than a block of the same owner and page that they are to match.
func matches(blocks []intake.Block, results []result) map[int]measure.Length {
	type page struct{ owner, page string }
	smallest := map[page]measure.Length{}
	for i := range blocks {
		if b := &blocks[i]; b.Type.Match && results[i].fault == nil {
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
		if !b.Type.Match || results[i].fault != nil {
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
		for _, n := range r.notes {
			list.Note(place(b, &n), n.what, n.cause, n.hint)
		}
		if r.fault != nil {
			list.Add(place(b, r.fault), r.fault.what, r.fault.cause, r.fault.hint)
			held = append(held, intake.Held{Place: b.Place, Code: b.Code, Owner: b.Owner, Why: sentence(r.fault.what)})
			continue
		}
		set = append(set, r.setting)
	}
	return set, held, list
}

func place(b *intake.Block, f *fault) problem.Place {
	p := b.Place
	p.Column = cmp.Or(f.column, "Journaling")
	return p
}

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
			r = result{fault: &fault{what: "the text could not be set", cause: "the program met something in it that it does not expect; this is a fault of the program",
				hint: "try another font, or change the text a little, and report it"}}
		}
	}()
	body, notes, f := t.prepare(b, s)
	if f != nil {
		return result{fault: f, notes: notes}
	}
	low := roundUp(min(b.Type.Smallest, b.Type.Largest))
	high := max(low, b.Type.Largest/config.Step*config.Step)
	if limit > 0 {
		high = limit
	}
	size := t.fit(body, b, s, low, high)
	for ; size >= low; size -= config.Step {
		if lines := body.lay(&t.best, size); lines != nil {
			if setting, ok := t.draw(body, b, size, lines); ok {
				setting.Face = body.face
				return result{setting: setting, notes: append(notes, t.remarks(body, b, &setting)...)}
			}
		}
	}
	return result{fault: t.tooLong(body, b, s, low), notes: notes}
}

// loud makes a bug stop the tests instead of holding back a block.
var loud = false

func roundUp(size measure.Length) measure.Length {
	return max(config.Step, (size+config.Step-1)/config.Step*config.Step)
}

// fit is the largest size at which the text fits, or 0, and leaves the body with the breakpoints to use: with hyphens only
// where they are wanted, or allowed and worth a step.
func (t *textSetter) fit(body *body, b *intake.Block, s *config.Settings, low, high measure.Length) measure.Length {
	ragged := b.Type.Align != config.Justified
	english := b.Type.Hyphenate != config.HyphenateNever && s.Language == "en" && body.english()
	if b.Type.Hyphenate == config.HyphenateAlways && english {
		penalty := int64(50)
		if ragged {
			penalty = 200
		}
		t.hyphenate(body, penalty)
		return body.largest(low, high)
	}
	for i := range body.parts {
		body.parts[i].breaks = t.breakpoints(body.parts[i].paragraph, false, 0)
	}
	size := body.largest(low, high)
	if size == high || !english || !body.roomy(max(size+config.Step, low)) {
		return size
	}
	plain := make([][]breakpoint, len(body.parts))
	for i := range body.parts {
		plain[i] = body.parts[i].breaks
	}
	t.hyphenate(body, 1000) // as few as will do
	if larger := body.largest(max(size+config.Step, low), high); larger > 0 {
		return larger
	}
	for i := range body.parts {
		body.parts[i].breaks = plain[i]
	}
	return size
}

func (t *textSetter) hyphenate(body *body, penalty int64) {
	for i := range body.parts {
		p := &body.parts[i]
		p.breaks = t.breakpoints(p.paragraph, p.role == text, penalty)
	}
}

// english reports whether the block's text reads like English.
func (b *body) english() bool {
	var all []rune
	for i := range b.parts {
		if b.parts[i].role == text {
			all = append(append(all, b.parts[i].text...), ' ')
		}
	}
	return looksEnglish(all)
}

// roomy reports whether the text would fit size s if words could be broken anywhere, so that hyphens may help.
func (b *body) roomy(s measure.Length) bool {
	h := b.height(s, func(i int) int {
		bs := b.parts[i].breaks
		total, width := bs[len(bs)-1].width-bs[len(bs)-1].shrink, b.width(i, s)
		if b.align != config.Justified {
			total = bs[len(bs)-1].width
		}
		return int(max(1, (total+width-1)/max(width, 1)*95/100))
	})
	return h <= b.box.H
}

// draw places the lines in the block's ink box. It fails where a line that was shaped again came out too wide.
func (t *textSetter) draw(body *body, b *intake.Block, size measure.Length, lines [][]int) (Setting, bool) {
	inside := b.Ink()
	out := Setting{Block: b, Size: size}
	n := 0
	for i := range lines {
		n += len(lines[i])
	}
	out.Lines = make([]Line, 0, n)
	used := body.height(size, func(i int) int { return len(lines[i]) })
	y := inside.Y + body.ascent(size)
	switch b.Type.Vertical {
	case config.Middle:
		y += (inside.H - used) / 2
	case config.Bottom:
		y += inside.H - used
	}
	for i := range body.parts {
		p := &body.parts[i]
		if i > 0 {
			y += body.lead(i, size)
		}
		s := body.size(p.role, size)
		from := 0
		for j, at := range lines[i] {
			if j > 0 {
				y += body.pitch(i, size)
			}
			to := &p.breaks[at]
			line := t.make(p.paragraph, from, to.end, to.soft)
			last := j == len(lines[i])-1
			spans, ok := t.stand(p.paragraph, &line, inside, y, s, b, last, &out.Ink)
			if !ok {
				return out, false
			}
			out.Lines = append(out.Lines, Line{Baseline: y, Spans: spans})
			from = to.next
		}
	}
	return out, inside.Contains(out.Ink)
}

// stand places one line between the sides of the ink box.
func (t *textSetter) stand(p *paragraph, l *setLine, inside measure.Rect, y, size measure.Length, b *intake.Block, last bool, ink *measure.Rect) ([]Span, bool) {
	left, right := above(l.left, size), above(l.right, size)
	width := above(l.width, size)
	free := inside.W - width
	var extra measure.Length
	align := b.Type.Align
	if align == config.Justified {
		n := int64(0)
		for i := range l.pieces {
			n += spaces(p, &l.pieces[i])
		}
		switch {
		case n == 0 && free < left+right, n > 0 && last && free < left+right, n > 0 && !last:
			extra = free - left - right
		}
		if extra < -at(l.width, size)/4 || n == 0 && extra < 0 {
			return nil, false
		}
		align = config.Left
		if p.base == 1 {
			align = config.Right
		}
		free -= extra
	}
	if free < left+right {
		return nil, false
	}
	x := measure.Length(0)
	switch align {
	case config.Left:
	case config.Centre:
		x = free / 2
	case config.Right:
		x = free
	}
	x = min(max(x, left), free-right)
	return t.place(p, l, inside.X+x, y, size, extra, b.Type.Ink, ink), true
}
