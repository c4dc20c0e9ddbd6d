package typeset

import (
	"slices"
	"sort"

	"github.com/go-text/typesetting/segmenter"
)

// Penalties of breaks elsewhere than at a space, on TeX's scale, where 50 is plain TeX's \hyphenpenalty (the rest by trial).
const (
	penaltyTyped     = 50   // after a hyphen that was typed, or a slash or dash
	penaltyJustified = 50   // hyphens that were asked for
	penaltyRagged    = 200  // where lines need not be filled, a hyphen gains less
	penaltyAllowed   = 1000 // hyphens that nobody asked for: as few as will do
)

// wordKey names a word of a language as it is set in a face.
type wordKey struct {
	face  *Face
	rules *hyphenator
	word  string
}

// hyphenPoint is a place in a word where it may be hyphenated: how wide what comes before with its hyphen is, and what
// comes after, shaped apart. That is right also where the letters on both sides make one glyph.
type hyphenPoint struct {
	at            int
	before, after int64
	overhang      int64 // how far the ink of what comes after reaches back
}

// scratch holds what breakpoints needs for a paragraph, to be used again for the next.
type scratch struct {
	segmenter segmenter.Segmenter
	x         []int64 // where each rune starts
	cut       []uint8 // what may be done before each rune
}

const (
	mayBreak = 1 << iota
	clusterStart
	unsafeCut
)

// breakpoints lists where the paragraph's lines may end: where Unicode Standard Annex #14 allows it and a reader would not
// mind, or with anywhere wherever the annex does. Soft hyphens that were typed cost the given penalty.
func (t *textSetter) breakpoints(p *paragraph, penalty int64, anywhere bool) []breakpoint {
	n := len(p.text)
	if n == 0 { // a blank line
		return make([]breakpoint, 2)
	}
	c := &t.line.scratch
	c.measure(p)
	c.allow(p.text, p.lang, anywhere)
	out := t.breaks.alloc(n/4 + 4)
	out = append(out, breakpoint{after: t.startCost(p, 0)})
	var stretch, shrink int64
	spaces := int32(0)
	start := 0 // of the stretch that has no break within
	for k := 1; k <= n; k++ {
		space := p.text[k-1] == ' '
		if k < n && c.cut[k]&mayBreak == 0 {
			if space {
				stretch, shrink, spaces = stretch+c.space(k)/2, shrink+c.space(k)/3, spaces+1
			}
			continue
		}
		end := k
		if space {
			end = k - 1
		}
		b := breakpoint{end: end, next: k, width: c.x[end], stretch: stretch, shrink: shrink}
		if space {
			stretch, shrink, spaces = stretch+c.space(k)/2, shrink+c.space(k)/3, spaces+1
		}
		b.width1, b.stretch1, b.shrink1, b.spaces = c.x[k], stretch, shrink, spaces
		switch last := p.text[k-1]; {
		case k == n || space:
		case isHyphen(last):
			b.hyphen, b.penalty = true, penaltyTyped
		case last == softHyphen:
			b.hyphen, b.soft, b.penalty = true, true, penalty
			r := p.runAt(k - 1)
			b.before = t.shaper(r.face).width([]rune{'-'}, r.props)
		case last < 0x2E80: // a dash or slash, not a character of a script without spaces
			b.penalty = penaltyTyped
		}
		b.before += t.endCost(p, start, end)
		if k < n {
			b.after = t.startCost(p, k)
		}
		out = append(out, b)
		start = k
	}
	out[0].after += p.indent
	for i := range out[1:] {
		out[i+1].after += p.hang
	}
	p.tails(out)
	return out
}

// hyphened adds the hyphens of a language to plain breakpoints, at a penalty.
func (t *textSetter) hyphened(p *paragraph, h *hyphenator, plain []breakpoint, penalty int64) []breakpoint {
	out := t.breaks.alloc(len(plain)*2 + 8)
	afterHyphen := false
	for i := range plain {
		b := &plain[i]
		if i > 0 {
			from := &plain[i-1]
			typed := b.end > 0 && (isHyphen(p.text[b.end-1]) || p.text[b.end-1] == softHyphen) || b.forced
			if !typed && !afterHyphen { // a compound breaks at its own hyphens
				for _, h := range t.hyphenPoints(p, h, from.next, b.end) {
					out = append(out, h.breakpoint(p, from, b, penalty))
				}
			}
			afterHyphen = typed
		}
		out = append(out, *b)
	}
	p.tails(out)
	return out
}

// breakpoint is a hyphen in the word between two breakpoints.
func (h *hyphenPoint) breakpoint(p *paragraph, from, to *breakpoint, penalty int64) breakpoint {
	return breakpoint{end: from.next + h.at, next: from.next + h.at, width: from.width1 + h.before, width1: to.width - h.after,
		after: h.overhang + p.hang, stretch: to.stretch, stretch1: to.stretch, shrink: to.shrink, shrink1: to.shrink,
		penalty: penalty, hyphen: true, soft: true, spaces: from.spaces}
}

// tails marks the breakpoints that leave only a short word, or two that are no longer, for the last line.
func (p *paragraph) tails(bs []breakpoint) {
	last := &bs[len(bs)-1]
	for i := len(bs) - 1; i >= 0 && last.end-bs[i].next <= shortWord; i-- {
		bs[i].tail = true
	}
}

// shortWord is how many letters, with punctuation, look lost on a last line of their own (common practice).
const shortWord = 7

const softHyphen = 0xAD

func isHyphen(r rune) bool { return r == '-' || r == 0x2010 }

// measure notes where the runes of a paragraph stand when it is set in one line.
func (c *scratch) measure(p *paragraph) {
	n := len(p.text)
	if cap(c.x) < n+1 {
		c.x, c.cut = make([]int64, n+1, 2*n+1), make([]uint8, n+1, 2*n+1)
	}
	c.x, c.cut = c.x[:n+1], c.cut[:n+1]
	clear(c.cut)
	var x int64
	for i := range p.glyphs {
		g := &p.glyphs[i]
		if g.to > g.from {
			c.cut[g.from] = clusterStart
			if g.unsafe {
				c.cut[g.from] |= unsafeCut
			}
			for k := g.from; k < g.to; k++ {
				c.x[k] = x
			}
		}
		x += int64(g.advance)
	}
	c.x[n] = x
	c.cut[n] = clusterStart
}

// space is the width of the space before rune k.
func (c *scratch) space(k int) int64 { return c.x[k] - c.x[k-1] }

// allow marks the breaks of UAX #14, less those inside a cluster, and those that a reader would stumble over but for anywhere.
func (c *scratch) allow(text []rune, l lang, anywhere bool) {
	c.segmenter.Init(text)
	lines := c.segmenter.LineIterator()
	for lines.Next() {
		line := lines.Line()
		k := line.Offset + len(line.Text)
		if k < len(text) && c.cut[k]&clusterStart != 0 && (anywhere || !together(text, k, l)) {
			c.cut[k] |= mayBreak
		}
	}
}

// runAt is the run that holds rune i.
func (p *paragraph) runAt(i int) *run {
	r := sort.Search(len(p.runs), func(r int) bool { return i < p.runs[r].to }) // they follow each other in the text
	if r == len(p.runs) || i < p.runs[r].from {
		return nil
	}
	return &p.runs[r]
}

// glyphOf is the first and last glyph of the cluster that holds rune i, as indexes of r's glyphs.
func (p *paragraph) glyphOf(r *run, i int) int {
	low, high := r.first, r.last
	for high-low > 1 {
		if m := (low + high) / 2; int(p.glyphs[m].from) <= i {
			low = m
		} else {
			high = m
		}
	}
	return low
}

// endCost is what the last word adds to its line when the line ends at rune end: the ink that hangs over, and what
// the word gains in width where the space after it no longer draws it close. The stretch before end that has no break starts
// at start.
func (t *textSetter) endCost(p *paragraph, start, end int) int64 {
	if end == start {
		return 0
	}
	r := p.runAt(end - 1)
	s := t.shaper(r.face)
	c := &t.line.scratch
	if c.cut[end]&unsafeCut == 0 {
		return s.overhangEnd(&p.glyphs[p.glyphOf(r, end-1)], r.props.right)
	}
	start = max(start, r.from)
	s.shape(p.text, start, end, r.props)
	return s.total() - (c.x[end] - c.x[start]) + s.overhangEnd(&s.glyphs[s.lastCluster()], r.props.right)
}

// startCost is the same for the word that starts a line at rune k.
func (t *textSetter) startCost(p *paragraph, k int) int64 {
	r := p.runAt(k)
	s := t.shaper(r.face)
	c := &t.line.scratch
	if c.cut[k]&unsafeCut == 0 {
		return s.overhangStart(&p.glyphs[p.glyphOf(r, k)], r.props.right)
	}
	end := k
	for end < r.to && p.text[end] != ' ' && end-k <= 2*drawnClose {
		end++
	}
	if end == k {
		return 0
	}
	if end-k <= 2*drawnClose {
		s.shape(p.text[k:], 0, end-k, r.props)
		return s.total() - (c.x[end] - c.x[k]) + s.overhangStart(&s.glyphs[0], r.props.right)
	}
	if cost, known := p.starts[k]; known {
		return cost
	}
	// As far as no letter knows any more that a line starts at k; else a word of thousands of letters would be shaped for each of them.
	far := k + drawnClose
	for far < end && c.cut[far]&clusterStart == 0 {
		far++
	}
	s.shape(p.text[k:], 0, min(far+drawnClose, end)-k, r.props)
	width := int64(0)
	for i := range s.glyphs {
		if int(s.glyphs[i].from) < far-k {
			width += int64(s.glyphs[i].advance)
		}
	}
	if p.starts == nil {
		p.starts = map[int]int64{}
	}
	p.starts[k] = width - (c.x[far] - c.x[k]) + s.overhangStart(&s.glyphs[0], r.props.right)
	return p.starts[k]
}

// drawnClose is how many letters away one may still change the place of another: more than any font does.
const drawnClose = 20

// overhangEnd is how far the ink of the last letter of a line reaches beyond its width, overhangStart how far that of
// the first reaches back; a letter that runs to the left ends there.
func (s *shaper) overhangEnd(g *glyph, right bool) int64 {
	if right {
		return s.overhangStart(g, false)
	}
	return max(0, s.overhang(g.gid).right+int64(g.shiftX)-int64(g.advance))
}

func (s *shaper) overhangStart(g *glyph, right bool) int64 {
	if right {
		return s.overhangEnd(g, false)
	}
	return max(0, -s.overhang(g.gid).left-int64(g.shiftX))
}

// lastCluster is the first glyph of the last letter.
func (s *shaper) lastCluster() int {
	i := len(s.glyphs) - 1
	for i > 0 && s.glyphs[i].from == s.glyphs[i].to {
		i--
	}
	return i
}

// hyphenPoints are the hyphens that the word text[from:to], with its punctuation, may take by the rules of its language. Compounds have
// none but their own.
func (t *textSetter) hyphenPoints(p *paragraph, h *hyphenator, from, to int) []hyphenPoint {
	if to-from < h.before+h.after {
		return nil
	}
	r := p.runAt(from)
	if r == nil || to > r.to || r.props.right {
		return nil
	}
	key := wordKey{r.face, h, p.source[p.byteAt[from]:p.byteAt[to]]}
	if points, ok := t.words[key]; ok {
		return points
	}
	var points []hyphenPoint
	if at, word := h.wordIn(p.text[from:to]); word != "" && !slices.Contains(p.text[from:to], ' ') {
		points = t.measureHyphens(p, r, from, to, at, h.points(word))
	}
	return remember(t.words, key, points)
}

// remember keeps the hyphens of a word.
func remember(words map[wordKey][]hyphenPoint, key wordKey, points []hyphenPoint) []hyphenPoint {
	if len(words) >= mostWords {
		clear(words)
	}
	words[key] = points
	return points
}

// longestWord is how many letters the longest word has that is broken; all its parts are shaped, so that the work grows with its square.
// The longest chemical names in print stay below (from memory).
const longestWord = 400

// measureHyphens shapes what comes before and after each of the points of a word that begins at text[from+at], within text[from:to].
func (t *textSetter) measureHyphens(p *paragraph, r *run, from, to, at int, points []int) (out []hyphenPoint) {
	if to-from > longestWord {
		return nil
	}
	s := t.shaper(r.face)
	for _, n := range points {
		cut := from + at + n
		head := append(append(make([]rune, 0, cut-from+1), p.text[from:cut]...), '-')
		h := hyphenPoint{at: at + n, before: s.width(head, r.props), after: s.width(p.text[cut:to], r.props)}
		h.overhang = s.overhangStart(&s.glyphs[0], false)
		out = append(out, h)
	}
	return out
}

// mostWords is how many words are remembered with their hyphens before starting afresh.
const mostWords = 1 << 14
