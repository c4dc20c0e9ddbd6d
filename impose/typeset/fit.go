package typeset

import (
	"slices"
	"sort"

	"tuckmark/config"
	"tuckmark/config/measure"
)

// role is what a part of a block is.
type role uint8

const (
	text role = iota
	heading
	closing
)

// A heading is set about this much larger than the text, the closing line this much smaller, in hundredths; the gaps between
// them and the text are hundredths of the text's size (common practice). A size of the scale is taken that differs by more
// than leastDifference, if there is one.
const (
	headingShare    = 115
	closingShare    = 88
	headingGap      = 20
	closingGap      = 35
	leastDifference = 5
)

// rolePart is a paragraph with its role.
type rolePart struct {
	*paragraph
	role            role
	line            bool         // a line that somebody typed, of a verse, a list, an address
	plain, hyphened []breakpoint // without and with hyphens
	breaks          []breakpoint // those in use
	lines           int          // of the setting
	widest          int64        // a line in which no word would have to be broken, where some are, in parts of the em
}

// body is a block's text, shaped, and the box to fit.
type body struct {
	parts    []rolePart
	box      measure.Size // room for ink
	leading  int64        // of type of up to 12 pt, in thousandths of its size
	smallest measure.Length
	words    int              // of the text
	most     measure.Length   // the largest size
	scale    []measure.Length // sizes to choose from; none: any
	readable int64            // width of a line of as many letters as read well, in parts of the em; 0: no text would have longer ones
	closing  measure.Length   // the largest size of the closing line
	narrow   bool             // lines are no wider than that
	align    config.Align
	face     string // name of the face of the text
	faces    *faces
	typed    []typed
	lang     lang // that the text reads like
}

// slack is what rounding may take from a line: a unit at either end.
const slack = 2

// size is the type size of a part when the text has size s.
func (b *body) size(r role, s measure.Length) measure.Length {
	switch r {
	case heading:
		for _, size := range b.scale {
			if size*100 > s*(100+leastDifference) {
				return size
			}
		}
		return max(s+config.TypeStep, s*headingShare/100/config.TypeStep*config.TypeStep)
	case closing:
		return b.closingSize(s)
	}
	return s
}

// measure is the width of the lines when the text has size s (printers call it the measure).
func (b *body) measure(s measure.Length) measure.Length {
	if w := b.box.W - slack; !b.narrow {
		return w
	} else {
		return min(w, at(b.readable, s))
	}
}

// width is the width of part i's lines in parts of the em when the text has size s.
func (b *body) width(i int, s measure.Length) int64 {
	return parts(b.measure(s), b.size(b.parts[i].role, s))
}

// linesTooLong reports whether lines as wide as the box hold more letters than read well at size s.
func (b *body) linesTooLong(s measure.Length) bool {
	return b.readable > 0 && at(b.readable, s) < b.box.W-slack && slices.ContainsFunc(b.parts, func(p rolePart) bool {
		return p.role == text && atUp(p.plain[len(p.plain)-1].width, s) > b.box.W-slack
	})
}

// justified reports whether the lines of part i are set to both edges. Headings, closing lines and lines that somebody typed
// never are: they are none of a paragraph.
func (b *body) justified(i int) bool {
	return b.align == config.Justified && b.parts[i].role == text && !b.parts[i].line
}

// pitch is the distance of baselines within part i.
func (b *body) pitch(i int, s measure.Length) measure.Length {
	size := b.size(b.parts[i].role, s)
	return measure.Length(int64(size) * b.leadingAt(size) / 1000)
}

// Type up to fullLeading has the leading that was asked for, in thousandths; from there it falls, to tightShare of it in type
// of tightLeading and above: 1.25 becomes 1.05 (common practice: large type is set tighter).
const (
	fullLeading  = 12 * measure.Point
	tightLeading = 48 * measure.Point
	tightShare   = 84 // hundredths
)

// leadingAt is the leading of type of a size, in thousandths of it.
func (b *body) leadingAt(size measure.Length) int64 {
	large := int64(min(max(size, fullLeading), tightLeading) - fullLeading)
	return b.leading - b.leading*(100-tightShare)*large/(100*int64(tightLeading-fullLeading))
}

// leadingBefore is the distance from the baseline of the last line of the part before to the first of part i.
func (b *body) leadingBefore(i int, s measure.Length) measure.Length {
	before, here := b.parts[i-1].role, b.parts[i].role
	d := max(b.pitch(i-1, s), b.pitch(i, s))
	if before == heading && here != heading {
		d += s * headingGap / 100
	}
	if here == closing && before == text {
		d += s * closingGap / 100
	}
	return d
}

// ascent and descent are what the first line needs above its baseline and the last below.
func (b *body) ascent(s measure.Length) measure.Length {
	return atUp(b.parts[0].paragraph.ascent, b.size(b.parts[0].role, s))
}

func (b *body) descent(s measure.Length) measure.Length {
	last := b.parts[len(b.parts)-1]
	return atUp(last.paragraph.descent, b.size(last.role, s))
}

// height is the height of the whole when part i has lines(i) lines.
func (b *body) height(s measure.Length, lines func(i int) int) measure.Length {
	h := b.ascent(s) + b.descent(s)
	for i := range b.parts {
		if i > 0 {
			h += b.leadingBefore(i, s)
		}
		h += measure.Length(lines(i)-1) * b.pitch(i, s)
	}
	return h
}

// least is a height that the text needs at least at size s, or -1 where a word is too wide. See fewest.
func (b *body) least(s measure.Length) measure.Length {
	wide := false
	h := b.height(s, func(i int) int {
		n := fewest(b.parts[i].breaks, b.width(i, s), b.justified(i))
		wide = wide || n == 0
		return n
	})
	if wide {
		return -1
	}
	return h
}

// bound is the index of the largest of the sizes above which the text cannot fit, or -1. The least height grows with the
// size: narrower lines, reckoned in type, are no fewer, and stand no closer. So halving finds the bound, though
// whether the text does fit need not go one way.
func (b *body) bound(sizes []measure.Length) int {
	return sort.Search(len(sizes), func(i int) bool {
		h := b.least(sizes[i])
		return h < 0 || h > b.box.H
	}) - 1
}

// huge is a demerit that nothing but another of its kind outweighs.
const huge = 1e13

// tolerance is the most that a justified line may be stretched, as TeX counts it (\tolerance): to about two and a half times
// the width of its spaces.
const tolerance = 3000

// rules are how lines of the given width are judged.
func (b *body) rules(width int64, justified bool) rules {
	r := rules{line: 10, adjacent: 10000, doubleHyphen: huge, finalHyphen: huge, tail: huge, tolerance: tolerance}
	if !justified {
		r.tolerance = 0
		r.line, r.adjacent, r.rigid = 1, 0, true
		r.rag = max(em*3/2, width/8)
		switch {
		case b.align == config.Centre: // a centred caption looks best when all its lines are of a length,
			r.last = 2 * r.rag
		case b.words > 0 && b.words <= config.LongText: // and any caption without a few words left over
			r.last = 3 * r.rag
		}
		if b.words > 0 && b.words <= config.LongText {
			r.alone = width / 3
		}
	}
	return r
}

// breaking is a paragraph's lines and what is bad about them.
type breaking struct {
	lines    []int // the breakpoints that end them
	demerits int64
}

// lay finds the best lines for size s that fit the box: of all settings of the paragraphs whose lines together are not too
// many, the one with the fewest demerits in sum. It is nil where none fits.
func (b *body) lay(o *optimiser, s measure.Length) [][]int {
	breakings := make([]map[int]breaking, len(b.parts)) // by number of lines
	best := make([][]int, len(b.parts))
	most := make([]int, len(b.parts))
	for i := range b.parts {
		width := b.width(i, s)
		r := b.rules(width, b.justified(i))
		o.optimise(b.parts[i].breaks, width, &r, 0)
		n := o.result(0)
		if n < 0 {
			return nil
		}
		best[i] = o.path(n)
		most[i] = len(best[i])
	}
	if b.height(s, func(i int) int { return most[i] }) <= b.box.H {
		return best
	}
	few, least := make([]int, len(b.parts)), make([]int, len(b.parts))
	for i := range b.parts {
		least[i] = fewest(b.parts[i].breaks, b.width(i, s), b.justified(i))
	}
	over := b.box.H - b.height(s, func(i int) int { return least[i] })
	for i := range b.parts {
		width := b.width(i, s)
		r := b.rules(width, b.justified(i))
		breakings[i] = map[int]breaking{}
		room := most[i] // lines that it has at most, with all others as short as can be
		if pitch := b.pitch(i, s); pitch > 0 && over >= 0 {
			room = min(room, least[i]+int(over/pitch))
		}
		if most[i] > least[i] {
			o.optimise(b.parts[i].breaks, width, &r, room)
			for lines := 1; lines <= room; lines++ {
				if n := o.result(lines); n >= 0 {
					breakings[i][lines] = breaking{o.path(n), o.nodes[n].demerits}
					if few[i] == 0 {
						few[i] = lines
					}
				}
			}
		}
		if few[i] == 0 {
			few[i], breakings[i][most[i]] = most[i], breaking{best[i], 0}
		}
	}
	return b.share(s, breakings, few)
}

// share gives the lines that the height has room for to the paragraphs that gain most by them.
func (b *body) share(s measure.Length, breakings []map[int]breaking, few []int) [][]int {
	left := b.box.H - b.height(s, func(i int) int { return few[i] })
	if left < 0 {
		return nil
	}
	spare := 0
	if pitch := b.pitch(b.anyText(), s); pitch > 0 {
		spare = int(left / pitch)
	}
	// cost[k] is the least sum of demerits with k spare lines used by the parts so far, and took[i][k] what part i used of them.
	cost := make([]int64, spare+1)
	took := make([][]int, len(b.parts))
	for i := range b.parts {
		next := make([]int64, spare+1)
		took[i] = make([]int, spare+1)
		for k := range next {
			next[k] = -1
			for more := 0; more <= k; more++ {
				if more > 0 && b.parts[i].role == heading { // its lines stand further apart than was reckoned
					break
				}
				w, ok := breakings[i][few[i]+more]
				if !ok || cost[k-more] < 0 {
					continue
				}
				if d := cost[k-more] + w.demerits; next[k] < 0 || d < next[k] {
					next[k], took[i][k] = d, more
				}
			}
		}
		cost = next
	}
	k := 0
	for n := range cost {
		if cost[n] >= 0 && (cost[k] < 0 || cost[n] < cost[k]) {
			k = n
		}
	}
	out := make([][]int, len(b.parts))
	for i := len(b.parts) - 1; i >= 0; i-- {
		more := took[i][k]
		out[i] = breakings[i][few[i]+more].lines
		k -= more
	}
	return out
}

// anyText is a part whose lines have the pitch of the text.
func (b *body) anyText() int {
	for i := range b.parts {
		if b.parts[i].role == text {
			return i
		}
	}
	return 0
}
