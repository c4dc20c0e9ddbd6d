package typeset

import (
	"slices"

	"tuckmark/config"
	"tuckmark/config/measure"
	"tuckmark/config/problem"
	"tuckmark/intake"
)

// sizes are the sizes to choose a block's from, rising: those of the scale between the smallest and the largest that it may
// have, and these two.
func (b *body) sizes(of *intake.Block) []measure.Length {
	low := b.low()
	high := max(low, b.most/config.TypeStep*config.TypeStep)
	if len(of.Type.Scale) == 0 {
		return steps(low, high)
	}
	out := []measure.Length{low}
	for _, s := range of.Type.Scale {
		if s > low && s < high {
			out = append(out, s)
		}
	}
	if high > low {
		out = append(out, high)
	}
	return out
}

// low is the smallest size, a whole step.
func (b *body) low() measure.Length {
	return max(config.TypeStep, (b.smallest+config.TypeStep-1)/config.TypeStep*config.TypeStep)
}

// steps are all whole steps from low to high.
func steps(low, high measure.Length) (out []measure.Length) {
	for s := low; s <= high; s += config.TypeStep {
		out = append(out, s)
	}
	return out
}

// upToSize are the sizes up to a largest one, which is among them; the smallest stays.
func upToSize(sizes []measure.Length, largest measure.Length) []measure.Length {
	n, found := slices.BinarySearch(sizes, largest)
	if found || n == 0 {
		return sizes[:max(n+1, 1)]
	}
	return append(slices.Clone(sizes[:n]), largest)
}

// A text is set ragged instead of justified where that is more than an eighth larger; its lines are kept as they were typed
// where that costs no more than an eighth, or one step of the scale (found by trial: 18 pt becomes 16, 16 becomes 14).
const worthSize = 8

// A word is broken only for a gain of a twentieth in size (common practice: 5%).
const worthHyphens = 20

// fit sets a block at the largest of the sizes at which it fits. What is to be justified is justified throughout or, where
// its lines do not allow it, ragged, and the notes say so.
func (t *textSetter) fit(body *body, b *intake.Block, s *config.Settings, sizes []measure.Length) (Setting, problem.List, bool) {
	body.align = b.Type.Align
	if body.align != config.Justified || !body.prose() {
		set, ok := t.solve(body, b, s, sizes)
		if ok && b.Type.AutoAlign && body.align == config.Left && body.lost(set.Size) {
			body.align = config.Centre
			if centred, fits := t.attempt(body, b, set.Size); fits {
				set = centred
			}
		}
		return set, body.remarks(&set), ok
	}
	even, fitsEven := t.solve(body, b, s, sizes)
	letters, notes := body.letters(), body.remarks(&even)
	byRow := s.Type.Align != config.Justified
	fewLetters := letters < fewestLetters && !byRow
	body.align = config.Left
	larger := sizes
	if fitsEven && !fewLetters {
		n := slices.IndexFunc(sizes, func(size measure.Length) bool { return even.Size*worthSize <= size*(worthSize-1) })
		if n < 0 {
			return even, notes, true
		}
		larger = sizes[n:]
	}
	ragged, fits := t.solve(body, b, s, larger)
	if !fits {
		return even, notes, fitsEven
	}
	switch {
	case fewLetters && fitsEven:
		return ragged, append(notJustified(linesHold(letters), "to have it justified all the same, ask for it in its row and not for the whole job"), body.remarks(&ragged)...), true
	default:
		return ragged, append(notJustified("to fill its lines, spaces would have to grow to more than two and a half times their width, or the type to shrink",
			"make the space wider, ask for a smaller size, or choose a narrower font"), body.remarks(&ragged)...), true
	}
}

// fewWords is how many words look lost at the edge of a large space.
const fewWords = 8

// lost reports whether a text of a few words, set at size s, is in a space more than twice as high, and none of its lines is two thirds
// as wide as that.
func (b *body) lost(s measure.Length) bool {
	for i := range b.parts {
		p := &b.parts[i]
		if p.line || p.lines > 1 || 3*atUp(p.plain[len(p.plain)-1].width, b.size(p.role, s)) > 2*b.box.W {
			return false
		}
	}
	return b.words <= fewWords && 2*b.height(s, func(int) int { return 1 }) < b.box.H
}

// solve sets the text at the largest of the sizes at which it fits, with hyphens where they are wanted, or allowed and
// worth it. A text in lines that somebody typed gets the size at which they hold, where that costs little.
func (t *textSetter) solve(body *body, b *intake.Block, s *config.Settings, sizes []measure.Length) (Setting, bool) {
	if len(sizes) == 0 {
		return Setting{}, false
	}
	allowed := body.hyphenator(b, s)
	always := allowed != nil && (b.Type.Hyphenate == config.HyphenateAlways || body.align == config.Justified)
	penalty := int64(penaltyAllowed)
	switch {
	case body.align == config.Justified:
		penalty = penaltyJustified
	case always:
		penalty = penaltyRagged
	}
	t.list(body, allowed, penalty)
	var used *hyphenator
	if always {
		used = allowed
	}
	t.useBreaks(body, used, penalty)
	n, set := t.descend(body, b, sizes)
	if allowed != nil && !always {
		from := 0
		if n >= 0 {
			from = n + 1
			for from < len(sizes) && sizes[from]*worthHyphens < sizes[n]*(worthHyphens+1) {
				from++
			}
		}
		if from < len(sizes) && body.roomy(sizes[from]) {
			t.useBreaks(body, allowed, penalty)
			if m, larger := t.descend(body, b, sizes[from:]); m >= 0 {
				n, set, used = from+m, larger, allowed
			}
		}
	}
	if n > 0 && body.turned() {
		t.useBreaks(body, used, penalty)
		for m := n - 1; m >= 0 && (m == n-1 || sizes[m]*worthSize >= sizes[n]*(worthSize-1)); m-- {
			if held, ok := t.attempt(body, b, sizes[m]); ok && !body.turned() {
				return held, true
			}
		}
		set, _ = t.attempt(body, b, sizes[n]) // the body tells of the setting that was made last
	}
	return set, n >= 0
}

// list notes where the lines of all parts may end without hyphens. What is too wide for a line at the smallest size may be
// broken wherever that can be done at all; where it still is, words are broken that else are not.
func (t *textSetter) list(body *body, h *hyphenator, penalty int64) {
	for i := range body.parts {
		p := &body.parts[i]
		width := parts(body.box.W-slack, body.size(p.role, body.low()))
		p.indent, p.hang = min(p.indent, width/4), min(p.hang, width/4)
		p.plain, p.hyphened = t.breakpoints(p.paragraph, penalty, false), nil
		if fewest(p.plain, width, body.justified(i)) == 0 { // better parted than not at all
			p.plain = t.breakpoints(p.paragraph, penalty, true)
			if fewest(p.plain, width, body.justified(i)) == 0 {
				p.plain, p.widest = t.breakWide(p.paragraph, h, p.plain, width)
			}
		}
		if p.role == closing {
			body.listClosing(p, width)
		}
	}
}

// descend finds the largest of the sizes at which the text fits with the breakpoints in use, lines optimised and shaped as
// they will stand: its index, or -1.
func (t *textSetter) descend(body *body, b *intake.Block, sizes []measure.Length) (int, Setting) {
	for n := body.bound(sizes); n >= 0; n-- {
		if set, ok := t.attempt(body, b, sizes[n]); ok {
			return n, set
		}
	}
	return -1, Setting{}
}

// attempt sets the text at a size, if it fits: in lines that read well, or else in lines as wide as the box.
func (t *textSetter) attempt(body *body, b *intake.Block, size measure.Length) (Setting, bool) {
	if body.narrow = body.linesTooLong(size); body.narrow {
		set, ok := t.try(body, b, size)
		body.narrow = false
		if ok {
			return set, true
		}
	}
	return t.try(body, b, size)
}

// try sets the text at a size, if it fits. Where a line came out wider than was reckoned (the parts of some fonts' words
// depend on more than their neighbours), the break that ends it is reckoned dearer and the lines are broken again.
func (t *textSetter) try(body *body, b *intake.Block, size measure.Length) (Setting, bool) {
	const tries = 4
	for range tries {
		t.goOn()
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

// turned reports whether a line that somebody typed was broken in the setting that was made last.
func (b *body) turned() bool {
	return slices.ContainsFunc(b.parts, func(p rolePart) bool { return p.line && p.lines > 1 })
}

// prose reports whether any of the text is not in lines that somebody typed, so that it can be justified.
func (b *body) prose() bool {
	return slices.ContainsFunc(b.parts, func(p rolePart) bool { return p.role == text && !p.line && len(p.text) > 0 })
}

// roomy reports whether the text might fit size s if words could be broken anywhere, so that hyphens may help. Each line may
// lose a space at its end.
func (b *body) roomy(s measure.Length) bool {
	h := b.height(s, func(i int) int {
		bs := b.parts[i].breaks
		last, width := &bs[len(bs)-1], max(1, b.width(i, s))
		total, space := last.width, int64(0)
		if b.justified(i) {
			total -= last.shrink
		}
		for j := range bs {
			space = max(space, bs[j].width1-bs[j].width)
		}
		return int(max(1, (total+space+width+space-1)/(width+space)))
	})
	return h <= b.box.H
}
