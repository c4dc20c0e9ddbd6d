package intake

import (
	"regexp"
	"slices"
	"strings"
	"unicode"

	"tuckmark/config/measure"
)

// The unit that a heading says, wherever it stands in it: "Width (cm only)", "How many mm wide?", "Width (inches, not cm or mm)".

// measured reports a field of measures; the size of the type is not meant, which is in points.
func (m meaning) measured() bool {
	switch m {
	case asWidth, asHeight, asSpace, asTuck, asInset:
		return true
	}
	return false
}

// unitWord is a word of a heading, or a sign for inches, with what stands right before and behind it; 0 is the heading's own end.
type unitWord struct {
	text          string
	before, after rune
	start, end    int // in the heading, in bytes
}

func unitWords(heading string) (out []unitWord) {
	isSign := func(r rune) bool { return r == '"' || r == '″' }
	runes := []rune(heading)
	beside := func(i, step int) rune {
		for i += step; i >= 0 && i < len(runes); i += step {
			if !unicode.IsSpace(runes[i]) {
				return runes[i]
			}
		}
		return 0
	}
	at := 0
	for i := 0; i < len(runes); {
		k, start := i, at
		for k < len(runes) && (unicode.IsLetter(runes[k]) || unicode.IsMark(runes[k])) && (k == i || !unicode.IsUpper(runes[k]) || unicode.IsUpper(runes[k-1])) { // widthCm is two
			at += len(string(runes[k]))
			k++
		}
		if k == i {
			at += len(string(runes[i]))
			k++
			if !isSign(runes[i]) || i == 0 { // the first of quotation marks is no sign
				i = k
				continue
			}
		}
		out = append(out, unitWord{strings.ToLower(string(runes[i:k])), beside(i, -1), beside(k-1, 1), start, at})
		i = k
	}
	return out
}

// negates reports a word after which units are those that are not meant.
func negates(word string) bool {
	return slices.Contains([]string{"not", "no", "never", "nor", "without"}, word)
}

// otherUnits are those that people measure in and that are not known here.
var otherUnits = map[string]bool{"dm": true, "ft": true, "feet": true, "px": true, "pixel": true, "pixels": true, "pica": true, "picas": true, "squares": true, "eighths": true, "zoll": true, "tum": true,
	"tommer": true, "pouce": true, "pouces": true, "pulgadas": true, "pollici": true}

// unitOf is what a heading says of the unit.
type unitOf struct {
	unit     string // "" where it says none
	doubtful bool   // it names two, or none but what it is not or what is not known
	rest     string // its other words
}

// unitSaid is what a heading says of the unit.
func unitSaid(heading string) unitOf {
	if len(heading) > 160 {
		return unitOf{rest: heading}
	}
	var said, nearest []measure.Unit // to the nearest mm: how exactly, and in what where nothing else is said
	not, other := false, false
	words := unitWords(heading)
	ofUnit := make([]bool, len(words)) // no other words
	denies := 0                        // the word that does
	for i, w := range words {
		if negates(w.text) {
			not, denies = w.after != '.' && !unicode.IsNumber(w.after), i // block no. 2
			continue
		}
		u, ok := measure.ParseUnit(w.text)
		other = other || otherUnits[w.text]
		if !ok || len(words) == 1 || w.text == "in" && !w.inches(heading, words[:i], words[i+1:]) {
			not = not && slices.Contains([]string{"in", "or", "and"}, w.text) // not in mm or cm; but: without the border, in cm
			continue
		}
		ofUnit[i] = true
		if before := i - 1; before > 0 && slices.Contains([]string{"in", "as"}, words[before].text) {
			ofUnit[before] = true
		}
		if not {
			other = true
			for k := denies; k < i; k++ {
				ofUnit[k] = true
			}
		} else if i > 0 && words[i-1].text == "nearest" {
			nearest = append(nearest, u)
		} else if !slices.Contains(said, u) {
			said = append(said, u)
		}
	}
	if len(said) == 0 {
		said = nearest
	}
	out := unitOf{doubtful: len(said) > 1 || len(said) == 0 && other}
	if len(said) == 1 {
		out.unit = said[0].String()
	}
	at := 0
	for i, w := range words {
		if ofUnit[i] {
			out.rest += heading[at:w.start] + " "
			at = w.end
		}
	}
	out.rest += heading[at:]
	return out
}

// inches reports whether a word "in" of a heading is the unit: it ends the heading, or it stands by itself within brackets or strokes.
func (w *unitWord) inches(heading string, before, behind []unitWord) bool {
	ends := w.after == 0 || strings.ContainsRune(")]}?!*:.", w.after)
	if strings.ContainsRune("([{/,;:|-–—_", w.before) && w.before != 0 {
		return ends || strings.ContainsRune("/,;|-–—_", w.after) || len(behind) > 0 && (behind[0].text == "or" || negates(behind[0].text) || behind[0].text == "only")
	}
	if unicode.IsNumber(w.before) || w.after == '/' && len(behind) > 0 && strings.Contains("cm mm", behind[0].text) { // to the nearest 1/8 in; Width in / cm
		return true
	}
	if !ends || len(before) == 0 {
		return false
	}
	texts := make([]string, len(before))
	for i := range before {
		texts[i] = before[i].text
	}
	return saysInches(heading[:w.end], texts)
}

var inAlone = regexp.MustCompile(`(?i)[(\[,:;/]\s*in\.?\s*[)\]]?\s*[?*:]*$`)

// saysInches reports whether "in" at the end of a heading is the unit: it stands by itself, or behind a word or two that nobody ends a question with, as
// "please fill in" or "where it goes in".
func saysInches(heading string, before []string) bool {
	switch strings.ToLower(before[len(before)-1]) {
	case "it", "fill", "goes", "go", "put", "type", "typed", "write", "is", "fits", "them", "this":
		return inAlone.MatchString(heading)
	}
	return len(before) < 4 || inAlone.MatchString(heading)
}
