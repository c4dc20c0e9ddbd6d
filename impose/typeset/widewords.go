package typeset

import (
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// breakWide adds hyphens to what is wider than a line and has no other place to break: by the rules of its language, be it a name or at
// the start of a sentence, and by syllables where no rules are known. Widest is the line, in parts of the em, in which none would have to be
// broken.
func (t *textSetter) breakWide(p *paragraph, h *hyphenator, plain []breakpoint, width int64) (out []breakpoint, widest int64) {
	out = t.breaks.alloc(len(plain)*2 + 8)
	for i := range plain {
		b := &plain[i]
		if i > 0 {
			from := &plain[i-1]
			if whole := b.width - from.width1 + b.before + from.after; whole > width {
				var points []hyphenPoint
				if h != nil {
					points = t.hyphenPoints(p, h, from.next, b.end)
				}
				noted := len(points) == 0
				if noted {
					points, widest = t.widePoints(p, h, from.next, b.end), max(widest, whole)
				}
				for _, point := range points {
					hyphen := point.breakpoint(p, from, b, penaltyAllowed)
					hyphen.forced, hyphen.noted = true, noted
					out = append(out, hyphen)
				}
			}
		}
		out = append(out, *b)
	}
	p.tails(out)
	return out, widest
}

// widePoints are the hyphens of the longest stretch of letters in text[from:to].
func (t *textSetter) widePoints(p *paragraph, h *hyphenator, from, to int) []hyphenPoint {
	r := p.runAt(from)
	if r == nil || to > r.to || r.props.right {
		return nil
	}
	key := wordKey{r.face, h, p.source[p.byteAt[from]:p.byteAt[to]]}
	if points, ok := t.wideWords[key]; ok {
		return points
	}
	first, last := 0, 0 // of the longest
	for i := from; i < to; i++ {
		j := i
		for j < to && unicode.In(p.text[j], unicode.Latin, unicode.Greek, unicode.Cyrillic) {
			j++
		}
		if j-i > last-first {
			first, last = i, j
		}
		i = max(i, j)
	}
	word := strings.ToLower(string(p.text[first:last]))
	if len([]rune(word)) != last-first { // a capital that is two small letters
		return nil
	}
	points := syllables([]rune(word))
	if h != nil {
		if byRule := h.points(word); len(byRule) > 0 {
			points = byRule
		}
	}
	return remember(t.wideWords, key, t.measureHyphens(p, r, from, to, first-from, points))
}

// wordAround is the word that character i is in.
func wordAround(text []rune, i int) string {
	from, to := i, i
	for from > 0 && text[from-1] != ' ' {
		from--
	}
	for to < len(text) && text[to] != ' ' {
		to++
	}
	return string(text[from:to])
}

// syllables are the numbers of letters after which a word may be parted by the rule that European languages have in common: the last
// consonant before a vowel begins a syllable, with those that make one sound with it.
func syllables(word []rune) (out []int) {
	vowels, heard := make([]bool, len(word)), false
	for i, r := range word {
		vowels[i] = strings.ContainsRune("aeiouyæøœıαεηιουωаеёиоуыэюяіїє", []rune(norm.NFD.String(string(r)))[0])
	}
	for i, vowel := range vowels {
		if !vowel || i == 0 || vowels[i-1] {
			heard = heard || vowel
			continue
		}
		start := i - 1
		for _, sound := range oneSound {
			if n := len(sound); n <= i && string(word[i-n:i]) == sound {
				start = i - n
				break
			}
		}
		if heard && start >= fewestBefore && start <= len(word)-fewestAfter {
			out = append(out, start)
		}
		heard = true
	}
	return out
}

// oneSound are consonants that are not parted, the longer ones first.
var oneSound = strings.Fields("sch ch ck ph th sh qu gn bl br cl cr dr fl fr gl gr kl kr pl pr tr vr")
