package typeset

import (
	"math"
	"slices"
)

// breakpoint is a place where a line may end and the next begin. The first of a paragraph is its start, the last its end.
// Widths are sums from the start of the paragraph, in any unit, so that a line's is a difference.
type breakpoint struct {
	end, next                 int   // the line ends before rune end, the next starts with rune next
	width, stretch, shrink    int64 // up to the end of a line that ends here
	width1, stretch1, shrink1 int64 // up to the start of the line that starts here
	before, after             int64 // what the break adds to the line before it and to the line after it
	penalty                   int64
	hyphen                    bool  // the line ends in a hyphen, typed or put in
	soft                      bool  // the hyphen is put in
	spaces                    int32 // up to the start of the line that starts here
	tail                      bool  // from here to the paragraph's end there is only a short word
	forced                    bool  // the hyphen is put into a word that is wider than the line,
	noted                     bool  // where the rules of its language would leave it whole, or are not known
}

// rules weigh what is good in a paragraph. The first four and the way they count are TeX's parameters of that name (Donald
// Knuth, "The TeXbook", chapter 14).
type rules struct {
	line         int64 // \linepenalty
	adjacent     int64 // \adjdemerits: a tight line beside a loose one
	doubleHyphen int64 // \doublehyphendemerits
	finalHyphen  int64 // \finalhyphendemerits

	tolerance int64 // \tolerance: no line but the last is worse; 0: any will do

	rigid bool  // spaces keep their width
	rag   int64 // how far each line may stay short as if it were stretched (TeX's \rightskip plus); 0: justified
	last  int64 // the same for the last line; 0: it may be as short as it likes
	tail  int64 // demerits of a last line of one short word,
	alone int64 // or of any one word that is less wide than this
}

// TeX's classes of lines, in its order, and the badness that stands for anything too bad to tell apart.
const (
	veryLoose = iota
	loose
	decent
	tight
	classes

	worst = 10000
)

// badness is TeX's (tex.web, section 108) approximation of 100 (short / room)^3.
func badness(short, room int64) int64 {
	if short == 0 {
		return 0
	}
	if room <= 0 || short/room > 4 { // the root of 10000/100 is 4.64
		return worst
	}
	r := short * 297 / room
	if r > 1290 {
		return worst
	}
	return (r*r*r + 1<<17) >> 18
}

// node is a way to the end of some line: the best of those that end it at this breakpoint, with this class and, where lines
// are counted, as this line.
type node struct {
	at       int32 // breakpoint
	from     int32 // node of the line before
	line     int32
	class    int8
	demerits int64
}

// optimiser breaks paragraphs into lines by the method of Donald Knuth and Michael Plass ("Breaking Paragraphs into Lines",
// Software: Practice and Experience 11, 1981) as TeX carries it out: of all ways it takes the one whose lines are best in sum.
type optimiser struct {
	nodes   []node
	active  [][]int32 // by line where lines are counted, else all in the first
	final   []int32
	fresh   []node
	counted bool
	left    []int32 // where lines are counted: how many the text from a breakpoint on needs at least
	looked  int     // lines looked at for this block, at all its sizes
}

// A line that may begin at more than mostActive nodes, far more than can be read, has many places to break close together: of those within
// a sharePart of the line only the last is then looked at. After mostLooked lines a block has fewer nodes and larger parts, and is broken as looks best, whatever the
// number of lines: it may come out smaller than it could be. So the work for a block has a bound. (A text of 3,300 words, justified with all
// its hyphens, takes a million, and three in one line of 98 inches; a line of 216 letters may begin at 150 nodes.)
const (
	mostActive = 1024
	fewActive  = 64
	sharePart  = 256
	largePart  = 32
	mostLooked = 1 << 24
)

// begin is called for each block, so that none depends on those before it.
func (o *optimiser) begin() { o.looked = 0 }

// optimise finds the best ways to set the paragraph, which are in o.final: one, or with most > 0 the best for each number of
// lines up to that. There is none where something is wider than the line.
func (o *optimiser) optimise(bs []breakpoint, width int64, r *rules, most int) {
	o.counted = most > 0
	o.nodes = append(o.nodes[:0], node{class: decent})
	o.final = o.final[:0]
	for i := range o.active {
		o.active[i] = o.active[i][:0]
	}
	for len(o.active) < most+1 {
		o.active = append(o.active, nil)
	}
	o.active[0] = append(o.active[0], 0)
	active, part := mostActive, width/sharePart
	if o.looked > mostLooked {
		active, part = fewActive, width/largePart
	}
	if o.counted {
		o.count(bs, width, !r.rigid)
	}
	low, high := 0, 0 // lines that are active
	longest, kept := 0, bs[0].width
	for b := 1; b < len(bs); b++ {
		if longest > active && b < len(bs)-1 && bs[b+1].width-kept < part { // where the next is further, a wide word lies between
			continue
		}
		if o.counted && o.looked > mostLooked {
			return
		}
		longest, kept = 0, bs[b].width
		o.fresh = o.fresh[:0]
		for line := low; line <= high; line++ {
			longest = max(longest, len(o.active[line]))
			o.looked += len(o.active[line])
			o.try(bs, b, line, width, r, most)
		}
		for _, n := range o.fresh {
			i := int32(len(o.nodes))
			o.nodes = append(o.nodes, n)
			if b == len(bs)-1 {
				o.final = append(o.final, i)
				continue
			}
			line := 0
			if o.counted {
				line = int(n.line)
			}
			o.active[line] = append(o.active[line], i)
			high = max(high, line)
		}
		for low < high && len(o.active[low]) == 0 {
			low++
		}
		if low == high && len(o.active[low]) == 0 {
			return
		}
	}
}

// try looks at every line from an active node of the given number of lines to breakpoint b.
func (o *optimiser) try(bs []breakpoint, b, line int, width int64, r *rules, most int) {
	to := &bs[b]
	last := b == len(bs)-1
	var best [classes]node
	least := int64(math.MaxInt64)
	for c := range best {
		best[c].demerits = math.MaxInt64
	}
	list := o.active[line]
	keep := list[:0]
	for _, i := range list {
		a := &o.nodes[i]
		from := &bs[a.at]
		natural := to.width - from.width1 + to.before + from.after
		short := width - natural
		var bad int64
		class := int8(decent)
		switch {
		case short >= 0:
			keep = append(keep, i)
			switch {
			case last && r.last == 0:
			case last:
				bad = badness(short, r.last)
			default:
				stretch := r.rag
				if !r.rigid {
					stretch += to.stretch - from.stretch1
				}
				bad = badness(short, stretch)
			}
			if bad > 99 {
				class = veryLoose
			} else if bad > 12 {
				class = loose
			}
		default:
			room := to.shrink - from.shrink1
			if r.rigid {
				room = 0
			}
			if -short > room {
				if -short-max(to.before, 0) <= room { // another break may still do where this one adds too much
					keep = append(keep, i)
				}
				continue
			}
			keep = append(keep, i)
			if bad = badness(-short, room); bad > 12 {
				class = tight
			}
		}
		if r.tolerance > 0 && bad > r.tolerance && !last {
			continue
		}
		d := r.line + bad
		d *= d
		if to.penalty > 0 {
			d += to.penalty * to.penalty
		}
		if from.hyphen {
			switch {
			case last:
				d += r.finalHyphen
			case to.hyphen:
				d += r.doubleHyphen
			}
		}
		if c := class - a.class; c > 1 || c < -1 {
			d += r.adjacent
		}
		if last && a.at > 0 && (from.tail || natural < r.alone && from.spaces == to.spaces) {
			d += r.tail
		}
		d += a.demerits
		if d <= best[class].demerits { // of equals the last, as in TeX
			best[class] = node{at: int32(b), from: i, line: a.line + 1, class: class, demerits: d}
			least = min(least, d)
		}
	}
	o.active[line] = keep
	if least == math.MaxInt64 || o.counted && line+1+int(o.left[b]) > most {
		return
	}
	for c := range best {
		// A way that costs more than the best by more than a clash of classes can never win.
		if best[c].demerits <= least+r.adjacent && best[c].demerits < math.MaxInt64 {
			o.fresh = append(o.fresh, best[c])
		}
	}
}

// result is the final node with the fewest demerits that has the given number of lines, or any with 0; -1 where there is none.
func (o *optimiser) result(lines int) int32 {
	found := int32(-1)
	for _, i := range o.final {
		if n := &o.nodes[i]; (lines == 0 || int(n.line) == lines) && (found < 0 || n.demerits < o.nodes[found].demerits) {
			found = i
		}
	}
	return found
}

// path is the breakpoints at which the lines of a way end.
func (o *optimiser) path(i int32) []int {
	out := make([]int, o.nodes[i].line)
	for n := len(out) - 1; n >= 0; n-- {
		out[n] = int(o.nodes[i].at)
		i = o.nodes[i].from
	}
	return out
}

// fewest is a number of lines that the paragraph needs at least, or 0 where something is wider than the line. Filling each
// line as far as it goes, spaces shrunk where they may be, needs the fewest; what breaks add to lines for the ink that
// hangs over is left out, so that a later start of a line never reaches less far.
func fewest(bs []breakpoint, width int64, shrink bool) int {
	lines, from := 0, 0
	for from < len(bs)-1 {
		to := reach(bs, from, from, width, shrink)
		if to == from {
			return 0
		}
		from = to
		lines++
	}
	return lines
}

// reach is the last breakpoint at which a line may end that starts at from; that it reaches far is known.
func reach(bs []breakpoint, from, far int, width int64, shrink bool) int {
	limit := width + bs[from].width1
	if shrink {
		limit -= bs[from].shrink1
	}
	for b := far + 1; b < len(bs); b++ {
		w := bs[b].width + min(0, bs[b].before) + min(0, bs[from].after)
		if shrink {
			w -= bs[b].shrink
		}
		if w <= limit {
			far = b
		} else if !bs[b].soft || w > limit+widestHyphen { // the next may be narrower by the hyphen that this one puts in
			break
		}
	}
	return far
}

// widestHyphen is wider than a hyphen in any font (common practice: a third of an em).
const widestHyphen = 4 * em

// count fills o.left. A line from a breakpoint is taken to reach as far as one from any before it.
func (o *optimiser) count(bs []breakpoint, width int64, shrink bool) {
	o.left = slices.Grow(o.left[:0], len(bs))[:len(bs)]
	far := 0
	for from := range bs {
		far = reach(bs, from, max(far, from), width, shrink)
		o.left[from] = int32(far)
	}
	o.left[len(bs)-1] = 0
	for from := len(bs) - 2; from >= 0; from-- {
		if to := o.left[from]; int(to) == from {
			o.left[from] = math.MaxInt32 / 2 // wider than a line: there is no way on from here
		} else {
			o.left[from] = o.left[to] + 1
		}
	}
}
