package typeset

import (
	"slices"

	"golang.org/x/text/unicode/bidi"
)

// levels are the embedding levels of the characters by the Unicode bidirectional algorithm (UAX #9), and the paragraph's own; nil
// where all of the text runs from left to right. The names P2 to I2 are the annex's rules. The invisible characters that
// embed, override or isolate, which nobody types into a cell, are passed over. The library for the classes (x/text/unicode/bidi) has an
// algorithm too, but hands out only which way each run goes and not its level, by which lines are put in order (rule L2).
func levels(text []rune) ([]uint8, uint8) {
	if !slices.ContainsFunc(text, mayRunLeft) {
		return nil, 0
	}
	b := bidiText{text: text}
	if !b.classify() {
		return nil, 0
	}
	b.weak()
	b.brackets()
	b.neutral()
	return b.implicit(), b.base
}

// mayRunLeft reports whether a character lies in one of the blocks that Unicode keeps for scripts that run to the left
// (DerivedBidiClass.txt, the defaults for unassigned characters).
func mayRunLeft(r rune) bool {
	return r >= 0x590 && r <= 0x8FF || r >= 0xFB1D && r <= 0xFDFF || r >= 0xFE70 && r <= 0xFEFF || r >= 0x10800 && r <= 0x10FFF || r >= 0x1E800 && r <= 0x1EFFF
}

// bidiText is a paragraph on its way through the rules.
type bidiText struct {
	text  []rune
	class []bidi.Class
	at    []int // the characters that take part
	base  uint8
}

// classify looks up the classes and the paragraph's level (P2, P3). It reports whether anything runs to the left.
func (b *bidiText) classify() bool {
	b.class = make([]bidi.Class, len(b.text))
	left, strong := false, false
	for i, r := range b.text {
		p, _ := bidi.LookupRune(r)
		c := p.Class()
		switch c {
		case bidi.R, bidi.AL, bidi.AN:
			left = true
		case bidi.B, bidi.S:
			c = bidi.WS
		case bidi.LRE, bidi.RLE, bidi.LRO, bidi.RLO, bidi.PDF, bidi.LRI, bidi.RLI, bidi.FSI, bidi.PDI, bidi.Control:
			c = bidi.BN
		}
		if !strong && (c == bidi.L || c == bidi.R || c == bidi.AL) {
			strong = true
			if c != bidi.L {
				b.base = 1
			}
		}
		b.class[i] = c
		if c != bidi.BN {
			b.at = append(b.at, i)
		}
	}
	return left
}

// edge is the direction before the first and after the last character (sos and eos).
func (b *bidiText) edge() bidi.Class {
	if b.base == 1 {
		return bidi.R
	}
	return bidi.L
}

// weak resolves accents, numbers and what goes with numbers (W1 to W7).
func (b *bidiText) weak() {
	n := len(b.at)
	get := func(k int) bidi.Class {
		if k < 0 || k >= n {
			return b.edge()
		}
		return b.class[b.at[k]]
	}
	set := func(k int, c bidi.Class) { b.class[b.at[k]] = c }
	for k := range n { // W1
		if get(k) == bidi.NSM {
			set(k, get(k-1))
		}
	}
	strong := b.edge()
	for k := range n { // W2, W3
		switch c := get(k); c {
		case bidi.L, bidi.R:
			strong = c
		case bidi.AL:
			strong = c
		case bidi.EN:
			if strong == bidi.AL {
				set(k, bidi.AN)
			}
		}
	}
	for k := range n {
		if get(k) == bidi.AL {
			set(k, bidi.R)
		}
	}
	for k := 1; k < n-1; k++ { // W4
		before, c, after := get(k-1), get(k), get(k+1)
		if before == after && (c == bidi.ES && before == bidi.EN || c == bidi.CS && (before == bidi.EN || before == bidi.AN)) {
			set(k, before)
		}
	}
	for k := 0; k < n; k++ { // W5
		if get(k) != bidi.ET {
			continue
		}
		end := k
		for end < n && get(end) == bidi.ET {
			end++
		}
		if k > 0 && get(k-1) == bidi.EN || end < n && get(end) == bidi.EN {
			for i := k; i < end; i++ {
				set(i, bidi.EN)
			}
		}
		k = end - 1
	}
	strong = b.edge()
	for k := range n { // W6, W7
		switch c := get(k); c {
		case bidi.ES, bidi.ET, bidi.CS:
			set(k, bidi.ON)
		case bidi.L, bidi.R:
			strong = c
		case bidi.EN:
			if strong == bidi.L {
				set(k, bidi.L)
			}
		}
	}
}

// direction is L or R of a class that has one, numbers counting as R, else ON.
func direction(c bidi.Class) bidi.Class {
	switch c {
	case bidi.L, bidi.R:
		return c
	case bidi.EN, bidi.AN:
		return bidi.R
	}
	return bidi.ON
}

// brackets gives both brackets of a pair the direction of what they hold, or of what stands before (N0).
func (b *bidiText) brackets() {
	type pair struct{ open, close int }
	const deepest = 63 // BD16
	var pairs []pair
	type opening struct {
		close rune
		k     int
	}
	var stack []opening
search:
	for k, i := range b.at {
		p, _ := bidi.LookupRune(b.text[i])
		if b.class[i] != bidi.ON || !p.IsBracket() {
			continue
		}
		if p.IsOpeningBracket() {
			if len(stack) == deepest {
				break search
			}
			stack = append(stack, opening{[]rune(bidi.ReverseString(string(b.text[i])))[0], k})
			continue
		}
		for s := len(stack) - 1; s >= 0; s-- {
			if stack[s].close == b.text[i] {
				pairs = append(pairs, pair{stack[s].k, k})
				stack = stack[:s]
				break
			}
		}
	}
	slices.SortFunc(pairs, func(x, y pair) int { return x.open - y.open })
	for _, p := range pairs {
		same, other := false, false
		for k := p.open + 1; k < p.close; k++ {
			switch direction(b.class[b.at[k]]) {
			case b.edge():
				same = true
			case bidi.ON:
			default:
				other = true
			}
		}
		if !same && !other {
			continue
		}
		to := b.edge()
		if !same {
			context := b.edge()
			for k := p.open - 1; k >= 0; k-- {
				if d := direction(b.class[b.at[k]]); d != bidi.ON {
					context = d
					break
				}
			}
			to = context
		}
		for _, k := range []int{p.open, p.close} {
			b.class[b.at[k]] = to
			for j := k + 1; j < len(b.at); j++ { // accents on a bracket go with it
				if c, _ := bidi.LookupRune(b.text[b.at[j]]); c.Class() != bidi.NSM {
					break
				}
				b.class[b.at[j]] = to
			}
		}
	}
}

// neutral resolves spaces and punctuation by what stands on both sides, else by the paragraph (N1, N2).
func (b *bidiText) neutral() {
	for k := 0; k < len(b.at); k++ {
		if direction(b.class[b.at[k]]) != bidi.ON {
			continue
		}
		end := k
		for end < len(b.at) && direction(b.class[b.at[end]]) == bidi.ON {
			end++
		}
		before, after := b.edge(), b.edge()
		if k > 0 {
			before = direction(b.class[b.at[k-1]])
		}
		if end < len(b.at) {
			after = direction(b.class[b.at[end]])
		}
		to := b.edge()
		if before == after {
			to = before
		}
		for i := k; i < end; i++ {
			b.class[b.at[i]] = to
		}
		k = end - 1
	}
}

// implicit turns classes into levels (I1, I2). What took no part goes with the character before.
func (b *bidiText) implicit() []uint8 {
	out := make([]uint8, len(b.text))
	last := b.base
	for i, c := range b.class {
		switch {
		case c == bidi.BN:
			out[i] = last
			continue
		case b.base == 1 && c == bidi.R, b.base == 0 && c == bidi.L:
			last = b.base
		case b.base == 1, c == bidi.R:
			last = b.base + 1
		default: // numbers in a paragraph that runs to the right
			last = 2
		}
		out[i] = last
	}
	return out
}
